"""What lies around the holes of stitched letters, many letters in one go: ink and loose joints.

A ring is a byte: which of the eight octants around a hole are stitched, clockwise from the one below left.
"""

from functools import cache
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from svg2chart.letters.choices import choices

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
At = tuple[slice, ...]
T = TypeVar("T", bound=np.generic)

AROUND = ((1, 1, (3, 2)), (1, 0, (5, 4)), (0, 0, (7, 6)), (0, 1, (1, 0)))
"""The squares at a hole, clockwise: which corner of theirs it is (down, across), and their octants there."""


def rings(shown: Bools) -> Ints:
    """Return the rings around each hole, (letters, rows + 1, columns + 1)."""
    letters, rows, columns, _ = shown.shape
    found = np.zeros((letters, rows + 1, columns + 1), np.int64)
    held = shown @ (1 << np.arange(8))
    for (down, across, _), bits in zip(AROUND, _in_rings(), strict=True):
        found[:, down : rows + down, across : columns + across] += bits[held]
    return found


@cache
def _in_rings() -> Ints:
    """Return (4, 256) which bits a square gives to the rings at its corners, by what it shows."""
    shown = np.arange(256)[:, None] >> np.arange(8) & 1
    pairs = [shown[:, octants] for _, _, octants in AROUND]
    return np.array([pair @ (1, 2) << 2 * place for place, pair in enumerate(pairs)])


def at_corners(values: NDArray[T], at: At) -> list[NDArray[T]]:
    """Return what is there at the corners of some of the squares, in the order of `AROUND`."""
    rows, columns = values.shape[1] - 1, values.shape[2] - 1
    return [values[:, down : rows + down, across : columns + across][at] for down, across, _ in AROUND]


@cache
def rings_with() -> Ints:
    """Return (4, 256, choices) the rings at the corners of a square by what else lies there."""
    shown, others = choices().shown, np.arange(256)[:, None]
    corners = []
    for place, (_, _, (one, two)) in enumerate(AROUND):
        own = shown[:, one] * (1 << 2 * place) + shown[:, two] * (2 << 2 * place)
        corners.append(others & ~(3 << 2 * place) | own)
    return np.array(corners)


@cache
def _loose() -> Ints:
    """Return (256,) how many stretches of ink beyond one are in a ring."""
    ring = (np.arange(256)[:, None] >> np.arange(8)) & 1 > 0
    return np.asarray(np.maximum((ring & ~np.roll(ring, 1, axis=1)).sum(axis=1) - 1, 0), np.int64)


@cache
def _loose_by_choice() -> Ints:
    """Return (4, 256, choices) the same with each choice, by what else lies around each corner."""
    return np.asarray(_loose()[rings_with()])


def loose_with(around: Ints, at: At) -> Ints:
    """Return how loosely some of the squares hang at their corners with each of their choices.

    Args:
        around: the rings of the letters.
        at: which squares.
    """
    corners = at_corners(around, at)
    return np.asarray(sum(_loose_by_choice()[place][ring] for place, ring in enumerate(corners)))


def loose(shown: Bools) -> Ints:
    """Return how loosely the stitches of each letter hang together at all its holes."""
    return np.asarray(_loose()[rings(shown)].sum(axis=(1, 2)))


def ink_around(off: Floats) -> Floats:
    """Return what octants hold, added up around each hole, (letters, rows + 1, columns + 1)."""
    letters, rows, columns, _ = off.shape
    found = np.zeros((letters, rows + 1, columns + 1))
    for down, across, octants in AROUND:
        found[:, down : rows + down, across : columns + across] += off[..., octants[0]] + off[..., octants[1]]
    return found


def uneven_with(shown: Bools, areas: Floats, at: At) -> Floats:
    """Return how unevenly ink lies around the corners of some of the squares with each of their choices.

    What is the same with all choices is left out: of (others + own)^2, the square of the others.
    """
    here = shown[at] / 8
    own = np.stack([choices().shown[:, octants].sum(axis=1) / 8 for _, _, octants in AROUND])
    corners = at_corners(ink_around(shown / 8 - areas), at)
    others = np.stack(
        [
            ink - here[..., one] - here[..., two]
            for ink, (_, _, (one, two)) in zip(corners, AROUND, strict=True)
        ],
        axis=-1,
    )
    return np.asarray(2 * others @ own + (own**2).sum(axis=0))


def beside(shown: Bools) -> Bools:
    """Return for each octant whether the one across the side of its square is stitched."""
    beside = np.zeros_like(shown)
    beside[:, 1:, :, [7, 0]] = shown[:, :-1, :, [4, 3]]
    beside[:, :-1, :, [4, 3]] = shown[:, 1:, :, [7, 0]]
    beside[:, :, :-1, [1, 2]] = shown[:, :, 1:, [6, 5]]
    beside[:, :, 1:, [6, 5]] = shown[:, :, :-1, [1, 2]]
    return beside
