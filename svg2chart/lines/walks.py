"""Lines as walks: places along them, stretches between places, corners, joined ends."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.meetings import near_points
from svg2chart.grid import LATTICE

Floats = NDArray[np.float64]

CORNER_COSINE = 0.766
"""Turns of more than 40 degrees are corners of the art and stay corners. Our choice, no source."""

CORNER_REACH = 0.5
"""A turn is measured between the ways half a square before and after it, so that the rounded corners of a
drawing count as well. Our choice, no source."""

TOUCHING = 1 / 512  # squares; ends of one thread no farther apart are one line, drawn in two parts
SAMPLES_A_SQUARE = 8


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Walk:
    """A line of one thread.

    points: (n, 2) in squares; of a closed one the first follows the last.
    order: the place in paint order of the uppermost line that it is part of.
    pieces: numbers of the drawing's pieces of line that it is made of.
    """

    points: Floats
    closed: bool
    thread: int
    order: int
    pieces: tuple[int, ...]

    @property
    def whole(self) -> Floats:
        """The points, of a closed walk the first one again at the end."""
        return np.vstack([self.points, self.points[:1]]) if self.closed else self.points

    def along(self) -> Floats:
        """Return how far along the walk each point of `whole` lies, in squares."""
        return _along(self.whole)

    def apart(self, one: float, other: float) -> float:
        """Return how far two places are from each other along the walk, round it the shorter way."""
        way = abs(one - other)
        return min(way, float(self.along()[-1]) - way) if self.closed else way

    def edges(self) -> Floats:
        """Return the edges, (n, 4): start and end."""
        return np.hstack([self.whole[:-1], self.whole[1:]])

    def stretch(self, start: float, end: float) -> Floats:
        """Return the points from one place along the walk to another, over the seam where end is before."""
        along, whole = self.along(), self.whole
        if end <= start and self.closed:
            along = np.concatenate([along, along[1:] + along[-1]])
            whole = np.vstack([whole, whole[1:]])
            end += float(self.along()[-1])
        inner = whole[(along > start) & (along < end)]
        ends = np.rint(_at(np.array([start, end]), along, whole) * LATTICE) / LATTICE
        return np.vstack([ends[:1], inner, ends[1:]])


def _along(line: Floats) -> Floats:
    """Return how far along a line each point lies; its length is on the lattice, the same from either end."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    length = np.rint(along[-1] * LATTICE) / LATTICE
    return along / along[-1] * length if length else along


def sampled(line: Floats) -> tuple[Floats, Floats]:
    """Return evenly spaced points of a line, (n, 2) in squares, and how far along it each lies."""
    along = _along(line)
    length = float(along[-1])
    count = max(2, int(np.ceil(length * SAMPLES_A_SQUARE)) + 1)
    places = np.linspace(0.0, length, count)
    return np.rint(_at(places, along, line) * LATTICE) / LATTICE, places


def corners(walk: Walk) -> list[float]:
    """Return the places along the walk where it has corners, ascending."""
    along, whole = walk.along(), walk.whole
    length = along[-1]
    if length <= 2 * CORNER_REACH and walk.closed:
        return []
    places = along[:-1] if walk.closed else along[1:-1]
    if walk.closed:
        lap = np.concatenate([along[:-1] - length, along[:-1], along + length])
        around = np.vstack([whole[:-1], whole[:-1], whole])
    else:
        lap, around = along, whole
    here, before, after = (_at(places + step, lap, around) for step in (0.0, -CORNER_REACH, CORNER_REACH))
    cosines = _cosines(here - before, after - here)
    found = cosines < CORNER_COSINE
    if walk.closed and found.all() and np.diff(along).max() < CORNER_REACH:
        return []  # so small and round that it turns everywhere
    return _sharpest(places, cosines, found, length if walk.closed else None)


def _at(places: Floats, along: Floats, points: Floats) -> Floats:
    return np.stack([np.interp(places, along, points[:, axis]) for axis in (0, 1)], axis=1)


def _cosines(before: Floats, after: Floats) -> Floats:
    lengths = np.hypot(*before.T) * np.hypot(*after.T)
    cosines = (before * after).sum(axis=1) / np.where(lengths > 0, lengths, 1.0)
    return np.asarray(np.rint(cosines * LATTICE) / LATTICE)


def _sharpest(places: Floats, cosines: Floats, found: NDArray[np.bool_], lap: float | None) -> list[float]:
    """Return the sharpest place of each run of places that turn; of several the middle one.

    Of two in the middle that is half way between them: neither comes first, whichever way the walk goes.
    """
    at = np.flatnonzero(found)
    if not len(at):
        return []
    where, sharp = places[at], cosines[at]
    if lap is not None:  # begin after a gap
        gaps = np.diff(np.append(where, where[0] + lap))
        first = (int(gaps.argmax()) + 1) % len(where)
        where = np.concatenate([where[first:], where[:first] + lap])
        sharp = np.roll(sharp, -first)
    result = []
    rest, apart = list(range(len(where))), 2 * CORNER_REACH - TOUCHING
    while rest:
        least = min(sharp[i] for i in rest)
        ties = [i for i in rest if sharp[i] == least]
        # those that are too near for two corners are one
        gaps = np.flatnonzero(np.diff(where[ties]) >= apart)
        one = ties[: gaps[0] + 1] if len(gaps) else ties
        middle = float(where[one[0]] + where[one[-1]]) / 2
        off = np.rint(np.abs(where[one] - middle) * LATTICE)
        corner = float(where[one][off == off.min()].mean())
        result.append(corner % lap if lap is not None else corner)
        rest = [i for i in rest if abs(where[i] - corner) >= apart]
    return sorted(result)


def join_walks(walks: Sequence[Walk]) -> list[Walk]:
    """Return the walks with those of one thread made one that meet end to end and nothing else does.

    Closed ones begin at their top, wherever they were drawn from: a ring is worked the same either way.
    """
    open_walks = [i for i, walk in enumerate(walks) if not walk.closed and len(walk.points) > 1]
    ends = [(i, last) for i in open_walks for last in (False, True)]
    points = np.array([walks[i].points[-1 if last else 0] for i, last in ends]).reshape(-1, 2)
    near: dict[int, list[int]] = {}
    for one, other in near_points(points, reach=TOUCHING).tolist():
        near.setdefault(one, []).append(other)
        near.setdefault(other, []).append(one)
    partner = {
        ends[one]: ends[others[0]]
        for one, others in near.items()
        if len(others) == 1
        and len(near[others[0]]) == 1
        and walks[ends[one][0]].thread == walks[ends[others[0]][0]].thread
    }
    joined: list[Walk] = []
    done: set[int] = set()
    # first the open rows of walks, then the rings
    firsts = [end for end in ends if end not in partner] + ends
    for end in firsts:
        if end[0] not in done:
            joined.append(_joined(walks, partner, end, done))
    others = [walk for i, walk in enumerate(walks) if i not in set(open_walks)]
    return [_from_top(walk) if walk.closed else walk for walk in others + joined]


def _from_top(walk: Walk) -> Walk:
    """Return a closed walk from its topmost point on; of several side by side the one it comes to first."""
    top = walk.points[:, 1] == walk.points[:, 1].min()
    firsts = np.flatnonzero(top & ~np.roll(top, 1))
    if not len(firsts):
        return walk
    x = walk.points[firsts, 0]
    off_middle = np.abs(2 * x - walk.points[:, 0].min() - walk.points[:, 0].max())
    first = firsts[np.lexsort((x, off_middle))[0]]
    return replace(walk, points=np.roll(walk.points, -first, axis=0))


def _joined(
    walks: Sequence[Walk],
    partner: dict[tuple[int, bool], tuple[int, bool]],
    end: tuple[int, bool],
    done: set[int],
) -> Walk:
    """Return the walk that begins with this end, and note the walks it is made of."""
    points, members = [], []
    at: tuple[int, bool] | None = end
    while at is not None and at[0] not in done:
        index, backwards = at
        done.add(index)
        members.append(walks[index])
        own = walks[index].points
        points.append(own[::-1] if backwards else own)
        at = partner.get((index, not backwards))
    line = np.concatenate(points)
    line = line[np.concatenate([[True], (np.diff(line, axis=0) != 0).any(axis=1)])]
    closed = at is not None
    if closed and len(line) > 1 and np.hypot(*(line[0] - line[-1])) <= TOUCHING:
        line = line[:-1]
    return replace(
        members[0],
        points=line,
        closed=closed,
        order=max(walk.order for walk in members),
        pieces=tuple(sorted({piece for walk in members for piece in walk.pieces})),
    )
