"""Saws in stitched letters, many letters in one go: what saws are, `arranging.saws` says.

A step is none where the outline itself turns by a right angle, as at the ends of bars and serifs.
"""

from functools import cache

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import AT_SIDE, SIDES, WHOLE_SIDES, odd_quarters, side_steps
from svg2chart.arranging.saws import saws_from, saws_of_turns, turns_at, turns_beyond
from svg2chart.letters.choices import choices
from svg2chart.letters.holes import AROUND, beside_at, bytes_of, hole_steps, rings_with

Bools = NDArray[np.bool_]
Bytes = NDArray[np.uint8]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Longs = NDArray[np.uint64]

_OFF_CORNER = 0.75
"""An outline turns by a right angle where the octants around a hole show one, but for so many octants."""
_CLOCKWISE = (2, 3, 0, 1)
"""The corners of a square, counted clockwise from the top left, in the order of `AROUND`."""
_EXEMPT = np.intp(256)
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


def saws(held: Bytes, around: Bytes, facing: Bytes, corners: Bools) -> Ints:
    """Return how many saws each letter has.

    Args:
        held: what squares show.
        around: the rings of all holes.
        facing: what faces squares, as `beside` says.
        corners: of the outline.
    """
    letters, rows, columns = held.shape
    codes = np.zeros((letters, rows + 3, columns + 3), np.uint8)  # and a rim
    codes[:, 1:-1, 1:-1] = codes_of(around, corners)
    holes = np.flatnonzero(codes)
    letter_of = holes // (codes.size // letters)
    whole = np.bincount(letter_of, saws_from(codes.ravel(), holes, columns + 3), letters).astype(np.int64)
    half = WHOLE_SIDES[_going_on(held, facing)]
    return np.asarray(whole + half.sum(axis=(1, 2), dtype=np.int64))


def saws_with(held: Bytes, around: Bytes, codes: Bytes, corners: Bools, at: Ints, wide: int) -> Bytes:
    """Return how many saws touch some of the squares with each of their choices.

    Args:
        held: what all squares show, flat.
        around: the rings of all holes.
        codes: in which directions edges leave these.
        corners: at which of them the outline has one.
        at: which squares.
        wide: how many a row has.
    """
    turns = np.zeros((len(at), len(choices().shown)), np.uint64)
    for step, by_choice in zip(hole_steps(wide), _turns_by_choice(), strict=True):
        turns |= by_choice[np.where(corners[at + step], _EXEMPT, around[at + step])]
    found = saws_of_turns(turns, turns_beyond(codes, at, wide)[:, None])
    own, beside_it = _halves()
    found += own[beside_at(held, at, wide)]
    for step, by_choice in zip(side_steps(wide), beside_it, strict=True):
        found += by_choice[held[at + step]]
    return found


def codes_of(around: Bytes, corners: Bools) -> Bytes:
    """Return in which directions edges leave holes, by their rings: none where the outline has a corner."""
    return np.asarray(np.where(corners, np.uint8(0), _codes()[around]))


@cache
def _turns_by_choice() -> Longs:
    """Return (4, 257, choices) the turns at the corners of squares with each choice, for `saws_of_turns`.

    By what else lies around each corner; none at one that the outline has, which is the last.
    """
    found = np.zeros((4, _EXEMPT + 1, len(choices().shown)), np.uint64)
    for place, corner in enumerate(_CLOCKWISE):
        found[place, :_EXEMPT] = turns_at(corner, _codes()[rings_with()[place]])
    return found


@cache
def _codes() -> Bytes:
    """Return (256,) in which directions edges leave a hole, as `arranging.saws` has them, by its ring."""
    ring = np.arange(256)[:, None] >> np.arange(8) & 1
    edges = np.roll(ring, -1, axis=1) != np.roll(ring, -2, axis=1)
    return np.asarray(edges @ _BITS, np.uint8)


@cache
def _odd() -> tuple[Bytes, Bytes]:
    """Return (256,) each, by what a square shows: its odd quarter's colour, and the octants at its sides."""
    colour, sides = odd_quarters(np.arange(256) >> np.arange(8)[:, None] & 1)
    return np.asarray(colour, np.uint8), sides


def _going_on(own: Bytes, facing: Bytes) -> Bytes:
    """Return the octants at which an odd quarter goes on in what faces it, as bits."""
    colour, sides = _odd()
    return np.asarray(np.where(colour[own], facing, ~facing) & sides[own])


@cache
def _halves() -> tuple[Bytes, Bytes]:
    """Return how many saws quarters make with each choice.

    (256, choices): those of a square itself, by what faces it. (4, 256, choices): those of the square at
    each side, by what that shows.
    """
    shown, every = choices().shown, np.arange(256, dtype=np.uint8)[:, None]
    own = WHOLE_SIDES[_going_on(bytes_of(shown), every)]
    beside_it = []
    for side, octants in enumerate(AT_SIDE):
        stitched, bare = shown[:, octants].all(axis=1), ~shown[:, octants].any(axis=1)
        colour, sides = _odd()
        touches = sides & SIDES[(side + 2) % 4] > 0
        beside_it.append(touches[:, None] & np.where(colour[:, None] > 0, stitched, bare))
    return own, np.array(beside_it, np.uint8)
