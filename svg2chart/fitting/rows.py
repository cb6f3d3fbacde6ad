r"""Boxes of one size in a row: none is laid so near to the next that both would touch.

Each may come to lie a little before where it is drawn, or a little behind. Alone it takes the nearer place,
but where flags are not whole squares apart one of them would then lie against the next:

      drawn    \/ \/ \/ \/ \/        spaces of 2.9 squares
      alone   \/ \/ \/ \/\/          the third is nearer to the place behind, the fourth to that before
      here    \/ \/ \/ \/ \/         together the least far off, and no two touch

Source: the cheapest way through two places for each, R. Bellman, "Dynamic Programming", 1957.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from svg2chart.runs import distinct

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


def row_neighbours(boxes: Floats, pairs: Ints, axis: int) -> Ints:
    """Return (n, 2) boxes and the next of each along an axis, by the first; of each the next but of no other.

    Args:
        boxes: (boxes, 4) as drawn.
        pairs: (pairs, 2) of boxes that lie near each other.
        axis: 0 across, 1 down.
    """
    one, other = np.concatenate([pairs, pairs[:, ::-1]]).T
    first, last = boxes[:, :2], boxes[:, 2:]
    beside = 1 - axis
    kept = (last[one, axis] <= first[other, axis]) & (first[one, beside] < last[other, beside])
    kept &= first[other, beside] < last[one, beside]
    found = np.unique(np.stack([one[kept], other[kept]], axis=1), axis=0)
    gap = first[found[:, 1], axis] - last[found[:, 0], axis]
    is_nearest = np.ones(len(found), np.bool_)
    for side in (0, 1):
        least = np.full(len(boxes), np.inf)
        np.minimum.at(least, found[:, side], gap)
        is_nearest &= gap == least[found[:, side]]
        once = np.bincount(found[is_nearest, side], minlength=len(boxes)) == 1
        is_nearest &= once[found[:, side]]
    return found[is_nearest]


def spaced(is_second: Bools, middles: Floats, cost: Ints, neighbours: Ints, *, least: float) -> Bools:
    """Return of which boxes the second place is taken, so that neighbours keep apart at the least cost.

    Rows that keep apart stay as they are, and so do those that cannot, or could in several ways alike.

    Args:
        is_second: (n,) of which boxes the nearer place is the second.
        middles: (2, n) where the middles of the boxes lie in either place.
        cost: (2, n) what each place costs, -1 where a box cannot have it.
        neighbours: as `row_neighbours` gives them.
        least: how far apart the middles of neighbours have to be, at the least.
    """
    can_lie = cost.max(axis=0) >= 0
    neighbours = neighbours[can_lie[neighbours[:, 0]] & can_lie[neighbours[:, 1]]]
    result = is_second.copy()
    for row in _rows(neighbours, touching(is_second, middles, neighbours, least=least)):
        places = _cheapest(middles[:, row].T.tolist(), cost[:, row].T.tolist(), least)
        if places is not None:
            result[row] = places
    return result


def touching(is_second: Bools, middles: Floats, neighbours: Ints, *, least: float) -> Ints:
    """Return the boxes that lie too near to a neighbour, ascending; arguments as for `spaced`."""
    at = middles[is_second.astype(np.int64), np.arange(len(is_second))]
    return distinct(neighbours[at[neighbours[:, 1]] - at[neighbours[:, 0]] < least])


def _rows(neighbours: Ints, among: Ints) -> Iterator[list[int]]:
    """Yield the rows, from first to last, of which some of these are."""
    behind = dict(neighbours.tolist())
    before = {other: one for one, other in behind.items()}
    done: set[int] = set()
    for each in distinct(among).tolist():
        if each in done:
            continue
        first = each
        while first in before:
            first = before[first]
        row = [first]
        while row[-1] in behind:
            row.append(behind[row[-1]])
        done |= set(row)
        yield row


def _cheapest(middles: list[list[float]], costs: list[list[int]], least: float) -> list[bool] | None:
    """Return which boxes of a row take their second place; None where no way, or no one way, is cheapest."""
    ways: list[dict[int, tuple[int, int, int]]] = [{p: (c, 1, -1) for p, c in enumerate(costs[0]) if c >= 0}]
    for number in range(1, len(costs)):
        found = {}
        for place, cost in enumerate(costs[number]):
            apart = [
                (so_far, count, before)
                for before, (so_far, count, _) in ways[-1].items()
                if middles[number][place] - middles[number - 1][before] >= least
            ]
            if cost >= 0 and apart:
                cheapest = min(so_far for so_far, *_ in apart)
                equal = [each for each in apart if each[0] == cheapest]
                found[place] = (cheapest + cost, sum(count for _, count, _ in equal), equal[0][2])
        ways.append(found)
    if not ways[-1]:
        return None
    total = min(cost for cost, *_ in ways[-1].values())
    ends = [(place, count) for place, (cost, count, _) in ways[-1].items() if cost == total]
    if sum(count for _, count in ends) > 1:
        return None
    place, taken = ends[0][0], []
    for way in reversed(ways):
        taken.append(place == 1)
        place = way[place][2]
    return taken[::-1]
