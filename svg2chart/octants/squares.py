"""The quadrants of each square gathered, and the stacks united that show the same colour."""

import numpy as np
from numpy.typing import NDArray

from svg2chart.octants.areas import MIXED, VisibleAreas, in_groups
from svg2chart.octants.quadrants import Areas
from svg2chart.octants.stacks import BARE, Stacks
from svg2chart.octants.windings import HALF, OCTANTS, ROUNDING
from svg2chart.runs import totals

_LEFT, _RIGHT = OCTANTS.reshape(4, 2).T


def square_areas(dense: NDArray[np.int32], areas: Areas, stacks: Stacks, *, columns: int) -> VisibleAreas:
    """Return what squares show from what their quadrants show.

    Args:
        dense: the stack of each quadrant, by rows of 2 * columns, MIXED where there are several.
        areas: of the stacks of those.
        stacks: all stacks.
        columns: columns of squares.
    """
    solid = _solid(dense.reshape(-1, 2, columns, 2))
    width = 2 * columns
    row, column = np.divmod(np.flatnonzero(solid == MIXED), columns)
    whole = (2 * (row * width + column)[:, None] + np.array([0, 1, width, width + 1])).ravel()
    stack = dense.take(whole)
    alone = np.flatnonzero(stack != MIXED)
    shown = np.flatnonzero((areas.left > ROUNDING) | (areas.right > ROUNDING))
    rest = np.full(len(alone), HALF)
    quadrant = np.concatenate([areas.quadrant.take(shown), whole.take(alone)])
    stack = np.concatenate([areas.stack.take(shown), stack.take(alone)])
    left = np.concatenate([areas.left.take(shown), rest]) / 4  # in squares
    right = np.concatenate([areas.right.take(shown), rest]) / 4

    tops = stacks.tops()
    seen = totals(stack, left + right, len(tops))
    seen += np.bincount(solid.ravel() + 1, minlength=len(tops) + 1)[1:]  # without the mixed, which are -1
    colour_of = stacks.colours_of(seen > 0.0)
    row = quadrant // width
    column = quadrant - row * width
    top, square = tops.take(stack), row // 2 * columns + column // 2
    level = stacks.levels(stack)
    place, upper = in_groups(square, colour_of.take(stack), level)
    quarter = 2 * (row & 1) + (column & 1)  # numpy divides whole numbers slowly
    octant = np.concatenate([8 * place + _LEFT.take(quarter), 8 * place + _RIGHT.take(quarter)])
    octants = totals(octant, np.concatenate([left, right]), 8 * len(upper))
    colour = colour_of.take(stack.take(upper))
    filled = np.where(solid == MIXED, MIXED, colour_of.take(solid)).astype(np.int32)
    return VisibleAreas(
        colours=stacks.colours(),
        solid=filled,
        filled_by=np.where(filled > BARE, tops.take(solid), -1).astype(np.int32),
        square=square.take(upper),
        colour=colour,
        order=np.where(colour == BARE, -1, top.take(upper)),
        level=np.where(colour == BARE, 0, level.take(upper)),
        octants=octants.reshape(-1, 8),
        shapes=totals(tops + 1, seen, len(stacks.opaque) + 1)[1:],
    ).settled()


def _solid(stacks: NDArray[np.int32]) -> NDArray[np.int32]:
    """Return the stack of squares that show one, else MIXED, from (rows, 2, columns, 2) that of quadrants."""
    corner = stacks[:, 0, :, 0]
    rows_alike = stacks[:, 0] == stacks[:, 1]
    alike = rows_alike[..., 0] & rows_alike[..., 1] & (stacks[:, 0, :, 1] == corner)
    return np.where(alike, corner, np.int32(MIXED))
