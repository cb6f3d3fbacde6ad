"""Steps of half a square in stitched letters, from a hole to the middle of a side, many letters in one go.

    ---.          an edge turns sharply at a hole, runs to the middle of the side and there turns back the
       '-.        other way: quarters that are shifted against the squares beside them
         |

Where the edge runs on straight at the hole, as along a bar of half a square, there is no such step.

So is what a quarter makes that goes on in the square beside it, from the middle of that side to its corner in
the middle of the square.

Of the squares around a hole, in the order of `AROUND`, one is left of each direction in which an edge can
leave it, up, right, down or left, and the next is right of it. Each of these directions at each corner of a
square, in that order, has two bits in a word: which way an edge turns there.
"""

from functools import cache

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import AT_SIDE, SIDES, WHOLE_SIDES, odd_quarters, side_steps
from svg2chart.arranging.saws import TURNS
from svg2chart.letters.choices import choices
from svg2chart.letters.holes import beside_at, bytes_of, hole_steps, rings_with
from svg2chart.letters.steps import Kinds, edge_codes, kinds_of

Bools = NDArray[np.bool_]
Bytes = NDArray[np.uint8]
Ints = NDArray[np.int64]
Words = NDArray[np.uint32]

_AT_HOLE = range(4)
_NEAR_LEFT, _FAR_LEFT, _NEAR_RIGHT, _FAR_RIGHT = ((2 * np.arange(4) + octant) % 8 for octant in (2, 1, 5, 6))
"""Octants along the side that leads up, right, down or left from a hole: in the square left of it and in the
one right of it, at the hole and beyond the middle of the side."""


def half_steps(held: Bytes, around: Bytes, facing: Bytes, corners: Bools) -> Ints:
    """Return how many half steps each letter has.

    Args:
        held: what squares show.
        around: the rings of all holes.
        facing: what faces squares, as `beside` says.
        corners: at which holes the outline has one; at these there are no steps.
    """
    middles = _at_split_sides()[held, facing]
    letter, row, column = np.nonzero(middles)
    holes = np.zeros(len(letter), np.uint32)
    for corner, (down, across) in enumerate(((1, 1), (1, 0), (0, 0), (0, 1))):
        at = letter, row + down, column + across
        holes |= _at_corners()[corner, kinds_of(around[at], corners[at])]
    steps = np.bitwise_count(holes & middles[letter, row, column])
    found = np.bincount(letter, steps, len(held)).astype(np.int64)
    return np.asarray(found + quarter_steps(held, facing))


def quarter_steps(held: Bytes, facing: Bytes) -> Ints:
    """Return how many of them end in the middle of a square; arguments as for `half_steps`."""
    return np.asarray(WHOLE_SIDES[_going_on(held, facing)].sum(axis=(1, 2), dtype=np.int64))


def half_steps_with(held: Bytes, kinds: Kinds, at: Ints, wide: int) -> Bytes:
    """Return how many half steps touch some of the squares with each of their choices.

    Args:
        held: what all squares show, flat.
        kinds: of all holes, as `kinds_of` says.
        at: which squares.
        wide: how many a row has.
    """
    facing = beside_at(held, at, wide)
    middles = _at_sides_by_choice()[facing]
    middles |= _beyond(held, at, wide)[:, None]
    holes = np.zeros_like(middles)
    for step, by_choice in zip(hole_steps(wide), _at_corners_by_choice(), strict=True):
        holes |= by_choice[kinds[at + step]]
    found = np.bitwise_count(holes & middles)
    own, beside_it = _halves()
    found += own[facing]
    for step, by_choice in zip(side_steps(wide), beside_it, strict=True):
        found += by_choice[held[at + step]]
    return np.asarray(found)


def _turned(near_left: Ints, far_left: Ints, near_right: Ints, far_right: Ints) -> Ints:
    """Return 1 where an edge that comes from a hole turns left at the middle of a side, 2 where right.

    These are the bits of an edge that turns right, or left, at the hole: it makes a step.
    """
    left = (near_left != far_left) & (near_right == far_left) & (far_right == far_left)
    right = (near_right != far_right) & (near_left == far_right) & (far_left == far_right)
    return np.asarray(left + 2 * right)


def _bit(corner: int, direction: int) -> int:
    """Return where the two bits of a direction at a corner are in a word."""
    return 8 * corner + 2 * direction


@cache
def _at_corners() -> Words:
    """Return (4, 257) which way edges turn that leave a hole, by corner of a square and kind of the hole."""
    found = np.zeros((4, 257), np.uint32)
    for corner in _AT_HOLE:
        for direction in range(4):
            turns = TURNS[2 * direction].astype(np.uint32)[edge_codes()]
            found[corner, :256] |= turns << np.uint32(_bit(corner, direction))
    return found


@cache
def _at_corners_by_choice() -> Words:
    """Return (4, 257, choices) the same with each choice, by what else lies around each corner."""
    found = np.zeros((4, 257, len(choices().shown)), np.uint32)
    for corner in _AT_HOLE:
        found[corner, :256] = _at_corners()[corner][rings_with()[corner]]
    return found


def _at_sides(*, are_split: bool) -> Words:
    """Return (256, 256) how edges turn at the middles of sides, by what a square shows and what faces it.

    `are_split`: only at sides of which the square itself shows one half.
    """
    own = np.arange(256)[:, None, None] >> np.arange(8) & 1
    facing = np.arange(256)[None, :, None] >> np.arange(8) & 1
    found = np.zeros((256, 256), np.uint32)
    for corner in _AT_HOLE:
        for direction, is_left in ((corner, True), ((corner - 1) % 4, False)):
            near, far = (_NEAR_LEFT, _FAR_LEFT) if is_left else (_NEAR_RIGHT, _FAR_RIGHT)
            mine = own[..., near[direction]], own[..., far[direction]]
            other = facing[..., near[direction]], facing[..., far[direction]]
            turned = _turned(*mine, *other) if is_left else _turned(*other, *mine)
            if are_split:
                turned = turned * (mine[0] != mine[1])
            found |= turned.astype(np.uint32) << np.uint32(_bit(corner, direction))
    return found


@cache
def _at_split_sides() -> Words:
    return _at_sides(are_split=True)


@cache
def _at_sides_by_choice() -> Words:
    """Return (256, choices) the same, by what faces a square, with each of its choices."""
    return np.ascontiguousarray(_at_sides(are_split=False)[bytes_of(choices().shown)].T)


@cache
def _neighbours() -> tuple[tuple[int, int, Words], ...]:
    """Return the rows and columns to each neighbour of a square, and (256,) what it shows at sides beyond.

    That is, along the two sides that lead away from the square at each of its corners, a bit each of a byte;
    four of these: near and far, left of the side, near and far right of it.
    """
    places = ((1, 1), (1, 0), (0, 0), (0, 1))
    found: dict[tuple[int, int], Words] = {}
    shown = (np.arange(256)[:, None] >> np.arange(8) & 1).astype(np.uint32)
    for bit, (corner, direction) in enumerate(_outer()):
        for is_right in (False, True):
            square = (direction + is_right) % 4
            step = tuple(a - b for a, b in zip(places[corner], places[square], strict=True))
            near, far = (_NEAR_RIGHT, _FAR_RIGHT) if is_right else (_NEAR_LEFT, _FAR_LEFT)
            table = found.setdefault((step[0], step[1]), np.zeros(256, np.uint32))
            table |= shown[:, near[direction]] << np.uint32(bit + 16 * is_right)
            table |= shown[:, far[direction]] << np.uint32(bit + 16 * is_right + 8)
    return tuple((down, across, table) for (down, across), table in found.items())


def _outer() -> list[tuple[int, int]]:
    """Return the corners of a square with the directions in which sides lead away from it there."""
    return [(corner, (corner + turn) % 4) for corner in _AT_HOLE for turn in (1, 2)]


@cache
def _spread() -> Words:
    """Return (2, 256) a word by a byte, a bit for each side beyond: edges turn left there; or right."""
    bits = (np.arange(256)[:, None] >> np.arange(8) & 1).astype(np.uint32)
    found = np.zeros((2, 256), np.uint32)
    for bit, (corner, direction) in enumerate(_outer()):
        for way in range(2):
            found[way] |= bits[:, bit] << np.uint32(_bit(corner, direction) + way)
    return found


def _beyond(held: Bytes, at: Ints, wide: int) -> Words:
    """Return which way edges turn at the middles of the sides that lead away from squares."""
    shown = np.zeros(len(at), np.uint32)
    for down, across, table in _neighbours():
        shown |= table[held[at + (down * wide + across)]]
    near_left, far_left, near_right, far_right = (
        shown >> np.uint32(8 * place) & np.uint32(255) for place in range(4)
    )
    left = (near_left ^ far_left) & ~(near_right ^ far_left) & ~(far_right ^ far_left)
    right = (near_right ^ far_right) & ~(near_left ^ far_right) & ~(far_left ^ far_right)
    return np.asarray(_spread()[0, left & np.uint32(255)] | _spread()[1, right & np.uint32(255)])


@cache
def _odd() -> tuple[Bytes, Bytes]:
    """Return (256,) each, by what a square shows: its odd quarter's colour, and the octants at its sides."""
    colour, sides = odd_quarters(np.arange(256) >> np.arange(8)[:, None] & 1)
    return np.asarray(colour, np.uint8), sides


def _going_on(own: Bytes, facing: Bytes) -> Bytes:
    """Return the octants at which an odd quarter goes on in what faces it, as bits."""
    colour, sides = _odd()
    return np.asarray(np.where(colour[own], facing, ~facing) & sides[own])


def enclosed_quarters(held: Bytes, facing: Bytes) -> Ints:
    """Return how many squares of each letter have a bare quarter that is closed in."""
    colour, sides = _odd()
    is_bare = (colour[held] == 0) & (sides[held] > 0)
    return np.asarray((is_bare & (_going_on(held, facing) == 0)).sum(axis=(1, 2), dtype=np.int64))


def enclosed_parts(held: Bytes, facing: Bytes) -> Ints:
    """Return how many squares of each letter have a bare part that is closed in."""
    is_part = (held > 0) & (held < 255)
    return np.asarray((is_part & ((held | facing) == 255)).sum(axis=(1, 2), dtype=np.int64))


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
