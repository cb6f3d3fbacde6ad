"""Flattening: within the tolerance, the same backwards and mirrored, no repeated points."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from svg2chart.geometry.flatten import MAX_STEPS, flatten_paths
from svg2chart.geometry.path import Path

Array = NDArray[np.float64]

numbers = st.integers(-64, 64).map(lambda n: n / 8)
points = st.tuples(numbers, numbers)
tolerances = st.sampled_from([2.0**-k for k in range(1, 12)])


def joined_segments(corners: list[tuple[float, float]]) -> Array:
    """Return segments that each start where the one before ends: p0 c c p1 c c p2."""
    count = (len(corners) - 1) // 3
    return np.array([[corners[3 * k + i] for i in range(4)] for k in range(count)], dtype=np.float64)


contours = st.builds(
    lambda corners, closed: (
        joined_segments([*corners[: len(corners) // 3 * 3], corners[0]])
        if closed
        else joined_segments(corners),
        closed,
    ),
    st.lists(points, min_size=4, max_size=13),
    st.booleans(),
)
paths = st.lists(contours, max_size=3).map(Path.of_contours)


def backwards(path: Path) -> Path:
    return Path.of_contours([(segments[::-1, ::-1], closed) for segments, closed in path.contours()])


def evaluated(segment: Array, t: Array) -> Array:
    """Return points of a cubic by de Casteljau's construction."""
    level = [np.outer(1 - t, segment[i]) + np.outer(t, segment[i + 1]) for i in range(3)]
    s = t[:, np.newaxis]
    level = [(1 - s) * level[i] + s * level[i + 1] for i in range(2)]
    return np.asarray((1 - s) * level[0] + s * level[1])


@given(path=paths, tolerance=tolerances)
def test_no_point_of_a_curve_strays_farther_than_the_tolerance(path: Path, tolerance: float) -> None:
    [lines] = flatten_paths([path], tolerance=tolerance)
    assert len(lines.chains()) == len(path.contours())
    for (segments, was_closed), (chain, closed) in zip(path.contours(), lines.chains(), strict=True):
        assert closed == was_closed
        walk = np.concatenate([chain, chain[:1]]) if closed or len(chain) == 1 else chain
        flat = shapely.LineString(walk)
        for segment in segments:
            curve = shapely.points(evaluated(segment, np.linspace(0, 1, 65)))
            assert shapely.distance(curve, flat).max() <= tolerance * (1 + 1e-9)


@given(path=paths, tolerance=tolerances)
def test_backwards_gives_the_same_points_backwards(path: Path, tolerance: float) -> None:
    there, back = flatten_paths([path, backwards(path)], tolerance=tolerance)
    for (chain, closed), (reverse, _) in zip(there.chains(), back.chains(), strict=True):
        turned = np.roll(reverse[::-1], 1, axis=0) if closed else reverse[::-1]
        assert np.array_equal(chain, turned)


@given(path=paths, tolerance=tolerances)
def test_a_mirrored_path_gives_mirrored_points(path: Path, tolerance: float) -> None:
    mirrored = Path.of_contours([(s * np.array([-1.0, 1.0]), closed) for s, closed in path.contours()])
    plain, mirror = flatten_paths([path, mirrored], tolerance=tolerance)
    assert np.array_equal(plain.points * np.array([-1.0, 1.0]), mirror.points)
    assert np.array_equal(plain.starts, mirror.starts)


@given(path=paths, tolerance=tolerances)
def test_no_point_is_repeated(path: Path, tolerance: float) -> None:
    [lines] = flatten_paths([path], tolerance=tolerance)
    for chain, closed in lines.chains():
        assert len(chain) >= 1
        assert (chain[1:] != chain[:-1]).any(axis=1).all()
        if closed and len(chain) > 1:
            assert (chain[0] != chain[-1]).any()


@given(some=st.lists(paths, max_size=4), tolerance=tolerances)
def test_paths_do_not_touch_each_other(some: list[Path], tolerance: float) -> None:
    for together, path in zip(flatten_paths(some, tolerance=tolerance), some, strict=True):
        [alone] = flatten_paths([path], tolerance=tolerance)
        assert np.array_equal(together.points, alone.points)
        assert np.array_equal(together.starts, alone.starts)


def test_a_straight_line_stays_one_piece() -> None:
    path = Path.of_contours([(np.array([[[0, 0], [0, 0], [900, 300], [900, 300]]]), False)])
    [lines] = flatten_paths([path], tolerance=0.001)
    assert lines.points.tolist() == [[0, 0], [900, 300]]


@pytest.mark.parametrize("closed", [False, True])
def test_a_dot_keeps_one_point(*, closed: bool) -> None:
    path = Path.of_contours([(np.full((3, 4, 2), 5.0), closed)])
    [lines] = flatten_paths([path], tolerance=0.001)
    assert lines.points.tolist() == [[5, 5]]


def test_quarter_circle_needs_the_steps_of_the_bound() -> None:
    k = 0.5522847498
    quarter = np.array([[[1, 0], [1, k], [k, 1], [0, 1]]])
    # the bound for four steps is 0.02155 and the true error 0.01997, measured independently
    [four] = flatten_paths([Path.of_contours([(quarter, False)])], tolerance=0.0216)
    [five] = flatten_paths([Path.of_contours([(quarter, False)])], tolerance=0.0215)
    assert (len(four.points), len(five.points)) == (5, 6)


def test_a_giant_curve_stops_at_the_limit() -> None:
    giant = np.array([[[0, 0], [0, 1e12], [1e12, 1e12], [1e12, 0]]])
    [lines] = flatten_paths([Path.of_contours([(giant, False)])], tolerance=1e-6)
    assert len(lines.points) == MAX_STEPS + 1
