"""Points slip along their line, not off it, and only where that keeps them from moving too far."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.fitting.carrying import SLIP, points_on, slipped

ways = st.integers(-64, 64).map(lambda n: n / 64)
MOST = 0.5


@given(st.tuples(ways, ways), st.tuples(ways, ways), st.floats(0.0, 2 * np.pi))
def test_a_point_slips_along_its_line_as_far_as_it_must(
    way: tuple[float, float], shift: tuple[float, float], angle: float
) -> None:
    normal = np.array([np.cos(angle), np.sin(angle)])
    along = np.array([-normal[1], normal[0]])
    start, before = np.array(way), np.array(shift)
    (after,) = slipped(start[None], before[None], normal[None], MOST)
    slip = after - start
    assert abs(slip @ normal) < 1e-12
    assert np.hypot(*slip) <= SLIP + 1e-12
    # places along the line that are near enough, but for such as are just on the edge
    near = [
        step for step in np.linspace(-SLIP, SLIP, 65) if np.abs(before + start + step * along).max() < MOST
    ]
    runs = np.abs(along).min() > SLIP
    if near and runs:
        assert np.abs(before + after).max() <= MOST + 1e-12
        assert np.hypot(*slip) <= min(map(abs, near)) + 1e-12


def test_no_point_lies_on_a_side_that_was_pressed_to_a_point() -> None:
    sides = np.array([[2.0, 3.0, 2.0, 3.0], [0.0, 0.0, 3.0, 4.0]])
    with np.errstate(all="raise"):
        point, side, part = points_on(np.array([[2.0, 3.0], [1.5, 2.0]]), sides)
    assert (point.tolist(), side.tolist(), part.tolist()) == ([1], [1], [0.5])
