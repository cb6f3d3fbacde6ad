"""What is seen across a width, from beside one of its sides to beside the other."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.boxes import boxes_of
from svg2chart.geometry.cut import is_inside, windings
from svg2chart.geometry.meetings import boxes_in_boxes
from svg2chart.geometry.polygon import FillRule, edges_of_all
from svg2chart.runs import begins, in_order, numbered
from svg2chart.visible import Shape, paint_numbers

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

BESIDE = 1 / 32
"""What is seen so far beside a side, in squares, bounds on it."""


def seen_across(shapes: Sequence[Shape], low: Floats, high: Floats, *, beside: float = BESIDE) -> Ints:
    """Return (n, 3) the shapes, by paint order, that are seen from one place all the way to another.

    They are told at the first place, half way and at the other, -1 where another colour is between, or where
    what is seen goes on beyond. Of what lies under both its neighbours this is no width, but a gap.

    Args:
        shapes: what is seen of a drawing, in squares.
        low: (n, 2) places.
        high: (n, 2) the others.
        beside: how far beside these what bounds on them is looked for, in squares.
    """
    way = high - low
    length = np.hypot(way[:, 0], way[:, 1])[:, None]
    # from a place to itself nothing is seen across
    near = beside * way / np.where(length > 0, length, 1.0)
    points = np.stack([low - near, low + near, (low + high) / 2, high - near, high + near], axis=1)
    seen = uppermost(shapes, points.reshape(-1, 2)).reshape(-1, 5)
    paint = np.append(paint_numbers(shapes), -1)[seen]
    is_own = paint == paint[:, 1:2]
    is_width = is_own[:, 1:4].all(axis=1) & (seen[:, 1:4] >= 0).all(axis=1)
    is_width &= (seen[:, 0] != seen[:, 1]) & (seen[:, 4] != seen[:, 3])
    is_gap = seen[:, [0, 4]].min(axis=1) > seen[:, 1:4].max(axis=1)
    return np.where((is_width & ~is_gap)[:, None], seen[:, 1:4], -1)


def uppermost(shapes: Sequence[Shape], points: Floats) -> Ints:
    """Return the uppermost shape at each point, by paint order, -1 for none."""
    polygons = [shape.polygon for shape in shapes]
    edges, owner = edges_of_all(polygons)
    counts = np.concatenate([np.zeros(0, np.int64), *(np.diff(polygon.starts) for polygon in polygons)])
    starts = np.concatenate([[0], np.cumsum(counts[counts > 0])])
    # contours turn around no point outside the boxes around them
    point, contour = boxes_in_boxes(np.tile(points, 2), boxes_of(edges[:, :2], starts)).T
    order = in_order(contour, point)
    point, contour = point[order], contour[order]
    turns = np.zeros(len(point), np.int64)
    for first, last in pairwise([*np.flatnonzero(begins(contour)).tolist(), len(point)]):
        own = edges[starts[contour[first]] : starts[contour[first] + 1]]
        turns[first:last] = windings(points[point[first:last]], own)
    shape_at, index = numbered(point * len(shapes) + owner[starts[contour]])
    turned = np.bincount(index, turns, len(shape_at)).astype(np.int64)
    at, shape = np.divmod(shape_at, max(len(shapes), 1))
    is_odd = np.array([polygon.rule is FillRule.EVENODD for polygon in polygons], np.bool_)[shape]
    is_in = np.where(is_odd, is_inside(turned, FillRule.EVENODD), is_inside(turned, FillRule.NONZERO))
    found = np.full(len(points), -1)
    np.maximum.at(found, at[is_in], shape[is_in])
    return found
