"""Copies of one outline that come out unequally wide or high, measured on the finished chart.

The stitches of a copy are those that hold together with some in it. They tell its width where it is seen as
far as both its sides go, whatever lies over the rest of it: the pupil of an eye, the water under a hull.

Slanted bars are not looked at: the widths between their sides tell of these.
"""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from svg2chart.closecells import FINE, cells_within
from svg2chart.closelooks import in_cells, labelled
from svg2chart.fitting.likeness import ALIKE, SIGNS, Figure
from svg2chart.fitting.seams import contours_of, owners_of
from svg2chart.fitting.widths import SEEN
from svg2chart.octants.stacks import BARE
from svg2chart.remarks import square_at
from svg2chart.runs import distinct
from svg2chart.seenacross import uppermost
from svg2chart.unevenwidths import Uneven
from svg2chart.visible import Shape, boxes_of_shapes, paint_numbers

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAST_SIZE = 1.5
"""Smaller copies, in squares, are a stitch or two. Our choice, no source."""

AT_END = 1 / 32
"""What is seen so far within an outermost side, in squares, is seen as far as that, where other paint is seen
so far beyond. Our choice, no source."""

ALONG_END = (np.arange(8) + 0.5) / 8
"""Where that is looked for, as parts of how long a shape is there."""

ROUND_ABOUT = 0.75
"""Stitches no farther from what is around an outline than this, in squares, may be its own. Our choice, no
source."""

LEAST_OWN = FINE
"""Stitches are those of a shape if so many cells of them lie in it, an eighth of a square. Our choice, no
source."""


def uneven_copies(
    shown: Ints, shapes: Sequence[Shape], fitted: Sequence[Shape], *, colours: Ints
) -> Iterator[Uneven]:
    """Yield how wide or high copies are that come out unequal.

    Args:
        shown: (rows, columns, 8) the colour that each octant shows.
        shapes: the drawing, in squares, before anything was moved, without what is not seen.
        fitted: the same as it was charted.
        colours: (shapes,) the colour that each shows there.
    """
    drawn = boxes_of_shapes(shapes)
    kinds = [kind for kind in _kinds(shapes, drawn) if len(kind) > 1]
    if not kinds:
        return
    ends = _seen_ends(shapes, drawn, sorted(order for kind in kinds for order in kind))
    cells, boxes = in_cells(shown), boxes_of_shapes(fitted)
    # what is hidden is in nobody's way
    of_colour = {own: np.flatnonzero(colours == own) for own in distinct(colours[colours > BARE]).tolist()}
    for kind in kinds:
        sizes = {
            order: _stitched(cells, fitted, boxes, of_colour[int(colours[order])], order, int(colours[order]))
            for order in kind
            if colours[order] > BARE and any(ends[order])
        }
        for axis in (0, 1):
            seen = {order: size for order, size in sizes.items() if ends[order][axis]}
            stitched = {order: float(size[axis]) for order, size in seen.items() if size is not None}
            # where stitches run on in others the fit tells how wide what they are of has become
            laid = {order: float(boxes[order, axis + 2] - boxes[order, axis]) for order in seen}
            own = laid if len(stitched) < len(seen) and not _differ(stitched) else stitched
            if _differ(own):
                least, most = min(own.values()), max(own.values())
                yield Uneven(
                    drawn=float(drawn[kind[0], axis + 2] - drawn[kind[0], axis]),
                    least=least,
                    most=most,
                    axes=(axis, axis),
                    places={
                        order: {square_at(*(boxes[order, :2] + boxes[order, 2:]) / 2)}
                        for order, size in own.items()
                        if size in (least, most)
                    },
                )


def _differ(sizes: Mapping[int, float]) -> bool:
    """Return whether any of them look unequal."""
    return max(sizes.values(), default=0.0) - min(sizes.values(), default=0.0) > SEEN


def _kinds(shapes: Sequence[Shape], boxes: Floats) -> list[list[int]]:
    """Return the shapes that are copies of each other, by paint order."""
    found: list[tuple[Figure, list[int]]] = []
    size = boxes[:, 2:] - boxes[:, :2]
    of_found = np.zeros((0, 4))
    polygons = [shape.polygon for shape in shapes]
    (points, starts), owner = contours_of(polygons), owners_of(polygons)
    large = np.flatnonzero((size >= LEAST_SIZE).all(axis=1))
    wide, high = size[large].T
    for order in large.tolist():
        # most have no copy, and to find that out point by point takes long where there are many
        is_near = (np.abs(wide - size[order, 0]) <= ALIKE) & (np.abs(high - size[order, 1]) <= ALIKE)
        if np.count_nonzero(is_near) < 2:
            continue
        first, last = starts[np.searchsorted(owner, [order, order + 1])].tolist()
        if _is_bar(points[first:last]):
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
    return [kind for _, kind in found]


def _is_bar(points: Floats) -> bool:
    """Return whether an outline is a slanted bar, twice as long as wide or more."""
    if len(points) != 4 or np.abs(points[0] + points[2] - points[1] - points[3]).max() > ALIKE:
        return False
    ways = points[1:3] - points[:2]
    short, long = np.sort(np.hypot(*ways.T))
    return bool((np.abs(ways) > ALIKE).all() and long >= 2 * short)


def _seen_ends(shapes: Sequence[Shape], boxes: Floats, orders: Sequence[int]) -> dict[int, tuple[bool, bool]]:
    """Return of shapes whether they are seen as far as they go, to the left and right, above and below."""
    within, beyond, of_end = [], [], []
    for order in orders:
        for side in range(4):
            inside, outside = _at_end(shapes[order].polygon.edges(), float(boxes[order, side]), side)
            within.append(inside)
            beyond.append(outside)
            of_end += [(order, side)] * len(inside)
    seen, past = np.split(uppermost(shapes, np.concatenate([*within, *beyond])), 2)
    paint = np.append(paint_numbers(shapes), -1)
    own = np.array([order for order, _ in of_end])
    is_end = (seen == own) & (paint[past] != paint[own])
    found = {end for end, is_seen in zip(of_end, is_end.tolist(), strict=True) if is_seen}
    return {
        order: ((order, 0) in found and (order, 2) in found, (order, 1) in found and (order, 3) in found)
        for order in orders
    }


def _at_end(edges: Floats, end: float, side: int) -> tuple[Floats, Floats]:
    """Return (n, 2) places right within an outermost side of an outline, and those right beyond it.

    Args:
        edges: of the outline, (n, 4).
        end: where that side is, in squares.
        side: 0 for the left one, 1 for the top, 2 for the right, 3 for the bottom.
    """
    axis, inwards = side % 2, 1.0 if side < 2 else -1.0
    at = end + inwards * AT_END
    along, over = edges[:, [axis, axis + 2]], edges[:, [1 - axis, 3 - axis]]
    first, last = along.T - at
    crossing = (first < 0) != (last < 0)
    part = first[crossing] / (first - last)[crossing]
    crossings = np.sort(over[crossing, 0] + part * (over[crossing, 1] - over[crossing, 0]))
    starts, ends = crossings[0::2], crossings[1::2]
    places = (starts + (ends - starts) * ALONG_END[:, None]).ravel()
    both = [np.stack([np.full(len(places), at - off), places], axis=1) for off in (0.0, 2 * inwards * AT_END)]
    within, beyond = (each if axis == 0 else each[:, ::-1] for each in both)
    return within, beyond


def _stitched(
    cells: Ints, fitted: Sequence[Shape], boxes: Floats, orders: Ints, order: int, colour: int
) -> Floats | None:
    """Return (2,) how wide and high the stitches of a shape are.

    None if it has none, or if they run on in those of another shape of its colour.

    Args:
        cells: (2, rows, columns) the colours that cells show.
        fitted: the shapes.
        boxes: (shapes, 4) around them.
        orders: the shapes of its colour.
        order: which of them.
        colour: what they show.
    """
    box = boxes[order]
    low = np.maximum(np.floor((box[:2] - ROUND_ABOUT) * FINE), 0).astype(np.int64)
    high = np.minimum(np.ceil((box[2:] + ROUND_ABOUT) * FINE).astype(np.int64), cells.shape[:0:-1])
    parts = labelled((cells[:, low[1] : high[1], low[0] : high[0]] == colour).any(axis=0))
    row, column = np.nonzero(parts >= 0)
    if not len(row):
        return None
    # stitches of what is farther off do not lie so near
    near = np.maximum(boxes[orders, :2] - box[2:], box[:2] - boxes[orders, 2:]).max(axis=1) < 2 * ROUND_ABOUT
    others = orders[near & (orders != order)].tolist()
    if others:
        label = parts[row, column]
        mine, *theirs = (
            np.bincount(label, cells_within(polygon, low, parts.shape)[row, column], parts.size)
            for polygon in (fitted[k].polygon for k in (order, *others))
        )
        most = np.maximum.reduce(theirs)
        own = (mine > most) | (mine >= LEAST_OWN)
        if not own.any() or (own & (most >= LEAST_OWN)).any():
            return None
        row, column = row[own[label]], column[own[label]]
    return np.array([np.ptp(column) + 1, np.ptp(row) + 1]) / FINE
