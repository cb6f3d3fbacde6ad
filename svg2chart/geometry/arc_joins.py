"""Corners of `arcs`: the outer sides of a stroke run on along circles until they meet.

Points and directions are complex numbers here, in the pen's own space.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import atan2, ceil, cos, inf, pi, sin, sqrt, tau

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.affine import Affine
from svg2chart.geometry.outline import StrokeStyle, arc_step, is_flat
from svg2chart.geometry.path import Path
from svg2chart.geometry.polygon import Polylines

Array = NDArray[np.float64]

_STRAIGHT = 1e-9  # the sine of a turn that is none; rounding is 1e-16, and no join so small is seen


@dataclass(frozen=True, slots=True)
class _Side:
    """An outer side that runs on beyond the corner.

    at: where it starts. ahead: which way it runs. out: to its outer side, both of length 1.
    radius: its centre is at + radius x out, so it is negative where it bends inwards; inf for a line.
    """

    at: complex
    ahead: complex
    out: complex
    radius: float

    @property
    def is_line(self) -> bool:
        return self.radius == inf

    @property
    def centre(self) -> complex:
        return self.at + self.radius * self.out

    def grown(self, by: float) -> "_Side":
        """Return the side with a radius so much longer; it starts where it did."""
        return replace(self, radius=self.radius + (by if self.radius > 0 else -by))

    def walk_to(self, end: complex, slack: float) -> list[complex]:
        """Return points from its start to an end on it, no chord farther from it than the slack."""
        if self.is_line:
            return [self.at, end]
        arm = self.at - self.centre
        sense = 1 if _cross(arm, self.ahead) > 0 else -1
        turn = _travel(self, end)
        chords = max(1, ceil(turn / arc_step(abs(self.radius), slack)))
        angles = (sense * turn * k / chords for k in range(chords))
        return [*(self.centre + arm * complex(cos(a), sin(a)) for a in angles), end]


def arc_joins(
    path: Path, drawn: Polylines, style: StrokeStyle, *, pen: Affine, tolerance: float
) -> list[Array]:
    """Return contours that, laid over a bevelled stroke, give its corners the shape of `arcs`.

    The sides run on with the curvature that they have at the corner, r = 1 / k changed by half the
    width, until they meet. Circles that do not meet are made to touch: both radii change by the same
    length, the larger of two that lie in each other becomes smaller; against a line only the circle
    grows. Two lines make a miter. Where a side is bent outwards more tightly than half the width the
    corner is round. What lies beyond the miter limit, measured along the circle that leaves the corner
    on its bisector and ends at the tip, is cut square to that circle.

    Source: W3C, SVG 2, editor's draft of 2016 (the last with this value), 13.5.7 line join shape,
    "Computing the circles for the arcs stroke-linejoin" and "Adjusting the circles". That a curve
    bends "more than 2 / stroke width" is read as towards the outside, where its side would run backwards.

    Args:
        path: what the stroke is drawn along.
        drawn: the same flattened, or its dashes: a corner that none passes has no join.
        style: lengths in pen space.
        pen: from there to the space of the path.
        tolerance: how far round parts may stray, in that space.
    """
    to_path = pen.linear()
    if is_flat(pen) or not style.width > 0:
        return []
    slack = tolerance / to_path.largest_scale
    passed = {point for points, closed in drawn.chains() for point in _inner(points, closed=closed)}
    joins = []
    for corner, before, after in _corners(path):
        if corner in passed:
            join = _join(_in_pen(before, to_path), _in_pen(after, to_path), style, slack)
            joins.append(to_path.apply(np.stack([join.real, join.imag], axis=1)))
    return [join for join in joins if len(join) > 2]


def _in_pen(segment: Array, pen: Affine) -> NDArray[np.complex128]:
    points = pen.inverse().apply(segment)
    return np.asarray(points[:, 0] + 1j * points[:, 1])


def _inner(points: Array, *, closed: bool) -> list[tuple[float, float]]:
    return list(map(tuple, (points if closed else points[1:-1]).tolist()))


def _corners(path: Path) -> Iterator[tuple[tuple[float, float], Array, Array]]:
    """Yield where two segments meet, with the one before and the one after."""
    for segments, closed in path.contours():
        long = [segment for segment in segments if (segment != segment[0]).any()]
        for k, segment in enumerate(long):
            if k > 0 or (closed and len(long) > 1):
                x, y = segment[0].tolist()
                yield (x, y), long[k - 1], segment


def _join(
    before: NDArray[np.complex128], after: NDArray[np.complex128], style: StrokeStyle, slack: float
) -> NDArray[np.complex128]:
    """Return the outline of one join, drawn as the stroke's own contours are; empty where there is none."""
    corner, half = complex(after[0]), style.width / 2
    arriving, leaving = -_leaving(before[::-1]), _leaving(after)
    sine = _cross(arriving, leaving)
    if abs(sine) < _STRAIGHT and _dot(arriving, leaving) > 0:
        return np.zeros(0, np.complex128)
    outwards = -1j if sine >= 0 else 1j
    limit = half * style.miter_limit
    sides = []
    for ahead, out, bend in (
        (arriving, outwards * arriving, _bend(before[::-1])),
        (-leaving, outwards * leaving, _bend(after)),
    ):
        towards = _dot(bend, out)
        if towards * half >= 1:
            return _round(corner, outwards * arriving, outwards * leaving, half, slack)
        is_line = abs(towards) * limit**2 / 2 < slack  # it strays less from its tangent up to the limit
        sides.append(_Side(corner + half * out, ahead, out, inf if is_line else 1 / towards - half))
    first, second = _made_to_meet(sides[0], sides[1])
    bisector = _unit(arriving - leaving)
    if first.is_line and second.is_line and abs(sine) < _STRAIGHT:  # straight back: they never meet
        return _drawn([first.at, first.at + limit * bisector, second.at + limit * bisector, second.at])
    tip = _tip(first, second, corner)
    outline = [corner, *first.walk_to(tip, slack), *second.walk_to(tip, slack)[-2::-1]]
    return _drawn(_cut(outline, corner, bisector, tip, limit))


def _leaving(segment: NDArray[np.complex128]) -> complex:
    """Return the direction in which a segment leaves its first point: towards the first other one."""
    return _unit(complex(next(point for point in segment[1:] if point != segment[0]) - segment[0]))


def _bend(segment: NDArray[np.complex128]) -> complex:
    """Return the curvature at the first point as a vector to the centre, 0 where a control lies on it."""
    step, turn = complex(segment[1] - segment[0]), complex(segment[2] - segment[1])
    if step == 0:
        return 0j
    return 2 / 3 * _cross(step, turn) / abs(step) ** 3 * 1j * _unit(step)


def _made_to_meet(a: _Side, b: _Side) -> tuple[_Side, _Side]:
    """Return the sides, their radii changed so that they touch where they do not meet.

    Two sides that can never touch run on straight.
    """
    if a.is_line and b.is_line:
        return a, b
    if a.is_line or b.is_line:
        line, circle = (a, b) if a.is_line else (b, a)
        away = _dot(circle.centre - line.at, line.out)
        if abs(away) <= abs(circle.radius):
            return a, b
        slope = _dot(circle.grown(1).centre - circle.centre, line.out)
        found = [(s * abs(circle.radius) - away) / (slope - s) for s in (1, -1) if slope != s]
        changes = (1.0, 0.0) if circle is a else (0.0, 1.0)
    else:
        apart, radii = a.centre - b.centre, (abs(a.radius), abs(b.radius))
        if abs(radii[0] - radii[1]) <= abs(apart) <= sum(radii):
            return a, b
        if abs(apart) > sum(radii):
            changes, reach, gain = (1.0, 1.0), sum(radii), 2.0
        else:
            changes = (1.0, -1.0) if radii[0] < radii[1] else (-1.0, 1.0)
            reach, gain = abs(radii[0] - radii[1]), -2.0
        # |apart + by drift| = reach + by gain
        drift = a.grown(changes[0]).centre - a.centre - (b.grown(changes[1]).centre - b.centre)
        found = _roots(
            _dot(drift, drift) - gain**2, _dot(apart, drift) - reach * gain, _dot(apart, apart) - reach**2
        )
        found = [by for by in found if reach + by * gain >= 0]
    least = min((by for by in found if by > 0), default=None)
    if least is None:
        return replace(a, radius=inf), replace(b, radius=inf)
    grown = [s if s.is_line else s.grown(least * change) for s, change in zip((a, b), changes, strict=True)]
    return grown[0], grown[1]


def _roots(a: float, half_b: float, c: float) -> list[float]:
    """Return the real roots of a x^2 + 2 half_b x + c."""
    if abs(a) < _STRAIGHT:
        return [-c / (2 * half_b)] if half_b else []
    inside = half_b**2 - a * c
    return [(-half_b + sign * sqrt(inside)) / a for sign in (1, -1)] if inside >= 0 else []


def _tip(a: _Side, b: _Side, corner: complex) -> complex:
    """Return where two sides meet: nearest to the corner, if possible before half a turn of either."""
    if a.is_line and b.is_line:
        return a.at + a.ahead * _cross(b.at - a.at, b.ahead) / _cross(a.ahead, b.ahead)
    if a.is_line or b.is_line:
        line, circle = (a, b) if a.is_line else (b, a)
        foot = line.at + line.ahead * _dot(circle.centre - line.at, line.ahead)
        along = line.ahead * sqrt(max(circle.radius**2 - abs(foot - circle.centre) ** 2, 0.0))
    else:
        apart = b.centre - a.centre
        share = (abs(apart) ** 2 + a.radius**2 - b.radius**2) / (2 * abs(apart))
        foot = a.centre + share * _unit(apart)
        along = 1j * _unit(apart) * sqrt(max(a.radius**2 - share**2, 0.0))
    return min(
        (foot + along, foot - along),
        key=lambda end: (max(_travel(a, end), _travel(b, end)) > pi, abs(end - corner)),
    )


def _travel(side: _Side, end: complex) -> float:
    """Return the angle from a side's start to an end on it; for lines 0, a whole turn to what is behind."""
    if side.is_line:
        return 0.0 if _dot(end - side.at, side.ahead) >= 0 else tau
    arm, far = side.at - side.centre, end - side.centre
    sense = 1 if _cross(arm, side.ahead) > 0 else -1
    return (sense * atan2(_cross(arm, far), _dot(arm, far))) % tau


def _cut(
    outline: list[complex], corner: complex, bisector: complex, tip: complex, limit: float
) -> list[complex]:
    """Return a join as far as the miter limit lets it reach.

    A circle that is tangent to the bisector and passes the tip turns by twice the angle between them.
    """
    way = tip - corner
    angle = atan2(_cross(bisector, way), _dot(bisector, way))
    length = abs(way) * (angle / sin(angle) if angle else 1.0)
    if length <= limit:
        return outline
    turned = 2 * angle * limit / length
    end = corner + bisector * limit * (complex(sin(turned), 1 - cos(turned)) / turned if turned else 1.0)
    onwards = bisector * complex(cos(turned), sin(turned))
    kept: list[complex] = []
    for point, following in zip(outline, [*outline[1:], outline[0]], strict=True):
        beyond, later = _dot(point - end, onwards), _dot(following - end, onwards)
        if beyond <= 0:
            kept.append(point)
        if (beyond <= 0) != (later <= 0):
            kept.append(point + (following - point) * beyond / (beyond - later))
    return kept


def _round(
    corner: complex, first: complex, last: complex, half: float, slack: float
) -> NDArray[np.complex128]:
    turn = atan2(_cross(first, last), _dot(first, last))
    chords = max(1, ceil(abs(turn) / arc_step(half, slack)))
    angles = (turn * k / chords for k in range(chords + 1))
    return _drawn([corner, *(corner + half * first * complex(cos(a), sin(a)) for a in angles)])


def _drawn(outline: list[complex]) -> NDArray[np.complex128]:
    """Return the outline drawn the way round that `outline_stroke` draws."""
    points = np.array(outline)
    area = (points.conj() * np.roll(points, -1)).imag.sum()
    return points[::-1] if area > 0 else points


def _unit(way: complex) -> complex:
    return way / abs(way)


def _dot(a: complex, b: complex) -> float:
    return a.real * b.real + a.imag * b.imag


def _cross(a: complex, b: complex) -> float:
    return a.real * b.imag - a.imag * b.real
