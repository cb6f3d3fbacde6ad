"""Squares in bits: at which octants colours change along the sides of a square, and what follows from that.

The border of a square is a byte: bit i says that octant i shows another colour than the octant that
faces it across the side. Whatever depends on a border is looked up in a table of 256. Arrays of octants,
sides or corners have these first, so that each is one run of numbers.
"""

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Bytes = NDArray[np.uint8]
Words = NDArray[np.uint32]
"""Four bytes each, the first the lowest."""

AT_SIDE = ((7, 0), (1, 2), (3, 4), (5, 6))
"""The octants at each side, clockwise from the top."""

FACES = np.array([3, 6, 5, 0, 7, 2, 1, 4])
"""Which octant of the neighbour each octant faces."""

BESIDE = ((-1, 0), (0, 1), (0, 1), (1, 0), (1, 0), (0, -1), (0, -1), (-1, 0))
"""Rows and columns to the square that each octant faces."""

SIDES = np.array([sum(1 << octant for octant in octants) for octants in AT_SIDE], np.uint8)
"""The bits of each side in a border."""

FACING_SIDES = SIDES[[2, 3, 0, 1]]
"""The bits that the neighbour at each side has there in its own border."""

DIAGONALS = np.array([1 << 3, 1 << 5, 1 << 7, 1 << 1], np.uint8)
"""The bit that says that a piece of edge leaves each corner inwards, clockwise from the top left: directions
are numbered clockwise from up."""

# at each corner: direction of a piece of edge along a side, and the octant that lies at it
_ALONG_SIDES = (((2, 7), (4, 6)), ((6, 0), (4, 1)), ((0, 2), (6, 3)), ((2, 4), (0, 5)))

OWN = DIAGONALS | np.array(
    [sum(1 << direction for direction, _ in pieces) for pieces in _ALONG_SIDES], np.uint8
)
"""All pieces of edge that a square has a say in, by corner."""


def as_bits(flags: NDArray[np.bool_]) -> Bytes:
    """Return the first axis, of eight octants, as one byte."""
    places = np.arange(8, dtype=np.uint8).reshape(8, *[1] * (flags.ndim - 1))
    return np.asarray(np.bitwise_or.reduce(flags.view(np.uint8) << places, axis=0))


def rows_as_bits(flags: NDArray[np.bool_]) -> Bytes:
    """Return the last axis, of eight octants, as one byte."""
    return np.packbits(flags, axis=-1, bitorder="little")[..., 0]


def as_words(four: Bytes) -> Words:
    """Return the first axis, of four bytes, as one word."""
    words = four.astype(np.uint32)
    return np.asarray(words[0] | words[1] << 8 | words[2] << 16 | words[3] << 24)


def byte_of(words: Words, index: int) -> Bytes:
    """Return one of the four bytes of each word."""
    return (words >> np.uint32(8 * index)).astype(np.uint8)


def any_byte(words: Words) -> Bytes:
    """Return which bits are in any of the four bytes of each word."""
    half = words | words >> np.uint32(16)
    return np.asarray(half | half >> np.uint32(8), dtype=np.uint8)


_BORDERS = np.arange(256, dtype=np.uint8)

COUNT_AT_SIDE = np.bitwise_count(_BORDERS & SIDES[:, None])
"""(4, 256) at how many of the two octants at each side the colour changes."""

WHOLE_SIDES = (COUNT_AT_SIDE == 2).sum(axis=0, dtype=np.uint8)
"""(256,) on how many sides both bits are set."""


def _across() -> Bytes:
    result = np.zeros((4, 256), np.uint8)
    for side, octants in enumerate(AT_SIDE):
        for octant in octants:
            result[side] |= ((_BORDERS >> octant) & 1) << np.uint8(FACES[octant])
    return result


ACROSS = _across()
"""(4, 256) the bits of a border at each side, as the neighbour at that side has them."""


def _along_sides() -> Words:
    result = np.zeros((4, 256), np.uint8)
    for corner, pieces in enumerate(_ALONG_SIDES):
        for direction, octant in pieces:
            result[corner] |= ((_BORDERS >> octant) & 1) << direction
    return as_words(result)


PIECES = _along_sides()
"""(256,) the pieces of edge along sides that leave the four corners of a square, in directions as in
`DIAGONALS`."""


def side_steps(wide: int) -> Ints:
    """Return the steps to the four neighbours in rows so wide that lie one after the other."""
    return np.array([-wide, 1, wide, -1])


def window_steps(wide: int, first: int, last: int) -> Ints:
    """Return the steps to all squares from `first` to `last` rows, and columns, away; by row."""
    steps = np.arange(first, last + 1)
    return np.asarray((steps[:, None] * wide + steps).ravel())


def facing_steps(wide: int) -> Ints:
    """Return the steps to the squares that the eight octants face."""
    return np.array([down * wide + right for down, right in BESIDE])


def corner_steps(wide: int) -> Ints:
    """Return the steps from a square to the holes at its corners, clockwise from the top left.

    A hole has the number of the square below and right of it.
    """
    return np.array([0, 1, wide + 1, wide])


def borders(shown: NDArray[np.integer]) -> Bytes:
    """Return (rows, columns) the border of each square of (8, rows, columns) what octants show."""
    result = np.zeros(shown.shape[1:], np.uint8)
    for octant in (1, 2):
        upright = shown[octant, :, :-1] != shown[FACES[octant], :, 1:]
        result[:, :-1] |= upright << np.uint8(octant)
        result[:, 1:] |= upright << np.uint8(FACES[octant])
    for octant in (3, 4):
        level = shown[octant, :-1] != shown[FACES[octant], 1:]
        result[:-1] |= level << np.uint8(octant)
        result[1:] |= level << np.uint8(FACES[octant])
    return result


def diagonals(shown: NDArray[np.integer]) -> Words:
    """Return the pieces of edge that leave the corners of squares inwards, from (8, …) what octants show."""
    places = DIAGONALS.reshape(4, *[1] * (shown.ndim - 1))
    return as_words((shown[[7, 0, 2, 4]] != shown[[6, 1, 3, 5]]) * places)


def odd_quarters(shown: NDArray[np.integer]) -> tuple[Ints, Bytes]:
    """Return the colour of the one odd quarter of squares, (8, n), and the octants at the sides it touches.

    Squares that are not three quarters of one colour and one of another have no such sides.
    """
    colour, sides = np.zeros(shown.shape[1], np.int64), np.zeros(shown.shape[1], np.uint8)
    # quarters clockwise from the top right: octants 0 and 1, 2 and 3, and so on
    quarters = shown[::2]
    plain = (quarters == shown[1::2]).all(axis=0)
    for odd in range(4):
        rest = np.delete(quarters, odd, axis=0)
        found = plain & (rest == rest[0]).all(axis=0) & (quarters[odd] != rest[0])
        colour[found] = quarters[odd, found]
        sides[found] = SIDES[odd] | SIDES[(odd + 1) % 4]
    return colour, sides
