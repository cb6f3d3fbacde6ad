"""What lies in front of a thread that is carried behind the cloth, and whether it may be carried there.

    bare cloth          at most 2 squares of thread, and never along a row, a column or a diagonal of holes,
                        through which the thread would be seen
    stitched squares    at most 5 squares either way, what lies over bare cloth counted too

Published limits for bare cloth run from none over 2 squares (4 threads of linen, over two) to 4; ours is 2.
For covered ones a page on carrying threads has 5 to 6 stitches at most. The rule on directions
is common practice, no source. What counts is the finished piece: squares that are stitched later hide
a thread as well. Squares that a fraction half covers are looked at octant by octant, and the
squares of the two stitches that the thread joins count as covered: going from one
to the other there is part of stitching, no carry.
"""

import itertools
from dataclasses import dataclass
from functools import cache
from math import isqrt, lcm

from svg2chart.arranging.patterns import HALF_OCTANTS, QUADRANT_OCTANTS
from svg2chart.chart import Arrangement, Chart, StitchKind
from svg2chart.guiding.legs import HALVES, Hole, Square

BARE_SQUARES = 2
BEHIND_SQUARES = 5
LENGTH_UNIT = 1 << 20
"""Lengths are whole numbers of 2^-20 of a square, so that every machine decides alike."""

START_BARE = LENGTH_UNIT
"""How much thread behind bare cloth a start is worth; our choice, no source: a start takes a minute, a thread
that shows stays."""

_ALL = 0xFF
Place = tuple[int, int, int]
"""Row, column and octant, that one as a bit."""


@dataclass(frozen=True, slots=True)
class Cloth:
    """The finished cloth: `masks[row][column]` has one bit for each octant of the square that is covered."""

    masks: tuple[bytes, ...]

    def bare_length(self, start: Hole, end: Hole, own: tuple[Square, ...] = ()) -> int | None:
        """Return how much of the thread between two holes is behind bare cloth, None if it may not go there.

        In units of 2^-20 of a square. `own` are squares that count as covered. Into the hole out of which
        it comes no thread can go: that would undo the stitch.
        """
        dx, dy = end[0] - start[0], end[1] - start[1]
        reach = max(abs(dx), abs(dy))
        if not 0 < reach <= BEHIND_SQUARES * HALVES:
            return None
        left, top = start[0] // HALVES, start[1] // HALVES
        pieces, whole = _pieces(start[0] % HALVES, start[1] % HALVES, dx, dy)
        shares = sum(share for share, places in pieces if not self._is_covered(top, left, places, own))
        if shares and (dx == 0 or dy == 0 or abs(dx) == abs(dy)):
            return None
        bare = shares * length(start, end) // whole
        return None if bare > BARE_SQUARES * LENGTH_UNIT else bare

    def _is_covered(self, top: int, left: int, places: tuple[Place, ...], own: tuple[Square, ...]) -> bool:
        """Return whether a piece of thread lies in, or along, an octant that is covered."""
        for down, right, bit in places:
            row, column = top + down, left + right
            if (row, column) in own:
                return True
            if (
                0 <= row < len(self.masks)
                and 0 <= column < len(self.masks[0])
                and self.masks[row][column] & bit
            ):
                return True
        return False


def length(start: Hole, end: Hole) -> int:
    """Return the distance of two holes in units of 2^-20 of a square, rounded down.

    >>> length((0, 0), (6, 8)) == 5 * LENGTH_UNIT
    True
    """
    return _length(end[0] - start[0], end[1] - start[1])


@cache
def _length(dx: int, dy: int) -> int:
    return isqrt((dx * dx + dy * dy) * LENGTH_UNIT**2 // HALVES**2)


def cloth_of(chart: Chart) -> Cloth:
    """Return what the finished chart covers."""
    masks = [_mask(arrangement) for arrangement in chart.arrangements]
    return Cloth(tuple(bytes(masks[number] for number in row) for row in chart.squares.tolist()))


def _mask(arrangement: Arrangement) -> int:
    """Return the octants that a square's stitches cover; two that share it cover all."""
    if any(stitch.corner is None for stitch in arrangement):
        return _ALL
    if len(arrangement) == 2 and arrangement[0].kind is StitchKind.THREE_QUARTER:
        return _ALL
    mask = 0
    for stitch in arrangement:
        if stitch.corner is not None:
            table = HALF_OCTANTS if stitch.kind is StitchKind.THREE_QUARTER else QUADRANT_OCTANTS
            for octant in table[stitch.corner]:
                mask |= 1 << octant
    return mask


@cache
def _pieces(x: int, y: int, dx: int, dy: int) -> tuple[tuple[tuple[int, tuple[Place, ...]], ...], int]:
    """Return the pieces of a line in single octants, and how many shares the whole line has.

    The line starts at half squares x, y (0 or 1 each) of square 0, 0. A piece is how many shares of the line
    it is, and its octants as (row, column, bit): two where it runs along their border.
    """
    whole = lcm(*(abs(n) for n in (dx, dy, dx + dy, dx - dy) if n))
    cuts = {0, whole}
    for offset, step, stride in ((x, dx, 1), (y, dy, 1), (x + y, dx + dy, 2), (x - y, dx - dy, 2)):
        # the line crosses a border of octants where offset + step * share is a multiple of stride
        low, high = sorted((offset, offset + step))
        crossed = range(-(-low // stride) * stride, high + 1, stride) if step else range(0)
        cuts |= {(border - offset) * whole // step for border in crossed}
    ordered = sorted(cuts)
    aside = 1  # a shift to either side, far smaller than any piece
    unit = 64 * whole
    pieces = []
    for low, high in itertools.pairwise(ordered):
        mid_x, mid_y = x * unit + 32 * dx * (low + high), y * unit + 32 * dy * (low + high)
        sides = ((mid_x - dy * aside, mid_y + dx * aside), (mid_x + dy * aside, mid_y - dx * aside))
        places = tuple(sorted({_octant(px, py, unit) for px, py in sides}))
        pieces.append((high - low, places))
    return tuple(pieces), whole


def _octant(x: int, y: int, unit: int) -> Place:
    """Return the square and the octant, as a bit, of a point on no border; `unit` is half a square."""
    column, u = divmod(x, HALVES * unit)
    row, v = divmod(y, HALVES * unit)
    u, v = u - unit, v - unit
    if abs(v) > abs(u):
        octant = (0 if u > 0 else 7) if v < 0 else (3 if u > 0 else 4)
    else:
        octant = (1 if v < 0 else 2) if u > 0 else (6 if v < 0 else 5)
    return row, column, 1 << octant
