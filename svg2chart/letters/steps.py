"""Saws in stitched letters, many letters in one go: what saws are, `arranging.saws` says.

A step is none where the outline itself turns by a right angle, as at the ends of bars and serifs.
"""

from functools import cache

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import AT_SIDE, SIDES, WHOLE_SIDES, as_words, odd_quarters
from svg2chart.arranging.saws import saws_around, saws_from, turns_beyond
from svg2chart.letters.choices import choices
from svg2chart.letters.holes import AROUND, At, at_corners, beside, rings, rings_with

Bools = NDArray[np.bool_]
Bytes = NDArray[np.uint8]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_OFF_CORNER = 0.75
"""An outline turns by a right angle where the octants around a hole show one, but for so many octants."""
_CLOCKWISE = (2, 3, 0, 1)
"""The places of `AROUND` by the corners of a square, clockwise from the top left."""
_BITS = 1 << np.arange(8)
_ANGLES = np.array([np.roll([1, 1, 0, 0, 0, 0, 0, 0], turn) for turn in range(8)])
_SIDES = ((-1, 0), (0, 1), (1, 0), (0, -1))
"""The squares at the sides of one, down and across, clockwise from the top."""


def corners_of(areas: Floats) -> Bools:
    """Return at which holes an outline turns by a right angle, (letters, rows + 1, columns + 1).

    Args:
        areas: (letters, rows, columns, 8) of its octants.
    """
    letters, rows, columns, _ = areas.shape
    shares = np.zeros((letters, rows + 1, columns + 1, 8))
    for place, (down, across, octants) in enumerate(AROUND):
        shares[:, down : rows + down, across : columns + across, [2 * place, 2 * place + 1]] = (
            8 * areas[..., octants]
        )
    filled, angle = shares.sum(axis=-1)[..., None], 2 * shares @ _ANGLES.T
    off = np.minimum(filled + 2 - angle, 6 - filled + angle)  # an angle of ink in white, of white in ink
    return np.asarray(off.min(axis=-1) <= _OFF_CORNER + 1e-9)


def saws(shown: Bools, corners: Bools) -> Ints:
    """Return how many saws each letter has; `corners` are those of its outline."""
    codes = _framed(rings(shown), corners)
    letters, _, wide = codes.shape
    holes = np.arange(codes.size).reshape(codes.shape)[:, 1:-1, 1:-1]
    whole = saws_from(codes.ravel(), holes.ravel(), wide).reshape(letters, -1).sum(axis=1)
    half = WHOLE_SIDES[_going_on(shown @ _BITS, beside(shown) @ _BITS)]
    return np.asarray(whole + half.sum(axis=(1, 2), dtype=np.int64))


def saws_with(shown: Bools, around: Ints, corners: Bools, at: At) -> Ints:
    """Return how many saws touch some of the squares with each of their choices.

    Args:
        shown: (letters, rows, columns, 8) which octants are stitched.
        around: their rings.
        corners: of the outline.
        at: which squares.
    """
    codes = _framed(around, corners)
    _, high, wide = codes.shape
    places = np.arange(codes.size).reshape(codes.shape)[:, 1 : high - 2, 1 : wide - 2][at]
    beyond = turns_beyond(codes.ravel(), places.ravel(), wide).reshape(places.shape)
    by_choice, rings_there, exempt = _codes_by_choice(), at_corners(around, at), at_corners(corners, at)
    own = [np.where(exempt[k][..., None], 0, by_choice[k][rings_there[k]]) for k in _CLOCKWISE]
    return np.asarray(saws_around(as_words(np.stack(own)), beyond[..., None]) + _halves_with(shown, at))


def _framed(around: Ints, corners: Bools) -> Bytes:
    """Return in which directions edges leave each hole, none where the outline has a corner, and a rim."""
    letters, high, wide = around.shape
    framed = np.zeros((letters, high + 2, wide + 2), np.uint8)
    framed[:, 1:-1, 1:-1] = np.where(corners, 0, _codes()[around])
    return framed


@cache
def _codes_by_choice() -> Bytes:
    """Return (4, 256, choices) the same with each choice, by what else lies around each corner."""
    return np.asarray(_codes()[rings_with()])


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


def _going_on(own: Ints, facing: Ints) -> Ints:
    """Return the octants at which an odd quarter goes on in what faces it, as bits."""
    colour, sides = _odd()
    return np.asarray(np.where(colour[own], facing, ~facing) & sides[own])


@cache
def _halves() -> tuple[Ints, Ints]:
    """Return how many saws quarters make with each choice.

    (256, choices): those of a square itself, by what faces it. (4, 256, choices): those of the square at
    each side, by what that shows.
    """
    shown, every = choices().shown, np.arange(256)[:, None]
    own = WHOLE_SIDES[_going_on(shown @ _BITS, every)]
    beside_it = []
    for side, octants in enumerate(AT_SIDE):
        stitched, bare = shown[:, octants].all(axis=1), ~shown[:, octants].any(axis=1)
        colour, sides = _odd()
        touches = sides & SIDES[(side + 2) % 4] > 0
        beside_it.append(touches[:, None] & np.where(colour[:, None] > 0, stitched, bare))
    return np.asarray(own, np.int64), np.array(beside_it, np.int64)


def _halves_with(shown: Bools, at: At) -> Ints:
    """Return how many saws quarters in some of the squares, and those beside them, make."""
    own, beside_it = _halves()
    _, rows, columns, _ = shown.shape
    held = np.zeros((len(shown), rows + 2, columns + 2), np.int64)
    held[:, 1:-1, 1:-1] = shown @ _BITS
    found = own[(beside(shown) @ _BITS)[at]]
    for side, (down, across) in enumerate(_SIDES):
        there = held[:, 1 + down : 1 + down + rows, 1 + across : 1 + across + columns]
        found = found + beside_it[side][there[at]]
    return np.asarray(found)
