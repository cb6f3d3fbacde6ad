"""How many parts and counters stitched letters have, many letters in one go."""

import numpy as np
from numpy.typing import NDArray

from svg2chart.runs import distinct, linked

Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

# the octants that meet at each corner and each side's middle, clockwise from the top left corner
_AT_POINTS = ((6, 7), (7, 0), (0, 1), (1, 2), (2, 3), (3, 4), (4, 5), (5, 6))

_STEPS = ((0, 1), (1, 0), (1, 1), (1, -1))
"""Rows and columns from a square to those that it is linked to."""


def parts_and_counters(shown: Bools) -> tuple[Ints, Ints]:
    """Return (letters,) each: parts that do not touch even at a point, and counters that are closed in.

    Args:
        shown: (letters, rows, columns, 8) which octants are stitched, those of a square touch each other.

    Parts are counted; counters then follow from the Euler number, points less edges plus faces
    of the closed region, which is parts less counters. Source: any topology text.
    """
    at_points = _at_points(shown)
    inked: Bools = np.asarray(shown.any(axis=-1))
    parts, _ = _parts(inked, *_links(at_points))
    counters: Ints = np.asarray(parts - _euler(shown, at_points, inked), np.int64)
    return parts, counters


def numbered_parts(shown: Bools) -> Ints:
    """Return (rows, columns) a number for the part of a letter that each square is of, -1 for bare ones.

    Args:
        shown: (rows, columns, 8) which octants are stitched.
    """
    inked: Bools = np.asarray(shown.any(axis=-1))
    _, parts = _parts(inked[None], *_links(_at_points(shown[None])))
    return np.asarray(np.where(inked, parts[0], -1))


def between_parts(shown: Bools) -> Bools:
    """Return (rows, columns) which squares of a letter lie at two of its parts: in or beside both.

    Args:
        shown: (rows, columns, 8) which octants are stitched.
    """
    numbers = np.pad(numbered_parts(shown), 1, constant_values=-1)
    around = np.lib.stride_tricks.sliding_window_view(numbers, (3, 3)).reshape(*shown.shape[:2], 9)
    first = around.max(axis=-1, keepdims=True)
    return np.asarray(((around >= 0) & (around != first)).any(axis=-1))


def parts_of_owners(shown: Bools, owners: Ints, count: int) -> Ints:
    """Return (letters, count) in how many parts the squares of each owner are, whatever else they touch.

    Args:
        shown: (letters, rows, columns, 8) which octants are stitched.
        owners: (rows, columns) whose each square is, stitched or not.
        count: of owners.
    """
    inked: Bools = np.asarray(shown.any(axis=-1))
    links = [
        link & (owners == np.roll(owners, (-down, -right), axis=(0, 1)))
        for link, (down, right) in zip(_links(_at_points(shown)), _STEPS, strict=True)
    ]
    _, parts = _parts(inked, *links)
    letter, square = np.divmod(distinct(parts[inked]), owners.size)
    found = np.bincount(letter * count + owners.ravel()[square], minlength=len(shown) * count)
    return found.reshape(len(shown), count)


def touches(shown: Bools, owners: Ints) -> Ints:
    """Return (letters, rows, columns) how many neighbours each square touches that are of another part.

    Args:
        shown: (letters, rows, columns, 8) which octants are stitched.
        owners: (rows, columns) the part that each square is of, stitched or not.
    """
    found = np.zeros(shown.shape[:3], np.int64)
    for link, (down, right) in zip(_links(_at_points(shown)), _STEPS, strict=True):
        apart = link & (owners != np.roll(owners, (-down, -right), axis=(0, 1)))
        found += apart
        found += np.roll(apart, (down, right), axis=(1, 2))
    return found


def _at_points(shown: Bools) -> Bools:
    return np.stack([shown[..., one] | shown[..., two] for one, two in _AT_POINTS], axis=-1)


def _euler(shown: Bools, at_points: Bools, inked: Bools) -> Ints:
    """Return points less edges plus faces of what is stitched, its rim included."""
    axes = (1, 2, 3)
    letters, rows, columns, _ = shown.shape
    corners = np.zeros((letters, rows + 1, columns + 1), np.bool_)
    corners[:, :-1, :-1] |= at_points[..., 0]
    corners[:, :-1, 1:] |= at_points[..., 2]
    corners[:, 1:, 1:] |= at_points[..., 4]
    corners[:, 1:, :-1] |= at_points[..., 6]
    level = np.zeros((letters, rows + 1, columns, 3), np.bool_)  # a side's middle and its two halves
    level[:, :-1] |= np.stack([at_points[..., 1], shown[..., 7], shown[..., 0]], axis=-1)
    level[:, 1:] |= np.stack([at_points[..., 5], shown[..., 4], shown[..., 3]], axis=-1)
    upright = np.zeros((letters, rows, columns + 1, 3), np.bool_)
    upright[:, :, :-1] |= np.stack([at_points[..., 7], shown[..., 6], shown[..., 5]], axis=-1)
    upright[:, :, 1:] |= np.stack([at_points[..., 3], shown[..., 1], shown[..., 2]], axis=-1)
    points = corners.sum(axis=(1, 2)) + inked.sum(axis=(1, 2))
    points += level[..., 0].sum(axis=(1, 2)) + upright[..., 0].sum(axis=(1, 2))
    edges = (shown | np.roll(shown, -1, axis=-1)).sum(axis=axes)
    edges += level[..., 1:].sum(axis=axes) + upright[..., 1:].sum(axis=axes)
    return np.asarray(points - edges + shown.sum(axis=axes), np.int64)


def _links(at_points: Bools) -> tuple[Bools, Bools, Bools, Bools]:
    """Return whether squares touch the one to the right, below, below right and below left."""
    right = np.zeros(at_points.shape[:3], np.bool_)
    below, below_right, below_left = right.copy(), right.copy(), right.copy()
    right[:, :, :-1] = (at_points[:, :, :-1, [2, 3, 4]] & at_points[:, :, 1:, [0, 7, 6]]).any(axis=-1)
    below[:, :-1] = (at_points[:, :-1, :, [6, 5, 4]] & at_points[:, 1:, :, [0, 1, 2]]).any(axis=-1)
    below_right[:, :-1, :-1] = at_points[:, :-1, :-1, 4] & at_points[:, 1:, 1:, 0]
    below_left[:, :-1, 1:] = at_points[:, :-1, 1:, 6] & at_points[:, 1:, :-1, 2]
    return right, below, below_right, below_left


def _parts(
    inked: Bools, right: Bools, below: Bools, below_right: Bools, below_left: Bools
) -> tuple[Ints, Ints]:
    """Return (letters,) how many parts squares make that touch; and the first square of each one's part.

    (letters, rows, columns) squares are numbered through all letters. Squares that touch along a row are one
    run; runs are linked with each other.
    """
    columns = inked.shape[2]
    follows = np.roll(right.ravel(), 1)
    run_of = np.cumsum(~follows) - 1
    starts = np.flatnonzero(~follows)
    pairs = []
    for link, step in ((below, columns), (below_right, columns + 1), (below_left, columns - 1)):
        squares = np.flatnonzero(link)
        pairs.append(run_of[squares] * len(starts) + run_of[squares + step])
    one, other = np.divmod(distinct(np.concatenate(pairs)), len(starts))
    firsts = starts[linked(one, other, len(starts))[run_of]].reshape(inked.shape)
    is_first = inked & (firsts == np.arange(inked.size).reshape(inked.shape))
    return is_first.sum(axis=(1, 2)), firsts
