"""Shapes looked at from the top down: what lies under an opaque shape is dropped at once.

A few thousand edges at a time, the uppermost shapes first, outlines are cut and the
quadrants that each shape covers wholly are noted in one dense map. Shapes that come
later lie lower: where the map holds an opaque shape already, neither their insides nor
their outlines are looked at again. What is kept grows with what is seen, not with what is drawn.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from svg2chart.octants.crossings import Floats, Ints, cut_edges
from svg2chart.octants.windings import Bools, Spans, Touched, joined_touched, touch
from svg2chart.runs import spread

EDGES_AT_ONCE = 5_000
"""Edges cut together: enough to keep numpy busy, few enough for the processor's cache."""

QUADRANTS_AT_ONCE = 1 << 19
"""Quadrants noted as covered together: it bounds the memory, not the result."""


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


def look_down(edges: Floats, owner: Ints, *, even_odd: Bools, opaque: Bools, rows: int, columns: int) -> Seen:
    """Return what is seen of shapes, the lowest first, on a grid of quadrants.

    Args:
        edges: (n, 4) start u, v and end u, v in half squares, by shape.
        owner: (n,) the shape of each edge.
        even_odd: for each shape whether its fill rule is even-odd.
        opaque: for each shape whether nothing shows through.
        rows: rows of quadrants.
        columns: columns of quadrants.
    """
    cover = np.full(rows * columns, -1, np.int32)
    touched_parts: list[Touched] = []
    through_parts: list[tuple[Ints, Ints]] = []
    counts = np.bincount(owner, minlength=len(opaque))
    starts = np.cumsum(counts) - counts
    boxes = _Boxes.around(edges, starts, rows=rows, columns=columns)
    waiting = np.arange(len(counts))
    while True:
        free = _Free.of(cover, columns)
        waiting = waiting[free.within(boxes, waiting) > 0]
        if not len(waiting):
            break
        ahead = np.searchsorted(np.cumsum(counts[waiting[::-1]]), EDGES_AT_ONCE, side="right")
        waiting, batch = np.split(waiting, [-max(1, int(ahead))])
        chosen = spread(starts[batch], counts[batch])
        pieces = cut_edges(edges[chosen], owner[chosen], rows=rows, columns=columns)
        touched, spans = touch(pieces, even_odd=even_odd, columns=columns)
        see_through = []
        for shape, at in free.along(spans):
            solid = opaque[shape]
            cover[at[solid]] = shape[solid]  # where indices repeat, the last one stays: the uppermost
            see_through.append((shape[~solid], at[~solid]))
        through_parts += [(s[s > cover[at]], at[s > cover[at]]) for s, at in see_through]
        place = touched.row * columns + np.minimum(touched.column, columns - 1)
        seen = (touched.column < columns) & (touched.shape > cover[place])
        touched_parts.append(touched.taken(np.flatnonzero(seen)))
    touched = joined_touched(touched_parts)
    none = np.zeros(0, np.int64)
    return Seen(
        cover=cover,
        touched=touched,
        at=touched.row * columns + touched.column,
        through_shape=np.concatenate([none, *(shape for shape, _ in through_parts)]),
        through_at=np.concatenate([none, *(at for _, at in through_parts)]),
    )


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Boxes:
    """Quadrants around shapes, (shapes,) each: rows top to before bottom, columns left to before right."""

    top: Ints
    left: Ints
    bottom: Ints
    right: Ints

    @staticmethod
    def around(edges: Floats, starts: Ints, *, rows: int, columns: int) -> "_Boxes":
        """Return the boxes, cut off at the grid, of shapes whose first edges are at `starts`."""

        def within(ends: Floats, most: int) -> Ints:
            return np.clip(ends, 0, most).astype(np.int64)

        low = np.floor(np.minimum.reduceat(edges[:, :2], starts))
        high = np.ceil(np.maximum.reduceat(edges[:, :2], starts))
        return _Boxes(
            top=within(low[:, 1], rows),
            left=within(low[:, 0], columns),
            bottom=within(high[:, 1], rows),
            right=within(high[:, 0], columns),
        )


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Free:
    """Quadrants that no opaque shape covers yet.

    places: their numbers.
    sums: (rows + 1, columns + 1) how many lie above and left of each corner of quadrants.
    """

    places: NDArray[np.int32]
    sums: NDArray[np.int32]

    @staticmethod
    def of(cover: NDArray[np.int32], columns: int) -> "_Free":
        """Return what a map of covered quadrants (-1: not covered) leaves free."""
        free = (cover < 0).reshape(-1, columns)
        sums = np.zeros((len(free) + 1, columns + 1), np.int32)
        sums[1:, 1:] = free
        np.cumsum(sums, axis=0, out=sums)
        np.cumsum(sums, axis=1, out=sums)
        return _Free(places=np.flatnonzero(free).astype(np.int32), sums=sums)

    def within(self, boxes: _Boxes, chosen: Ints) -> Ints:
        """Return how many free quadrants each of the chosen boxes holds."""
        top, bottom = boxes.top[chosen], boxes.bottom[chosen]
        left, right = boxes.left[chosen], boxes.right[chosen]
        sums = self.sums
        return np.asarray(sums[bottom, right] - sums[top, right] - sums[bottom, left] + sums[top, left])

    def along(self, spans: Spans) -> Iterator[tuple[Ints, Ints]]:
        """Yield shape and number of all free quadrants of the runs, not too many at once."""
        first, end = (
            self.sums[spans.row, -1] + self.sums[spans.row + 1, column] - self.sums[spans.row, column]
            for column in (spans.start, spans.end)
        )
        counts = (end - first).astype(np.int64)
        for low, high in _runs(counts, QUADRANTS_AT_ONCE):
            shape = np.repeat(spans.shape[low:high], counts[low:high])
            yield shape, self.places[spread(first[low:high], counts[low:high])].astype(np.int64)


def _runs(counts: Ints, most: int) -> list[tuple[int, int]]:
    """Return runs of entries whose counts add up to about `most`."""
    batch = np.cumsum(counts) // most
    ends = np.append(np.flatnonzero(np.diff(batch)) + 1, len(counts)).tolist()
    return list(pairwise([0, *ends]))
