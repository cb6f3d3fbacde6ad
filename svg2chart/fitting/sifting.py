"""Which motifs can be fitted in frames of their own, and which have to go with all else."""

from dataclasses import replace
from itertools import compress

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.convex import LONGEST_CHORD
from svg2chart.fitting.fitted import Fit
from svg2chart.fitting.frames import Frames
from svg2chart.fitting.likeness import ALIKE
from svg2chart.fitting.looking import Looked
from svg2chart.fitting.motifs import Beside, seen_beside
from svg2chart.fitting.sightlines import Sights
from svg2chart.fitting.tips import DIAGONAL
from svg2chart.geometry.boxes import boxes_of, grown, within_box
from svg2chart.geometry.meetings import boxes_in_boxes, parts_in_boxes
from svg2chart.geometry.polygon import edges_of

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

CLEAR = 2.5
"""So many times as far as anything may move nothing else is seen near a motif."""

LEAST_ROOM = 0.75
"""So much of that way is left free around it once all has moved."""

FAR = 5.0
"""What is seen no farther from a motif, in such ways, could come near to it when all moves."""

ROUNDED = 2.0**-11
"""So far over the edge of the grid, in squares, points come by rounding; it is cut off."""

OFF_GROUND = 2.0**-12
"""What is bound may not come off what binds it by more than points are rounded, in squares."""


def gain_by_frames(boxes: Floats, looked: Looked, contours: tuple[Floats, Ints]) -> Bools:
    """Return which motifs have nothing of what reaches around them, and more than plain contours."""
    inner, outer = boxes_in_boxes(boxes_of(*contours), boxes).T
    is_plain = are_round(*contours) | _are_boxes(*contours)
    gains = np.bincount(outer, ~is_plain[inner], len(boxes)) > 0
    return np.asarray(gains & ~_are_cut(boxes, looked))


def are_round(points: Floats, starts: Ints) -> Bools:
    """Return which contours have no straight side: they are laid well as forms, or by what is outermost."""
    way = _ways(points, starts)
    return np.asarray(_count(starts, np.hypot(way[:, 0], way[:, 1]) >= LONGEST_CHORD) == 0)


def _are_boxes(points: Floats, starts: Ints) -> Bools:
    """Return which contours are boxes, upright or turned by 45 degrees: they are laid well by their sides."""
    low, high = np.sort(_ways(points, starts), axis=1).T
    level, diagonal = (_count(starts, own) for own in (low == 0, high - low <= DIAGONAL * high))
    return np.asarray((np.diff(starts) == 4) & ((level == 4) | (diagonal == 4)))


def _ways(points: Floats, starts: Ints) -> Floats:
    """Return (edges, 2) how far edges go across and down."""
    edges = edges_of(points, starts)
    return np.abs(edges[:, 2:] - edges[:, :2])


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


def have_likes(frames: Frames, points: Floats, starts: Ints) -> Bools:
    """Return of which frames something has its like beside all motifs, which would not go with it."""
    boxes, counts = boxes_of(points, starts), np.diff(starts)
    motif, size = frames.of_chains(points, starts), boxes[:, 2:] - boxes[:, :2]
    result = np.zeros(len(frames.first), np.bool_)
    others = np.flatnonzero((motif < 0) & (counts > 0))
    for own in np.flatnonzero(motif >= 0).tolist():
        alike = (counts[others] == counts[own]) & (np.abs(size[others] - size[own]) <= ALIKE).all(axis=1)
        result[frames.kind[motif[own]]] |= alike.any()
    return result


def without_crowded(
    fit: Fit, contours: tuple[Floats, Ints], sights: tuple[Sights, Sights], grid: Floats, movement: float
) -> Fit:
    """Return the fit without motifs that come near to something, over the grid's edge, or off the ground.

    Args:
        fit: with all motifs.
        contours: their points, in squares, and where each starts.
        sights: what is seen along rows and along columns.
        grid: left, top, right, bottom of the grid.
        movement: as far as sides may move.
    """
    edges = edges_of(*contours)
    around = np.repeat(boxes_of(*contours), np.diff(contours[1]), axis=0)
    while True:
        frames = fit.frames
        beside = seen_beside(frames.box, edges, around, sights, FAR * movement)
        is_free = beside.binds < 0
        motif, near = beside.box[is_free], beside.part[is_free].reshape(-1, 2)
        now = fit.boxes_of_motifs()
        wide = grown(now, LEAST_ROOM * movement)[motif]
        low, high = parts_in_boxes(fit.points(near).reshape(-1, 4), wide)
        crowded = np.bincount(motif[low <= high], minlength=len(now)) > 0
        crowded |= ~on_grid(now, grid)
        # as `find_motifs` has looked for it
        ground = seen_beside(frames.box, edges, around, sights, CLEAR * movement)
        crowded |= _come_off(fit, now, ground, CLEAR * movement)
        if not crowded.any():
            return roomy(fit, now)
        # copies stay alike
        kept = np.bincount(frames.kind[crowded], minlength=len(frames.first)) == 0
        fit = replace(fit, frames=frames.only(kept), motifs=tuple(compress(fit.motifs, kept)))


def _come_off(fit: Fit, now: Floats, beside: Beside, near: float) -> Bools:
    """Return which motifs come off what they stand on, which goes where the warp takes it.

    Args:
        fit: with all motifs.
        now: (n, 4) the boxes around them where they come to lie.
        beside: what is seen near their boxes.
        near: what is so near to a side of a box, in squares, is stood on.
    """
    box = fit.frames.box
    led = box + fit.warp.ways(box.reshape(-1, 2)).reshape(-1, 4)
    result = np.zeros(len(box), np.bool_)
    for axis in (0, 1):
        binds = beside.binds == 1 - axis
        motif, place = beside.box[binds], beside.part[binds][:, [axis]]
        stands = np.abs(box[motif][:, [axis, axis + 2]] - place) <= near
        off = np.abs(now - led)[motif][:, [axis, axis + 2]] > OFF_GROUND
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
