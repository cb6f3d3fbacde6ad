r"""How often outlines wind around each octant, and what that covers: running sums along half rows.

    A square and its octants,       one of its quadrants: the diagonal has an
    clockwise from the top:         octant on its left and one on its right

     +---+---+                       +-----------+      a piece of an edge that runs
     |\7 | 0/|                       | \    |    |      down here winds once around all
     | \ | / |                       |   \  | *  |      that lies to its right: around
     |6 \|/ 1|                       |     \|    |      the part (*) of this quadrant,
     +---+---+                       | left |\   |      and around every quadrant right
     |5 /|\ 2|                       |      |  \ |      of it, between the heights of
     |/4 | 3\|                       +-----------+      its two ends.

The second share is linear (heights) and quadratic (widths of an octant) in the
heights, so two running sums along the row carry it. That gives the winding, summed
over each octant. Where one outline passes once through a quadrant, only two windings
that differ by one meet there, and the fill rule turns the sum into an area at once;
any other quadrant is "knotted" and swept line by line (`sweep`). The cost is edges
times squares crossed. A horizontal piece adds nothing, but marks its quadrant as
touched. Source: Green's theorem, area = 1/2 of the integral of x dy - y dx.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.octants.crossings import Floats, Ints, Pieces, within_groups

HALF = 0.5  # the area of an octant, in half squares
OCTANTS = np.array([[[6, 7], [0, 1]], [[5, 4], [3, 2]]])
"""The octants left and right of the diagonal in the quadrant [row % 2][column % 2] of a square."""

ROUNDING = 2.0**-40
"""Areas closer to nought or to a whole octant than this are rounding, not art (half squares)."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Touched:
    """One entry for each quadrant and shape whose outline passes through it, by shape, row, column.

    carry: the winding on the quadrant's left side, summed over its height.
    left, right: area covered left and right of the diagonal, 0 to 1/2; meaningless where `knotted`.
    pieces: (n, 2) from where to where the entry owns the sorted pieces.
    """

    shape: Ints
    row: Ints
    column: Ints
    carry: Floats
    left: Floats
    right: Floats
    knotted: NDArray[np.bool_]
    pieces: Ints


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Spans:
    """Runs of quadrants wholly inside a shape, by shape: `start` to before `end` in `row`."""

    shape: Ints
    row: Ints
    start: Ints
    end: Ints

    def quadrants(self) -> tuple[Ints, Ints, Ints]:
        """Return shape, row and column of every quadrant of the runs."""
        lengths = self.end - self.start
        columns = np.repeat(self.start, lengths) + within_groups(lengths)
        return np.repeat(self.shape, lengths), np.repeat(self.row, lengths), columns


def is_inside(winding: Floats, even_odd: NDArray[np.bool_]) -> Floats:
    """Return 1 where points of that winding are inside, 0 where not; straight between whole windings."""
    rest = np.abs(np.mod(winding + 1.0, 2.0) - 1.0)
    return np.where(even_odd, rest, np.minimum(np.abs(winding), 1.0))


def main_diagonal(row: Ints, column: Ints) -> NDArray[np.bool_]:
    """Return whether a quadrant is cut from top left to bottom right (else from bottom left to top right)."""
    return np.asarray((row + column) % 2 == 0)


def measure(pieces: Pieces, *, even_odd: NDArray[np.bool_], columns: int) -> tuple[Touched, Pieces, Spans]:
    """Return the touched quadrants, the pieces in their order, and the runs wholly inside.

    Args:
        pieces: as `cut_edges` gives them.
        even_odd: for each shape whether its fill rule is even-odd.
        columns: columns of quadrants of the grid.
    """
    rows = int(pieces.row.max()) + 1 if len(pieces.row) else 1
    line = pieces.shape * rows + pieces.row
    order = np.argsort(line * (columns + 1) + pieces.column, kind="stable")
    pieces, line = pieces.taken(order), line[order]
    changes = (np.diff(line) != 0) | (np.diff(pieces.column) != 0)
    first = np.flatnonzero(np.concatenate([[True], changes])) if len(line) else np.zeros(0, np.int64)
    line, shape = line[first], pieces.shape[first]
    row, column = pieces.row[first], pieces.column[first]
    main = main_diagonal(row, column)

    heights, moments, left, right = _sums(pieces, first)
    carry, carry_moment = _running(heights, line), _running(moments, line)
    beside = np.where(main, carry_moment, carry - carry_moment)
    rule = even_odd[shape]
    inside_left = HALF * is_inside((beside + left) / HALF, rule)
    inside_right = HALF * is_inside((carry - beside + right) / HALF, rule)

    in_grid = column < columns
    spans = _spans(line, shape, row, column, np.rint(carry + heights), rule)
    bounds = np.append(first, len(pieces.row))
    knotted = _knotted(pieces, first)
    touched = Touched(
        shape=shape,
        row=row,
        column=column,
        carry=carry,
        left=_settled(inside_left),
        right=_settled(inside_right),
        knotted=knotted,
        pieces=bounds,
    )
    return _without_spare(touched, in_grid), pieces, spans


def _without_spare(touched: Touched, kept: NDArray[np.bool_]) -> Touched:
    """Return the entries of the grid; the spare column's pieces stay in place, belonging to no entry."""
    return Touched(
        shape=touched.shape[kept],
        row=touched.row[kept],
        column=touched.column[kept],
        carry=touched.carry[kept],
        left=touched.left[kept],
        right=touched.right[kept],
        knotted=touched.knotted[kept],
        pieces=np.stack([touched.pieces[:-1][kept], touched.pieces[1:][kept]], axis=1),
    )


def _sums(pieces: Pieces, first: Ints) -> tuple[Floats, Floats, Floats, Floats]:
    """Return for each touched quadrant the sums over its pieces.

    The sums are of height, of height times mean height, and of the winding areas that the pieces add
    left and right of the diagonal.
    """
    main = main_diagonal(pieces.row, pieces.column)
    # how far each end lies right of the diagonal
    d0 = np.where(main, pieces.u0 - pieces.v0, pieces.u0 + pieces.v0 - 1.0)
    d1 = np.where(main, pieces.u1 - pieces.v1, pieces.u1 + pieces.v1 - 1.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        t = np.where(d0 * d1 < 0.0, d0 / (d0 - d1), 1.0)
    um, vm = pieces.u0 + t * (pieces.u1 - pieces.u0), pieces.v0 + t * (pieces.v1 - pieces.v0)
    um = np.where(t < 1.0, np.where(main, vm, 1.0 - vm), pieces.u1)
    vm = np.where(t < 1.0, vm, pieces.v1)

    def share(ua: Floats, va: Floats, ub: Floats, vb: Floats, is_right: NDArray[np.bool_]) -> list[Floats]:
        height = pieces.sign * (vb - va)
        moment = height * (va + vb) / 2
        width_left = np.where(main, moment, height - moment)
        middle = (ua + ub) / 2
        left = np.where(is_right, 0.0, width_left - middle * height)
        right = np.where(is_right, (1.0 - middle) * height, height - width_left)
        return [moment, left, right]

    before = share(pieces.u0, pieces.v0, um, vm, np.where(t < 1.0, d0, d0 + d1) > 0.0)
    after = share(um, vm, pieces.u1, pieces.v1, d1 > 0.0)
    heights = pieces.sign * (pieces.v1 - pieces.v0)
    totals = [heights, *(a + b for a, b in zip(before, after, strict=True))]
    if not len(first):
        return (np.zeros(0),) * 4
    heights, moments, left, right = (np.add.reduceat(total, first) for total in totals)
    return heights, moments, left, right


def _running(values: Floats, line: Ints) -> Floats:
    """Return the sum of the values before each entry in its line."""
    before = np.cumsum(values) - values
    starts = np.concatenate([[True], np.diff(line) != 0]) if len(line) else np.zeros(0, np.bool_)
    index = np.maximum.accumulate(np.where(starts, np.arange(len(line)), 0))
    return before - before[index]


def _spans(
    line: Ints, shape: Ints, row: Ints, column: Ints, winding: Floats, even_odd: NDArray[np.bool_]
) -> Spans:
    """Return the runs between touched quadrants where the winding right of the first is inside."""
    follows = np.append(np.diff(line) == 0, False) if len(line) else np.zeros(0, np.bool_)
    gap = np.append(np.diff(column) > 1, False) if len(line) else follows
    at = np.flatnonzero(follows & gap & (is_inside(winding, even_odd) > 0.5))
    return Spans(shape=shape[at], row=row[at], start=column[at] + 1, end=column[at + 1])


def _knotted(pieces: Pieces, first: Ints) -> NDArray[np.bool_]:
    """Return where the outline does not pass just once and straight on through the quadrant."""
    if not len(first):
        return np.zeros(0, np.bool_)

    def on_border(u: Floats, v: Floats) -> NDArray[np.int64]:
        border = (u == 0.0) | (u == 1.0) | (v == 0.0) | (v == 1.0)
        return np.asarray(border, dtype=np.int64)

    ends = np.add.reduceat(on_border(pieces.u0, pieces.v0) + on_border(pieces.u1, pieces.v1), first)
    down = pieces.sign * (pieces.v1 - pieces.v0)
    along = pieces.sign * (pieces.u1 - pieces.u0)
    straight_on = np.zeros(len(first), np.bool_)
    for way in (down, along):
        straight_on |= np.minimum.reduceat(way, first) >= 0.0
        straight_on |= np.maximum.reduceat(way, first) <= 0.0
    return np.asarray((ends != 2) | ~straight_on)


def _settled(area: Floats) -> Floats:
    """Return the areas with rounding at nought and at a whole octant removed."""
    area = np.where(area < ROUNDING, 0.0, area)
    return np.where(area > HALF - ROUNDING, HALF, area)
