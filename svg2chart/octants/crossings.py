r"""Edges cut into pieces, each within one quadrant of one square.

A square's four quadrants are half a square wide. Here lengths are in half
squares: quadrant (row, column) is the unit box from (u, v) = (column, row), u to
the right and v down. An edge is first turned to run downwards (its sign remembers
how it was drawn), then cut at whole v, then at whole u:

        column    column + 1
    row   +-----------+          one edge, three pieces; each keeps u and v
          | \         |          measured from its own quadrant's top-left
          |   \       |          corner, so that art shifted by whole squares
          +-----\-----+          gives the same numbers to the last bit
          |       \   |\

What lies left of the grid is pressed onto its left side, where it winds around the
same points; what lies right of it is kept in one spare column, so that the sums
along a row come back to nought. Nothing is decided by a rounded number: which
quadrant a piece belongs to follows from counting the cuts.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

CUT_LATTICE = 2.0**44
"""Heights where an edge crosses a column line are rounded to 2^-44 of a half square. Sums of
heights are then exact in float64, and with them all winding numbers."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Pieces:
    """Pieces of edges, (n,) each.

    (u0, v0) is the upper end and (u1, v1) the lower one, each 0 to 1 within the quadrant; where both
    are equally high, the left end comes first. `sign` is 1 where it was drawn in that direction, else -1.
    `column` may be the spare one right of the grid.
    """

    shape: Ints
    row: Ints
    column: Ints
    u0: Floats
    v0: Floats
    u1: Floats
    v1: Floats
    sign: Floats

    def taken(self, chosen: NDArray[np.bool_] | Ints) -> "Pieces":
        """Return the chosen pieces, by mask or by index."""
        return Pieces(
            shape=self.shape[chosen],
            row=self.row[chosen],
            column=self.column[chosen],
            u0=self.u0[chosen],
            v0=self.v0[chosen],
            u1=self.u1[chosen],
            v1=self.v1[chosen],
            sign=self.sign[chosen],
        )


def within_groups(counts: Ints) -> Ints:
    """Return 0, 1, … counts[0] - 1, 0, 1, … counts[1] - 1 and so on."""
    ends = np.cumsum(counts)
    return np.arange(int(ends[-1]) if len(ends) else 0) - np.repeat(ends - counts, counts)


def spread(starts: Ints, counts: Ints) -> Ints:
    """Return the whole numbers of several runs, one run after the other."""
    ends = np.cumsum(counts)
    return np.asarray(np.repeat(starts - (ends - counts), counts) + np.arange(counts.sum()))


def cut_edges(edges: Floats, shape: Ints, *, top: int, bottom: int, columns: int) -> Pieces:
    """Return the pieces of edges in the quadrant rows from `top` to before `bottom`.

    Args:
        edges: (n, 4) start u, v and end u, v in half squares.
        shape: (n,) which shape each edge bounds.
        top: first row of quadrants.
        bottom: row of quadrants after the last.
        columns: columns of quadrants of the grid.
    """
    u0, v0, u1, v1 = edges.T
    upwards = (v1 < v0) | ((v1 == v0) & (u1 < u0))
    near = (np.maximum(v0, v1) >= top) & (np.minimum(v0, v1) < bottom) & ((v0 != v1) | (u0 != u1))
    ends = np.where(upwards[near, None], edges[near][:, [2, 3, 0, 1]], edges[near])
    sign = np.where(upwards[near], -1.0, 1.0)
    return _cut_at_columns(*_cut_at_rows(ends, top, bottom), ends, sign, shape[near], columns)


def _cut_at_rows(ends: Floats, top: int, bottom: int) -> tuple[Ints, Ints, Floats, Floats, Floats, Floats]:
    """Return, for each part of an edge in one row: edge, row, u and v of both ends.

    u is measured from the whole number left of the edge's upper end, v from the row.
    """
    u0, v0, u1, v1 = ends.T
    first = np.maximum(np.floor(v0), top).astype(np.int64)
    last = np.minimum(np.maximum(np.ceil(v1) - 1, np.floor(v0)), bottom - 1).astype(np.int64)
    counts = np.maximum(last - first + 1, 0)
    edge = np.repeat(np.arange(len(ends)), counts)
    row = first[edge] + within_groups(counts)
    start_u = u0 - np.floor(u0)
    end_u = u1 - np.floor(u0)
    flat = v1 == v0
    with np.errstate(divide="ignore", invalid="ignore"):
        slope = np.where(flat, 0.0, (u1 - u0) / (v1 - v0))
    low, high = np.minimum(start_u, end_u)[edge], np.maximum(start_u, end_u)[edge]

    def u_at(line: Ints) -> Floats:
        u = start_u[edge] + (line - v0[edge]) * slope[edge]
        return np.asarray(np.clip(u, low, high))

    above, below = v0[edge] <= row, v1[edge] >= row + 1
    va = np.where(above, 0.0, v0[edge] - row)
    vb = np.where(below, 1.0, v1[edge] - row)
    ua = np.where(above & (v0[edge] < row), u_at(row), start_u[edge])
    ub = np.where(below & (v1[edge] > row + 1), u_at(row + 1), end_u[edge])
    return edge, row, ua, va, ub, vb


def _cut_at_columns(
    edge: Ints,
    row: Ints,
    ua: Floats,
    va: Floats,
    ub: Floats,
    vb: Floats,
    ends: Floats,
    sign: Floats,
    shape: Ints,
    columns: int,
) -> Pieces:
    origin = np.floor(ends[:, 0]).astype(np.int64)[edge]
    low, high = np.minimum(ua, ub), np.maximum(ua, ub)
    first = np.maximum(np.floor(low).astype(np.int64) + 1, -origin)
    last = np.minimum(np.ceil(high).astype(np.int64) - 1, columns - origin)
    cuts = np.maximum(last - first + 1, 0)
    part = np.repeat(np.arange(len(edge)), cuts + 1)
    nth = within_groups(cuts + 1)
    line = first[part] + nth  # the column line at the right end, unless this is the last piece
    is_first, is_last = nth == 0, nth == cuts[part]

    u_start = ends[:, 0] - np.floor(ends[:, 0])
    owner = edge[part]
    du, dv = ends[owner, 2] - ends[owner, 0], ends[owner, 3] - ends[owner, 1]
    with np.errstate(divide="ignore", invalid="ignore"):
        rise = np.where(du == 0.0, 0.0, dv / du)
    above = ends[owner, 1] - row[part]

    def v_at(u: Ints) -> Floats:
        v = above + (u - u_start[owner]) * rise
        v = np.rint(v * CUT_LATTICE) / CUT_LATTICE
        return np.asarray(np.clip(v, va[part], vb[part]))

    rightwards = (ub >= ua)[part]
    left_u = np.where(is_first, low[part], line - 1)
    right_u = np.where(is_last, high[part], line)
    left_v = np.where(is_first, np.where(rightwards, va[part], vb[part]), v_at(line - 1))
    right_v = np.where(is_last, np.where(rightwards, vb[part], va[part]), v_at(line))
    start = np.where(is_first, np.floor(low[part]).astype(np.int64), line - 1)
    # a first piece that begins beyond the right side has no column line before it
    column = start + origin[part]
    left_of_grid = column < 0
    column = np.minimum(np.maximum(column, 0), columns)
    base = column - origin[part]
    left_u = np.where(left_of_grid, 0.0, left_u - base)
    right_u = np.where(left_of_grid, 0.0, right_u - base)
    return Pieces(
        shape=shape[owner],
        row=row[part],
        column=column,
        u0=np.where(rightwards, left_u, right_u),
        v0=np.where(rightwards, left_v, right_v),
        u1=np.where(rightwards, right_u, left_u),
        v1=np.where(rightwards, right_v, left_v),
        sign=sign[owner],
    )
