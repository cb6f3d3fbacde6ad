"""Round shapes within others go with the outermost, so that none comes to lie nearer to one side of it.

What has one middle with it becomes whole squares wide where it can: then a ring is as wide all around as a
row of full stitches.
"""

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.alike import SAME, farthest_whole
from svg2chart.fitting.standing import Standing

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

MOST_CHANGE = 0.85
"""No width within another changes by more, in squares: by less than half a square on either side. A disc that
is not a whole number wide has the corners of a box where it is small; our own choice."""

MOST_PART = 1 / 8
"""Nor by more than such a part of it, where that is more; our own choice."""


def ways_within(shapes: Standing, ways: Floats, farthest: float) -> Floats:
    """Return the ways of the boxes of all shapes, those within others as these are stretched.

    Args:
        shapes: that stand by themselves.
        ways: (n, 4) how far the boxes move of those that go by themselves.
        farthest: how far other sides may move, in squares.
    """
    box, result, most = shapes.boxes.at, ways.copy(), farthest_whole(farthest)
    size = np.rint((box[:, 2:] - box[:, :2]) / SAME)
    within = np.flatnonzero(shapes.around >= 0)
    # from the outermost inwards, equal ones of equal outermost ones together
    kinds = np.column_stack([-size[within].sum(axis=1), size[within], size[shapes.around[within]]])
    number = np.unique(kinds, axis=0, return_inverse=True)[1].ravel()
    for group in range(int(number.max(initial=-1)) + 1):
        own = within[number == group]
        outer = shapes.around[own]
        before = shapes.next_around[own]
        goal, whole, fits = _whole(box[own], box[outer], result[outer], box[before], result[before])
        fits &= np.abs(whole - box[own]).max() <= most
        result[own] = np.clip((whole if fits.all() else goal) - box[own], -most, most)
    return result


def _whole(
    box: Floats, outer: Floats, way: Floats, around: Floats, way_around: Floats
) -> tuple[Floats, Floats, Bools]:
    """Return the boxes within others as these are stretched, and those of whole squares around one middle.

    Third comes whether the latter are as good.

    Args:
        box: (n, 4) left, top, right, bottom, in squares.
        outer: (n, 4) of the outermost shape around each.
        way: (n, 4) how far that moves.
        around: (n, 4) of the next shape around each.
        way_around: (n, 4) how far that moves.
    """
    now, low = outer + way, np.tile(outer[:, :2], 2)
    part = (box - low) / np.tile(outer[:, 2:] - outer[:, :2], 2)
    goal = (1 - part) * np.tile(now[:, :2], 2) + part * np.tile(now[:, 2:], 2)
    middle, wide = (now[:, :2] + now[:, 2:]) / 2, goal[:, 2:] - goal[:, :2]
    wider = 2 * (np.rint(wide / 2 - middle) + middle)
    whole = np.concatenate([middle - wider / 2, middle + wider / 2], axis=1)
    gap = np.minimum((around[:, 2:] - around[:, :2] - box[:, 2:] + box[:, :2]) / 2, 1.0)
    fits = (
        (np.abs((goal[:, :2] + goal[:, 2:]) / 2 - middle) <= SAME)
        & (np.abs(whole[:, 2:] - np.rint(whole[:, 2:])) <= SAME)
        & (wider >= 1)
        & (np.abs(wider - wide) <= np.maximum(MOST_CHANGE, MOST_PART * wide) + SAME)
        & (whole[:, :2] - (around + way_around)[:, :2] >= gap - SAME)
    )
    # what is as wide as high stays so
    is_square, stays_square = (np.abs(np.diff(each))[:, 0] <= SAME for each in (wide, wider))
    return goal, whole, np.asarray(fits.all(axis=1) & (stays_square | ~is_square))
