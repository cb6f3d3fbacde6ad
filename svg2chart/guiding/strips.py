"""The squares of one thread as strips: squares side by side in one row. Strips that touch make up an area."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from svg2chart.chart import Chart, Stitch
from svg2chart.guiding.cloth import START_BARE
from svg2chart.guiding.legs import Square


@dataclass(frozen=True, slots=True)
class Strip:
    """Squares side by side, from the first to the last column."""

    row: int
    first: int
    last: int

    def nearest(self, column: int) -> int:
        """Return the column of the strip that is nearest to a column."""
        return min(max(column, self.first), self.last)


@dataclass(frozen=True, slots=True)
class Link:
    """A way from a square of one strip to a square of another; `bare` is what lies over bare cloth.

    `bare` is in units of 2^-20 of a square: 0 between strips that touch.
    """

    square: Square
    other: Square
    bare: int = 0

    @property
    def is_carry(self) -> bool:
        """Whether the squares do not touch."""
        return max(abs(self.square[0] - self.other[0]), abs(self.square[1] - self.other[1])) > 1

    @property
    def is_gone_once(self) -> bool:
        """Whether the thread shows so much that to go there and back would cost more than a start."""
        return 2 * self.bare > START_BARE

    @property
    def reversed(self) -> "Link":
        """The same way back."""
        return Link(self.other, self.square, self.bare)


def squares_of(chart: Chart, thread: int) -> dict[Square, tuple[Stitch, ...]]:
    """Return the squares in which a thread is stitched, by rows, with its stitches there."""
    held = [tuple(stitch for stitch in a if stitch.thread == thread) for a in chart.arrangements]
    holds = np.array([bool(stitches) for stitches in held])[chart.squares]
    return {
        (row, column): held[chart.squares[row, column]]
        for row, column in zip(*(axis.tolist() for axis in np.nonzero(holds)), strict=True)
    }


def strips_of(squares: Iterable[Square]) -> list[Strip]:
    """Return the strips of squares that come row by row, from the left."""
    strips: list[Strip] = []
    for row, column in squares:
        if strips and strips[-1].row == row and strips[-1].last == column - 1:
            strips[-1] = Strip(row, strips[-1].first, column)
        else:
            strips.append(Strip(row, column, column))
    return strips


def touching(strips: list[Strip]) -> list[list[int]]:
    """Return for each strip the strips that touch it, at a side or a corner, in their order."""
    found: list[list[int]] = [[] for _ in strips]
    low = 0
    for i, strip in enumerate(strips):
        # strips before `low` end above or left of everything that strips from here on can touch
        while (strips[low].row, strips[low].last + 1) < (strip.row - 1, strip.first):
            low += 1
        j = low
        while strips[j].row < strip.row and strips[j].first <= strip.last + 1:
            found[i].append(j)
            found[j].append(i)
            j += 1
    return [sorted(others) for others in found]


def areas_of(neighbours: list[list[int]]) -> list[int]:
    """Return for each strip the number of the area it belongs to; areas are numbered by their first strip.

    >>> areas_of([[2], [], [0]])
    [0, 1, 0]
    """
    area = [-1] * len(neighbours)
    count = 0
    for first in range(len(neighbours)):
        if area[first] >= 0:
            continue
        waiting = [first]
        area[first] = count
        while waiting:
            for other in neighbours[waiting.pop()]:
                if area[other] < 0:
                    area[other] = count
                    waiting.append(other)
        count += 1
    return area
