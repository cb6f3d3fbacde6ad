"""What is seen of a drawing before it is fitted has stitches near it, or a remark tells that it is lost.

What is seen is cut out of the drawing by shapely, shape by shape from the top; what stitches cover is the
union of their outlines.
"""

import numpy as np
from hypothesis import example, given
from hypothesis import strategies as st
from shapely import MultiPoint, Polygon, unary_union
from shapely.geometry.base import BaseGeometry

from svg2chart.artwork import Artwork, Fill
from svg2chart.convert import convert
from svg2chart.errors import GridError
from svg2chart.fit import lay_on_grid
from svg2chart.geometry.polygon import FillRule
from svg2chart.grid import Extent, Grid
from tests.drawings import BLUE, GREEN, RED, YELLOW, Points, box, diamond, drawing, shape, stitched

SIDE = 20
LEAST = 0.2  # squares; less may be missing without a word
REACH = 1.0  # stitches may lie so far from where they are drawn, in either direction
LOSSES = ("for a stitch", "not stitched", "is left out", "hides a part of it", "leaves less than half")
BESIDE, OFF, OF_THAT = (
    1 / 4,
    1 / 2,
    1 / 16,
)  # what stitches fall short of: so far off, and so much farther off
CELL = 1 / 8  # squares; how finely it is looked at
CORNERS = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)])
COLOURS = (RED, BLUE, YELLOW, GREEN, "#7b1fa2")
ROUND = np.linspace(0, 2 * np.pi, 48, endpoint=False)

eighths = st.integers(16, 8 * (SIDE - 2)).map(lambda n: n / 8)
sizes = st.integers(3, 40).map(lambda n: n / 8)


def disc(x: float, y: float, radius: float) -> Points:
    return [(x + radius * np.cos(t), y + radius * np.sin(t)) for t in ROUND.tolist()]


Contours = tuple[Points, ...]


@st.composite
def figures(draw: st.DrawFn) -> Contours:
    """Draw a box, a diamond, a disc, a ring or a triangle."""
    x, y, one, other = draw(eighths), draw(eighths), draw(sizes), draw(sizes)
    triangle = [(x, y), (draw(eighths), draw(eighths)), (draw(eighths), draw(eighths))]
    return draw(
        st.sampled_from(
            [
                (box(x - one, y - other, x + one, y + other),),
                (diamond(x, y, one),),
                (disc(x, y, one),),
                (disc(x, y, one + other), disc(x, y, other)),
                (triangle,),
            ]
        )
    )


def outline(contours: Contours) -> BaseGeometry:
    first, *inner = (Polygon(contour) for contour in contours)
    return first.difference(unary_union(inner))


def artwork_of(drawn: list[Contours]) -> Artwork:
    marks: list[Fill] = []
    for colour, contours in zip(COLOURS[: len(drawn)], drawn, strict=True):
        marks.append(shape(colour, *contours, element=colour, rule=FillRule.EVENODD))
    return drawing(*marks, wide=SIDE, high=SIDE)


def near(outlines: list[np.ndarray], reach: float) -> BaseGeometry:
    """Return what lies no farther from outlines in either direction."""
    moved = (outline[:, None] + CORNERS * reach for outline in outlines)
    return unary_union([MultiPoint(points.reshape(-1, 2)).convex_hull for points in moved])


def parts(whole: BaseGeometry) -> list[BaseGeometry]:
    return list(getattr(whole, "geoms", [whole]))


RING = (disc(8.09, 15.15, 2.74), disc(8.09, 15.15, 1.79))


@given(st.lists(figures(), min_size=2, max_size=5))
@example([(box(4.69, 12.87, 10.34, 19.4),), RING])  # once it is fitted the ring covers a corner of the box
def test_every_part_that_is_seen_has_stitches_near_it_or_is_told(drawn: list[Contours]) -> None:
    """What is seen by itself has them where they may have moved to, and no part of it is far from them."""
    artwork = artwork_of(drawn)
    grid = Grid.fit(artwork, square=1, extent=Extent.PAGE)
    movement = lay_on_grid(artwork, grid).largest_movement
    try:
        chart = convert(artwork, grid)
    except GridError:  # all of it is too fine for a stitch, and this says so
        return
    told = {remark.element for remark in chart.remarks if any(words in remark.what for words in LOSSES)}
    over, page = Polygon(), Polygon(box(0, 0, SIDE, SIDE))
    for mark, contours in zip(reversed(artwork.marks), reversed(drawn), strict=True):
        for part in parts(outline(contours).intersection(page).difference(over)):
            if part.area >= LEAST and mark.element not in told:
                outlines = stitched(chart, mark.element)
                assert part.intersects(near(outlines, movement + CELL))
                missing = parts(part.difference(near(outlines, REACH + CELL)))
                assert max(each.area for each in missing) < LEAST
        over = over.union(outline(contours))


@given(
    st.integers(40, 120).map(lambda n: n / 100), st.tuples(*[st.integers(0, 99).map(lambda n: n / 100)] * 2)
)
@example(0.723, (0.197, 0.302))  # an eye: fitted it is one square wide, and its stitch fills the square
def test_a_disc_is_told_to_be_halved_only_where_its_stitches_are(
    radius: float, off: tuple[float, float]
) -> None:
    """What is told is what is seen on the cloth."""
    eye = disc(SIDE / 2 + off[0], SIDE / 2 + off[1], radius)
    artwork = artwork_of([(box(2, 2, 18, 18),), (eye,)])
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE))
    worked = sum(Polygon(outline).area for outline in stitched(chart, BLUE))
    told = any("leaves less than half" in remark.what for remark in chart.remarks)
    assert told <= (worked < Polygon(eye).area / 2)


@st.composite
def arrows(draw: st.DrawFn) -> Points:
    """Draw an arrow, level or upright, whose barbs are swept back, or not."""
    half, long, barb, head = (
        draw(st.integers(*ends)) / 16 for ends in ((5, 20), (24, 64), (8, 26), (16, 48))
    )
    swept, x, y = (draw(st.integers(0, most)) / 16 for most in (18, 15, 15))
    x, y = x + 7, y + 7
    above = [(x, y - half), (x + long, y - half), (x + long - swept, y - half - barb)]
    outline = [*above, (x + long + head, y), *((px, 2 * y - py) for px, py in above[::-1])]
    return [(py, px) for px, py in outline] if draw(st.booleans()) else outline


# of the head, 3.8 squares wide, stitches show no more than of the shaft
BLUNT = [(5.39, 10.61), (5.39, 8.25), (4.59, 8.25), (6.5, 5.28), (8.4, 8.25), (7.6, 8.25), (7.6, 10.61)]


@given(arrows())
@example(BLUNT)
def test_barbs_and_tips_that_stitches_fall_short_of_are_told(outline: Points) -> None:
    """A part of the fitted drawing, a fifth of a square beside all stitches and in part half a square off."""
    artwork = artwork_of([(outline,)])
    grid = Grid.fit(artwork, square=1, extent=Extent.PAGE)
    chart, (fitted,) = convert(artwork, grid), lay_on_grid(artwork, grid).shapes
    told = any(words in remark.what for remark in chart.remarks for words in LOSSES)
    outlines = stitched(chart, RED)
    beside, off = near(outlines, BESIDE + CELL), near(outlines, OFF + CELL)
    for part in parts(Polygon(fitted.polygon.points).buffer(0).difference(beside)):
        assert told or part.area < LEAST or part.difference(off).area < OF_THAT
