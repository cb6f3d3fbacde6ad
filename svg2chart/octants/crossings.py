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

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.runs import begins, ends, within_groups

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LATTICE = 2.0**40
"""Points are rounded to the nearest 2^-40 of a square, half to even (so that a mirror changes nothing)."""

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


def joined_pieces(parts: Sequence[Pieces]) -> Pieces:
    """Return the pieces of all parts, one part after the other."""
    none = np.zeros(0)
    whole = none.astype(np.int64)
    return Pieces(
        shape=np.concatenate([whole, *(part.shape for part in parts)]),
        row=np.concatenate([whole, *(part.row for part in parts)]),
        column=np.concatenate([whole, *(part.column for part in parts)]),
        u0=np.concatenate([none, *(part.u0 for part in parts)]),
        v0=np.concatenate([none, *(part.v0 for part in parts)]),
        u1=np.concatenate([none, *(part.u1 for part in parts)]),
        v1=np.concatenate([none, *(part.v1 for part in parts)]),
        sign=np.concatenate([none, *(part.sign for part in parts)]),
    )


def in_half_squares(edges: Floats) -> Floats:
    """Return edges given in squares in half squares, their ends rounded to the lattice."""
    return np.asarray(np.rint(edges * LATTICE) * (2.0 / LATTICE))


def cut_edges(edges: Floats, shape: Ints, *, rows: int, columns: int) -> Pieces:
    """Return the pieces of edges within the rows of a grid.

    Args:
        edges: (n, 4) start u, v and end u, v in half squares.
        shape: (n,) which shape each edge bounds.
        rows: rows of quadrants of the grid.
        columns: columns of quadrants of the grid.
    """
    u0, v0, u1, v1 = edges.T
    upper, lower = np.minimum(v0, v1), np.maximum(v0, v1)
    near = ((lower > 0) | ((lower == 0) & (upper == 0))) & (upper < rows) & ((v0 != v1) | (u0 != u1))
    edges, shape = edges[near], shape[near]
    u0, v0, u1, v1 = edges.T
    upwards = (v1 < v0) | ((v1 == v0) & (u1 < u0))
    downwards = np.where(upwards, edges[:, [2, 3, 0, 1]].T, edges.T)
    drawn = _Edges.of(downwards, sign=np.where(upwards, -1.0, 1.0), shape=shape)
    return _cut_at_columns(drawn, _cut_at_rows(drawn, rows), columns)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Edges:
    """Edges that run down; u is measured from `origin`, the whole number left of the upper end."""

    shape: Ints
    sign: Floats
    origin: Ints
    u0: Floats
    v0: Floats
    u1: Floats
    v1: Floats

    @staticmethod
    def of(ends: Floats, *, sign: Floats, shape: Ints) -> "_Edges":
        u0, v0, u1, v1 = ends
        origin = np.floor(u0)
        return _Edges(
            shape=shape,
            sign=sign,
            origin=origin.astype(np.int64),
            u0=u0 - origin,
            v0=v0,
            u1=u1 - origin,
            v1=v1,
        )


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Parts:
    """Parts of edges within one row each; u is measured from the edge's origin, v from the row."""

    edge: Ints
    row: Ints
    ua: Floats
    va: Floats
    ub: Floats
    vb: Floats


def _cut_at_rows(edges: _Edges, rows: int) -> _Parts:
    """Return the parts of edges in each row; the lower end of a part is the upper end of the next."""
    u0, v0, u1, v1 = edges.u0, edges.v0, edges.u1, edges.v1
    above = np.floor(v0)
    first = np.maximum(above, 0).astype(np.int64)
    last = np.minimum(np.maximum(np.ceil(v1) - 1, above), rows - 1).astype(np.int64)
    counts = last - first + 1
    edge = np.repeat(np.arange(len(counts)), counts)
    row = np.repeat(first - (np.cumsum(counts) - counts), counts) + np.arange(len(edge))
    is_first = begins(edge)
    is_last = ends(is_first)

    with np.errstate(divide="ignore", invalid="ignore"):
        slope = np.where(v1 == v0, 0.0, (u1 - u0) / (v1 - v0))
    low, high = np.minimum(u0, u1), np.maximum(u0, u1)

    def u_at(line: Ints, of: Ints) -> Floats:
        return np.asarray(np.clip(u0[of] + (line - v0[of]) * slope[of], low[of], high[of]))

    ub, vb = np.empty(len(edge)), np.ones(len(edge))
    inner = np.flatnonzero(~is_last)
    ub[inner] = u_at(row[inner] + 1, edge[inner])
    below = v1 > rows  # the edge goes on below the grid
    ub[is_last] = np.where(below, u_at(np.full(len(u0), rows), np.arange(len(u0))), u1)
    vb[is_last] = np.where(below, 1.0, v1 - last)
    ua, va = np.empty(len(edge)), np.zeros(len(edge))
    ua[1:] = ub[:-1]
    over = v0 < 0  # the edge comes from above the grid
    ua[is_first] = np.where(over, u_at(np.zeros(len(u0), np.int64), np.arange(len(u0))), u0)
    va[is_first] = np.where(over, 0.0, v0 - first)
    return _Parts(edge=edge, row=row, ua=ua, va=va, ub=ub, vb=vb)


def _cut_at_columns(edges: _Edges, parts: _Parts, columns: int) -> Pieces:
    """Return the pieces of parts of edges; within a part from left to right."""
    va, vb = parts.va, parts.vb
    origin = edges.origin[parts.edge]
    rightwards = parts.ub >= parts.ua
    low, high = np.minimum(parts.ua, parts.ub), np.maximum(parts.ua, parts.ub)
    low_column = np.floor(low).astype(np.int64)
    first = np.maximum(low_column + 1, -origin)
    last = np.minimum(np.ceil(high).astype(np.int64) - 1, columns - origin)
    cuts = np.maximum(last - first + 1, 0)
    part = np.repeat(np.arange(len(cuts)), cuts + 1)
    is_first = begins(part)
    is_last = ends(is_first)

    # the right end of every piece but the last lies on a column line, and is the left end of the next
    inner = np.flatnonzero(~is_last)
    line = first[part[inner]] + within_groups(cuts)
    right_u, right_v, left_u, left_v = np.empty((4, len(part)))
    right_u[inner], right_v[inner] = line, _heights(edges, parts, part[inner], line)
    right_u[is_last], right_v[is_last] = high, np.where(rightwards, vb, va)
    left_u[1:], left_v[1:] = right_u[:-1], right_v[:-1]
    left_u[is_first], left_v[is_first] = low, np.where(rightwards, va, vb)

    base = np.empty(len(part), np.int64)  # the column line left of each piece
    base[inner + 1] = line
    base[is_first] = low_column
    upper_left = rightwards[part]
    place = base + origin[part]
    column = np.clip(place, 0, columns)
    base += column - place
    left_u, right_u = (np.where(place < 0, 0.0, u - base) for u in (left_u, right_u))
    return Pieces(
        shape=edges.shape[parts.edge[part]],
        row=parts.row[part],
        column=column,
        u0=np.where(upper_left, left_u, right_u),
        v0=np.where(upper_left, left_v, right_v),
        u1=np.where(upper_left, right_u, left_u),
        v1=np.where(upper_left, right_v, left_v),
        sign=edges.sign[parts.edge[part]],
    )


def _heights(edges: _Edges, parts: _Parts, of: Ints, line: Ints) -> Floats:
    """Return v, from the row, at which parts cross column lines."""
    owner = parts.edge[of]
    rise = (edges.v1[owner] - edges.v0[owner]) / (edges.u1[owner] - edges.u0[owner])
    v = edges.v0[owner] - parts.row[of] + (line - edges.u0[owner]) * rise
    return np.asarray(np.clip(np.rint(v * CUT_LATTICE) / CUT_LATTICE, parts.va[of], parts.vb[of]))
