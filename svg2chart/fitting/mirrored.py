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

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.bearings import lose_bearings
from svg2chart.fitting.carrying import ON_SIDE, as_numbers, places_among, points_on
from svg2chart.fitting.holding import are_at_holes
from svg2chart.fitting.likeness import ALIKE, partners_in_mirror
from svg2chart.fitting.slants import LEAST_SIDE, downwards, neighbours
from svg2chart.fitting.tips import DIAGONAL
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

    def kept(self, points: Floats, ways: Floats, goes: Bools) -> Floats:
        """Return the ways of points, those at corners as these go if they go with them, (n,).

        Where the warp cuts a side next to its end, that point lies at the corner, not within the side.
        """
        own = np.flatnonzero(goes)
        if not len(self.places) or not len(own):
            return ways
        corner = self._at(points[own])
        result = ways.copy()
        result[own[corner >= 0]] = self.ways[corner[corner >= 0]]
        return result

    def are_along(self, points: Floats, starts: Ints) -> Bools:
        """Return which chains have an edge on that of an outline that stays even, and go with its corners.

        What has but a corner in common with it, as a mast has with a pennant, does not.
        """
        counts = np.diff(starts)
        chain = np.repeat(np.arange(len(counts)), counts)
        result = np.zeros(len(counts), np.bool_)
        if len(self.edges) and len(points):
            after = neighbours(chain)[0]
            point, edge, _ = points_on(points, self.edges)
            count = len(self.edges)
            is_on = np.isin(after[point] * count + edge, point * count + edge)
            is_long = np.hypot(*(points[after[point]] - points[point]).T) > 2 * ON_SIDE
            result[chain[point[is_on & is_long]]] = True
        return result

    def have_all(self, points: Floats, starts: Ints) -> Bools:
        """Return which chains have no other points."""
        chain = np.repeat(np.arange(len(starts) - 1), np.diff(starts))
        result = np.ones(len(starts) - 1, np.bool_)
        result[chain[places_among(points, self.places) < 0]] = False
        return result

    def _at(self, points: Floats) -> Ints:
        """Return the corner that each point lies at, -1 for none."""
        corners = np.stack([self.places.real, self.places.imag], axis=1)
        return nearest_points(points, corners, reach=ON_SIDE)

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
        farthest: no corner moves by more in either direction, in squares.
    """
    found = [
        outlines
        for number in _may_be_mirrored(points, starts, free)
        if (outlines := _evened(number, points[starts[number] : starts[number + 1]], warp, farthest))
    ]
    ways = warp.ways(points)
    while found:
        mirrored = _mirrored([outlines[0] for outlines in found])
        own = np.array([outlines[0].number for outlines in found])
        goes = np.repeat(mirrored.are_along(points, starts), np.diff(starts))
        loses = lose_bearings(own, points + ways, points + mirrored.kept(points, ways, goes), starts)
        if not loses.any():
            return mirrored
        # what loses its bearings goes the next best way, if there is one
        found = [
            each[int(is_lost) :] for each, is_lost in zip(found, loses, strict=True) if each[int(is_lost) :]
        ]
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


def _evened(number: int, points: Floats, warp: Warp, farthest: float) -> list[_Outline]:
    """Return an outline made even, the best way first; none if it is not the same on both sides.

    Its middle goes near to where the warp takes it. If that loses something, one end goes with the warp.
    """
    box = boxes_of(points, np.array([0, len(points)]))
    middle, moved = middles_of(box)[0], middles_of(box + warp.ways(box.reshape(-1, 2)).reshape(-1, 4))[0]
    found, told = [warp.ways(points)], []
    for axis in (0, 1):
        partner = partners_in_mirror(points, axis)
        has_tip = (np.abs(points[:, axis] - middle[axis]) <= ALIKE).any()
        goal = _goal(float(middle[axis]), float(moved[axis]), 1.0 if has_tip else 0.5, farthest)
        if partner is None or goal is None:
            continue
        ways, off = found[0], points[:, axis] - middle[axis]
        same, apart = (ways + ways[partner]) / 2, (ways - ways[partner])[:, axis] / 2
        along = _along(off, ways[:, axis], apart, goal - float(middle[axis]), farthest)
        found = [np.where(np.arange(2) == axis, each[:, None], same) for each in along]
        told.append((axis, partner))
    # what is even along both axes has no end that could go with the warp, and sides at 45 degrees go on by
    # themselves to where they are stitched cleanly
    has_more = len(told) == 1 and not _has_diagonals(points)
    kept = found if has_more else found[: len(told)][:1]
    return [_Outline(number=number, points=points, ways=ways, partners=tuple(told)) for ways in kept]


def _has_diagonals(points: Floats) -> bool:
    """Return whether any long side of an outline runs at 45 degrees."""
    way = ways_of(edges_of(points, np.array([0, len(points)])))
    angle = np.arctan2(way.min(axis=1), way.max(axis=1))
    is_long = np.hypot(*way.T) >= LEAST_SIDE
    return bool((is_long & (np.abs(angle - np.pi / 4) < DIAGONAL)).any())


def _along(off: Floats, warped: Floats, apart: Floats, shift: float, farthest: float) -> list[Floats]:
    """Return how far corners of an even outline may go along an axis, the best first.

    Args:
        off: (n,) how far they lie from the middle.
        warped: (n,) how far the warp moves them.
        apart: (n,) how far they would go from the middle, the same on both sides.
        shift: how far that goes.
        farthest: no corner goes by more, in squares.
    """
    most = max(farthest - abs(shift), 0.0)
    held = []
    for end in (off.argmin(), off.argmax()):
        grown = (warped[end] - shift - apart[end]) * np.sign(off[end])
        held.append(shift + apart + grown * off / np.abs(off).max())
    far = [float(np.abs(each).max()) for each in held]
    # neither end comes first in a mirror
    ends = [held[k] for k in np.argsort(far) if far[k] <= farthest] if abs(far[0] - far[1]) > TIE else []
    return [shift + np.clip(apart, -most, most), *ends]


def _goal(middle: float, moved: float, step: float, farthest: float) -> float | None:
    """Return the multiple of a step near to which the warp takes a middle, None if it is as near to two."""
    low = float(np.floor(moved / step)) * step
    goals = [goal for goal in (low, low + step) if abs(goal - middle) <= farthest + TIE]
    off = [abs(goal - moved) for goal in goals]
    return (
        None if not goals or (len(goals) == 2 and abs(off[0] - off[1]) <= TIE) else goals[int(np.argmin(off))]
    )
