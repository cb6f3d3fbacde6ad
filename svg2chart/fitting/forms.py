"""Small round shapes that stand by themselves: they keep their form, whatever moves beside them.

The warp of a whole drawing would bend a small disc where another shape has a side at its height. Its box
becomes whole squares wide and high near where the warp takes it, or, if that is too far, stays as large as it
is with its middle at a hole, in the middle of a side or of a square; all within is stretched evenly. Shapes
of one size lie alike: two eyes of one face are the same. Nothing is drawn so near that both could meet:
nothing is torn, and no gap closes.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.carrying import as_numbers, points_on
from svg2chart.fitting.slants import turns
from svg2chart.fitting.warp import Warp
from svg2chart.geometry.meetings import edges_in_boxes

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

LARGEST = 12.0
"""Larger shapes, in squares, have room for what is bent in them; our own choice."""

BESIDE = 1 / 8
"""A side so far from the nearest hole line, in squares, does not fit to it."""

AS_IT_IS = 0.1
"""What it costs, in squares moved, if a form is not whole squares wide and high. Our choice, no source."""

FINENESS = 2.0**12
"""Points of forms are rounded to 2^-12 of a square: finer differences come from how they were written."""

LONGEST_CHORD = 1.0
"""Longer slanted edges, in squares, are straight sides and no chords of a curve; our own choice."""

SAME = 1 / 64
"""Places and widths that differ by less, in squares, are the same."""

ONCE_ROUND = 2 * np.pi + 1e-3
"""A contour that turns by more in all, in radians, is not convex."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Forms:
    """Shapes that keep their form, (n,) each, and their points, (points,) each.

    box: (n, 4) left, top, right, bottom, in squares. ways: (n, 4) how far these move.
    places: x + y i of each point, ascending. edges: (points, 4) from there to the next of its contour.
    form: which form it belongs to.
    """

    box: Floats
    ways: Floats
    places: NDArray[np.complex128]
    edges: Floats
    form: Ints

    def at(self, points: Floats) -> Ints:
        """Return the form that each point is a point of, -1 for none."""
        if not len(self.places):
            return np.full(len(points), -1, np.int64)
        wanted = as_numbers(points)
        found = np.minimum(np.searchsorted(self.places, wanted), len(self.places) - 1)
        return np.where(self.places[found] == wanted, self.form[found], -1)

    def around(self, points: Floats) -> Ints:
        """Return the form on whose outline each point lies, -1 for none."""
        result = np.full(len(points), -1, np.int64)
        point, edge, _ = points_on(points, self.edges)
        result[point] = self.form[edge]
        return result

    def of_chains(self, points: Floats, starts: Ints) -> Ints:
        """Return the form that all points of each chain belong to, -1 for none."""
        form, first = self.at(points), starts[:-1][np.diff(starts) > 0]
        result = np.full(len(starts) - 1, -1, np.int64)
        if len(first):
            least, most = np.minimum.reduceat(form, first), np.maximum.reduceat(form, first)
            result[np.diff(starts) > 0] = np.where(least == most, least, -1)
        return result

    def kept(self, points: Floats, ways: Floats, form: Ints) -> Floats:
        """Return the ways of points, those of forms stretched evenly between the sides of their boxes."""
        own = np.flatnonzero(form >= 0)
        if not len(own):
            return ways
        box, moved = self.box[form[own]], self.ways[form[own]]
        part = (points[own] - box[:, :2]) / (box[:, 2:] - box[:, :2])
        result = ways.copy()
        # measured from the middle of the box, so that what is symmetric, or the same elsewhere, is so exactly
        middle = (box[:, :2] + moved[:, :2] + box[:, 2:] + moved[:, 2:]) / 2
        place = points[own] + (1 - part) * moved[:, :2] + part * moved[:, 2:]
        result[own] = middle + np.rint((place - middle) * FINENESS) / FINENESS - points[own]
        return result


def find_forms(points: Floats, starts: Ints, warp: Warp, *, room: Floats, farthest: float) -> Forms:
    """Return the small convex shapes without straight slanted sides that no other outline comes near.

    Args:
        points: the corners of all contours, in squares.
        starts: where each contour starts, and the end of the last.
        warp: where the drawing moves.
        room: (2, 2) the least and the greatest x and y that all must stay between.
        farthest: no point moves by more in either direction, in squares.
    """
    contour = np.repeat(np.arange(len(starts) - 1), np.diff(starts))
    boxes = _boxes(points, starts)
    high = boxes[:, 2:] - boxes[:, :2]
    small = (np.diff(starts) > 2) & (high <= LARGEST).all(axis=1) & (high > 0).all(axis=1)
    following, turn = turns(points, contour)
    edges = np.concatenate([points, points[following]], axis=1)
    # upright boxes keep their form by themselves; straight slanted sides go to diagonals by themselves
    leans = (points != points[following]).all(axis=1)
    straight = leans & (np.hypot(*(points[following] - points).T) >= LONGEST_CHORD)
    bent, sides = (np.bincount(contour, some, len(small)) for some in (leans, straight))
    is_round = (bent > 0) & (sides == 0)
    convex, area = _are_convex(points, contour, following, turn, len(small))
    candidates = np.flatnonzero(small & is_round & convex)
    # the same contour twice, of two shapes, is one form
    alike = np.column_stack([boxes, np.diff(starts), np.rint(area / SAME)])[candidates]
    alike, number = np.unique(alike, axis=0, return_inverse=True)
    box = alike[:, :4]
    form = np.full(len(small), -1, np.int64)
    form[candidates] = number.ravel()
    alone = _stand_alone(edges, form[contour], box, 2 * farthest - SAME)
    kept = np.flatnonzero(np.append(alone, False)[form[contour]])
    places = as_numbers(points[kept])
    order = np.argsort(places, kind="stable")
    return Forms(
        box=box,
        ways=_ways(box, warp.ways(box.reshape(-1, 2)).reshape(-1, 4), room, farthest),
        places=places[order],
        edges=edges[kept][order],
        form=form[contour][kept][order],
    )


def _ways(box: Floats, warped: Floats, room: Floats, farthest: float) -> Floats:
    """Return the ways of boxes: forms of one size lie alike on the squares and stay one size.

    Of all that they can do alike that is done which takes their middles least far from where the warp takes
    them; where there is nothing, or what is as near on either side in the very middle, the warp's ways stay.
    """
    ways = warped.copy()
    sizes = box[:, 2:] - box[:, :2]
    alike = np.unique(np.rint(sizes / SAME), axis=0, return_inverse=True)[1].ravel()
    for number in range(int(alike.max(initial=-1)) + 1):
        own = np.flatnonzero(alike == number)
        goal = box[own] + warped[own]
        least = np.inf
        for wide, off, cost in _manners(sizes[own[0]], goal):
            places, apart = _nearest(box[own], goal, wide, off, room, farthest)
            if apart.mean() + cost < least:
                ways[own] = np.clip(places - box[own], -farthest, farthest)
                least = apart.mean() + cost
    return ways


def _manners(size: Floats, goal: Floats) -> Iterator[tuple[Floats, Floats, float]]:
    """Return width and height, how far middles lie off holes, and what that costs, for each way to lie alike.

    Whole squares wide and high is best; what stays as it is had better have its middle where those would.
    """
    wide = goal[:, 2:] - goal[:, :2]
    is_whole = (np.abs(wide - np.rint(wide[0])) <= BESIDE).all(axis=0)
    whole = np.maximum(np.where(is_whole, np.rint(wide[0]), np.floor(size + 0.5 + SAME)), 1.0)
    off = whole / 2 % 1
    yield whole, off, 0.0
    yield size, off, AS_IT_IS
    yield size, (off + 0.5) % 1, 2 * AS_IT_IS


def _nearest(
    box: Floats, goal: Floats, wide: Floats, off: Floats, room: Floats, farthest: float
) -> tuple[Floats, Floats]:
    """Return the boxes so wide and high with middles so far off holes that are nearest to the goals.

    Of two the one nearer to the middle of the room. Second comes how far they are off, (n, 2), infinite where
    there is none within reach, or neither is nearer.
    """
    wanted = (goal[:, :2] + goal[:, 2:]) / 2
    low = np.floor(wanted - off) + off
    inwards = np.sign(np.rint((room.mean(axis=0) - wanted) / SAME))
    middles = np.stack([low, low + 1])
    first, last = middles - wide / 2, middles + wide / 2
    moved = np.maximum(np.abs(first - box[:, :2]), np.abs(last - box[:, 2:]))
    is_near = (moved <= farthest + SAME / 2) & (first >= room[0]) & (last <= room[1])
    apart = np.abs(middles - wanted)
    is_tied = is_near.all(axis=0) & (np.abs(apart[1] - apart[0]) <= SAME)
    is_second = is_near[1] & np.where(is_tied, inwards > 0, ~is_near[0] | (apart[1] < apart[0]))
    middle, far = (np.where(is_second, each[1], each[0]) for each in (middles, apart))
    is_none = ~is_near.any(axis=0) | (is_tied & (inwards == 0))
    return np.concatenate([middle - wide / 2, middle + wide / 2], axis=1), np.where(is_none, np.inf, far)


def _boxes(points: Floats, starts: Ints) -> Floats:
    """Return (contours, 4) the boxes around contours, no numbers for those without points."""
    some = np.diff(starts) > 0
    boxes = np.full((len(some), 4), np.nan)
    if some.any():
        first = starts[:-1][some]
        boxes[some, :2] = np.minimum.reduceat(points, first)
        boxes[some, 2:] = np.maximum.reduceat(points, first)
    return boxes


def _are_convex(
    points: Floats, contour: Ints, following: Ints, turn: Floats, count: int
) -> tuple[Bools, Floats]:
    """Return which contours turn one way only, once round in all; and their areas, from the first point."""
    before = np.empty_like(following)
    before[following] = np.arange(len(points))
    one, other = points - points[before], points[following] - points
    left = one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0] > 0
    lefts, sizes = np.bincount(contour, left, count), np.bincount(contour, minlength=count)
    whole = np.bincount(contour, turn, count)
    convex = np.asarray(((lefts == 0) | (lefts == sizes)) & (whole <= ONCE_ROUND))
    from_first = points - points[np.searchsorted(contour, contour)]
    across = from_first[:, 0] * from_first[following, 1] - from_first[:, 1] * from_first[following, 0]
    return convex, np.abs(np.bincount(contour, across, count)) / 2


def _stand_alone(edges: Floats, form: Ints, box: Floats, clear: float) -> Bools:
    """Return which forms have no outline of another shape in their boxes, nor so near beside them."""
    alone = np.ones(len(box), np.bool_)
    near, edge = edges_in_boxes(edges, box + clear * np.array([-1, -1, 1, 1])).T
    alone[near[form[edge] != near]] = False
    return alone
