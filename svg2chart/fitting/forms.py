"""Small round shapes that stand by themselves: they keep their form, whatever moves beside them.

The warp of a whole drawing would bend a small disc where another shape has a side at its height. Its box goes
where the warp takes it, or, if that is between hole lines, to a whole width of its own; all within is
stretched evenly. Nothing is drawn so near to it that both could meet: nothing is torn, and no gap closes.
"""

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
        result[own] = (1 - part) * moved[:, :2] + part * moved[:, 2:]
        return result


def find_forms(points: Floats, starts: Ints, warp: Warp, *, farthest: float) -> Forms:
    """Return the small convex shapes without straight slanted sides that no other outline comes near.

    Args:
        points: the corners of all contours, in squares.
        starts: where each contour starts, and the end of the last.
        warp: where the drawing moves.
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
        ways=_whole(box, warp.ways(box.reshape(-1, 2)).reshape(-1, 4), farthest),
        places=places[order],
        edges=edges[kept][order],
        form=form[contour][kept][order],
    )


def _whole(box: Floats, ways: Floats, farthest: float) -> Floats:
    """Return the ways of boxes, those that the warp leaves between hole lines to whole widths of their own.

    Others have pulled the warp there: a shape by itself need not follow, if another place is near enough.
    """
    goal = box + ways
    off = np.abs(goal - np.rint(goal)) > BESIDE
    whole = np.maximum(np.floor(box[:, 2:] - box[:, :2] + 0.5 + SAME), 1.0)
    first, drawn = ((place[:, :2] + place[:, 2:] - whole) / 2 for place in (goal, box))
    # in the very middle between two places it goes where it was drawn
    first = first + 2 * SAME * np.sign(np.rint((drawn - first) / SAME))
    best, least = ways, np.full(first.shape, np.inf)
    for place in (np.floor(first), np.floor(first) + 1):
        own = np.concatenate([place, place + whole], axis=1) - box
        near = (np.abs(own[:, :2]) <= farthest) & (np.abs(own[:, 2:]) <= farthest)
        distance = np.where(near & (off[:, :2] | off[:, 2:]), np.abs(first - place), np.inf)
        # as near as the other: neither
        best = np.where(np.tile(distance < least, (1, 2)), own, best)
        best = np.where(np.tile(np.isfinite(distance) & (distance == least), (1, 2)), ways, best)
        least = np.minimum(least, distance)
    return best


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
