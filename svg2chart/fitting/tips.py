r"""Where sides at 45 degrees go that meet in corners, so that each corner comes to a hole.

Two diagonals of holes that cross meet at a hole if both are even or both odd, counted from one hole; else
they meet in the middle of a square:

      .   .   .        .     .        . holes
         / \              ^
      ./  .  \.        ./   \.

So of all sides that hang together by corners either all go to even diagonals, or all to odd ones. Between two
that a side runs between the distance is the even one next to that drawn: a square stays a square.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.carrying import as_numbers
from svg2chart.fitting.choice import Choice, Pull

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

DIAGONAL = 0.0175
"""Sides that run within a degree of a usual slope are taken for it, in radians."""

FARTHEST_TIP = 1.0
"""No tip goes to a hole that is farther off in either direction, even if it stops on the way."""

FULL_FIT = 0.5
"""Where all may move so far, in squares, tips may go twice as far: then each can reach a hole. One that stops
short of its hole comes out blunt."""

STANDS_OVER = 3 / 16
"""A tip may stop on the way in if it stands over its hole by no more, in squares: that is not stitched."""

PARTS = 1 << 16
"""Places are decided on in so many parts of the way from one diagonal of holes to the next."""


# to where from a point sides may run, one bit each: up and right, down and right, down and left, up and left
_BITS = np.array([[8, 1], [4, 2]])
_INWARD = np.zeros((16, 2))
_INWARD[[3, 6, 12, 9]] = (1, 0), (0, 1), (-1, 0), (0, -1)


def tips_inward(point: Ints, way: Floats, count: int) -> Floats:
    """Return (count, 2) whither tips point from their end, in x or in y by one; nought for other points.

    A tip is where two sides at 45 degrees meet at a right angle, and no other.

    Args:
        point: (n,) where sides end.
        way: (n, 2) how each runs from there.
        count: of points.
    """
    sides = np.zeros(count, np.int64)
    right, down = (way > 0).T.astype(np.int64)
    is_diagonal = np.abs(np.abs(np.arctan2(way[:, 1], np.abs(way[:, 0]))) - np.pi / 4) < DIAGONAL
    np.bitwise_or.at(sides, point[is_diagonal], _BITS[down, right][is_diagonal])
    return _INWARD[sides]


def are_of_boxes(ends: Floats) -> Bools:
    """Return which sides, (n, 4), run from one tip to another that points across: two corners of a box."""
    at, point = np.unique(as_numbers(ends.reshape(-1, 2)), return_inverse=True)
    ways = np.stack([ends[:, 2:] - ends[:, :2], ends[:, :2] - ends[:, 2:]], axis=1).reshape(-1, 2)
    one, other = tips_inward(point, ways, len(at))[point].reshape(-1, 2, 2).transpose(1, 0, 2)
    is_tip = one.any(axis=1) & other.any(axis=1)
    return np.asarray(is_tip & ((one * other).sum(axis=1) == 0))


def nearest_alike(place: Floats, growing: Floats) -> list[Floats]:
    """Return the nearest even places, and the nearest odd ones.

    Args:
        place: (n,) in units in which diagonals of holes lie at whole numbers.
        growing: (n,) whither each goes that lies as near to two.
    """
    goals = [2 * np.rint((place - odd) / 2) + odd for odd in (0, 1)]
    return [np.where(np.abs(goal - place) == 1, place + growing, goal) for goal in goals]


def nearest_as_wide(place: Floats, weight: Ints, pairs: Ints, wide: Floats) -> list[Floats]:
    """Return the nearest even places, and the nearest odd ones, at which pairs are so far apart.

    Both if two are as near, none if there are none.

    Args:
        place: as above.
        weight: (n,) how firmly each of them stays.
        pairs: (m, 2) the first and the second of each.
        wide: (m,) how far apart they come to lie, even.
    """
    if not len(pairs):
        return []
    return [goal for odd in (0, 1) for goal in _nearest(place, weight, pairs, wide, odd)]


def _nearest(place: Floats, weight: Ints, pairs: Ints, whole: Floats, odd: int) -> Iterator[Floats]:
    """Return the nearest of the two places, even or odd, on both sides of each."""
    low = 2 * np.floor((place - odd) / 2) + odd
    off = np.rint(np.stack([place - low, low + 2 - place]) * PARTS)
    costs = [(round(w * a * a), round(w * b * b)) for w, a, b in zip(weight, *off, strict=True)]
    dear = 1 + sum(max(both) for both in costs)
    first, second = pairs.T
    # two places each: by how many steps of two the pair is too wide
    more = np.rint((low[second] - low[first] - whole) / 2).astype(np.int64)
    pulls = [
        Pull(
            first=int(one),
            second=int(other),
            low=dear * m * m,
            second_high=dear * (m + 1) ** 2,
            first_high=dear * (m - 1) ** 2,
            high=dear * m * m,
        )
        for one, other, m in zip(first, second, more.tolist(), strict=True)
    ]
    values = Choice(costs, pulls).values()
    for undecided in (0, 1) if None in values else (0,):
        goal = low + 2 * np.array([undecided if value is None else value for value in values])
        if (goal[second] - goal[first] == whole).all():
            yield goal
