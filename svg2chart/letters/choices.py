"""What one square of a letter can hold, and what that costs by itself."""

from dataclasses import dataclass
from functools import cache
from itertools import combinations
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.patterns import HALF_OCTANTS, QUADRANT_OCTANTS

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

HALF_COST, QUARTER_COST, MORE_QUARTERS_COST = 0.10, 0.30, 0.15
"""What fractions cost, in squares shown wrong: a quarter is fiddly and must earn its work."""
EDGE_COST = 0.10
"""What a square's side of edge costs, as in the energy of drawings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Weights:
    """What counts how much: fractions, as a part of what they cost in a drawing, and each fault of shape."""

    work: float
    saw: float
    half_step: float
    sliver: float = 0.0


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
