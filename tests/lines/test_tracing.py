"""The way along one line: between two holes, and round."""

from itertools import pairwise
from math import gcd

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.lines.edges import HALVES, StitchedEdges
from svg2chart.lines.ground import Ground
from svg2chart.lines.segments import NEVER
from svg2chart.lines.tracing import find_ways

Holes = list[tuple[float, float]]


def cloth(points: np.ndarray, *, side: int = 30, longest: int = 2) -> Ground:
    return Ground.of(StitchedEdges.none(side, side), points, longest=longest)


def traced(points: list, *, longest: int = 2, side: int = 30) -> Holes:
    """Return the holes on the way along a line from the hole of its start to that of its end."""
    line = np.array(points, dtype=np.float64)
    ends = [(np.round(point) * HALVES).astype(np.int64)[None] for point in line[[0, -1]]]
    ways = find_ways(line, ends[0], ends[1], cloth(line, longest=longest, side=side))
    assert ways.cost.shape == (1, 1)
    assert ways.cost[0, 0] < NEVER
    return [(x / HALVES, y / HALVES) for x, y in ways.chain(0, 0)]


@given(st.integers(-12, 12), st.integers(-12, 12), st.integers(1, 12))
@example(11, 5, 1)  # it went by farther holes, to turn less often
@example(14, 9, 1)  # and to be the same after half a turn
def test_a_line_between_two_holes_is_its_lattice_points(across: int, down: int, longest: int) -> None:
    if (across, down) == (0, 0):
        return
    start = (15, 15)
    chain = traced([start, (15 + across, 15 + down)], longest=longest)
    steps = gcd(across, down)
    # the holes on a line between two holes divide it in gcd(a, b) equal parts; number theory
    on_it = [(15 + across * i // steps, 15 + down * i // steps) for i in range(steps + 1)]
    assert set(on_it) <= set(chain)
    # short and long pieces are spread evenly: no hole lies farther than half a square above or below the line
    for x, y in chain:
        away = (y - start[1]) * across - (x - start[0]) * down
        assert abs(away) <= max(abs(across), abs(down)) / 2
    if max(abs(across), abs(down)) <= longest * steps:
        assert chain == on_it


@pytest.mark.parametrize("height", [5.0, 5.1, 5.3, 5.45, 5.5])
def test_a_level_line_stays_level(height: float) -> None:
    line = np.array([[1.0, height], [15.0, height]])
    ends = [np.array([[x * HALVES, 5 * HALVES]]) for x in (1, 15)]
    chain = find_ways(line, ends[0], ends[1], cloth(line)).chain(0, 0)
    assert chain == [(HALVES * column, HALVES * 5) for column in range(1, 16)]


@given(st.integers(3, 9), st.integers(0, 3), st.integers(0, 3))
def test_no_stitch_strays_from_a_smooth_curve(radius: int, x: int, y: int) -> None:
    angles = np.linspace(0.0, np.pi / 2, 60)
    centre = np.array([x, y]) + 10
    chain = traced((centre + radius * np.stack([np.cos(angles), np.sin(angles)], axis=1)).tolist())
    for one, other in pairwise(chain):
        middle = np.mean([one, other], axis=0)
        assert abs(np.hypot(*(middle - centre)) - radius) <= 0.75
        assert max(abs(one[0] - other[0]), abs(one[1] - other[1])) <= 2


def test_long_lines_cost_memory_by_their_length_only() -> None:
    # all pairs of the holes of this line would be sixteen million
    chain = traced([(0.0, 0.2), (2000.0, 0.2)], side=2001)
    assert chain == [(column, 0) for column in range(2001)]
