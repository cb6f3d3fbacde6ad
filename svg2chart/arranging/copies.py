"""Parts of a drawing that look alike on the squares, worked alike.

What lies around a part bears on its stitches, and may settle one of two equal eyes otherwise than the other:

    .-xxx-. .-xxx-.      both are seen with the same areas in the same octants, one perhaps in a mirror;
    |xx.xx| |xx.xx|      where their stitches differ, all become like that which costs least in all of
    '-xxx-' '-xxx-'      their places

So are those of other colours: a sail as pale as the cloth keeps the tip that a red one has. What looks the
same in a mirror is worked the same on both sides, like that half which costs least.
A look that does not pay well enough for being the same everywhere is not put on any of them. Where a look
fits a place both straight and mirrored, and costs there the same, the place keeps what it has, and so do all
where two looks stand alike: no order of work decides. Copies that lie over each other become alike where all
of them can at once.
"""

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.blocks import (
    ACROSS,
    DOWN,
    TURNS,
    Copies,
    copies_in,
    numbered_blocks,
    of_one_size,
    turned,
)
from svg2chart.arranging.boards import Boards
from svg2chart.arranging.candidates import Candidates
from svg2chart.arranging.patches import energies_of_patches
from svg2chart.arranging.patterns import COST_UNIT
from svg2chart.octants.areas import VisibleAreas
from svg2chart.runs import begins, in_order

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

WORTH = COST_UNIT // 2
"""So much more each copy may cost that becomes like the others, in wrong squares. Our choice, no source."""


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
    groups = list(of_one_size(boxes, *solid.shape))
    if not groups:
        return chosen
    shown = np.repeat(solid.reshape(-1, 1), 8, axis=1)
    shown[candidates.squares] = candidates.shown(chosen)
    boards: Boards | None = None
    for copies in (copies for group in groups for copies in copies_in(numbered_blocks(areas, group), areas)):
        looks = _looks(copies, shown)
        for proposed in (_mirrored(copies, looks), looks):
            if any(_have(look, copies, shown).all() for look in proposed):
                continue
            boards = boards or Boards(candidates, solid, allowance, (chosen,))
            if _work_like_one(copies, proposed, boards, shown):
                shown[candidates.squares] = candidates.shown(boards.chosen)
                break
    return chosen if boards is None else boards.chosen


def _looks(copies: Copies, shown: Ints) -> list[Ints]:
    """Return the looks of copies as the first lies, (rows, columns, 8), with a number for each colour."""
    blocks = zip(copies.blocks.numbers(shown), copies.turns, strict=True)
    return _distinct(min(_turns_of(block, turns).items())[1] for block, turns in blocks)


def _mirrored(copies: Copies, looks: Sequence[Ints]) -> list[Ints]:
    """Return looks with one half on both sides of the mirrors in which copies look the same, if any."""
    mirrors = [turn for turn in (ACROSS, DOWN) if turn in copies.turns[0]]
    halves = list(looks) if mirrors else []
    for turn in mirrors:
        is_first = _is_first_half(turn, *looks[0].shape[:2])
        pairs = [(half, turned(half, turn)) for half in halves]
        halves = [np.where(is_first, *each) for pair in pairs for each in (pair, pair[::-1])]
    return _distinct(halves)


def _distinct(looks: Iterable[Ints]) -> list[Ints]:
    """Return those that differ, in order."""
    return list({look.tobytes(): look for look in looks}.values())


def _turns_of(look: Ints, turns: Iterable[int]) -> dict[bytes, Ints]:
    """Return a look mirrored in each of some ways, by its bytes."""
    return {(own := turned(look, turn)).tobytes(): own for turn in turns}


def _is_first_half(turn: int, high: int, wide: int) -> Bools:
    """Return (high, wide, 8) which octants of a block lie to the left of its middle, or above it."""
    row, column, octant = np.indices((high, wide, 8))
    if turn == ACROSS:
        return np.asarray(np.where(2 * column + 1 == wide, octant > 3, 2 * column + 1 < wide))
    return np.asarray(np.where(2 * row + 1 == high, (octant + 2) % 8 < 4, 2 * row + 1 < high))


def _have(look: Ints, copies: Copies, shown: Ints) -> Bools:
    """Return which copies have a look, in any of the ways that they look like the first."""
    numbers = copies.blocks.numbers(shown)
    ways = [(numbers == turned(look, turn)).all(axis=(1, 2, 3)) for turn in range(len(TURNS))]
    return np.array([any(ways[turn][copy] for turn in turns) for copy, turns in enumerate(copies.turns)])


def _work_like_one(copies: Copies, looks: Sequence[Ints], boards: Boards, shown: Ints) -> bool:
    """Show on a board all copies like that which costs least; return whether any changes.

    Of looks that cost the same it is that which the most have, of those one by how it looks in any mirror.
    """
    options = []
    for look in looks:
        have = _have(look, copies, shown)
        others = np.flatnonzero(~have).tolist()
        changes = [_best_change(look, copies, number, boards, shown) for number in others]
        known = [change for change in changes if change is not None]
        if known:
            places, entries = (np.concatenate(column) for column in zip(*known, strict=True))
            changed = shown.copy()
            changed[boards.candidates.squares[places]] = boards.candidates.shown(entries)
            # where they lie over each other fewer may have it
            if _have(look, copies, changed).sum() < have.sum() + len(known):
                continue
            more = _costs_more(boards, places, entries)
            if more <= WORTH * len(known):
                standing = (len(changes) - len(known), more, len(known), _in_any_mirror(look))
                options.append((standing, places, entries))
    least = min((standing for standing, *_ in options), default=None)
    best = [(places, entries) for standing, places, entries in options if standing == least]
    if len(best) != 1:
        return False
    boards.show(*best[0])
    return True


def _in_any_mirror(look: Ints) -> bytes:
    """Return what is the same for a look, turned and mirrored in any way, and differs for other looks."""
    quarter = np.roll(np.rot90(look, -1), 2, axis=-1)
    return min(least for each in (look, quarter) for least in _turns_of(each, range(len(TURNS))))


def _best_change(
    look: Ints, copies: Copies, number: int, boards: Boards, shown: Ints
) -> tuple[Ints, Ints] | None:
    """Return the undecided squares of a copy that change, and their candidates; None if it keeps its look."""
    squares, found = copies.blocks.squares[number].ravel(), []
    look = copies.blocks.colour[number, look]
    for wanted in _turns_of(look, copies.turns[number]).values():
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
