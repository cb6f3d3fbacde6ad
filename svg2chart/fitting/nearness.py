"""What lies near shapes that could go by themselves, and what goes with them.

Near is what is seen beside a shape; in and beneath a large one all that does not lie along its outline.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.alike import LEAST_ROOM, SAME, farthest_whole
from svg2chart.fitting.beneath import Layers
from svg2chart.fitting.carrying import chains_along
from svg2chart.fitting.convex import LARGEST, Convex
from svg2chart.fitting.sightlines import Sights
from svg2chart.fitting.slants import seen_on
from svg2chart.geometry.boxes import grown, middles_of, within_box
from svg2chart.geometry.meetings import (
    cut_to_boxes,
    edges_in_boxes,
    near_hulls,
    near_outlines,
    parts_in_boxes,
)
from svg2chart.geometry.passing import pass_beneath
from svg2chart.runs import distinct, numbered

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

CLOSE = 0.5
"""What is seen so many times as far off as anything may move is close, and shapes go with it. Only so much of
their room stays free where something lies nearer than that, but not so close. Our own choice."""


def are_large(box: Floats) -> Bools:
    """Return which boxes are so large that not all in them goes with what they are around."""
    return np.asarray((box[:, 2:] - box[:, :2] > LARGEST).any(axis=1))


def have_one_middle(box: Floats, one: Ints, other: Ints) -> Bools:
    """Return which pairs of boxes have one middle."""
    middle = middles_of(box)
    return np.asarray(np.abs(middle[one] - middle[other]).max(axis=1, initial=0.0) <= SAME)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Near:
    """What lies near the boxes of shapes, (n,) each.

    shape: which. edge: of all edges, and part: (n, 4) as much of it as is near. room: how much stays free
    between them, in squares. is_close: whether it is so close that the shape goes with it.
    """

    shape: Ints
    edge: Ints
    part: Floats
    room: Floats
    is_close: Bools

    def only(self, kept: Bools) -> "Near":
        """Return some of it."""
        return Near(
            shape=self.shape[kept],
            edge=self.edge[kept],
            part=self.part[kept],
            room=self.room[kept],
            is_close=self.is_close[kept],
        )


def edges_near(convex: Convex, least: float) -> tuple[Ints, Ints, Floats]:
    """Return pairs of shapes and edges that may come too near, and (pairs, 4) boxes that the edges reach.

    Two that go by themselves may both go farther than all else.
    """
    farthest = farthest_whole(least)
    is_free = convex.owner >= 0
    reach = np.where(is_free, 2 * farthest + LEAST_ROOM * least, farthest + least) - SAME
    box = convex.boxes.at
    one, edge = edges_in_boxes(convex.edges, grown(box, reach.max(initial=0.0))).T
    wide = grown(box[one], reach[edge, None])
    low, high = parts_in_boxes(convex.edges[edge], wide)
    kept = low <= high
    return one[kept], edge[kept], wide[kept]


def find_near(
    convex: Convex, shape: Ints, edge: Ints, wide: Floats, sights: tuple[Sights, Sights], least: float
) -> Near:
    """Return what of edges is near shapes, by pairs of these, within a box for each pair."""
    part = cut_to_boxes(convex.edges[edge], wide)
    own = np.flatnonzero(convex.owner >= 0)
    outlines = convex.edges[own], convex.owner[own]
    is_open = _off_outlines(part, shape, outlines, sights, are_large(convex.boxes.at))
    shape, edge, part = shape[is_open], edge[is_open], part[is_open]
    is_near, is_close = (
        near_outlines(part, shape, *outlines, np.full(len(part), far)) for far in (least, CLOSE * least)
    )
    room = LEAST_ROOM * least * np.where(is_near, CLOSE, 1.0)
    return Near(shape=shape, edge=edge, part=part, room=room, is_close=is_close)


def _off_outlines(
    parts: Floats, shape: Ints, outlines: tuple[Floats, Ints], sights: tuple[Sights, Sights], is_large: Bools
) -> Ints:
    """Return which parts of edges are seen off their shape each, ascending: also within the box around it.

    What lies along an outline, hidden, is seen as that outline. In and beneath a large shape all counts that
    does not lie along its outline: it does not go with it, and what is hidden could come out.
    """
    edges, owner = outlines
    in_large = is_large[shape]
    large, small = np.flatnonzero(in_large), np.flatnonzero(~in_large)
    seen, at = seen_on(parts[small], sights)
    is_off = ~near_hulls(at, shape[small[seen]], edges[:, :2], owner, reach=SAME)
    along = large
    for points in (middles_of(parts), parts[:, :2], parts[:, 2:]):
        at, reach = np.tile(points[along], 2), np.full(len(along), SAME)
        along = along[near_outlines(at, shape[along], edges, owner, reach)]
    return distinct(np.concatenate([small[seen[is_off]], np.setdiff1d(large, along)]))


def lie_along(convex: Convex, layers: Layers, is_large: Bools, one: Ints, edge: Ints) -> Bools:
    """Return which edges are of contours that lie wholly on the outline of a large shape, and go with it."""
    own = np.flatnonzero(np.append(is_large, False)[convex.owner])
    chain, shape = chains_along(layers.points, layers.starts, convex.edges[own], convex.owner[own]).T
    count = len(is_large)
    return np.isin(convex.of_contour[edge] * count + one, chain * count + shape)


def find_bound(convex: Convex, near: Near, is_large: Bools) -> tuple[Near, Bools]:
    """Return what is near shapes and does not go with them, and which shapes are bound by what is close.

    What has one middle with a shape does not bind it, and within a large one goes with it if nothing binds
    it. Large ones of one middle that lie near each other are a ring: if one is bound, so is the other.
    """
    box, other = convex.boxes.at, convex.owner[near.edge]
    has_one_middle = (other >= 0) & have_one_middle(box, near.shape, other)
    result = np.zeros(len(box), np.bool_)
    result[near.shape[near.is_close & ~has_one_middle]] = True
    of_ring = has_one_middle & is_large[near.shape] & is_large[other]
    ring = np.stack([near.shape, other], axis=1)[of_ring]
    while (is_torn := result[ring[:, 0]] != result[ring[:, 1]]).any():
        result[ring[is_torn]] = True
    goes_along = has_one_middle & is_large[near.shape] & within_box(box[other], box[near.shape])
    return near.only(~goes_along | result[other]), result


def go_on_beneath(convex: Convex, layers: Layers, near: Near, *, reach: float) -> Bools:
    """Return what of that near shapes is of contours that go on beneath them.

    Shapes that other things are too near to go by themselves in no case, and are not looked at.
    """
    upper, lower = convex.contour[near.shape], convex.of_contour[near.edge]
    may = layers.lie_beneath(upper, lower)
    crowded = np.zeros(len(convex.contour), np.bool_)
    crowded[near.shape[near.is_close & ~may]] = True
    own = np.flatnonzero(may & ~crowded[near.shape])
    count = len(layers.starts) - 1
    pairs, of_edge = numbered(upper[own] * count + lower[own])
    result = np.zeros(len(upper), np.bool_)
    above, below = np.divmod(pairs, count)
    result[own] = pass_beneath(layers.points, layers.starts, above, below, reach=reach)[of_edge]
    return result
