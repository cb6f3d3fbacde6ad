"""Everything that one square can hold, as patterns of its colours.

Colours of a square are numbered from its uppermost one, bare cloth last. A pattern
says which of them each octant shows and which stitches show it so: a full stitch; a
three-quarter stitch (the half square at its corner) with the quarter of a lower colour,
or bare cloth, in the other half; or up to four quarters, each in its own quadrant.
"""

from dataclasses import dataclass
from enum import Enum
from functools import cache
from itertools import combinations, product
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import Bytes, Words, as_bits, as_words, diagonals, odd_quarters
from svg2chart.chart import Corner, StitchKind

Ints = NDArray[np.int64]


class Fractions(Enum):
    """Which fractions of a cross a chart may use."""

    ALL = "all"
    THREE_QUARTER = "three-quarter"
    NONE = "none"


LENGTH_UNIT = 1 << 20
"""Lengths are whole multiples of 2^-20 of a square, so that sums do not depend on their order."""

COST_UNIT = 1 << 30
"""Costs are whole multiples of 2^-30 of the cost of a wholly wrong square."""

THREE_QUARTER_COST = round(0.10 * COST_UNIT)
LONE_QUARTER_COST = round(0.20 * COST_UNIT)
FURTHER_QUARTER_COST = round(0.10 * COST_UNIT)
SAME_QUARTER_COST = round(0.30 * COST_UNIT)
"""A further quarter of a colour that already has one: half a square of quarters is work for nothing,
where a full stitch or none shows as much."""

# octants clockwise from the top, right of the middle
HALF_OCTANTS = {
    Corner.TOP_LEFT: (5, 6, 7, 0),
    Corner.TOP_RIGHT: (7, 0, 1, 2),
    Corner.BOTTOM_RIGHT: (1, 2, 3, 4),
    Corner.BOTTOM_LEFT: (3, 4, 5, 6),
}
QUADRANT_OCTANTS = {
    Corner.TOP_LEFT: (6, 7),
    Corner.TOP_RIGHT: (0, 1),
    Corner.BOTTOM_RIGHT: (2, 3),
    Corner.BOTTOM_LEFT: (4, 5),
}


LINE_BETWEEN = np.array([round(LENGTH_UNIT * (sqrt(0.5) if i % 2 == 0 else 0.5)) for i in range(8)])
"""The length of the line between octant i and the next: half a diagonal or half a midline."""

_CORNERS = tuple(Corner)
_QUADRANT_OF = [
    next(place for place, corner in enumerate(_CORNERS) if octant in QUADRANT_OCTANTS[corner])
    for octant in range(8)
]

LocalStitch = tuple[StitchKind, Corner | None, int]
Layout = tuple[tuple[StitchKind, Corner | None], ...]
_Row = tuple[tuple[int, ...], tuple[LocalStitch, ...], int, tuple[int, ...]]
"""What octants show, the stitches, their cost, and what ranks patterns of as many colours."""


MOST_COLOURS = 4
"""A square has four quarters, so its four largest colours are as many as stitches can show."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Patterns:
    """All patterns of one to four colours; (n,) each.

    shown: (n, 8) the colour that each octant shows.
    layouts: what stitches patterns have apart from colours: kinds and corners, the upper first.
    layout: which of these each has. placed: (n, 4) the colour of each of its stitches, -1 for none.
    cost: what the pattern costs as work, in COST_UNIT.
    inner: length of the lines between colours inside the square, in LENGTH_UNIT.
    rank: among equals the lower wins: the upper colour, then the fuller stitch. Patterns of as many colours
        that differ only in which corner is which have the same rank.
    depth: how far below the uppermost colour all of the square shows.
    bits: the octants that show each of the four colours. diagonals: see `borders`.
    odd: the colour of the one quarter that differs from the rest, and odd_sides the octants at the sides that
        it touches; none where there is no such quarter.
    first: (5, 2) and size: (5, 2) which patterns have so many colours, the last of them bare cloth or not.
    """

    shown: Ints
    layouts: tuple[Layout, ...]
    layout: Ints
    placed: Ints
    cost: Ints
    inner: Ints
    rank: Ints
    depth: Ints
    bits: Words
    diagonals: Words
    odd: Ints
    odd_sides: Bytes
    first: Ints
    size: Ints


@cache
def patterns(fractions: Fractions) -> Patterns:
    """Return all patterns."""
    rows: list[_Row] = []
    ranks: list[int] = []
    first, size = np.zeros((MOST_COLOURS + 1, 2), np.int64), np.zeros((MOST_COLOURS + 1, 2), np.int64)
    for colours, has_bare in product(range(1, MOST_COLOURS + 1), (False, True)):
        more = _of_colours(colours, has_bare=has_bare, fractions=fractions)
        first[colours, int(has_bare)], size[colours, int(has_bare)] = len(rows), len(more)
        kinds = sorted({row[3] for row in more})
        ranks += [kinds.index(row[3]) for row in more]
        rows += more
    of_rows = [tuple((kind, corner) for kind, corner, _ in row[1]) for row in rows]
    layouts = {each: number for number, each in enumerate(dict.fromkeys(of_rows))}
    shown = np.array([row[0] for row in rows], dtype=np.int64)
    odd, odd_sides = odd_quarters(shown.T)
    return Patterns(
        shown=shown,
        layouts=tuple(layouts),
        layout=np.array([layouts[each] for each in of_rows], np.int64),
        placed=np.array([[*(stitch[2] for stitch in row[1]), *[-1] * 4][:4] for row in rows], np.int64),
        cost=np.array([row[2] for row in rows], dtype=np.int64),
        inner=(shown != np.roll(shown, -1, axis=1)) @ LINE_BETWEEN,
        rank=np.array(ranks, dtype=np.int64),
        depth=shown.sum(axis=1),
        bits=as_words(as_bits(shown.T[:, None] == np.arange(MOST_COLOURS)[:, None])),
        diagonals=diagonals(shown.T),
        odd=odd,
        odd_sides=odd_sides,
        first=first,
        size=size,
    )


def _of_colours(colours: int, *, has_bare: bool, fractions: Fractions) -> list[_Row]:
    """Return the patterns of so many colours, the last of which is bare cloth or not."""
    bare = colours - 1 if has_bare else None
    rows: list[_Row] = []
    for colour in range(colours):
        full = () if colour == bare else ((StitchKind.FULL, None, colour),)
        rows.append(((colour,) * 8, full, 0, (0, colour)))
    if fractions is not Fractions.NONE:
        for upper, lower in combinations(range(colours), 2):
            rows += [_halves(upper, lower, corner, bare) for corner in Corner]
    if fractions is Fractions.ALL:
        mixed = (chosen for chosen in product(range(colours), repeat=4) if len(set(chosen)) > 1)
        rows += [_quadrants(chosen, bare, colours) for chosen in mixed]
    return rows


def _halves(upper: int, lower: int, corner: Corner, bare: int | None) -> _Row:
    shown = tuple(upper if octant in HALF_OCTANTS[corner] else lower for octant in range(8))
    stitches: tuple[LocalStitch, ...] = ((StitchKind.THREE_QUARTER, corner, upper),)
    if lower != bare:
        stitches += ((StitchKind.QUARTER, corner.opposite, lower),)
    return shown, stitches, THREE_QUARTER_COST, (1, upper, lower)


def _quadrants(chosen: tuple[int, ...], bare: int | None, colours: int) -> _Row:
    placed = sorted((colour, place) for place, colour in enumerate(chosen) if colour != bare)
    stitches = tuple((StitchKind.QUARTER, _CORNERS[place], colour) for colour, place in placed)
    different = len({colour for colour, _ in placed})
    cost = LONE_QUARTER_COST + FURTHER_QUARTER_COST * (different - 1)
    cost += SAME_QUARTER_COST * (len(placed) - different)
    uses = tuple(4 - chosen.count(colour) for colour in range(colours))
    return tuple(chosen[place] for place in _QUADRANT_OF), stitches, cost, (2, *uses)
