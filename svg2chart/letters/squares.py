"""Areas of letters to the stitches of one colour that show them best, many letters in one go."""

from dataclasses import dataclass
from functools import cache
from itertools import combinations
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.patterns import HALF_OCTANTS, QUADRANT_OCTANTS

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

HALF_COST, QUARTER_COST, MORE_QUARTERS_COST = 0.10, 0.30, 0.15
"""What fractions cost, in squares shown wrong: a quarter is fiddly and must earn its work."""
EDGE_COST = 0.10
"""What a square's side of edge costs, as in the energy of drawings."""

_SWEEPS = 12


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Choices:
    """What a square can hold. shown: (n, 8) which octants; cost: (n,) work and the edges inside."""

    shown: Bools
    cost: Floats


@cache
def choices() -> Choices:
    """Return all stitches of one colour in one square, bare first, then full."""
    rows: list[tuple[set[int], float]] = [(set(), 0.0), (set(range(8)), 0.0)]
    rows += [(set(octants), HALF_COST) for octants in HALF_OCTANTS.values()]
    quadrants = list(QUADRANT_OCTANTS.values())
    for count in (1, 2, 3):
        for some in combinations(range(4), count):
            if some not in ((0, 2), (1, 3)):  # quarters that only touch at the centre
                octants = {octant for quadrant in some for octant in quadrants[quadrant]}
                rows.append((octants, QUARTER_COST + MORE_QUARTERS_COST * (count - 1)))
    shown = np.array([[octant in octants for octant in range(8)] for octants, _ in rows])
    between = np.array([sqrt(0.5) if octant % 2 == 0 else 0.5 for octant in range(8)])
    inner = (shown != np.roll(shown, -1, axis=1)) @ between
    return Choices(shown=shown, cost=np.array([cost for _, cost in rows]) + EDGE_COST * inner)


def choose(areas: Floats, favour: Floats, allowed: Bools) -> tuple[Bools, Floats]:
    """Return the octants shown, (letters, rows, columns, 8), and the energy of each letter.

    Energy is area shown wrongly, work of fractions and length of edge. Squares next to each other are
    chosen by turns, from the best square by square and from the best full stitches; the lower one stays.

    Args:
        areas: (letters, rows, columns, 8) in squares, 1/8 each at the most.
        favour: (letters,) how much stitching a square is favoured over leaving it bare.
        allowed: (rows, columns, choices) what each square may hold.
    """
    table = choices()
    flat = areas.reshape(-1, 8)
    wrong = flat @ (1.0 - 2.0 * table.shown.T) + table.shown.sum(axis=1) / 8
    local = wrong.reshape(*areas.shape[:3], -1) + table.cost
    local = local - favour[:, None, None, None] * (table.shown.sum(axis=1) / 8)
    local = np.where(allowed, local, 1e6)
    whole = (areas.sum(axis=-1) >= 0.5).astype(np.int64)
    results = [table.shown[_settled(start, local)] for start in (local.argmin(axis=-1), whole)]
    costs = [energies(areas, shown) - favour * shown.sum(axis=(1, 2, 3)) / 8 for shown in results]
    lower = costs[1] < costs[0] - 1e-9
    shown = np.where(lower[:, None, None, None], results[1], results[0])
    return shown, energies(areas, shown)


def _settled(chosen: Ints, local: Floats) -> Ints:
    table = choices()
    _, rows, columns = chosen.shape
    parity = np.add.outer(np.arange(rows), np.arange(columns)) % 2
    per_octant = (EDGE_COST / 2) * table.shown.astype(np.float64).T
    own = per_octant.sum(axis=0)
    for _ in range(_SWEEPS):
        before = chosen
        for turn in (0, 1):
            # edge along the sides: octants that differ from those beside them, |b - p| = b + p - 2 b p
            total = local + own - 2 * (_beside(table.shown[chosen]).astype(np.float64) @ per_octant)
            held = np.take_along_axis(total, chosen[..., None], axis=-1)[..., 0]
            least = total.argmin(axis=-1)
            better = (np.take_along_axis(total, least[..., None], axis=-1)[..., 0] < held - 1e-9) & (
                parity == turn
            )
            chosen = np.where(better, least, chosen)
        if np.array_equal(before, chosen):
            break
    return chosen


def _beside(shown: Bools) -> Bools:
    """Return for each octant whether the one across the side of its square is stitched."""
    beside = np.zeros_like(shown)
    beside[:, 1:, :, [7, 0]] = shown[:, :-1, :, [4, 3]]
    beside[:, :-1, :, [4, 3]] = shown[:, 1:, :, [7, 0]]
    beside[:, :, :-1, [1, 2]] = shown[:, :, 1:, [6, 5]]
    beside[:, :, 1:, [6, 5]] = shown[:, :, :-1, [1, 2]]
    return beside


def energies(areas: Floats, shown: Bools) -> Floats:
    """Return the energy of each letter; infinite where a square holds what no stitches make."""
    table = choices()
    wrong = np.where(shown, 0.125 - areas, areas).sum(axis=(1, 2, 3))
    costs = np.full(256, np.inf)
    costs[table.shown @ (1 << np.arange(8))] = table.cost
    padded = np.zeros((shown.shape[0], shown.shape[1] + 2, shown.shape[2] + 2, 8), np.bool_)
    padded[:, 1:-1, 1:-1] = shown
    down = (padded[:, :-1, :, [4, 3]] != padded[:, 1:, :, [7, 0]]).sum(axis=(1, 2, 3))
    right = (padded[:, :, :-1, [1, 2]] != padded[:, :, 1:, [6, 5]]).sum(axis=(1, 2, 3))
    inside = costs[shown @ (1 << np.arange(8))].sum(axis=(1, 2))
    return np.asarray(wrong + inside + EDGE_COST * 0.5 * (down + right))
