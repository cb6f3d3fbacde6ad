"""Parts of a drawing that look alike on the squares, worked alike.

What lies around a part bears on its stitches, and may settle one of two equal eyes otherwise than the other:

    .-xxx-. .-xxx-.      both are seen with the same areas in the same octants, one perhaps in a mirror;
    |xx.xx| |xx.xx|      where their stitches differ, all become like that which costs least in all of
    '-xxx-' '-xxx-'      their places

So are those of other colours: a sail as pale as the cloth keeps the tip that a red one has.
A look that does not pay well enough for being the same everywhere is not put on any of them. Where a look
fits a place both straight and mirrored, and costs there the same, the place keeps what it has, and so do all
where two looks stand alike: no order of work decides. Copies that lie over each other become alike where all
of them can at once.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.boards import Boards
from svg2chart.arranging.candidates import Candidates
from svg2chart.arranging.patches import energies_of_patches
from svg2chart.arranging.patterns import COST_UNIT
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

SAME = 1 / 256
"""Octants of which so many squares more or less are seen look the same. Our choice, no source."""

NEAR = SAME + 2.0**-30
"""So far at the most the means of blocks are apart that look the same; a mean is rounded."""

ROUNDED = 1 / 256
"""A box that goes so much over a hole line, in squares, ends there."""

LARGEST = 48
"""Larger parts, in squares, are landscape; our own choice."""

WORTH = COST_UNIT // 2
"""So much more each copy may cost that becomes like the others, in wrong squares. Our choice, no source."""

BARE_ORDER = -1
"""The paint order of bare cloth."""

GOLDEN_ANGLE = np.pi * (3 - np.sqrt(5))  # exact; of any number of steps by it no two end near each other

# which of the two ways each is mirrored: across, and down
_TURNS = ((False, False), (True, False), (False, True), (True, True))


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Blocks:
    """Blocks of squares of one size.

    squares: (n, rows, columns) of each, row * columns + column. number: (n, colours) what stands for each
    colour there: the same for those that lie alike. colour: (n, 2 colours) what each number stands for.
    """

    squares: Ints
    number: Ints
    colour: Ints

    def only(self, kept: Ints) -> "_Blocks":
        """Return some of them."""
        return _Blocks(squares=self.squares[kept], number=self.number[kept], colour=self.colour[kept])

    def numbers(self, shown: Ints) -> Ints:
        """Return (n, rows, columns, 8) the numbers of the colours that octants show."""
        return np.take_along_axis(
            self.number, shown[self.squares].reshape(len(self.squares), -1), axis=1
        ).reshape(*self.squares.shape, 8)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Copies:
    """Blocks that look alike, but for their colours.

    blocks: in all of them a number stands for what lies alike. turns: for each which of `_TURNS` make the
    first look like it.
    """

    blocks: _Blocks
    turns: tuple[tuple[int, ...], ...]


def work_copies_alike(
    areas: VisibleAreas, candidates: Candidates, solid: Ints, allowance: Ints, chosen: Ints, boxes: Floats
) -> Ints:
    """Return a candidate for each undecided square, so that copies look alike.

    Args:
        areas: what is seen of each colour.
        candidates: of the undecided squares.
        solid: (rows, columns) the colour of the decided squares.
        allowance: (rows + 2, columns + 2) the drawing's own edge around each square, in LENGTH_UNIT.
        chosen: a candidate for each undecided square.
        boxes: (n, 4) around parts of the drawing, in squares; those that look alike are found.
    """
    groups = list(_of_one_size(boxes, *solid.shape))
    if not groups:
        return chosen
    shown = np.repeat(solid.reshape(-1, 1), 8, axis=1)
    shown[candidates.squares] = candidates.shown(chosen)
    boards: Boards | None = None
    for copies in (copies for group in groups for copies in _copies_in(_numbered(areas, group), areas)):
        looks = _looks(copies, shown)
        if len(looks) < 2:
            continue
        boards = boards or Boards(candidates, solid, allowance, (chosen,))
        if _work_like_one(copies, looks, boards, shown):
            shown[candidates.squares] = candidates.shown(boards.chosen)
    return chosen if boards is None else boards.chosen


def _of_one_size(boxes: Floats, rows: int, columns: int) -> Iterator[Ints]:
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
        if len(group) > 1:
            high, wide = group[0, :2]
            block = np.arange(high)[:, None] * columns + np.arange(wide)
            yield (group[:, 2] * columns + group[:, 3])[:, None, None] + block


def _numbered(areas: VisibleAreas, squares: Ints) -> _Blocks:
    """Return blocks with numbers for the colours in each: by how much of it is seen, how far out, and over what.

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
    number, colours = np.zeros((blocks, count), np.int64), np.zeros((blocks, 2 * count), np.int64)
    np.put_along_axis(number, order, rank, axis=1)
    np.put_along_axis(colours, number, np.broadcast_to(np.arange(count), number.shape), axis=1)
    return _Blocks(squares=squares, number=number, colour=colours)


def _seen_in(areas: VisibleAreas, squares: Ints) -> tuple[Ints, Ints, Floats, Ints]:
    """Return what is seen in squares: (m,) which of them, flat, the colour, its (m, 8) octants, paint order."""
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


def _seen(areas: VisibleAreas, blocks: _Blocks) -> NDArray[np.complex128]:
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


def _turned(blocks: NDArray[_Kind], turn: int) -> NDArray[_Kind]:
    """Return (..., rows, columns, 8) blocks mirrored."""
    for is_mirrored, axis, octants in zip(_TURNS[turn], (-2, -3), MIRRORS, strict=True):
        blocks = np.flip(blocks, axis)[..., octants] if is_mirrored else blocks
    return blocks


def _copies_in(blocks: _Blocks, areas: VisibleAreas) -> Iterator[_Copies]:
    """Yield those of blocks of one size that look alike, all that do together."""
    seen = _seen(areas, blocks)
    # in any mirror the mean is the same: few are to be looked at
    mean = seen.mean(axis=(2, 3, 4)).T
    order = np.argsort(mean[:, 0].real, kind="stable")
    ordered = mean[order, 0].real
    least, most = (np.searchsorted(ordered, mean[:, 0].real + off) for off in (-NEAR, NEAR))
    is_left = np.ones(len(mean), np.bool_)
    for one in range(len(mean)):
        near = np.sort(order[least[one] : most[one]])
        near = near[is_left[near] & (np.abs(mean[near] - mean[one]) <= NEAR).all(axis=1)]
        if not is_left[one] or len(near) < 2:
            continue
        block = seen[:, one, None]
        alike = np.stack(
            [
                np.abs(_turned(block, turn) - seen[:, near]).max(axis=(0, 2, 3, 4)) <= SAME
                for turn in range(len(_TURNS))
            ]
        )
        own = alike.any(axis=0)
        is_left[near[own]] = False
        if own.sum() > 1:
            turns = tuple(tuple(np.flatnonzero(each).tolist()) for each in alike[:, own].T)
            yield _Copies(blocks=blocks.only(near[own]), turns=turns)


def _looks(copies: _Copies, shown: Ints) -> list[tuple[Ints, list[int]]]:
    """Return the looks of copies as the first lies, (rows, columns, 8), each with the copies that have it.

    What octants show is told by number.
    """
    found: dict[bytes, tuple[Ints, list[int]]] = {}
    for number, (block, turns) in enumerate(zip(copies.blocks.numbers(shown), copies.turns, strict=True)):
        look = min((_turned(block, turn) for turn in turns), key=lambda look: look.tobytes())
        found.setdefault(look.tobytes(), (look, []))[1].append(number)
    return list(found.values())


def _work_like_one(copies: _Copies, looks: list[tuple[Ints, list[int]]], boards: Boards, shown: Ints) -> bool:
    """Show on a board all copies like that which costs least; return whether any changes.

    Of looks that cost the same it is that which the most have.
    """
    options = []
    for look, own in looks:
        changes = [
            _best_change(look, copies, number, boards, shown)
            for number in range(len(copies.turns))
            if number not in own
        ]
        known = [change for change in changes if change is not None]
        if known:
            places, entries = (np.concatenate(column) for column in zip(*known, strict=True))
            if _count(look, copies, boards.candidates, places, entries, shown) < len(own) + len(known):
                continue
            more = _costs_more(boards, places, entries)
            if more <= WORTH * len(known):
                options.append(((len(changes) - len(known), more, len(known)), places, entries))
    least = min((standing for standing, *_ in options), default=None)
    best = [(places, entries) for standing, places, entries in options if standing == least]
    if len(best) != 1:
        return False
    boards.show(*best[0])
    return True


def _count(
    look: Ints, copies: _Copies, candidates: Candidates, places: Ints, entries: Ints, shown: Ints
) -> int:
    """Return how many copies have a look once they change; where they lie over each other it may be fewer."""
    changed = shown.copy()
    changed[candidates.squares[places]] = candidates.shown(entries)
    return next((len(own) for each, own in _looks(copies, changed) if np.array_equal(each, look)), 0)


def _best_change(
    look: Ints, copies: _Copies, number: int, boards: Boards, shown: Ints
) -> tuple[Ints, Ints] | None:
    """Return the undecided squares of a copy that change, and their candidates; None if it keeps its look."""
    squares, found = copies.blocks.squares[number].ravel(), []
    look = copies.blocks.colour[number, look]
    distinct = {(wanted := _turned(look, turn)).tobytes(): wanted for turn in copies.turns[number]}
    for wanted in distinct.values():
        other = np.flatnonzero((shown[squares] != wanted.reshape(-1, 8)).any(axis=1))
        change = _entries(boards.candidates, squares[other], wanted.reshape(-1, 8)[other])
        if change is not None:
            found.append((_costs_more(boards, *change), change))
    least = min((more for more, _ in found), default=0)
    best = [change for more, change in found if more == least]
    return best[0] if len(best) == 1 else None


def _entries(candidates: Candidates, squares: Ints, wanted: Ints) -> tuple[Ints, Ints] | None:
    """Return undecided squares, by number, and their candidates that show this; None if one has none."""
    place = np.minimum(np.searchsorted(candidates.squares, squares), len(candidates.squares) - 1)
    if (candidates.squares[place] != squares).any():
        return None
    entries = candidates.of(place)
    number = np.repeat(np.arange(len(place)), candidates.starts[place + 1] - candidates.starts[place])
    same = np.flatnonzero((candidates.shown(entries) == wanted[number]).all(axis=1))
    # what shows the same may be worked in several ways
    same = same[in_order(number[same], candidates.standing(entries[same], candidates.cost[entries[same]]))]
    first = same[begins(number[same])]
    return (place, entries[first]) if len(first) == len(place) else None


def _costs_more(boards: Boards, places: Ints, entries: Ints) -> int:
    """Return how much more a board costs, in COST_UNIT, if it shows these candidates there."""
    before, squares, patch = boards.chosen[places], boards.squares[places], np.zeros(len(places), np.int64)
    costs = []
    for shown in (entries, before):
        boards.show(places, shown)
        costs.append(int(energies_of_patches(boards, squares, patch)[0]))
    return costs[0] - costs[1]
