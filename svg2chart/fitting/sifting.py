"""Which motifs can be fitted in frames of their own, and which have to go with all else."""

from dataclasses import replace
from itertools import compress

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.alike import LEAST_ROOM, SAME
from svg2chart.fitting.beneath import Layers
from svg2chart.fitting.convex import LARGEST, LONGEST_CHORD, are_convex
from svg2chart.fitting.fitted import Fit
from svg2chart.fitting.frames import NO_FRAMES
from svg2chart.fitting.likeness import ALIKE, have_twins
from svg2chart.fitting.looking import Looked
from svg2chart.fitting.motifs import NEARLY, Beside, Motifs, seen_beside, seen_boxes, seen_near
from svg2chart.fitting.sightlines import AT_HOLE, Sights
from svg2chart.fitting.tips import DIAGONAL
from svg2chart.fitting.widths import SEEN
from svg2chart.geometry.boxes import boxes_of, grown, middles_of, within_box
from svg2chart.geometry.meetings import boxes_in_boxes, near_outlines, parts_in_boxes
from svg2chart.geometry.polygon import edges_of, ways_of
from svg2chart.runs import distinct, numbered

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

CLEAR = 2.0
"""So many times as far as anything may move nothing else is seen near a motif."""

CLOSE = 0.25
"""The same for copies, which keep their form if they come no closer."""

SHOWN = 0.5
"""Less space than this, in squares, no stitch can leave free."""

HIDDEN = 1 / 8
"""So much of the smaller side of what is nearer may come to lie beneath the other; our own choice."""

FAR = 5.0
"""What is seen no farther from a motif, in such ways, could come near to it when all moves."""

ROUNDED = 2.0**-11
"""So far over the edge of the grid, in squares, points come by rounding; it is cut off."""

OFF_GROUND = 2.0**-12
"""What is bound may not come off what binds it by more than points are rounded, in squares."""


def gain_by_frames(boxes: Floats, looked: Looked, contours: tuple[Floats, Ints]) -> Bools:
    """Return which motifs have nothing of what reaches around them, and more than plain contours.

    Those are round, about one middle, or boxes; but not large copies.
    """
    around = boxes_of(*contours)
    inner, outer = boxes_in_boxes(around, boxes).T
    is_plain = are_round(*contours) | _are_boxes(*contours)
    gains = np.bincount(outer, ~is_plain[inner], len(boxes)) > 0
    # what is round goes with what is round about it, but not with that which it lies off the middle of
    off = np.abs(middles_of(around[inner]) - middles_of(boxes[outer])).max(axis=1, initial=0.0) > AT_HOLE
    gains |= np.bincount(outer, off, len(boxes)) > 0
    # large ones are bent by what lies beside them, copies each otherwise
    is_large = (around[:, 2:] - around[:, :2]).max(axis=1) > LARGEST
    gains |= (np.bincount(outer, is_large[inner], len(boxes)) > 0) & have_twins(boxes)
    return np.asarray(gains & ~_are_cut(boxes, looked))


def are_round(points: Floats, starts: Ints) -> Bools:
    """Return which contours bulge all around: they are laid well as forms, or by what is outermost."""
    way = ways_of(edges_of(points, starts))
    is_curved = _count(starts, np.hypot(way[:, 0], way[:, 1]) >= LONGEST_CHORD) == 0
    contour = np.repeat(np.arange(len(is_curved)), np.diff(starts))
    return np.asarray(is_curved & are_convex(points, contour, len(is_curved))[0])


def _are_boxes(points: Floats, starts: Ints) -> Bools:
    """Return which contours are boxes, upright or turned by 45 degrees: they are laid well by their sides."""
    low, high = np.sort(ways_of(edges_of(points, starts)), axis=1).T
    level, diagonal = (_count(starts, own) for own in (low == 0, high - low <= DIAGONAL * high))
    return np.asarray((np.diff(starts) == 4) & ((level == 4) | (diagonal == 4)))


def _count(starts: Ints, own: Bools) -> Ints:
    """Return of how many edges of each contour something holds."""
    counts = np.diff(starts)
    return np.bincount(np.repeat(np.arange(len(counts)), counts), own, len(counts)).astype(np.int64)


def _are_cut(boxes: Floats, looked: Looked) -> Bools:
    """Return which motifs have a contour of a shape of which another reaches around them."""
    parts = [boxes_of(shape.polygon.points, shape.polygon.starts) for shape in looked.shapes]
    owner = np.repeat(np.arange(len(parts)), [len(part) for part in parts])
    around = np.concatenate([np.zeros((0, 4)), *parts])
    inner, motif = boxes_in_boxes(around, boxes).T
    other, outer = boxes_in_boxes(boxes, around).T
    # what lies within and goes around is the outline itself
    outlines = np.isin(outer * len(boxes) + other, inner * len(boxes) + motif)
    others = owner[outer[~outlines]] * len(boxes) + other[~outlines]
    result = np.zeros(len(boxes), np.bool_)
    result[motif[np.isin(owner[inner] * len(boxes) + motif, others)]] = True
    return result


def with_close_copies(
    motifs: Motifs,
    close: Motifs,
    contours: tuple[Floats, Ints],
    sights: tuple[Sights, Sights],
    movement: float,
) -> Motifs:
    """Return motifs, and others that may be copies, if they do not lie within what is near to them.

    Args:
        motifs: what nothing is seen near to.
        close: what nothing is seen close to.
        contours: their points, in squares, and where each starts.
        sights: what is seen along rows and along columns.
        movement: as far as sides may move.
    """
    close = close.only(_may_be_copies(motifs, close))
    around = np.repeat(boxes_of(*contours), np.diff(contours[1]), axis=0)
    beside = seen_near(close.box, contours, sights, clear=CLEAR * movement)
    is_within = within_box(close.box[beside.box], around[beside.edge]) & (beside.binds < 0)
    close = close.only(np.bincount(beside.box[is_within], minlength=len(close.box)) == 0)
    close = close.only(_may_be_copies(motifs, close))
    return Motifs(
        box=np.concatenate([motifs.box, close.box]),
        is_bound=np.concatenate([motifs.is_bound, close.is_bound]),
    )


def _may_be_copies(motifs: Motifs, others: Motifs) -> Bools:
    """Return which others are no motifs yet, and are as large as one or another."""
    box = np.concatenate([motifs.box, others.box])
    is_new = np.isin(np.arange(len(box)), np.unique(box, axis=0, return_index=True)[1])
    return np.asarray((is_new & have_twins(box))[len(motifs.box) :])


def without_unlike(fit: Fit, points: Floats, starts: Ints) -> Fit:
    """Return the fit without frames that leave no more copies of one size than without them.

    What is in them has its like beside all motifs, which does not go with them.

    Args:
        fit: with all motifs.
        points: the corners of all contours, in squares.
        starts: where each contour starts, and the end of the last.
    """
    frames, sizes = fit.frames, _sizes(points, starts)
    kind = frames.kind_of(frames.of_chains(points, starts))
    figure = _numbered_rows(np.column_stack([np.diff(starts), np.rint(sizes / ALIKE)]))
    is_beside = np.zeros(len(starts), np.bool_)
    is_beside[figure[kind < 0]] = True
    doubtful = distinct(kind[(kind >= 0) & is_beside[figure]])
    if not len(doubtful):
        return fit
    without = replace(fit, frames=NO_FRAMES, motifs=())
    led, framed = (np.rint(_sizes(each.points(points), starts) / SEEN) for each in (without, fit))

    def unlike(dropped: Ints) -> int:
        now = np.where(np.isin(kind, dropped)[:, None], led, framed)
        return _unlike(figure, now)

    dropped, least = doubtful, unlike(doubtful)
    for number in doubtful:
        fewer = unlike(dropped[dropped != number])
        if fewer < least:
            dropped, least = dropped[dropped != number], fewer
    if unlike(doubtful[:0]) < least:
        dropped = doubtful[:0]
    if not len(dropped):
        return fit
    kept = ~np.isin(np.arange(len(frames.first)), dropped)
    return replace(fit, frames=frames.only(kept), motifs=tuple(compress(fit.motifs, kept)))


def _sizes(points: Floats, starts: Ints) -> Floats:
    """Return (contours, 2) how wide and high each is, in squares; nought for those without points."""
    boxes = boxes_of(points, starts)
    return np.where(np.isfinite(boxes[:, :2]), boxes[:, 2:] - boxes[:, :2], 0.0)


def _numbered_rows(values: Floats) -> Ints:
    """Return which of the different rows each is."""
    return np.unique(values, axis=0, return_inverse=True)[1].astype(np.int64).ravel()


def _unlike(figure: Ints, size: Floats) -> int:
    """Return how many are not of the size that most of their figure are of."""
    each = _numbered_rows(np.column_stack([figure, size]))
    most = np.zeros(len(figure), np.int64)
    np.maximum.at(most, figure, np.bincount(each)[each])
    return int(len(figure) - most.sum())


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
        is_free = ~_are_stood_on(beside) & ~np.isin(pair, of_ground)
        motif, near = beside.box[is_free], beside.part[is_free].reshape(-1, 2)
        now = fit.boxes_of_motifs()
        one, other = beside.part[is_free, :2], beside.part[is_free, 2:]
        low, high = np.minimum(one, other), np.maximum(one, other)
        off = np.maximum(low - frames.box[motif, 2:], frames.box[motif, :2] - high).max(axis=1)
        of_contour = contour[beside.edge[is_free]]
        off = _least_of_each(motif * len(boxes) + of_contour, off)
        hidden = _may_be_hidden(frames.box, boxes, layers, motif, of_contour)
        room = LEAST_ROOM * np.minimum(off - SHOWN, movement)
        least = np.where(off < SHOWN, -np.maximum(hidden, SAME), room)
        parts = fit.points(near).reshape(-1, 4)
        low, high = parts_in_boxes(parts, now[motif] + least[:, None] * [-1, -1, 1, 1])
        is_near = low <= high
        # a corner of a box may be empty: what keeps free space keeps it around outlines
        own = np.flatnonzero(is_near & (least > 0))
        sides = fit.points(frames.sides.reshape(-1, 2)).reshape(-1, 4)
        is_near[own] = near_outlines(parts[own], motif[own], sides, frames.of_side, least[own])
        crowded = np.bincount(motif[is_near], minlength=len(now)) > 0
        crowded |= ~on_grid(now, grid)
        crowded |= _come_off(fit, now, ground, seen, CLEAR * movement)
        if not crowded.any():
            return roomy(fit, now)
        # copies stay alike
        kept = np.bincount(frames.kind[crowded], minlength=len(frames.first)) == 0
        fit = replace(fit, frames=frames.only(kept), motifs=tuple(compress(fit.motifs, kept)))


def _may_be_hidden(box: Floats, around: Floats, layers: Layers, motif: Ints, other: Ints) -> Floats:
    """Return how much of one of each pair may come to lie beneath the other, in squares.

    Args:
        box: (n, 4) of all motifs.
        around: (contours, 4) the box around each contour.
        layers: all contours.
        motif: (pairs,) a motif.
        other: (pairs,) a contour beside it.
    """
    inner, outer = boxes_in_boxes(around, box).T
    lowest, highest = np.full(len(box), len(around)), np.full(len(box), -1)
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
