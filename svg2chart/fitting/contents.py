"""What lies within the box of each motif, and how well it fits the squares where it may come to lie."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.carrying import as_numbers
from svg2chart.fitting.likeness import ALIKE, Figure
from svg2chart.fitting.motifs import Motifs
from svg2chart.fitting.sightlines import AT_HOLE
from svg2chart.fitting.slants import LEAST_SIDE
from svg2chart.fitting.tips import tips_inward
from svg2chart.geometry.boxes import boxes_of, grown, middles_of
from svg2chart.geometry.meetings import boxes_in_boxes
from svg2chart.geometry.polygon import edges_of, ways_of
from svg2chart.runs import spread

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

OFF_HOLE = 1.0
"""What it costs, in squares moved, if a tip cannot come to its hole; our own choice."""

MOST = 2 / 3
"""A motif was drawn on the grid if more of its sides along the grid, by length, lies there: of two sides that
bound it one may lie there by chance. Our own choice."""

LEAST_SLANT = 0.5
"""Slanted edges that are shorter in either direction, in squares, are chords of curves."""

UPRIGHT = 0.05
"""An edge that leans less, as a part of its length, is upright or level."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Content:
    """What lies within the box of a motif: the edges of contours, and how it looks.

    is_bound: (2,) whether it may not move across, and down.
    tips: the edges at 45 degrees that begin at a tip.
    """

    box: Floats
    is_bound: Bools
    edges: Floats
    tips: Ints
    figure: Figure

    def on_grid(self) -> Bools:
        """Return (2,) whether it stays, across and down: most sides lie on hole lines or end at holes."""
        way = ways_of(self.edges)
        off = np.abs(self.edges - np.rint(self.edges)) <= AT_HOLE
        result = []
        for axis in (0, 1):
            # sides along the other axis tell nothing
            tells = (way[:, axis] <= UPRIGHT * way[:, 1 - axis]) | (way.min(axis=1) >= LEAST_SLANT)
            length, on = way[tells].max(axis=1), off[tells][:, [axis, axis + 2]].all(axis=1)
            result.append(bool(length[on].sum() > MOST * length.sum()))
        return np.array(result)

    def misfit(self, axis: int, off: float) -> float:
        """Return by how much widths miss whole ones if its middle is so far off a hole line; in the mean.

        These are that of its box and those between its sides along the grid that are the same on both sides,
        by how long these are: the mast of a boat with two sails, too. A tip at 45 degrees that lies on the
        middle misses its hole.
        """
        way = ways_of(self.edges)
        off_middle = self.edges[:, [axis, axis + 2]] - middles_of(self.box[None])[0, axis]
        along = way[:, axis] <= UPRIGHT * way[:, 1 - axis]
        side = off_middle[along].mean(axis=1)
        ends = np.sort(self.edges[along][:, [1 - axis, 3 - axis]], axis=1)
        # what is not the same on both sides may have any of its lines half way
        own = _have_partners(side, ends) & ((np.abs(side) > ALIKE) | self.figure.is_even[axis])
        place = np.append(self.figure.size[axis] / 2, np.abs(side[own]))
        weight = np.append(1.0, np.ptp(ends[own], axis=1))
        # what is narrow becomes a square wide, but a line on the middle stays one
        least = np.where((place > ALIKE) & (off == 0), 1.0, 0.0)
        whole = np.maximum(np.rint(place - off), least) + off
        has_tip = (np.abs(off_middle[self.tips, 0]) <= ALIKE).any()
        missed = OFF_HOLE if has_tip and off else 0.0
        return missed + float(2 * (np.abs(whole - place) * weight).sum() / weight.sum())


def _have_partners(side: Floats, ends: Floats) -> Bools:
    """Return which sides along the grid, so far off a middle, lie on it or have their like beyond it.

    Args:
        side: (n,) how far off the middle.
        ends: (n, 2) where each begins and ends along it.
    """
    own, other = (np.column_stack([sign * side, ends[:, 0]]) for sign in (1, -1))
    beyond, number = boxes_in_boxes(np.tile(other, 2), grown(np.tile(own, 2), ALIKE)).T
    result = np.zeros(len(side), np.bool_)
    result[number[np.abs(ends[beyond, 1] - ends[number, 1]) <= ALIKE]] = True
    return result


def contents_of(found: Motifs, points: Floats, starts: Ints) -> list[Content]:
    """Return what lies within each motif, of the corners of all contours and where each starts."""
    edges = edges_of(points, starts)
    around, counts = boxes_of(points, starts), np.diff(starts)
    is_tip = _begin_tips(edges)
    inner, outer = boxes_in_boxes(around, found.box).T
    chains = [inner[outer == number] for number in range(len(found.box))]
    own = [spread(starts[each], counts[each]) for each in chains]
    return [
        Content(
            box=box,
            is_bound=is_bound,
            edges=edges[each],
            tips=np.flatnonzero(is_tip[each]),
            figure=Figure.of(points[each]),
        )
        for box, is_bound, each in zip(found.box, found.is_bound, own, strict=True)
    ]


def _begin_tips(edges: Floats) -> Bools:
    """Return which edges begin where two long ones at 45 degrees meet in a tip."""
    place, point = np.unique(as_numbers(edges.reshape(-1, 2)), return_inverse=True)
    way = edges[:, 2:] - edges[:, :2]
    long = np.abs(way).sum(axis=1) >= 2 * LEAST_SIDE
    ways = np.where(long[:, None], way, 0.0)
    inward = tips_inward(point.ravel(), np.stack([ways, -ways], axis=1).reshape(-1, 2), len(place))
    return np.asarray(long & (inward[point.reshape(-1, 2)[:, 0]] != 0).any(axis=1))
