"""How much edge the drawing itself has around each square."""

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.patterns import LENGTH_UNIT
from svg2chart.octants.areas import MIXED, VisibleAreas
from svg2chart.octants.stacks import BARE
from svg2chart.octants.windings import OCTANTS
from svg2chart.runs import begins, in_order

Ints = NDArray[np.int64]

SHARE_UNIT = 1 << 20
"""Shares of quadrants are whole multiples of 2^-20, so that sums do not depend on their order."""


def edge_lengths(areas: VisibleAreas) -> Ints:
    """Return the length of the lines between colours around each square, in LENGTH_UNIT.

    Shape (rows + 2, columns + 2): a rim of one square lies around the chart. It is the mean over the
    3 by 3 squares around each of the lines in them.

    The length of a region's outline is the total variation of its indicator function (co-area formula,
    any text on functions of bounded variation). Here it is taken from the areas in quadrants: at each
    quadrant corner the gradient of the four areas around it. It is exact for edges along the grid and at
    45 degrees through holes, within a tenth for others, and too small for parts thinner than half a square.
    Each line lies between two colours, so the sum over colours is halved.
    """
    by_square = _at_corners(areas)
    # a quadrant corner belongs to the squares around it: four at a hole, two on a side, one in the middle
    for _ in range(2):
        by_square = (by_square[:-2:2] + 2 * by_square[1::2] + by_square[2::2]).T
    around = np.pad(by_square, 1)
    for _ in range(2):
        around = (around[:-2] + around[1:-1] + around[2:]).T
    return np.ascontiguousarray(around // (4 * 9))


def _at_corners(areas: VisibleAreas) -> Ints:
    """Return the length of the lines at each corner of quadrants, of the squares of the chart and its rim."""
    solid = np.pad(areas.solid, 1, constant_values=BARE)
    meeting = _where_colours_meet(solid)
    square, colour, shares = _entries(areas, solid, meeting)
    row, column = np.divmod(square, solid.shape[1])
    first = 2 * row * meeting.shape[1] + 2 * column
    parts = []
    for i, j in np.ndindex(3, 3):
        corner = first + (i * meeting.shape[1] + j)
        kept = np.flatnonzero(meeting.take(corner))
        # the quadrants of the square at this corner: the left count against the right, the upper against the
        # lower ones; both sums in one number, real and imaginary
        near = [(m, n) for m in (0, 1) for n in (0, 1) if i - 1 <= m <= i and j - 1 <= n <= j]
        gradient = sum(
            shares[m, n].take(kept) * complex(1 if n == j else -1, 1 if m == i else -1) for m, n in near
        )
        parts.append((corner.take(kept) * len(areas.colours) + colour.take(kept), gradient))
    key, gradient = (np.concatenate(column) for column in zip(*parts, strict=True))
    order = in_order(key)
    key = key[order]
    starts = np.flatnonzero(begins(key))
    if not len(starts):
        return np.zeros(meeting.shape, np.int64)
    gradient = np.add.reduceat(gradient[order], starts)
    # gradients are half these sums; a corner stands for a quadrant, half a square wide; half a line each
    length = np.rint(np.hypot(gradient.real, gradient.imag) * (LENGTH_UNIT / 8))
    at = key[starts] // len(areas.colours)
    # whole numbers below 2^53, which sums of float64 keep
    return np.bincount(at, length, meeting.size).astype(np.int64).reshape(meeting.shape)


def _where_colours_meet(solid: NDArray[np.integer]) -> NDArray[np.bool_]:
    """Return at which corners of quadrants, (2 * rows + 1, 2 * columns + 1), several colours may be seen."""
    rows, columns = solid.shape
    mixed = solid == MIXED
    meeting = np.zeros((2 * rows + 1, 2 * columns + 1), np.bool_)
    meeting[1::2, 1::2] = mixed
    upright = (solid[:, 1:] != solid[:, :-1]) | mixed[:, 1:]
    level = (solid[1:] != solid[:-1]) | mixed[1:]
    meeting[1::2, 2:-1:2], meeting[2:-1:2, 1::2] = upright, level
    meeting[2:-1:2, 2:-1:2] = upright[:-1] | upright[1:] | level[:, :-1] | level[:, 1:]
    return meeting


def _entries(
    areas: VisibleAreas, solid: NDArray[np.integer], meeting: NDArray[np.bool_]
) -> tuple[Ints, Ints, NDArray[np.float64]]:
    """Return square, colour and (2, 2, n) shares of quadrants of all that is seen where colours meet."""
    rows, columns = solid.shape
    around = [meeting[i : i + 2 * rows : 2, j : j + 2 * columns : 2] for i in range(3) for j in range(3)]
    whole = np.flatnonzero(np.any(around, axis=0) & (solid != MIXED))
    row, column = np.divmod(areas.square, columns - 2)
    shares = np.ones((2, 2, len(areas.square) + len(whole)))
    for down, right in np.ndindex(2, 2):
        area = areas.octants[:, OCTANTS[down, right]].sum(axis=1)
        shares[down, right, : len(area)] = np.rint(area * 4 * SHARE_UNIT) / SHARE_UNIT
    square = np.concatenate([(row + 1) * columns + column + 1, whole])
    return square, np.concatenate([areas.colour, solid.ravel()[whole]]), shares
