"""Flags, sails and spikes: what is symmetric is stitched so, and equal ones come out equal."""

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from svg2chart.fit import lay_on_grid
from svg2chart.fitting.alike import Boxes, ways_alike
from svg2chart.grid import Grid
from svg2chart.svg.read import read_artwork
from tests.breadth import shared
from tests.drawings import BLUE, GREEN, RED, Points, box, chart_of, drawing, drawn, shape
from tests.fitting.test_fitted import laid

EXAMPLES = Path(__file__).parents[2] / "examples"
SIDE = 24
HUNDREDTHS = st.integers(0, 99).map(lambda n: n / 100)
SIZES = st.integers(150, 900).map(lambda n: n / 100)
TURNS: dict[str, Callable[[float, float], tuple[float, float]]] = {
    "down": lambda x, y: (x, y),
    "up": lambda x, y: (x, SIDE - y),
    "right": lambda x, y: (y, x),
    "left": lambda x, y: (SIDE - y, x),
}


def flag(x: float, y: float, wide: float, high: float) -> Points:
    """Return a flag that hangs down from its upper side."""
    return [(x, y), (x + wide, y), (x + wide / 2, y + high)]


def shown(rows: list[list[str]]) -> list[list[str]]:
    """Return the rows and columns in which anything is stitched."""
    squares = np.array(rows)
    row, column = np.nonzero(squares != ".")
    return squares[row.min() : row.max() + 1, column.min() : column.max() + 1].tolist()


@pytest.mark.parametrize("towards", TURNS)
@settings(max_examples=shared(4))
@given(HUNDREDTHS, HUNDREDTHS, SIZES, SIZES)
@example(0.47, 0.1, 6.43, 4.66)  # six whole squares would be too far off
@example(0.31, 0.3, 3.24, 6.59)
def test_a_lone_flag_is_symmetric_wherever_it_lies(
    towards: str, x: float, y: float, wide: float, high: float
) -> None:
    assume(abs(np.arctan(2 * high / wide) - np.pi / 4) > 0.02)  # those go to diagonals of holes
    corners = [TURNS[towards](*point) for point in flag(7 + x, 7 + y, wide, high)]
    mirrored = [(SIDE - x, y) if towards in ("down", "up") else (x, SIDE - y) for x, y in corners]
    here, there = (
        shown(drawn(chart_of(drawing(shape(RED, points), wide=SIDE, high=SIDE))))
        for points in (corners, mirrored)
    )
    assert here == there


@st.composite
def flag_lines(draw: st.DrawFn) -> tuple[list[Points], float, float]:
    """Draw flags of one size beside each other, at least two squares apart; and that size."""
    wide, high = draw(SIZES), draw(SIZES)
    x, found = 2.0, []
    for _ in range(draw(st.integers(2, 5))):
        x += draw(st.integers(200, 350)) / 100
        found.append(flag(x, 3 + draw(HUNDREDTHS), wide, high))
        x += wide
    return found, wide, high


@given(flag_lines())
@example(([flag(3.3 + 10.3 * n, 4, 7, 9) for n in range(5)], 7.0, 9.0))
@example(
    ([flag(4.03, 3.03, 1.88, 1.94), flag(7.91, 3.0, 1.88, 1.94)], 1.88, 1.94)
)  # from hole to hole, nearly
def test_equal_flags_come_out_equal(line: tuple[list[Points], float, float]) -> None:
    flags, wide, high = line
    assume(abs(np.arctan(2 * high / wide) - np.pi / 4) > 0.02)
    marks = [shape(RED, points, element=f"flag{k}") for k, points in enumerate(flags)]
    room = shape(BLUE, box(0, 0, 1, 15), box(68, 0, 69, 15))  # at the edge of a drawing there is none
    found = laid(drawing(*marks, room, wide=69, high=15), 0.5).shapes[:-1]
    assert_equal([each.polygon.points for each in found])


def test_a_long_line_of_flags_is_one_line_all_along() -> None:
    """Their spaces are a little less than three squares: somewhere two once lay against each other."""
    artwork = read_artwork(EXAMPLES / "night-regatta.svg")
    fitted = lay_on_grid(artwork, Grid.fit(artwork, wide=80))
    flags = [
        shape.polygon.points
        for shape, mark in zip(fitted.shapes, fitted.marks, strict=True)
        if mark.element.startswith("flag-6-")
    ]
    assert len(flags) > 20
    assert_equal(flags)
    assert {round(float(other[0, 0] - one[0, 0]), 3) for one, other in pairwise(flags)} == {3.0}


@given(flag_lines(), HUNDREDTHS)
@example(([flag(3.463, 3, 2.315, 1.852), flag(8.167, 3, 2.315, 1.852)], 2.315, 1.852), 0.389)
def test_what_ends_behind_the_wall_at_the_height_of_flags_leaves_them_equal(
    line: tuple[list[Points], float, float], y: float
) -> None:
    flags, wide, high = line
    assume(abs(np.arctan(2 * high / wide) - np.pi / 4) > 0.02)
    top = 3 + y
    level = [flag(points[0][0], top, wide, high) for points in flags]
    marks = [shape(RED, points, element=f"flag{k}") for k, points in enumerate(level)]
    dusk, wall = shape(BLUE, box(0, 0, 69, top)), shape(GREEN, box(1, 1, 68, 14))
    found = laid(drawing(dusk, wall, *marks, wide=69, high=15), 0.5).shapes[-len(marks) :]
    assert_equal([each.polygon.points for each in found])
    # the upper side is level, and lies at holes or half way between
    assert {y for each in found for y in each.polygon.points[:2, 1] * 2 % 1} == {0.0}


def assert_equal(outlines: list[np.ndarray]) -> None:
    """Check that outlines are the same, but for whole squares between them."""
    for each in outlines[1:]:
        apart = each - outlines[0]
        assert np.abs(apart - np.rint(apart[0])).max() <= 2.0**-12


@pytest.mark.parametrize("towards", TURNS)
@settings(max_examples=shared(4))
@given(
    st.lists(HUNDREDTHS, min_size=4, max_size=4),
    st.integers(260, 780).map(lambda n: n / 100),
    st.integers(85, 115).map(lambda n: n / 100),
)
@example([0.56, 0.12, 0.15, 0.81], 4.42, 0.91)  # four squares each way end in two full stitches
@example([0.17, 0.15, 0.07, 0.3], 4.61, 0.86)
def test_equal_pennants_about_as_high_as_wide_end_in_one_square(
    towards: str, offs: list[float], wide: float, slim: float
) -> None:
    high = wide * slim
    corners = [flag(3 + offs[0], 7 + offs[1], wide, high), flag(14 + offs[2], 7 + offs[3], wide, high)]
    marks = [
        shape(RED, [TURNS[towards](*point) for point in points], element=f"flag{k}")
        for k, points in enumerate(corners)
    ]
    edge = [shape(BLUE, box(*at, at[0] + 1, at[1] + 1)) for at in ((0, 0), (SIDE - 1, SIDE - 1))]
    rows = np.array(drawn(chart_of(drawing(*marks, *edge, wide=SIDE, high=SIDE))))
    rows[rows == "b"] = "."
    turned = rows if towards in ("down", "up") else rows.T
    one, other = shown(turned[:, : SIDE // 2 + 1].tolist()), shown(turned[:, SIDE // 2 + 1 :].tolist())
    assert one == other
    last = one[-1 if towards in ("down", "right") else 0]
    assert len([square for square in last if square != "."]) <= 2
    assert "".join(last).strip(".") == "r" or all(square != "r" for square in last)


def test_if_the_first_of_a_row_has_no_room_to_its_left_all_lie_otherwise_and_alike() -> None:
    """Pennants of 4.8 squares, each in the middle of 6: half a square to one side each would be 5 wide."""
    outlines = tuple(np.array(flag(0.6 + 6 * number, 3, 4.8, 8.1)) for number in range(15))
    at = np.array([[*each.min(axis=0), *each.max(axis=0)] for each in outlines])
    heavy = np.array([[0, -1]] * len(at))
    boxes = Boxes(at=at, is_round=np.zeros(len(at), np.bool_), heavy=heavy, outlines=outlines)
    between = np.stack([np.full((len(at), 2), -1.0), np.full((len(at), 2), 91.0)])
    between[0, 0, 0] = 0.3
    pairs = np.array([[number, number + 1] for number in range(len(at) - 1)])
    ways = ways_alike(boxes, np.zeros_like(at), between, np.array([0.0, 15.0]), pairs, 0.5)
    assert np.abs(ways).max() <= 0.75
    assert np.ptp(ways, axis=0).max() < 1e-9
