"""How far a chain of segments is from a line: the discrete Fréchet distance and a coupling of both."""

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
STEP = 1 / 16  # squares between points


def dense(points: Floats) -> tuple[Floats, NDArray[np.int64]]:
    """Return evenly spaced points of a chain, its corners among them, and the segment of each."""
    points = np.asarray(points, dtype=np.float64)
    parts, segment = [points[:1]], [0]
    for index, (start, end) in enumerate(pairwise(points)):
        count = max(1, int(np.ceil(np.hypot(*(end - start)) / STEP)))
        shares = np.arange(1, count + 1)[:, None] / count
        parts.append(start + shares * (end - start))
        segment += [index] * count
    return np.concatenate(parts), np.array(segment)


def coupling_distances(chain: Floats, line: Floats) -> tuple[float, Floats]:
    """Return the discrete Fréchet distance of two lines, and of each segment of the chain from its stretch.

    Both are walked from start to end, neither ever back. The first number is the least over all such walks of
    the greatest distance on the way (Eiter and Mannila 1994); the others are the greatest distance along
    each segment in the walk of least squared distances: never less than the segment's own distance.
    """
    one, segment = dense(chain)
    other, _ = dense(line)
    squared = ((one[:, None] - other[None]) ** 2).sum(axis=2)
    farthest, total = squared.copy(), squared.copy()
    rows, columns = squared.shape
    for diagonal in range(1, rows + columns - 1):
        i = np.arange(max(0, diagonal - columns + 1), min(rows, diagonal + 1))
        j = diagonal - i
        before = [np.where((i - a >= 0) & (j - b >= 0), 0.0, np.inf) for a, b in ((1, 0), (0, 1), (1, 1))]
        steps = ((1, 0), (0, 1), (1, 1))
        least = [farthest[i - a, j - b] + gate for (a, b), gate in zip(steps, before, strict=True)]
        farthest[i, j] = np.maximum(squared[i, j], np.minimum.reduce(least))
        least = [total[i - a, j - b] + gate for (a, b), gate in zip(steps, before, strict=True)]
        total[i, j] = squared[i, j] + np.minimum.reduce(least)
    worst = np.zeros(int(segment.max()) + 1)
    i, j = rows - 1, columns - 1
    while True:
        worst[segment[i]] = max(worst[segment[i]], squared[i, j])
        if i == j == 0:
            break
        options = [(total[i - a, j - b], a, b) for a, b in ((1, 1), (1, 0), (0, 1)) if i >= a and j >= b]
        _, a, b = min(options)
        i, j = i - a, j - b
    return float(np.sqrt(farthest[-1, -1])), np.sqrt(worst)
