"""The best of several boards, patch by patch.

Where two boards of a chart differ they mostly do so in patches far from each other. What one patch shows
bears on no energy that lies at another, so that each patch can be taken from the board where it costs less.
"""

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.boards import Boards
from svg2chart.arranging.borders import window_steps
from svg2chart.runs import linked

Ints = NDArray[np.int64]


def join(boards: Boards) -> tuple[int, int]:
    """Make the cheapest board cheaper by each patch of another that costs less there.

    Returns:
        Which board it is, and its energy.
    """
    energies = boards.energies()
    best = int(np.argmin(energies))
    gains = [_take_patches(boards, best, other) for other in range(boards.count) if other != best]
    return best, int(energies[best]) - sum(gains)


def _take_patches(boards: Boards, board: int, other: int) -> int:
    """Show on a board each patch of another that costs less; return by how much the energy falls."""
    places = np.arange(len(boards.squares)).reshape(boards.count, -1)
    chosen = boards.chosen[places]
    those = np.flatnonzero(chosen[board] != chosen[other])
    here, there = boards.squares[places[board, those]], boards.squares[places[other, those]]
    patch = _patches(here, boards)
    # each square of a board once, whoever reaches it
    squares, first = np.unique(here + boards.reach[:, None], return_index=True)
    gain = boards.energy(squares) - boards.energy(squares + (there[:1] - here[:1]))
    patch_of = np.broadcast_to(patch, (len(boards.reach), len(here))).ravel()[first]
    total = np.zeros(len(here), np.int64)
    np.add.at(total, patch_of, gain)
    taken = those[total[patch] > 0]
    boards.show(places[board, taken], chosen[other, taken])
    return int(np.maximum(total, 0).sum())


def _patches(squares: Ints, boards: Boards) -> Ints:
    """Return for each square the first that it is linked to by squares near enough to share energy."""
    index = np.full(len(boards.border), -1)
    index[squares] = np.arange(len(squares))
    near = window_steps(boards.wide, -3, 3)
    after = near[near > 0]
    one, other = np.nonzero(index[squares[:, None] + after] >= 0)
    return linked(one, index[squares[one] + after[other]], len(squares))
