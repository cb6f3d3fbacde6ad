"""The candidates of each undecided square: patterns with its own colours, and what each costs there."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.patterns import COST_UNIT, Fractions, Patterns, patterns
from svg2chart.octants.areas import VisibleAreas
from svg2chart.octants.stacks import BARE
from svg2chart.runs import places_in_runs, spread

Ints = NDArray[np.int64]

MOST_COLOURS = 4
"""A square has four quarters, so its four largest colours are as many as stitches can show."""

AREA_UNIT = 1 << 20
"""Areas are decided on as whole multiples of 2^-20 of a square: the commonest ties, halves and quarters,
then lie in the middle of a rounding bin, and a mirrored drawing decides alike."""

MARGIN = COST_UNIT
"""Candidates that cost so much more than the cheapest of the square are not looked at: no saving of edge
around one square outweighs them."""


SAW_COST = COST_UNIT // 4
"""What each saw costs where fractions can smooth it: enough that no straight edge and no disc of
up to 20 squares has one. Our choice, no source."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Candidates:
    """Candidates of all undecided squares, by square; (n,) each, but for `square_of` and `starts`.

    squares: (m,) the undecided squares, row * columns + column.
    starts: (m + 1,) where each square's candidates start.
    owner: index into `squares`.
    shown: (n, 8) the colour in each octant, an index into the areas' colours.
    cost: misfit and work, in COST_UNIT. inner: length of lines inside the square, in LENGTH_UNIT.
    rank: among equals the lower wins. depth: how far below its uppermost colour all of a square shows.
    saw_cost: what each saw costs, in COST_UNIT: nothing where no fractions may smooth it.
    table, pattern: which patterns, and which of them; locals: (n, 4) the colours of its numbers.
    """

    squares: Ints
    starts: Ints
    owner: Ints
    shown: Ints
    cost: Ints
    inner: Ints
    rank: Ints
    depth: Ints
    table: Ints
    pattern: Ints
    locals: Ints
    tables: tuple[Patterns, ...]
    saw_cost: int


def find_candidates(areas: VisibleAreas, *, differences: Ints, fractions: Fractions) -> Candidates:
    """Return the candidates of every square that shows more than one colour.

    Args:
        areas: what is seen of each colour; the first colour is bare.
        differences: (colours, colours) what a wrong square costs, in COST_UNIT / AREA_UNIT.
        fractions: which fractions may be used.
    """
    amount = np.rint(areas.octants * AREA_UNIT).astype(np.int64)
    square, colour, order = areas.square, areas.colour, areas.order
    # the largest colours of each square first, among equals the upper one
    by_size = np.lexsort((-order, -amount.sum(axis=1), square))
    place = places_in_runs(square[by_size])
    kept = by_size[place < MOST_COLOURS]
    # then these from the uppermost to bare cloth
    kept = kept[np.lexsort((colour[kept] == BARE, -order[kept], square[kept]))]
    squares, counts = np.unique(square[kept], return_counts=True)
    first = np.cumsum(counts) - counts
    has_bare = colour[kept][first + counts - 1] == BARE

    parts, tables = [], []
    for count in range(1, MOST_COLOURS + 1):
        for bare in (False, True):
            chosen = np.flatnonzero((counts == count) & (has_bare == bare))
            if len(chosen):
                tables.append(patterns(count, has_bare=bare, fractions=fractions))
                entries = kept[first[chosen][:, None] + np.arange(count)]
                parts.append(_of_table(tables, chosen, entries, colour, square, amount, differences))
    return _joined(squares, tuple(tables), parts, saw_cost=0 if fractions is Fractions.NONE else SAW_COST)


def _of_table(
    tables: list[Patterns],
    chosen: Ints,
    entries: Ints,
    colour: Ints,
    square: Ints,
    amount: Ints,
    differences: Ints,
) -> dict[str, Ints]:
    """Return the candidates of the chosen squares, which all have the last table's number of colours."""
    table = tables[-1]
    local = colour[entries]
    # what it costs if an octant shows local colour i: (squares, octants, i)
    wrong = _misfits(local, square[entries[:, 0]], colour, square, amount, differences)
    octants = np.arange(8)
    cost = wrong[:, octants, table.shown].sum(axis=2) + table.cost
    near = cost <= cost.min(axis=1, keepdims=True) + MARGIN
    which, pattern = np.nonzero(near)
    padded = np.zeros((len(which), MOST_COLOURS), np.int64)
    padded[:, : local.shape[1]] = local[which]
    return {
        "owner": chosen[which],
        "shown": np.take_along_axis(padded, table.shown[pattern], axis=1),
        "cost": cost[which, pattern],
        "inner": table.inner[pattern],
        "rank": table.rank[pattern],
        "depth": table.shown[pattern].sum(axis=1),
        "table": np.full(len(which), len(tables) - 1),
        "pattern": pattern,
        "locals": padded,
    }


def _misfits(local: Ints, at: Ints, colour: Ints, square: Ints, amount: Ints, differences: Ints) -> Ints:
    """Return the cost of each local colour in each octant: area of every colour seen times its difference."""
    low, high = np.searchsorted(square, at), np.searchsorted(square, at, side="right")
    rows = spread(low, high - low)
    owner = np.repeat(np.arange(len(at)), high - low)
    weight = differences[colour[rows][:, None], local[owner]]
    result = np.zeros((len(at), 8, local.shape[1]), np.int64)
    np.add.at(result, owner, amount[rows][:, :, None] * weight[:, None, :])
    return result


def _joined(
    squares: Ints, tables: tuple[Patterns, ...], parts: list[dict[str, Ints]], *, saw_cost: int
) -> Candidates:
    if not parts:
        none = np.zeros(0, np.int64)
        return Candidates(
            squares=squares,
            starts=np.zeros(1, np.int64),
            owner=none,
            shown=np.zeros((0, 8), np.int64),
            cost=none,
            inner=none,
            rank=none,
            depth=none,
            table=none,
            pattern=none,
            locals=np.zeros((0, MOST_COLOURS), np.int64),
            tables=(),
            saw_cost=saw_cost,
        )
    columns = {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}
    order = np.argsort(columns["owner"], kind="stable")
    columns = {name: values[order] for name, values in columns.items()}
    counts = np.bincount(columns["owner"], minlength=len(squares))
    starts = np.concatenate([[0], np.cumsum(counts)])
    return Candidates(squares=squares, starts=starts, tables=tables, saw_cost=saw_cost, **columns)
