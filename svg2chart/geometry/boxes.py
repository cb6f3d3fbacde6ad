"""Arrays of boxes, (n, 4) each: left, top, right and bottom."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Ints = NDArray[np.int64]


def boxes_of(points: Array, starts: Ints) -> Array:
    """Return (contours, 4) left, top, right and bottom; of no points infinities, which touch nothing.

    Args:
        points: (n, 2) of all contours.
        starts: (contours + 1,) where each contour starts, and the end of the last.
    """
    some = starts[:-1] < starts[1:]
    boxes = np.tile([np.inf, np.inf, -np.inf, -np.inf], (len(some), 1))
    if some.any():
        first = starts[:-1][some]
        boxes[some] = np.hstack([np.minimum.reduceat(points, first), np.maximum.reduceat(points, first)])
    return boxes


def boxes_around(low: Array, high: Array, group: Ints, count: int) -> Array:
    """Return (count, 4) the boxes around groups; of empty groups infinities, which touch nothing.

    Args:
        low: (n, 2) the least x and y of each entry.
        high: (n, 2) the greatest.
        group: (n,) the group that each belongs to.
        count: of groups.
    """
    boxes = np.tile([np.inf, np.inf, -np.inf, -np.inf], (count, 1))
    np.minimum.at(boxes[:, :2], group, low)
    np.maximum.at(boxes[:, 2:], group, high)
    return boxes


def grown(boxes: Array, more: float | Array) -> Array:
    """Return boxes with so much more on each side."""
    return boxes + more * np.array([-1, -1, 1, 1])


def within_box(inner: Array, outer: Array) -> NDArray[np.bool_]:
    """Return which boxes lie within others; of either there may be one for all."""
    first, last = inner[..., :2] >= outer[..., :2], inner[..., 2:] <= outer[..., 2:]
    return np.asarray((first & last).all(axis=-1))


def middles_of(boxes: Array) -> Array:
    """Return (n, 2) the middles of boxes."""
    return np.asarray((boxes[:, :2] + boxes[:, 2:]) / 2)
