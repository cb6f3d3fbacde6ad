r"""Outlines of slanted sides that are the same on both sides stay so: hulls, gables, pennants.

The warp moves each of their corners as what lies above and below it tells, and takes a hull out of its
balance. Here both corners of a pair go as far, and the middle to a hole line, or half way between two if no
tip lies there:

    .___________.           ._____:_____.
     \           \    -->    \    :    /      the level sides stay at their height,
      \_________.'            \___:___/       and their ends slide along
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import compress

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.alike import farthest_whole
from svg2chart.fitting.bearings import lose_bearings
from svg2chart.fitting.carrying import ON_SIDE, as_numbers, places_among
from svg2chart.fitting.holding import are_at_holes
from svg2chart.fitting.likeness import ALIKE, partners_in_mirror
from svg2chart.fitting.slants import LEAST_SIDE, downwards
from svg2chart.fitting.warp import Warp
from svg2chart.geometry.boxes import boxes_of, middles_of
from svg2chart.geometry.meetings import nearest_points
from svg2chart.geometry.polygon import edges_of, ways_of

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

MOST_CORNERS = 24
"""What has more corners is round, or a landscape. Our own choice."""

TIE = 2.0**-12
"""A middle that lies so nearly as far from two places, in squares, goes to neither."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Mirrored:
    """Outlines that stay the same on both sides: their corners, (n,), and pairs of their edges, (pairs,).

    places: x + y i of each corner, ascending. ways: (n, 2) how far it moves.
    edges, opposite: (pairs, 4) an edge, downwards, and the one on the other side, as drawn.
    middle: (pairs, 2) of their outline.
    """

    places: NDArray[np.complex128]
    ways: Floats
    edges: Floats
    opposite: Floats
    middle: Floats

    def kept(self, points: Floats, ways: Floats) -> Floats:
        """Return the ways of points, those of the corners, and of what lies at these, as they go here.

        Where the warp cuts a side next to its end, that point lies at the corner, not within the side.
        """
        if not len(self.places):
            return ways
        corner = nearest_points(points, np.stack([self.places.real, self.places.imag], axis=1), reach=ON_SIDE)
        return np.where((corner >= 0)[:, None], np.append(self.ways, [[0.0, 0.0]], axis=0)[corner], ways)

    def have_all(self, points: Floats, starts: Ints) -> Bools:
        """Return which chains have no other points."""
        chain = np.repeat(np.arange(len(starts) - 1), np.diff(starts))
        result = np.ones(len(starts) - 1, np.bool_)
        result[chain[places_among(points, self.places) < 0]] = False
        return result

    def pairs_of(self, sides: Floats) -> tuple[Ints, Ints, Floats]:
        """Return pairs of sides, (n, 4) downwards, that are mirrored, and the middle of what they are of."""
        if not len(self.edges):
            return np.zeros(0, np.int64), np.zeros(0, np.int64), self.middle
        all_ends = np.concatenate([sides, self.edges, self.opposite])
        corner = np.unique(as_numbers(all_ends.reshape(-1, 2)), return_inverse=True)[1].reshape(-1, 2)
        key = corner[:, 0] * (int(corner.max()) + 1) + corner[:, 1]
        own, one, other = np.split(key, [len(sides), len(sides) + len(self.edges)])
        order = np.argsort(own, kind="stable")
        first, second = (
            order[np.minimum(np.searchsorted(own[order], each), len(own) - 1)] for each in (one, other)
        )
        found = (own[first] == one) & (own[second] == other)
        return first[found], second[found], self.middle[found]


NONE_MIRRORED = Mirrored(
    places=np.zeros(0, np.complex128),
    ways=np.zeros((0, 2)),
    edges=np.zeros((0, 4)),
    opposite=np.zeros((0, 4)),
    middle=np.zeros((0, 2)),
)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Outline:
    """An outline made even: which contour, its corners, how far these move, and by axis their partners."""

    number: int
    points: Floats
    ways: Floats
    partners: tuple[tuple[int, Ints], ...]


def find_mirrored(points: Floats, starts: Ints, warp: Warp, *, free: Bools, farthest: float) -> Mirrored:
    """Return the outlines that stay the same on both sides.

    Args:
        points: the corners of all contours, in squares.
        starts: where each contour starts, and the end of the last.
        warp: where the drawing moves.
        free: (contours,) which of them go with that.
        farthest: no side moves by more in either direction; corners by FARTHER times as much, in squares.
    """
    found = [
        outline
        for number in _may_be_mirrored(points, starts, free)
        if (outline := _evened(number, points[starts[number] : starts[number + 1]], warp, farthest))
    ]
    ways = warp.ways(points)
    while found:
        mirrored = _mirrored(found)
        own = np.array([outline.number for outline in found])
        loses = lose_bearings(own, points + ways, points + mirrored.kept(points, ways), starts)
        if not loses.any():
            return mirrored
        found = list(compress(found, ~loses))
    return NONE_MIRRORED


def _mirrored(outlines: Sequence[_Outline]) -> Mirrored:
    """Return all that is told of several outlines."""
    corners, ways = (
        np.concatenate(parts) for parts in zip(*((o.points, o.ways) for o in outlines), strict=True)
    )
    places, place = np.unique(as_numbers(corners), return_inverse=True)
    # of several outlines that share a corner the mean
    count = np.bincount(place, minlength=len(places))
    total = np.stack([np.bincount(place, way, len(places)) for way in ways.T], axis=1)
    edges, opposite, middle = (np.concatenate(parts) for parts in zip(*map(_pairs, outlines), strict=True))
    return Mirrored(places=places, ways=total / count[:, None], edges=edges, opposite=opposite, middle=middle)


def _pairs(outline: _Outline) -> tuple[Floats, Floats, Floats]:
    """Return the edges of an outline, downwards, those on the other side along each axis, and its middle."""
    points, whole = outline.points, np.array([0, len(outline.points)])
    one = np.tile(downwards(edges_of(points, whole)), (len(outline.partners), 1))
    opposite = [downwards(edges_of(points[partner], whole)) for _, partner in outline.partners]
    return one, np.concatenate(opposite), np.tile(middles_of(boxes_of(points, whole)), (len(one), 1))


def _may_be_mirrored(points: Floats, starts: Ints, free: Bools) -> list[int]:
    """Return the contours of few corners that lie as far on both sides on the mean."""
    counts = np.diff(starts)
    contour = np.repeat(np.arange(len(counts)), counts)
    edges = edges_of(points, starts)
    is_long = (ways_of(edges).min(axis=1) > 0) & (np.hypot(*ways_of(edges).T) >= LEAST_SIDE)
    may = free & (counts >= 3) & (counts <= MOST_CORNERS)
    may &= np.bincount(contour[is_long], minlength=len(counts)) > 0
    # what was drawn from hole to hole stays
    may[contour[is_long & are_at_holes(edges)]] = False
    own = np.flatnonzero(may)
    mean = np.stack([np.bincount(contour, part, len(counts)) for part in points.T], axis=1)[own]
    off = np.abs(mean / counts[own, None] - middles_of(boxes_of(points, starts)[own]))
    found: list[int] = own[(off <= 2 * ALIKE).any(axis=1)].tolist()
    return found


def _evened(number: int, points: Floats, warp: Warp, farthest: float) -> _Outline | None:
    """Return an outline made even; None if it is not the same on both sides, or nowhere can be."""
    box = boxes_of(points, np.array([0, len(points)]))
    middle, moved = middles_of(box)[0], middles_of(box + warp.ways(box.reshape(-1, 2)).reshape(-1, 4))[0]
    ways, partners = warp.ways(points), []
    for axis in (0, 1):
        partner = partners_in_mirror(points, axis)
        has_tip = (np.abs(points[:, axis] - middle[axis]) <= ALIKE).any()
        goal = _goal(float(middle[axis]), float(moved[axis]), 1.0 if has_tip else 0.5, farthest)
        if partner is None or goal is None:
            continue
        apart, shift = (ways - ways[partner])[:, axis] / 2, goal - float(middle[axis])
        most = max(farthest_whole(farthest) - abs(shift), 0.0)
        ways = (ways + ways[partner]) / 2
        ways[:, axis] = shift + np.clip(apart, -most, most)
        partners.append((axis, partner))
    return _Outline(number=number, points=points, ways=ways, partners=tuple(partners)) if partners else None


def _goal(middle: float, moved: float, step: float, farthest: float) -> float | None:
    """Return the multiple of a step near to which the warp takes a middle, None if it is as near to two."""
    low = float(np.floor(moved / step)) * step
    goals = [goal for goal in (low, low + step) if abs(goal - middle) <= farthest + TIE]
    off = [abs(goal - moved) for goal in goals]
    return (
        None if not goals or (len(goals) == 2 and abs(off[0] - off[1]) <= TIE) else goals[int(np.argmin(off))]
    )
