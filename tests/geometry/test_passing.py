"""What passes beneath a convex outline: lines that go on, not ends, and not what shares its edge."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.geometry.passing import pass_beneath

TENTHS = st.integers(-9, 9).map(lambda n: n / 10)
ANGLES = st.integers(0, 71).map(lambda n: n * np.pi / 36)
SIDES = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])


def disc(radius: float) -> np.ndarray:
    turn = np.arange(64) * np.pi / 32
    return radius * np.stack([np.cos(turn), np.sin(turn)], axis=1)


def turned(points: np.ndarray, angle: float) -> np.ndarray:
    (c, s) = np.cos(angle), np.sin(angle)
    return points @ np.array([[c, s], [-s, c]])


def post(top: float, half_wide: float) -> np.ndarray:
    """Return an upright bar from far below up to a height, y down."""
    return np.array([[-half_wide, top], [half_wide, top], [half_wide, 40], [-half_wide, 40]])


def passes_beneath(lower: np.ndarray, upper: np.ndarray, *, reach: float) -> bool:
    starts = np.array([0, len(upper), len(upper) + len(lower)])
    one, other = np.array([0]), np.array([1])
    return bool(pass_beneath(np.concatenate([upper, lower]), starts, one, other, reach=reach)[0])


@given(st.integers(2, 8), TENTHS, ANGLES)
def test_a_straight_edge_that_crosses_an_outline_passes_beneath(
    radius: int, off: float, angle: float
) -> None:
    cloth = np.array([[-50, off * radius], [50, off * radius], [50, 100], [-50, 100]])
    assert passes_beneath(turned(cloth, angle), disc(radius), reach=1.0)


@given(st.integers(2, 8), st.integers(1, 9), st.integers(2, 8), ANGLES)
def test_what_ends_just_beneath_does_not(radius: int, deep: int, wide: int, angle: float) -> None:
    """A lamp that moves against its post by a square could come off it."""
    lamp = disc(radius)
    assert not passes_beneath(turned(post(radius - deep / 10, wide / 10), angle), lamp, reach=1.0)


@given(st.integers(3, 8), st.integers(2, 8), ANGLES)
def test_what_ends_farther_in_than_all_may_move_does(radius: int, wide: int, angle: float) -> None:
    assert passes_beneath(turned(post(0.0, wide / 10), angle), disc(radius), reach=1.0)


@given(st.integers(1, 8), st.integers(0, 30).map(lambda n: n / 10), ANGLES)
def test_what_shares_a_side_or_lies_beside_does_not(size: int, off: float, angle: float) -> None:
    upper = turned(SIDES * size, angle)
    below = turned(np.array([[-9, size + off], [9, size + off], [9, 30], [-9, 30]]), angle)
    assert not passes_beneath(below, upper, reach=1.0)
