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

    def at(self, distances: Array) -> tuple[Array, Array, NDArray[np.bool_]]:
        """Return the points so far along the path, the unit vectors forwards, and which of them lie on it.

        Both are (k, 2) for k distances; those that do not lie on it are put at its start. Where the
        path stands still, forwards is from the point before to the point after it.
        """
        is_there = (distances >= 0) & (distances <= self.length) & (self.length > 0)
        if self.length == 0:
            return np.zeros((len(distances), 2)), np.tile([1.0, 0.0], (len(distances), 1)), is_there
        ends = self.ends.ravel()
        inside = np.where(is_there, distances, 0.0)
        index = np.minimum(np.searchsorted(ends, inside), len(ends) - 1)
        curves = self.segments[index // _STEPS]
        start = index % _STEPS / _STEPS
        t = _parameters(curves, start, inside - np.where(index > 0, ends[index - 1], 0.0))
        forwards = _speed(curves, t[:, None])[:, 0]
        is_still = np.hypot(forwards[:, 0], forwards[:, 1]) <= 1e-9 * self.length
        before, after = np.maximum(t - 1e-3, 0.0), np.minimum(t + 1e-3, 1.0)
        around = _points(curves, after) - _points(curves, before)
        forwards = np.where(is_still[:, None], around, forwards)
        sizes = np.hypot(forwards[:, 0], forwards[:, 1])
        forwards = np.where(
            sizes[:, None] > 0, forwards / np.where(sizes > 0, sizes, 1.0)[:, None], (1.0, 0.0)
        )
        return _points(curves, t), forwards, is_there


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


def _parameters(curves: Array, starts: Array, distances: Array) -> Array:
    """Return where each curve has come so far from its start, within one step, by halving."""
    low, high = starts, starts + 1 / _STEPS
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        t = starts[:, None] + (middle - starts)[:, None] * (_NODES + 1) / 2
        speed = _speed(curves, t)
        walked = np.hypot(speed[..., 0], speed[..., 1]) @ _WEIGHTS * (middle - starts) / 2
        is_short = walked < distances
        low, high = np.where(is_short, middle, low), np.where(is_short, high, middle)
    return np.asarray((low + high) / 2)


def _speed(curves: Array, t: Array) -> Array:
    """Return the derivatives (n, k, 2) of cubics (n, 4, 2) at k parameters, the same ones or (n, k).

    A straight line, whose controls lie on its ends, is walked evenly.
    """
    p0, p1, p2, p3 = (curves[:, None, k] for k in range(4))
    s, t = (1 - t)[..., None], t[..., None]
    bent = 3 * ((p1 - p0) * s * s + 2 * (p2 - p1) * s * t + (p3 - p2) * t * t)
    return np.where(_is_straight(curves)[:, None, None], p3 - p0, bent)


def _points(curves: Array, t: Array) -> Array:
    """Return the point (n, 2) of each cubic at its parameter, lines walked evenly."""
    p0, p1, p2, p3 = (curves[:, k] for k in range(4))
    s, t = (1 - t)[:, None], t[:, None]
    bent = s**3 * p0 + 3 * s * s * t * p1 + 3 * s * t * t * p2 + t**3 * p3
    return np.where(_is_straight(curves)[:, None], p0 + (p3 - p0) * t, bent)


def _is_straight(curves: Array) -> NDArray[np.bool_]:
    p0, p1, p2, p3 = (curves[:, k] for k in range(4))
    return np.asarray(((p0 == p1) & (p2 == p3)).all(axis=-1))
