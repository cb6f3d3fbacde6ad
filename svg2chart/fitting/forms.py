"""Convex shapes that stand by themselves: they keep their form, whatever moves beside them.

The warp of a whole drawing would bend a small disc where another shape has a side at its height, and tells a
flag nothing of its slanted sides. Its box is laid on the squares by itself near where the warp takes it, all
within stretched evenly, and shapes of one size lie alike: two eyes of one face, the flags of one line, are
the same. Nothing is seen so near that both could meet: nothing is torn, and no gap closes. Larger ones have
room for what is bent in them, but for round ones; what lies in a large disc goes to the squares by itself.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.alike import SAME, ways_alike
from svg2chart.fitting.beneath import Layers
from svg2chart.fitting.carrying import as_numbers, chains_along, places_among, points_on
from svg2chart.fitting.convex import find_convex
from svg2chart.fitting.holding import are_at_holes
from svg2chart.fitting.likeness import evened
from svg2chart.fitting.nearness import are_large
from svg2chart.fitting.nested import ways_within
from svg2chart.fitting.sightlines import Sights
from svg2chart.fitting.standing import Standing, find_standing
from svg2chart.fitting.warp import Warp, finely, on_lattice
from svg2chart.geometry.boxes import boxes_of, grown, middles_of, within_box
from svg2chart.geometry.meetings import boxes_in_boxes

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


_ENDS = slice(2), slice(2, 4)  # of an edge
MOST_CORNERS = 12
"""What has more is round: how its corners are rounded is not to be seen. Our own choice."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Forms:
    """Shapes that keep their form, (n,) each, and their points, (points,) each.

    box: (n, 4) left, top, right, bottom, in squares. ways: (n, 4) how far these move.
    places: x + y i of each point, ascending. edges: (points, 4) from there to the next of its contour.
    even: (points, 2) where it lies if a form that is the same on both sides is made exactly so: drawings are
        rounded. form: which form it belongs to.
    """

    box: Floats
    ways: Floats
    places: NDArray[np.complex128]
    edges: Floats
    even: Floats
    form: Ints

    @property
    def largest_movement(self) -> float:
        """The farthest that a side of any of their boxes moves, in squares."""
        return float(np.abs(self.ways).max(initial=0.0))

    def at(self, points: Floats) -> Ints:
        """Return the form that each point is a point of, -1 for none."""
        found = places_among(points, self.places)
        return np.append(self.form, -1)[found]

    def around(self, points: Floats) -> Ints:
        """Return the form on whose outline each point lies, -1 for none."""
        result = np.full(len(points), -1, np.int64)
        point, edge, _ = points_on(points, self.edges)
        result[point] = self.form[edge]
        return result

    def are_all_of(self, boxes: Floats, contours: tuple[Floats, Ints]) -> NDArray[np.bool_]:
        """Return in which boxes there is nothing but a form that has this box."""
        around = boxes_of(*contours)
        inner, outer = boxes_in_boxes(around, boxes).T
        more = np.bincount(outer, (around[inner] != boxes[outer]).any(axis=1), len(boxes)) > 0
        return np.asarray(~more & (boxes[:, None] == self.box).all(axis=2).any(axis=1))

    def of_chains(self, points: Floats, starts: Ints) -> Ints:
        """Return the smallest form in whose box each chain lies, -1 for none: it is part of it, or hidden.

        Drawings are rounded: what lies along an outline may stick out a little.
        In large ones there is room for what does not go with them: these are their own outlines alone.
        """
        result = np.full(len(starts) - 1, -1, np.int64)
        some = np.flatnonzero(np.diff(starts) > 0)
        if not len(self.box) or not len(some):
            return result
        boxes = boxes_of(points, starts)[some]
        order = np.argsort((self.box[:, 2:] - self.box[:, :2]).sum(axis=1), kind="stable")
        inside = within_box(boxes, grown(self.box[order], SAME)[:, None])
        is_large = are_large(self.box)
        inside[is_large[order]] = False
        own, begun = is_large[self.form], np.append(starts[some], starts[-1])
        chain, form = chains_along(points, begun, self.edges[own], self.form[own]).T
        inside[np.argsort(order)[form], chain] = True
        result[some] = np.where(inside.any(axis=0), order[inside.argmax(axis=0)], -1)
        return result

    def kept(self, points: Floats, ways: Floats, form: Ints) -> Floats:
        """Return the ways of points, those of forms stretched evenly between the sides of their boxes.

        What lies on a side between two corners, as where a seam ends, stays on it.
        """
        own = np.flatnonzero(form >= 0)
        if not len(own):
            return ways
        place = self._stretched(points[own], form[own])
        rest = np.flatnonzero(self.at(points[own]) < 0)
        point, edge, part = points_on(points[own[rest]], self.edges)
        is_own = self.form[edge] == form[own[rest[point]]]
        point, edge, part = rest[point[is_own]], edge[is_own], part[is_own, None]
        first, last = (self._stretched(self.edges[edge, ends], self.form[edge]) for ends in _ENDS)
        place[point] = first + part * (last - first)
        result = ways.copy()
        result[own] = place - points[own]
        return result

    def _stretched(self, points: Floats, form: Ints) -> Floats:
        """Return where points of forms come to lie."""
        corner = places_among(points, self.places)
        is_own = np.append(self.form, -1)[corner] == form
        points = np.where(is_own[:, None], np.append(self.even, [[0, 0]], axis=0)[corner], points)
        before, now = self.box[form], (self.box + self.ways)[form]
        # measured from the middle of the box, so that what is symmetric, or the same elsewhere, is so exactly
        middle, middle_now = middles_of(before), middles_of(now)
        stretch = (now[:, 2:] - now[:, :2]) / (before[:, 2:] - before[:, :2])
        place = middle_now + finely((points - middle) * stretch)
        # what lies on the sides of the box moves as they may
        is_first, is_last = points <= before[:, :2], points >= before[:, 2:]
        return np.where(is_first, now[:, :2], np.where(is_last, now[:, 2:], place))


NO_FORMS = Forms(
    box=np.zeros((0, 4)),
    ways=np.zeros((0, 4)),
    places=np.zeros(0, np.complex128),
    edges=np.zeros((0, 4)),
    even=np.zeros((0, 2)),
    form=np.zeros(0, np.int64),
)


def find_forms(
    layers: Layers,
    warp: Warp,
    sights: tuple[Sights, Sights],
    *,
    room: Floats,
    farthest: float,
) -> Forms:
    """Return the convex shapes that stand by themselves and are not laid by their sides.

    Args:
        layers: all contours.
        warp: where the drawing moves.
        sights: what is seen along rows and along columns.
        room: (2, 2) the least and the greatest x and y that all must stay between.
        farthest: no side moves by more in either direction, or by FARTHER times as much to make forms whole,
            in squares.
    """
    found = find_standing(find_convex(layers.points, layers.starts), layers, sights, least=farthest)
    while True:
        forms = _laid(found, warp, room, farthest)
        ends = found.beside.reshape(-1, 2)
        ends = ends + forms.kept(ends, warp.ways(ends), np.repeat(found.beside_of, 2))
        # what has come near to something goes with it instead, and leaves the others more choice
        edges = found.edges.reshape(-1, 2)
        edges = (edges + forms.kept(edges, np.zeros_like(edges), np.repeat(found.owner, 2))).reshape(-1, 4)
        leaves = found.crowded(edges, ends.reshape(-1, 4))
        leaves |= _come_off(found, edges[:, :2], warp)
        if not leaves.any():
            return forms
        found = found.only(~leaves)


def _come_off(found: Standing, corners: Floats, warp: Warp) -> NDArray[np.bool_]:
    """Return which shapes, from their corners now, come off what goes on beneath them with all else."""
    ends = found.beneath.reshape(-1, 2)
    return found.come_off(corners, (ends + warp.ways(ends)).reshape(-1, 4))


def _between(found: Standing, warp: Warp, room: Floats) -> Floats:
    """Return (2, n, 2) between what shapes must stay: the edges of the page, and level and upright ones."""
    result = np.repeat(room[:, None], len(found.boxes.at), axis=1)
    own = found.beside_of < 0
    shape, part, free = found.near[own], found.beside[own], found.room[own]
    box, ways = found.boxes.at[shape], warp.ways(part[:, :2])
    for axis, other in ((0, 1), (1, 0)):
        place, ends = part[:, axis], np.sort(part[:, [other, other + 2]], axis=1)
        is_beside = (
            (place == part[:, axis + 2]) & (ends[:, 0] < box[:, other + 2]) & (ends[:, 1] > box[:, other])
        )
        now = place + ways[:, axis]
        before, after = is_beside & (place <= box[:, axis]), is_beside & (place >= box[:, axis + 2])
        np.maximum.at(result[0, :, axis], shape[before], (now + free)[before])
        np.minimum.at(result[1, :, axis], shape[after], (now - free)[after])
    return result


def _laid(found: Standing, warp: Warp, room: Floats, farthest: float) -> Forms:
    """Return shapes that stand by themselves laid on the squares."""
    box = found.boxes.at
    ways = warp.ways(box.reshape(-1, 2)).reshape(-1, 4)
    free = np.flatnonzero(found.around < 0)
    boxes, between, pairs = found.boxes.only(free), _between(found, warp, room)[:, free], found.pairs(free)
    ways[free] = ways_alike(boxes, ways[free], between, room.mean(axis=0), pairs, farthest)
    places = as_numbers(found.edges[:, :2])
    order = np.argsort(places, kind="stable")
    return Forms(
        box=box,
        ways=on_lattice(ways_within(found, ways, farthest)),
        places=places[order],
        edges=found.edges[order],
        even=_even(found.edges[:, :2], found.owner, box)[order],
        form=found.owner[order],
    )


def _even(points: Floats, owner: Ints, boxes: Floats) -> Floats:
    """Return the points of shapes, those of few corners exactly the same on both sides if about so.

    What was drawn on the grid stays as it is.
    """
    result = points.copy()
    order = np.argsort(owner, kind="stable")
    starts = np.searchsorted(owner[order], np.arange(len(boxes) + 1))
    stays = are_at_holes(boxes).tolist()
    for (first, last), is_still in zip(pairwise(starts.tolist()), stays, strict=True):
        if not is_still and 0 < last - first <= MOST_CORNERS:
            own = order[first:last]
            result[own] = evened(points[own])
    return result
