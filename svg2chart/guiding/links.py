"""Carries that join areas of one thread: as many areas as possible, over as little bare cloth as possible.

For every pair of areas the nearby pairs of their squares are tried, each with the holes that serve best. A
pair serves if the thread may be carried from a finished cross to the first leg of the other. Links over
so little bare cloth that going there and back costs less than a start come first: the cheapest are taken
until they join no two areas any more (Kruskal's minimum spanning forest). The others are gone once, and
put what is joined so far into paths (`paths.py`).
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from svg2chart.guiding.cloth import BEHIND_SQUARES, START_BARE, Cloth, length
from svg2chart.guiding.legs import Choice, Square, SquareWork
from svg2chart.guiding.paths import choose_ways
from svg2chart.guiding.strips import Link

Works = dict[Square, SquareWork]


def crossing(cloth: Cloth, before: Choice, after: Choice) -> tuple[int, int] | None:
    """Return the least (bare, whole) length from the end of one leg to another, None if there is no way."""
    ways = []
    for leg in before.legs:
        for other in after.legs:
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
    found.sort()
    joined = list(range(max(area_of.values(), default=-1) + 1))
    links = []
    between: dict[tuple[int, int], Link] = {}
    for bare, _, one, other in found:
        link = Link(one, other, bare // 2)
        low, high = sorted((_root(joined, area_of[one]), _root(joined, area_of[other])))
        if low == high or link.bare > START_BARE:
            continue
        if link.is_gone_once:
            between.setdefault((low, high), link)
        else:
            joined[high] = low
            links.append(link)
    dear = list(between.values())
    ways = [(link.bare, *between_areas) for between_areas, link in between.items()]
    return links + [dear[n] for n in choose_ways(ways)]


def _root(joined: list[int], area: int) -> int:
    while joined[area] != area:
        joined[area] = joined[joined[area]]
        area = joined[area]
    return area


def _near_pairs(area_of: dict[Square, int]) -> Iterator[tuple[Square, Square]]:
    """Yield, for each two areas and each offset, the first and the last two squares that lie so far apart."""
    if len(set(area_of.values())) < 2:
        return
    # from corner to corner of two squares is less by one than from middle to middle
    reach = BEHIND_SQUARES + 1
    places = np.array(list(area_of))
    areas = np.array(list(area_of.values()))
    wide = int(places[:, 1].max()) + 1 + reach  # so that beyond a row come squares of no area
    at = (places[:, 0] + reach) * wide + places[:, 1]
    labels = np.full(int(at.max()) + 1 + reach * wide + reach, -1, np.int64)
    labels[at] = areas
    ones, pairs, ways = [], [], []
    for way, (down, right) in enumerate(_OFFSETS):
        others = labels[at + down * wide + right]
        differing = np.flatnonzero((others >= 0) & (others != areas))
        ones.append(differing)
        pairs.append(areas[differing] * len(areas) + others[differing])
        ways.append(np.full(len(differing), way))
    all_ones, all_ways = np.concatenate(ones), np.concatenate(ways)
    for n in _first_and_last(all_ways, np.concatenate(pairs)).tolist():
        (down, right), (row, column) = _OFFSETS[all_ways[n]], places[all_ones[n]].tolist()
        yield (row, column), (row + down, column + right)


_OFFSETS = [
    (down, right)
    for down in range(BEHIND_SQUARES + 2)
    for right in range(-BEHIND_SQUARES - 1 if down else 1, BEHIND_SQUARES + 2)
]
"""How far down and right two squares may lie apart, each two once."""


def _first_and_last(way: NDArray[np.int64], pair: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return the numbers of the first and the last of all that agree in both, in order."""
    order = np.lexsort((pair, way))
    changes = np.flatnonzero((np.diff(way[order]) != 0) | (np.diff(pair[order]) != 0))
    ends = np.concatenate([order[:1], order[changes], order[changes + 1], order[-1:]])
    return np.unique(ends)
