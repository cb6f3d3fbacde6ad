r"""The points on the rims of squares, at which octants of one colour hold together.

0--1--2      Each octant ties two points of its square: octant 0, right of the top's middle, the points
|\7|0/|      1 and 2, octant i the points i + 1 and i + 2. Octants of one colour that share a point hold
7--+--3      together, within a square and from square to square.
|/ | \|
6--5--4
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import FACES, facing_steps

Bools = NDArray[np.bool_]
Bytes = NDArray[np.uint8]
Ints = NDArray[np.int64]

POINTS = ((-1, -1), (-1, 0), (-1, 1), (0, 1), (1, 1), (1, 0), (1, -1), (0, -1))
"""Down and right of the square's middle, in half squares."""

NEIGHBOURS = tuple((down, right) for down in (-1, 0, 1) for right in (-1, 0, 1) if down or right)
"""Rows and columns to the squares around one."""


BEYOND = 2
"""So many squares beyond its edges are counted as a chart's."""


_OCTANTS = np.arange(256, dtype=np.uint8)

POINTS_OF: Bytes = np.asarray(_OCTANTS << 1 | _OCTANTS >> 7 | _OCTANTS << 2 | _OCTANTS >> 6, np.uint8)
"""(256,) the points that octants tie, both as bits."""


def as_flags(points: Bytes) -> Bools:
    """Return (n, 8) points, or octants, from bits."""
    return np.unpackbits(points[:, None], axis=1, bitorder="little").view(np.bool_)


def ties_of(octants: Bytes) -> Bools:
    """Return (n, 8, 8) which points of a rim octants, as bits, tie to which others."""
    return _all_ties()[octants]


@cache
def _all_ties() -> Bools:
    """Return (256, 8, 8) what `ties_of` does, for all there are."""
    tied = np.zeros((256, 8, 8), np.bool_)
    for octant in range(8):
        one, other = (octant + 1) % 8, (octant + 2) % 8
        tied[:, one, other] = tied[:, other, one] = _OCTANTS >> octant & 1
    for between in range(8):
        tied |= tied[:, :, between, None] & tied[:, None, between]
    tied &= ~np.eye(8, dtype=np.bool_)
    return tied


@cache
def across(down: int, right: int) -> Bytes:
    """Return (256,) the points of a square that one around it shares, by the numbers that it has for them."""
    result = np.zeros(256, np.uint8)
    for number, (y, x) in enumerate(POINTS):
        if (beside := (y - 2 * down, x - 2 * right)) in POINTS:
            result |= (_OCTANTS >> number & 1) << POINTS.index(beside)
    return result


@cache
def at_corners(wide: int) -> tuple[tuple[int, int, int], ...]:
    """Return the octants around that share a corner with a square, but do not face it.

    Args:
        wide: how many squares there are to a row.

    Returns:
        For each the number of the point, the octant, and the step to its square.
    """
    facing = set(zip(FACES.tolist(), facing_steps(wide).tolist(), strict=True))
    at = [(down * wide + right, across(down, right)) for down, right in NEIGHBOURS]
    return tuple(
        (point, octant, step)
        for step, shared in at
        for point in (0, 2, 4, 6)
        for octant in range(8)
        if POINTS_OF[1 << octant] & shared[1 << point] and (octant, step) not in facing
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Rims:
    """Numbers for the points of a chart and for its squares, with BEYOND squares around it.

    columns: how many the chart has.
    """

    columns: int

    @property
    def wide(self) -> int:
        """How many numbers there are to half a square downwards."""
        return 2 * self.row + 1

    @property
    def row(self) -> int:
        """How many squares there are to a row."""
        return self.columns + 2 * BEYOND

    def padded(self, square: Ints) -> Ints:
        """Return squares (row * columns + column) as numbered with those beyond the edges counted in."""
        row, column = np.divmod(square, self.columns)
        return (row + BEYOND) * self.row + column + BEYOND

    def around(self, square: Ints) -> Ints:
        """Return (n, 8) the points of squares (row * columns + column)."""
        row, column = np.divmod(square, self.columns)
        middle = (2 * (row + BEYOND) + 1) * self.wide + 2 * (column + BEYOND) + 1
        steps = np.array([down * self.wide + right for down, right in POINTS])
        return np.asarray(middle[:, None] + steps)

    def tied(self, square: Ints, octant: Ints) -> Ints:
        """Return (2, n) the points that octants of squares tie."""
        points, row = self.around(square), np.arange(len(square))
        return np.stack([points[row, (octant + 1) % 8], points[row, (octant + 2) % 8]])

    def apart(self, one: Ints, other: Ints) -> NDArray[np.float64]:
        """Return (n, m) how far points are from each other, in half squares."""
        here, there = (np.stack(np.divmod(points, self.wide)) for points in (one, other))
        return np.asarray(np.hypot(*(here[:, :, None] - there[:, None])))
