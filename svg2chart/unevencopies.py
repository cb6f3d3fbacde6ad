"""Copies of one outline that come out unequally wide or high, measured on the finished chart.

Shapes with sides along the grid alone are not looked at, nor are slanted bars: the widths between their sides
tell of these.
"""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from svg2chart.closecells import FINE
from svg2chart.closelooks import in_cells
from svg2chart.fitting.likeness import ALIKE, SIGNS, Figure
from svg2chart.fitting.seams import contours_of, owners_of
from svg2chart.fitting.widths import SEEN, Unequal
from svg2chart.geometry.boxes import boxes_of
from svg2chart.geometry.cut import without_overlaps
from svg2chart.runs import distinct
from svg2chart.visible import Shape

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAST_SIZE = 1.5
"""Smaller copies, in squares, are a stitch or two. Our choice, no source."""

SEEN_WHOLE = 0.98
"""A copy of which so much is seen, as a part of its area, is seen whole. Our choice, no source."""

TRACE = 1 / 64
"""What shows less, in squares, is hidden but for rounding."""

ROUND_ABOUT = 0.75
"""Stitches no farther from an outline than this, in squares, are its own, or half as far as the next shape of
their colour. Our choice, no source."""


def uneven_copies(
    shown: Ints,
    shapes: Sequence[Shape],
    fitted: Sequence[Shape],
    *,
    seen: Floats,
    colours: Ints,
) -> Iterator[tuple[tuple[int, ...], Unequal]]:
    """Yield shapes, by paint order, and how wide or high they are where copies come out unequal.

    Args:
        shown: (rows, columns, 8) the colour that each octant shows.
        shapes: the drawing, in squares, before anything was moved.
        fitted: the same as it was charted.
        seen: (shapes,) how much of each is seen there, in squares.
        colours: (shapes,) the colour that each shows there.
    """
    drawn = _boxes(shapes)
    kinds = [kind for kind in _kinds(shapes, drawn, fitted, seen) if len(kind) > 1]
    if not kinds:
        return
    cells = in_cells(shown)
    boxes = _boxes(fitted)
    # what is hidden is in nobody's way
    is_seen = seen > TRACE
    of_colour = {own: np.flatnonzero(is_seen & (colours == own)) for own in distinct(colours).tolist()}
    for kind in kinds:
        shades = {order: int(colours[order]) for order in kind if is_seen[order]}
        sizes = {
            order: _stitched(cells, boxes, of_colour[colour], order, colour)
            for order, colour in shades.items()
        }
        own = {order: size for order, size in sizes.items() if size is not None}
        for axis in (0, 1):
            found = {order: float(size[axis]) for order, size in own.items()}
            if found and max(found.values()) - min(found.values()) > SEEN:
                least, most = min(found.values()), max(found.values())
                orders = tuple(sorted(order for order, size in found.items() if size in (least, most)))
                wide = float(drawn[kind[0], axis + 2] - drawn[kind[0], axis])
                yield orders, Unequal(drawn=wide, least=least, most=most, between=())


def _kinds(shapes: Sequence[Shape], boxes: Floats, fitted: Sequence[Shape], seen: Floats) -> list[list[int]]:
    """Return the shapes that are seen whole and are copies of each other, by paint order."""
    found: list[tuple[Figure, list[int]]] = []
    size = boxes[:, 2:] - boxes[:, :2]
    of_found = np.zeros((0, 4))
    polygons = [shape.polygon for shape in shapes]
    (points, starts), owner = contours_of(polygons), owners_of(polygons)

    def is_whole(order: int) -> bool:
        return bool(seen[order] >= SEEN_WHOLE * without_overlaps(fitted[order].polygon).area())

    large = np.flatnonzero((size >= LEAST_SIZE).all(axis=1))
    wide, high = size[large].T
    for order in large.tolist():
        # most have no copy, and to find that out point by point takes long where there are many
        is_near = (np.abs(wide - size[order, 0]) <= ALIKE) & (np.abs(high - size[order, 1]) <= ALIKE)
        if np.count_nonzero(is_near) < 2:
            continue
        first, last = starts[np.searchsorted(owner, [order, order + 1])].tolist()
        if _has_widths(points[first:last]):
            continue
        figure = Figure.of(points[first:last])
        # in all mirrors the same, and it tells most apart
        measures = np.concatenate([size[order], np.abs(figure.points.mean(axis=0))])
        near = np.flatnonzero((np.abs(of_found - measures) <= ALIKE).all(axis=1)).tolist()
        for other, kind in (found[number] for number in near):
            if any(figure.turned_to(other, sign) is not None for sign in SIGNS):
                kind.append(order)
                break
        else:
            found.append((figure, [order]))
            of_found = np.concatenate([of_found, measures[None]])
    return [[order for order in kind if is_whole(order)] for _, kind in found if len(kind) > 1]


def _has_widths(points: Floats) -> bool:
    """Return whether an outline runs along the grid, or is a bar."""
    is_bar = len(points) == 4 and bool(np.abs(points[0] + points[2] - points[1] - points[3]).max() <= ALIKE)
    way = np.abs(np.roll(points, -1, axis=0) - points)
    return is_bar or bool((way.min(axis=1) <= ALIKE).all())


def _boxes(shapes: Sequence[Shape]) -> Floats:
    """Return (shapes, 4) the boxes around them."""
    points = [shape.polygon.points for shape in shapes]
    starts = np.cumsum([0, *(len(each) for each in points)])
    return boxes_of(np.concatenate([np.zeros((0, 2)), *points]), starts)


def _stitched(cells: Ints, boxes: Floats, orders: Ints, order: int, colour: int) -> Floats | None:
    """Return (2,) how wide and high the stitches of a shape are.

    None if it has none, or another of its colour is too near to tell.

    Args:
        cells: (2, rows, columns) the colours that cells show.
        boxes: (shapes, 4) around them.
        orders: the shapes of its colour.
        order: which of them.
        colour: what they show.
    """
    box, others = boxes[order], boxes[orders[orders != order]]
    across, down = np.maximum(others[:, :2] - box[2:], box[:2] - others[:, 2:]).T
    gap = np.maximum(across, down)
    room = min(ROUND_ABOUT, float(gap.min(initial=np.inf)) / 2)
    if room <= 0:
        return None
    low = np.maximum(np.floor((box[:2] - room) * FINE), 0).astype(np.int64)
    high = np.ceil((box[2:] + room) * FINE).astype(np.int64)
    own = (cells[:, low[1] : high[1], low[0] : high[0]] == colour).any(axis=0)
    rows, columns = (np.flatnonzero(own.any(axis=axis)) for axis in (1, 0))
    if not len(rows):
        return None
    return np.array([np.ptp(columns) + 1, np.ptp(rows) + 1]) / FINE
