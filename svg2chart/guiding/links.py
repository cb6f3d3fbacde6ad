"""Carries that join areas of one thread: as many areas as possible, over as little bare cloth as possible.

For every pair of areas the nearby pairs of their squares are tried, each with the holes that serve best. A
pair serves if the thread may be carried from a finished cross to the first leg of the other. The cheapest
links are then taken until no two areas can be joined any more (Kruskal's minimum spanning forest).
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from svg2chart.guiding.cloth import BEHIND_SQUARES, Cloth, length
from svg2chart.guiding.legs import Choice, Square, SquareWork
from svg2chart.guiding.strips import Link

Works = dict[Square, SquareWork]


def crossing(cloth: Cloth, before: Choice, after: Choice) -> tuple[int, int] | None:
    """Return the least (bare, whole) length from the end of one leg to another, None if there is no way."""
    ways = []
    for leg in before:
        for other in after:
            own = tuple(square for square in (leg.square, other.square) if square is not None)
            bare = cloth.bare_length(leg.down, other.up, own)
            if bare is not None:
                ways.append((bare, length(leg.down, other.up)))
    return min(ways, default=None)


def join_areas(works: Works, area_of: dict[Square, int], cloth: Cloth) -> list[Link]:
    """Return the links between areas."""
    found = []
    for one, other in _near_pairs(area_of):
        there = crossing(cloth, works[one].leaving, works[other].entering)
        back = crossing(cloth, works[other].leaving, works[one].entering)
        if there is not None and back is not None:
            found.append((there[0] + back[0], there[1] + back[1], one, other))
    joined = list(range(max(area_of.values(), default=-1) + 1))
    links = []
    for bare, _, one, other in sorted(found):
        roots = _root(joined, area_of[one]), _root(joined, area_of[other])
        if roots[0] != roots[1]:
            joined[max(roots)] = min(roots)
            links.append(Link(one, other, bare // 2))
    return links


def _root(joined: list[int], area: int) -> int:
    while joined[area] != area:
        joined[area] = joined[joined[area]]
        area = joined[area]
    return area


def _near_pairs(area_of: dict[Square, int]) -> Iterator[tuple[Square, Square]]:
    """Yield, for each two areas and each offset, the first and the last two squares that lie so far apart."""
    if len(set(area_of.values())) < 2:
        return
    places = np.array(list(area_of))
    top, left = places.min(axis=0)
    labels = np.full(places.max(axis=0) - (top, left) + 1, -1, np.int64)
    labels[places[:, 0] - top, places[:, 1] - left] = list(area_of.values())
    furthest = (
        BEHIND_SQUARES + 1
    )  # from corner to corner of two squares is less by one than from middle to middle
    for down in range(furthest + 1):
        for right in range(-furthest if down else 1, furthest + 1):
            for row, column in _differing(labels, down, right):
                one = row + int(top), column + int(left)
                yield one, (one[0] + down, one[1] + right)


def _differing(labels: NDArray[np.int64], down: int, right: int) -> list[Square]:
    rows, columns = labels.shape
    if down >= rows or abs(right) >= columns:
        return []
    skipped = max(0, -right)
    one = labels[: rows - down, skipped : columns - max(0, right)]
    other = labels[down:, skipped + right : columns + min(0, right)]
    at = np.argwhere((one >= 0) & (other >= 0) & (one != other))
    pairs = one[tuple(at.T)] * (labels.max() + 1) + other[tuple(at.T)]
    first = np.unique(pairs, return_index=True)[1]
    last = len(pairs) - 1 - np.unique(pairs[::-1], return_index=True)[1]
    kept = np.unique(np.concatenate([first, last])) if len(pairs) else first
    return [(row, column + skipped) for row, column in at[kept].tolist()]
