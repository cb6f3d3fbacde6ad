"""The cheapest chains along a line, by dynamic programming."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.lines.segments import NEVER, Segments

Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Spread:
    """The cheapest chains to each segment.

    best: (segments, columns) what the cheapest chain costs that ends with the segment; back: the number of
        the segment before it, -1 where it is the first.
    """

    best: Ints
    back: Ints

    def nodes(self, links: Ints, last: int, column: int) -> list[int]:
        """Return the points, by their numbers, of the cheapest chain that ends with the segment `last`."""
        nodes, link = [int(links[last, 1])], last
        while link >= 0:
            nodes.append(int(links[link, 0]))
            link = int(self.back[link, column])
        return nodes[::-1]


def spread_costs(segments: Segments, initial: Ints) -> Spread:
    """Return what the cheapest chain to each segment costs, for all starts at once, as columns.

    A turn needs three points: chains are followed over pairs of following points.

    Args:
        segments: along a track.
        initial: (segments, columns) what a chain costs that starts with the segment, NEVER where none does.
    """
    links, cost, way, turns = segments.links, segments.cost, segments.way, segments.turns
    best, back = initial.copy(), np.full(initial.shape, -1)
    if not len(links):
        return Spread(best=best, back=back)
    by_end = np.argsort(links[:, 1], kind="stable")
    nodes = np.arange(int(links.max()) + 2)
    out, into = np.searchsorted(links[:, 0], nodes), np.searchsorted(links[by_end, 1], nodes)
    for node in nodes[:-1].tolist():
        onwards = slice(out[node], out[node + 1])
        before = by_end[into[node] : into[node + 1]]
        if onwards.start == onwards.stop or not len(before):
            continue
        total = best[before, None] + turns[way[before][:, None], way[onwards]][..., None]
        chosen = total.argmin(axis=0)
        least = np.minimum(np.take_along_axis(total, chosen[None], axis=0)[0] + cost[onwards, None], NEVER)
        better = least < best[onwards]
        best[onwards] = np.where(better, least, best[onwards])
        back[onwards] = np.where(better, before[chosen], back[onwards])
    return Spread(best=best, back=back)
