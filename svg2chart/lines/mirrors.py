"""Symmetric lines: the axes that holes have as well, and where a line crosses them.

A smile or a ring must not lean to one side, but the cheapest chain may, where two that mirror each other cost
the same. So along an axis of a line only one part is led, up to the axis:

    either to a hole on it, from which the chain goes on as it came,
    or to a segment that crosses it squarely; and the other parts are its mirror images.

A wave that looks the same after half a turn is led to the middle of that turn in the same way.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.grid import LATTICE

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SAME_SQUARES = 1 / 256
"""A line is symmetric where it is so within this: a few times the tolerance of flattened curves."""

CHECKED_A_SQUARE = 4


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Mirror:
    """A mirror, or half a turn, that takes holes to holes: point p, in half squares, to matrix @ p + shift.

    place: where the line crosses its axis or its middle, in squares along the line.
    """

    matrix: Ints
    shift: Ints
    place: float

    def image(self, points: Ints) -> Ints:
        """Return the mirror images of (n, 2) points in half squares."""
        return np.asarray(points @ self.matrix.T + self.shift)


def mirrors_of(samples: Floats, places: Floats, *, closed: bool) -> list[Mirror]:
    """Return the mirrors of a line, in the order of its crossings; each of a round line's comes twice.

    Args:
        samples: (n, 2) points of the line in squares, of a round line the first again at the end.
        places: (n,) how far along it each lies.
        closed: whether it is round.
    """
    middle = (samples.min(axis=0) + samples.max(axis=0)) / 2
    found = []
    for matrix, normal in _KINDS:
        shift = 2 * (middle - matrix @ middle)
        whole = np.rint(shift / 2) * 2
        if np.abs(shift - whole).max() > 4 * SAME_SQUARES:
            continue
        if normal is None:
            crossings = [] if closed else [float(places[-1]) / 2]
        else:
            side = np.rint((samples - middle) @ normal * LATTICE) / LATTICE
            crossings = _crossings(side, places, closed=closed)
        if len(crossings) == (2 if closed else 1) and _is_same(
            samples, places, matrix, whole / 2, crossings[0], closed=closed
        ):
            found += [Mirror(matrix=matrix, shift=whole.astype(np.int64), place=at) for at in crossings]
    return sorted(found, key=lambda mirror: mirror.place)


# the linear part, and what is normal to the axis: the image of p is p - 2 n (n . (p - middle)) with the unit
# normal n; half a turn has none
_KINDS: tuple[tuple[Ints, Floats | None], ...] = (
    (np.array([[-1, 0], [0, 1]]), np.array([1.0, 0.0])),
    (np.array([[1, 0], [0, -1]]), np.array([0.0, 1.0])),
    (np.array([[0, 1], [1, 0]]), np.array([1.0, -1.0])),
    (np.array([[0, -1], [-1, 0]]), np.array([1.0, 1.0])),
    (np.array([[-1, 0], [0, -1]]), None),
)


def _crossings(side: Floats, places: Floats, *, closed: bool) -> list[float]:
    """Return the places where the line crosses from one side to the other."""
    on = side == 0
    found = places[on].tolist()
    if closed and on[0] and on[-1]:
        found = found[:-1]
    over = np.flatnonzero(side[:-1] * side[1:] < 0)
    share = side[over] / (side[over] - side[over + 1])
    return sorted([*found, *(places[over] + share * (places[over + 1] - places[over])).tolist()])


def _is_same(
    samples: Floats, places: Floats, matrix: Ints, shift: Floats, place: float, *, closed: bool
) -> bool:
    """Whether the line back from a place is the mirror image of the line on from it."""
    length = float(places[-1])
    if not closed and abs(place - length / 2) > SAME_SQUARES:
        return False
    steps = np.linspace(0.0, length / 2, max(8, int(length * CHECKED_A_SQUARE)))
    ahead, behind = place + steps, place - steps
    if closed:
        ahead, behind = ahead % length, behind % length
    ends = [
        np.stack([np.interp(at, places, samples[:, i]) for i in (0, 1)], axis=1) for at in (ahead, behind)
    ]
    return bool(np.abs(ends[0] @ matrix.T + shift - ends[1]).max() <= SAME_SQUARES)
