"""Shapes looked at from the top down: what lies under an opaque shape is dropped at once.

A few thousand edges at a time, the uppermost shapes first, outlines are cut and the
quadrants that each shape covers wholly are noted in one dense map. Shapes that come
later lie lower: where the map holds an opaque shape already, neither their insides nor
their outlines are looked at again. What is kept grows with what is seen, not with what is drawn.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from svg2chart.octants.crossings import Floats, Ints, cut_edges, spread
from svg2chart.octants.windings import Bools, Spans, Touched, joined_touched, touch

EDGES_AT_ONCE = 10_000
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
    for batch in _batches(np.bincount(owner, minlength=len(opaque)).tolist()):
        pieces = cut_edges(edges[batch], owner[batch], rows=rows, columns=columns)
        touched, spans = touch(pieces, even_odd=even_odd, columns=columns)
        see_through = []
        for shape, at in _uncovered(spans, cover, columns):
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


def _uncovered(spans: Spans, cover: NDArray[np.int32], columns: int) -> Iterator[tuple[Ints, Ints]]:
    """Yield shapes and quadrants of all that the runs hold and no opaque shape covered before."""
    free = cover < 0
    places = np.flatnonzero(free).astype(np.int32)
    before = np.concatenate([[0], np.cumsum(free, dtype=np.int32)])  # free quadrants before each
    first = before[spans.row * columns + spans.start].astype(np.int64)
    counts = before[spans.row * columns + spans.end] - first
    for start, end in _runs(counts, QUADRANTS_AT_ONCE):
        shape = np.repeat(spans.shape[start:end], counts[start:end])
        yield shape, places[spread(first[start:end], counts[start:end])].astype(np.int64)


def _runs(counts: Ints, most: int) -> list[tuple[int, int]]:
    """Return runs of entries whose counts add up to about `most`."""
    batch = np.cumsum(counts) // most
    ends = np.append(np.flatnonzero(np.diff(batch)) + 1, len(counts)).tolist()
    return list(pairwise([0, *ends]))


def _batches(counts: Sequence[int]) -> Iterator[slice]:
    """Yield the edges of runs of shapes, the last first, each run as long as its edges stay few."""
    end = high = sum(counts)
    for count in reversed(counts):
        if high < end and end - high + count > EDGES_AT_ONCE:
            yield slice(high, end)
            end = high
        high -= count
    yield slice(0, end)
