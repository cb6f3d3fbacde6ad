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

from svg2chart.octants.crossings import Floats, Ints, Pieces, Places, joined_pieces
from svg2chart.runs import begins, in_order, lengths, spread, totals, within_groups

Bools = NDArray[np.bool_]

HALF = 0.5  # the area of an octant, in half squares
OCTANTS = np.array([[[6, 7], [0, 1]], [[5, 4], [3, 2]]])
"""The octants left and right of the diagonal in the quadrant [row % 2][column % 2] of a square."""

ROUNDING = 2.0**-40
"""Areas closer to nought or to a whole octant than this are rounding, not art (half squares)."""

_TINY = np.finfo(np.float64).tiny


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Touched:
    """One entry for each quadrant and shape whose outline passes through it, by shape, row, column.

    column: the spare ones at the sides of the grid too.
    carry, moment: the winding on the quadrant's left side, summed over its height, by itself and times
        the height.
    pieces: of all the entries; piece: (m,) the indices of the first entry's pieces, of the second's and so
        on; starts: (n + 1,) where each entry's start in that list.
    """

    shape: Ints
    row: Ints
    column: Ints
    carry: Floats
    moment: Floats
    pieces: Pieces
    piece: Ints
    starts: Ints

    def taken(self, chosen: Ints) -> "Touched":
        """Return the entries of these indices, and no other pieces than theirs."""
        first = self.starts.take(chosen)
        counts = self.starts.take(chosen + 1) - first
        piece = self.piece.take(spread(first, counts))
        return Touched(
            shape=self.shape.take(chosen),
            row=self.row.take(chosen),
            column=self.column.take(chosen),
            carry=self.carry.take(chosen),
            moment=self.moment.take(chosen),
            pieces=self.pieces.taken(piece),
            piece=np.arange(len(piece)),
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

    def taken(self, chosen: Ints) -> "Spans":
        """Return the runs of these indices."""
        return Spans(
            shape=self.shape.take(chosen),
            row=self.row.take(chosen),
            start=self.start.take(chosen),
            end=self.end.take(chosen),
        )

    def quadrants(self) -> tuple[Ints, Ints, Ints]:
        """Return shape, row and column of every quadrant of the runs."""
        lengths = self.end - self.start
        columns = np.repeat(self.start, lengths) + within_groups(lengths)
        return np.repeat(self.shape, lengths), np.repeat(self.row, lengths), columns


def main_diagonal(row: Ints, column: Ints) -> Bools:
    """Return whether a quadrant is cut from top left to bottom right (else from bottom left to top right)."""
    return np.asarray((row + column) & 1 == 0)


def touch(pieces: Pieces, places: Places, *, even_odd: Bools) -> tuple[Touched, Spans]:
    """Return the quadrants that outlines touch, and the runs of quadrants wholly inside a shape.

    Args:
        pieces: as `cut_edges` gives them.
        places: the quadrants of the grid.
        even_odd: for each shape whether its fill rule is even-odd.
    """
    order = in_order(pieces.place)
    place = pieces.place.take(order)
    begin = begins(place)
    first = np.flatnonzero(begin)
    line, column = places.apart(place.take(first))
    shape = line // places.rows
    row = line - shape * places.rows

    entry = np.empty(len(order), np.int64)
    entry[order] = np.cumsum(begin) - 1
    height = pieces.sign * (pieces.v1 - pieces.v0)
    heights = totals(entry, height, len(first))
    moments = totals(entry, height * (pieces.v0 + pieces.v1) / 2, len(first))
    runs = lengths(np.flatnonzero(begins(line)), len(line))
    carry = _running(heights, runs)
    touched = Touched(
        shape=shape,
        row=row,
        column=column,
        carry=carry,
        moment=_running(moments, runs),
        pieces=pieces,
        piece=order,
        starts=np.append(first, len(order)),
    )
    apart = np.flatnonzero((line[1:] == line[:-1]) & (column[1:] - column[:-1] > 1))
    winding = np.rint(carry.take(apart) + heights.take(apart))  # between this entry and the next
    at = apart[is_inside(winding, even_odd.take(shape.take(apart))) > 0.5]
    spans = Spans(shape=shape.take(at), row=row.take(at), start=column.take(at) + 1, end=column.take(at + 1))
    return touched, spans


def measure(touched: Touched, *, even_odd: Bools) -> Halves:
    """Return the areas that shapes cover in the quadrants that their outlines touch."""
    counts = touched.starts[1:] - touched.starts[:-1]
    entry = np.empty(len(touched.piece), np.int64)
    entry[touched.piece] = np.repeat(np.arange(len(counts)), counts)
    own = _Sums.of(touched.pieces, entry, len(counts))
    beside = np.where(
        main_diagonal(touched.row, touched.column), touched.moment, touched.carry - touched.moment
    )
    right = touched.carry - beside + own.beyonds - own.lefts
    rule = even_odd.take(touched.shape)
    climbs = np.flatnonzero((own.climbs != np.abs(own.heights)) & (own.ends == 2.0))
    knotted = own.ends != 2.0
    knotted[climbs] = _turns(touched, climbs, counts.take(climbs))
    return Halves(
        left=_settled(HALF * is_inside((beside + own.lefts) / HALF, rule)),
        right=_settled(HALF * is_inside(right / HALF, rule)),
        knotted=knotted,
    )


def joined_touched(parts: Sequence[Touched]) -> Touched:
    """Return the entries of all parts, one part after the other."""
    if len(parts) == 1:  # as in most drawings
        return parts[0]
    none, nought = np.zeros(0, np.int64), np.zeros(0)
    before = np.cumsum([0, *(len(part.piece) for part in parts)])
    pieces = [part.piece + first for part, first in zip(parts, before, strict=False)]
    starts = [part.starts[:-1] + first for part, first in zip(parts, before, strict=False)]
    return Touched(
        shape=np.concatenate([none, *(part.shape for part in parts)]),
        row=np.concatenate([none, *(part.row for part in parts)]),
        column=np.concatenate([none, *(part.column for part in parts)]),
        carry=np.concatenate([nought, *(part.carry for part in parts)]),
        moment=np.concatenate([nought, *(part.moment for part in parts)]),
        pieces=joined_pieces([part.pieces for part in parts]),
        piece=np.concatenate([none, *pieces]),
        starts=np.concatenate([none, *starts, before[-1:]]),
    )


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Sums:
    """What the pieces of each touched quadrant add up to, (n,) each.

    heights: their heights with their signs, which is the winding right of them; climbs: without.
    beyonds: the winding right of them within the quadrant; lefts: what of that lies left of its diagonal.
    ends: how many of their ends lie on the quadrant's border.
    """

    heights: Floats
    climbs: Floats
    beyonds: Floats
    lefts: Floats
    ends: Floats

    @staticmethod
    def of(pieces: Pieces, entry: Ints, count: int) -> "_Sums":
        u0, v0, u1, v1 = pieces.u0, pieces.v0, pieces.u1, pieces.v1
        climb = v1 - v0
        height = pieces.sign * climb
        # the diagonal is at u = v, or else at u = 1 - v
        flipped = 1.0 - (pieces.place & 1)
        left = mean_above(np.abs(v0 - flipped) - u0, np.abs(v1 - flipped) - u1)
        ends = _on_border(u0, v0).astype(np.float64) + _on_border(u1, v1)
        return _Sums(
            heights=totals(entry, height, count),
            climbs=totals(entry, climb, count),
            beyonds=totals(entry, height * (1.0 - (u0 + u1) / 2), count),
            lefts=totals(entry, height * left, count),
            ends=totals(entry, ends, count),
        )


def mean_above(start: Floats, end: Floats) -> Floats:
    """Return the mean of lines that run straight from start to end, with nought for what is below nought.

    Half of what both ends are above nought, times the share of the line that is above: the share of the
    ends' distances from nought.
    """
    above = np.maximum(start, 0.0) + np.maximum(end, 0.0)
    both = np.abs(start) + np.abs(end)
    return np.asarray(above / 2 * (above / np.maximum(both, _TINY)))


def _running(values: Floats, counts: Ints) -> Floats:
    """Return the sum of the values before each entry in its line; `counts` are the entries of the lines."""
    before = np.cumsum(values) - values
    return before - np.repeat(before.take(np.cumsum(counts) - counts), counts)


def is_inside(winding: Floats, even_odd: Bools) -> Floats:
    """Return 1 where points of that winding are inside, 0 where not; straight between whole windings."""
    inside = np.minimum(np.abs(winding), 1.0)
    odd = np.flatnonzero(even_odd)
    winding = winding.take(odd)
    inside[odd] = np.abs(winding - 2.0 * np.rint(winding / 2.0))
    return inside


def _turns(touched: Touched, entries: Ints, counts: Ints) -> Bools:
    """Return in which entries, of so many pieces, some are drawn to the left and others to the right."""
    piece = touched.piece.take(spread(touched.starts.take(entries), counts))
    across = touched.pieces.u1.take(piece) - touched.pieces.u0.take(piece)
    entry = np.repeat(np.arange(len(counts)), counts)
    way = touched.pieces.sign.take(piece) * np.sign(across)
    return np.asarray(np.abs(totals(entry, way, len(counts))) != totals(entry, np.abs(way), len(counts)))


def _on_border(u: Floats, v: Floats) -> Bools:
    """Return whether points lie on the border of their quadrant."""
    return np.asarray((u == 0.0) | (u == 1.0) | (v == 0.0) | (v == 1.0))


def _settled(area: Floats) -> Floats:
    """Return the areas with rounding at nought and at a whole octant removed."""
    area = np.where(area < ROUNDING, 0.0, area)
    return np.where(area > HALF - ROUNDING, HALF, area)
