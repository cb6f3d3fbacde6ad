"""No shape vanishes in silence: it is on the chart where it lies in the drawing, or a remark names it."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely import Polygon, unary_union

from svg2chart.artwork import Artwork, Fill, StitchAs
from svg2chart.chart import Chart
from svg2chart.convert import convert
from svg2chart.fit import lay_on_grid
from svg2chart.grid import Extent, Grid
from svg2chart.svg.read import parse_artwork, read_artwork
from svg2chart.visible import visible_areas
from tests import outside
from tests.breadth import examples
from tests.drawings import BLUE, GREEN, RED, YELLOW, box, drawing, shape, stitched

LEAST = 0.2  # squares
hundredths = st.integers(0, 99).map(lambda n: n / 100)
SVG = 'xmlns="http://www.w3.org/2000/svg"'
ROOM = 4  # squares for each shape, so that none is near another
ACROSS = 3


@st.composite
def scattered(draw: st.DrawFn) -> Artwork:
    """Draw small triangles and slivers, each in the middle of a field of its own, on cloth or on a colour."""
    marks: list[Fill] = []
    if draw(st.booleans()):
        marks.append(shape(RED, box(0, 0, ROOM * ACROSS, ROOM * ACROSS), element="field"))
    place = st.integers(8, 24).map(lambda n: n / 8)
    point = st.tuples(place, place)
    for number in range(ACROSS**2):
        row, column = divmod(number, ACROSS)
        corners = draw(st.lists(point, min_size=3, max_size=4))
        moved = [(x + column * ROOM, y + row * ROOM) for x, y in corners]
        if Polygon(moved).convex_hull.area >= LEAST:
            hull = list(Polygon(moved).convex_hull.exterior.coords)[:-1]
            marks.append(shape(BLUE, hull, element=f"{row} {column}"))
    return drawing(*marks, wide=ROOM * ACROSS, high=ROOM * ACROSS)


def holds(chart: Chart, colour: str) -> np.ndarray:
    """Return which squares hold a stitch of the colour."""
    threads = {index for index, thread in enumerate(chart.threads) if thread.colour == colour}
    table = [any(stitch.thread in threads for stitch in held) for held in chart.arrangements]
    return np.array(table)[chart.squares]


def told_lost(chart: Chart) -> set[str]:
    """Return the elements of which a remark says that something is not there, or not as drawn."""
    others = ("equal widths", "worked in")
    return {one.element for one in chart.remarks if not any(words in one.what for words in others)}


@given(scattered())
@settings(max_examples=examples(30))
def test_every_small_shape_has_a_stitch_in_its_own_field_or_a_remark(artwork: Artwork) -> None:
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE)) if artwork.marks else None
    if chart is None:
        return
    told = told_lost(chart)
    blue = holds(chart, BLUE)
    for mark in artwork.marks:
        if mark.element != "field" and mark.element not in told:
            row, column = (int(part) * ROOM for part in mark.element.split())
            assert blue[row : row + ROOM, column : column + ROOM].any(), mark.element


REAL = list(outside.pictures("art-open"))[::7] if outside.DATA.exists() else []


@pytest.mark.skipif(not REAL, reason="the outside drawings are not beside the repo")
@pytest.mark.parametrize("columns", [24, 40])
@pytest.mark.parametrize("picture", REAL, ids=lambda picture: picture.name)
def test_of_a_real_drawing_each_shape_is_there_or_told(picture: outside.Picture, columns: int) -> None:
    """Of each shape that shows a fifth of a square: its thread in squares that its box touches, or its id."""
    artwork = read_artwork(picture.path)
    grid = Grid.fit(artwork, wide=columns)
    chart = convert(artwork, grid)
    laid = lay_on_grid(artwork, grid)
    seen = visible_areas(laid.shapes, groups=artwork.groups, rows=grid.rows, columns=grid.columns).shapes
    told = told_lost(chart)
    merged = " ".join(remark.what for remark in chart.remarks if "worked in" in remark.what)
    for polygon, mark, area in zip(laid.shapes, laid.marks, seen, strict=True):
        colour = mark.colour.hex
        if area < LEAST or mark.element in told or mark.opacity < 1 or colour in merged:
            continue
        low = np.maximum(np.floor(polygon.polygon.points.min(axis=0)).astype(int) - 1, 0)
        high = np.ceil(polygon.polygon.points.max(axis=0)).astype(int) + 1
        assert holds(chart, colour)[low[1] : high[1], low[0] : high[0]].any(), mark.element


def test_a_shape_that_others_close_over_when_all_is_fitted_is_told() -> None:
    """Two diamonds, of which the lower shows as two narrow strips, and a post beside them that moves."""
    lower = [(4.96875, 6.0), (7.140625, 8.171875), (4.96875, 10.34375), (2.796875, 8.171875)]
    upper = [(4.8125, 3.6875), (7.921875, 6.796875), (4.8125, 9.90625), (1.703125, 6.796875)]
    post = [(7.140625, 6.0), (7.546875, 6.0), (7.546875, 8.640625), (7.140625, 8.640625)]
    artwork = drawing(
        shape(RED, lower, element="below"),
        shape(BLUE, upper, element="above"),
        shape(GREEN, post, element="post"),
        wide=16,
        high=16,
    )
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE))
    assert not holds(chart, RED).any()
    assert [remark.element for remark in chart.remarks] == ["below"]
    assert "fitting to the squares leaves less than half" in chart.remarks[0].what
    still = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=0.0))
    assert holds(still, RED).any()
    # the other strip is not there, and a tip above it lies half way: neither has to do with the fit
    assert [remark.element for remark in still.remarks] == ["below", "above"]
    assert "fitting" not in still.remarks[0].what


def test_what_stitches_given_by_hand_hide_is_not_told() -> None:
    hidden = shape(RED, box(3.3, 3, 7.3, 7), element="under")
    cover = replace(shape(BLUE, box(2, 2, 10, 10)), stitch_as=StitchAs.AREA_AS_DRAWN)
    artwork = drawing(hidden, cover, wide=16, high=16)
    assert convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE)).remarks == ()


def test_what_a_mask_hides_is_not_told() -> None:
    art = f"""<svg {SVG} viewBox="0 0 16 16"><mask id="slit"><rect x="3" y="3" width="1" height="4"
        fill="white"/></mask>
        <g mask="url(#slit)"><rect x="3" y="3" width="7" height="4" fill="red"/></g></svg>"""
    artwork = parse_artwork(art.encode())
    assert convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE)).remarks == ()


@st.composite
def overlapping(draw: st.DrawFn) -> Artwork:
    """Draw diamonds and boxes one over the other, so that strips of some are seen beside others."""
    place, half = st.integers(96, 288).map(lambda n: n / 32), st.integers(16, 96).map(lambda n: n / 32)
    marks = []
    for colour in (RED, BLUE, GREEN):
        x, y, size, other = draw(place), draw(place), draw(half), draw(half)
        corners = [(x, y - size), (x + size, y), (x, y + size), (x - size, y)]
        if draw(st.booleans()):
            corners = list(box(x - size, y - other, x + size, y + other))
        marks.append(shape(colour, corners, element=colour))
    return drawing(*marks, wide=12, high=12)


@given(overlapping())
def test_what_is_seen_of_a_shape_is_on_the_chart_or_told(artwork: Artwork) -> None:
    grid = Grid.fit(artwork, square=1, extent=Extent.PAGE)
    seen = visible_areas(lay_on_grid(artwork, replace(grid, movement=0.0)).shapes, rows=12, columns=12)
    chart = convert(artwork, grid)
    told = told_lost(chart)
    for mark, area in zip(artwork.marks, seen.shapes.tolist(), strict=True):
        assert area < LEAST or holds(chart, mark.element).any() or mark.element in told


@given(
    st.tuples(hundredths, hundredths),
    st.integers(50, 100),
    st.tuples(st.integers(20, 100), st.integers(-100, 100)),
    st.integers(30, 150),
    st.sampled_from([0.0, 0.5]),
)
@example((0.69, 0.37), 89, (23, 59), 113, 0.0)  # the other one shows more in squares of both
def test_a_light_that_is_lost_beside_others_of_its_colour_is_named_itself(
    at: tuple[float, float], size: int, off: tuple[int, int], other: int, movement: float
) -> None:
    """A highlight on dark ground, and a larger one so near that some squares show both."""
    x, y, wide, far, down = 5 + at[0], 5 + at[1], size / 100, off[0] / 100, off[1] / 100
    light = [(x + wide / 2, y), (x + wide, y + wide / 2), (x + wide / 2, y + wide), (x, y + wide / 2)]
    beside = x + wide + far, y + down
    marks = [
        shape(BLUE, box(0, 0, 14, 14), element="ground"),
        shape(YELLOW, light, element="light"),
        shape(YELLOW, box(*beside, beside[0] + other / 100, beside[1] + 1.1), element="other"),
    ]
    artwork = drawing(*marks, wide=14, high=14)
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=movement))
    stitches = unary_union([Polygon(one) for one in stitched(chart, YELLOW)])
    outline = Polygon(light)
    if outline.area >= LEAST and not stitches.intersects(outline.buffer(movement)):
        assert "light" in {remark.element for remark in chart.remarks}


@st.composite
def seas(draw: st.DrawFn) -> tuple[Artwork, float]:
    """Draw a round sky and the sea in it, whose outline was meant to be the sky's; and where it begins."""
    radius, off = draw(st.integers(60, 200)) / 10, draw(st.integers(1, 7)) / 100
    middle, down = 22 + np.array(draw(st.tuples(hundredths, hundredths))), draw(st.integers(-30, 30)) / 10
    shore = np.arcsin((down + off) / radius)
    around, below = np.linspace(0, 2 * np.pi, 256, endpoint=False), np.linspace(shore, np.pi - shore, 128)
    sky, sea = (
        middle - [0, up] + radius * np.stack([np.cos(angle), np.sin(angle)], axis=1)
        for up, angle in ((0, around), (off, below))
    )
    rim = middle + 1.12 * (sky - middle)
    marks = [
        shape(colour, [tuple(point) for point in points], element=element)
        for colour, points, element in ((RED, rim, "rim"), (YELLOW, sky, "sky"), (BLUE, sea, "sea"))
    ]
    return drawing(*marks, wide=46, high=46), middle[1] + down


@given(seas())
@settings(max_examples=examples(20))
def test_a_hair_of_sky_around_the_sea_is_not_stitched(case: tuple[Artwork, float]) -> None:
    artwork, horizon = case
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE))
    assert not holds(chart, YELLOW)[int(horizon) + 2 :].any()
