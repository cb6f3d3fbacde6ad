r"""What the needle does in front: every leg of every stitch, from where it comes up to where it goes down.

Holes are (x, y) in half squares, so that centres and side middles are whole numbers too. Lower legs of
crosses lie like "/" and upper legs like "\\", on the whole chart (a handbook's rule: all crosses lean one
way, the lower legs as writing does). The quarter of a three-quarter stitch is worked before its half: three
published guides have this order, three the other; this is the one that is told. It goes from
its corner down into the centre, where the needle can be seen.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """One piece of thread in front: up at a hole, down at another (a knot: at the same).

    `of` is what it belongs to, `square` the (row, column) of a stitch in a square.
    """

    part: Part
    of: Stitch | Backstitch | Knot
    up: Hole
    down: Hole
    square: Square | None = None

    @property
    def reversed(self) -> "Leg":
        """The same leg worked from its other end."""
        return Leg(part=self.part, of=self.of, up=self.down, down=self.up, square=self.square)


Choice = tuple[Leg, ...]
"""The ways in which one leg may be worked; the needle's path takes one of them."""


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


def work_square(square: Square, stitches: Sequence[Stitch]) -> SquareWork:
    """Return how one thread's stitches in a square are worked."""
    upper = [_either_way(square, s, Part.UPPER, _FALLING) for s in stitches if s.corner is None]
    return SquareWork(tuple(_first_legs(square, stitches)), tuple(upper))


def _first_legs(square: Square, stitches: Sequence[Stitch]) -> list[Choice]:
    choices: list[Choice] = []
    for stitch in stitches:
        if stitch.corner is None:
            choices.append(_either_way(square, stitch, Part.LOWER, _RISING))
            continue
        up, down = hole_at(square, stitch.corner), centre_of(square)
        choices.append((Leg(part=Part.QUARTER, of=stitch, square=square, up=up, down=down),))
        if stitch.kind is StitchKind.THREE_QUARTER:
            ends = _FALLING if stitch.corner in _RISING else _RISING
            choices.append(_either_way(square, stitch, Part.HALF, ends))
    return choices


def _either_way(square: Square, stitch: Stitch, part: Part, ends: tuple[Corner, Corner]) -> Choice:
    up, down = (hole_at(square, corner) for corner in ends)
    leg = Leg(part=part, of=stitch, square=square, up=up, down=down)
    return leg, leg.reversed
