"""How far a chain of segments is from a line: the discrete Fréchet distance (Eiter and Mannila 1994).

Both are walked from start to end, neither ever back; it is the least over all such walks of the greatest
distance on the way. Points lie STEP apart, so it is at most half of that more than between the curves.
"""

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
STEP = 1 / 8  # squares between points
NEAR = 1.5  # squares; what is farther from a segment than that is no stretch of its line


def dense(points: Floats) -> Floats:
    """Return evenly spaced points of a chain, its corners among them."""
    points = np.asarray(points, dtype=np.float64)
    parts = [points[:1]]
    for start, end in pairwise(points):
        count = max(1, int(np.ceil(np.hypot(*(end - start)) / STEP)))
        parts.append(start + np.arange(1, count + 1)[:, None] / count * (end - start))
    return np.concatenate(parts)


def frechet(chain: Floats, line: Floats) -> float:
    """Return the discrete Fréchet distance of two lines."""
    squared = _squared(dense(chain), dense(line))
    reached = squared.copy()
    rows, columns = squared.shape
    for diagonal in range(1, rows + columns - 1):
        i = np.arange(max(0, diagonal - columns + 1), min(rows, diagonal + 1))
        j = diagonal - i
        least = np.full(len(i), np.inf)
        for a, b in ((1, 0), (0, 1), (1, 1)):
            inside = (i >= a) & (j >= b)
            least[inside] = np.minimum(least[inside], reached[i[inside] - a, j[inside] - b])
        reached[i, j] = np.maximum(squared[i, j], least)
    return float(np.sqrt(reached[-1, -1]))


def frechet_to_stretches(chain: Floats, line: Floats) -> list[float]:
    """Return for each segment of a chain its discrete Fréchet distance from the nearest stretch of a line."""
    points = dense(line)
    found = []
    for start, end in pairwise(chain):
        segment = dense(np.array([start, end]))
        squared = _squared(segment, points)
        near = np.flatnonzero(squared.min(axis=0) <= NEAR**2)
        runs = np.split(near, np.flatnonzero(np.diff(near) > 1) + 1)
        found.append(min((_to_stretch(squared[:, run]) for run in runs if len(run)), default=np.inf))
    return found


def _to_stretch(squared: Floats) -> float:
    """Return the least distance, squared distances given, where the stretch may start and end anywhere."""
    reached = squared[0]
    for row in squared[1:]:
        # from the point before, or from this one and the line's point before
        onwards = np.minimum(reached, np.concatenate([[np.inf], reached[:-1]]))
        current = np.maximum(row, onwards)
        for j in range(1, len(row)):
            current[j] = min(current[j], max(row[j], current[j - 1]))
        reached = current
    return float(np.sqrt(reached.min()))


def _squared(one: Floats, other: Floats) -> Floats:
    return np.asarray(((one[:, None] - other[None]) ** 2).sum(axis=2))
