"""The way between two holes."""

from itertools import pairwise
from math import gcd

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.lines.tracing import trace


@given(st.integers(-12, 12), st.integers(-12, 12))
def test_a_line_between_two_holes_passes_all_holes_on_it(across: int, down: int) -> None:
    if (across, down) == (0, 0):
        return
    chain = trace(np.array([[0.0, 0.0], [across, down]]), (0, 0), (across, down), longest=2)
    steps = gcd(across, down)
    # the holes on a line between two holes divide it in gcd(a, b) equal parts; number theory
    on_it = {(across * i // steps, down * i // steps) for i in range(steps + 1)}
    assert on_it <= set(chain)
    if max(abs(across), abs(down)) <= 2 * steps:
        assert set(chain) == on_it


@pytest.mark.parametrize("height", [0.0, 0.1, 0.3, 0.45, 0.5])
def test_a_level_line_stays_level(height: float) -> None:
    chain = trace(np.array([[1.0, height], [15.0, height]]), (1, 0), (15, 0), longest=2)
    assert chain == [(column, 0) for column in range(1, 16)]


@given(st.integers(3, 9), st.integers(0, 3), st.integers(0, 3))
def test_no_stitch_strays_from_a_smooth_curve(radius: int, x: int, y: int) -> None:
    angles = np.linspace(0.0, np.pi / 2, 60)
    centre = np.array([x, y]) + 20
    points = centre + radius * np.stack([np.cos(angles), np.sin(angles)], axis=1)
    start, end = (int(centre[0]) + radius, int(centre[1])), (int(centre[0]), int(centre[1]) + radius)
    chain = trace(points, start, end, longest=2)
    assert (chain[0], chain[-1]) == (start, end)
    for one, other in pairwise(chain):
        middle = np.mean([one, other], axis=0)
        assert abs(np.hypot(*(middle - centre)) - radius) <= 0.75
        assert max(abs(one[0] - other[0]), abs(one[1] - other[1])) <= 2


def test_long_lines_cost_memory_by_their_length_only() -> None:
    # all pairs of the holes of this line would be sixteen million
    chain = trace(np.array([[0.0, 0.2], [2000.0, 0.2]]), (0, 0), (2000, 0), longest=2)
    assert chain == [(column, 0) for column in range(2001)]
