"""Points that lie on straight sides, and where they go when these move."""

import numpy as np
from numpy.typing import NDArray

from svg2chart.runs import spread

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

ON_SIDE = 1 / 64
"""A point so near to a side, in squares, lies on it."""

PARALLEL = 1e-3
"""Lines whose directions differ by a sine with less than this square are parallel: 2 degrees."""


def points_on(points: Floats, sides: Floats) -> tuple[Ints, Ints, Floats]:
    """Return points, sides that they lie on, and how far along these, from 0 to 1; by point, then by side.

    Args:
        points: (n, 2) in squares.
        sides: (sides, 4) from where to where.
    """
    by_x = np.argsort(points[:, 0], kind="stable")
    x = points[by_x, 0]
    first = np.searchsorted(x, sides[:, [0, 2]].min(axis=1, initial=np.inf) - ON_SIDE)
    last = np.searchsorted(x, sides[:, [0, 2]].max(axis=1, initial=-np.inf) + ON_SIDE, side="right")
    point, side = by_x[spread(first, last - first)], np.repeat(np.arange(len(sides)), last - first)
    ends = sides[side]
    way, to = ends[:, 2:] - ends[:, :2], points[point] - (ends[:, 2:] + ends[:, :2]) / 2
    length = np.hypot(way[:, 0], way[:, 1])
    along = (to * way).sum(axis=1) / length
    off = np.abs(to[:, 1] * way[:, 0] - to[:, 0] * way[:, 1]) / length
    on = np.flatnonzero((off <= ON_SIDE) & (np.abs(along) <= length / 2 + ON_SIDE))
    on = on[np.lexsort((side[on], point[on]))]
    return point[on], side[on], np.clip(along[on] / length[on] + 0.5, 0.0, 1.0)


def within(part: Floats, length: Floats) -> Bools:
    """Return which points, so far along sides of a length in squares, do not lie at their ends."""
    return np.minimum(part, 1 - part) * length > ON_SIDE


def carried(points: Floats, ways: Floats, sides: Floats, ends: Floats) -> Floats:
    """Return the ways of points, those within straight sides between the ways of the ends of these.

    Of several sides the longest decides, of equals their mean.

    Args:
        points: (n, 2) in squares.
        ways: (n, 2) where each would go.
        sides: (sides, 4) from where to where.
        ends: (sides, 4) the ways of their ends.
    """
    point, side, part = points_on(points, sides)
    length = np.hypot(*(sides[side, 2:] - sides[side, :2]).T)
    inner = within(part, length)
    point, side, part, length = point[inner], side[inner], part[inner, None], length[inner]
    if not len(point):
        return ways
    longest = np.zeros(len(points))
    np.maximum.at(longest, point, length)
    kept = length == longest[point]
    point, side, part = point[kept], side[kept], part[kept]
    way = (1 - part) * ends[side, :2] + part * ends[side, 2:]
    count = np.bincount(point, minlength=len(points))
    result = ways.copy()
    at = np.flatnonzero(count)
    result[at] = np.stack([np.bincount(point, w, len(points)) for w in way.T], axis=1)[at] / count[at, None]
    return result


def meeting(row: Ints, normal: Floats, way: Floats, count: int) -> tuple[Floats, Bools]:
    """Return (count, 2) where points go that lie on lines which move, and whether any of their lines cross.

    They go to where all their lines meet, or nearly.

    Args:
        row: (n,) which point lies on each line.
        normal: (n, 2) across it, of length one.
        way: (n,) how far it moves along that.
        count: of points.
    """
    xx, xy, yy, x, y = (
        np.bincount(row, part, count)
        for part in (
            normal[:, 0] ** 2,
            normal[:, 0] * normal[:, 1],
            normal[:, 1] ** 2,
            normal[:, 0] * way,
            normal[:, 1] * way,
        )
    )
    area = xx * yy - xy * xy
    crossing = area > PARALLEL
    # the least squares: for crossing lines, and for parallel ones straight across
    both = np.stack([x * yy - y * xy, y * xx - x * xy], axis=1) / np.where(crossing, area, 1.0)[:, None]
    straight = np.stack([x, y], axis=1) / np.maximum(xx + yy, 1.0)[:, None]
    return np.where(crossing[:, None], both, straight), crossing
