r"""Stitches that touch at a hole across a gap of a square or more in the drawing.

.---.---.
|xxx|   |     both squares are filled for the most part, so they are stitched, and touch; what shows
|xxx|   |     at either side of the hole is one colour, as it is in the drawing
.---o---.
|   |xxx|
|   |xxx|
'---'---'
"""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from svg2chart.octants.areas import MIXED, VisibleAreas
from svg2chart.visible import Shape

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAST_GAP = 1.0 - 1 / 64
"""Gaps of so many squares, of one but for how points are rounded, stay gaps in stitches, or are told of."""

NEAR = 2.0
"""So far around a hole, in squares, sides may be those of what touches there."""

# the octants around a hole, clockwise: row and column of their squares from that below and right of it
_AROUND = (
    *((-1, -1, 3), (-1, -1, 2)),
    *((-1, 0, 5), (-1, 0, 4)),
    *((0, 0, 7), (0, 0, 6)),
    *((0, -1, 1), (0, -1, 0)),
)


def touching_across(
    shown: Ints, areas: VisibleAreas, shapes: Sequence[Shape], *, moved: float
) -> dict[tuple[int, int], float]:
    """Return the shapes, by paint order, that touch at a hole, and how far apart they are drawn there.

    Args:
        shown: (rows, columns, 8) the colour that each octant shows.
        areas: what is seen of each colour once all is fitted.
        shapes: the drawing, in squares, before anything was moved.
        moved: how far the fit moved anything, in squares.
    """
    found: dict[tuple[int, int], float] = {}
    for (row, column), around in _touches(shown):
        orders = []
        for octant in around:
            down, right, _ = _AROUND[octant]
            orders.append(_order(shown, areas, row + down, column + right, _AROUND[octant][2]))
        one, other = sorted(orders)
        gap = None if one < 0 else _gap(shapes, (one, other), np.array([column, row]), NEAR + moved)
        if gap is not None and gap >= LEAST_GAP:
            found[one, other] = min(gap, found.get((one, other), gap))
    return found


def _touches(shown: Ints) -> Iterator[tuple[tuple[int, int], tuple[int, int]]]:
    """Yield row and column of holes at which stitches touch, one colour on both sides of it, and where.

    An octant of each of the two is told, as `_AROUND` has them.
    """
    rows, columns, _ = shown.shape
    around = np.stack(
        [
            shown[1 + down : rows + down, 1 + right : columns + right, octant]
            for down, right, octant in _AROUND
        ]
    )
    found = set[tuple[int, int, int, int]]()
    for own in range(8):
        is_between = around == around[own]
        ends = is_between & ~np.roll(is_between, -1, axis=0)
        place = np.argwhere(ends.sum(axis=0) == 2)
        for row, column in place.tolist():
            first, second = ((end + 1) % 8 for end in np.flatnonzero(ends[:, row, column]).tolist())
            found.add((row + 1, column + 1, first, second))
    for row, column, first, second in sorted(found):
        yield (row, column), (first, second)


def _entry(areas: VisibleAreas, square: int, colour: int) -> int:
    """Return the entry of a colour in a square, -1 for none."""
    first, last = np.searchsorted(areas.square, [square, square + 1])
    own = first + np.flatnonzero(areas.colour[first:last] == colour)
    return int(own[0]) if len(own) else -1


def _order(shown: Ints, areas: VisibleAreas, row: int, column: int, octant: int) -> int:
    """Return the paint order of the uppermost shape that shows what an octant does, -1 for none."""
    if areas.solid[row, column] != MIXED:
        return int(areas.filled_by[row, column])
    entry = _entry(areas, row * areas.solid.shape[1] + column, int(shown[row, column, octant]))
    return int(areas.order[entry]) if entry >= 0 else -1


def _gap(shapes: Sequence[Shape], pair: Sequence[int], hole: Ints, reach: float) -> float | None:
    """Return how far apart outlines of two shapes run around a hole; None where there are not two."""
    contours = []
    for order in dict.fromkeys(pair):
        polygon = shapes[order].polygon
        for first, last in zip(polygon.starts[:-1], polygon.starts[1:], strict=True):
            points = polygon.points[first:last]
            edges = np.stack([points, np.roll(points, -1, axis=0)], axis=1) - hole
            near = (edges.min(axis=1) <= reach).all(axis=1) & (edges.max(axis=1) >= -reach).all(axis=1)
            if near.any():
                contours.append((order, edges[near]))
    if pair[0] == pair[1]:
        sets = [edges for _, edges in contours]
    else:
        sets = [
            np.concatenate([np.zeros((0, 2, 2)), *(edges for order, edges in contours if order == each)])
            for each in pair
        ]
    if len(sets) != 2 or not all(len(edges) for edges in sets):
        return None
    one, other = sets
    return min(_from_points(one, other), _from_points(other, one))


def _from_points(edges: Floats, others: Floats) -> float:
    """Return how far the ends of some edges are from others, at the least."""
    points = edges.reshape(-1, 1, 2)
    start, way = others[:, 0], others[:, 1] - others[:, 0]
    length = (way**2).sum(axis=1)
    part = ((points - start) * way).sum(axis=2) / np.where(length > 0, length, 1.0)
    nearest = start + np.clip(part, 0.0, 1.0)[..., None] * way
    return float(np.hypot(*(points - nearest).reshape(-1, 2).T).min())
