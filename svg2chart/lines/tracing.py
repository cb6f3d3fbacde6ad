"""A stretch of a thin line as a chain of backstitch between its two end holes, by dynamic programming.

Nodes are the holes near the line, each at the place of the line that is nearest to it.
From each node the chain may go on to any node further along the line that is at most
LONGEST squares away in either direction. The cost of a chain is

    the squared distance between line and segments, summed along the line
    + SLANT times the squared sine of the angle between them, summed likewise: a level line
      half way between two rows of holes stays level instead of swaying from row to row
    + SEGMENT for each segment + TURN for each turn, growing with its angle.

The cheapest chain is found over pairs of following nodes, since a turn needs three.
"""

from math import atan2, pi

import numpy as np
from numpy.typing import NDArray

from svg2chart.lines.holes import Hole
from svg2chart.runs import spread

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

NEAR_SQUARES = 0.75
"""Only holes so near the line are tried: no stitch strays farther from it."""

SAMPLES_A_SQUARE = 8
LATTICE = 2.0**20  # distances are compared as multiples of 2^-20 of a square
SLANT = 4.0
SEGMENT = 0.04
TURN = 0.08
"""Costs in squares cubed (distance squared times length); SLANT in square squares. Our choice, no source.
A level line at the worst distance, half a square, costs 1/4 for each square of its length. Swaying
between the rows saves 1/6 of that unit, and its slant of 1 in 2 has a squared sine of 1/5."""


def trace(points: Floats, start: Hole, end: Hole, *, longest: int) -> list[Hole]:
    """Return the holes of the chain that follows the line from start to end.

    Args:
        points: (n, 2) the line in squares.
        start: the hole of its first point.
        end: the hole of its last point.
        longest: how far a segment may reach in either direction, in squares.
    """
    samples, places = _samples(points)
    holes, at = _nodes(samples, places, start, end)
    links = _links(holes, at, longest)
    cost = _deviations(samples, places, holes, at, links) + SEGMENT
    return _cheapest(holes, links, cost, longest)


def _samples(points: Floats) -> tuple[Floats, Floats]:
    """Return evenly spaced points of the line and how far along it each lies."""
    steps = np.hypot(*np.diff(points, axis=0).T)
    along = np.concatenate([[0.0], np.cumsum(steps)])
    count = max(2, int(np.ceil(along[-1] * SAMPLES_A_SQUARE)) + 1)
    places = np.linspace(0.0, along[-1], count)
    return np.stack([np.interp(places, along, points[:, axis]) for axis in (0, 1)], axis=1), places


def _nodes(samples: Floats, places: Floats, start: Hole, end: Hole) -> tuple[list[Hole], Floats]:
    """Return the holes near the line in its order, start first and end last, and how far along each lies."""
    # a hole so near a sample is a corner of the square that the sample lies in
    low, high = np.floor(samples).astype(np.int64), np.ceil(samples).astype(np.int64)
    corners = [(x, y) for x in (low[:, 0], high[:, 0]) for y in (low[:, 1], high[:, 1])]
    around = np.concatenate([np.stack(corner, axis=1) for corner in corners])
    sample = np.tile(np.arange(len(samples)), 4)
    distance = np.rint(np.hypot(*(around - samples[sample]).T) * LATTICE) / LATTICE
    near = distance < NEAR_SQUARES
    around, sample, distance = around[near], sample[near], distance[near]
    order = np.lexsort((sample, distance, around[:, 1], around[:, 0]))
    first = order[(np.diff(around[order], axis=0, prepend=np.nan) != 0).any(axis=1)]
    inner = [(float(places[sample[i]]), (int(around[i, 0]), int(around[i, 1]))) for i in first.tolist()]
    inner = sorted((place, hole) for place, hole in inner if hole not in (start, end))
    nodes = [start, *(hole for _, hole in inner), end]
    return nodes, np.array([0.0, *(place for place, _ in inner), float(places[-1])])


def _links(holes: list[Hole], at: Floats, longest: int) -> Ints:
    """Return (n, 2) pairs of nodes that one segment may join, in order along the line.

    A segment passes no hole on its way: a straight run is worked hole by hole.
    """
    nodes = np.array(holes)
    # a line that winds much farther than a segment reaches between two holes is not shown by it
    following = np.searchsorted(at, at + 2.0 * (longest + 1), side="right")
    counts = following - np.arange(1, len(holes) + 1)
    first = np.repeat(np.arange(len(holes)), counts)
    second = spread(np.arange(1, len(holes) + 1), counts)
    step = np.abs(nodes[second] - nodes[first])
    allowed = (step.max(axis=1) <= longest) & (np.gcd(step[:, 0], step[:, 1]) == 1)
    return np.asarray(np.stack([first, second], axis=1)[allowed])


def _deviations(samples: Floats, places: Floats, holes: list[Hole], at: Floats, links: Ints) -> Floats:
    """Return for each link the squared distance to the line and its slant against it, summed along it."""
    nodes = np.array(holes, dtype=np.float64)
    first = np.searchsorted(places, at[links[:, 0]])
    last = np.searchsorted(places, at[links[:, 1]])
    counts = last - first + 1
    link = np.repeat(np.arange(len(links)), counts)
    sample = spread(first, counts)
    start, way = nodes[links[link, 0]], nodes[links[link, 1]] - nodes[links[link, 0]]
    t = ((samples[sample] - start) * way).sum(axis=1) / (way**2).sum(axis=1)
    foot = start + np.clip(t, 0.0, 1.0)[:, None] * way
    squared = ((samples[sample] - foot) ** 2).sum(axis=1)
    span = at[links[:, 1]] - at[links[:, 0]]
    run = samples[last] - samples[first]
    segment = nodes[links[:, 1]] - nodes[links[:, 0]]
    across = run[:, 0] * segment[:, 1] - run[:, 1] * segment[:, 0]
    both = np.maximum((run**2).sum(axis=1) * (segment**2).sum(axis=1), LATTICE**-2)
    strayed = np.bincount(link, squared, len(links)) / counts
    return np.asarray((strayed + SLANT * across**2 / both) * span)


def _turn(before: Hole, middle: Hole, after: Hole) -> float:
    """Return the cost of the turn: nothing straight on, TURN for 45 degrees, growing with the square."""
    first = atan2(middle[1] - before[1], middle[0] - before[0])
    second = atan2(after[1] - middle[1], after[0] - middle[0])
    angle = abs((second - first + pi) % (2 * pi) - pi)
    return TURN * (angle / (pi / 4)) ** 2


def _cheapest(holes: list[Hole], links: Ints, cost: Floats, longest: int) -> list[Hole]:
    """Return the cheapest chain from the first hole to the last."""
    into: dict[int, list[int]] = {}
    order = np.lexsort((links[:, 1], links[:, 0]))
    best: dict[int, tuple[float, int]] = {}
    for index in order.tolist():
        first, second = int(links[index, 0]), int(links[index, 1])
        options = [(float(cost[index]), -1)] if first == 0 else []
        for previous in into.get(first, []):
            before = int(links[previous, 0])
            turned = _turn(holes[before], holes[first], holes[second])
            options.append((best[previous][0] + turned + float(cost[index]), previous))
        if options:
            best[index] = min(options, key=lambda option: round(option[0], 9))
            into.setdefault(second, []).append(index)
    last = into.get(len(holes) - 1, [])
    if not last:
        return _straight(holes[0], holes[-1], longest)
    index = min(last, key=lambda link: round(best[link][0], 9))
    chain = [holes[-1]]
    while index >= 0:
        chain.append(holes[int(links[index, 0])])
        index = best[index][1]
    return chain[::-1]


def _straight(start: Hole, end: Hole, longest: int) -> list[Hole]:
    """Return the chain straight across where no chain of holes near the line can be found."""
    reach = max(abs(end[0] - start[0]), abs(end[1] - start[1]))
    parts = max(1, -(-reach // longest))
    chain = [
        (round(start[0] + (end[0] - start[0]) * i / parts), round(start[1] + (end[1] - start[1]) * i / parts))
        for i in range(parts + 1)
    ]
    return [hole for i, hole in enumerate(chain) if i == 0 or hole != chain[i - 1]]
