"""The cheapest chain of segments along a line, by dynamic programming.

From each point near the line a segment may run to any point further along it that is at
most LONGEST squares away in either direction, if it passes over no hole (a straight run is worked
hole by hole) and the line keeps within 3/4 of a square of it. A chain costs

    the squared distance between line and segments, summed along the line
    + where a segment does not lie on an edge that the stitches show: UNSEEN along the line, and SLANT
      times the squared sine of the angle between segment and line, so that a level line half way
      between two rows of holes stays level instead of swaying from row to row
    + SEGMENT for each segment, TURN for each turn, growing with its angle: less on such edges, where
      the turn is to be seen already; and the upkeep of each point.

A turn needs three points: the cheapest chain is found over pairs of following points. Costs are whole
numbers. All starts are followed at once, as columns.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.lines.edges import HALVES
from svg2chart.lines.ground import COST_UNIT, NEAR_SQUARES, Ground, Point, passes_hole
from svg2chart.lines.tracks import LATTICE, Track, open_track, round_track
from svg2chart.runs import spread

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SLANT = 4.0
UNSEEN = 0.35
SEGMENT = 0.04
TURN = 0.08
SHARP = 0.5
SEEN_TURN = 0.02
"""Costs in squares cubed (squared distance times length); SLANT and UNSEEN in square squares. Our choice, no
source. A level line at the worst distance, half a square, costs 1/4 for each square of its length. Swaying
between the rows saves 1/6 of that unit, and its slant of 1 in 2 has a squared sine of 1/5."""

LEAST_STEP = 1 / 32  # squares along the line; what lies nearer is level with it, and neither comes first
NEVER = 1 << 60  # dearer than any chain
FARTHER = 2 * NEAR_SQUARES  # how far a segment may stray where there is no chain within NEAR_SQUARES


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Ways:
    """The cheapest chains of a line from each of its starts to each of its ends.

    cost: (starts, ends), NEVER where there is none.
    """

    cost: Ints
    track: Track
    links: Ints
    best: Ints
    back: Ints

    def chain(self, start: int, end: int) -> list[Point]:
        """Return the points of the cheapest chain between the start and the end of these numbers."""
        node = len(self.track.points) - self.cost.shape[1] + end
        into = np.flatnonzero(self.links[:, 1] == node)
        return self._back_from(int(into[self.best[into, start].argmin()]), start)

    def _back_from(self, link: int, column: int) -> list[Point]:
        nodes = [int(self.links[link, 1])]
        while link >= 0:
            nodes.append(int(self.links[link, 0]))
            link = int(self.back[link, column])
        return [(int(x), int(y)) for x, y in self.track.points[nodes[::-1]]]


def find_ways(line: Floats, starts: Ints, ends: Ints, ground: Ground) -> Ways:
    """Return the cheapest chains along a line, (n, 2) in squares, from each start to each end.

    Starts and ends are points (x, y) in half squares.
    """
    track = open_track(line, starts, ends, ground)
    ways = _ways(track, len(starts), len(ends), ground, NEAR_SQUARES)
    if (ways.cost < NEVER).any():
        return ways
    return _ways(track, len(starts), len(ends), ground, FARTHER)


def find_round(loop: Floats, ground: Ground) -> list[Point]:
    """Return the cheapest closed chain along a closed line, its first point again at its end.

    Empty where the line is too small for one. Every segment across one place of the line is tried as the
    first: one of them is in the cheapest chain.
    """
    track = round_track(loop, ground)
    links, cost, turns, way = _links(track, ground, NEAR_SQUARES)
    once = len(track.points) // 2
    across = track.length / 4
    over = (track.at[links[:, 0]] < across) & (across <= track.at[links[:, 1]]) & (links < once).all(axis=1)
    firsts = np.flatnonzero(over)
    if not len(firsts):
        return []
    initial = np.full((len(links), len(firsts)), NEVER)
    initial[firsts, np.arange(len(firsts))] = 0
    best, back = _spread_costs(links, cost, turns, way, initial)
    # links are ordered by their nodes, so that those of the second lap can be looked up
    keys = links[:, 0] * len(track.points) + links[:, 1]
    wanted = (links[firsts, 0] + once) * len(track.points) + links[firsts, 1] + once
    copies = np.searchsorted(keys, wanted)
    column = int(best[copies, np.arange(len(firsts))].argmin())
    if best[copies[column], column] >= NEVER:
        return []
    ways = Ways(cost=cost[:0, None], track=track, links=links, best=best, back=back)
    return ways._back_from(int(copies[column]), column)[1:]


def _ways(track: Track, starts: int, ends: int, ground: Ground, stray: float) -> Ways:
    links, cost, turns, way = _links(track, ground, stray)
    # no segment ends at a start or starts at an end
    inner = (links[:, 1] >= starts) & (links[:, 0] < len(track.points) - ends)
    links, cost, way = links[inner], cost[inner], way[inner]
    initial = np.full((len(links), starts), NEVER)
    first = np.flatnonzero(links[:, 0] < starts)
    initial[first, links[first, 0]] = cost[first]
    best, back = _spread_costs(links, cost, turns, way, initial)
    reached = np.full((starts, ends), NEVER)
    for end in range(ends):
        into = best[links[:, 1] == len(track.points) - ends + end]
        reached[:, end] = into.min(axis=0, initial=NEVER)
    return Ways(cost=reached, track=track, links=links, best=best, back=back)


def _links(track: Track, ground: Ground, stray: float) -> tuple[Ints, Ints, Ints, Ints]:
    """Return the segments that a chain may have.

    Four arrays: (n, 2) pairs of points in order along the line; what each costs; a table of what the turn
    from one way to another costs; (n,) the way of each.
    """
    at = track.at
    # a line that winds much farther than a segment reaches between two points is not shown by it
    first_after = np.searchsorted(at, at + LEAST_STEP)
    following = np.searchsorted(at, at + 2.0 * (ground.longest + 1), side="right")
    counts = np.maximum(following - first_after, 0)
    first = np.repeat(np.arange(len(at)), counts)
    second = spread(first_after, counts)
    step = track.points[second] - track.points[first]
    near = np.abs(step).max(axis=1, initial=0) <= HALVES * ground.longest
    first, second, step = first[near], second[near], step[near]
    allowed = (step != 0).any(axis=1) & ~_pass_holes(track.points[first], step)
    links = np.stack([first[allowed], second[allowed]], axis=1)
    starts, ends = track.points[links[:, 0]], track.points[links[:, 1]]
    share = ground.edges.shares(starts, ends)
    cost, farthest = _deviations(track, links, share)
    kept = farthest < round(stray * stray * COST_UNIT)
    links, share, cost = links[kept], share[kept], cost[kept]
    cost = cost + ground.upkeep(track.points[links[:, 1]])
    turns, way = _turns(track.points[links[:, 1]] - track.points[links[:, 0]], share)
    return links, cost, turns, way


def _pass_holes(starts: Ints, steps: Ints) -> NDArray[np.bool_]:
    rows = np.concatenate([steps, starts % HALVES], axis=1)
    distinct, inverse = np.unique(rows, axis=0, return_inverse=True)
    passing = [passes_hole(across, down, x, y) for across, down, x, y in distinct.tolist()]
    return np.array(passing, dtype=np.bool_)[inverse.ravel()]


def _deviations(track: Track, links: Ints, share: Floats) -> tuple[Ints, Ints]:
    """Return what each segment costs by itself, and the greatest squared distance of the line from it."""
    samples, places = track.samples, track.places
    at_start, at_end = track.at[links[:, 0]], track.at[links[:, 1]]
    first = np.searchsorted(places, at_start, side="right") - 1
    last = np.minimum(np.maximum(np.searchsorted(places, at_end), first + 1), len(places) - 1)
    counts = last - first + 1
    link = np.repeat(np.arange(len(links)), counts)
    sample = samples[spread(first, counts)]
    nodes = track.points / HALVES
    start, way = nodes[links[:, 0]], nodes[links[:, 1]] - nodes[links[:, 0]]
    length = (way**2).sum(axis=1)
    t = ((sample - start[link]) * way[link]).sum(axis=1) / length[link]
    foot = start[link] + np.clip(t, 0.0, 1.0)[:, None] * way[link]
    squared = ((sample - foot) ** 2).sum(axis=1)
    span = at_end - at_start
    run = samples[last] - samples[first]
    across = run[:, 0] * way[:, 1] - run[:, 1] * way[:, 0]
    both = np.maximum((run**2).sum(axis=1) * length, LATTICE**-2)
    strayed = np.bincount(link, squared, len(links)) / counts
    unseen = (1.0 - share) * (UNSEEN + SLANT * across**2 / both)
    cost = (strayed + unseen) * span + SEGMENT
    farthest = np.zeros(len(links))
    np.maximum.at(farthest, link, squared)
    return _whole(cost), _whole(farthest)


def _whole(values: Floats) -> Ints:
    return np.asarray(np.rint(values * COST_UNIT), dtype=np.int64)


def _turns(steps: Ints, share: Floats) -> tuple[Ints, Ints]:
    """Return a table of what each turn costs, and for each step its row in it.

    Straight on costs nothing, 45 degrees TURN, growing with the square; going back is never done.
    """
    seen = (share == 1.0).astype(np.int64)
    kinds, way = np.unique(np.column_stack([steps, seen]), axis=0, return_inverse=True)
    x, y, is_seen = kinds.T
    across = np.abs(x[:, None] * y - y[:, None] * x)
    along = x[:, None] * x + y[:, None] * y
    angle = np.arctan2(across, along) / (np.pi / 4)
    rate = np.where((is_seen[:, None] & is_seen) == 1, SEEN_TURN, TURN)
    sharp = (angle > 1.0 + LEAST_STEP) & (rate == TURN)
    table = np.rint((rate * angle**2 + sharp * SHARP) * COST_UNIT).astype(np.int64)
    table[(across == 0) & (along < 0)] = NEVER
    return table, way.ravel()


def _spread_costs(links: Ints, cost: Ints, turns: Ints, way: Ints, initial: Ints) -> tuple[Ints, Ints]:
    """Return the least cost of a chain that ends with each link, and the link before, -1 for the first.

    initial: (links, columns) what a chain costs that starts with the link, NEVER where none does.
    """
    best, back = initial.copy(), np.full(initial.shape, -1)
    if not len(links):
        return best, back
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
    return best, back
