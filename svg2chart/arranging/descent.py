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
together, and each patch is taken back that does not pay once what lies around it has moved, too. All
numbers are whole, so that equal is equal; a square whose best moves are mirror images of each other
keeps what it has.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.boards import EDGE_COST, Boards
from svg2chart.arranging.borders import window_steps
from svg2chart.arranging.candidates import Candidates, best_rows
from svg2chart.arranging.joining import join
from svg2chart.arranging.patches import energies_of_patches, patches_of
from svg2chart.arranging.patterns import COST_UNIT, THREE_QUARTER_COST
from svg2chart.runs import in_order, spread

Ints = NDArray[np.int64]

MOST_SWEEPS = 1000
"""Each sweep lowers the energy; real drawings settle in 10 to 40."""

DECIDED = COST_UNIT * 9 // 20
"""Squares whose second best candidate costs so much more keep the best: what lies around hardly outweighs
it."""

_DEPTHS = 64  # more than eight octants can rise or fall by
_NEVER = 1 << 50  # more than any candidate costs
# what candidates cost at least is sorted in steps of 2^-12 of a square, up to 16 squares
_COARSE, _COARSEST = COST_UNIT >> 12, (1 << 16) - 1


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Settled:
    """A chosen candidate for each undecided square, and the energy of the whole, in COST_UNIT."""

    chosen: Ints
    energy: int


def settle(candidates: Candidates, solid: Ints, allowance: Ints) -> Settled:
    """Return the arrangement of least energy that descent finds from two starts, joined patch by patch.

    They are the least misfit without lone quarters, and full stitches.

    Args:
        candidates: of the undecided squares.
        solid: (rows, columns) the colour of the decided squares.
        allowance: (rows + 2, columns + 2) the drawing's own edge around each square, in LENGTH_UNIT.
    """
    c = candidates
    work = c.patterns.cost[c.pattern]
    starts = [
        best_of_each(c, np.where(work <= THREE_QUARTER_COST, c.cost - work, _NEVER)),
        best_of_each(c, np.where(work == 0, c.cost, _NEVER)),
    ]
    if np.array_equal(starts[0], starts[1]):
        starts.pop()
    boards = Boards(c, solid, allowance, starts)
    descend(boards, np.flatnonzero(_is_open(c)[c.owner]))
    energy = join(boards)
    return Settled(chosen=boards.chosen[: len(c.squares)], energy=energy)


def energy_at(candidates: Candidates, solid: Ints, allowance: Ints, chosen: Ints) -> int:
    """Return the energy of the whole chart with these candidates, in COST_UNIT."""
    return int(Boards(candidates, solid, allowance, (chosen,)).energies()[0])


def best_of_each(candidates: Candidates, cost: Ints) -> Ints:
    """Return for each square its candidate of least cost; none that has an equal which only turns it."""
    return best_rows(candidates.owner, candidates.standing(np.arange(len(cost)), cost))


def _is_open(candidates: Candidates) -> NDArray[np.bool_]:
    """Return which squares what lies around may decide: those with a second candidate nearly as cheap."""
    c = candidates
    least = np.minimum.reduceat(c.cost, c.starts[:-1])[c.owner] if len(c.owner) else c.cost
    near = (c.cost < least + DECIDED).astype(np.int64)
    return np.bincount(c.owner, near, len(c.squares)) > 1


def descend(boards: Boards, among: Ints | None = None) -> None:
    """Move on each board until no move pays; to some candidates, ascending, or to all."""
    descent = _Descent(boards, np.arange(len(boards.candidates.owner)) if among is None else among)
    is_open = np.diff(descent.starts)[boards.square] > 0
    near = np.flatnonzero(is_open)
    for _ in range(MOST_SWEEPS):
        descent.look_again(near)
        moved = descent.step()
        if not len(moved):
            return
        # within two steps of what moved other moves may be best now
        near = boards.places_near(moved)
        near = near[is_open[near]]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Trial:
    """Moves that gain alike near each other, made together, and what all boards showed before."""

    places: Ints
    before: Ints


class _Descent:
    """The best move of every undecided square as the boards are now.

    best: the candidate to move to. gain: greater the more the move gains, 0 where none does.
    """

    def __init__(self, boards: Boards, among: Ints) -> None:
        self.boards = boards
        self.best = boards.chosen.copy()
        self.gain = np.zeros(len(boards.squares), np.int64)
        self.gain_at = np.zeros(len(boards.border), np.int64)  # the same by square of the board
        self.is_held = np.zeros(len(boards.squares), np.bool_)
        self.trials: dict[int, _Trial] = {}
        self.board = np.repeat(np.arange(boards.count), len(boards.candidates.squares))
        c = boards.candidates
        # by square and what they cost at least, whatever lies around them
        owner, inner = c.owner[among], c.patterns.inner[c.pattern[among]]
        least = c.cost[among] + EDGE_COST * np.maximum(inner - boards.allowance[boards.squares[owner]], 0)
        coarse = np.minimum(least // _COARSE, _COARSEST)
        order = in_order(owner, coarse)
        self.by_least = among[order]
        self.keys = (owner * (_COARSEST + 1) + coarse)[order]
        self.starts = np.concatenate([[0], np.cumsum(np.bincount(owner, minlength=len(c.squares)))])
        near = window_steps(boards.wide, -2, 2)
        self.around = near[near != 0]

    def look_again(self, places: Ints) -> None:
        """Find the best moves of these squares."""
        self.best[places], gain = self._best_moves(places)
        self.gain[places] = np.where(self.is_held[places], 0, gain)
        self.gain_at[self.boards.squares[places]] = self.gain[places]

    def _best_moves(self, places: Ints) -> tuple[Ints, Ints]:
        boards, c = self.boards, self.boards.candidates
        around, now = boards.around(places), boards.chosen[places]
        cost = boards.costs(around, np.arange(len(places)), now)
        entries, owner = self._hopeful(boards.square[places], cost)
        costs = boards.costs(around, owner, entries)
        better = np.flatnonzero(costs < cost[owner])
        entries, owner, costs = entries[better], owner[better], costs[better]
        at = best_rows(owner, c.standing(entries, costs))
        entries, owner = entries[at], owner[at]
        # of moves that gain alike that which shows more of the upper colours is the greater
        rise = c.patterns.depth[c.pattern[now[owner]]] - c.patterns.depth[c.pattern[entries]]
        gain = np.zeros(len(places), np.int64)
        gain[owner] = (cost[owner] - costs[at]) * _DEPTHS + rise + _DEPTHS // 2
        best = now.copy()
        best[owner] = entries
        return best, gain

    def _hopeful(self, squares: Ints, cost: Ints) -> tuple[Ints, Ints]:
        """Return the candidates of squares that may cost less than this, and the index of the square."""
        start = self.starts[squares]
        most = np.minimum(cost // _COARSE, _COARSEST)
        counts = np.searchsorted(self.keys, squares * (_COARSEST + 1) + most, side="right") - start
        return self.by_least[spread(start, counts)], np.repeat(np.arange(len(squares)), counts)

    def step(self) -> Ints:
        """Make all moves that are greater than any near them; return the squares that may have moved."""
        moving = np.flatnonzero(self.gain)
        near = self.gain_at.take(self.boards.squares[moving] + self.around[:, None])
        greater = self.gain[moving] - near.max(axis=0, initial=0)
        greatest, tied = moving[greater > 0], moving[greater == 0]
        self.boards.show(greatest, self.best[greatest])
        moved = [greatest]
        is_still = np.bincount(self.board[greatest], minlength=self.boards.count) == 0
        for board in np.flatnonzero(is_still).tolist():
            if board in self.trials:
                moved.append(self._end_trial(board))
            else:
                moved.append(self._try_together(board, tied[self.board[tied] == board]))
        return np.concatenate(moved)

    def _try_together(self, board: int, tied: Ints) -> Ints:
        """Make the greatest of moves that gain alike near each other, and hold those squares; return them."""
        places = tied[self.gain[tied] == self.gain[tied].max(initial=0)]
        if len(places):
            self.trials[board] = _Trial(places=places, before=self.boards.chosen.copy())
            self.boards.show(places, self.best[places])
            self.is_held[places] = True
        return np.asarray(places)

    def _end_trial(self, board: int) -> Ints:
        """Go on from where a trial led in each patch where that pays; else go back, and hold it for good.

        Returns:
            The squares to look at again.
        """
        trial, boards = self.trials.pop(board), self.boards
        after = boards.chosen.copy()
        changed = np.flatnonzero((after != trial.before) & (self.board == board))
        squares = boards.squares[changed]
        patch = patches_of(boards, squares)
        energy = energies_of_patches(boards, squares, patch)
        boards.show(changed, trial.before[changed])
        pays = (energy < energies_of_patches(boards, squares, patch))[patch]
        boards.show(changed[pays], after[changed[pays]])
        self.is_held[trial.places[np.isin(trial.places, changed[pays])]] = False
        return changed
