"""Saws in stitched letters, many letters in one go: what saws are, `arranging.saws` says.

A step is none where the outline itself turns by a right angle, as at the ends of bars and serifs.
"""

from functools import cache

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import AT_SIDE, WHOLE_SIDES, as_words, odd_quarters
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
_NEITHER = 2
"""Neither bare nor stitched."""


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
    angles = np.array([np.roll([1, 1, 0, 0, 0, 0, 0, 0], k) for k in range(8)])  # of ink, or of white
    off = shares.sum(axis=-1)[..., None] + 2 - 2 * shares @ angles.T
    hollow = (1 - shares).sum(axis=-1)[..., None] + 2 - 2 * (1 - shares) @ angles.T
    return np.asarray(np.minimum(off, hollow).min(axis=-1) <= _OFF_CORNER + 1e-9)


def saws(shown: Bools, corners: Bools) -> Ints:
    """Return how many saws each letter has; `corners` are those of its outline."""
    codes = _framed(shown, corners)
    letters, _, wide = codes.shape
    holes = np.arange(codes.size).reshape(codes.shape)[:, 1:-1, 1:-1]
    whole = saws_from(codes.ravel(), holes.ravel(), wide).reshape(letters, -1).sum(axis=1)
    half = WHOLE_SIDES[_going_on(shown @ _BITS, beside(shown) @ _BITS)]
    return np.asarray(whole + half.sum(axis=(1, 2), dtype=np.int64))


def saws_with(shown: Bools, corners: Bools, at: At) -> Ints:
    """Return how many saws touch some of the squares with each of their choices."""
    codes = _framed(shown, corners)
    _, high, wide = codes.shape
    places = np.arange(codes.size).reshape(codes.shape)[:, 1 : high - 2, 1 : wide - 2][at]
    beyond = turns_beyond(codes.ravel(), places.ravel(), wide).reshape(places.shape)
    by_choice, around = _codes()[rings_with()], at_corners(rings(shown), at)
    own = [
        np.where(no[..., None], 0, by_choice[k][around[k]]) for k, no in enumerate(at_corners(corners, at))
    ]
    words = as_words(np.stack([own[place] for place in _CLOCKWISE]))
    return np.asarray(saws_around(words, beyond[..., None]) + _halves_with(shown, at))


def _framed(shown: Bools, corners: Bools) -> Bytes:
    """Return in which directions edges leave each hole, none where the outline has a corner, and a rim."""
    return np.pad(np.where(corners, 0, _codes()[rings(shown)]), ((0, 0), (1, 1), (1, 1)))


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

    (256, choices): the square's own, by what faces it. (4, 3, choices): the one at each side, by its colour.
    """
    shown = choices().shown
    own = WHOLE_SIDES[_going_on(shown @ _BITS, np.arange(256)[:, None])]
    facing = [[(shown[:, octants] == colour).all(axis=1) for colour in range(3)] for octants in AT_SIDE]
    return np.asarray(own, np.int64), np.array(facing, np.int64)


def _halves_with(shown: Bools, at: At) -> Ints:
    """Return how many saws quarters in some of the squares, and those beside them, make."""
    own, facing = _halves()
    colour, sides = (table[shown @ _BITS] for table in _odd())
    colours = beside(np.repeat(colour[..., None] > 0, 8, axis=-1))
    touching = beside((sides[..., None] >> np.arange(8)) & 1 > 0)
    found = own[(beside(shown) @ _BITS)[at]]
    for side, (octant, _) in enumerate(AT_SIDE):
        wanted = np.where(touching[..., octant], colours[..., octant], _NEITHER)
        found = found + facing[side][wanted[at]]
    return np.asarray(found)
