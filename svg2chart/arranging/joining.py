"""The best of several boards, patch by patch.

Where two boards of a chart differ they mostly do so in patches far from each other, and each can be taken
from the board where it costs less.
"""

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.boards import Boards
from svg2chart.arranging.patches import energies_of_patches, patches_of

Ints = NDArray[np.int64]


def join(boards: Boards) -> int:
    """Make the first board cheaper by each patch of another that costs less there; return its energy.

    Patches that cost the same stay as they are: whatever lies elsewhere decides nothing here.
    """
    energy = int(boards.energies()[0])
    return energy - sum(_take_patches(boards, other) for other in range(1, boards.count))


def _take_patches(boards: Boards, other: int) -> int:
    """Show on the first board each patch of another that costs less; return by how much the energy falls."""
    places = np.arange(len(boards.squares)).reshape(boards.count, -1)
    chosen = boards.chosen[places]
    those = np.flatnonzero(chosen[0] != chosen[other])
    here, there = boards.squares[places[0, those]], boards.squares[places[other, those]]
    patch = patches_of(boards, here)
    gain = energies_of_patches(boards, here, patch) - energies_of_patches(boards, there, patch)
    taken = those[gain[patch] > 0]
    boards.show(places[0, taken], chosen[other, taken])
    return int(np.maximum(gain, 0).sum())
