"""Which points of thin lines must lie on which holes: ends, corners, joins, extremes of round lines."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Hole = tuple[int, int]

CORNER_COSINE = 0.766
"""Turns of more than 40 degrees are corners of the art and stay corners. Our choice, no source."""

JOIN_SQUARES = 0.25
"""Ends nearer than this to another line are joined to it in the art. Our choice, no source."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Pinned:
    """A chain whose chosen points are tied to holes.

    points: (n, 2) in squares; the chain of a closed line ends where it starts.
    at: indices of the tied points, ascending, the first and the last point among them.
    holes: a hole (column, row) for each of them.
    """

    points: Floats
    at: tuple[int, ...]
    holes: tuple[Hole, ...]


def pin_chains(chains: Sequence[tuple[Floats, bool]]) -> list[Pinned]:
    """Return the chains (points, closed) with their pins; joins are sought between all of them."""
    walks = [np.vstack([points, points[:1]]) if closed else points for points, closed in chains]
    if not walks:
        return []
    everything = np.concatenate(walks)
    centre = (everything.min(axis=0) + everything.max(axis=0)) / 2
    ends = [
        p for (points, closed), walk in zip(chains, walks, strict=True) if not closed for p in walk[[0, -1]]
    ]
    meeting = _joined_ends(np.array(ends).reshape(-1, 2))
    pinned = []
    for (_, closed), walk in zip(chains, walks, strict=True):
        walk, joints = _with_joints(walk, meeting)
        at = _pins(walk, joints, closed=closed)
        holes = [nearest_hole(_meeting_point(walk[i], meeting), centre) for i in at]
        pinned.append(Pinned(points=walk, at=tuple(at), holes=tuple(holes)))
    return pinned


def nearest_hole(point: Floats, centre: Floats) -> Hole:
    """Return the hole (column, row) nearest to a point; half way between two, the one nearer to the centre.

    The centre is that of all lines, so that a mirrored drawing decides alike; where the point lies level
    with it, the choice is free and falls on the lower number.
    """
    low = np.floor(point)
    rest = point - low
    towards = np.where(centre > point, 1.0, 0.0)
    column, row = low + np.where(rest == 0.5, towards, (rest > 0.5).astype(np.float64))
    return int(column), int(row)


def _joined_ends(ends: Floats) -> list[tuple[Floats, Floats]]:
    """Return each cluster of ends that lie near each other, with its middle."""
    clusters: list[list[Floats]] = []
    for end in ends:
        near = [c for c in clusters if any(np.hypot(*(end - other)) < JOIN_SQUARES for other in c)]
        joined = [point for cluster in near for point in cluster]
        clusters = [c for c in clusters if not any(c is other for other in near)]
        clusters.append([*joined, end])
    result = []
    for cluster in clusters:
        points = np.unique(np.array(cluster), axis=0)
        result.append((points, (points.min(axis=0) + points.max(axis=0)) / 2))
    return result


def _meeting_point(point: Floats, meeting: list[tuple[Floats, Floats]]) -> Floats:
    for points, middle in meeting:
        if (np.hypot(*(points - point).T) < JOIN_SQUARES).any():
            return middle
    return point


def _with_joints(walk: Floats, meeting: list[tuple[Floats, Floats]]) -> tuple[Floats, list[int]]:
    """Return the chain with a point where an end of some line touches its inside, and their indices."""
    joints: list[int] = []
    for _, middle in meeting:
        if len(walk) < 2:
            break
        starts, steps = walk[:-1], np.diff(walk, axis=0)
        lengths = np.maximum((steps**2).sum(axis=1), 1e-12)  # squares of squares; a point has no direction
        t = np.clip(((middle - starts) * steps).sum(axis=1) / lengths, 0.0, 1.0)
        foot = starts + t[:, None] * steps
        distance = np.hypot(*(foot - middle).T)
        nearest = int(distance.argmin())
        if distance[nearest] >= JOIN_SQUARES:
            continue
        around = np.hypot(*(walk - middle).T)
        if around.min() < JOIN_SQUARES:
            joints.append(int(around.argmin()))
            continue
        walk = np.insert(walk, nearest + 1, foot[nearest], axis=0)
        joints = [index + (index > nearest) for index in joints]
        joints.append(nearest + 1)
    return walk, joints


def _pins(walk: Floats, joints: list[int], *, closed: bool) -> list[int]:
    last = len(walk) - 1
    at = {*joints, *_corners(walk, closed=closed)}
    if closed:
        if len(at - {0, last}) < 2:
            at |= _extremes(walk)
        if 0 in at or last in at:
            at |= {0, last}
    else:
        at |= {0, last}
    return sorted(at)


def _corners(walk: Floats, *, closed: bool) -> set[int]:
    steps = np.diff(walk, axis=0)
    lengths = np.hypot(*steps.T)
    steps = steps / np.where(lengths > 0, lengths, 1.0)[:, None]
    before, after = steps[:-1], steps[1:]
    corners = set((np.flatnonzero((before * after).sum(axis=1) < CORNER_COSINE) + 1).tolist())
    if closed and len(steps) and float(steps[-1] @ steps[0]) < CORNER_COSINE:
        corners |= {0, len(walk) - 1}
    return corners


def _extremes(walk: Floats) -> set[int]:
    """Return the leftmost, rightmost, uppermost and lowest points, the middle one where several are."""
    found = set()
    for axis in (0, 1):
        for way in (-1.0, 1.0):
            values = walk[:-1, axis] * way
            ties = np.flatnonzero(values == values.max())
            along = walk[ties, 1 - axis]
            found.add(int(ties[np.abs(along - (along.min() + along.max()) / 2).argmin()]))
    return found
