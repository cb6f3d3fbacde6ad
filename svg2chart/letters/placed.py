"""Letters at their places on the squares, and lines of them."""

from dataclasses import dataclass, replace
from math import floor

import numpy as np
from numpy.typing import NDArray

Bools = NDArray[np.bool_]
Hole = tuple[int, int]

LEAST_SPACE = 2
"""A space adds at least so many squares to the white between two letters. Our own choice."""
LEAST_WORD_GAP = 3
"""Words stay at least so many bare squares apart, as in our lowest alphabets, whose letters are one apart:
the hook of an f would reach over the next word."""


def nearest_hole(place: float) -> int:
    """Return the hole line that a place is nearest to, half up: wherever the first hole of the grid lies."""
    return floor(place + 0.5)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class SetLetter:
    """A letter on the squares: its run and characters, its stitches, and where their first square lies.

    shown: (rows, columns, 8) which octants are stitched, of the box around the letter. lines, knots: the
    backstitch and the French knots, holes (x, y) from the upper left corner of the box.
    row: 0 is the first below the baseline. begins_word: whether there is a space before it.
    """

    run: int
    text: str
    shown: Bools
    lines: tuple[tuple[Hole, Hole], ...] = ()
    knots: tuple[Hole, ...] = ()
    row: int
    column: int
    begins_word: bool = False

    @property
    def end(self) -> int:
        """The column after its last one."""
        return self.column + int(self.shown.shape[1])

    @property
    def bottom(self) -> int:
        """The row after its last one."""
        return self.row + int(self.shown.shape[0])

    def moved(self, *, down: int = 0, right: int = 0) -> "SetLetter":
        """Return it so many squares lower and farther right."""
        return replace(self, row=self.row + down, column=self.column + right)


@dataclass(frozen=True, slots=True, kw_only=True)
class SetLine:
    """A line of letters, its first column 0, its baseline at row 0."""

    letters: tuple[SetLetter, ...]

    @property
    def width(self) -> int:
        """The columns that it takes."""
        return max((one.end for one in self.letters), default=0)
