"""Shapes looked at from the top down: what lies under opaque shapes is dropped at once.

A few thousand edges at a time, the uppermost shapes first, outlines are cut and the
quadrants that each shape covers wholly are noted in one dense map. Shapes that come
later lie lower: where the map holds an opaque shape already, neither their insides nor
their outlines are kept, and those of which nothing lies free are not even cut. What is
kept grows with what is seen, not with what is drawn.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from svg2chart.octants.crossings import Floats, Ints, Places, cut_edges
from svg2chart.octants.windings import Bools, Spans, Touched, joined_touched, touch
from svg2chart.runs import begins, lengths, spread

EDGES_AT_ONCE = 5_000
"""Edges cut together: enough to keep numpy busy, few enough for the processor's cache and for small arrays:
large ones come fresh from the system each time."""

QUADRANTS_AT_ONCE = 1 << 19
"""Quadrants noted as covered together: it bounds the memory, not the result."""

QUADRANTS_FOR_AN_EDGE = 4
"""Quadrants that are looked at for each edge cut, to find what is hidden now: a small part of its time."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Outlines:
    """Edges of shapes, by shape, the lowest first.

    edges: (4, n) start u, v and end u, v in half squares.
    shape, starts, counts: (m,) the shapes that have edges, and which edges are theirs.
    boxes: (4, m) whole half squares around them: top, left, bottom and right.
    """

    edges: Floats
    shape: Ints
    starts: Ints
    counts: Ints
    boxes: Floats

    @staticmethod
    def of(edges: Floats, owner: Ints) -> "Outlines":
        """Return the outlines of shapes from all their edges and the shape of each."""
        starts = np.flatnonzero(begins(owner))
        u0, v0, u1, v1 = edges
        boxes = [
            np.floor(np.minimum.reduceat(np.minimum(v0, v1), starts)),
            np.floor(np.minimum.reduceat(np.minimum(u0, u1), starts)),
            np.ceil(np.maximum.reduceat(np.maximum(v0, v1), starts)),
            np.ceil(np.maximum.reduceat(np.maximum(u0, u1), starts)),
        ]
        return Outlines(
            edges=edges,
            shape=owner.take(starts),
            starts=starts,
            counts=lengths(starts, len(owner)),
            boxes=np.array(boxes),
        )

    def boxes_within(self, first_row: int, rows: int, columns: int) -> Ints:
        """Return the boxes cut off at a band of the grid, from its first row."""
        top, left, bottom, right = self.boxes
        ends = [(top - first_row, rows), (left, columns), (bottom - first_row, rows), (right, columns)]
        return np.array([np.minimum(np.maximum(end, 0), most) for end, most in ends]).astype(np.int64)

    def edges_of(self, chosen: Ints, first_row: int) -> tuple[Floats, Ints]:
        """Return the edges of the chosen outlines, v from a row on, and their shapes."""
        counts = self.counts.take(chosen)
        edges = self.edges.take(spread(self.starts.take(chosen), counts), axis=1)
        edges[1::2] -= first_row
        return edges, np.repeat(self.shape.take(chosen), counts)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Seen:
    """What is seen of shapes; quadrants are numbered row * columns + column.

    cover: (quadrants,) int32, the uppermost opaque shape over each whole quadrant, -1 for none.
    touched, at: outlines above that shape, and the quadrant of each entry.
    through_shape, through_at: shapes above it that cover a whole quadrant and let through.
    """

    cover: NDArray[np.int32]
    touched: Touched
    at: Ints
    through_shape: Ints
    through_at: Ints


def look_down(outlines: Outlines, places: Places, first_row: int, *, even_odd: Bools, opaque: Bools) -> Seen:
    """Return what is seen of shapes in a band of a grid of quadrants.

    Args:
        outlines: of the shapes.
        places: the quadrants of the band.
        first_row: of the band.
        even_odd: for each shape whether its fill rule is even-odd.
        opaque: for each shape whether nothing shows through.
    """
    columns = places.columns
    cover = np.full(places.rows * columns, -1, np.int32)
    touched_parts: list[Touched] = []
    through_parts: list[tuple[Ints, NDArray[np.int32]]] = []
    boxes = outlines.boxes_within(first_row, places.rows, columns)
    waiting = np.flatnonzero((boxes[0] < boxes[2]) & (boxes[1] < boxes[3]))
    unlooked = 0  # edges cut since the last look
    while len(waiting):
        sums = np.cumsum(outlines.counts.take(waiting[::-1]))
        rest = len(waiting) - max(1, int(np.searchsorted(sums, EDGES_AT_ONCE, side="right")))
        edges, owner = outlines.edges_of(waiting[rest:], first_row)
        waiting = waiting[:rest]
        touched, spans = touch(cut_edges(edges, owner, places), places, even_odd=even_odd)
        hides = opaque.take(spans.shape)
        _lay(spans.taken(np.flatnonzero(hides)), cover, columns=columns)
        through_parts += _seen_along(spans.taken(np.flatnonzero(~hides)), cover, columns=columns)
        touched_parts.append(touched.taken(_seen_of(touched, cover, columns=columns)))
        unlooked += len(owner)
        if unlooked * QUADRANTS_FOR_AN_EDGE > len(cover):
            waiting = waiting[_free_within(cover, boxes.take(waiting, axis=1), columns=columns) > 0]
            unlooked = 0
    touched = joined_touched(touched_parts)
    none = np.zeros(0, np.int64)
    return Seen(
        cover=cover,
        touched=touched,
        at=touched.row * columns + touched.column,
        through_shape=np.concatenate([none, *(shape for _, shape in through_parts)]),
        through_at=np.concatenate([none, *(at for at, _ in through_parts)]),
    )


def _free_within(cover: NDArray[np.int32], boxes: Ints, *, columns: int) -> Ints:
    """Return how many quadrants that no opaque shape covers yet each box holds."""
    free = (cover < 0).reshape(-1, columns)
    sums = np.zeros((len(free) + 1, columns + 1), np.int32)  # free quadrants above and left of each corner
    sums[1:, 1:] = free
    np.cumsum(sums, axis=0, out=sums)
    np.cumsum(sums, axis=1, out=sums)
    top, left, bottom, right = boxes
    return np.asarray(sums[bottom, right] - sums[top, right] - sums[bottom, left] + sums[top, left])


def _lay(spans: Spans, cover: NDArray[np.int32], *, columns: int) -> None:
    """Note in the map the runs of opaque shapes, by shape, wherever no upper one is noted."""
    for at, shape in _along(spans, columns=columns):
        # where indices repeat, the last one stays: the uppermost
        cover[at] = np.maximum(cover.take(at), shape)


def _seen_along(
    spans: Spans, cover: NDArray[np.int32], *, columns: int
) -> list[tuple[Ints, NDArray[np.int32]]]:
    """Return number and shape of all quadrants of the runs that no opaque shape above covers."""
    found = []
    for at, shape in _along(spans, columns=columns):
        seen = np.flatnonzero(shape > cover.take(at))
        found.append((at.take(seen), shape.take(seen)))
    return found


def _along(spans: Spans, *, columns: int) -> Iterator[tuple[Ints, NDArray[np.int32]]]:
    """Yield number and shape of all quadrants of the runs, a part of the runs at a time."""
    counts = spans.end - spans.start
    first = spans.row * columns + spans.start
    shape = spans.shape.astype(np.int32)
    for low, high in _runs(counts, QUADRANTS_AT_ONCE) if len(counts) else []:
        own = counts[low:high]
        yield spread(first[low:high], own), np.repeat(shape[low:high], own)


def _seen_of(touched: Touched, cover: NDArray[np.int32], *, columns: int) -> Ints:
    """Return the entries within the grid that no opaque shape above covers."""
    on_grid = (touched.column >= 0) & (touched.column < columns)
    # clip: the spare columns of the first and the last row lie off the map
    above = cover.take(touched.row * columns + touched.column, mode="clip")
    return np.flatnonzero(on_grid & (touched.shape > above))


def _runs(counts: Ints, most: int) -> list[tuple[int, int]]:
    """Return runs of entries whose counts add up to about `most`."""
    batch = np.cumsum(counts) // most
    ends = (np.flatnonzero(batch[1:] > batch[:-1]) + 1).tolist()
    return list(pairwise([0, *ends, len(counts)]))
