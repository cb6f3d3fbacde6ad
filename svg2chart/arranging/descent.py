"""The arrangement of least energy: misfit, work and edges of the whole chart.

energy = cost of every square's candidate (misfit and work, `candidates`)
       + EDGE_COST for each length of line between colours, inside squares and along their
         sides, as far as a square has more of it than the drawing has around there
       + what each saw (`saws`) costs, where fractions can be used to avoid them.

A side belongs half to each of its squares. In each sweep every undecided square finds
its best move, and each move that gains more than any move in the 5 by 5 squares around it is
made at once: moves that far apart do not touch, so the energy falls by all the gains,
and nothing depends on an order of work. Of moves that gain equally near each other that
which shows more of the upper colours is made; where that leaves a choice too they are made
together, and taken back where that does not pay. All numbers are whole, so that equal
is equal; a square whose best moves are mirror images of each other keeps what it has.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.candidates import Candidates
from svg2chart.arranging.patterns import COST_UNIT, LENGTH_UNIT
from svg2chart.arranging.saws import Saws
from svg2chart.runs import begins, spread

Ints = NDArray[np.int64]

EDGE_COST = round(0.20 * COST_UNIT / LENGTH_UNIT)
MOST_SWEEPS = 1000
"""Each sweep lowers the energy; real drawings settle in 10 to 40."""

# for each side: step to the neighbour, my two octants there and those of the neighbour that face them
_SIDES = (
    ((-1, 0), (7, 0), (4, 3)),
    ((0, 1), (1, 2), (6, 5)),
    ((1, 0), (3, 4), (0, 7)),
    ((0, -1), (5, 6), (2, 1)),
)
_NEAR = [(i, j) for i in range(-2, 3) for j in range(-2, 3) if i or j]
_NO_RANK = np.iinfo(np.int64).max
_DEPTHS = 64  # more than eight octants can rise or fall by
_QUARTER = LENGTH_UNIT // 4  # half of half a side: what one square has of one pair of facing octants


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Settled:
    """A chosen candidate for each undecided square, and the energy of the whole, in COST_UNIT."""

    chosen: Ints
    energy: int


def settle(candidates: Candidates, solid: Ints, allowance: Ints) -> Settled:
    """Return the arrangement of least energy that descent finds from three starts.

    They are the best of each square by itself, the best if lines in squares were welcome, and full stitches.

    Args:
        candidates: of the undecided squares.
        solid: (rows, columns) the colour of the decided squares.
        allowance: (rows + 2, columns + 2) the drawing's own edge around each square, in LENGTH_UNIT.
    """
    whole = (candidates.shown == candidates.shown[:, :1]).all(axis=1)
    fractional = candidates.cost - EDGE_COST * candidates.inner
    starts = (
        best_of_each(candidates, candidates.cost),
        best_of_each(candidates, fractional),
        _best_full(candidates, whole),
    )
    ends = [settle_from(candidates, solid, allowance, start) for start in starts]
    return min(ends, key=lambda end: end.energy)


def settle_from(candidates: Candidates, solid: Ints, allowance: Ints, start: Ints) -> Settled:
    """Return the arrangement that descent finds from one start, a candidate for each undecided square."""
    return _descend(_State.of(candidates, solid, allowance, start))


def energy_at(candidates: Candidates, solid: Ints, allowance: Ints, chosen: Ints) -> int:
    """Return the energy of the whole chart with these candidates, in COST_UNIT."""
    return _State.of(candidates, solid, allowance, chosen).energy()


def best_of_each(candidates: Candidates, cost: Ints) -> Ints:
    """Return for each square its candidate of least cost; none that has an equal which only turns it."""
    return best_rows(candidates.owner, cost, candidates.rank)


def best_rows(owner: Ints, cost: Ints, rank: Ints) -> Ints:
    """Return the index of the best row of each owner, by owner; rows equal in cost and rank are passed over.

    Rows come by owner.
    """
    starts = np.flatnonzero(begins(owner))
    if not len(starts):
        return starts
    counts = np.diff(np.append(starts, len(owner)))
    cheapest = cost == np.repeat(np.minimum.reduceat(cost, starts), counts)
    graded = np.where(cheapest, rank, _NO_RANK)
    best = np.flatnonzero(graded == np.repeat(np.minimum.reduceat(graded, starts), counts))
    tied = np.bincount(np.searchsorted(starts, best, side="right") - 1, minlength=len(starts)) > 1
    if not tied.any():
        return best
    rows = np.flatnonzero(np.repeat(tied, counts))
    of_tied = rows[_first_without_equal(owner[rows], cost[rows], rank[rows])]
    return np.sort(np.concatenate([best[~np.isin(owner[best], owner[of_tied])], of_tied]))


def _first_without_equal(owner: Ints, cost: Ints, rank: Ints) -> Ints:
    """Return for each owner its best row that has no equal."""
    order = np.lexsort((rank, cost, owner))
    owner, cost, rank = owner[order], cost[order], rank[order]
    equal = np.zeros(len(order), np.bool_)
    same = (np.diff(owner) == 0) & (np.diff(cost) == 0) & (np.diff(rank) == 0)
    equal[1:] |= same
    equal[:-1] |= same
    order, owner = order[~equal], owner[~equal]
    return np.asarray(order[np.diff(owner, prepend=-1) != 0])


def _best_full(candidates: Candidates, whole: NDArray[np.bool_]) -> Ints:
    return best_of_each(candidates, np.where(whole, candidates.cost, np.iinfo(np.int64).max))


class _State:
    """What every square shows, its length of line, and the candidate of every undecided square."""

    def __init__(self, candidates: Candidates, shown: Ints, allowance: Ints, chosen: Ints) -> None:
        self.candidates = candidates
        self.saw_cost = candidates.saw_cost
        self.shown = shown
        self.allowance = allowance
        self.chosen = chosen
        columns = shown.shape[1] - 2
        self.row, self.column = (part + 1 for part in np.divmod(candidates.squares, columns))
        self.inner = np.zeros(shown.shape[:2], np.int64)
        self.shown[self.row, self.column] = candidates.shown[chosen]
        self.saws = Saws(shown)
        self.place(np.ones(len(chosen), np.bool_))

    @staticmethod
    def of(candidates: Candidates, solid: Ints, allowance: Ints, chosen: Ints) -> "_State":
        shown = np.repeat(np.pad(solid, 1)[:, :, None], 8, axis=2)
        return _State(candidates, shown, allowance, chosen.copy())

    def place(self, moved: NDArray[np.bool_]) -> None:
        """Show the candidates chosen for the squares that moved, and measure all lines."""
        row, column, chosen = self.row[moved], self.column[moved], self.chosen[moved]
        self.shown[row, column] = self.candidates.shown[chosen]
        self.inner[row, column] = self.candidates.inner[chosen]
        self.saws.update(row, column)
        self.length = self.inner + self._sides()

    def _sides(self) -> Ints:
        length = np.zeros(self.shown.shape[:2], np.int64)
        upright = self.shown[:, :-1, [1, 2]] != self.shown[:, 1:, [6, 5]]
        level = self.shown[:-1, :, [3, 4]] != self.shown[1:, :, [0, 7]]
        between_columns, between_rows = upright.sum(axis=2) * _QUARTER, level.sum(axis=2) * _QUARTER
        length[:, :-1] += between_columns
        length[:, 1:] += between_columns
        length[:-1] += between_rows
        length[1:] += between_rows
        return length

    def near(self, moved: NDArray[np.bool_]) -> Ints:
        """Return the undecided squares within two steps of those that moved: whose best moves may differ."""
        height, width = self.shown.shape[:2]
        dense = np.zeros((height + 4, width + 4), np.bool_)
        dense[self.row[moved] + 2, self.column[moved] + 2] = True
        around = [dense[self.row + 2 + i, self.column + 2 + j] for i, j in _NEAR]
        return np.flatnonzero(np.any(around, axis=0) | moved)

    def energy(self) -> int:
        """Return the energy of the whole chart."""
        over = np.maximum(self.length - self.allowance, 0)
        return (
            int(self.candidates.cost[self.chosen].sum() + EDGE_COST * over.sum())
            + self.saw_cost * self.saws.count()
        )

    def costs(self, squares: Ints) -> tuple[Ints, Ints]:
        """Return the candidates of undecided squares, and for each the part of the energy that it decides."""
        c = self.candidates
        counts = c.starts[squares + 1] - c.starts[squares]
        entries, owner = spread(c.starts[squares], counts), np.repeat(np.arange(len(squares)), counts)
        row, column, shown = self.row[squares], self.column[squares], c.shown[entries]
        cost = c.cost[entries] + self.saw_cost * self.saws.around(row, column, owner, shown)
        own = c.inner[entries]
        for (down, right), mine, facing in _SIDES:
            beside = self.shown[row + down, column + right][:, facing]
            side = ((shown[:, mine[0]] != beside[owner, 0]) * _QUARTER) + (
                (shown[:, mine[1]] != beside[owner, 1]) * _QUARTER
            )
            now = (self.shown[row, column][:, mine] != beside).sum(axis=1) * _QUARTER
            own += side
            # how much more the neighbour's lines may grow before they cost
            room = self.allowance[row + down, column + right] - self.length[row + down, column + right] + now
            cost += EDGE_COST * np.maximum(side - room[owner], 0)
        return entries, cost + EDGE_COST * np.maximum(own - self.allowance[row, column][owner], 0)


def _descend(state: _State) -> Settled:
    """Move until no move pays."""
    count = len(state.candidates.squares)
    best, gain = state.chosen.copy(), np.zeros(count, np.int64)
    frozen = np.zeros(count, np.bool_)
    moved = np.ones(count, np.bool_)
    for _ in range(MOST_SWEEPS):
        near = state.near(moved)
        best[near], gain[near] = _best_moves(state, near)
        gain[frozen] = 0
        around = _greatest_near(state, gain)
        moved = (gain > 0) & (gain > around)
        if moved.any():
            state.chosen = np.where(moved, best, state.chosen)
            state.place(moved)
            continue
        tied = (gain > 0) & (gain == around)
        if not tied.any():
            break
        moved = tied & (gain == gain[tied].max())
        before, kept = state.energy(), state.chosen
        state.chosen = np.where(moved, best, kept)
        state.place(moved)
        if state.energy() >= before:
            # they do not pay together: leave them as they are
            state.chosen = kept
            state.place(moved)
            frozen |= moved
    return Settled(chosen=state.chosen, energy=state.energy())


def _best_moves(state: _State, squares: Ints) -> tuple[Ints, Ints]:
    """Return the best candidate of each of the undecided squares, and a number greater the more it gains."""
    c = state.candidates
    entries, cost = state.costs(squares)
    at = best_rows(c.owner[entries], cost, c.rank[entries])
    counts = c.starts[squares + 1] - c.starts[squares]
    now = np.cumsum(counts) - counts + state.chosen[squares] - c.starts[squares]
    chosen, gain = entries[at], cost[now] - cost[at]
    # of moves that gain alike that which shows more of the upper colours is the greater
    rise = c.depth[state.chosen[squares]] - c.depth[chosen]
    return chosen, np.where(gain > 0, gain * _DEPTHS + rise + _DEPTHS // 2, 0)


def _greatest_near(state: _State, gain: Ints) -> Ints:
    """Return for each undecided square the greatest gain within two steps of it, its own left out."""
    height, width = state.shown.shape[:2]
    dense = np.zeros((height + 4, width + 4), np.int64)
    dense[state.row + 2, state.column + 2] = gain
    near = [dense[state.row + 2 + i, state.column + 2 + j] for i, j in _NEAR]
    return np.max(near, axis=0) if len(gain) else gain
