"""Areas of letters to the stitches of one colour that show them best, many letters in one go."""

import numpy as np
from numpy.typing import NDArray

from svg2chart.letters.choices import EDGE_COST, Weights, choices
from svg2chart.letters.holes import beside, ink_around, loose, loose_with, rings, uneven_with
from svg2chart.letters.steps import corners_of, saws, saws_with

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

LOOSE_COST = 0.3
"""What it costs where stitches meet at a hole only, so that a stroke hangs together by a point. Our own
choice, no source."""
_SHAPE_STEPS = (0.0, 1.0)
"""How much of what joints and saws cost counts at first, and then: were it all at once, stitches would settle
where only moves of several squares could join them."""
UNEVEN_COST = 0.6
"""What it costs, by the square of how much more or less ink lies around a hole than in the outline: squares
shown a little wrong, each on the same side, make a slant that steps unevenly. Our own choice, no source."""

REACH = 3
"""What a square holds changes the energy of no square that is more squares away."""
_SWEEPS = 12
_TURNS = ((0, 0), (1, 1), (0, 1), (1, 0))
"""Squares are chosen by turns, those that share no hole in one."""


def choose(areas: Floats, favour: Floats, allowed: Bools, weights: Weights) -> tuple[Bools, Floats]:
    """Return the octants shown, (letters, rows, columns, 8), and the energy of each letter.

    Energy is area shown wrongly, square by square and around the holes, work of fractions, length of edge,
    joints by a hole alone, and saws. Squares next to each other are chosen by turns, from the best square by
    square and from the best full stitches; the lower one stays.

    Args:
        areas: (letters, rows, columns, 8) in squares, 1/8 each at the most.
        favour: (letters,) how much stitching a square is favoured over leaving it bare.
        allowed: (rows, columns, choices) what each square may hold.
        weights: what fractions and saws count.
    """
    table = choices()
    flat = areas.reshape(-1, 8)
    wrong = flat @ (1.0 - 2.0 * table.shown.T) + table.shown.sum(axis=1) / 8
    local = wrong.reshape(*areas.shape[:3], -1) + table.costs(weights.work)
    local = local - favour[:, None, None, None] * (table.shown.sum(axis=1) / 8)
    local = np.where(allowed, local, 1e6)
    whole = (areas.sum(axis=-1) >= 0.5).astype(np.int64)
    results = []
    for start in (local.argmin(axis=-1), whole):
        chosen = start
        for part in _SHAPE_STEPS:
            chosen = _settled(chosen, local, areas, part * LOOSE_COST, part * weights.saw)
        results.append(table.shown[chosen])
    costs = [energies(areas, shown, weights) - favour * shown.sum(axis=(1, 2, 3)) / 8 for shown in results]
    lower = costs[1] < costs[0] - 1e-9
    shown = np.where(lower[:, None, None, None], results[1], results[0])
    return shown, energies(areas, shown, weights)


def _settled(chosen: Ints, local: Floats, areas: Floats, loose_cost: float, saw_cost: float) -> Ints:
    table = choices()
    chosen = chosen.copy()
    shown = table.shown[chosen]
    per_octant = (EDGE_COST / 2) * table.shown.astype(np.float64).T
    own = per_octant.sum(axis=0)
    corners = corners_of(areas)
    for _ in range(_SWEEPS):
        before = chosen.copy()
        for row, column in _TURNS:
            at = (slice(None), slice(row, None, 2), slice(column, None, 2))
            # edge along the sides: octants that differ from those beside them, |b - p| = b + p - 2 b p
            total = local[at] + own - 2 * (beside(shown)[at].astype(np.float64) @ per_octant)
            total += UNEVEN_COST * uneven_with(shown, areas, at)
            if loose_cost or saw_cost:
                around = rings(shown)
                total += loose_cost * loose_with(around, at)
            if saw_cost:
                total += saw_cost * saws_with(shown, around, corners, at)
            held = np.take_along_axis(total, chosen[at][..., None], axis=-1)[..., 0]
            least = total.argmin(axis=-1)
            better = np.take_along_axis(total, least[..., None], axis=-1)[..., 0] < held - 1e-9
            chosen[at] = np.where(better, least, chosen[at])
            shown[at] = table.shown[chosen[at]]
        if np.array_equal(before, chosen):
            break
    return chosen


def energies(areas: Floats, shown: Bools, weights: Weights) -> Floats:
    """Return the energy of each letter; infinite where a square holds what no stitches make."""
    table = choices()
    wrong = np.where(shown, 0.125 - areas, areas).sum(axis=(1, 2, 3))
    costs = np.full(256, np.inf)
    costs[table.shown @ (1 << np.arange(8))] = table.costs(weights.work)
    padded = np.zeros((shown.shape[0], shown.shape[1] + 2, shown.shape[2] + 2, 8), np.bool_)
    padded[:, 1:-1, 1:-1] = shown
    down = (padded[:, :-1, :, [4, 3]] != padded[:, 1:, :, [7, 0]]).sum(axis=(1, 2, 3))
    right = (padded[:, :, :-1, [1, 2]] != padded[:, :, 1:, [6, 5]]).sum(axis=(1, 2, 3))
    inside = costs[shown @ (1 << np.arange(8))].sum(axis=(1, 2))
    uneven = (ink_around(shown / 8 - areas) ** 2).sum(axis=(1, 2))
    edge = EDGE_COST * 0.5 * (down + right)
    shape = LOOSE_COST * loose(shown) + weights.saw * saws(shown, corners_of(areas))
    return np.asarray(wrong + inside + edge + shape + UNEVEN_COST * uneven)
