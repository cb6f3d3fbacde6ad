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

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.octants.crossings import Floats, Ints, Pieces, joined_pieces
from svg2chart.runs import begins, in_order, spread, within_groups

Bools = NDArray[np.bool_]

HALF = 0.5  # the area of an octant, in half squares
OCTANTS = np.array([[[6, 7], [0, 1]], [[5, 4], [3, 2]]])
"""The octants left and right of the diagonal in the quadrant [row % 2][column % 2] of a square."""

ROUNDING = 2.0**-40
"""Areas closer to nought or to a whole octant than this are rounding, not art (half squares)."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Touched:
    """One entry for each quadrant and shape whose outline passes through it, by shape, row, column.

    carry, moment: the winding on the quadrant's left side, summed over its height, by itself and times
        the height.
    pieces: of all the entries, in their order; starts: (n + 1,) where each entry's pieces start.
    """

    shape: Ints
    row: Ints
    column: Ints
    carry: Floats
    moment: Floats
    pieces: Pieces
    starts: Ints

    def taken(self, chosen: Ints) -> "Touched":
        """Return the entries of these indices with their pieces."""
        counts = self.starts[chosen + 1] - self.starts[chosen]
        return Touched(
            shape=self.shape[chosen],
            row=self.row[chosen],
            column=self.column[chosen],
            carry=self.carry[chosen],
            moment=self.moment[chosen],
            pieces=self.pieces.taken(spread(self.starts[chosen], counts)),
            starts=np.concatenate([[0], np.cumsum(counts)]),
        )


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Halves:
    """What of each touched quadrant is covered left and right of its diagonal, 0 to 1/2 each.

    Meaningless where `knotted`: there the outline does not pass just once and straight on.
    """

    left: Floats
    right: Floats
    knotted: Bools


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


def is_inside(winding: Floats, even_odd: Bools) -> Floats:
    """Return 1 where points of that winding are inside, 0 where not; straight between whole windings."""
    inside = np.minimum(np.abs(winding), 1.0)
    odd = winding[even_odd]
    inside[even_odd] = np.abs(odd - 2.0 * np.rint(odd / 2.0))
    return inside


def main_diagonal(row: Ints, column: Ints) -> Bools:
    """Return whether a quadrant is cut from top left to bottom right (else from bottom left to top right)."""
    return np.asarray((row + column) % 2 == 0)


def touch(pieces: Pieces, *, even_odd: Bools, columns: int) -> tuple[Touched, Spans]:
    """Return the quadrants that outlines touch, and the runs of quadrants wholly inside a shape.

    Args:
        pieces: as `cut_edges` gives them.
        even_odd: for each shape whether its fill rule is even-odd.
        columns: columns of quadrants of the grid.
    """
    rows = int(pieces.row.max(initial=0)) + 1
    line = pieces.shape * rows + pieces.row
    place = line * (columns + 1) + pieces.column
    order = in_order(place)
    pieces, place = pieces.taken(order), place[order]
    first = np.flatnonzero(begins(place))
    if not len(first):
        none, nought = np.zeros(0, np.int64), np.zeros(0, np.float64)
        spans = Spans(shape=none, row=none, start=none, end=none)
        empty = Touched(
            shape=none,
            row=none,
            column=none,
            carry=nought,
            moment=nought,
            pieces=pieces,
            starts=np.zeros(1, np.int64),
        )
        return empty, spans
    line, column = np.divmod(place[first], columns + 1)
    shape, row = pieces.shape[first], pieces.row[first]
    height = pieces.sign * (pieces.v1 - pieces.v0)
    moments = np.add.reduceat(height * (pieces.v0 + pieces.v1) / 2, first)
    heights = np.add.reduceat(height, first)
    carry = _running(heights, line)
    spans = _spans(line, shape, row, column, np.rint(carry + heights), even_odd[shape])
    touched = Touched(
        shape=shape,
        row=row,
        column=column,
        carry=carry,
        moment=_running(moments, line),
        pieces=pieces,
        starts=np.append(first, len(place)),
    )
    return touched, spans


def measure(touched: Touched, *, even_odd: Bools) -> Halves:
    """Return the areas that shapes cover in the quadrants that their outlines touch."""
    if not len(touched.shape):
        none = np.zeros(0)
        return Halves(left=none, right=none, knotted=np.zeros(0, np.bool_))
    left, right = _sums(touched.pieces, touched.starts[:-1])
    main = main_diagonal(touched.row, touched.column)
    beside = np.where(main, touched.moment, touched.carry - touched.moment)
    rule = even_odd[touched.shape]
    inside_left = HALF * is_inside((beside + left) / HALF, rule)
    inside_right = HALF * is_inside((touched.carry - beside + right) / HALF, rule)
    knotted = _knotted(touched.pieces, touched.starts)
    return Halves(left=_settled(inside_left), right=_settled(inside_right), knotted=knotted)


def joined_touched(parts: Sequence[Touched]) -> Touched:
    """Return the entries of all parts, one part after the other."""
    none = np.zeros(0, np.int64)
    sizes = [np.diff(part.starts) for part in parts]
    return Touched(
        shape=np.concatenate([none, *(part.shape for part in parts)]),
        row=np.concatenate([none, *(part.row for part in parts)]),
        column=np.concatenate([none, *(part.column for part in parts)]),
        carry=np.concatenate([np.zeros(0), *(part.carry for part in parts)]),
        moment=np.concatenate([np.zeros(0), *(part.moment for part in parts)]),
        pieces=joined_pieces([part.pieces for part in parts]),
        starts=np.concatenate([[0], np.cumsum(np.concatenate([none, *sizes]))]).astype(np.int64),
    )


def _sums(pieces: Pieces, first: Ints) -> tuple[Floats, Floats]:
    """Return the winding areas that each entry's pieces add left and right of the diagonal."""
    main = main_diagonal(pieces.row, pieces.column)
    # how far each end lies right of the diagonal
    d0 = np.where(main, pieces.u0 - pieces.v0, pieces.u0 + pieces.v0 - 1.0)
    d1 = np.where(main, pieces.u1 - pieces.v1, pieces.u1 + pieces.v1 - 1.0)
    across = np.flatnonzero(d0 * d1 < 0.0)
    t = d0[across] / (d0[across] - d1[across])
    v = pieces.v0[across] + t * (pieces.v1[across] - pieces.v0[across])
    u = np.where(main[across], v, 1.0 - v)

    # a piece that crosses the diagonal counts up to there, and then its rest
    u1, v1, side = pieces.u1.copy(), pieces.v1.copy(), d0 + d1
    u1[across], v1[across], side[across] = u, v, d0[across]
    left, right = _beside(pieces.u0, pieces.v0, u1, v1, pieces.sign, main, side > 0.0)
    rest = _beside(
        u, v, pieces.u1[across], pieces.v1[across], pieces.sign[across], main[across], d1[across] > 0.0
    )
    left[across] += rest[0]
    right[across] += rest[1]
    return np.add.reduceat(left, first), np.add.reduceat(right, first)


def _beside(
    ua: Floats, va: Floats, ub: Floats, vb: Floats, sign: Floats, main: Bools, is_right: Bools
) -> tuple[Floats, Floats]:
    """Return the areas right of pieces that lie on one side of the diagonal, left and right of it."""
    height = sign * (vb - va)
    moment = height * (va + vb) / 2
    width_left = np.where(main, moment, height - moment)
    middle = (ua + ub) / 2 * height
    left = np.where(is_right, 0.0, width_left - middle)
    return left, height - middle - left


def _running(values: Floats, line: Ints) -> Floats:
    """Return the sum of the values before each entry in its line."""
    before = np.cumsum(values) - values
    starts = begins(line)
    index = np.maximum.accumulate(np.where(starts, np.arange(len(line)), 0))
    return before - before[index]


def _spans(line: Ints, shape: Ints, row: Ints, column: Ints, winding: Floats, even_odd: Bools) -> Spans:
    """Return the runs between touched quadrants where the winding right of the first is inside."""
    gap = ~begins(line)[1:] & (np.diff(column) > 1)
    at = np.flatnonzero(gap & (is_inside(winding, even_odd)[:-1] > 0.5))
    return Spans(shape=shape[at], row=row[at], start=column[at] + 1, end=column[at + 1])


def _knotted(pieces: Pieces, starts: Ints) -> Bools:
    """Return where the outline does not pass just once and straight on through the quadrant.

    A single piece always does: both of its ends lie on the quadrant's border.
    """
    counts = np.diff(starts)
    several = np.flatnonzero(counts > 1)
    knotted = np.zeros(len(counts), np.bool_)
    if not len(several):
        return knotted
    sizes = counts[several]
    chosen = spread(starts[several], sizes)
    first = np.cumsum(sizes) - sizes
    u0, v0, u1, v1 = pieces.u0[chosen], pieces.v0[chosen], pieces.u1[chosen], pieces.v1[chosen]

    def on_border(u: Floats, v: Floats) -> Ints:
        border = (u == 0.0) | (u == 1.0) | (v == 0.0) | (v == 1.0)
        return np.asarray(border, dtype=np.int64)

    ends = np.add.reduceat(on_border(u0, v0) + on_border(u1, v1), first)
    straight_on = np.zeros(len(several), np.bool_)
    for way in (v1 - v0, u1 - u0):
        drawn = pieces.sign[chosen] * way
        straight_on |= np.minimum.reduceat(drawn, first) >= 0.0
        straight_on |= np.maximum.reduceat(drawn, first) <= 0.0
    knotted[several] = (ends != 2) | ~straight_on
    return knotted


def _settled(area: Floats) -> Floats:
    """Return the areas with rounding at nought and at a whole octant removed."""
    area = np.where(area < ROUNDING, 0.0, area)
    return np.where(area > HALF - ROUNDING, HALF, area)
