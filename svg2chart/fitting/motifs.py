r"""Motifs: parts of a drawing that stand by themselves, each with whatever lies within it.

Nothing else is seen near the box around a motif, so that it may be moved as a whole and fitted to the
squares as a drawing of its own. Outlines that come near each other are of one motif; what lies within its
box, away from its own outlines, may be a motif, too. What reaches over half of the drawing and past a motif
on both sides, such as the ground that a house stands on or the waves around a boat, binds it in one
direction only, and what lies on the far side of level ground is not near. It does not if it goes on beneath
the motif, far from its ends: a boat may move against the edge of the sky behind it.

      .--------------.             /\
      |   .-.  .-.   |            /__\         a lantern, its two lights,
      |   '-'  '-'   |            |  |         and a house that may move
      '--------------'      ------+--+-----    to the left and right
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.beneath import Layers
from svg2chart.fitting.sightlines import LINES_PER_SQUARE, Sights
from svg2chart.fitting.slants import seen_on
from svg2chart.geometry.boxes import boxes_around, boxes_of, grown, within_box
from svg2chart.geometry.meetings import cut_to_boxes, edges_in_boxes
from svg2chart.geometry.polygon import edges_of, ways_of
from svg2chart.runs import in_order, linked

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

LEAST = 1.5
"""Parts that are narrower both ways, in squares, are a stitch or two; our own choice."""

LARGEST = 48.0
"""Larger parts, in squares, are landscape and no motifs; our own choice."""

ROUNDS = 6
"""So often what has come near to the grown box around outlines is taken in; then it is no motif."""

NEARLY = 1 / (2 * LINES_PER_SQUARE)
"""Half as far as lines across the drawing lie apart, in squares: so well they see where outlines end."""

LEVEL = 1 / 64
"""A side whose ends differ by less, in squares, runs along the grid."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Motifs:
    """Motifs, (n,) each.

    box: (n, 4) around each, left, top, right, bottom, in squares.
    is_bound: (n, 2) whether it may not move across, or down, but as what it stands on does.
    """

    box: Floats
    is_bound: Bools

    def only(self, kept: Bools) -> "Motifs":
        """Return some of them."""
        return Motifs(box=self.box[kept], is_bound=self.is_bound[kept])


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Beside:
    """What is seen near boxes and does not lie within them, (pairs,) each.

    box: its number. part: (pairs, 4) of the edge, in squares. edge: of all edges.
    binds: -1, or along which axis it goes past the box on both sides.
    """

    box: Ints
    part: Floats
    edge: Ints
    binds: Ints

    def only(self, kept: Bools) -> "Beside":
        """Return some of it."""
        return Beside(box=self.box[kept], part=self.part[kept], edge=self.edge[kept], binds=self.binds[kept])


def find_motifs(layers: Layers, sights: tuple[Sights, Sights], *, clear: float) -> Motifs:
    """Return the motifs of a drawing.

    Args:
        layers: all contours.
        sights: what is seen along rows and along columns.
        clear: nothing else is seen so near to the box around a motif, in squares.
    """
    edges, boxes = edges_of(layers.points, layers.starts), boxes_of(layers.points, layers.starts)
    contour = np.repeat(np.arange(len(boxes)), np.diff(layers.starts))
    is_bound = np.zeros((len(boxes), 2), np.bool_)
    found: list[Motifs] = []
    group = _touching(edges, contour, boxes, sights, clear)
    around = boxes_around(boxes[:, :2], boxes[:, 2:], group, len(boxes))
    has_grown = _are_small(around)
    standing = np.zeros((0, 2), np.int64)
    for _ in range(ROUNDS):
        own = np.flatnonzero(has_grown)
        reach = around[group[contour]]
        seen = seen_boxes(around[own], edges, reach, sights)
        beside = seen_beside(around[own], edges, reach, sights, clear=clear, seen=seen)
        pairs = np.stack([own[beside.box], group[contour[beside.edge]]], axis=1)
        binds = beside.binds >= 0
        is_lower = layers.highest[contour[beside.edge]] < _lowest(layers, group)[pairs[:, 0]]
        holds = binds & ~(is_lower & _pass_far_in(beside, seen, clear))
        is_bound[own] = False
        is_bound[pairs[holds, 0], 1 - beside.binds[holds]] = True
        standing = np.concatenate([group[standing], pairs[binds]])
        # what something stands on sees it near, too: they are not one, but it may not move by itself
        carries = _are_among(pairs[:, ::-1], standing) & ~_are_among(pairs[:, ::-1], pairs[~binds])
        is_bound[pairs[carries, 0]] = True
        one, other = pairs[~binds & ~carries].T
        # larger ones that it comes into the box of may be motifs, too
        alone = own[~np.isin(own, one)]
        found.append(Motifs(box=around[alone], is_bound=is_bound[alone]))
        joined = linked(one, other, len(group))[group]
        has_grown = np.zeros(len(group), np.bool_)
        has_grown[joined[joined != group]] = True
        group, around = joined, boxes_around(boxes[:, :2], boxes[:, 2:], joined, len(boxes))
        has_grown &= _are_small(around)
        if not has_grown.any():
            break
    return _each_once(found)


def _each_once(found: Sequence[Motifs]) -> Motifs:
    """Return motifs that are no mere stitches and may move, each as it was found last."""
    box, is_bound = np.concatenate([m.box for m in found]), np.concatenate([m.is_bound for m in found])
    kept = (box[:, 2:] - box[:, :2] >= LEAST).any(axis=1) & ~is_bound.all(axis=1)
    # what grows by what lies within is found again
    last = len(box) - 1 - np.unique(box[::-1], axis=0, return_index=True)[1]
    kept &= np.isin(np.arange(len(box)), last)
    return Motifs(box=box, is_bound=is_bound).only(kept)


def _lowest(layers: Layers, group: Ints) -> Ints:
    """Return (contours,) of each group, by the number of one of its contours, the lowest shape."""
    result = np.full(len(group), len(group))
    np.minimum.at(result, group, layers.lowest)
    return result


def _pass_far_in(beside: Beside, seen: Floats, clear: float) -> Bools:
    """Return what goes past boxes farther than this from both ends of what is seen of them.

    Args:
        beside: what is seen near boxes.
        seen: (boxes, 4) around what is seen within each.
        clear: in squares.
    """
    axis = 1 - np.maximum(beside.binds, 0)
    rows, own = np.arange(len(axis)), seen[beside.box]
    first, last = np.sort(np.stack([beside.part[rows, axis], beside.part[rows, axis + 2]]), axis=0)
    return np.asarray((first - own[rows, axis] > clear) & (own[rows, axis + 2] - last > clear))


def _are_among(pairs: Ints, others: Ints) -> Bools:
    """Return which pairs are among others."""
    scale = int(max(pairs.max(initial=0), others.max(initial=0))) + 1
    return np.isin(pairs[:, 0] * scale + pairs[:, 1], others[:, 0] * scale + others[:, 1])


def _touching(
    edges: Floats, contour: Ints, boxes: Floats, sights: tuple[Sights, Sights], clear: float
) -> Ints:
    """Return groups of contours that are seen in one cell each, smaller than what lies near.

    They would be found one by one, too, but it takes far longer where many lie over each other.
    """
    leans = ways_of(edges).min(axis=1, initial=np.inf) > LEVEL
    leans &= ~np.asarray(_reach_over_half(boxes).any(axis=1))[contour]
    # along rows is enough: what this does not join is found in the rounds that follow
    edge, place = seen_on(edges[leans], sights[:1])
    own = contour[leans][edge]
    cell = np.floor(place / clear).astype(np.int64) + 2
    order = in_order(cell[:, 0], cell[:, 1], own)
    own, cell = own[order], cell[order]
    shared = np.flatnonzero((cell[1:] == cell[:-1]).all(axis=1) & (own[1:] != own[:-1]))
    return linked(own[shared], own[shared + 1], len(boxes))


def _are_small(boxes: Floats) -> Bools:
    size = boxes[:, 2:] - boxes[:, :2]
    return np.asarray(np.isfinite(boxes).all(axis=1) & (size <= LARGEST).all(axis=1) & (size > 0).all(axis=1))


def seen_beside(
    boxes: Floats,
    edges: Floats,
    around: Floats,
    sights: tuple[Sights, Sights],
    *,
    clear: float,
    seen: Floats,
) -> Beside:
    """Return what is seen near boxes.

    Args:
        boxes: (n, 4) in squares.
        edges: (m, 4) of all contours.
        around: (m, 4) the box around what each edge belongs to; what lies within a box is not beside it.
        sights: what is seen along rows and along columns.
        clear: what is seen so near to a box, in squares, is beside it.
        seen: (n, 4) around what is seen within each, as `seen_boxes` tells.
    """
    wide = grown(boxes, clear)
    one, edge = edges_in_boxes(edges, wide).T
    outside = ~within_box(around[edge], boxes[one])
    one, edge = one[outside], edge[outside]
    own, part = _seen_parts(cut_to_boxes(edges[edge], wide[one]), sights)
    one, edge = one[own], edge[own]
    page = [0, 0, *(each.length for each in sights)]
    binds = _along(edges, around, edge, boxes[one], clear, page)
    found = Beside(box=one, part=part, edge=edge, binds=binds)
    return found.only(~_lie_beyond(found, seen))


def _seen_parts(edges: Floats, sights: tuple[Sights, Sights]) -> tuple[Ints, Floats]:
    """Return which edges are seen, and (seen, 4) what is seen of them, as far as lines tell."""
    own, place = seen_on(edges, sights)
    way = edges[:, 2:] - edges[:, :2]
    length = np.hypot(way[:, 0], way[:, 1])
    part = ((place - edges[own, :2]) * way[own]).sum(axis=1) / length[own] ** 2
    low, high = np.ones(len(edges)), np.zeros(len(edges))
    np.minimum.at(low, own, part)
    np.maximum.at(high, own, part)
    seen = np.flatnonzero(low <= high)
    more = NEARLY / length[seen]
    ends = np.stack([np.maximum(low[seen] - more, 0.0), np.minimum(high[seen] + more, 1.0)])
    first, last = edges[seen, :2] + ends[:, :, None] * way[seen]
    return seen, np.concatenate([first, last], axis=1)


def seen_near(
    boxes: Floats, contours: tuple[Floats, Ints], sights: tuple[Sights, Sights], *, clear: float
) -> Beside:
    """Return what is seen of contours near boxes and does not lie within them; as for `seen_beside`."""
    edges, around = edges_of(*contours), np.repeat(boxes_of(*contours), np.diff(contours[1]), axis=0)
    seen = seen_boxes(boxes, edges, around, sights)
    return seen_beside(boxes, edges, around, sights, clear=clear, seen=seen)


def seen_boxes(boxes: Floats, edges: Floats, around: Floats, sights: tuple[Sights, Sights]) -> Floats:
    """Return (n, 4) the boxes around what is seen of outlines within boxes, as for `seen_beside`."""
    one, edge = edges_in_boxes(edges, boxes).T
    own = within_box(around[edge], boxes[one])
    one, edge = one[own], edge[own]
    seen, place = seen_on(edges[edge], sights)
    return boxes_around(place, place, one[seen], len(boxes))


def _lie_beyond(beside: Beside, seen: Floats) -> Bools:
    """Return what lies on the far side of what binds a box, which the box may not pass.

    Args:
        beside: what is seen near boxes.
        seen: (boxes, 4) around what is seen within each.
    """
    result = np.zeros(len(beside.box), np.bool_)
    one, other = beside.part[:, :2], beside.part[:, 2:]
    low, high = np.minimum(one, other), np.maximum(one, other)
    for axis in (0, 1):
        binds = (beside.binds == 1 - axis) & (high - low <= LEVEL)[:, axis]
        box, place = beside.box[binds], beside.part[binds, axis]
        first, last = seen[box, axis] >= place - NEARLY, seen[box, axis + 2] <= place + NEARLY
        least, most = np.full(len(seen), -np.inf), np.full(len(seen), np.inf)
        np.maximum.at(least, box[first], place[first])
        np.minimum.at(most, box[last], place[last])
        above, below = high[:, axis] - NEARLY, low[:, axis] + NEARLY
        result |= (above <= least[beside.box]) | (below >= most[beside.box])
    return result & (beside.binds < 0)


def _along(
    edges: Floats, around: Floats, edge: Ints, boxes: Floats, clear: float, page: Sequence[int]
) -> Ints:
    """Return along which axis what edges belong to goes past boxes on both sides, and over half of all.

    It goes past by as much as is near, or to the edge of the page, (left, top, right, bottom). Where it does
    so along both axes, as a hill does, the edge itself tells. -1 for none.
    """
    outwards = np.array([-1, -1, 1, 1])
    reach, end, own = (each * outwards for each in (around[edge], np.array(page), boxes))
    goes = (reach >= own + clear) | ((reach >= end - NEARLY) & (reach >= own + NEARLY))
    past = goes[:, :2] & goes[:, 2:] & _reach_over_half(around)[edge]
    way = ways_of(edges[edge])
    past &= ~past.all(axis=1, keepdims=True) | (way > way[:, ::-1])
    return np.where(past[:, 0], 0, np.where(past[:, 1], 1, -1))


def _reach_over_half(boxes: Floats) -> Bools:
    """Return (n, 2) which of boxes are half as wide, or high, as what is around all of them, or more."""
    whole = boxes_around(boxes[:, :2], boxes[:, 2:], np.zeros(len(boxes), np.int64), 1)
    return np.asarray(2 * (boxes[:, 2:] - boxes[:, :2]) >= whole[:, 2:] - whole[:, :2])
