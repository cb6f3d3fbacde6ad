"""What parts of a drawing show on fine cells is what the whole drawing shows there."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.arranging.candidates import AREA_UNIT
from svg2chart.closecells import FINE, MOST_SQUARES, NOT_PAINTED, Window, cells_within, lots, paint
from svg2chart.colour import Colour
from svg2chart.geometry.polygon import FillRule, Polygon
from svg2chart.octants.areas import VisibleAreas
from svg2chart.octants.blending import Rgba
from svg2chart.octants.stacks import Paint
from svg2chart.visible import Shape, visible_areas
from tests.geometry.regions import holds

ROWS, COLUMNS = 14, 18
COLOURS = tuple(map(Colour.from_hex, ("#c81e28", "#145aaa", "#f0c83c")))
ROUNDING = 1e-5

places = st.tuples(st.integers(0, ROWS - 1), st.integers(0, COLUMNS - 1))
points = st.tuples(st.floats(-4, COLUMNS + 4), st.floats(-4, ROWS + 4))
outlines = st.lists(st.lists(points, min_size=3, max_size=7), min_size=1, max_size=2)


@st.composite
def drawings(draw: st.DrawFn) -> list[Shape]:
    """Draw outlines that may cross themselves, lie outside, let others through and repeat colours."""
    return [
        Shape(
            polygon=Polygon.of_contours(
                [np.rint(np.array(outline) * 2**20) / 2**20 for outline in draw(outlines)],
                rule=draw(st.sampled_from(FillRule)),
            ),
            paint=Paint(
                colour=draw(st.sampled_from(COLOURS)), opacity=draw(st.sampled_from([1.0, 1.0, 0.5]))
            ),
        )
        for _ in range(draw(st.integers(1, 5)))
    ]


def magnified(shapes: list[Shape]) -> list[Shape]:
    return [replace(s, polygon=replace(s.polygon, points=s.polygon.points * FINE)) for s in shapes]


def shares(areas: VisibleAreas, number_of: Mapping[Rgba, int]) -> np.ndarray:
    """Return (rows, columns, colours) how much of each cell every colour covers."""
    result = np.zeros((areas.solid.size, len(number_of)))
    number = np.array([number_of[colour] for colour in areas.colours])
    solid = areas.solid.ravel()
    result[np.flatnonzero(solid >= 0), number[solid[solid >= 0]]] = 1.0
    np.add.at(result, (areas.square, number[areas.colour]), areas.octants.sum(axis=1))
    return result.reshape(*areas.solid.shape, -1)


@given(drawings(), st.lists(st.lists(places, min_size=1, max_size=3), min_size=1, max_size=4))
def test_windows_show_what_the_whole_drawing_shows(
    shapes: list[Shape], around: list[list[tuple[int, int]]]
) -> None:
    whole = visible_areas(magnified(shapes), rows=ROWS * FINE, columns=COLUMNS * FINE)
    number_of = {colour: number for number, colour in enumerate(whole.colours)}
    covered = shares(whole, number_of)
    order = np.sort(covered, axis=2)
    is_clear = order[..., -1] > (order[..., -2] if order.shape[2] > 1 else 0) + ROUNDING
    windows = [Window.around(*np.array(squares).T, (ROWS, COLUMNS)) for squares in around]
    painted = paint(windows, shapes, groups=(), number_of=number_of, areas=whole)
    for squares, window, cells in zip(around, windows, painted, strict=True):
        part = tuple(slice(FINE * at.start, FINE * at.stop) for at in window.slices)
        is_painted = cells.most != NOT_PAINTED
        near = window.cells(np.array([row * COLUMNS + column for row, column in squares]), COLUMNS)
        assert is_painted[near].all()
        looked = is_painted & is_clear[part]
        assert np.array_equal(cells.most[looked], covered.argmax(axis=2)[part][looked])
        for colour in range(len(number_of)):
            share = cells.covered(colour) / AREA_UNIT
            assert np.allclose(share[is_painted], covered[part][is_painted, colour], atol=ROUNDING)


@given(st.lists(st.tuples(st.integers(1, 90), st.integers(1, 90)), max_size=40))
def test_every_window_is_in_one_lot_and_no_lot_is_larger_than_memory_has_room_for(
    sizes: list[tuple[int, int]],
) -> None:
    windows = [
        Window.around(np.array([0, rows - 1]), np.array([0, columns - 1]), (rows, columns))
        for rows, columns in sizes
    ]
    found = list(lots(windows))
    assert sorted(index for lot in found for index in lot) == list(range(len(windows)))
    for lot in found:
        rows = sum(windows[index].rows for index in lot)
        assert rows * max(windows[index].columns for index in lot) <= MOST_SQUARES


# sides and corners on the middles of cells as well as between them
sixteenths = st.integers(-8, 3 * 2 * FINE + 8).map(lambda n: n / (2 * FINE))
regions = st.builds(
    lambda contours, rule: Polygon.of_contours([np.array(each) for each in contours], rule=rule),
    st.lists(st.lists(st.tuples(sixteenths, sixteenths), min_size=3, max_size=6), min_size=1, max_size=2),
    st.sampled_from(FillRule),
)
A_BOX = Polygon.of_contours([np.array([(0.0625, 0.3125), (1.1875, 0.3125), (1.1875, 2), (0.0625, 2)])])


def are_on_outline(places: np.ndarray, polygon: Polygon) -> np.ndarray:
    """Return which places lie on an edge; exact for sixteenths."""
    to_start, to_end = (places[:, None] - polygon.edges()[:, ends] for ends in (slice(2), slice(2, 4)))
    turn = to_start[..., 0] * to_end[..., 1] - to_start[..., 1] * to_end[..., 0]
    return ((turn == 0) & ((to_start * to_end).sum(axis=2) <= 0)).any(axis=1)


@given(regions, st.tuples(st.integers(-3, 9), st.integers(-3, 9)))
@example(A_BOX, (0, 0))
def test_cells_within_a_polygon_have_their_middles_there_and_not_on_its_outline(
    polygon: Polygon, corner: tuple[int, int]
) -> None:
    rows, columns = 14, 17
    row, column = np.indices((rows, columns)).reshape(2, -1)
    middles = (np.stack([column, row], axis=1) + corner + 0.5) / FINE
    wanted = ~are_on_outline(middles, polygon)
    wanted[wanted] = holds(middles[wanted], polygon)
    found = cells_within(polygon, np.array(corner), (rows, columns))
    assert np.array_equal(found.ravel(), wanted)


@given(regions)
@example(A_BOX)
def test_cells_within_a_mirrored_polygon_are_those_mirrored(polygon: Polygon) -> None:
    low, shape = np.zeros(2, np.int64), (3 * FINE, 3 * FINE)
    found = cells_within(polygon, low, shape)
    for axis, mirror in ((1, [-1, 1]), (0, [1, -1])):
        mirrored = replace(polygon, points=polygon.points * mirror + 3.0 * (np.array(mirror) < 0))
        assert np.array_equal(cells_within(mirrored, low, shape), np.flip(found, axis))
