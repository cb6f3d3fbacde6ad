"""Curves to chains of points within a tolerance."""

from collections.abc import Sequence
from itertools import accumulate, pairwise

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.path import Path
from svg2chart.geometry.polygon import Polylines

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

# Beyond this many steps a curve is drawn coarser than the tolerance; it takes a
# curve about eight million tolerances across, so art on any grid stays below.
MAX_STEPS = 4096


def flatten_paths(paths: Sequence[Path], *, tolerance: float) -> list[Polylines]:
    """Return the chains of each path, no point of a curve farther from them than the tolerance.

    Chain k of a result is contour k of its path. Consecutive equal points are
    dropped, and a closed chain does not repeat its first point; a dot keeps one point.

    A curve is cut in N equal steps of its parameter. A chord over a step h
    strays at most h^2/8 max |C''| from the curve, and C'' of a cubic lies between
    6 (P0 - 2 P1 + P2) and 6 (P1 - 2 P2 + P3): hence N^2 = 3/4 of the longer
    of the two over the tolerance, at most `MAX_STEPS`^2. Source of the
    bound: linear interpolation error, any numerical analysis text.

    The points are the same to the last bit when a path is drawn backwards, and
    mirrored when it is mirrored. Time grows with the number of points; all
    curves of all paths are evaluated in one go.

    Args:
        paths: coordinates must be finite.
        tolerance: above 0, in the unit of the paths.
    """
    if not paths:
        return []
    segments = np.concatenate([path.segments for path in paths])
    controls = segments.reshape(-1, 8).T.copy()  # each coordinate in one row
    bounds = np.concatenate([path.starts for path in paths])
    lengths = bounds[1:] - bounds[:-1]
    lengths = lengths[lengths > 0]  # not the way back from the end of a path to the start of the next
    closed = np.concatenate([path.closed for path in paths])
    ends = lengths.cumsum()

    steps = _steps(controls.reshape(4, 2, -1), tolerance)
    counts = steps.copy()
    counts[ends[~closed] - 1] += 1  # an open contour has the end of its last segment too
    befores = _running(counts)
    step = np.arange(befores[-1]) - np.repeat(befores[:-1], counts)
    points = _evaluate(np.repeat(controls, counts, axis=1).reshape(4, 2, -1), step, np.repeat(steps, counts))

    firsts = befores[_running(lengths)]
    kept = _kept(points, firsts, closed)
    starts = _running(kept)[firsts]
    kept_points = points.compress(kept, axis=1).T.copy()
    owned = pairwise(accumulate((len(path.closed) for path in paths), initial=0))
    return [_slice(kept_points, starts[first : last + 1], closed[first:last]) for first, last in owned]


def _running(counts: NDArray[np.int64] | NDArray[np.bool_]) -> Ints:
    """Return the sums up to before each count and of all."""
    sums = np.zeros(len(counts) + 1, np.int64)
    counts.cumsum(out=sums[1:])
    return sums


def _steps(controls: Array, tolerance: float) -> Ints:
    """Return how many chords each segment needs; sums in an order that drawing backwards keeps."""
    bends = (controls[:2] + controls[2:]) - 2 * controls[1:3]  # P0 - 2 P1 + P2 and P1 - 2 P2 + P3
    bend = np.hypot(bends[:, 0], bends[:, 1]).max(axis=0)
    bend[(controls[::2] == controls[1::2]).all(axis=(0, 1))] = 0.0  # controls on the ends: a straight line
    steps = np.ceil(np.sqrt(0.75 * bend / tolerance))
    return np.asarray(steps.clip(1, MAX_STEPS), dtype=np.int64)


def _evaluate(controls: Array, step: Ints, steps: Ints) -> Array:
    """Return the point of each segment at step / steps, (2, n).

    t and 1 - t enter alike, so that drawing backwards gives the same bits.
    """
    t, s = step / steps, (steps - step) / steps
    p0, p1, p2, p3 = controls
    ends, middle = s * s * s * p0, s * s * t * p1
    ends += t * t * t * p3
    middle += t * t * s * p2
    middle *= 3
    ends += middle
    return np.asarray(ends)


def _kept(points: Array, firsts: Ints, closed: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return which points differ from the one before, and in closed chains from the first."""
    x, y = points
    kept = np.ones(len(x), dtype=np.bool_)
    kept[1:] = (x[1:] != x[:-1]) | (y[1:] != y[:-1])
    kept[firsts[:-1]] = True
    last_kept = np.maximum.accumulate(np.where(kept, np.arange(len(x)), 0))[firsts[1:] - 1]
    first = firsts[:-1]
    back = closed & (last_kept > first) & (x[last_kept] == x[first]) & (y[last_kept] == y[first])
    kept[last_kept[back]] = False
    return kept


def _slice(points: Array, starts: Ints, closed: NDArray[np.bool_]) -> Polylines:
    return Polylines(points=points[starts[0] : starts[-1]], starts=starts - starts[0], closed=closed)
