"""Shapes that stand by themselves: nothing is seen near them, but for what lies within them.

Round shapes within a round one, a ring or a button with its boss, go with the outermost of them.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.alike import SAME, Boxes
from svg2chart.fitting.beneath import Layers
from svg2chart.fitting.convex import Convex
from svg2chart.fitting.holding import are_at_holes
from svg2chart.fitting.nearness import (
    are_large,
    edges_near,
    find_bound,
    find_near,
    go_on_beneath,
    have_one_middle,
    lie_along,
)
from svg2chart.fitting.sightlines import Sights
from svg2chart.fitting.slants import seen_on
from svg2chart.geometry.boxes import within_box
from svg2chart.geometry.meetings import near_outlines
from svg2chart.geometry.passing import stay_over
from svg2chart.runs import begins, ends, in_order, numbered

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Standing:
    """Shapes that stand by themselves or within another of them, (n,) each, and their edges, (edges,).

    boxes: around them. around: the outermost shape that each goes with, -1 for those that go by themselves.
    next_around: the next seen shape around each that goes with another.
    is_seen: whether anything is seen of the outline of each that goes with another.
    edges: (edges, 4) in squares. owner: the shape that each belongs to.
    near: (pairs,) a shape that goes by itself or with a large one and, beside: (pairs, 4), a part of an edge
    near it. beside_of: the shape that this belongs to, -1 for none. room: what stays free between them, in
    squares.
    over: (pieces,) a shape that goes by itself and, beneath: (pieces, 4), a piece of an edge that goes on
    beneath it. beneath_of: the contour that this is of.
    """

    boxes: Boxes
    around: Ints
    next_around: Ints
    is_seen: Bools
    edges: Floats
    owner: Ints
    near: Ints
    beside: Floats
    beside_of: Ints
    room: Floats
    over: Ints
    beneath: Floats
    beneath_of: Ints

    def only(self, kept: Bools) -> "Standing":
        """Return some of them, without those that go with one that is left out."""
        kept = kept & ((self.around < 0) | kept[self.around])
        number = np.append(np.where(kept, np.cumsum(kept) - 1, -1), -1)
        own, pairs, pieces = (number[each] >= 0 for each in (self.owner, self.near, self.over))
        return Standing(
            boxes=self.boxes.only(np.flatnonzero(kept)),
            around=number[self.around[kept]],
            next_around=number[self.next_around[kept]],
            is_seen=self.is_seen[kept],
            edges=self.edges[own],
            owner=number[self.owner[own]],
            near=number[self.near[pairs]],
            beside=self.beside[pairs],
            beside_of=number[self.beside_of[pairs]],
            room=self.room[pairs],
            over=number[self.over[pieces]],
            beneath=self.beneath[pieces],
            beneath_of=self.beneath_of[pieces],
        )

    def pairs(self, own: Ints) -> Ints:
        """Return (n, 2) the pairs among these, ascending, of which one is seen near the other's box."""
        number = np.full(len(self.around) + 1, -1)
        number[own] = np.arange(len(own))
        found = number[np.stack([self.near, self.beside_of], axis=1)]
        return np.asarray(found[(found >= 0).all(axis=1)])

    def crowded(self, edges: Floats, beside: Floats) -> Bools:
        """Return which of them have come so near to an edge beside them, from where all edges lie now.

        A corner of the box around a round shape may lie in another's: what counts are the outlines.
        """
        result = np.zeros(len(self.around), np.bool_)
        result[self.near[near_outlines(beside, self.near, edges, self.owner, self.room)]] = True
        # what goes with a large one stays with it
        outer = self.around[result]
        result[outer[outer >= 0]] = True
        return result

    def come_off(self, corners: Floats, beneath: Floats) -> Bools:
        """Return which of them no longer lie over what goes on beneath them.

        Args:
            corners: (edges, 2) where their edges begin now.
            beneath: (pieces, 4) where what is beneath them lies now.
        """
        result = np.zeros(len(self.around), np.bool_)
        if len(self.over):
            order = in_order(self.over, self.beneath_of)
            first = begins(self.over[order], self.beneath_of[order])
            over, piece = self.over[order][first], np.cumsum(first) - 1
            shape, own = numbered(over)
            number = np.full(len(result), -1)
            number[shape] = np.arange(len(shape))
            corner = np.flatnonzero(number[self.owner] >= 0)
            stays = stay_over(corners[corner], number[self.owner[corner]], beneath[order], piece, own)
            result[over[~stays]] = True
        return result


def find_standing(convex: Convex, layers: Layers, sights: tuple[Sights, Sights], *, least: float) -> Standing:
    """Return the convex shapes that stand by themselves.

    Args:
        convex: all that are looked at.
        layers: all contours; what goes on beneath a shape is not near it.
        sights: what is seen along rows and along columns.
        least: how far anything may move, in squares; nothing else is seen nearer than CLOSE of that.
    """
    box = convex.boxes.at
    one, edge, wide = edges_near(convex, least)
    other = convex.owner[edge]
    inside, is_large = (other >= 0) & within_box(box[other], box[one]), are_large(box)
    within = inside & (one != other)
    beside = (one != other) & ~(inside & ~is_large[one])
    beside[beside] = ~lie_along(convex, layers, is_large, one[beside], edge[beside])
    near = find_near(convex, one[beside], edge[beside], wide[beside], sights, least)
    goes_on = go_on_beneath(convex, layers, near, reach=2 * least)
    has_one_middle = have_one_middle(box, one[within], other[within])
    goes_on &= ~_may_be_hollow(is_large, other[within][has_one_middle])[near.shape]
    over, near = near.only(goes_on), near.only(~goes_on)
    alone = is_large | ~_around_what_stays(convex, box, one, edge)
    near, is_bound = find_bound(convex, near, is_large)
    alone[near.shape[near.is_close]] = alone[is_bound & is_large] = False
    around = _around(box, alone, is_bound, one[within], other[within])
    over = over.only(around[over.shape] < 0)
    near = near.only(~_go_along(around, is_large, near.shape, convex.owner[near.edge]))
    owner = np.flatnonzero(convex.owner >= 0)
    is_seen = np.zeros(len(box), np.bool_)
    nested = owner[around[convex.owner[owner]] >= 0]
    is_seen[convex.owner[nested[seen_on(convex.edges[nested], sights)[0]]]] = True
    return Standing(
        boxes=convex.boxes,
        around=around,
        next_around=_next_around(box, around, is_seen, one[within], other[within]),
        is_seen=is_seen,
        edges=convex.edges[owner],
        owner=convex.owner[owner],
        near=near.shape,
        beside=near.part,
        beside_of=convex.owner[near.edge],
        room=near.room,
        over=over.shape,
        beneath=over.part,
        beneath_of=convex.of_contour[over.edge],
    ).only(alone | (around >= 0))


def _around_what_stays(convex: Convex, box: Floats, one: Ints, edge: Ints) -> Bools:
    """Return which shapes are off the grid and hold an edge from hole to hole, which was drawn there.

    Args:
        convex: all that are looked at.
        box: (n, 4) of these.
        one: (pairs,) which of them is near an edge.
        edge: (pairs,) of all edges.
    """
    at = convex.edges[edge]
    low, high = np.minimum(at[:, :2], at[:, 2:]), np.maximum(at[:, :2], at[:, 2:])
    within = within_box(np.concatenate([low, high], axis=1), box[one])
    is_long = (np.rint(low) != np.rint(high)).any(axis=1)  # a chord of a curve may lie at one hole
    stays = within & is_long & are_at_holes(at) & (convex.owner[edge] != one)
    result = np.zeros(len(box), np.bool_)
    result[one[stays]] = True
    return result & ~are_at_holes(box)


def _go_along(around: Ints, is_large: Bools, shape: Ints, beside: Ints) -> Bools:
    """Return which shapes need no room beside others: those within small ones, and what goes with the same.

    Args:
        around: (n,) what each goes with, -1 for none.
        is_large: (n,) which of them are large.
        shape: (pairs,) which may need room.
        beside: (pairs,) what is near it, -1 for what is no shape.
    """
    leader = np.where(around < 0, np.arange(len(around)), around)
    goes_with_same = (beside >= 0) & (leader[shape] == leader[beside])
    return np.asarray((around[shape] >= 0) & (~is_large[leader[shape]] | goes_with_same))


def _may_be_hollow(is_large: Bools, centred: Ints) -> Bools:
    """Return which large shapes have one middle with a larger one: what goes on beneath a ring shows in them.

    Args:
        is_large: (n,) which shapes are large.
        centred: those that lie within one that has their middle.
    """
    result = np.zeros(len(is_large), np.bool_)
    result[centred] = True
    return result & is_large


def _around(box: Floats, alone: Bools, is_bound: Bools, outer: Ints, inner: Ints) -> Ints:
    """Return the shape that each goes with, the next around it that goes by itself; -1 for none.

    What stands alone within others goes by itself, but where it has one middle with any of them; and with
    large ones goes only what has one middle with them, and nothing else close to it.

    Args:
        box: (n, 4) of all shapes.
        alone: (n,) which of them stand alone.
        is_bound: (n,) which of them something is close to that has another middle.
        outer: (pairs,) shapes that have others in their boxes.
        inner: (pairs,) these.
    """
    result = np.full(len(box), -1, np.int64)
    rank = np.empty(len(box), np.int64)
    rank[np.lexsort((np.arange(len(box)), -(box[:, 2:] - box[:, :2]).sum(axis=1)))] = np.arange(len(box))
    has_one_middle = have_one_middle(box, outer, inner)
    is_centred = np.zeros(len(box), np.bool_)
    is_centred[inner[has_one_middle]] = True
    is_large, goes_along = are_large(box), has_one_middle & ~is_bound[inner]
    # from the largest inwards, of each first the next one around it
    order = np.lexsort((-rank[outer], rank[inner]))
    order = order[(rank[outer] < rank[inner])[order] & (goes_along | ~is_large[outer])[order]]
    done = -1
    for one, other in zip(inner[order].tolist(), outer[order].tolist(), strict=True):
        if one != done and alone[other] and result[other] < 0:
            done = one
            result[one] = -1 if alone[one] and not is_centred[one] else other
    return result


def _next_around(box: Floats, around: Ints, is_seen: Bools, outer: Ints, inner: Ints) -> Ints:
    """Return the smallest seen shape around each within what both go with; that itself if two are as small.

    Args:
        box: (n, 4) of all shapes.
        around: (n,) what each goes with, -1 for none.
        is_seen: (n,) whether anything is seen of those that go with another.
        outer: (pairs,) shapes that have others in their boxes.
        inner: (pairs,) these.
    """
    size = np.rint((box[:, 2:] - box[:, :2]).sum(axis=1) / SAME).astype(np.int64)
    between = is_seen[outer] & (around[outer] == around[inner]) & (size[outer] > size[inner])
    between &= around[inner] >= 0
    pairs = np.unique(np.stack([inner, size[outer], outer], axis=1)[between], axis=0)
    fresh = begins(pairs[:, 0], pairs[:, 1])
    nearest = pairs[begins(pairs[:, 0]) & ends(fresh)]
    result = around.copy()
    result[nearest[:, 0]] = nearest[:, 2]
    return result
