"""Sides that come to lie on one hole line, kept in their order."""

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.sightlines import AT_HOLE, UNIT
from svg2chart.runs import distinct

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAST_STRETCH = 1 / 16
"""Strips between sides on one hole line, of which nothing is seen, keep so much of their width."""


def kept_apart(at: Ints, to: Ints, line: Ints, weight: Ints, facing: list[tuple[int, int]]) -> Ints:
    """Keep sides on one hole line in their order: the heaviest lies on it, the others beside it.

    What is thin, both its sides as heavy, lies on the side of the line that it lies on most. Those that
    bound one colour with another of them keep their distance, the others a part of it.
    """
    to, middle_of_all = to.copy(), (at[0] + at[-1]) / 2 if len(at) else 0.0
    for number in distinct(line):
        own = np.flatnonzero(line == number)
        if len(own) < 2:
            continue
        still = own[to[own] == at[own]]
        heavy = still if len(still) else own[weight[own] == weight[own].max()]
        if not len(still) and any(one in heavy and other in heavy for one, other in facing):
            heavy = _on_one_side(heavy, at[heavy] - number * UNIT, at[heavy] - middle_of_all)
        middle, goal = at[heavy].mean(), to[heavy].mean()
        close = any(own[0] <= one and other <= own[-1] for one, other in facing)
        beside = np.rint(goal + (at[own] - middle) * (1.0 if close else LEAST_STRETCH)).astype(np.int64)
        to[own] = np.where(np.isin(own, still), to[own], beside)
    # what would overtake its neighbour meets it half way
    ahead, behind = np.maximum.accumulate(to), np.minimum.accumulate(to[::-1])[::-1]
    return np.asarray(np.rint((ahead + behind) / 2).astype(np.int64))


def _on_one_side(thin: Ints, from_line: Ints, from_middle: Floats) -> Ints:
    """Return which of the sides of what is thin lies on its hole line, so that the rest lies in one square.

    What lies as much on both sides, but for rounding, goes towards the middle of all, and stays in the very
    middle.

    Args:
        thin: the sides by number, ascending.
        from_line: how far each lies after the hole line.
        from_middle: how far after the middle of all.
    """
    for off, sign in ((from_line, 1), (from_middle, -1)):
        lean = sign * (off[0] + off[-1])
        if abs(lean) > 2 * AT_HOLE * UNIT:
            return thin[:1] if lean > 0 else thin[-1:]
    return thin
