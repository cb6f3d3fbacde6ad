"""Which motifs stay in frames of their own: there they may not crowd what is beside them."""

from dataclasses import replace
from itertools import compress

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.alike import LEAST_ROOM, SAME
from svg2chart.fitting.beneath import Layers
from svg2chart.fitting.fitted import Fit
from svg2chart.fitting.motifs import NEARLY, Beside, seen_beside, seen_boxes
from svg2chart.fitting.sifting import CLEAR
from svg2chart.fitting.sightlines import Sights
from svg2chart.geometry.boxes import boxes_of, grown, within_box
from svg2chart.geometry.meetings import boxes_in_boxes, near_outlines, parts_in_boxes
from svg2chart.geometry.polygon import edges_of, ways_of
from svg2chart.runs import numbered

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

SHOWN = 0.5
"""Less space than this, in squares, no stitch can leave free."""

HIDDEN = 1 / 8
"""So much of the smaller side of the lower of two, but no more than SHOWN, may come to lie beneath the other;
our own choice."""

FAR = 5.0
"""What is seen no farther from a motif, in such ways, could come near to it when all moves."""

ROUNDED = 2.0**-11
"""So far over the edge of the grid, in squares, points come by rounding; it is cut off."""

OFF_GROUND = 2.0**-12
"""What is bound may not come off what binds it by more than points are rounded, in squares."""


def without_crowded(
    fit: Fit, layers: Layers, sights: tuple[Sights, Sights], grid: Floats, movement: float
) -> Fit:
    """Return the fit without motifs that come near to something, over the grid's edge, or off the ground.

    Args:
        fit: with all motifs.
        layers: all contours.
        sights: what is seen along rows and along columns.
        grid: left, top, right, bottom of the grid.
        movement: as far as sides may move.
    """
    edges, boxes = edges_of(layers.points, layers.starts), boxes_of(layers.points, layers.starts)
    contour = np.repeat(np.arange(len(boxes)), np.diff(layers.starts))
    around = boxes[contour]
    while True:
        frames = fit.frames
        seen = seen_boxes(frames.box, edges, around, sights)
        ground, beside = (
            seen_beside(frames.box, edges, around, sights, clear=far * movement, seen=seen)
            for far in (CLEAR, FAR)
        )
        # what is stood on may end before it is past by so much more
        stood_on = ground.only(_are_stood_on(ground))
        pair, of_ground = (each.box * len(edges) + each.edge for each in (beside, stood_on))
        now = fit.boxes_of_motifs()
        free = beside.only(~_are_stood_on(beside) & ~np.isin(pair, of_ground))
        crowded = _come_near(fit, now, free, contour[free.edge], layers, boxes, movement)
        crowded |= ~on_grid(now, grid)
        crowded |= _come_off(fit, now, ground, seen, CLEAR * movement)
        if not crowded.any():
            return roomy(fit, now)
        # copies stay alike
        kept = np.bincount(frames.kind[crowded], minlength=len(frames.first)) == 0
        fit = replace(fit, frames=frames.only(kept), motifs=tuple(compress(fit.motifs, kept)))


def _come_near(
    fit: Fit, now: Floats, beside: Beside, contour: Ints, layers: Layers, around: Floats, movement: float
) -> Bools:
    """Return which motifs come near to what is beside them.

    Args:
        fit: with all motifs.
        now: (n, 4) the boxes around them where they come to lie.
        beside: what is seen near their boxes, and does not carry them.
        contour: (pairs,) what the edge of each belongs to.
        layers: all contours.
        around: (contours, 4) the box around each.
        movement: as far as sides may move.
    """
    frames, motif = fit.frames, beside.box
    one, other = beside.part[:, :2], beside.part[:, 2:]
    low, high = np.minimum(one, other), np.maximum(one, other)
    off = np.maximum(low - frames.box[motif, 2:], frames.box[motif, :2] - high).max(axis=1)
    off = _least_of_each(motif * len(around) + contour, off)
    hidden = _may_be_hidden(frames.box, layers, around, motif, contour)
    room = LEAST_ROOM * np.minimum(off - SHOWN, movement)
    least = np.where(off < SHOWN, -np.maximum(hidden, SAME), room)
    parts = fit.points(beside.part.reshape(-1, 2)).reshape(-1, 4)
    first, last = parts_in_boxes(parts, now[motif] + least[:, None] * [-1, -1, 1, 1])
    is_near = first <= last
    # a corner of a box may be empty: what keeps free space keeps it around outlines
    own = np.flatnonzero(is_near & (least > 0))
    sides = fit.points(frames.sides.reshape(-1, 2)).reshape(-1, 4)
    is_near[own] = near_outlines(parts[own], motif[own], sides, frames.of_side, least[own])
    return np.bincount(motif[is_near], minlength=len(now)) > 0


def _may_be_hidden(box: Floats, layers: Layers, around: Floats, motif: Ints, other: Ints) -> Floats:
    """Return how much of one of each pair may come to lie beneath the other, in squares.

    Args:
        box: (n, 4) of all motifs.
        layers: all contours.
        around: (contours, 4) the box around each.
        motif: (pairs,) a motif.
        other: (pairs,) a contour beside it.
    """
    inner, outer = boxes_in_boxes(around, box).T
    lowest, highest = np.full(len(box), layers.lowest.max(initial=0)), np.full(len(box), -1)
    np.minimum.at(lowest, outer, layers.lowest[inner])
    np.maximum.at(highest, outer, layers.highest[inner])
    own, beside = (np.min(each[:, 2:] - each[:, :2], axis=1, initial=np.inf) for each in (box, around))
    is_above, is_below = layers.lowest[other] > highest[motif], layers.highest[other] < lowest[motif]
    lower = np.where(is_above, own[motif], np.where(is_below, beside[other], 0.0))
    return np.minimum(HIDDEN * lower, SHOWN)


def _least_of_each(group: Ints, values: Floats) -> Floats:
    """Return the least value of the group that each is of."""
    groups, number = numbered(group)
    least = np.full(len(groups), np.inf)
    np.minimum.at(least, number, values)
    return least[number]


def _are_stood_on(beside: Beside) -> Bools:
    """Return what binds a motif and runs along the axis that it binds: its upright parts are only near."""
    way = ways_of(beside.part)
    return np.where(beside.binds == 0, way[:, 0] >= way[:, 1], (beside.binds == 1) & (way[:, 1] >= way[:, 0]))


def _come_off(fit: Fit, now: Floats, beside: Beside, seen: Floats, near: float) -> Bools:
    """Return which motifs come off what they stand on, which goes where the warp takes it.

    Args:
        fit: with all motifs.
        now: (n, 4) the boxes around them where they come to lie.
        beside: what is seen near their boxes.
        seen: (n, 4) around what is seen of them: what goes past behind that is not stood on.
        near: what is so near to a side of a box, in squares, is stood on.
    """
    box = fit.frames.box
    led = box + fit.warp.ways(box.reshape(-1, 2)).reshape(-1, 4)
    result = np.zeros(len(box), np.bool_)
    for axis in (0, 1):
        binds, ends = beside.binds == 1 - axis, [axis, axis + 2]
        # either end of what slants may be what it stands on
        motif, at = np.tile(beside.box[binds], 2), beside.part[binds].reshape(-1, 2, 2).swapaxes(0, 1)
        at = at.reshape(-1, 2)
        away = (at[:, [axis]] - seen[motif][:, ends]) * [-1, 1]
        stands = (away >= -NEARLY) & (away <= near)
        ground = (at + fit.warp.ways(at))[:, [axis]]
        # what hangs in the air may come nearer, or go farther off, and what ends in the ground be less far in
        hangs = (away > NEARLY) & ((box[motif][:, ends] - at[:, [axis]]) * [-1, 1] < 0)
        least = np.where(hangs, away / 2, OFF_GROUND)
        within = np.where(hangs, 0.0, (led[motif][:, ends] - ground) * [-1, 1])
        outwards = (now - led)[motif][:, ends] * [-1, 1]
        off = (outwards > least) | (-outwards > np.maximum(least, within))
        result[motif[(stands & off).any(axis=1)]] = True
    return result


def on_grid(boxes: Floats, grid: Floats) -> Bools:
    """Return which boxes lie within a grid: left, top, right, bottom; but for how points are rounded."""
    return within_box(boxes, grown(grid, ROUNDED))


def roomy(fit: Fit, now: Floats) -> Fit:
    """Return the fit with room for motifs where they come to lie, (n, 4)."""
    reach = np.concatenate([now.reshape(-1, 2), fit.room])
    low, high = reach.min(axis=0) + ROUNDED, reach.max(axis=0) - ROUNDED
    return replace(fit, room=np.stack([np.floor(low), np.ceil(high)]))
