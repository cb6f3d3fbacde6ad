"""Saws: pieces of edge from hole to hole that turn sharply one way at one end and the other way at the other.

    ---.          a step of one square: two turns of 90 degrees in one square,
       |          where a three-quarter stitch would make two of 45 degrees
       '---

At each hole up to eight pieces of edge begin, along sides and diagonals of squares. Where just two meet, an
edge passes, and may turn. Steps are saws, and so is each tooth of a row of triangles; the corner of a box is
none, for both its turns go the same way. A quarter stitch that goes on in the square beside it makes a
small step there, and is a saw on each such side.

The code of a hole is a byte: bit d says that a piece of edge leaves it in direction d, clockwise from up.
"""

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import (
    FACES,
    OWN,
    PIECES,
    WHOLE_SIDES,
    Bytes,
    Ints,
    Words,
    as_bits,
    borders,
    byte_of,
    corner_steps,
    diagonals,
    facing_steps,
    odd_quarters,
)
from svg2chart.runs import distinct

Longs = NDArray[np.uint64]

SHARP = 2
"""A turn of so many eighths of a full turn is sharp: 90 degrees."""

_STEPS = ((-1, 0), (-1, 1), (0, 1), (1, 1), (1, 0), (1, -1), (0, -1), (-1, -1))
_CORNERS = ((0, 0), (0, 1), (1, 1), (1, 0))
# pieces between corners of one square: one corner, the direction, the other corner
_INNER = ((0, 2, 1), (1, 4, 2), (3, 2, 2), (0, 4, 3), (0, 3, 2), (1, 5, 3))
_FIRST_INNER = 40


def _turns() -> Longs:
    """Return (8, 256) whether an edge leaves after a sharp turn: 1 to the right, 2 to the left."""
    result = np.zeros((8, 256), np.uint64)
    for one in range(8):
        for other in range(8):
            turn = (one - other - 4 + 4) % 8 - 4
            if SHARP <= abs(turn) < 4:
                result[one, 1 << one | 1 << other] = 1 if turn > 0 else 2
    return result


TURNS = _turns()
"""(8, 256) whether an edge leaves a hole after a sharp turn, by direction and code, as `_turns` says."""
_HALF = range(4)  # of a piece's two directions one is counted
_FROM = np.array([TURNS[direction] << np.uint64(2 * direction) for direction in _HALF]).sum(axis=0)
_TO = np.array([TURNS[direction + 4] << np.uint64(2 * direction) for direction in _HALF])


def hole_codes(border: Bytes, diagonal: Words) -> Bytes:
    """Return the codes of the holes at the top left of squares, (rows, columns), but for those at the rim."""
    codes = np.zeros(border.shape, np.uint8)
    pieces = (PIECES[border] | diagonal)[1:-1, 1:-1]
    rows, columns = pieces.shape
    for corner, (down, right) in enumerate(_CORNERS):
        codes[1 + down : 1 + down + rows, 1 + right : 1 + right + columns] |= byte_of(pieces, corner)
    return codes


def count_saws(shown: Ints) -> int:
    """Return how many saws squares show, (rows, columns, 8); the rim is only what others lie beside."""
    rows, columns = shown.shape[:2]
    octants = np.moveaxis(shown, 2, 0)
    # a row more at each end, so that steps from all holes lead somewhere
    codes = np.pad(hole_codes(borders(octants), diagonals(octants)), ((1, 2), (0, 0))).ravel()
    whole = int(saws_from(codes, np.arange(columns, columns * (rows + 1)), columns).sum())
    inside = (np.arange(1, rows - 1)[:, None] * columns + np.arange(1, columns - 1)).ravel()
    flat = octants.reshape(8, -1)
    colour, sides = odd_quarters(flat[:, inside])
    facing = flat[FACES[:, None], inside + facing_steps(columns)[:, None]]
    return whole + int(odd_sides(colour, sides, facing).sum())


def odd_sides(colour: NDArray[np.integer], sides: Bytes, facing: NDArray[np.integer]) -> Ints:
    """Return on how many of these sides of squares all that faces them, (8, n), has this colour."""
    return np.asarray(WHOLE_SIDES[as_bits(facing == colour) & sides], dtype=np.int64)


def saws_from(codes: Bytes, holes: Ints, wide: int) -> Ints:
    """Return the saws that begin at holes, to the right of up and below: each saw begins at one of its ends.

    Args:
        codes: of all holes, rows so wide one after the other.
        holes: where to look.
        wide: how many holes a row has.
    """
    return np.asarray(sum(saws_along(direction, codes, holes, wide) for direction in _HALF))


def saws_along(direction: int, codes: Bytes, holes: Ints, wide: int) -> Ints:
    """Return how many saws, one or none, leave holes in a direction below 4; else as `saws_from`."""
    down, right = _STEPS[direction]
    there = _TO[direction].take(codes.take(holes + down * wide + right))
    return np.asarray(np.bitwise_count(there & _FROM.take(codes.take(holes))), dtype=np.int64)


def steps_to_saws(wide: int) -> tuple[Ints, ...]:
    """Return for each direction below 4 the steps from a square to holes: it bears on saws from there."""
    corners = corner_steps(wide)
    towards = (_STEPS[direction] for direction in _HALF)
    return tuple(
        distinct(np.concatenate([corners, corners - (down * wide + right)])) for down, right in towards
    )


def _corner_turns() -> tuple[Longs, tuple[tuple[int, int, Longs], ...]]:
    """Return the tables of saws around one square.

    First (4, 256): the turns of a hole at each corner, as bits of one number. Each piece of edge that leaves
    outwards has two bits, below `_FIRST_INNER`; those between two corners have two above and for their
    other end two more, 12 above those. Second, for each hole around the square the
    step to it and the table of the turns there, in the same bits.
    """
    turns = np.zeros((4, 256), np.uint64)
    beyond: dict[tuple[int, int], Longs] = {}
    bit = 0
    for corner, (down, right) in enumerate(_CORNERS):
        for direction in (d for d in range(8) if not OWN[corner] >> d & 1):
            turns[corner] |= TURNS[direction] << np.uint64(bit)
            step = (down + _STEPS[direction][0], right + _STEPS[direction][1])
            there = TURNS[(direction + 4) % 8] << np.uint64(bit)
            beyond[step] = beyond.get(step, np.uint64(0)) | there
            bit += 2
    for corner, direction, other in _INNER:
        turns[corner] |= TURNS[direction] << np.uint64(bit)
        turns[other] |= TURNS[(direction + 4) % 8] << np.uint64(bit + 2 * len(_INNER))
        bit += 2
    return turns, tuple((down, right, table) for (down, right), table in beyond.items())


_CORNER_TURNS, _BEYOND = _corner_turns()
_BOTH_ENDS = np.uint64(((1 << 2 * len(_INNER)) - 1) << _FIRST_INNER)


def turns_beyond(codes: Bytes, squares: Ints, wide: int) -> Longs:
    """Return the turns at the holes around squares, for `saws_around`; arguments as for `saws_from`."""
    result = np.zeros(len(squares), np.uint64)
    for down, right, there in _BEYOND:
        result |= there.take(codes.take(squares + down * wide + right))
    return result


def turns_at(corner: int, codes: Bytes) -> Longs:
    """Return the turns at one corner of squares, clockwise from the top left, from the codes there."""
    return np.asarray(_CORNER_TURNS[corner].take(codes))


def saws_around(corners: Words, beyond: Longs) -> Bytes:
    """Return how many saws touch squares, from the codes of their corners and what `turns_beyond` says."""
    turns = turns_at(0, byte_of(corners, 0))
    for corner in range(1, 4):
        turns |= turns_at(corner, byte_of(corners, corner))
    return saws_of_turns(turns, beyond)


def saws_of_turns(turns: Longs, beyond: Longs) -> Bytes:
    """Return how many saws touch squares, from the turns at all their corners and those beyond."""
    ends = beyond | (turns >> np.uint64(2 * len(_INNER)) & _BOTH_ENDS)
    return np.asarray(np.bitwise_count(turns & ends))
