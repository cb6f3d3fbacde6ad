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

LOOSE_COST = 0.3
"""What it costs where stitches meet at a hole only, so that a stroke hangs together by a point. Our own
choice, no source."""
_LOOSE_STEPS = (0.0, LOOSE_COST)
"""What it costs at first, and then: were it so at once, stitches would settle where only moves of several
squares could join them."""
UNEVEN_COST = 0.6
"""What it costs, by the square of how much more or less ink lies around a hole than in the outline: squares
shown a little wrong, each on the same side, make a slant that steps unevenly. Our own choice, no source."""

_SWEEPS = 12
_TURNS = ((0, 0), (1, 1), (0, 1), (1, 0))
"""Squares are chosen by turns, those that share no hole in one."""
_AROUND = ((1, 1, (3, 2)), (1, 0, (5, 4)), (0, 0, (7, 6)), (0, 1, (1, 0)))
"""The squares at a hole, clockwise: which corner of theirs it is (down, across), and their octants there."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Choices:
    """What a square can hold.

    shown: (n, 8) which octants. work, edges: (n,) what its fractions and the edges inside it cost.
    """

    shown: Bools
    work: Floats
    edges: Floats

    def costs(self, work: float) -> Floats:
        """Return (n,) what each costs, its fractions so many times what they do in a drawing."""
        return work * self.work + self.edges


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
    return Choices(shown=shown, work=np.array([cost for _, cost in rows]), edges=EDGE_COST * inner)


def choose(areas: Floats, favour: Floats, allowed: Bools, work: float) -> tuple[Bools, Floats]:
    """Return the octants shown, (letters, rows, columns, 8), and the energy of each letter.

    Energy is area shown wrongly, square by square and around the holes, work of fractions, length of edge,
    and joints by a hole alone. Squares next to each other are chosen by turns, from the best square by square
    and from the best full stitches; the lower one stays.

    Args:
        areas: (letters, rows, columns, 8) in squares, 1/8 each at the most.
        favour: (letters,) how much stitching a square is favoured over leaving it bare.
        allowed: (rows, columns, choices) what each square may hold.
        work: how many times what they do in a drawing fractions cost.
    """
    table = choices()
    flat = areas.reshape(-1, 8)
    wrong = flat @ (1.0 - 2.0 * table.shown.T) + table.shown.sum(axis=1) / 8
    local = wrong.reshape(*areas.shape[:3], -1) + table.costs(work)
    local = local - favour[:, None, None, None] * (table.shown.sum(axis=1) / 8)
    local = np.where(allowed, local, 1e6)
    whole = (areas.sum(axis=-1) >= 0.5).astype(np.int64)
    results = []
    for start in (local.argmin(axis=-1), whole):
        chosen = start
        for loose_cost in _LOOSE_STEPS:
            chosen = _settled(chosen, local, areas, loose_cost)
        results.append(table.shown[chosen])
    costs = [energies(areas, shown, work) - favour * shown.sum(axis=(1, 2, 3)) / 8 for shown in results]
    lower = costs[1] < costs[0] - 1e-9
    shown = np.where(lower[:, None, None, None], results[1], results[0])
    return shown, energies(areas, shown, work)


def _settled(chosen: Ints, local: Floats, areas: Floats, loose_cost: float) -> Ints:
    table = choices()
    chosen = chosen.copy()
    shown = table.shown[chosen]
    per_octant = (EDGE_COST / 2) * table.shown.astype(np.float64).T
    own = per_octant.sum(axis=0)
    for _ in range(_SWEEPS):
        before = chosen.copy()
        for row, column in _TURNS:
            at = (slice(None), slice(row, None, 2), slice(column, None, 2))
            # edge along the sides: octants that differ from those beside them, |b - p| = b + p - 2 b p
            total = local[at] + own - 2 * (_beside(shown)[at].astype(np.float64) @ per_octant)
            total += UNEVEN_COST * _uneven_with(shown, areas, at)
            if loose_cost:
                total += loose_cost * _loose_with(shown, at)
            held = np.take_along_axis(total, chosen[at][..., None], axis=-1)[..., 0]
            least = total.argmin(axis=-1)
            better = np.take_along_axis(total, least[..., None], axis=-1)[..., 0] < held - 1e-9
            chosen[at] = np.where(better, least, chosen[at])
            shown[at] = table.shown[chosen[at]]
        if np.array_equal(before, chosen):
            break
    return chosen


@cache
def _loose_of() -> Ints:
    """Return (256,) how many stretches of ink beyond one lie around a hole, by its octants as bits."""
    ring = (np.arange(256)[:, None] >> np.arange(8)) & 1 > 0
    return np.asarray(np.maximum((ring & ~np.roll(ring, 1, axis=1)).sum(axis=1) - 1, 0), np.int64)


def _rings(shown: Bools) -> Ints:
    """Return the octants around each hole as bits, (letters, rows + 1, columns + 1)."""
    letters, rows, columns, _ = shown.shape
    rings = np.zeros((letters, rows + 1, columns + 1), np.int64)
    for place, (down, across, octants) in enumerate(_AROUND):
        bits = shown[..., octants[0]] * (1 << 2 * place) + shown[..., octants[1]] * (2 << 2 * place)
        rings[:, down : rows + down, across : columns + across] += bits
    return rings


@cache
def _loose_by_choice() -> Ints:
    """Return (4, 256, choices) the same by what else lies around each corner of a square."""
    table, others = choices().shown, np.arange(256)[:, None]
    corners = []
    for place, (_, _, (one, two)) in enumerate(_AROUND):
        own = table[:, one] * (1 << 2 * place) + table[:, two] * (2 << 2 * place)
        corners.append(_loose_of()[others & ~(3 << 2 * place) | own])
    return np.array(corners)


def _loose_with(shown: Bools, at: tuple[slice, ...]) -> Ints:
    """Return how loosely some of the squares hang at their corners with each of their choices."""
    _, rows, columns, _ = shown.shape
    rings, by_choice = _rings(shown), _loose_by_choice()
    loose = by_choice[0][rings[:, 1:, 1:][at]]
    for place, (down, across, _) in enumerate(_AROUND[1:], start=1):
        loose = loose + by_choice[place][rings[:, down : rows + down, across : columns + across][at]]
    return np.asarray(loose)


def _ink_around(off: Floats) -> Floats:
    """Return what octants hold, added up around each hole, (letters, rows + 1, columns + 1)."""
    letters, rows, columns, _ = off.shape
    rings = np.zeros((letters, rows + 1, columns + 1))
    for down, across, octants in _AROUND:
        rings[:, down : rows + down, across : columns + across] += off[..., octants[0]] + off[..., octants[1]]
    return rings


def _uneven_with(shown: Bools, areas: Floats, at: tuple[slice, ...]) -> Floats:
    """Return how unevenly ink lies around the corners of some of the squares with each of their choices.

    What is the same with all choices is left out: of (others + own)^2, the square of the others.
    """
    _, rows, columns, _ = shown.shape
    rings, here = _ink_around(shown / 8 - areas), shown[at] / 8
    own = np.stack([choices().shown[:, octants].sum(axis=1) / 8 for _, _, octants in _AROUND])
    others = np.stack(
        [
            rings[:, down : rows + down, across : columns + across][at] - here[..., one] - here[..., two]
            for down, across, (one, two) in _AROUND
        ],
        axis=-1,
    )
    return np.asarray(2 * others @ own + (own**2).sum(axis=0))


def _beside(shown: Bools) -> Bools:
    """Return for each octant whether the one across the side of its square is stitched."""
    beside = np.zeros_like(shown)
    beside[:, 1:, :, [7, 0]] = shown[:, :-1, :, [4, 3]]
    beside[:, :-1, :, [4, 3]] = shown[:, 1:, :, [7, 0]]
    beside[:, :, :-1, [1, 2]] = shown[:, :, 1:, [6, 5]]
    beside[:, :, 1:, [6, 5]] = shown[:, :, :-1, [1, 2]]
    return beside


def energies(areas: Floats, shown: Bools, work: float) -> Floats:
    """Return the energy of each letter; infinite where a square holds what no stitches make."""
    table = choices()
    wrong = np.where(shown, 0.125 - areas, areas).sum(axis=(1, 2, 3))
    costs = np.full(256, np.inf)
    costs[table.shown @ (1 << np.arange(8))] = table.costs(work)
    padded = np.zeros((shown.shape[0], shown.shape[1] + 2, shown.shape[2] + 2, 8), np.bool_)
    padded[:, 1:-1, 1:-1] = shown
    down = (padded[:, :-1, :, [4, 3]] != padded[:, 1:, :, [7, 0]]).sum(axis=(1, 2, 3))
    right = (padded[:, :, :-1, [1, 2]] != padded[:, :, 1:, [6, 5]]).sum(axis=(1, 2, 3))
    inside = costs[shown @ (1 << np.arange(8))].sum(axis=(1, 2))
    loose = _loose_of()[_rings(shown)].sum(axis=(1, 2))
    uneven = (_ink_around(shown / 8 - areas) ** 2).sum(axis=(1, 2))
    edge = EDGE_COST * 0.5 * (down + right)
    return np.asarray(wrong + inside + edge + LOOSE_COST * loose + UNEVEN_COST * uneven)
