"""Distances along paths against closed forms."""

from math import asinh, cos, hypot, pi, sin, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.geometry.distance import Distances, backwards, distances_along
from svg2chart.geometry.path import Path, line

QUARTER = 4 / 3 * (sqrt(2) - 1)  # the usual handle of a quarter circle; it strays 2.8e-4 of the radius


def polyline(*points: tuple[float, float], closed: bool = False) -> Path:
    ends = np.array(points)
    pieces = [line(ends[k], ends[(k + 1) % len(ends)]) for k in range(len(ends) - 1 + closed)]
    return Path.of_contours([(np.stack(pieces), closed)])


def circle(radius: float) -> Path:
    """Return a circle about the origin, clockwise on the screen from its rightmost point."""
    turns = np.array([[1, 0], [0, 1], [-1, 0], [0, -1]])
    quarters = []
    for k in range(4):
        a, b = turns[k], turns[(k + 1) % 4]
        quarters.append(np.array([a, a + QUARTER * b, b + QUARTER * a, b]) * radius)
    return Path.of_contours([(np.stack(quarters), True)])


def parabola() -> Path:
    """Return y = x^2 from x = 0 to x = 2, a quadratic raised to a cubic."""
    p0, p1, p2 = np.array([0.0, 0.0]), np.array([1.0, 0.0]), np.array([2.0, 4.0])
    return Path.of_contours([([np.array([p0, p0 + 2 / 3 * (p1 - p0), p2 + 2 / 3 * (p1 - p2), p2])], False)])


def parabola_length(x: float) -> float:
    # the integral of sqrt(1 + 4 x^2), any table of integrals
    return x * sqrt(1 + 4 * x * x) / 2 + asinh(2 * x) / 4


Found = tuple[tuple[float, float], tuple[float, float]]


def at(distances: Distances, distance: float) -> Found | None:
    """Return the point and the direction at one distance."""
    points, forwards, is_there = distances.at(np.array([distance]))
    if not is_there[0]:
        return None
    return tuple(points[0].tolist()), tuple(forwards[0].tolist())


def test_lines_are_walked_evenly() -> None:
    distances = distances_along(polyline((0, 0), (30, 0), (30, 40), closed=True))
    assert distances.length == pytest.approx(30 + 40 + 50)
    for distance, point, forwards in (
        (0.0, (0, 0), (1, 0)),
        (7.0, (7, 0), (1, 0)),
        (50.0, (30, 20), (0, 1)),
        (95.0, (15, 20), (-0.6, -0.8)),
        (120.0, (0, 0), (-0.6, -0.8)),
    ):
        found = at(distances, distance)
        assert found is not None
        assert found[0] == pytest.approx(point, abs=1e-9)
        assert found[1] == pytest.approx(forwards)


def test_nothing_lies_beyond_the_ends() -> None:
    distances = distances_along(polyline((0, 0), (10, 0)))
    assert at(distances, -1e-9) is None
    assert at(distances, 10.001) is None
    assert at(distances_along(Path.of_contours([])), 0.0) is None
    assert at(distances_along(polyline((5, 5), (5, 5))), 0.0) is None


def test_moves_between_contours_have_no_length() -> None:
    two = Path.of_contours([*polyline((0, 0), (10, 0)).contours(), *polyline((50, 50), (50, 60)).contours()])
    distances = distances_along(two)
    assert distances.length == pytest.approx(20)
    found = at(distances, 13.0)
    assert found is not None
    assert found[0] == pytest.approx((50, 53))


@given(share=st.floats(0, 1))
def test_a_circle(share: float) -> None:
    distances = distances_along(circle(100.0))
    assert distances.length == pytest.approx(2 * pi * 100, rel=3e-4)
    found = at(distances, share * distances.length)
    assert found is not None
    (x, y), (right, down) = found
    angle = share * 2 * pi
    assert (x, y) == pytest.approx((100 * cos(angle), 100 * sin(angle)), abs=0.1)
    assert hypot(right, down) == pytest.approx(1)
    assert (right, down) == pytest.approx((-sin(angle), cos(angle)), abs=3e-3)


@given(x=st.floats(0, 2))
def test_a_parabola(x: float) -> None:
    distances = distances_along(parabola())
    assert distances.length == pytest.approx(parabola_length(2.0), rel=1e-12)
    found = at(distances, min(parabola_length(x), distances.length))
    assert found is not None
    assert found[0] == pytest.approx((x, x * x), abs=1e-9)
    slope = hypot(1, 2 * x)
    assert found[1] == pytest.approx((1 / slope, 2 * x / slope), abs=1e-9)


POINTS = st.lists(st.tuples(st.integers(-8, 8), st.integers(-8, 8)), min_size=4, max_size=4)


@given(points=POINTS, one=st.floats(0, 1), other=st.floats(0, 1))
def test_no_two_points_are_farther_apart_than_the_way_between_them(
    points: list[tuple[int, int]], one: float, other: float
) -> None:
    distances = distances_along(Path.of_contours([([np.array(points, dtype=float)], False)]))
    length = distances.length
    first, second = at(distances, one * length), at(distances, other * length)
    if first is None or second is None:
        assert length == 0
        return
    apart = hypot(first[0][0] - second[0][0], first[0][1] - second[0][1])
    # a cusp, where the speed has a corner, is measured within 1e-4
    assert apart <= abs(one - other) * length + 1e-3


@given(points=POINTS, share=st.floats(0, 1))
def test_backwards_is_the_same_way(points: list[tuple[int, int]], share: float) -> None:
    path = Path.of_contours([([np.array(points, dtype=float)], False)])
    there, back = distances_along(path), distances_along(backwards(path))
    assert back.length == pytest.approx(there.length, abs=1e-3)
    one, other = at(there, share * there.length), at(back, (1 - share) * back.length)
    assert (one is None) == (other is None)
    if one is not None and other is not None:
        assert one[0] == pytest.approx(other[0], abs=1e-2)


def test_a_curve_that_stands_still_at_its_start_has_a_direction() -> None:
    held = Path.of_contours([([np.array([(0.0, 0.0), (0.0, 0.0), (4.0, 4.0), (8.0, 8.0)])], False)])
    found = at(distances_along(held), 0.0)
    assert found is not None
    assert found[1] == pytest.approx((sqrt(0.5), sqrt(0.5)))
