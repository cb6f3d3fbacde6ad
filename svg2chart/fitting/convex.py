"""Convex outlines that are not laid by their sides alone: small ones, and larger ones that are round."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.alike import SAME, Boxes
from svg2chart.fitting.holding import are_at_holes
from svg2chart.fitting.sightlines import AT_HOLE, LINES_PER_SQUARE
from svg2chart.fitting.slants import ALIKE, LEAST_SEEN, turns
from svg2chart.fitting.stepping import MOST_WIDE
from svg2chart.fitting.tips import DIAGONAL
from svg2chart.geometry.boxes import boxes_of, middles_of
from svg2chart.geometry.polygon import edges_of, ways_of

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

LARGEST = 12.0
"""Larger shapes with sides, in squares, have room for what is bent in them; our own choice."""

LARGEST_ROUND = 48.0
"""Larger round ones, in squares, too: a smaller one that is bent is seen to be no disc. Our own choice."""

LONGEST_CHORD = 1.0
"""Longer slanted edges, in squares, are straight sides and no chords of a curve; our own choice."""

LEAST_STRAIGHT = 0.75
"""What is narrower, in squares, and has such sides is no form: a splinter does not grow; our own choice."""

ON_HOLES = AT_HOLE / 4
"""A side whose ends lie so near to holes, in squares, was drawn there; then the box of what is symmetric was
drawn on the grid, too."""

AS_WIDE = 1 / 8
"""What is the same on all sides but for so much, in squares, stays as wide as high."""

ONCE_ROUND = 2 * np.pi + 1e-3
"""A contour that turns by more in all, in radians, is not convex."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Convex:
    """Convex outlines, small ones and round ones.

    boxes: around each of them. contour: of all contours the first that is it.
    edges: (n, 4) of all contours, in squares. owner: (n,) the outline that each belongs to, -1 for those of
    other contours. of_contour: (n,) the contour.
    """

    boxes: Boxes
    contour: Ints
    edges: Floats
    owner: Ints
    of_contour: Ints


def find_convex(points: Floats, starts: Ints) -> Convex:
    """Return the convex outlines that are not too large and not laid by their sides alone, each once.

    Args:
        points: the corners of all contours, in squares.
        starts: where each contour starts, and the end of the last.
    """
    edges = edges_of(points, starts)
    boxes = boxes_of(points, starts)
    small = _are_small(boxes, edges, starts)
    inside = np.repeat(small, np.diff(starts))
    boxes, counts = boxes[small], np.diff(starts)[small]
    found, number = _kinds(edges[inside], np.repeat(np.arange(len(boxes)), counts), boxes)
    owner = np.full(len(points), -1, np.int64)
    owner[inside] = np.repeat(number, counts)
    of_contour = np.repeat(np.arange(len(starts) - 1), np.diff(starts))
    first = np.unique(owner[owner >= 0], return_index=True)[1]
    contour = of_contour[owner >= 0][first]
    return Convex(boxes=found, contour=contour, edges=edges, owner=owner, of_contour=of_contour)


def _kinds(edges: Floats, contour: Ints, boxes: Floats) -> tuple[Boxes, Ints]:
    """Return the boxes of convex ones of small contours, each once, and which each contour has, or -1."""
    points = edges[:, :2]
    convex, area = are_convex(points, contour, len(boxes))
    sides = _straight(edges)
    chosen = convex & _may_be_forms(edges, sides, contour, boxes)
    heavy = _heavy(edges, contour, boxes)
    is_round = np.bincount(contour[sides], minlength=len(boxes)) == 0
    # what has as many corners on all sides, too
    is_round |= (np.abs(np.diff(boxes[:, 2:] - boxes[:, :2])[:, 0]) <= AS_WIDE) & ~heavy.any(axis=1)
    # the same contour twice, of two shapes, is one form
    kinds = [is_round, heavy, np.bincount(contour, minlength=len(boxes)), np.rint(area / SAME)]
    found, first, number = np.unique(
        np.column_stack([boxes, *kinds])[chosen], axis=0, return_index=True, return_inverse=True
    )
    begun, ended = (
        np.searchsorted(contour, np.flatnonzero(chosen)[first], side) for side in ("left", "right")
    )
    outlines = tuple(points[one:other] for one, other in zip(begun, ended, strict=True))
    result = np.full(len(boxes), -1, np.int64)
    result[chosen] = number.ravel()
    is_round, heavy = found[:, 4] > 0, found[:, 5:7].astype(np.int64)
    return Boxes(at=found[:, :4], is_round=is_round, heavy=heavy, outlines=outlines), result


def _heavy(edges: Floats, contour: Ints, boxes: Floats) -> Ints:
    """Return on which side of the middle of its box the middle of the outline of each contour lies.

    Corners tell less: written to a few digits, some lie on straight lines by chance, and are none.
    """
    length = np.hypot(*ways_of(edges).T)
    whole = np.maximum(np.bincount(contour, length, len(boxes)), SAME)
    middles = middles_of(edges).T
    means = [np.bincount(contour, each * length, len(boxes)) / whole for each in middles]
    off = np.nan_to_num(np.stack(means, axis=1) - middles_of(boxes))
    return np.asarray(np.where(np.abs(off) > SAME, np.sign(off), 0)).astype(np.int64)


def _are_small(boxes: Floats, edges: Floats, starts: Ints) -> Bools:
    """Return which contours have an inside and boxes that are not too large; those with sides may be less."""
    size = boxes[:, 2:] - boxes[:, :2]
    contour = np.repeat(np.arange(len(boxes)), np.diff(starts))
    has_sides = np.bincount(contour, np.hypot(*ways_of(edges).T) > LONGEST_CHORD, len(boxes)) > 0
    largest = np.where(has_sides, LARGEST, LARGEST_ROUND)[:, None]
    return np.asarray((np.diff(starts) > 2) & (size <= largest).all(axis=1) & (size > 0).all(axis=1))


def _straight(edges: Floats) -> Ints:
    """Return the slanted edges that are straight sides."""
    way = edges[:, 2:] - edges[:, :2]
    return np.flatnonzero((way != 0).all(axis=1) & (np.hypot(way[:, 0], way[:, 1]) >= LONGEST_CHORD))


def _may_be_forms(edges: Floats, side: Ints, contour: Ints, boxes: Floats) -> Bools:
    """Return which contours are not laid by their sides alone.

    Upright boxes keep their form by themselves. Sides that are long enough go to diagonals at 45 degrees, or
    to whole widths of bars; and one from hole to hole stays, where its box would not.
    """
    way = edges[:, 2:] - edges[:, :2]
    leans = (way != 0).all(axis=1)
    small = np.asarray((boxes[:, 2:] - boxes[:, :2] < LEAST_STRAIGHT).any(axis=1))
    off_grid = ~are_at_holes(boxes)
    on_holes = (np.abs(edges[side] - np.rint(edges[side])) <= ON_HOLES).all(axis=1)
    moved = side[np.abs(way[side]).sum(axis=1) * LINES_PER_SQUARE >= LEAST_SEEN]
    angle = np.arctan2(*np.abs(way[moved, ::-1]).T)
    result = np.bincount(contour, leans, len(boxes)) > 0
    for some in (
        side[small[contour[side]]],
        side[on_holes & off_grid[contour[side]]],
        moved[np.abs(angle - np.pi / 4) < DIAGONAL],
        moved[_bound_bars(edges[moved], contour[moved])],
    ):
        result[contour[some]] = False
    return np.asarray(result)


def _bound_bars(sides: Floats, contour: Ints) -> Bools:
    """Return which straight sides bound a bar with the parallel one of their contour."""
    way = sides[:, 2:] - sides[:, :2]
    angle = np.arctan2(way[:, 1], way[:, 0]) % np.pi
    order = np.lexsort((angle, contour))
    one, other = order[:-1], order[1:]
    parallel = (contour[one] == contour[other]) & (angle[other] - angle[one] < ALIKE)
    apart = sides[other, :2] - sides[one, :2]
    wide = np.abs(apart[:, 0] * way[one, 1] - apart[:, 1] * way[one, 0]) / np.abs(way[one]).max(
        axis=1, initial=0.0
    )
    near = parallel & (wide <= MOST_WIDE)
    result = np.zeros(len(sides), np.bool_)
    result[one[near]] = result[other[near]] = True
    return result


def are_convex(points: Floats, contour: Ints, count: int) -> tuple[Bools, Floats]:
    """Return which contours turn one way only, once round in all; and their areas, from the first point.

    Args:
        points: the corners of all contours.
        contour: the contour of each, ascending.
        count: how many contours there are.
    """
    following, turn = turns(points, contour)
    before = np.empty_like(following)
    before[following] = np.arange(len(points))
    one, other = points - points[before], points[following] - points
    left = one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0] > 0
    lefts, sizes = np.bincount(contour, left, count), np.bincount(contour, minlength=count)
    whole = np.bincount(contour, turn, count)
    convex = np.asarray(((lefts == 0) | (lefts == sizes)) & (whole <= ONCE_ROUND))
    from_first = points - points[np.searchsorted(contour, contour)]
    across = from_first[:, 0] * from_first[following, 1] - from_first[:, 1] * from_first[following, 0]
    return convex, np.abs(np.bincount(contour, across, count)) / 2
