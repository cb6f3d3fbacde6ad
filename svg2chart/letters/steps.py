"""Saws in stitched letters, many letters in one go: what saws are, `arranging.saws` says.

A step is none where the outline itself turns by a right angle, as at the ends of bars and serifs.
"""

from functools import cache

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.saws import saws_from, saws_of_turns, turns_at, turns_beyond
from svg2chart.letters.choices import choices
from svg2chart.letters.holes import AROUND, hole_steps, rings_with

Bools = NDArray[np.bool_]
Bytes = NDArray[np.uint8]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Longs = NDArray[np.uint64]
Kinds = NDArray[np.int16]

_OFF_CORNER = 0.75
"""An outline turns by a right angle where the octants around a hole show one, but for so many octants."""
_CLOCKWISE = (2, 3, 0, 1)
"""The corners of a square, counted clockwise from the top left, in the order of `AROUND`."""
_EXEMPT = np.int16(256)
"""Stands for the ring of a hole at which the outline has a corner."""
_TRACE = 1e-6
"""So much of an octant, either way, counts for none."""
_BITS = 1 << np.arange(8)
_ANGLES = np.array([np.roll([1, 1, 0, 0, 0, 0, 0, 0], turn) for turn in range(8)])


def corners_of(areas: Floats) -> Bools:
    """Return at which holes an outline turns by a right angle, (letters, rows + 1, columns + 1).

    Args:
        areas: (letters, rows, columns, 8) of its octants.
    """
    letters, rows, columns, _ = areas.shape
    framed = np.zeros((letters, rows + 2, columns + 2, 8))
    framed[:, 1:-1, 1:-1] = 8 * areas
    found = np.zeros((letters, rows + 1, columns + 1), np.bool_)
    holes = np.nonzero(_undecided(framed))
    shares = np.empty((len(holes[0]), 8))
    letter, row, column = holes
    for place, (down, across, octants) in enumerate(AROUND):
        there = framed[letter, row + 1 - down, column + 1 - across]
        shares[:, [2 * place, 2 * place + 1]] = there[:, octants]
    filled, angle = shares.sum(axis=-1)[..., None], 2 * shares @ _ANGLES.T
    off = np.minimum(filled + 2 - angle, 6 - filled + angle)  # an angle of ink in white, of white in ink
    found[holes] = off.min(axis=-1) <= _OFF_CORNER + 1e-9
    return found


def _undecided(shares: Floats) -> Bools:
    """Return at which holes not all four squares are stitched alike, all or none of them."""
    none, every = np.all(shares < _TRACE, axis=-1), np.all(shares > 1 - _TRACE, axis=-1)
    bare, full = (
        one[:, 1:, 1:] & one[:, 1:, :-1] & one[:, :-1, 1:] & one[:, :-1, :-1] for one in (none, every)
    )
    return np.asarray(~(bare | full))


def saws(around: Bytes, corners: Bools) -> Ints:
    """Return how many saws from hole to hole each letter has.

    Args:
        around: the rings of all holes.
        corners: of the outline.
    """
    letters, rows, columns = around.shape
    codes = np.zeros((letters, rows + 2, columns + 2), np.uint8)  # and a rim
    codes[:, 1:-1, 1:-1] = codes_of(around, corners)
    holes = np.flatnonzero(codes)
    letter_of = holes // (codes.size // letters)
    return np.bincount(letter_of, saws_from(codes.ravel(), holes, columns + 2), letters).astype(np.int64)


def saws_with(kinds: Kinds, codes: Bytes, at: Ints, wide: int) -> Bytes:
    """Return how many saws touch some of the squares with each of their choices.

    Args:
        kinds: of all holes, flat.
        codes: in which directions edges leave these.
        at: which squares.
        wide: how many a row has.
    """
    turns = np.zeros((len(at), len(choices().shown)), np.uint64)
    for step, by_choice in zip(hole_steps(wide), _turns_by_choice(), strict=True):
        turns |= by_choice[kinds[at + step]]
    return saws_of_turns(turns, turns_beyond(codes, at, wide)[:, None])


def kinds_of(around: Bytes, corners: Bools) -> Kinds:
    """Return the rings of holes; `_EXEMPT` where the outline has a corner."""
    return np.where(corners, _EXEMPT, around.astype(np.int16))


def codes_of(around: Bytes, corners: Bools) -> Bytes:
    """Return in which directions edges leave holes, by their rings: none where the outline has a corner."""
    return np.asarray(np.where(corners, np.uint8(0), edge_codes()[around]))


@cache
def _turns_by_choice() -> Longs:
    """Return (4, 257, choices) the turns at the corners of squares with each choice, for `saws_of_turns`.

    By what else lies around each corner; none at one that the outline has, which is the last.
    """
    found = np.zeros((4, 257, len(choices().shown)), np.uint64)
    for place, corner in enumerate(_CLOCKWISE):
        found[place, :256] = turns_at(corner, edge_codes()[rings_with()[place]])
    return found


@cache
def edge_codes() -> Bytes:
    """Return (256,) in which directions edges leave a hole, as `arranging.saws` has them, by its ring."""
    ring = np.arange(256)[:, None] >> np.arange(8) & 1
    edges = np.roll(ring, -1, axis=1) != np.roll(ring, -2, axis=1)
    return np.asarray(edges @ _BITS, np.uint8)
