"""Lines of letters at their anchors: none of those on one baseline comes to lie over the next.

Fitted letters can be wider than drawn ones, so that what is drawn just apart would not be so on the squares.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from math import floor

from svg2chart.letterforms import ANCHORED
from svg2chart.letters.placed import LEAST_WORD_GAP, SetLetter, nearest_hole

_OVER = -0.3
"""Lines whose ink overlaps by more heights of a capital are drawn over each other, and stay so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A line of letters on the squares.

    row: of its baseline. begin, end: from where to where its ink is drawn. high: of capitals. All in squares.
    """

    letters: Sequence[SetLetter]
    row: int
    begin: float
    end: float
    high: float
    anchor: str

    @property
    def left(self) -> int:
        """Its first column."""
        return min(one.column for one in self.letters)

    @property
    def right(self) -> int:
        """The column after its last one."""
        return max(one.end for one in self.letters)


def anchored(
    letters: Sequence[SetLetter], *, row: int, begin: float, end: float, high: float, anchor: str
) -> Placed:
    """Return letters as a line whose ink lies where it is anchored; the rest as `Placed` has it."""
    left, right = min(one.column for one in letters), max(one.end for one in letters)
    share = ANCHORED[anchor]
    shift = nearest_hole(begin + share * (end - begin) - (left + share * (right - left)))
    moved = [one.moved(right=shift) for one in letters]
    return Placed(letters=moved, row=row, begin=begin, end=end, high=high, anchor=anchor)


def cleared(lines: Sequence[Placed]) -> list[SetLetter]:
    """Return the letters of lines, those on one baseline moved along it until they are apart.

    They come no nearer than they are drawn, nor than words if they are drawn so far apart.
    """
    moves = [0] * len(lines)
    order = sorted(range(len(lines)), key=lambda index: (lines[index].row, lines[index].begin, index))
    for _, held in groupby(order, key=lambda index: lines[index].row):
        level = list(held)
        for index, move in zip(level, _moves([lines[index] for index in level]), strict=True):
            moves[index] = move
    return [one.moved(right=move) for line, move in zip(lines, moves, strict=True) for one in line.letters]


def _moves(lines: Sequence[Placed]) -> list[int]:
    """Return how far to the right each of the lines on one baseline moves, from the left."""
    pushed = _pushed(lines, [0] * len(lines))
    begun = [0] * len(lines)
    first = 0
    for index in range(1, len(lines) + 1):
        if index == len(lines) or not pushed[index]:  # all that were pushed on together
            # of the room that is lacking lines take that part on the left which lies before their anchor
            back = floor(ANCHORED[lines[index - 1].anchor] * max(pushed[first:index]))
            begun[first:index] = [-back] * (index - first)
            first = index
    return _pushed(lines, begun)


def _pushed(lines: Sequence[Placed], begun: Sequence[int]) -> list[int]:
    """Return how far each line is moved after it is pushed on by those before it."""
    moves = list(begun)
    for index, (before, after) in enumerate(pairwise(lines), start=1):
        gap = after.begin - before.end
        if gap >= _OVER * min(before.high, after.high):
            least = min(LEAST_WORD_GAP, max(1, floor(gap)))
            moves[index] = max(moves[index], before.right + moves[index - 1] + least - after.left)
    return moves
