"""Patches of a chart: what one shows bears on no energy on which another bears.

        p p . . q       two steps apart squares may share a neighbour's line, or a saw
        p . . . q       between them; three steps apart nothing depends on both

So each patch costs what it costs whatever the others show, and is decided by itself: what a thing in a
drawing is worked like does not depend on what lies elsewhere.
"""

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.boards import Boards
from svg2chart.arranging.borders import window_steps
from svg2chart.runs import distinct, linked

Ints = NDArray[np.int64]


def patches_of(boards: Boards, squares: Ints) -> Ints:
    """Return for each square of one board the first, by index, of its patch."""
    index = np.full(len(boards.border), -1)
    index[squares] = np.arange(len(squares))
    near = window_steps(boards.wide, -2, 2)
    after = near[near > 0]
    one, other = np.nonzero(index[squares[:, None] + after] >= 0)
    return linked(one, index[squares[one] + after[other]], len(squares))


def energies_of_patches(boards: Boards, squares: Ints, patch: Ints) -> Ints:
    """Return the energy on which squares bear, (n,), in COST_UNIT: that of each patch at its first square.

    Args:
        boards: what is shown.
        squares: (n,) of one board.
        patch: (n,) as `patches_of` gives them, by where the same squares lie on any board.
    """
    total = np.zeros(len(squares), np.int64)
    for steps, energy in boards.parts():
        # each place once, whichever square of the patch bears on it
        reached = distinct((squares + steps[:, None]) * len(squares) + patch)
        place, owner = np.divmod(reached, len(squares))
        np.add.at(total, owner, energy(place))
    return total
