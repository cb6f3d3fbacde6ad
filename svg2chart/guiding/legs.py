r"""What the needle does in front: every leg of every stitch, from where it comes up to where it goes down.

Holes are (x, y) in half squares, so that centres and side middles are whole numbers too. Lower legs of
crosses lie like "/" and upper legs like "\\", on the whole chart (a handbook's rule: all crosses lean one
way, the lower legs as writing does). The quarter of a three-quarter stitch is worked before its half: three
published guides have this order, three the other; this is the one that is told. It goes from
its corner down into the centre, where the needle can be seen.
"""

from dataclasses import dataclass
from enum import Enum
from functools import cache
from typing import NamedTuple

from svg2chart.chart import Backstitch, Corner, Knot, Stitch, StitchKind

Hole = tuple[int, int]
Square = tuple[int, int]

HALVES = 2  # half squares to the side of a square


class Part(Enum):
    """Which part of a stitch a leg is."""

    LOWER = "lower leg"
    UPPER = "upper leg"
    QUARTER = "quarter"
    HALF = "half"
    BACK = "backstitch"
    KNOT = "knot"


class Leg(NamedTuple):
    """One piece of thread in front: up at a hole, down at another (a knot: at the same).

    `of` is what it belongs to, `square` the (row, column) of a stitch in a square. A chart has some
    hundred thousand of them, which tuples are made several times as fast for.
    """

    part: Part
    of: Stitch | Backstitch | Knot
    up: Hole
    down: Hole
    square: Square | None = None

    @property
    def reversed(self) -> "Leg":
        """The same leg worked from its other end."""
        return Leg(self.part, self.of, self.down, self.up, self.square)


class Choice(NamedTuple):
    """The ways in which one leg may be worked; the needle's path takes one of them.

    Choices of the same `kind` lie alike in their squares. Lines and knots have no square.
    """

    legs: tuple[Leg, ...]
    square: Square = (0, 0)
    kind: int = 0


@dataclass(frozen=True, slots=True)
class SquareWork:
    """What one thread does in a square: `first` when the needle comes there, `last` on its way back.

    The lower leg of a full stitch and the whole of any fraction come first; the upper leg comes last.
    """

    first: tuple[Choice, ...]
    last: tuple[Choice, ...]

    @property
    def entering(self) -> Choice:
        """The leg with which the square is begun."""
        return self.first[0]

    @property
    def leaving(self) -> Choice:
        """The leg with which the square is finished."""
        return (*self.first, *self.last)[-1]


_RISING = (Corner.BOTTOM_LEFT, Corner.TOP_RIGHT)
_FALLING = (Corner.BOTTOM_RIGHT, Corner.TOP_LEFT)


def hole_at(square: Square, corner: Corner) -> Hole:
    """Return the hole at a corner of a square."""
    row, column = square
    right, down = corner.place
    return (column + right) * HALVES, (row + down) * HALVES


def hole_of(at: tuple[float, float]) -> Hole:
    """Return the hole of a chart's backstitch or knot."""
    return round(at[0] * HALVES), round(at[1] * HALVES)


def centre_of(square: Square) -> Hole:
    """Return the centre of a square."""
    row, column = square
    return column * HALVES + 1, row * HALVES + 1


def work_square(square: Square, stitches: tuple[Stitch, ...]) -> SquareWork:
    """Return how one thread's stitches in a square are worked."""
    first, last = _shapes(stitches)
    return SquareWork(tuple(_moved(s, square) for s in first), tuple(_moved(s, square) for s in last))


Shape = tuple[Part, Stitch, tuple[Hole, Hole], bool, int]
"""A leg in the square at 0, 0: its ends, whether it is worked either way, the kind of its choice."""


@cache
def _shapes(stitches: tuple[Stitch, ...]) -> tuple[tuple[Shape, ...], tuple[Shape, ...]]:
    first, last = [], []
    for stitch in stitches:
        if stitch.corner is None:
            first.append(_shape(Part.LOWER, stitch, _RISING))
            last.append(_shape(Part.UPPER, stitch, _FALLING))
            continue
        first.append(_shape(Part.QUARTER, stitch, (stitch.corner, None)))
        if stitch.kind is StitchKind.THREE_QUARTER:
            first.append(_shape(Part.HALF, stitch, _FALLING if stitch.corner in _RISING else _RISING))
    return tuple(first), tuple(last)


def _shape(part: Part, stitch: Stitch, ends: tuple[Corner, Corner | None]) -> Shape:
    """Return a leg from a corner to another, or into the centre, which is worked in this direction only."""
    up = hole_at((0, 0), ends[0])
    down = centre_of((0, 0)) if ends[1] is None else hole_at((0, 0), ends[1])
    return part, stitch, (up, down), ends[1] is not None, _KINDS.index((part, stitch.corner))


_KINDS = [(part, corner) for part in Part for corner in (None, *Corner)]


def _moved(shape: Shape, square: Square) -> Choice:
    part, stitch, ((up_x, up_y), (down_x, down_y)), either_way, kind = shape
    y, x = square[0] * HALVES, square[1] * HALVES
    up, down = (up_x + x, up_y + y), (down_x + x, down_y + y)
    leg = Leg(part, stitch, up, down, square)
    legs = (leg, Leg(part, stitch, down, up, square)) if either_way else (leg,)
    return Choice(legs, square, kind)
