"""Corners of `arcs` against closed forms of discs, the sides' own circles, and the joins they fall back to.

The rule is that of W3C, SVG 2, editor's draft of 2016, line join shape.
"""

from dataclasses import replace
from itertools import pairwise
from math import acos, cos, pi, radians, sin, sqrt

import numpy as np
import pytest

from svg2chart.artwork import Stroke
from svg2chart.colour import Colour
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.dashes import dash_lines
from svg2chart.geometry.flatten import flatten_paths
from svg2chart.geometry.outline import Join, StrokeStyle
from svg2chart.geometry.path import Path, line
from svg2chart.geometry.polygon import Polygon
from svg2chart.regions import painted_region
from tests.geometry.regions import Array, painted_area

TOLERANCE = 1e-4
PIECES = 16  # of an arc: at the ends of Béziers so short the curvature is the circle's within 1e-6
ARCS = StrokeStyle(width=2, join=Join.ARCS, miter_limit=100)


def arc(centre: complex, radius: float, start: float, end: float) -> list[Array]:
    """Return an arc between two angles in degrees as short Béziers."""
    angles = np.linspace(radians(start), radians(end), PIECES + 1)
    arm = 4 / 3 * np.tan((angles[1] - angles[0]) / 4)
    found = []
    for a, b in pairwise(angles):
        p, q = np.exp(1j * a), np.exp(1j * b)
        points = centre + radius * np.array([p, p * (1 + 1j * arm), q * (1 - 1j * arm), q])
        found.append(np.stack([points.real, points.imag], axis=1))
    return found


def stroked(segments: list[Array], style: StrokeStyle, *, closed: bool, pen: Affine | None = None) -> Polygon:
    placed = (pen or Affine()).apply(np.array(segments))
    path = Path.of_contours([(placed, closed)])
    mark = Stroke(element="rope", path=path, style=style, pen=pen or Affine(), colour=Colour(0, 0, 0))
    chains = dash_lines(flatten_paths([path], tolerance=TOLERANCE)[0], style, pen=mark.pen)
    return painted_region(mark, chains, to_chains=Affine(), tolerance=TOLERANCE)


def lens(radius: float, apart: float) -> float:
    """Return the area that two discs share, textbook formula."""
    return 2 * radius**2 * acos(apart / 2 / radius) - apart / 2 * sqrt(4 * radius**2 - apart**2)


def segment(radius: float, height: float) -> float:
    """Return the area of a disc beyond a chord at a distance from the middle, textbook formula."""
    return radius**2 * acos(height / radius) - height * sqrt(radius**2 - height**2)


def hull(half_angle: float = 60.0, radius: float = 10.0) -> list[Array]:
    """Return the outline of what two discs share: two arcs that meet in points above and below."""
    away = radius * cos(radians(half_angle))
    right = arc(-away + 0j, radius, -half_angle, half_angle)
    return right + arc(away + 0j, radius, 180 - half_angle, 180 + half_angle)


@pytest.mark.parametrize("half_angle", [30, 45, 60, 80])
def test_tips_of_a_lens_are_those_of_the_wider_lens(half_angle: float) -> None:
    # sides that run on along their own circles: what the wider discs share, less what the narrower do
    shape = hull(half_angle)
    apart = 20 * cos(radians(half_angle))
    whole = painted_area(stroked(shape, ARCS, closed=True))
    assert whole == pytest.approx(lens(11, apart) - lens(9, apart), abs=0.01)


def test_a_side_of_a_line_and_one_of_an_arc() -> None:
    # a disc of radius 10 cut by an upright line 2 right of its middle
    half_angle = 90 - np.degrees(np.arcsin(0.2))
    shape = arc(0j, 10, -half_angle, half_angle)
    shape.append(line(shape[-1][-1], shape[0][0]))
    whole = painted_area(stroked(shape, ARCS, closed=True))
    assert whole == pytest.approx(segment(11, 1) - segment(9, 3), abs=0.01)


@pytest.mark.parametrize("limit", [1.2, 2, 100])
@pytest.mark.parametrize("turn", [30, 90, 150, 180])
def test_two_lines_make_a_miter_that_is_cut_at_its_limit(turn: float, limit: float) -> None:
    corner = complex(-cos(radians(turn)), sin(radians(turn))) * 40
    shape = [
        line(np.array([40.0, 0.0]), np.zeros(2)),
        line(np.zeros(2), np.array([corner.real, corner.imag])),
    ]
    style = replace(ARCS, miter_limit=limit)
    whole, cut = (
        stroked(shape, replace(style, join=join), closed=False) for join in (Join.ARCS, Join.MITER_CLIP)
    )
    assert painted_area(whole) == pytest.approx(painted_area(cut), abs=1e-3)


def bent_apart(radius: float, half_turn: float) -> list[Array]:
    """Return two arcs that meet at the origin, tip up, and bend away from each other, mirrored at x = 0."""
    angle = radians(half_turn)
    leaving = arc(radius * complex(sin(angle), -cos(angle)), radius, 90 + half_turn, 50 + half_turn)
    return [*((piece * [-1, 1])[::-1] for piece in leaving[::-1]), *leaving]


@pytest.mark.parametrize("radius", [1.05, 1.3, 1.8])
@pytest.mark.parametrize("half_turn", [30, 45, 60])
def test_circles_apart_grow_until_they_touch(radius: float, half_turn: float) -> None:
    # the circles of the outer sides have the radius r = radius - 1. Grown alike they touch on the axis where
    # (1 + r) sin a = r, at (1 + r) cos a = cos a / (1 - sin a), however small they were
    angle = radians(half_turn)
    points = stroked(bent_apart(radius, half_turn), ARCS, closed=False).points
    tip = points[np.abs(points[:, 0]) < 1e-3, 1].min()
    assert tip == pytest.approx(-cos(angle) / (1 - sin(angle)), abs=1e-3)


def test_a_circle_grows_until_it_touches_a_line() -> None:
    # a line along x turns down into an arc that bends outwards, its outer side of radius 0.5. Its circle
    # touches the line's side, 1 above the axis, when the radius is 1: its middle is 2 right of the corner
    shape = [line(np.array([-20.0, 0.0]), np.zeros(2)), *arc(1.5 + 0j, 1.5, 180, 150)]
    region = stroked(shape, ARCS, closed=False)
    assert region.points[:, 0].max() == pytest.approx(2, abs=1e-3)


def test_the_larger_of_two_circles_in_each_other_becomes_smaller() -> None:
    # before the corner an arc of radius 30, its outer side 31; beyond it one that bends outwards, its outer
    # side 0.5, in the circle of the first. The same is found by halving the interval of the change
    shape = [*arc(30j, 30, -120, -90), *arc(1.5 + 0j, 1.5, 180, 150)]
    out = (-1j, 1 + 0j)  # from the corner at the origin to the two outer sides

    def gap(change: float) -> float:
        large, small = out[0] - (31 - change) * out[0], out[1] + (0.5 + change) * out[1]
        return 31 - change - (0.5 + change) - abs(large - small)

    low, high = 0.0, 15.0
    assert gap(low) > 0 > gap(high)
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if gap(middle) > 0 else (low, middle)
    large, small = out[0] - (31 - low) * out[0], out[1] + (0.5 + low) * out[1]
    tip = large + (small - large) / abs(small - large) * (31 - low)
    points = stroked(shape, ARCS, closed=False).points
    assert np.abs(points[:, 0] + 1j * points[:, 1] - tip).min() < 1e-3


@pytest.mark.parametrize("radius", [0.4, 0.9])
def test_a_side_that_would_run_backwards_makes_a_round_corner(radius: float) -> None:
    found = [
        painted_area(stroked(bent_apart(radius, 45), replace(ARCS, join=join), closed=False))
        for join in (Join.ARCS, Join.ROUND)
    ]
    assert found[0] == pytest.approx(found[1], abs=1e-3)


def test_a_symmetric_tip_is_cut_square_at_its_limit() -> None:
    # the tips of the lens stand at sqrt(10^2 - 5^2) from its middle; limit 1.1 x half the width 1 beyond them
    points = stroked(hull(60), replace(ARCS, miter_limit=1.1), closed=True).points
    top = points[:, 1].max()
    assert top == pytest.approx(sqrt(75) + 1.1, abs=1e-3)
    assert (points[:, 1] > top - 1e-6).sum() == 2


def test_a_lone_curved_tip_is_cut_square_to_the_circle_on_its_bisector() -> None:
    # a line and an arc meet at a right angle; the tip lies off the bisector. The limit cuts it short
    shape = [line(np.array([-20.0, 0.0]), np.zeros(2)), *arc(-3 + 0j, 3, 0, 60)]
    tip = complex(sqrt(4**2 - 1) - 3, -1)  # on the line's side and on the circle of radius 4
    bisector = np.exp(-1j * pi / 4)
    angle = float(np.angle(tip / bisector))
    length = abs(tip) * angle / sin(angle)
    radius = length / (2 * angle)
    limit = 1.01
    assert limit < length
    end = bisector * radius * complex(sin(limit / radius), 1 - cos(limit / radius))
    onwards = bisector * np.exp(1j * limit / radius)
    points = stroked(shape, replace(ARCS, miter_limit=limit), closed=False).points @ np.array([1, 1j])
    near = points[np.abs(points - tip) < 0.8]
    beyond = ((near - end) * np.conj(onwards)).real
    assert beyond.max() == pytest.approx(0, abs=1e-6)
    assert (np.abs(beyond) < 1e-6).sum() == 2


@pytest.mark.parametrize("pen", [Affine.scaling(3, 1), Affine.scaling(-1, 1), Affine.rotation(30)])
def test_a_pen_scales_what_it_draws(pen: Affine) -> None:
    plain, moved = (painted_area(stroked(hull(), ARCS, closed=True, pen=p)) for p in (Affine(), pen))
    assert moved == pytest.approx(plain * abs(pen.determinant), rel=1e-4)


def test_a_corner_in_a_gap_between_dashes_has_no_join() -> None:
    shape = [
        line(np.array([0.0, 0.0]), np.array([10.0, 0.0])),
        line(np.array([10.0, 0.0]), np.array([10.0, 10.0])),
    ]
    whole, gap = (
        painted_area(stroked(shape, replace(ARCS, dashes=dashes), closed=False))
        for dashes in ((), (9.0, 2.0, 9.0, 9.0))
    )
    assert whole == pytest.approx(2 * 20, abs=1e-3)
    assert gap == pytest.approx(2 * 18, abs=1e-3)
