"""Ellipses, arcs and quadratic curves as cubic Béziers."""

from math import atan2, ceil, cos, hypot, isfinite, pi, radians, sin, sqrt, tan

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Point = tuple[float, float]

# One cubic spans at most a sixteenth of a turn: its radius is off by at most
# 7e-8 of the radius (by 2.7e-4 for a quarter turn; the error falls with the sixth power of the angle).
PIECES_IN_QUARTER = 4
_PIECE = pi / 2 / PIECES_IN_QUARTER


def _quarter() -> Array:
    """Return a quarter of the unit circle from (1, 0) to (0, 1), mirrored exactly at its middle."""
    handle = 4 / 3 * tan(_PIECE / 4)
    half = []
    for k in range(PIECES_IN_QUARTER // 2):
        (c0, s0), (c1, s1) = ((cos(a), sin(a)) for a in (k * _PIECE, (k + 1) * _PIECE))
        if k == PIECES_IN_QUARTER // 2 - 1:
            c1 = s1 = sqrt(0.5)
        half.append(
            [(c0, s0), (c0 - handle * s0, s0 + handle * c0), (c1 + handle * s1, s1 - handle * c1), (c1, s1)]
        )
    first = np.array(half)
    return np.concatenate([first, first[::-1, ::-1, ::-1]])


QUARTER = _quarter()
QUARTER.setflags(write=False)


def quarter_ellipse(centre: Point, radii: Point, *, quarter: int) -> Array:
    """Return a quarter of an upright ellipse, (4, 4, 2).

    Quarter 0 runs from the rightmost to the lowest point (y down), each
    further one goes on clockwise on the screen.
    """
    x, y = QUARTER[..., 0], QUARTER[..., 1]
    turned = ((x, y), (-y, x), (-x, -y), (y, -x))[quarter % 4]
    return np.stack([centre[0] + radii[0] * turned[0], centre[1] + radii[1] * turned[1]], axis=-1)


CIRCLE = np.concatenate([quarter_ellipse((0.0, 0.0), (1.0, 1.0), quarter=k) for k in range(4)])
CIRCLE.setflags(write=False)


def ellipse(centre: Point, radii: Point) -> Array:
    """Return an upright ellipse as (16, 4, 2), clockwise on the screen from its right (SVG 2, 10.4)."""
    return np.asarray(np.array(centre) + np.array(radii) * CIRCLE)


def arc(
    start: Point, radii: Point, *, turn: float, is_large: bool, is_clockwise: bool, end: Point
) -> list[float]:
    """Return an elliptical arc as cubics of at most a sixteenth of a turn each, eight coordinates a cubic.

    Args:
        start: where it starts.
        radii: along the ellipse's own axes; too small ones are enlarged.
        turn: of the ellipse's x axis, in degrees.
        is_large: whether it spans more than half a turn.
        is_clockwise: whether it goes round clockwise on the screen (sweep flag).
        end: where it ends, met exactly.

    Source: SVG 1.1, appendix F.6.5 and F.6.6.
    """
    if start == end:
        return []
    rx, ry = abs(radii[0]), abs(radii[1])
    if rx == 0 or ry == 0:
        return [*start, *start, *end, *end]
    c, s = (cos(radians(turn)), sin(radians(turn))) if turn else (1.0, 0.0)
    half_x, half_y = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    # on the circle of radius 1 that the ellipse becomes
    x, y = (c * half_x + s * half_y) / rx, (c * half_y - s * half_x) / ry
    reach = hypot(x, y)
    if not isfinite(reach * max(rx, ry)):  # a radius so small that it is none
        return [*start, *start, *end, *end]
    if reach > 1:
        rx, ry, x, y = rx * reach, ry * reach, x / reach, y / reach
    centre, first, sweep = _on_circle(x, y, is_large=is_large, is_clockwise=is_clockwise)
    axes = (c * rx, s * rx, -s * ry, c * ry)  # what the axes of the unit circle become
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    return [*start, *_cubics(start, centre, (first, sweep), axes, middle), *end]


def _on_circle(x: float, y: float, *, is_large: bool, is_clockwise: bool) -> tuple[Point, float, float]:
    """Return the centre, the first angle and the sweep of an arc of radius 1 from (x, y) to (-x, -y)."""
    reach = min(hypot(x, y), 1.0)
    # (1 - reach)(1 + reach) keeps digits that 1 - reach ** 2 loses
    off = sqrt((1 - reach) * (1 + reach)) / reach * (-1 if is_large == is_clockwise else 1)
    centre_x, centre_y = off * y, -off * x
    first = atan2(y - centre_y, x - centre_x)
    sweep = (atan2(-y - centre_y, -x - centre_x) - first) % (2 * pi)
    return (centre_x, centre_y), first, sweep if is_clockwise else sweep - 2 * pi


def _cubics(
    start: Point,
    centre: Point,
    turn: tuple[float, float],
    axes: tuple[float, float, float, float],
    middle: Point,
) -> list[float]:
    """Return an arc of radius 1, given by its first angle and its sweep, as cubics where the axes lay it.

    Eight coordinates a cubic, without the first two and the last two. The controls lie on the tangents,
    4/3 tan(angle / 4) of the radius from the ends.
    """
    (x, y), (centre_x, centre_y), (first, sweep), (ux, uy, vx, vy) = start, centre, turn, axes
    pieces = max(1, ceil(abs(sweep) / _PIECE - 1e-9))
    step = sweep / pieces
    handle = 4 / 3 * tan(step / 4)
    drawn: list[float] = []
    c, s = cos(first), sin(first)
    along_x, along_y = handle * (vx * c - ux * s), handle * (vy * c - uy * s)
    for k in range(1, pieces + 1):
        held_x, held_y = x + along_x, y + along_y
        angle = first + k * step
        c, s = cos(angle), sin(angle)
        along_x, along_y = handle * (vx * c - ux * s), handle * (vy * c - uy * s)
        unit_x, unit_y = c + centre_x, s + centre_y
        x, y = middle[0] + ux * unit_x + vx * unit_y, middle[1] + uy * unit_x + vy * unit_y
        drawn += (held_x, held_y, x - along_x, y - along_y, x, y, x, y)
    return drawn[:-4]


def curve_length(segments: Array) -> float:
    """Return the length of cubics, (n, 4, 2), by Gauss-Legendre quadrature of the speed at 16 points each."""
    nodes, weights = np.polynomial.legendre.leggauss(16)
    t = ((nodes + 1) / 2)[:, None]
    steps = 3 * np.diff(segments, axis=1)[:, :, None]
    speed = steps[:, 0] * (1 - t) ** 2 + steps[:, 1] * 2 * t * (1 - t) + steps[:, 2] * t**2
    return float((np.hypot(speed[..., 0], speed[..., 1]) @ weights).sum() / 2)
