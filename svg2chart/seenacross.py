"""What is seen across a width, from beside one of its sides to beside the other."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.cut import is_inside, windings
from svg2chart.visible import Shape

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

BESIDE = 1 / 32
"""What is seen so far beside a side, in squares, bounds on it."""


def seen_across(shapes: Sequence[Shape], low: Floats, high: Floats, *, beside: float = BESIDE) -> set[int]:
    """Return the shapes, by paint order, that are seen from one place all the way to another, and not beyond.

    Of what lies under both its neighbours this is no width, but a gap.

    Args:
        shapes: a drawing, in squares.
        low: (n, 2) places.
        high: (n, 2) the others.
        beside: how far beside these what bounds on them is looked for, in squares.
    """
    if not len(low):
        return set()
    way = high - low
    near = beside * way / np.hypot(way[:, 0], way[:, 1])[:, None]
    points = np.stack([low - near, low + near, (low + high) / 2, high - near, high + near], axis=1)
    seen = _uppermost(shapes, points.reshape(-1, 2)).reshape(-1, 5)
    paints = [shape.paint for shape in shapes]
    paint = np.array([*(paints.index(paint) for paint in paints), -1])[seen]
    is_own = paint == paint[:, 1:2]
    is_width = is_own[:, 1:4].all(axis=1) & (seen[:, 1:4] >= 0).all(axis=1)
    is_width &= (seen[:, 0] != seen[:, 1]) & (seen[:, 4] != seen[:, 3])
    is_gap = seen[:, [0, 4]].min(axis=1) > seen[:, 1:4].max(axis=1)
    return set(seen[is_width & ~is_gap, 1:4].ravel().tolist())


def _uppermost(shapes: Sequence[Shape], points: Floats) -> Ints:
    """Return the uppermost shape at each point, by paint order, -1 for none."""
    found = np.full(len(points), -1)
    for order in reversed(range(len(shapes))):
        polygon = shapes[order].polygon
        if not len(polygon.points):
            continue
        low, high = polygon.points.min(axis=0), polygon.points.max(axis=0)
        some = np.flatnonzero((found < 0) & ((points > low) & (points < high)).all(axis=1))
        if len(some):
            is_in = is_inside(windings(points[some], polygon.edges()), polygon.rule)
            found[some[is_in]] = order
    return found
