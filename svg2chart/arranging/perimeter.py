"""How much edge the drawing itself has around each square."""

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.patterns import LENGTH_UNIT
from svg2chart.octants.areas import VisibleAreas
from svg2chart.octants.windings import OCTANTS

Ints = NDArray[np.int64]


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
    rows, columns = areas.solid.shape
    total = np.zeros((2 * rows + 3, 2 * columns + 3), np.int64)
    by_colour = np.argsort(areas.colour, kind="stable")
    bounds = np.searchsorted(areas.colour[by_colour], np.arange(len(areas.colours) + 1))
    for colour in range(len(areas.colours)):
        entries = by_colour[bounds[colour] : bounds[colour + 1]]
        share = _quadrant_shares(areas, colour, entries)
        above, below = share[:-1], share[1:]
        across = above[:, 1:] - above[:, :-1] + below[:, 1:] - below[:, :-1]
        down = below[:, 1:] - above[:, 1:] + below[:, :-1] - above[:, :-1]
        # gradients are half these sums; a corner stands for a quadrant, half a square wide; half a line each
        at = np.nonzero((across != 0) | (down != 0))
        total[at] += np.rint(np.hypot(across[at], down[at]) * (LENGTH_UNIT / 8)).astype(np.int64)
    # a quadrant corner belongs to the squares around it: four at a hole, two on a side, one in the middle
    spread = np.zeros((2 * rows + 4, 2 * columns + 4), np.int64)
    for i in (0, 1):
        for j in (0, 1):
            spread[i : i + total.shape[0], j : j + total.shape[1]] += total
    by_square = spread.reshape(rows + 2, 2, columns + 2, 2).sum(axis=(1, 3))
    padded = np.pad(by_square, 1)
    around = sum(padded[i : i + rows + 2, j : j + columns + 2] for i in range(3) for j in range(3))
    return np.asarray(around) // (4 * 9)


def _quadrant_shares(areas: VisibleAreas, colour: int, entries: Ints) -> NDArray[np.float64]:
    """Return which part of each quadrant shows the colour, with a rim of bare quadrants two wide."""
    rows, columns = areas.solid.shape
    share = np.zeros((rows, 2, columns, 2))
    share[...] = (areas.solid == colour)[:, None, :, None]
    row, column = np.divmod(areas.square[entries], columns)
    octants = areas.octants[entries]
    for down, right in np.ndindex(2, 2):
        area = octants[:, OCTANTS[down, right]].sum(axis=1)
        share[row, down, column, right] = np.rint(area * 4 * 2.0**20) / 2.0**20
    return np.pad(share.reshape(2 * rows, 2 * columns), 2, constant_values=float(colour == 0))
