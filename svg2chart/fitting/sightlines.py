"""What is seen along straight lines across the drawing: where one colour ends and the next begins.

Four lines cross each row of squares. Along each of them the outlines of every shape are
crossed, and between the crossings the uppermost shape is what one sees:

      line ----bare----|==red==|====blue=====|--bare----      three steps, at exact places
                       x0      x1            x2

What is hidden, or split in two of the same paint, leaves no step: the drawing is looked at as
it appears and not as it is built.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.grid import LATTICE
from svg2chart.runs import numbered, sorted_together, spread, totals

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

UNIT = LATTICE
"""Places are whole multiples of this part of a square, as points are."""

AT_HOLE = 1 / 32
"""What is so near to a hole or a hole line, in squares, lies on it."""

CRACK = UNIT >> 13
"""What is so narrow is rounding: two parts of one outline that nearly meet."""

LINES_PER_SQUARE = 4
# in half units of a square: no point of the lattice lies on a line; mirror images of each other
_PLACES = np.array([UNIT // 4 + 1, 3 * UNIT // 4 + 1, 5 * UNIT // 4 - 1, 7 * UNIT // 4 - 1])

_BARE = -1


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Sights:
    """Steps from one colour to another, by line and then by place; (n,) each.

    length: of the lines, in squares.
    line: the number of the line, four to a square.
    at: where on the line, in UNIT.
    before, after: what is seen on both sides: equal numbers look alike, 0 is bare.
    rise: 1 where what comes after lies over what comes before, -1 where under it, 0 where a veil lies
        over both.
    areas: (shapes,) how much of each shape is uppermost, in squares, as far as lines tell.
    """

    length: int
    line: Ints
    at: Ints
    before: Ints
    after: Ints
    rise: Ints
    areas: Floats


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Outlines:
    """The edges of all shapes and how each shape is painted.

    edges: (n, 4) in squares. owner: (n,) the shape of each edge, ascending in paint order.
    even_odd, hides: (shapes,) its fill rule, and whether nothing shows through.
    look: (shapes,) equal for shapes of equal colour, from 1.
    """

    edges: Floats
    owner: Ints
    even_odd: Bools
    hides: Bools
    look: Ints

    def turned(self) -> "Outlines":
        """Return the same with x and y exchanged."""
        return Outlines(
            edges=self.edges[:, [1, 0, 3, 2]],
            owner=self.owner,
            even_odd=self.even_odd,
            hides=self.hides,
            look=self.look,
        )


def look_along_lines(outlines: Outlines, *, lines: int, length: int) -> Sights:
    """Return the steps along level lines.

    Args:
        outlines: of all shapes.
        lines: rows of squares that are looked along.
        length: columns of squares; more than a square beside them nothing is seen.
    """
    line, at, shape, sign = _crossings(outlines, lines * LINES_PER_SQUARE, length)
    start, end = _intervals(line, at, shape, sign, outlines.even_odd)
    line, shape, first, last = line[start], shape[start], at[start], at[end]
    # places of all lines on one scale, each numbered among the different ones
    scale = (length + 3) * UNIT
    first, last = line * scale + first, line * scale + last
    places, stretch = numbered(np.concatenate([first, last]))
    low, high = stretch[: len(first)], stretch[len(first) :]
    order, look = _seen(low, high, shape, outlines, len(places))
    where, place = np.divmod(places, scale)
    before_order, before = np.append(_BARE, order[:-1]), np.append(0, look[:-1])
    beside = (place == 0) | (place == scale - UNIT)
    steps = np.flatnonzero((before != look) & ~beside)
    steps = steps[~_of_cracks(places[steps], before[steps], look[steps])]
    return Sights(
        length=length,
        line=where[steps],
        at=place[steps] - UNIT,
        before=before[steps],
        after=look[steps],
        rise=np.sign(order[steps] - before_order[steps]),
        areas=_areas(places, order, len(outlines.look)),
    )


def _areas(places: Ints, order: Ints, count: int) -> Floats:
    """Return how much of each of so many shapes is uppermost in the stretches that begin at places."""
    some = np.flatnonzero(order != _BARE)  # none of these is the last of its line
    lengths = (places[some + 1] - places[some]) / UNIT
    return totals(order[some], lengths, count) / LINES_PER_SQUARE


def _of_cracks(places: Ints, before: Ints, after: Ints) -> Bools:
    """Return which steps lead into something too narrow to be seen, or out of it again to the same."""
    found = np.zeros(len(places), np.bool_)
    crack = np.flatnonzero((np.diff(places) <= CRACK) & (before[:-1] == after[1:]))
    found[crack], found[crack + 1] = True, True
    return found


def _crossings(outlines: Outlines, count: int, length: int) -> tuple[Ints, Ints, Ints, Ints]:
    """Return line, place (from a square left of the grid), shape and direction of all crossings."""
    x0, y0, x1, y1 = np.ascontiguousarray(outlines.edges.T)
    downwards = y0 < y1
    x_upper, y_upper = np.where(downwards, x0, x1), np.where(downwards, y0, y1)
    x_lower, y_lower = np.where(downwards, x1, x0), np.where(downwards, y1, y0)
    first, last = (np.clip(_lines_above(y), 0, count) for y in (y_upper, y_lower))
    counts = last - first
    edge = np.repeat(np.arange(len(counts)), counts)
    line = spread(first, counts)
    # in place: fresh memory takes more time than the sums
    x = line_places(count)[1].take(line)
    x -= y_upper.take(edge)
    x *= (x_lower - x_upper).take(edge)
    x /= (y_lower - y_upper).take(edge)
    x += x_upper.take(edge)
    x += 1.0
    np.clip(x, 0.0, length + 2.0, out=x)
    x *= UNIT
    at = np.rint(x, out=x).astype(np.int64)
    line, shape, at, down = sorted_together(
        line, outlines.owner.take(edge), at, downwards.take(edge).astype(np.int64)
    )
    return line, at, shape, 2 * down - 1


def line_places(count: int) -> tuple[Ints, Floats]:
    """Return the numbers of the first lines, and where they lie, in squares."""
    line = np.arange(count)
    square, place = np.divmod(line, LINES_PER_SQUARE)
    return line, square + _PLACES[place] / (2 * UNIT)


def places_of(sights: Sights) -> Floats:
    """Return (n, 2) where steps are seen, in squares: along their lines, and across them."""
    across = line_places(int(sights.line.max(initial=-1)) + 1)[1][sights.line]
    return np.stack([sights.at / UNIT, across], axis=1)


def _lines_above(y: Floats) -> Ints:
    """Return how many lines lie above each height."""
    square = np.floor(y)
    within = np.rint((y - square) * (2 * UNIT)).astype(np.int64)
    return square.astype(np.int64) * LINES_PER_SQUARE + np.searchsorted(_PLACES, within)


def _intervals(line: Ints, at: Ints, shape: Ints, sign: Ints, even_odd: Bools) -> tuple[Ints, Ints]:
    """Return the crossings between which each shape is painted."""
    winding = np.cumsum(sign)  # back at nought after each shape on each line
    inside = np.where(even_odd[shape], winding % 2, winding) != 0
    was_inside = np.append(False, inside[:-1])
    start, end = np.flatnonzero(inside & ~was_inside), np.flatnonzero(was_inside & ~inside)
    some = at[start] < at[end]
    return start[some], end[some]


def _seen(low: Ints, high: Ints, shape: Ints, outlines: Outlines, count: int) -> tuple[Ints, Ints]:
    """Return the uppermost hiding shape and the look of each of so many stretches between places.

    low, high: the stretches that each interval of a shape covers, the upper bound left out.
    """
    solid = outlines.hides[shape]
    order = _greatest(low[solid], high[solid], shape[solid], count)
    look = np.where(order == _BARE, 0, outlines.look[order])
    through = np.flatnonzero(~solid)
    if len(through):
        counts = high[through] - low[through]
        stretch = spread(low[through], counts)
        veil = np.repeat(shape[through], counts)
        above = veil > order[stretch]
        veils = np.zeros(count, np.uint64)
        np.add.at(veils, stretch[above], _scattered(veil[above]))
        veiled = order.copy()
        np.maximum.at(veiled, stretch[above], veil[above])
        _, look = np.unique(np.stack([look.astype(np.uint64), veils]), axis=1, return_inverse=True)
        # bare cloth without a veil sorts first, and stays nought where it is seen at all
        look = look.ravel() + (0 if (veils[order == _BARE] == 0).any() else 1)
        order = veiled
    return order, look


def _scattered(numbers: Ints) -> NDArray[np.uint64]:
    """Return a large number for each, so that sums of different ones differ. Source: splitmix64's mixer."""
    mixed = (numbers.astype(np.uint64) + np.uint64(1)) * np.uint64(0x9E3779B97F4A7C15)
    mixed = (mixed ^ (mixed >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    return np.asarray(mixed ^ (mixed >> np.uint64(27)))


def _greatest(low: Ints, high: Ints, value: Ints, count: int) -> Ints:
    """Return for so many stretches the greatest value of all runs low to high that hold each, else _BARE.

    A run is the union of two runs of a power of two; from the longest powers down each gives its
    value to its halves: time grows with stretches times the logarithm of the longest run.
    """
    longer = np.full(count, _BARE, np.int64)
    power = np.frexp((high - low).astype(np.float64))[1] - 1
    for exponent in range(int(power.max(initial=-1)), -1, -1):
        size = 1 << exponent
        # each run of twice the size is two of this size
        level = longer.copy()
        np.maximum(level[size:], longer[:-size], out=level[size:])
        own = power == exponent
        np.maximum.at(level, low[own], value[own])
        np.maximum.at(level, high[own] - size, value[own])
        longer = level
    return longer
