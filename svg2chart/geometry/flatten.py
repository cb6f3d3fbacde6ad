"""Curves to chains of points within a tolerance."""

from collections.abc import Sequence
from itertools import pairwise

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
    segments = np.concatenate([path.segments for path in paths] or [np.zeros((0, 4, 2))])
    lengths = np.concatenate([np.diff(path.starts) for path in paths] or [np.zeros(0, dtype=np.int64)])
    closed = np.concatenate([path.closed for path in paths] or [np.zeros(0, dtype=np.bool_)])
    ends = np.cumsum(lengths)

    steps = _steps(segments, tolerance)
    counts = steps.copy()
    counts[ends[~closed] - 1] += 1  # an open contour has the end of its last segment too
    owner = np.repeat(np.arange(len(segments)), counts)
    step = np.arange(len(owner)) - np.repeat(np.cumsum(counts) - counts, counts)
    points = _evaluate(segments[owner], step, steps[owner])

    firsts = np.concatenate([[0], np.cumsum(counts)])[np.concatenate([[0], ends])]
    kept = _kept(points, firsts, closed)
    points = points[kept]
    starts = np.concatenate([[0], np.cumsum(kept)])[firsts]
    bounds = np.concatenate([[0], np.cumsum([len(path.closed) for path in paths])]).astype(np.int64)
    return [_slice(points, starts[first : last + 1], closed[first:last]) for first, last in pairwise(bounds)]


def _steps(segments: Array, tolerance: float) -> Ints:
    """Return how many chords each segment needs; sums in an order that drawing backwards keeps."""
    p0, p1, p2, p3 = (segments[:, i] for i in range(4))
    bends = np.stack([(p0 + p2) - 2 * p1, (p1 + p3) - 2 * p2])
    bend = np.hypot(bends[..., 0], bends[..., 1]).max(axis=0, initial=0.0)
    straight = ((p0 == p1) & (p2 == p3)).all(axis=1)
    steps = np.ceil(np.sqrt(0.75 * np.where(straight, 0.0, bend) / tolerance))
    return np.clip(steps, 1, MAX_STEPS).astype(np.int64)


def _evaluate(segments: Array, step: Ints, steps: Ints) -> Array:
    """Return the point of each segment at step / steps.

    t and 1 - t enter alike, so that drawing backwards gives the same bits.
    """
    t = (step / steps)[:, np.newaxis]
    s = ((steps - step) / steps)[:, np.newaxis]
    p0, p1, p2, p3 = (segments[:, i] for i in range(4))
    return np.asarray((s * s * s * p0 + t * t * t * p3) + 3 * (s * s * t * p1 + t * t * s * p2))


def _kept(points: Array, firsts: Ints, closed: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return which points differ from the one before, and in closed chains from the first."""
    kept = np.ones(len(points), dtype=np.bool_)
    kept[1:] = (points[1:] != points[:-1]).any(axis=1)
    kept[firsts[:-1]] = True
    last_kept = np.maximum.accumulate(np.where(kept, np.arange(len(points)), 0))[firsts[1:] - 1]
    back = closed & (last_kept > firsts[:-1]) & (points[last_kept] == points[firsts[:-1]]).all(axis=1)
    kept[last_kept[back]] = False
    return kept


def _slice(points: Array, starts: Ints, closed: NDArray[np.bool_]) -> Polylines:
    return Polylines(
        points=points[starts[0] : starts[-1]].copy(), starts=starts - starts[0], closed=closed.copy()
    )
