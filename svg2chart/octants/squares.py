"""The quadrants of each square gathered, and the stacks united that show the same colour."""

import numpy as np
from numpy.typing import NDArray

from svg2chart.octants.areas import MIXED, VisibleAreas, in_groups
from svg2chart.octants.quadrants import Areas
from svg2chart.octants.stacks import BARE, Stacks
from svg2chart.octants.windings import HALF, OCTANTS, ROUNDING
from svg2chart.runs import totals


def square_areas(dense: NDArray[np.int32], areas: Areas, stacks: Stacks, *, columns: int) -> VisibleAreas:
    """Return what squares show from what their quadrants show.

    Args:
        dense: the stack of each quadrant, by rows of 2 * columns, MIXED where there are several.
        areas: of the stacks of those.
        stacks: all stacks.
        columns: columns of squares.
    """
    width = 2 * columns
    quarters = dense.reshape(-1, 2, columns, 2)
    corner = quarters[:, 0, :, 0]
    alike = (quarters[:, 0, :, 1] == corner) & (quarters[:, 1, :, 0] == corner)
    solid = np.where(alike & (quarters[:, 1, :, 1] == corner), corner, MIXED)

    squares = np.flatnonzero(solid == MIXED)
    first = squares // columns * 2 * width + squares % columns * 2
    whole = (first[:, None] + np.array([0, 1, width, width + 1])).ravel()
    whole = whole[dense[whole] != MIXED]
    traces = (areas.left <= ROUNDING) & (areas.right <= ROUNDING)
    rest = np.full(len(whole), HALF)
    quadrant = np.concatenate([areas.quadrant[~traces], whole])
    stack = np.concatenate([areas.stack[~traces], dense[whole]])
    left = np.concatenate([areas.left[~traces], rest]) / 4  # in squares
    right = np.concatenate([areas.right[~traces], rest]) / 4

    tops = stacks.tops()
    seen = totals(stack, left + right, len(tops))
    seen += np.bincount(solid[solid != MIXED], minlength=len(tops))
    colour_of = stacks.colours_of(seen > 0.0)
    row, column = np.divmod(quadrant, width)
    square, colour, top = row // 2 * columns + column // 2, colour_of[stack], tops[stack]
    place, upper = in_groups(square, colour, top)
    octant = 8 * place[:, None] + OCTANTS[row % 2, column % 2]
    octants = totals(octant.T.ravel(), np.concatenate([left, right]), 8 * len(upper))
    return VisibleAreas(
        colours=stacks.colours(),
        solid=np.where(solid == MIXED, MIXED, colour_of[solid]).astype(np.int32),
        square=square[upper],
        colour=colour[upper],
        order=np.where(colour[upper] == BARE, -1, top[upper]),
        octants=octants.reshape(-1, 8),
        shapes=totals(tops + 1, seen, len(stacks.opaque) + 1)[1:],
    ).settled()
