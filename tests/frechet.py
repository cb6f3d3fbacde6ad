"""How far a chain of segments is from a line: the Fréchet distance.

Both are walked from start to end, neither ever back; it is the least over all such walks of the greatest
distance on the way. `frechet` measures it between points STEP apart (Eiter and Mannila 1994, Computing
discrete Fréchet distance), never less than between the lines; `frechet_within` decides it for the lines
themselves (Alt and Godau 1995, Computing the Fréchet distance between two polygonal curves).
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


def frechet_within(chain: Floats, line: Floats, limit: float) -> bool:
    """Whether the Fréchet distance of two lines, each at least two points, is at most the limit.

    A walk is a way up through the diagram of both; it may pass where their points are near enough.
    Of each side of each cell a way reaches an interval: all that is free of a side from the lowest point
    that the cell's other sides let in.
    """
    chain, line = np.asarray(chain, dtype=np.float64), np.asarray(line, dtype=np.float64)
    if max(np.hypot(*(chain[0] - line[0])), np.hypot(*(chain[-1] - line[-1]))) > limit:
        return False
    # what is reached of the lower sides of this row's cells; none but the first has a way in from below
    below: list[Interval] = [(0.0, 0.0)] + [None] * (len(chain) - 2)
    left: Interval = (0.0, 0.0)
    for j in range(len(line) - 1):
        at_left = _onwards(_free(chain[0], line[j : j + 2], limit), left, None)
        left = (0.0, 0.0) if at_left is not None and at_left[1] == 1.0 else None
        above: list[Interval] = []
        for i in range(len(chain) - 1):
            at_right = _onwards(_free(chain[i + 1], line[j : j + 2], limit), at_left, below[i])
            above.append(_onwards(_free(line[j + 1], chain[i : i + 2], limit), below[i], at_left))
            at_left = at_right
        below = above
    return at_left is not None and at_left[1] == 1.0


Interval = tuple[float, float] | None


def _free(point: Floats, edge: Floats, limit: float) -> Interval:
    """Return between which shares of an edge it is near enough to a point."""
    way, to = edge[1] - edge[0], edge[0] - point
    a, b, c = float(way @ way), float(way @ to), float(to @ to) - limit**2
    if a == 0.0:
        return (0.0, 1.0) if c <= 0.0 else None
    if b * b < a * c:
        return None
    root = (b * b - a * c) ** 0.5
    low, high = max(0.0, (-b - root) / a), min(1.0, (-b + root) / a)
    return (low, high) if low <= high else None


def _onwards(free: Interval, opposite: Interval, beside: Interval) -> Interval:
    """Return what is reached of a side: all from the side next to it, else not below the opposite one."""
    if free is None or (opposite is None and beside is None):
        return None
    if beside is not None or opposite is None:
        return free
    return (max(free[0], opposite[0]), free[1]) if opposite[0] <= free[1] else None


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
