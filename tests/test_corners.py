"""Right corners are right corners on the cloth: of upright boxes, and of boxes turned by 45 degrees.

What stitches cover is united by shapely, whose outline of it is held against a box.
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np
from hypothesis import example, given
from hypothesis import strategies as st
from shapely import Point, Polygon, unary_union
from shapely.geometry.base import BaseGeometry

from svg2chart.artwork import Fill, Group, Mask
from svg2chart.chart import Chart
from svg2chart.convert import convert
from svg2chart.grid import Extent, Grid
from tests.drawings import BLUE, GREEN, RED, YELLOW, Points, box, diamond, drawing, shape, stitched

SIDE = 20
PAGE = Polygon(box(0, 0, SIDE, SIDE))

hundredths = st.integers(0, 99).map(lambda n: n / 100)


def chart_of(marks: list[Fill], *, movement: float = 0.5) -> Chart:
    artwork = drawing(*marks, wide=SIDE, high=SIDE)
    return convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=movement))


def covered(chart: Chart, colour: str) -> BaseGeometry:
    """Return what the stitches of a colour cover, in squares."""
    return unary_union([Polygon(points) for points in stitched(chart, colour)])


def corners(stitches: BaseGeometry) -> list[np.ndarray]:
    """Return the corners of what is one piece without a hollow."""
    assert isinstance(stitches, Polygon)
    assert not stitches.interiors
    points = np.array(stitches.exterior.simplify(0.0).coords)[:-1]
    ways = np.roll(points, -1, axis=0) - points
    turns = ways[:, 0] * np.roll(ways[:, 1], 1) - ways[:, 1] * np.roll(ways[:, 0], 1)
    return list(points[turns != 0])


def turned(x: float, y: float, long: float, wide: float) -> Points:
    """Return a box turned by 45 degrees, its sides in squares along the grid."""
    return [(x, y), (x + long, y + long), (x + long - wide, y + long + wide), (x - wide, y + wide)]


def is_right(points: list[np.ndarray]) -> bool:
    ways = [two - one for one, two in pairwise([*points, points[0], points[1]])]
    return len(points) == 4 and all(abs(one @ two) < 1e-9 for one, two in pairwise(ways))


@given(hundredths, hundredths, st.integers(190, 500), st.integers(106, 180))
@example(0.19, 0.1, 477, 131)  # three diagonals wide, of which those on one side meet between holes
@example(0.35, 0.64, 194, 116)  # its ends are short
@example(0.61, 0.0, 343, 125)  # both tips of one side could stop on their way
def test_a_narrow_turned_box_keeps_its_four_corners(x: float, y: float, long: int, wide: int) -> None:
    """It crosses the edge of a field: by itself it may lie just half way between two places."""
    outline = turned(9 + x, 4 + y, long / 100, wide / 100)
    chart = chart_of([shape(BLUE, box(0, 0, 10, SIDE)), shape(RED, outline)])
    points = corners(covered(chart, RED))
    assert is_right(points)
    assert all((point == np.rint(point)).all() for point in points)


@given(
    st.integers(3, 5),
    st.integers(40, 120),
    st.integers(40, 120),
    st.integers(8, 40),
    st.sampled_from([None, YELLOW]),
)
@example(5, 53, 104, 17, None)  # half of what the left corner leaves of its squares is blue
def test_a_turned_box_on_holes_keeps_its_corners_over_a_disc(
    radius: int, x: int, y: int, size: int, ground: str | None
) -> None:
    """Where cloth and disc meet in the square of a corner one of them is shown wrong in any case."""
    turn = np.linspace(0, 2 * np.pi, 48, endpoint=False).tolist()
    disc = [((x + size * np.cos(t)) / 8, (y + size * np.sin(t)) / 8) for t in turn]
    under = [shape(ground, box(0, 0, SIDE, SIDE))] if ground else []
    chart = chart_of([*under, shape(BLUE, disc), shape(RED, diamond(10, 10, radius))], movement=0.0)
    assert covered(chart, RED).equals(Polygon(diamond(10, 10, radius)))


@given(hundredths, st.integers(1, 5), st.integers(1, 5), st.integers(0, 3), st.sampled_from([None, BLUE]))
def test_a_box_whose_sides_lie_on_hole_lines_but_for_one_keeps_its_corners(
    off: float, wide: int, high: int, turn: int, ground: str | None
) -> None:
    """Also unfitted: a side between hole lines is straight to its ends."""
    points = np.array(box(-wide, -high - off, wide, high + 1)) @ np.linalg.matrix_power(
        [[0, 1], [-1, 0]], turn
    )
    under = [shape(ground, box(0, 0, SIDE, SIDE))] if ground else []
    chart = chart_of([*under, shape(RED, [(10 + x, 10 + y) for x, y in points.tolist()])], movement=0.0)
    points_found = corners(covered(chart, RED))
    assert is_right(points_found)
    assert all((point == np.rint(point)).all() for point in points_found)


@given(st.integers(52, 97), st.integers(52, 97), st.integers(2, 5), st.integers(2, 5))
def test_a_box_that_covers_most_of_its_corner_squares_keeps_its_corners(
    up: int, left: int, wide: int, high: int
) -> None:
    points = box(6 - left / 100, 6 - up / 100, 6 + wide, 6 + high)
    assert is_right(corners(covered(chart_of([shape(RED, points)], movement=0.0), RED)))


@given(hundredths, hundredths, st.integers(200, 600), st.integers(200, 600), st.sampled_from([None, BLUE]))
@example(0.01, 0.375, 638, 753, None)  # one of its sides lies nearly on a hole line
@example(0.0, 0.0, 550, 550, None)  # half of a square at two sides
@example(0.52, 0.25, 644, 686, BLUE)  # hardly half of a column, and most of a row
def test_a_box_keeps_its_corners_wherever_it_lies_unfitted(
    x: float, y: float, wide: int, high: int, ground: str | None
) -> None:
    under = [shape(ground, box(0, 0, SIDE, SIDE))] if ground else []
    points = box(6 + x, 6 + y, 6 + x + wide / 100, 6 + y + high / 100)
    assert is_right(corners(covered(chart_of([*under, shape(RED, points)], movement=0.0), RED)))


@given(
    *(st.integers(-40, 40) for _ in range(2)),
    *(st.integers(2, 5) for _ in range(2)),
    st.sampled_from([None, BLUE]),
)
@example(-17, -8, 4, 2, None)  # its left corner was blunt
def test_a_turned_box_keeps_its_corners_where_these_lie_next_to_holes_unfitted(
    x: int, y: int, long: int, wide: int, ground: str | None
) -> None:
    """Its sides are nearest to diagonals of holes that meet at holes."""
    if abs(x) + abs(y) > 40:
        x, y = x // 2, y // 2
    under = [shape(ground, box(0, 0, SIDE, SIDE))] if ground else []
    off = turned(9 + x / 100, 4 + y / 100, long, wide)
    chart = chart_of([*under, shape(RED, off)], movement=0.0)
    assert covered(chart, RED).equals(Polygon(turned(9, 4, long, wide)))


@st.composite
def scenes(draw: st.DrawFn) -> list[Fill]:
    """Draw boxes, some of them turned, and discs over each other, of a colour each."""
    place, size = st.integers(300, 1700).map(lambda n: n / 100), st.integers(200, 900).map(lambda n: n / 100)
    marks = []
    for colour in (RED, BLUE, YELLOW, GREEN)[: draw(st.integers(2, 4))]:
        x, y, wide, high = draw(place), draw(place), draw(size), draw(size)
        kind = draw(st.sampled_from(["box", "turned", "disc"]))
        outline = box(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)
        if kind == "turned":
            outline = turned(x, y - (wide + high) / 3, wide * 2 / 3, high * 2 / 3)
        elif kind == "disc":
            turn = np.linspace(0, 2 * np.pi, 96, endpoint=False).tolist()
            outline = [(x + wide / 2 * np.cos(t), y + wide / 2 * np.sin(t)) for t in turn]
        marks.append(shape(colour, outline, element=f"{kind} {colour}"))
    return marks


def right_corners(stitches: BaseGeometry) -> list[tuple[np.ndarray, np.ndarray]]:
    """Return the right-angled corners of what stitches cover, and the ways that these open."""
    found = []
    for part in getattr(stitches, "geoms", [stitches]):
        for ring in [part.exterior, *part.interiors]:
            points = np.array(Polygon(ring).simplify(0.0).exterior.coords)[:-1]
            one, other = (np.roll(points, step, axis=0) - points for step in (1, -1))
            one, other = (way / np.hypot(*way.T)[:, None] for way in (one, other))
            for k in np.flatnonzero(np.abs((one * other).sum(axis=1)) < 1e-9):
                if part.contains(Point(points[k] + 0.1 * (one[k] + other[k]))):
                    found.append((points[k], one[k] + other[k]))
    return found


def bar_past_corners() -> list[Fill]:
    """Return a turned bar, and boxes over it whose corners the fit takes to its sides."""
    bar = [(12.23, 0.87), (13.6634, 2.3034), (9.1767, 6.79), (7.7433, 5.3566)]
    return [
        shape(RED, bar, element=f"turned {RED}"),
        shape(BLUE, box(4.47, 2.83, 8.15, 5.13), element=f"box {BLUE}"),
        shape(YELLOW, box(6.17, 5.67, 8.17, 7.67), element=f"box {YELLOW}"),
    ]


@given(scenes(), st.sampled_from([0.0, 0.5]))
@example(bar_past_corners(), 0.5)  # a corner of a box slid along the bar
def test_among_other_shapes_right_corners_are_kept_or_told(marks: list[Fill], movement: float) -> None:
    """Those that are seen, with their sides, for more than a square: others may be right beside them."""
    chart = chart_of(marks, movement=movement)
    told = {remark.element for remark in chart.remarks if "equal widths" not in remark.what}
    outlines = [Polygon(mark.path.segments[:, 0]) for mark in marks]
    for number, (mark, outline) in enumerate(zip(marks, outlines, strict=True)):
        kind, colour = mark.element.split()
        if kind == "disc" or mark.element in told:
            continue
        above = unary_union(outlines[number + 1 :])
        stood = right_corners(covered(chart, colour))
        for corner, way in right_corners(outline):
            around = Point(corner).buffer(1.25, cap_style="square")
            if outline.intersection(around).intersection(above).area or not PAGE.contains(around):
                continue
            far = movement + (0.63 if kind == "box" else 0.76)
            assert any(np.abs(at - corner).max() <= far and way @ opens > 1.9 for at, opens in stood), corner


@given(st.integers(1, 12))
def test_a_corner_of_a_mask_that_opens_over_the_edge_of_the_chart_is_not_seen(off: int) -> None:
    """What it shows ends there, and so does the chart."""
    groups = (Group(mask=Mask(group=1)), Group(parent=0))
    right = 7 - off / 100
    white = [
        shape("#ffffff", box(-2, -2, right, SIDE)),
        shape("#ffffff", box(right, 2, SIDE, 5)),
    ]
    marks = [replace(shape(RED, box(0, 0, 7, 7)), group=0), *(replace(one, group=1) for one in white)]
    artwork = drawing(*marks, wide=SIDE, high=SIDE, groups=groups)
    assert convert(artwork, Grid.fit(artwork, square=1)).remarks == ()
