"""What lies around the holes of stitched letters, many letters in one go: ink and loose joints.

A ring is a byte: which of the eight octants around a hole are stitched, clockwise from the one below left.
What a square shows is a byte as well, a bit an octant. Squares that lie in flat arrays do so row after row,
with bare ones around each letter; a hole has the number of the square below and right of it.
"""

from functools import cache

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import AT_SIDE, FACES, SIDES
from svg2chart.letters.choices import choices

Bools = NDArray[np.bool_]
Bytes = NDArray[np.uint8]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

AROUND = ((1, 1, (3, 2)), (1, 0, (5, 4)), (0, 0, (7, 6)), (0, 1, (1, 0)))
"""The squares at a hole, clockwise: which corner of theirs it is (down, across), and their octants there."""

_GATHER = np.uint64(sum(1 << 56 - 7 * octant for octant in range(8)))
_OCTANTS = np.arange(256)[:, None] >> np.arange(8) & 1
"""(256, 8) which octants each byte says are stitched."""


def bytes_of(shown: Bools) -> Bytes:
    """Return what squares show as bytes.

    The eight octants of a square are one number of eight bytes, 0 or 1 each; times `_GATHER` it has that of
    octant i in bit i of its top byte.
    """
    eight = np.ascontiguousarray(shown).view("<u8")[..., 0]
    return np.asarray((eight * _GATHER) >> np.uint64(56), np.uint8)


def rings(held: Bytes) -> Bytes:
    """Return the rings around each hole, (letters, rows + 1, columns + 1)."""
    letters, rows, columns = held.shape
    found = np.zeros((letters, rows + 1, columns + 1), np.uint8)
    for (down, across, _), bits in zip(AROUND, _in_rings(), strict=True):
        found[:, down : rows + down, across : columns + across] |= bits[held]
    return found


def rings_at(held: Bytes, holes: Ints, wide: int) -> Bytes:
    """Return the rings around some holes of a flat array of squares, rows so wide."""
    found = np.zeros(len(holes), np.uint8)
    for step, bits in zip(hole_steps(wide), _in_rings(), strict=True):
        found |= bits[held[holes - step]]
    return found


def hole_steps(wide: int) -> tuple[int, ...]:
    """Return the steps from a square to the holes at its corners, in the order of `AROUND`."""
    return tuple(down * wide + across for down, across, _ in AROUND)


@cache
def _in_rings() -> Bytes:
    """Return (4, 256) which bits a square gives to the rings at its corners, by what it shows."""
    pairs = [_OCTANTS[:, octants] for _, _, octants in AROUND]
    return np.array([pair @ (1, 2) << 2 * place for place, pair in enumerate(pairs)], np.uint8)


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
def _loose() -> Bytes:
    """Return (256,) how many stretches of ink beyond one are in a ring."""
    ring = _OCTANTS > 0
    stretches = (ring & ~np.roll(ring, 1, axis=1)).sum(axis=1)
    return np.asarray(np.maximum(stretches - 1, 0), np.uint8)


@cache
def _slivers() -> Bytes:
    """Return (256,) how many single bare octants, with stitches on both sides, are in a ring."""
    bare = _OCTANTS == 0
    return np.asarray((bare & ~np.roll(bare, 1, axis=1) & ~np.roll(bare, -1, axis=1)).sum(axis=1), np.uint8)


@cache
def _loose_by_choice() -> Bytes:
    """Return (4, 256, choices) what `_loose` says with each choice, by what else lies around each corner."""
    return np.asarray(_loose()[rings_with()])


@cache
def _slivers_by_choice() -> Bytes:
    return np.asarray(_slivers()[rings_with()])


def loose_with(around: Bytes, at: Ints, wide: int) -> Bytes:
    """Return how loosely some of the squares hang at their corners with each of their choices.

    Args:
        around: the rings of all holes, flat.
        at: which squares.
        wide: how many a row has.
    """
    return _at_corners_with(_loose_by_choice(), around, at, wide)


def slivers_with(around: Bytes, at: Ints, wide: int) -> Bytes:
    """Return in how many slivers white ends at the corners of some squares; arguments as for `loose_with`."""
    return _at_corners_with(_slivers_by_choice(), around, at, wide)


def _at_corners_with(tables: Bytes, around: Bytes, at: Ints, wide: int) -> Bytes:
    found = np.zeros((len(at), len(choices().shown)), np.uint8)
    for step, by_choice in zip(hole_steps(wide), tables, strict=True):
        found += by_choice[around[at + step]]
    return found


def loose(around: Bytes) -> Ints:
    """Return how loosely the stitches of each letter hang together at all its holes, by their rings."""
    return np.asarray(_loose()[around].sum(axis=(1, 2), dtype=np.int64))


def slivers(around: Bytes) -> Ints:
    """Return at how many holes of each letter white ends in a sliver, an angle of 45 degrees."""
    return np.asarray(_slivers()[around].sum(axis=(1, 2), dtype=np.int64))


def is_loose(around: NDArray[np.integer]) -> Bools:
    """Return at which holes stitches meet that hang together by nothing else there, by their rings."""
    return np.asarray(_loose()[around] > 0)


def ink_around(off: Floats) -> Floats:
    """Return what octants hold, added up around each hole, (letters, rows + 1, columns + 1)."""
    letters, rows, columns, _ = off.shape
    found = np.zeros((letters, rows + 1, columns + 1))
    for down, across, (one, two) in AROUND:
        found[:, down : rows + down, across : columns + across] += off[..., one] + off[..., two]
    return found


def at_corners(off: Floats) -> Floats:
    """Return (4, ...) what the two octants at each corner of squares hold together."""
    return np.stack([off[..., one] + off[..., two] for _, _, (one, two) in AROUND])


def ink_at(pairs: Floats, holes: Ints, wide: int) -> Floats:
    """Return what octants hold around some holes, from what `at_corners` says of all squares, flat."""
    found = np.zeros(len(holes))
    for step, pair in zip(hole_steps(wide), pairs, strict=True):
        found += pair[holes - step]
    return found


_EIGHTHS = _OCTANTS.T / 8
"""(8, 256) how much of a square each octant shows, by what the square does."""


@cache
def _own_ink() -> tuple[Floats, Floats]:
    """Return (4, choices) what each choice holds at the corners of a square, (choices,) its squares' sum."""
    own = np.stack([choices().shown[:, octants].sum(axis=1) / 8 for _, _, octants in AROUND])
    return own, np.asarray((own**2).sum(axis=0))


def uneven_with(held: Bytes, ink: Floats, at: Ints, wide: int) -> Floats:
    """Return how unevenly ink lies around the corners of some of the squares with each of their choices.

    What is the same with all choices is left out: of (others + own)^2, the square of the others.

    Args:
        held: what all squares show, flat.
        ink: how much more is stitched than drawn around all holes.
        at: which squares.
        wide: how many a row has.
    """
    here, (own, squares) = held[at], _own_ink()
    others = np.empty((len(at), len(AROUND)))
    for place, (step, (_, _, (one, two))) in enumerate(zip(hole_steps(wide), AROUND, strict=True)):
        others[:, place] = ink[at + step] - _EIGHTHS[one, here] - _EIGHTHS[two, here]
    return np.asarray(2 * others @ own + squares)


@cache
def _across() -> Bytes:
    """Return (4, 256) which octants face stitches of the square at each side, by what that shows."""
    found = np.zeros((4, 256), np.uint8)
    for side, octants in enumerate(AT_SIDE):
        for octant in octants:
            found[side] |= _OCTANTS[:, FACES[octant]].astype(np.uint8) << octant
    return found


def beside(held: Bytes) -> Bytes:
    """Return for each square, as a byte, which octants face stitches across the side of the square."""
    above, right, below, left = _across()
    found = np.zeros_like(held)
    found[:, 1:] |= above[held[:, :-1]]
    found[:, :, :-1] |= right[held[:, :, 1:]]
    found[:, :-1] |= below[held[:, 1:]]
    found[:, :, 1:] |= left[held[:, :, :-1]]
    return found


def edges(held: Bytes, facing: Bytes) -> Ints:
    """Return at how many octants along sides of squares stitches of each letter face bare ones.

    Args:
        held: what squares show.
        facing: what `beside` says of them.
    """
    above, right, below, left = SIDES
    found = np.bitwise_count((held ^ facing) & (above | left)).sum(axis=(1, 2), dtype=np.int64)
    found += np.bitwise_count(held[:, -1] & below).sum(axis=1, dtype=np.int64)
    found += np.bitwise_count(held[:, :, -1] & right).sum(axis=1, dtype=np.int64)
    return np.asarray(found)


def beside_at(held: Bytes, at: Ints, wide: int) -> Bytes:
    """Return the same for some squares of a flat array."""
    above, right, below, left = _across()
    return np.asarray(
        above[held[at - wide]] | right[held[at + 1]] | below[held[at + wide]] | left[held[at - 1]]
    )
