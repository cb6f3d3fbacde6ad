"""Blocks of squares around parts of a drawing, and which of them look alike, whatever their colours are.

In each block a number stands for each colour, by how much of it is seen there and how far out:

    .-rrr-. .-bbb-.      .-000-.      a red sail and a blue one are the same once they are told by number,
    |rrwrr| |bbwbb|  ->  |00100|      one of them perhaps in a mirror
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.straight import MIRRORS
from svg2chart.octants.areas import MIXED, VisibleAreas
from svg2chart.octants.stacks import BARE
from svg2chart.runs import begins, in_order, lengths, spread, totals

_Kind = TypeVar("_Kind", bound=np.generic)
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SAME_AMOUNT = 0.013
"""Colours of which so many squares more or less are seen are told apart by how far out they lie. It is no
round number: what art on a lattice shows lies well on one side. Our choice, no source."""

SAME = 1 / 64
"""Octants of which so many squares more or less are seen look the same. Our choice, no source."""

NEAR = SAME + 2.0**-30
"""So far at the most the means of blocks are apart that look the same; a mean is rounded."""

ROUNDED = 1 / 32
"""A box that goes so much over a hole line, in squares, ends there."""

LARGEST = 48
"""Larger parts, in squares, are landscape; our own choice."""

BARE_ORDER = -1
"""The paint order of bare cloth."""

NOTHING = -1
"""What a number stands for in a block where it stands for no colour."""

GOLDEN_ANGLE = np.pi * (3 - np.sqrt(5))  # exact; of any number of steps by it no two end near each other

# which of the two ways each is mirrored: across, and down
TURNS = ((False, False), (True, False), (False, True), (True, True))
ACROSS, DOWN = 1, 2


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Blocks:
    """Blocks of squares of one size.

    squares: (n, rows, columns) of each, row * columns + column. number: (n, colours) what stands for each
    colour there: the same for those that lie alike. colour: (n, 2 colours) what each number stands for, or
    NOTHING.
    """

    squares: Ints
    number: Ints
    colour: Ints

    def only(self, kept: Ints) -> "Blocks":
        """Return some of them."""
        return Blocks(squares=self.squares[kept], number=self.number[kept], colour=self.colour[kept])

    def numbers(self, shown: Ints) -> Ints:
        """Return (n, rows, columns, 8) the numbers of the colours that octants show."""
        return np.take_along_axis(
            self.number, shown[self.squares].reshape(len(self.squares), -1), axis=1
        ).reshape(*self.squares.shape, 8)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Copies:
    """Blocks that look alike, but for their colours.

    blocks: in all of them a number stands for what lies alike. turns: for each which of `TURNS` make the
    first look like it.
    """

    blocks: Blocks
    turns: tuple[tuple[int, ...], ...]


def of_one_size(boxes: Floats, rows: int, columns: int) -> Iterator[Ints]:
    """Yield (n, rows, columns) the squares of blocks around boxes, those of one size together."""
    left, top = np.floor(boxes[:, :2] + ROUNDED).astype(np.int64).T
    right, bottom = np.ceil(boxes[:, 2:] - ROUNDED).astype(np.int64).T
    kept = (left >= 0) & (top >= 0) & (right <= columns) & (bottom <= rows) & (right > left) & (bottom > top)
    kept &= np.maximum(right - left, bottom - top) <= LARGEST
    blocks = np.stack([bottom - top, right - left, top, left], axis=1)[kept]
    # larger ones first: what lies within goes with them
    _, first = np.unique(blocks, axis=0, return_index=True)
    blocks = blocks[np.sort(first)]
    blocks = blocks[in_order(LARGEST**2 - blocks[:, 0] * blocks[:, 1], blocks[:, 0])]
    for group in np.split(blocks, np.flatnonzero(begins(*blocks[:, :2].T))[1:]):
        if len(group):
            high, wide = group[0, :2]
            block = np.arange(high)[:, None] * columns + np.arange(wide)
            yield (group[:, 2] * columns + group[:, 3])[:, None, None] + block


def numbered_blocks(areas: VisibleAreas, squares: Ints) -> Blocks:
    """Return blocks with numbers for their colours: by how much is seen, how far out, and over what.

    Two that one shape shows as much, as far out, have numbers of their own in all blocks: nothing could tell
    which of them is which.
    """
    count, (blocks, high, wide) = len(areas.colours), squares.shape
    index, colour, octants, paint_order = _seen_in(areas, squares)
    block, place = np.divmod(index, high * wide)
    row, column = np.divmod(place, wide)
    far = (row - (high - 1) / 2) ** 2 + (column - (wide - 1) / 2) ** 2
    amount = octants.sum(axis=1)
    at = block * count + colour
    sums = [totals(at, weights, blocks * count) for weights in (amount, amount * far)]
    uppermost = np.full(blocks * count, BARE_ORDER)
    np.maximum.at(uppermost, at, paint_order)
    standing = np.stack([*(np.rint(each / SAME_AMOUNT).astype(np.int64) for each in sums), uppermost])
    standing = standing.reshape(3, blocks, count)
    order = np.lexsort(-standing[::-1], axis=-1)
    ordered = np.take_along_axis(standing, order[None], axis=2)
    is_next = (ordered[:, :, 1:] == ordered[:, :, :-1]).all(axis=0)
    is_tied = np.pad(is_next, ((0, 0), (0, 1))) | np.pad(is_next, ((0, 0), (1, 0))) | (ordered[0] == 0)
    rank = np.where(is_tied, count + order, np.arange(count))
    number, colours = np.zeros_like(order), np.full((blocks, 2 * count), NOTHING)
    np.put_along_axis(number, order, rank, axis=1)
    np.put_along_axis(colours, number, np.broadcast_to(np.arange(count), number.shape), axis=1)
    return Blocks(squares=squares, number=number, colour=colours)


def _seen_in(areas: VisibleAreas, squares: Ints) -> tuple[Ints, Ints, Floats, Ints]:
    """Return what is seen in squares: (m,) which of them, the colour, (m, 8) octants, and paint order."""
    first = np.flatnonzero(begins(areas.square))
    mixed = areas.square[first]
    count, start = np.ones(areas.solid.size, np.int64), np.full(areas.solid.size, len(areas.square))
    count[mixed], start[mixed] = lengths(first, len(areas.square)), first
    flat = squares.ravel()
    index, entry = np.repeat(np.arange(len(flat)), count[flat]), spread(start[flat], count[flat])
    solid, filled_by = areas.solid.take(flat[index]), areas.filled_by.take(flat[index])
    colour = np.where(solid == MIXED, np.append(areas.colour, BARE)[entry], solid)
    order = np.where(solid == MIXED, np.append(areas.order, BARE_ORDER)[entry], filled_by)
    return index, colour, np.concatenate([areas.octants, np.full((1, 8), 1 / 8)])[entry], order


def _seen(areas: VisibleAreas, blocks: Blocks) -> NDArray[np.complex128]:
    """Return (2, n, rows, columns, 8) what octants show as two numbers: the same for what looks the same."""
    # on a circle, each colour by the golden angle off the one before: no two lie near each other; and by its
    # square, so that sums of few parts that are equal in the one are not in the other
    place = np.arange(2 * len(areas.colours))
    point = np.exp(1j * np.stack([GOLDEN_ANGLE * place, place**2]))
    index, colour, octants, _ = _seen_in(areas, blocks.squares)
    number = blocks.number[index // blocks.squares[0].size, colour]
    parts = point[:, number, None] * octants
    result = np.add.reduceat(parts, np.flatnonzero(begins(index)), axis=1)
    return np.asarray(result.reshape(2, *blocks.squares.shape, 8))


def turned(blocks: NDArray[_Kind], turn: int) -> NDArray[_Kind]:
    """Return (..., rows, columns, 8) blocks mirrored."""
    for is_mirrored, axis, octants in zip(TURNS[turn], (-2, -3), MIRRORS, strict=True):
        blocks = np.flip(blocks, axis)[..., octants] if is_mirrored else blocks
    return blocks


def copies_in(blocks: Blocks, areas: VisibleAreas) -> Iterator[Copies]:
    """Yield blocks of one size, all that look alike together."""
    seen = _seen(areas, blocks)
    # in any mirror the mean is the same: few are to be looked at
    mean = seen.mean(axis=(2, 3, 4)).T
    order = np.argsort(mean[:, 0].real, kind="stable")
    ordered = mean[order, 0].real
    least, most = (np.searchsorted(ordered, mean[:, 0].real + off) for off in (-NEAR, NEAR))
    is_left = np.ones(len(mean), np.bool_)
    for one in range(len(mean)):
        if not is_left[one]:
            continue
        near = np.sort(order[least[one] : most[one]])
        near = near[is_left[near] & (np.abs(mean[near] - mean[one]) <= NEAR).all(axis=1)]
        block = seen[:, one, None]
        alike = np.stack(
            [
                np.abs(turned(block, turn) - seen[:, near]).max(axis=(0, 2, 3, 4)) <= SAME
                for turn in range(len(TURNS))
            ]
        )
        own = alike.any(axis=0)
        is_left[near[own]] = False
        turns = tuple(tuple(np.flatnonzero(each).tolist()) for each in alike[:, own].T)
        yield Copies(blocks=blocks.only(near[own]), turns=turns)
