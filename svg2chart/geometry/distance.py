"""Distances along paths: how long they are, and what lies how far along."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.path import Path

Array = NDArray[np.float64]

# Each segment is measured in so many equal steps of its parameter. An arc of up to a quarter turn is then
# measured within 1e-13 of its length, and a curve with a cusp within 1e-4.
_STEPS = 32
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(6)
_HALVINGS = 40  # of a step of the parameter: the place along it to 1e-12


@dataclass(frozen=True, slots=True, eq=False)
class Distances:
    """A path with how far along it each of its steps ends.

    Moves from contour to contour have no length (SVG 2, 11.8.3). ends: (n, steps) float64, distances from the
    start of the path to the end of each step of each segment.
    """

    segments: Array
    ends: Array

    @property
    def length(self) -> float:
        """The length of the path."""
        return float(self.ends[-1, -1]) if len(self.ends) else 0.0

    def at(self, distance: float) -> tuple[tuple[float, float], tuple[float, float]] | None:
        """Return the point so far along the path and the unit vector forwards, None beyond the ends.

        Where the path stands still, forwards is from the point before to the point after it.
        """
        if not 0 <= distance <= self.length or self.length == 0:
            return None
        index = min(int(np.searchsorted(self.ends.ravel(), distance)), self.ends.size - 1)
        segment, step = divmod(index, _STEPS)
        curve = self.segments[segment]
        rest = distance - (float(self.ends.ravel()[index - 1]) if index else 0.0)
        t = _parameter(curve, step / _STEPS, (step + 1) / _STEPS, rest)
        point = _point(curve, t)
        forwards = _speed(curve, np.array([t]))[0]
        size = float(np.hypot(*forwards))
        if size <= 1e-9 * self.length:
            forwards = _point(curve, min(t + 1e-3, 1.0)) - _point(curve, max(t - 1e-3, 0.0))
            size = float(np.hypot(*forwards)) or 1.0
        return (float(point[0]), float(point[1])), (float(forwards[0]) / size, float(forwards[1]) / size)


def distances_along(path: Path) -> Distances:
    """Return the distances along a path, by Gauss-Legendre quadrature of the speed, 6 points a step."""
    steps = np.arange(_STEPS) / _STEPS
    t = (steps[:, None] + (_NODES + 1) / (2 * _STEPS)).ravel()
    speed = _speed(path.segments, t)
    lengths = np.hypot(speed[..., 0], speed[..., 1]).reshape(-1, _STEPS, len(_NODES)) @ _WEIGHTS
    return Distances(path.segments, np.cumsum(lengths / (2 * _STEPS)).reshape(-1, _STEPS))


def backwards(path: Path) -> Path:
    """Return the path drawn from its end to its start."""
    contours = [(segments[::-1, ::-1], closed) for segments, closed in reversed(path.contours())]
    return Path.of_contours(contours)


def _parameter(curve: Array, start: float, end: float, distance: float) -> float:
    """Return where a step of a curve has come so far, by halving."""
    low, high = start, end
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        t = start + (middle - start) * (_NODES + 1) / 2
        speed = _speed(curve, t)
        walked = float(np.hypot(speed[..., 0], speed[..., 1]) @ _WEIGHTS) * (middle - start) / 2
        low, high = (middle, high) if walked < distance else (low, middle)
    return (low + high) / 2


def _speed(curves: Array, t: Array) -> Array:
    """Return the derivatives (..., k, 2) of cubics (..., 4, 2) at k parameters.

    A straight line, whose controls lie on its ends, is walked evenly.
    """
    p0, p1, p2, p3 = (curves[..., None, k, :] for k in range(4))
    is_straight = ((p0 == p1) & (p2 == p3)).all(axis=-1, keepdims=True)
    s, t = (1 - t)[:, None], t[:, None]
    bent = 3 * ((p1 - p0) * s * s + 2 * (p2 - p1) * s * t + (p3 - p2) * t * t)
    return np.asarray(np.where(is_straight, p3 - p0, bent))


def _point(curve: Array, t: float) -> Array:
    p0, p1, p2, p3 = curve
    if np.array_equal(p0, p1) and np.array_equal(p2, p3):
        return np.asarray(p0 + (p3 - p0) * t)
    s = 1 - t
    return np.asarray(s**3 * p0 + 3 * s * s * t * p1 + 3 * s * t * t * p2 + t**3 * p3)
