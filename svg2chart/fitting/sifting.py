"""Which motifs can be fitted in frames of their own, and which have to go with all else."""

from dataclasses import replace
from itertools import compress

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.convex import LARGEST, LONGEST_CHORD, are_convex
from svg2chart.fitting.fitted import Fit
from svg2chart.fitting.frames import NO_FRAMES
from svg2chart.fitting.likeness import ALIKE, have_twins
from svg2chart.fitting.looking import Looked
from svg2chart.fitting.motifs import Motifs, seen_near
from svg2chart.fitting.sightlines import AT_HOLE, Sights
from svg2chart.fitting.tips import DIAGONAL
from svg2chart.fitting.widths import SEEN
from svg2chart.geometry.boxes import boxes_of, middles_of, within_box
from svg2chart.geometry.meetings import boxes_in_boxes
from svg2chart.geometry.polygon import edges_of, ways_of
from svg2chart.runs import distinct

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

CLEAR = 2.0
"""So many times as far as anything may move nothing else is seen near a motif."""

CLOSE = 0.25
"""The same for copies, which keep their form if they come no closer."""


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
