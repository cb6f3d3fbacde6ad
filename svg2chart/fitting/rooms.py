"""Between what motifs may come to lie: they stay away from what is seen beside them."""

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.fitted import Fit
from svg2chart.fitting.motifs import Motifs, seen_near
from svg2chart.fitting.sightlines import Sights
from svg2chart.geometry.boxes import boxes_of, grown
from svg2chart.geometry.meetings import boxes_in_boxes, cut_to_boxes, parts_in_boxes

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def rooms_of(
    motifs: Motifs,
    contours: tuple[Floats, Ints],
    sights: tuple[Sights, Sights],
    fit: Fit,
    room: Floats,
    *,
    near: float,
) -> Floats:
    """Return (2, motifs, 2) the least and the greatest x and y that each may reach.

    What is seen beside a motif, to its left and right or above and below, goes as all else. What is of
    another motif is not looked at: nobody knows yet where that goes.

    Args:
        motifs: all motifs.
        contours: their points, in squares, and where each starts.
        sights: what is seen along rows and along columns.
        fit: where the drawing moves, without motifs.
        room: (2, 2) the least and the greatest x and y that all must stay between.
        near: what is farther off, in squares, is not looked at.
    """
    beside = seen_near(motifs.box, contours, sights, clear=near)
    stays = np.ones(len(contours[1]) - 1, np.bool_)
    stays[boxes_in_boxes(boxes_of(*contours), motifs.box)[:, 0]] = False
    beside = beside.only((beside.binds < 0) & np.repeat(stays, np.diff(contours[1]))[beside.edge])
    result = np.repeat(room[:, None], len(motifs.box), axis=1)
    for axis in (0, 1):
        level = motifs.box[beside.box]
        level[:, [axis, axis + 2]] = grown(level, near)[:, [axis, axis + 2]]
        low, high = parts_in_boxes(beside.part, level)
        own = np.flatnonzero(low < high)
        ends = cut_to_boxes(beside.part[own], level[own]).reshape(-1, 2)
        place, now = (each.reshape(-1, 2) for each in (ends[:, axis], fit.points(ends)[:, axis]))
        motif, box = beside.box[own], motifs.box[beside.box[own]]
        is_before, is_after = place.max(axis=1) <= box[:, axis], place.min(axis=1) >= box[:, axis + 2]
        np.maximum.at(result[0, :, axis], motif[is_before], now.max(axis=1)[is_before])
        np.minimum.at(result[1, :, axis], motif[is_after], now.min(axis=1)[is_after])
    return result
