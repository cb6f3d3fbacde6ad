"""How much edge the drawing itself has around each square."""

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from svg2chart.arranging.patterns import LENGTH_UNIT
from svg2chart.octants.areas import MIXED, VisibleAreas
from svg2chart.octants.stacks import BARE
from svg2chart.octants.windings import OCTANTS
from svg2chart.runs import begins

Ints = NDArray[np.int64]

SHARE_UNIT = 1 << 20
"""Shares of quadrants are whole multiples of 2^-20, so that sums do not depend on their order."""

SQUARES_AT_ONCE = 1 << 14
"""Of so many squares the numbers stay in the machine's fast memory. Our choice, no source."""

WEIGHTS = (1, 3, 4, 4, 4, 3, 1)
"""How much lines at the seven corners of quadrants count, each way, from one and a half squares before the
middle of a square to as far behind. Copies that lie a little otherwise on the squares come out alike more
often than with an even mean over three squares. Our choice, no source."""

_ACROSS = 1 << 32  # more than twice any sum of shares


def edge_lengths(areas: VisibleAreas) -> Ints:
    """Return the length of the lines between colours around each square, in LENGTH_UNIT.

    Shape (rows + 2, columns + 2): a rim of one square lies around the chart. It is the mean of the lines in
    the 3 by 3 squares around each, where those in the middle count most.

    The length of a region's outline is the total variation of its indicator function (co-area formula,
    any text on functions of bounded variation). Here it is taken from the areas in quadrants: at each
    quadrant corner the gradient of the four areas around it. It is exact for edges along the grid and at
    45 degrees through holes, within a tenth for others, and too small for parts thinner than half a square.
    Each line lies between two colours, so the sum over colours is halved.
    """
    solid = np.pad(areas.solid, 1, constant_values=BARE)
    high, wide = solid.shape
    row, column = np.divmod(areas.square, wide - 2)
    square = (row + 1) * wide + column + 1
    bands = []
    lot = max(1, SQUARES_AT_ONCE // wide)
    for top in range(0, high, lot):
        # what a square has depends on its neighbours, and what these have at their rims on the next ones
        first, last = max(top - 2, 0), min(top + lot + 2, high)
        own = slice(*np.searchsorted(square, [first * wide, last * wide]).tolist())
        seen = (square[own] - first * wide, areas.colour[own], areas.octants[own])
        bands.append(_by_square(solid[first:last], *seen)[top - first : top - first + lot])
    # a square holds four corners of quadrants
    return np.ascontiguousarray(np.concatenate(bands) * 4 // sum(WEIGHTS) ** 2)


def _by_square(solid: NDArray[np.integer], square: Ints, colour: Ints, octants: NDArray[np.float64]) -> Ints:
    """Return the sum of the weighted lines around each square of some rows.

    Args:
        solid: (rows, columns) the colour of squares that show one.
        square: (n,) the others, once for each colour seen, ascending.
        colour: (n,) these.
        octants: (n, 8) their areas, in squares.
    """
    result = np.pad(_at_corners(solid, square, colour, octants), 2)
    for _ in range(2):
        result = (sliding_window_view(result, len(WEIGHTS), axis=0)[::2] @ np.array(WEIGHTS)).T
    return result


def _at_corners(solid: NDArray[np.integer], square: Ints, colour: Ints, octants: NDArray[np.float64]) -> Ints:
    """Return the length of the lines at each corner of quadrants, from the same."""
    meeting = _where_colours_meet(solid)
    square, colour, shares = _entries(solid, meeting, square, colour, octants)
    row, column = np.divmod(square, solid.shape[1])
    first = 2 * row * meeting.shape[1] + 2 * column
    colours = int(colour.max(initial=0)) + 1
    parts = []
    for i, j in np.ndindex(3, 3):
        corner = first + (i * meeting.shape[1] + j)
        kept = np.flatnonzero(meeting.take(corner))
        key = corner.take(kept)
        key *= colours
        key += colour.take(kept)
        parts.append((key, _towards(shares, kept, i, j)))
    key, gradient = _summed(*(np.concatenate(column) for column in zip(*parts, strict=True)))
    across = (gradient + _ACROSS // 2) // _ACROSS
    down = gradient - across * _ACROSS
    # gradients are half these sums; a corner stands for a quadrant, half a square wide; half a line each
    length = np.rint(np.sqrt(across * across + down * down) * (LENGTH_UNIT / (8 * SHARE_UNIT)))
    # whole numbers below 2^53, which sums of float64 keep
    lengths = np.bincount(key // colours, length, meeting.size)
    return lengths.astype(np.int64).reshape(meeting.shape)


def _towards(shares: Ints, kept: Ints, i: int, j: int) -> Ints:
    """Return what squares add to the gradient at their corner of quadrants in row i and column j of three.

    Of the quadrants at the corner the left count against the right, the upper against the lower ones. Both
    sums are in one number, that from left to right in steps of _ACROSS.
    """
    result = np.zeros(len(kept), np.int64)
    for m, n in np.ndindex(2, 2):
        if i - 1 <= m <= i and j - 1 <= n <= j:
            share = shares[m, n].take(kept)
            share *= (_ACROSS if n == j else -_ACROSS) + (1 if m == i else -1)
            result += share
    return result


def _summed(key: Ints, values: Ints) -> tuple[Ints, Ints]:
    """Return the different keys, ascending, and the sum of the values of each."""
    # the keys of each corner of a square ascend: numpy's stable sort merges such runs
    order = np.argsort(key, kind="stable")
    key = key[order]
    starts = np.flatnonzero(begins(key))
    return key[starts], np.add.reduceat(values[order], starts) if len(starts) else values


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
    solid: NDArray[np.integer],
    meeting: NDArray[np.bool_],
    square: Ints,
    colour: Ints,
    octants: NDArray[np.float64],
) -> tuple[Ints, Ints, Ints]:
    """Return square, colour and (2, 2, n) shares of quadrants, whole, of what is seen where colours meet."""
    rows, columns = solid.shape
    around = [meeting[i : i + 2 * rows : 2, j : j + 2 * columns : 2] for i in range(3) for j in range(3)]
    whole = np.flatnonzero(np.any(around, axis=0) & (solid != MIXED))
    shares = np.full((2, 2, len(square) + len(whole)), SHARE_UNIT)
    for down, right in np.ndindex(2, 2):
        area = octants[:, OCTANTS[down, right]].sum(axis=1)
        shares[down, right, : len(area)] = np.rint(area * 4 * SHARE_UNIT)
    return np.concatenate([square, whole]), np.concatenate([colour, solid.ravel()[whole]]), shares
