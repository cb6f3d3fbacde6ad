"""Areas of letters to the stitches of one colour that show them best, many letters in one go."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.letters.choices import EDGE_COST, Weights, choices
from svg2chart.letters.half_steps import half_steps
from svg2chart.letters.holes import beside, bytes_of, edges, ink_around, loose, rings, slivers
from svg2chart.letters.settling import LOOSE_COST, UNEVEN_COST, Board
from svg2chart.letters.steps import corners_of, saws

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

_SHAPE_STEPS = (0.0, 1.0)
"""How much of what joints and saws cost counts at first, and then: were it all at once, stitches would settle
where only moves of several squares could join them."""


_AT_ONCE = 100_000
"""So many squares are settled in one go: more need much memory."""


@dataclass(frozen=True, slots=True, eq=False)
class Outlines:
    """What the outlines of letters cover.

    areas: (letters, rows, columns, 8) in squares, 1/8 each at the most. corners: (letters, rows + 1,
    columns + 1) the holes at which they turn by a right angle.
    """

    areas: Floats
    corners: Bools

    @classmethod
    def of(cls, areas: Floats) -> "Outlines":
        """Return outlines that cover some areas."""
        return cls(areas, corners_of(areas))

    def at(self, which: Ints | slice) -> "Outlines":
        """Return some of them."""
        return Outlines(self.areas[which], self.corners[which])


def choose(outlines: Outlines, favour: Floats, allowed: Bools, weights: Weights) -> tuple[Bools, Floats]:
    """Return the octants shown, (letters, rows, columns, 8), and the energy of each letter.

    Energy is area shown wrongly, square by square and around the holes, work of fractions, length of edge,
    joints by a hole alone, saws, and slivers. Squares next to each other are chosen by turns, from the best
    square by square and from the best full stitches; the lower one stays.

    Args:
        outlines: of the letters.
        favour: (letters,) how much stitching a square is favoured over leaving it bare; less than a square.
        allowed: (rows, columns, choices) what each square may hold.
        weights: what fractions and saws count.
    """
    letters, rows, columns, _ = outlines.areas.shape
    lot = max(1, _AT_ONCE // max(1, rows * columns))
    parts = [slice(first, first + lot) for first in range(0, letters, lot)]
    chosen = [_chosen(outlines.at(part), favour[part], allowed, weights) for part in parts]
    shown, energy = zip(*chosen, strict=True)
    return np.concatenate(shown), np.concatenate(energy)


def _chosen(outlines: Outlines, favour: Floats, allowed: Bools, weights: Weights) -> tuple[Bools, Floats]:
    table, areas = choices(), outlines.areas
    squares = table.shown.sum(axis=1) / 8
    local = (areas.reshape(-1, 8) @ (1.0 - 2.0 * table.shown.T)).reshape(*areas.shape[:3], -1)
    local += squares
    local += table.costs(weights.work)
    local -= favour[:, None, None, None] * squares
    local[:, ~allowed] = 1e6
    whole = (areas.sum(axis=-1) >= 0.5).astype(np.int64)
    board = Board(areas, outlines.corners, local, np.concatenate([local.argmin(axis=-1), whole]))
    for part in _SHAPE_STEPS:
        board.settle(weights, part=part)
    results = np.split(table.shown[board.chosen], 2)
    costs = [energies(outlines, shown, weights) for shown in results]
    favoured = [
        cost - favour * shown.sum(axis=(1, 2, 3)) / 8 for cost, shown in zip(costs, results, strict=True)
    ]
    lower = favoured[1] < favoured[0] - 1e-9
    return np.where(lower[:, None, None, None], results[1], results[0]), np.where(lower, costs[1], costs[0])


def energies(outlines: Outlines, shown: Bools, weights: Weights) -> Floats:
    """Return the energy of each letter; infinite where a square holds what no stitches make."""
    table, areas = choices(), outlines.areas
    held = bytes_of(shown)
    around, facing = rings(held), beside(held)
    off = shown / 8 - areas
    wrong = np.where(shown, off, areas).sum(axis=(1, 2, 3))
    costs = np.full(256, np.inf)
    costs[bytes_of(table.shown)] = table.costs(weights.work)
    inside = costs[held].sum(axis=(1, 2))
    uneven = (ink_around(off) ** 2).sum(axis=(1, 2))
    edge = EDGE_COST * 0.5 * edges(held, facing)
    shape = LOOSE_COST * loose(around) + weights.saw * saws(around, outlines.corners)
    shape += weights.half_step * half_steps(held, around, facing, outlines.corners)
    shape += weights.sliver * slivers(around)
    return np.asarray(wrong + inside + edge + shape + UNEVEN_COST * uneven)
