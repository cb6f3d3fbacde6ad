"""Slanted sides: bars keep one width, corners stay corners, what lies on a side moves along, nothing far."""

from collections.abc import Callable
from functools import cache

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from svg2chart.artwork import Artwork
from svg2chart.fit import Laid, lay_on_grid
from svg2chart.fitting.alike import farthest_whole
from svg2chart.fitting.sightlines import Outlines, look_along_lines
from svg2chart.fitting.slants import find_straight
from svg2chart.grid import Extent, Grid
from tests.breadth import shared
from tests.drawings import BLUE, RED, YELLOW, chart_of, diamond, drawing, drawn, shape, squares, stroke

SIDE = 16
EIGHTHS = st.integers(0, 7).map(lambda n: n / 8)
COLOURS = (RED, BLUE, YELLOW)


def laid(artwork: Artwork, movement: float = 0.5) -> Laid:
    return lay_on_grid(artwork, Grid.fit(artwork, square=1.0, extent=Extent.PAGE, movement=movement))


def slanted_bar(rise: int, run: int, x: float, y: float, wide: float) -> list[tuple[float, float]]:
    """Return a bar so wide along its normal, its middle at a point, beyond all edges of the page."""
    way = np.array([run, rise]) / np.hypot(run, rise)
    across = np.array([-way[1], way[0]]) * wide / 2
    middle, far = np.array([x, y]), way * 3 * SIDE
    return [tuple(p) for p in (middle - far - across, middle + far - across, middle + far + across)] + [
        tuple(middle - far + across)
    ]


@pytest.mark.parametrize(("high", "seen"), [(0.19, 0), (0.44, 1)], ids=["one place", "a stretch"])
def test_of_a_side_seen_at_one_place_no_direction_is_taken(high: float, seen: int) -> None:
    """Through a slit, where lines along rows and along columns cross the side within rounding."""
    contours = np.array(
        [
            [(0.0, 0.0), (15.0, 5.0), (0.0, 5.0)],
            [(-1.0, -1.0), (17.0, -1.0), (17.0, 0.06)],
            [(-1.0, -1.0), (17.0, 0.06), (-1.0, 0.06)],
            [(-1.0, high), (17.0, high), (17.0, 17.0)],
            [(-1.0, high), (17.0, 17.0), (-1.0, 17.0)],
        ]
    )
    owner = np.repeat(np.arange(5), 3)
    outlines = Outlines(
        edges=np.concatenate([contours, np.roll(contours, -1, axis=1)], axis=2).reshape(-1, 4),
        owner=owner,
        even_odd=np.zeros(5, np.bool_),
        hides=np.ones(5, np.bool_),
        look=np.array([1, 2, 2, 2, 2]),
    )
    across = look_along_lines(outlines, lines=SIDE, length=SIDE)
    down = look_along_lines(outlines.turned(), lines=SIDE, length=SIDE)
    found = find_straight(contours[0], np.array([0, 3]), across, down)
    assert found.slanted.sum() == seen
    of_seen_sides = {int(side) for own, _ in found.steps for side in own}
    assert of_seen_sides == set(range(len(found.at)))


def filled(rows: list[list[str]], letter: str) -> np.ndarray:
    """Return how much of each square a colour shows: all, a half, or a quarter for each quarter stitch."""

    def part(square: str) -> float:
        if square.startswith("("):
            return square.count(letter) / 4
        return (square == letter) + (letter in square and len(square) > 1) / 2

    return np.array([[part(square) for square in row] for row in rows])


@given(
    st.sampled_from([(1, 1), (1, 2), (2, 1), (1, 3), (4, 1)]),
    st.integers(10, 16).map(lambda n: n / 10),
    st.tuples(EIGHTHS, EIGHTHS, EIGHTHS),
)
def test_parallel_equal_bars_come_out_equally_wide(
    slope: tuple[int, int], wide: float, offsets: tuple[float, float, float]
) -> None:
    rise, run = slope
    bars = []
    for number, offset in enumerate(offsets):
        # beside each other along the grid, and none in the very middle, where a bar could go nowhere
        at = 3.3 + 4.5 * number + offset
        x, y = (SIDE / 2, at) if rise < run else (at, SIDE / 2)
        bars.append(shape(COLOURS[number], slanted_bar(rise, run, x, y, wide)))
    rows = drawn(chart_of(drawing(*bars, wide=SIDE, high=SIDE)))
    areas = []
    for letter in "rby":
        shown = filled(rows, letter)
        shown = shown if rise < run else shown.T
        # of columns whose bar is not cut by the page, so many as the steps of the slope repeat in
        whole = [c for c in range(SIDE) if shown[:, c].any() and not (shown[0, c] or shown[-1, c])]
        period = max(rise, run)
        first = whole[len(whole) // 2 - period // 2 :][:period]
        areas.append(shown[:, first].sum() / period)
    assert len(set(areas)) == 1


ways: dict[str, Callable[[float, float], tuple[float, float]]] = {
    "up": lambda x, y: (x, y),
    "down": lambda x, y: (x, SIDE - y),
    "left": lambda x, y: (y, x),
    "right": lambda x, y: (SIDE - y, x),
}


@cache
def right_angle(towards: str, x: float, y: float) -> list[list[str]]:
    """Return the chart of a right angle whose sides run along diagonals."""
    corner = [(x, y), (x + SIDE, y + SIDE), (x - SIDE, y + SIDE)]
    points = [ways[towards](*point) for point in corner]
    return drawn(chart_of(drawing(shape(RED, points), wide=SIDE, high=SIDE)))


@pytest.mark.parametrize("towards", ways)
@settings(max_examples=shared(4))
@given(x=st.integers(41, 79).map(lambda n: n / 10), y=st.integers(20, 80).map(lambda n: n / 10))
def test_a_right_angled_corner_turned_by_45_degrees_keeps_its_corner(
    towards: str, x: float, y: float
) -> None:
    ideals = [
        right_angle(towards, column, row)
        for column in range(int(x) - 1, int(x) + 3)
        for row in range(int(y) - 1, int(y) + 3)
        if max(abs(column - x), abs(row - y)) <= 0.75
    ]
    assert right_angle(towards, x, y) in ideals


@pytest.mark.parametrize("towards", ways)
@settings(max_examples=shared(4))
@given(
    x=st.integers(16, 80).map(lambda n: n / 16),
    y=st.integers(16, 80).map(lambda n: n / 16),
    long=st.integers(64, 96).map(lambda n: n / 16),
)
def test_the_corners_of_a_sail_go_to_holes_wherever_it_lies(
    towards: str, x: float, y: float, long: float
) -> None:
    """Mast and boom go to hole lines, the slanted side to a diagonal of holes: its ends slide along them."""
    place = ways[towards]
    sail = [place(x, y), place(x + long, y + long), place(x, y + long)]
    artwork = drawing(shape(RED, sail), wide=SIDE, high=SIDE)
    found = laid(artwork).shapes[0].polygon.points
    assert len(found) == 3
    assert (found == np.rint(found)).all()
    sides = np.roll(found, -1, axis=0) - found
    assert sorted(tuple(np.abs(side) > 0) for side in sides) == [(False, True), (True, False), (True, True)]
    assert max(abs(abs(dx) - abs(dy)) for dx, dy in sides if dx and dy) == 0
    moved = np.sort(np.abs(found - np.array(sail)), axis=1)
    assert moved[:, 0].max() <= 0.5
    assert moved[:, 1].max() <= 1.0


def test_a_diamond_near_holes_is_a_diamond() -> None:
    artwork = drawing(shape(RED, diamond(4.2, 3.9, 2.8)), wide=8, high=8)
    assert drawn(chart_of(artwork)) == squares("""
        . . .  .  .  .  . .
        . . .  r◢ r◣ .  . .
        . . r◢ r  r  r◣ . .
        . r◢ r r  r  r r◣ .
        . r◥ r r  r  r r◤ .
        . . r◥ r  r  r◤ . .
        . . .  r◥ r◤ .  . .
        . . .  .  .  .  . .
    """)


def test_a_bar_at_45_degrees_in_the_very_middle_is_one_piece() -> None:
    # it lies as near to the diagonals above as to those below: drawn on either it would not be symmetric
    bar = [(0.8, 0.2), (6.8, 6.2), (6.2, 6.8), (0.2, 0.8)]
    rows = drawn(chart_of(drawing(shape(RED, bar), wide=7, high=7)))
    assert [rows[k][k] for k in range(1, 6)] == ["r"] * 5
    assert all(rows[r][c] == "." for r in range(1, 6) for c in range(1, 6) if r != c)


@given(st.integers(0, 12).map(lambda n: n / 16), st.sampled_from([0.1, 0.3, 0.5]))
@example(0.625, 0.5)
@example(0.4375, 0.5)  # its tips come nearly as far to two holes
def test_slanted_sides_move_no_farther_than_is_allowed_and_it_is_told(off: float, movement: float) -> None:
    artwork = drawing(shape(RED, diamond(6 + off, 6, 3.25)), wide=12, high=12)
    before, after = laid(artwork, 0.0).shapes[0].polygon.points, laid(artwork, movement)
    moved = np.abs(after.shapes[0].polygon.points - before).max()
    assert moved == pytest.approx(after.largest_movement, abs=2.0**-30)
    # the tips of what stays even go as far as those of forms
    assert moved <= farthest_whole(movement) + 2.0**-30


@given(st.integers(-8, 8).map(lambda n: n / 16), st.integers(32, 60).map(lambda n: n / 16))
@example(0.0, 2.14)
def test_tips_at_the_edge_of_all_move_no_farther_and_it_is_told(off: float, radius: float) -> None:
    """A tip that lies on the last hole line that the drawing reaches is no corner that the page cuts."""
    low, other = diamond(5.58, 13 - radius, radius), diamond(7.91, 9.78 + off, 2.95)
    artwork = drawing(shape(RED, low), shape(BLUE, other), wide=20, high=20)
    before, after = laid(artwork, 0.0), laid(artwork, 0.25)
    ways = [
        np.abs(one.polygon.points - two.polygon.points).max()
        for one, two in zip(before.shapes, after.shapes, strict=True)
        if len(one.polygon.points) == len(two.polygon.points)
    ]
    assert ways
    assert max(ways) <= after.largest_movement + 2.0**-30
    assert after.largest_movement <= 2 * 0.25


def test_thin_lines_and_knots_on_a_slanted_side_move_with_it() -> None:
    one, other = diamond(6.2, 6.1, 3.0)[:2]
    middle = ((one[0] + other[0]) / 2, (one[1] + other[1]) / 2)
    artwork = drawing(
        shape(BLUE, diamond(6.2, 6.1, 3.0)), stroke(RED, [one, middle, other], width=0.2), wide=12, high=12
    )
    found = laid(artwork)
    corners = {tuple(point) for point in found.shapes[0].polygon.points.tolist()}
    assert corners == {(6, 3), (9, 6), (6, 9), (3, 6)}
    assert found.lines[0].lines.points[[0, -1]].tolist() == [[6, 3], [9, 6]]
    on_side = found.lines[0].lines.points
    assert np.abs(on_side[:, 0] - on_side[:, 1] - 3).max() <= 2.0**-30


def test_what_touches_a_slanted_side_stays_in_touch() -> None:
    """A corner that lies within a side goes with it, so that no gap opens between two shapes."""
    field = shape(RED, [(1.2, 1.0), (9.2, 9.0), (1.2, 9.0)])
    flag = shape(BLUE, [(5.2, 5.0), (9.0, 2.0), (9.0, 4.0)])
    found = laid(drawing(field, flag, wide=12, high=12))
    (x, y), *_ = found.shapes[1].polygon.points.tolist()
    side = found.shapes[0].polygon.points
    (x0, y0), (x1, y1) = side[0].tolist(), side[1].tolist()
    assert abs((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) <= 2.0**-20


def test_art_with_diagonals_of_holes_is_not_moved() -> None:
    artwork = drawing(shape(RED, diamond(6, 6, 3)), shape(BLUE, [(1, 1), (4, 1), (1, 4)]), wide=12, high=12)
    assert laid(artwork).largest_movement == 0.0


@given(EIGHTHS, EIGHTHS, st.integers(16, 48).map(lambda n: n / 8))
@example(0.5, 0.5, 5.5)
def test_a_diamond_has_no_notch(x: float, y: float, radius: float) -> None:
    art = drawing(shape(RED, diamond(8 + x, 8 + y, radius)), wide=SIDE + 1, high=SIDE + 1)
    rows = filled(drawn(chart_of(art)), "r")
    for wide in (rows.sum(axis=1), rows.sum(axis=0)):
        widest = int(wide.argmax())
        assert (np.diff(wide[: widest + 1]) >= 0).all()
        assert (np.diff(wide[widest:]) <= 0).all()


def whole_diamond(radius: int) -> list[list[str]]:
    """Return a diamond from hole to hole: so many squares from its middle to each of its four tips."""
    upper, lower = [], []
    for row in range(radius):
        bare = ["."] * (radius - 1 - row)
        upper.append([*bare, "r◢", *["r"] * (2 * row), "r◣", *bare])
        lower.append([*bare, "r◥", *["r"] * (2 * row), "r◤", *bare])
    return upper + lower[::-1]


# in the very middle of a square its tips cannot come to holes: it would lean to one side
HUNDREDTHS = st.integers(0, 99).filter(lambda n: n != 50).map(lambda n: n / 100)


@given(HUNDREDTHS, HUNDREDTHS, st.integers(150, 900).map(lambda n: n / 100))
@example(0.49, 0.49, 4.49)
@example(0.51, 0.49, 4.51)
@example(0.02, 0.51, 5.32)
def test_a_diamond_keeps_its_four_tips_wherever_it_lies(x: float, y: float, radius: float) -> None:
    x, y = 10 + x, 10 + y
    rows = np.array(drawn(chart_of(drawing(shape(RED, diamond(x, y, radius)), wide=21, high=21))))
    row, column = np.nonzero(rows != ".")
    shown = rows[row.min() : row.max() + 1, column.min() : column.max() + 1]
    whole = len(shown) // 2
    assert shown.tolist() == whole_diamond(whole)
    assert abs(whole - radius) <= 0.5
    assert abs(column.min() + whole - x) <= 0.5
    assert abs(row.min() + whole - y) <= 0.5


# as programs write them, off every lattice
PARTS = st.integers(0, 99_999).map(lambda n: n / 1e5)


@given(PARTS, PARTS, st.integers(200_000, 900_000).map(lambda n: n / 1e5))
@example(0.17188, 0.79687, 3.65625)
def test_a_sail_has_straight_sides_wherever_it_lies(x: float, y: float, wide: float) -> None:
    x, y = 4 + x, 10 + y
    sail = [(x, y), (x + wide, y - wide), (x + wide, y + wide)]
    rows = np.array(drawn(chart_of(drawing(shape(RED, sail), wide=22, high=22))))
    columns = (rows != ".").any(axis=0).sum()
    # one corner in each column on either side, all else full
    assert sorted(rows[rows != "."]) == sorted(
        ["r◢", "r◥"] * columns + ["r"] * ((rows != ".").sum() - 2 * columns)
    )


@given(
    st.integers(0, 99).map(lambda n: n / 100),
    st.integers(0, 99).map(lambda n: n / 100),
    st.integers(400, 699).map(lambda n: n / 100),
)
@example(0.4, 0.83, 5.11)
def test_an_arrow_has_a_straight_head_wherever_it_lies(x: float, y: float, size: float) -> None:
    x, y, half = 15 + x, 10 + y, size / 2
    head = [(x, y - half), (x, y - size), (x + size, y), (x, y + size), (x, y + half)]
    arrow = [(x - 2 * size, y - half), *head, (x - 2 * size, y + half)]
    rows = np.array(drawn(chart_of(drawing(shape(RED, arrow), wide=26, high=22))))
    upper, lower = np.argwhere(rows == "r◣"), np.argwhere(rows == "r◤")
    # each side on one diagonal of squares, all else full
    assert np.ptp(upper[:, 0] - upper[:, 1]) == 0 == np.ptp(lower.sum(axis=1))
    assert len(upper) == len(lower)
    assert np.isin(rows, ["r", ".", "r◣", "r◤"]).all()


@given(st.lists(st.tuples(HUNDREDTHS, HUNDREDTHS), min_size=2, max_size=2), st.integers(16, 40))
def test_equal_diamonds_come_out_equal(places: list[tuple[float, float]], eighths: int) -> None:
    radius = eighths / 8
    marks = [
        shape(colour, diamond(6 + 13 * number + x, 6 + y, radius))
        for number, ((x, y), colour) in enumerate(zip(places, (RED, BLUE), strict=True))
    ]
    rows = drawn(chart_of(drawing(*marks, wide=26, high=14)))
    assert filled(rows, "r").sum() == filled(rows, "b").sum()


@given(HUNDREDTHS, HUNDREDTHS, st.integers(150, 400).map(lambda n: n / 100))
def test_tips_move_by_up_to_twice_as_far_and_it_is_told(x: float, y: float, radius: float) -> None:
    artwork = drawing(shape(RED, diamond(6 + x, 6 + y, radius)), wide=12, high=12)
    before, after = laid(artwork, 0.0).shapes[0].polygon.points, laid(artwork, 0.5)
    there = after.shapes[0].polygon.points
    moved = np.abs([there.min(axis=0) - before.min(axis=0), there.max(axis=0) - before.max(axis=0)]).max()
    assert moved <= after.largest_movement + 2.0**-30
    assert after.largest_movement <= 1.0


@given(EIGHTHS, st.integers(0, 19).map(lambda n: n / 20), st.integers(20, 60).map(lambda n: n / 40), EIGHTHS)
@example(0.0, 0.0, 4 / 3, 0.5)
def test_a_stripe_from_slant_to_slant_stays_level(x: float, y: float, high: float, flag: float) -> None:
    """The sides of a hull take its stripe's ends along; whatever else moves, the stripe is not bent."""

    def hull(down: float) -> tuple[float, float]:
        return 4 + x + 2 * down / 3, 36 + x - 2 * down / 3

    (left, right), (low_left, low_right) = hull(0.0), hull(12.0)
    sides = [(left, 6 + y), (right, 6 + y), (low_right, 18 + y), (low_left, 18 + y)]
    (one, two), (three, four) = hull(3.0), hull(3.0 + high)
    stripe = [(one, 9 + y), (two, 9 + y), (four, 9 + y + high), (three, 9 + y + high)]
    sea = [(0, 15.3), (40, 15.3), (40, 22), (0, 22)]
    pennant = [(20 + flag, 1), (24 + flag, 2), (20 + flag, 3)]
    marks = [
        shape(colour, points)
        for colour, points in ((BLUE, sea), (RED, sides), (YELLOW, stripe), (RED, pennant))
    ]
    found = laid(drawing(*marks, wide=40, high=22)).shapes[2].polygon.points[:, 1]
    middle = found.mean()
    for edge in (found[found < middle], found[found > middle]):
        assert np.ptp(edge) <= 1e-6
