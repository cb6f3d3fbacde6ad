"""The candidates of each undecided square: patterns with its own colours, and what each costs there."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import Bytes, rows_as_bits
from svg2chart.arranging.patterns import COST_UNIT, MOST_COLOURS, Fractions, Patterns, patterns
from svg2chart.arranging.straight import Straight, follow_sides
from svg2chart.octants.areas import VisibleAreas
from svg2chart.octants.stacks import BARE
from svg2chart.runs import begins, in_order, places_in_runs, spread

Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

AREA_UNIT = 1 << 20
"""Areas are decided on as whole multiples of 2^-20 of a square: the commonest ties, halves and quarters,
then lie in the middle of a rounding bin, and a mirrored drawing decides alike."""

MARGIN = COST_UNIT
"""Candidates that cost so much more than the cheapest of the square are not looked at: no saving of edge
around one square outweighs them."""

SAW_COST = 2 * COST_UNIT // 5
"""What each saw costs where fractions can smooth it. Half way between two diagonals of holes a step leaves a
quarter of a square less wrong than a three-quarter stitch and saves the tenth that this costs as work: a saw
costs more than both together. Our choice, no source."""

_RANKS = 1 << 10  # more than there are


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Candidates:
    """Candidates of all undecided squares, by square.

    squares: (m,) the undecided squares, row * columns + column.
    locals: (m, 4) the colours that patterns show there: an index into the areas' colours.
    starts: (m + 1,) where each square's candidates start.
    owner: (n,) index into `squares`. pattern: (n,) index into `patterns`.
    cost: (n,) misfit and work, in COST_UNIT.
    of_entry: index into `squares` for each entry of the areas.
    saw_cost: what each saw costs, in COST_UNIT: nothing where no fractions may smooth it.
    """

    squares: Ints
    locals: Ints
    starts: Ints
    owner: Ints
    pattern: Ints
    cost: Ints
    of_entry: Ints
    patterns: Patterns
    saw_cost: int

    def of(self, squares: Ints) -> Ints:
        """Return the candidates of these squares, square by square."""
        return spread(self.starts[squares], self.starts[squares + 1] - self.starts[squares])

    def only(self, kept: Bools) -> "Candidates":
        """Return the same with some of the candidates; each square keeps one or more."""
        counts = np.bincount(self.owner[kept], minlength=len(self.squares))
        return replace(
            self,
            starts=np.concatenate([[0], np.cumsum(counts)]),
            owner=self.owner[kept],
            pattern=self.pattern[kept],
            cost=self.cost[kept],
        )

    def shown(self, rows: Ints) -> Ints:
        """Return (k, 8) the colour in each octant of these candidates."""
        local = self.patterns.shown.take(self.pattern.take(rows), axis=0)
        local += MOST_COLOURS * self.owner.take(rows)[:, None]
        return self.locals.take(local)

    def made(self, areas: VisibleAreas, chosen: Ints, among: Ints) -> Bytes:
        """Return which octants show the colours of entries of the areas, in bits.

        Args:
            areas: those that the candidates are for.
            chosen: a candidate for each undecided square.
            among: the indices of the entries.
        """
        shown = self.shown(chosen.take(self.of_entry.take(among)))
        return rows_as_bits(shown == areas.colour.take(among)[:, None])

    def standing(self, rows: Ints, cost: Ints) -> Ints:
        """Return cost and rank of these candidates in one number, for `best_rows`."""
        return cost * _RANKS + self.patterns.rank[self.pattern[rows]]


def best_rows(owner: Ints, standing: Ints) -> Ints:
    """Return the index of the row of each owner that stands lowest, by owner.

    Rows that stand alike are passed over: they only turn each other; owners that have no other are left out.
    Rows come by owner.
    """
    starts = np.flatnonzero(begins(owner))
    if not len(starts):
        return starts
    lowest = np.repeat(np.minimum.reduceat(standing, starts), np.diff(np.append(starts, len(owner))))
    best = np.flatnonzero(standing == lowest)
    again = ~begins(owner[best])
    if not again.any():
        return best
    is_tied = np.isin(owner, owner[best[again]])
    others = np.flatnonzero(is_tied & (standing != lowest))
    of_tied = others[best_rows(owner[others], standing[others])]
    return np.sort(np.concatenate([best[~is_tied[best]], of_tied]))


def find_candidates(areas: VisibleAreas, *, differences: Ints, fractions: Fractions) -> Candidates:
    """Return the candidates of every square that shows more than one colour, as they follow straight sides.

    Args:
        areas: what is seen of each colour; the first colour is bare.
        differences: (colours, colours) what a wrong square costs, in COST_UNIT / AREA_UNIT.
        fractions: which fractions may be used.
    """
    free = find_free_candidates(areas, differences=differences, fractions=fractions)
    return free.only(_following(free, follow_sides(areas)))


def find_free_candidates(areas: VisibleAreas, *, differences: Ints, fractions: Fractions) -> Candidates:
    """Return the candidates whether they follow straight sides or not; arguments as for `find_candidates`."""
    amount = np.rint(areas.octants * AREA_UNIT).astype(np.int64)
    square, colour = areas.square, areas.colour
    size = amount.sum(axis=1)
    less, below = size.max(initial=0) - size, areas.level.max(initial=0) - areas.level
    # of more colours than patterns have the largest, among equals the upper ones
    is_many = np.bincount(square)[square] > MOST_COLOURS
    many = np.flatnonzero(is_many)
    by_size = many[in_order(square[many], less[many], below[many])]
    largest = by_size[places_in_runs(square[by_size]) < MOST_COLOURS]
    kept = np.concatenate([np.flatnonzero(~is_many), largest])
    # from the uppermost to bare cloth
    kept = kept[in_order(square[kept], (colour[kept] == BARE).astype(np.int64), below[kept])]
    first = np.flatnonzero(begins(square[kept]))
    counts = np.diff(np.append(first, len(kept)))
    squares, has_bare = square[kept[first]], colour[kept[first + counts - 1]] == BARE
    local = np.zeros((len(squares), MOST_COLOURS), np.int64)
    local[np.repeat(np.arange(len(squares)), counts), places_in_runs(square[kept])] = colour[kept]

    wrong = _misfits(local, colour, square, amount, differences)
    table = patterns(fractions)
    parts = []
    for count in range(1, MOST_COLOURS + 1):
        for bare in (0, 1):
            chosen = np.flatnonzero((counts == count) & (has_bare == bare))
            start = table.first[count, bare]
            parts.append(_of_patterns(table, slice(start, start + table.size[count, bare]), chosen, wrong))
    owner, pattern, cost = (np.concatenate(column) for column in zip(*parts, strict=True))
    by_owner = in_order(owner)
    return Candidates(
        squares=squares,
        locals=local,
        starts=np.concatenate([[0], np.cumsum(np.bincount(owner, minlength=len(squares)))]),
        owner=owner[by_owner],
        pattern=pattern[by_owner],
        cost=cost[by_owner],
        of_entry=np.cumsum(begins(square)) - 1,
        patterns=table,
        saw_cost=0 if fractions is Fractions.NONE else SAW_COST,
    )


def _following(candidates: Candidates, straight: Straight) -> Bools:
    """Return which candidates follow straight sides; of squares in which none does, all."""
    place = np.searchsorted(candidates.squares, straight.square)
    counts = np.diff(candidates.starts)[place]
    rows = candidates.of(place)
    index = np.repeat(np.arange(len(place)), counts)
    shown = candidates.shown(rows) == straight.colour[index, None]
    strays = np.zeros(len(candidates.owner), np.bool_)
    strays[rows[~straight.followed(index, shown)]] = True
    can = np.bincount(candidates.owner, ~strays, len(candidates.squares)) > 0
    return ~strays | ~can[candidates.owner]


def _of_patterns(table: Patterns, which: slice, chosen: Ints, wrong: Ints) -> tuple[Ints, Ints, Ints]:
    """Return square, pattern and cost of those patterns in the chosen squares that can win."""
    shown = table.shown[which]
    wrong = wrong[:, :, chosen]
    cost = sum((wrong[octant, shown[:, octant]] for octant in range(8)), table.cost[which][:, None])
    pattern, owner = np.nonzero(cost <= cost.min(axis=0) + MARGIN)
    return chosen[owner], pattern + which.start, cost[pattern, owner]


def _misfits(local: Ints, colour: Ints, square: Ints, amount: Ints, differences: Ints) -> Ints:
    """Return (8, colours, squares) what each local colour costs in each octant.

    It is the area of every colour seen there times its difference.
    """
    starts = np.flatnonzero(begins(square))
    if not len(starts):
        return np.zeros((8, MOST_COLOURS, 0), np.int64)
    owner = np.repeat(np.arange(len(starts)), np.diff(np.append(starts, len(square))))
    weight = differences[colour, local.T[:, owner]]
    return np.add.reduceat(amount.T[:, None] * weight, starts, axis=2)
