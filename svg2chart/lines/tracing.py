"""The cheapest chain of segments along one line, open or round."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.lines.evenness import MOST_DEARER, cheapest_even, led_between_mirrors, led_to_mirror
from svg2chart.lines.ground import NEAR_SQUARES, Ground, Point
from svg2chart.lines.mirrors import Mirror, mirrors_of
from svg2chart.lines.segments import NEVER, Segments, find_segments
from svg2chart.lines.spreading import Spread, spread_costs
from svg2chart.lines.tracks import Track, open_track, round_track

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

FARTHER = 2 * NEAR_SQUARES  # how far a segment may stray where there is no chain within NEAR_SQUARES


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Ways:
    """The cheapest chains of a line from each of its starts to each of its ends.

    cost: (starts, ends), NEVER where there is none. mirrors: those of the line.
    """

    cost: Ints
    track: Track
    mirrors: Sequence[Mirror]
    segments: Segments
    spread: Spread

    def chain(self, start: int, end: int) -> list[Point]:
        """Return the points of the cheapest chain between the start and the end of these numbers.

        A line that mirrors itself gets a chain that does, unless that is much dearer.
        """
        track, links = self.track, self.segments.links
        node = len(track.points) - self.cost.shape[1] + end
        into = np.flatnonzero(links[:, 1] == node)
        cheapest = int(into[self.spread.best[into, start].argmin()])
        nodes = self.spread.nodes(links, cheapest, start)
        ends = track.points[[start, node]]
        matching = [mirror for mirror in self.mirrors if (mirror.image(ends[0]) == ends[1]).all()]
        even = [led_to_mirror(track, self.segments, start, mirror) for mirror in matching]
        if matching:  # a single segment is even as well
            even.append([(int(x), int(y)) for x, y in ends])
        return cheapest_even(track.points[nodes], even, track, self.segments, closed=False)


def find_ways(line: Floats, starts: Ints, ends: Ints, ground: Ground) -> Ways:
    """Return the cheapest chains along a line, (n, 2) in squares, from each start to each end.

    Starts and ends are points (x, y) in half squares.
    """
    track = open_track(line, starts, ends, ground)
    mirrors = mirrors_of(track.samples, track.places, closed=False)
    ways = _ways(track, mirrors, (len(starts), len(ends)), ground, NEAR_SQUARES)
    if not (ways.cost < NEVER).any():
        ways = _ways(track, mirrors, (len(starts), len(ends)), ground, FARTHER)
    return _with_leaning_dearer(ways, starts, ends)


def _with_leaning_dearer(ways: Ways, starts: Ints, ends: Ints) -> Ways:
    """Return the ways with those of a line that mirrors itself dearer whose ends do not mirror each other."""
    is_even = np.zeros(ways.cost.shape, np.bool_)
    for mirror in ways.mirrors:
        is_even |= (mirror.image(starts)[:, None] == ends[None]).all(axis=2)
    leans = ~is_even & (ways.cost < NEVER) & bool(ways.mirrors)
    more = np.rint(MOST_DEARER * ways.cost).astype(np.int64)
    return replace(ways, cost=ways.cost + leans * more)


def find_round(loop: Floats, ground: Ground) -> list[Point]:
    """Return the cheapest closed chain along a closed line, its first point again at its end.

    Empty where the line is too small for one. Every segment across one place of the line is tried as the
    first: one of them is in the cheapest chain. A line that mirrors itself gets a chain that does, unless
    that is much dearer.
    """
    track = round_track(loop, ground)
    segments = find_segments(track, ground, NEAR_SQUARES)
    links = segments.links
    once, lap = len(track.points) // 2, track.length / 2
    over = (track.at[links[:, 0]] < lap / 2) & (lap / 2 <= track.at[links[:, 1]]) & (links < once).all(axis=1)
    firsts = np.flatnonzero(over)
    if not len(firsts):
        return []
    initial = np.full((len(links), len(firsts)), NEVER)
    initial[firsts, np.arange(len(firsts))] = 0
    spread = spread_costs(segments, initial)
    # links are ordered by their nodes, so that those of the second lap can be looked up
    keys = links[:, 0] * len(track.points) + links[:, 1]
    wanted = (links[firsts, 0] + once) * len(track.points) + links[firsts, 1] + once
    copies = np.searchsorted(keys, wanted)
    column = int(spread.best[copies, np.arange(len(firsts))].argmin())
    if spread.best[copies[column], column] >= NEVER:
        return []
    nodes = spread.nodes(links, int(copies[column]), column)[1:]
    count = (len(track.places) + 1) // 2
    mirrors = mirrors_of(track.samples[:count], track.places[:count], closed=True)
    even = [led_between_mirrors(track, segments, mirrors)] if mirrors else []
    return cheapest_even(track.points[nodes], even, track, segments, closed=True)


def _ways(
    track: Track, mirrors: Sequence[Mirror], counts: tuple[int, int], ground: Ground, stray: float
) -> Ways:
    starts, ends = counts
    segments = find_segments(track, ground, stray)
    # no segment ends at a start or starts at an end
    inner = (segments.links[:, 1] >= starts) & (segments.links[:, 0] < len(track.points) - ends)
    segments = segments.taken(inner)
    links = segments.links
    initial = np.full((len(links), starts), NEVER)
    first = np.flatnonzero(links[:, 0] < starts)
    initial[first, links[first, 0]] = segments.cost[first]
    spread = spread_costs(segments, initial)
    reached = np.full((starts, ends), NEVER)
    for end in range(ends):
        into = spread.best[links[:, 1] == len(track.points) - ends + end]
        reached[:, end] = into.min(axis=0, initial=NEVER)
    return Ways(cost=reached, track=track, mirrors=mirrors, segments=segments, spread=spread)
