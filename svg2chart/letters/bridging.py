"""Parts of a letter that lie farther apart than a square joined by stitches along what lies between them.

A hairline that runs slantwise can lose all its width where the letter is moved onto the hole lines.
"""

from heapq import heappop, heappush

import numpy as np

from svg2chart.letters.changes import with_stitches
from svg2chart.letters.connections import numbered_parts
from svg2chart.letters.judging import Found, Wanted
from svg2chart.letters.mirrors import put_mirrored

_BARE_COST = 1 / 16
"""A square that is all ink costs a way so much, one without any a square more."""
_DIGITS = 9
_FULL = np.ones((1, 8), np.bool_)
Square = tuple[int, int]


def bridged(found: Found, wanted: Wanted) -> Found:
    """Return a letter with its smallest part joined to the one that the most ink leads to, by full stitches.

    The squares at both ends are full, too, so that it does not hang together by holes alone.
    """
    shown = found.shown.copy()
    for row, column in _way(found):
        put_mirrored(shown[None], np.array([row]), np.array([column]), _FULL, wanted.mirrors)
    return with_stitches(found, shown, wanted)


def _way(found: Found) -> list[Square]:
    """Return the squares from the smallest part to the nearest other one, both ends among them."""
    parts = numbered_parts(found.shown)
    numbers, counts = np.unique(parts[parts >= 0], return_counts=True)
    smallest = numbers[counts.argmin()]
    costs = np.round(np.maximum(1 - found.areas.sum(axis=-1), 0) + _BARE_COST, _DIGITS)
    rows, columns = parts.shape
    reached: dict[Square, Square] = {}
    waiting = [(0.0, (row, column), (row, column)) for row, column in np.argwhere(parts == smallest).tolist()]
    while waiting:
        cost, at, before = heappop(waiting)
        if at in reached:
            continue
        reached[at] = before
        if parts[at] not in (-1, smallest):
            break
        for beside in ((at[0] - 1, at[1]), (at[0], at[1] + 1), (at[0] + 1, at[1]), (at[0], at[1] - 1)):
            if 0 <= beside[0] < rows and 0 <= beside[1] < columns and beside not in reached:
                heappush(waiting, (round(cost + float(costs[beside]), _DIGITS), beside, at))
    way = [at]
    while reached[way[-1]] != way[-1]:
        way.append(reached[way[-1]])
    return way
