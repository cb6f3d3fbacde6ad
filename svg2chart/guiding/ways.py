"""The way to count to a place: from the centre of the chart, or from a corner of a block already stitched.

Corners of a block are the ends of its top and of its bottom row. One is named where the way from it is
shorter than that from the centre, no longer in either direction than from one heavy line of the chart to the
next, and the block is large enough to be found at a glance.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from svg2chart.chart import Chart
from svg2chart.guiding.legs import HALVES, Hole, Square
from svg2chart.guiding.names import way_words

FAR_SQUARES = 10  # as far as heavy lines of a printed chart are apart
LEAST_SQUARES = 10  # of a block that others are counted from; our choice, no source

_Place = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Ways:
    """What may be counted from: the centre, and corners of blocks by tens of rows and columns."""

    chart: Chart
    corners: dict[_Place, list[tuple[Square, str]]] = field(default_factory=dict)

    def add_block(self, number: int, squares: Iterable[Square]) -> None:
        """Take the corners of a block, which has this number and holds these squares, for the next ways."""
        ordered = sorted(set(squares))
        if len(ordered) < LEAST_SQUARES:
            return
        for name, row in (("top", ordered[0][0]), ("bottom", ordered[-1][0])):
            columns = [column for at, column in ordered if at == row]
            for end, column in (("left", columns[0]), ("right", columns[-1])):
                place = row // FAR_SQUARES, column // FAR_SQUARES
                corner = (row, column), f"the {end} end of the {name} row of block {number}"
                self.corners.setdefault(place, []).append(corner)

    def to_square(self, square: Square) -> str:
        """Return the way to count to a square from the nearest of all.

        Where the chart has an even number of columns its centre is a line between two, and the first square
        beside it is 1; else it is the middle column, which is 0. Rows alike.

        >>> import numpy as np
        >>> ways = Ways(Chart(threads=(), arrangements=((),), squares=np.zeros((20, 20), np.int32)))
        >>> ways.to_square((3, 13)), ways.to_square((10, 9))
        ('from the centre: 4 right, 7 up', 'from the centre: 1 left, 1 down')
        >>> ways.add_block(1, [(0, column) for column in range(20)])
        >>> ways.to_square((1, 19))
        'from the right end of the top row of block 1: 1 down'
        """
        row, column = square
        right, down = _count(column, self.chart.columns), _count(row, self.chart.rows)
        best, words = abs(right) + abs(down), _way("the centre", right, down)
        for (at_row, at_column), name in self._near(square):
            right, down = column - at_column, row - at_row
            if max(abs(right), abs(down)) <= FAR_SQUARES and abs(right) + abs(down) < best:
                best, words = abs(right) + abs(down), _way(name, right, down)
        return words

    def _near(self, square: Square) -> Iterator[tuple[Square, str]]:
        row, column = (at // FAR_SQUARES for at in square)
        for down in (-1, 0, 1):
            for right in (-1, 0, 1):
                yield from self.corners.get((row + down, column + right), ())

    def to_hole(self, hole: Hole) -> str:
        """Return the way to count from the centre of the chart to a hole, in sides of a square."""
        x, y = hole
        right, down = ((x * 2 - self.chart.columns * HALVES) / 4, (y * 2 - self.chart.rows * HALVES) / 4)
        return _way("the centre", right, down)


def _count(number: int, length: int) -> int:
    away = number - length // 2
    return away + 1 if length % 2 == 0 and away >= 0 else away


def _way(origin: str, right: float, down: float) -> str:
    way = way_words(right, down)
    return f"from {origin}: {way}" if way else f"at {origin}"
