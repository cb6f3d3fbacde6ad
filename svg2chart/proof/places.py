"""Where the elements of a drawing lie on its chart."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from svg2chart.fit import Laid
from svg2chart.remarks import Remark

Place = tuple[float, float, float, float]
"""Left, top, right and bottom of a box, in squares."""

_DOT_HALF = 0.5  # a knot is told by the square around it


def remark_places(remarks: Sequence[Remark], laid: Laid) -> tuple[Place | None, ...]:
    """Return for each remark the box around all that is drawn of its element.

    None where it is about the whole drawing, or about an element of which nothing is on the grid.
    """
    named = {remark.element for remark in remarks}
    found: dict[str, list[NDArray[np.float64]]] = {}
    for element, points in _points(laid):
        if element in named and len(points):
            found.setdefault(element, []).append(points)
    boxes = {element: _box(np.concatenate(points)) for element, points in found.items() if element}
    return tuple(boxes.get(remark.element) for remark in remarks)


def _points(laid: Laid) -> Iterator[tuple[str, NDArray[np.float64]]]:
    """Yield all elements on the grid with their points."""
    for shape, mark in zip(laid.shapes, laid.marks, strict=True):
        yield mark.element, shape.polygon.points
    for line in laid.lines:
        yield line.element, line.lines.points
    for dot in laid.dots:
        yield dot.element, np.add(dot.middle, [[-_DOT_HALF], [_DOT_HALF]])


def _box(points: NDArray[np.float64]) -> Place:
    (left, top), (right, bottom) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return left, top, right, bottom
