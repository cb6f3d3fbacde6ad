r"""Edges cut into pieces, each within one quadrant of one square.

A square's four quadrants are half a square wide. Here lengths are in half
squares: quadrant (row, column) is the unit box from (u, v) = (column, row), u to
the right and v down. An edge is first turned to run downwards (its sign remembers
how it was drawn) and, if that is to the left, mirrored to run to the right (its turn
remembers that). Then it is cut at whole v, then at whole u:

        column    column + 1
    row   +-----------+          one edge, three pieces; each keeps u and v
          | \         |          measured from its own quadrant's top-left
          |   \       |          corner, so that art shifted by whole squares
          +-----\-----+          gives the same numbers to the last bit
          |       \   |\

What lies left or right of the grid is kept in a spare column on that side, so that
the sums along a row start from nought and come back to it. Nothing is decided by a
rounded number: which quadrant a piece belongs to follows from counting the cuts.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LATTICE = 2.0**40
"""Points are rounded to the nearest 2^-40 of a square, half to even (so that a mirror changes nothing)."""

CUT_LATTICE = 2.0**44
"""Heights where an edge crosses a column line are rounded to 2^-44 of a half square. Sums of
heights are then exact in float64, and with them all winding numbers."""


_FAR = 2.0**40
"""Half squares from the grid that all counts still hold exactly: nothing so far out is on a grid."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """A number for each shape and quadrant, by shape, row and column; columns -1 and `columns` are spare.

    rows, columns: of quadrants of the grid, even both.
    """

    rows: int
    columns: int

    @property
    def width(self) -> int:
        """How many numbers a row takes: an odd number, so that they alternate along rows and columns.

        A quadrant is cut from top left to bottom right where its number is odd.
        """
        return self.columns + 3

    def apart(self, places: Ints) -> tuple[Ints, Ints]:
        """Return the lines (shape times rows plus row) and the columns that numbers stand for."""
        line = places // self.width
        return line, places - line * self.width - 1


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Pieces:
    """Pieces of edges, (n,) each.

    (u0, v0) is the upper end and (u1, v1) the lower one, each 0 to 1 within the quadrant (u means nothing
    in a spare column); where both are equally high, the left end comes first. `sign` is 1 where it was
    drawn in that direction, else -1. `place` is the shape and the quadrant, as `Places` numbers them.
    """

    place: Ints
    u0: Floats
    v0: Floats
    u1: Floats
    v1: Floats
    sign: Floats

    def taken(self, chosen: Ints) -> "Pieces":
        """Return the pieces of these indices."""
        return Pieces(
            place=self.place.take(chosen),
            u0=self.u0.take(chosen),
            v0=self.v0.take(chosen),
            u1=self.u1.take(chosen),
            v1=self.v1.take(chosen),
            sign=self.sign.take(chosen),
        )


def joined_pieces(parts: Sequence[Pieces]) -> Pieces:
    """Return the pieces of all parts, one part after the other."""
    none = np.zeros(0)
    return Pieces(
        place=np.concatenate([none.astype(np.int64), *(part.place for part in parts)]),
        u0=np.concatenate([none, *(part.u0 for part in parts)]),
        v0=np.concatenate([none, *(part.v0 for part in parts)]),
        u1=np.concatenate([none, *(part.u1 for part in parts)]),
        v1=np.concatenate([none, *(part.v1 for part in parts)]),
        sign=np.concatenate([none, *(part.sign for part in parts)]),
    )


def in_half_squares(edges: Floats) -> Floats:
    """Return (4, n) start u, v and end u, v in half squares, on the lattice, of (n, 4) edges in squares."""
    lattice = edges.T * LATTICE
    np.rint(lattice, out=lattice)
    lattice *= 2.0 / LATTICE
    return lattice


def cut_edges(edges: Floats, shape: Ints, places: Places) -> Pieces:
    """Return the pieces of edges within the rows of a grid.

    Args:
        edges: (4, n) start u, v and end u, v in half squares.
        shape: (n,) which shape each edge bounds.
        places: the quadrants of the grid.
    """
    u0, v0, u1, v1 = edges
    upper, lower = np.minimum(v0, v1), np.maximum(v0, v1)
    near = ((lower > 0) | ((lower == 0) & (upper == 0))) & (upper < places.rows) & ((v0 != v1) | (u0 != u1))
    kept = np.flatnonzero(near)
    if len(kept) < len(near):
        edges, shape = edges.take(kept, axis=1), shape.take(kept)
    drawn = _Edges.of(edges, shape, places)
    return _cut_at_columns(drawn, _cut_at_rows(drawn, places.rows), places)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Edges:
    """Edges that run down, and to the right once they are mirrored at u = 0 where `turn` is -1, else 1.

    left, right: u, mirrored, of the upper and the lower end, from a whole number, the origin: that left of
        the upper one, or `_FAR` from the grid.
    place: of the shape in the first row, in the column that starts at the origin.
    least: the lowest whole u, from the origin, left of a piece: that of a spare column.
    """

    place: Ints
    sign: Floats
    turn: Floats
    left: Floats
    top: Floats
    right: Floats
    low: Floats
    least: Floats

    @staticmethod
    def of(edges: Floats, shape: Ints, places: Places) -> "_Edges":
        u0, v0, u1, v1 = edges
        across, down = u1 - u0, v1 - v0
        turn = np.where(across * down < 0.0, -1.0, 1.0)
        w0, w1 = turn * u0, turn * u1
        left = np.minimum(w0, w1)
        origin = np.minimum(np.maximum(np.floor(left), -_FAR), _FAR)
        # mirrored, the columns -1 to `columns` are -1 - columns to 0
        least = np.where(turn > 0.0, -1.0, -1.0 - places.columns) - origin
        # a line starts with a spare column
        column = (turn * origin + (turn > 0.0)).astype(np.int64)
        return _Edges(
            place=shape * (places.rows * places.width) + column,
            sign=np.where((down < 0.0) | ((down == 0.0) & (across < 0.0)), -1.0, 1.0),
            turn=turn,
            left=left - origin,
            top=np.minimum(v0, v1),
            right=np.maximum(w0, w1) - origin,
            low=np.maximum(v0, v1),
            least=least,
        )

    def u_at(self, chosen: Ints, line: Ints | int) -> Floats:
        """Return u at which the chosen edges cross row lines."""
        left, top, right = self.left.take(chosen), self.top.take(chosen), self.right.take(chosen)
        slope = (right - left) / (self.low.take(chosen) - top)
        return np.minimum(np.maximum(left + (line - top) * slope, left), right)

    def v_at(self, chosen: Ints, line: Floats, row: Ints) -> Floats:
        """Return v, from a row, at which the chosen edges cross column lines, on the lattice of cuts."""
        left, top = self.left.take(chosen), self.top.take(chosen)
        rise = (self.low.take(chosen) - top) / (self.right.take(chosen) - left)
        v = top - row + (line - left) * rise
        return np.asarray(np.rint(v * CUT_LATTICE) / CUT_LATTICE)


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
    above = np.floor(edges.top)
    first = np.maximum(above, 0.0)
    last = np.minimum(np.maximum(np.ceil(edges.low) - 1.0, above), rows - 1.0)
    counts = (last - first).astype(np.int64) + 1
    stops = np.cumsum(counts)
    edge = np.repeat(np.arange(len(counts)), counts)
    row = np.repeat(first.astype(np.int64) - stops + counts, counts) + np.arange(len(edge))

    # an edge that ends in another row is cut at the row lines between, or at the grid's border
    goes_on = np.flatnonzero(edge[1:] == edge[:-1])
    cut = edges.u_at(edge.take(goes_on), row.take(goes_on) + 1)
    ua, ub = edges.left.take(edge), edges.right.take(edge)
    ub[goes_on], ua[goes_on + 1] = cut, cut
    va, vb = np.zeros(len(edge)), np.ones(len(edge))
    va[stops - counts] = np.maximum(edges.top - first, 0.0)
    vb[stops - 1] = np.minimum(edges.low - last, 1.0)
    over, below = np.flatnonzero(edges.top < 0.0), np.flatnonzero(edges.low > rows)
    ua[(stops - counts)[over]] = edges.u_at(over, 0)
    ub[stops[below] - 1] = edges.u_at(below, rows)
    return _Parts(edge=edge, row=row, ua=ua, va=va, ub=ub, vb=vb)


def _cut_at_columns(edges: _Edges, parts: _Parts, places: Places) -> Pieces:
    """Return the pieces of parts of edges; within a part from the upper to the lower end."""
    least = edges.least.take(parts.edge)
    most = least + (places.columns + 1)
    start = np.minimum(np.maximum(np.floor(parts.ua), least), most)  # the whole u left of the first piece
    cuts = np.maximum(np.minimum(np.ceil(parts.ub) - 1.0, most) - start, 0.0)
    counts = cuts.astype(np.int64) + 1
    stops = np.cumsum(counts)
    part = np.repeat(np.arange(len(counts)), counts)
    goes_on = np.flatnonzero(part[1:] == part[:-1])
    of = part.take(goes_on)
    number = goes_on - (stops - counts).take(of) + 1  # of the cut, and of the piece after it
    owner = parts.edge.take(of)
    v = edges.v_at(owner, start.take(of) + number, parts.row.take(of))
    v = np.minimum(np.maximum(v, parts.va.take(of)), parts.vb.take(of))

    # between two cuts a piece runs from the left to the right side of its quadrant
    u0, v0 = np.zeros(len(part)), parts.va.take(part)
    u1, v1 = np.ones(len(part)), parts.vb.take(part)
    u0[stops - counts] = parts.ua - start
    u1[stops - 1] = parts.ub - (start + cuts)
    v1[goes_on], v0[goes_on + 1] = v, v

    across = (edges.turn.take(parts.edge) * start).astype(np.int64)
    place = (edges.place.take(parts.edge) + parts.row * places.width + across).take(part)
    # a column further on each time, or before where the edge is mirrored
    place[goes_on + 1] += number * edges.turn.take(owner).astype(np.int64)
    edge = parts.edge.take(part)
    turn = edges.turn.take(edge)
    mirrored = 0.5 - 0.5 * turn
    u0, u1 = mirrored + turn * u0, mirrored + turn * u1
    return Pieces(place=place, u0=u0, v0=v0, u1=u1, v1=v1, sign=edges.sign.take(edge))
