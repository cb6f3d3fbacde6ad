"""Every path of the network led from hole to hole: first the nodes choose their holes, all together."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from svg2chart.lines.choosing import Factor, cheapest_choice
from svg2chart.lines.edges import HALVES
from svg2chart.lines.ground import COST_UNIT, Ground, Point
from svg2chart.lines.halfturn import pairs_of, runs_as_its_image
from svg2chart.lines.network import Network, Path
from svg2chart.lines.segments import NEVER
from svg2chart.lines.tracing import Ways, find_round, find_ways

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

AWAY = 1.0
"""What a node costs for the squared distance to its hole, in square cubed. Our choice, no source."""

LOOSE = 0.15
"""What a node costs on a hole that no stitched edge runs to: a rope ends at the boat. Our choice."""

FALLEN = 0.3
"""What a path costs besides that falls together to a point, its ends on one hole. Our choice, no source."""

MOST_FALLEN = 1.0  # squares that such a path may stray from its hole

LEAST_LINE = 1.0
WHOLE_FALLEN = 8.0
"""What a path costs besides that is at least so many squares across: there are holes for both of its ends,
and it falls together only where it can be nothing else. Our choice, no source."""

LEAST_ROUND = 0.75
"""A round line that is smaller, in squares, is no ring on the cloth. Our choice, no source."""

BARRED = 1 << 45  # dearer than all that can be chosen, and small enough for sums of it


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Line:
    """A path between nodes and the chains that it can be; `turned` if they run against its direction."""

    ends: tuple[int, int]
    turned: bool
    ways: Ways
    fallen: Ints
    cost: Ints


def lead_paths(network: Network, ground: Ground) -> list[list[Point]]:
    """Return for each path of the network its points (x, y) in half squares, none where it is too short."""
    # beyond the last holes there are none: a line that hangs over the edge of the grid ends on it
    places, points, squared = ground.around(np.clip(network.nodes, 0, ground.edges.last / HALVES))
    bounds = np.searchsorted(places, np.arange(len(network.nodes) + 1))
    options = [points[low:high] for low, high in pairwise(bounds)]
    touched = ground.edges.touched()
    loose = ~touched[points[:, 1], points[:, 0]]
    alone = np.rint((AWAY * squared + LOOSE * loose) * COST_UNIT).astype(np.int64) + ground.upkeep(points)
    factors: list[Factor] = [((node,), alone[low:high]) for node, (low, high) in enumerate(pairwise(bounds))]
    lines = [_line(path, options, ground) for path in network.paths]
    factors += [_factor(line) for line in lines if line is not None]
    pairs = pairs_of(network, options, factors, middle=ground.middle)
    choosing = [len(own) if pairs.chooser[node] == node else 1 for node, own in enumerate(pairs.own)]
    chosen = pairs.chosen(cheapest_choice(choosing, [pairs.folded(factor) for factor in factors]))
    led: list[list[Point]] = []
    for number, (path, line) in enumerate(zip(network.paths, lines, strict=True)):
        leader = pairs.leader[number]
        if leader == number:
            led.append(_round(path, ground) if line is None else _led(line, chosen, options, ground))
        else:
            chain = pairs.image(led[leader])
            led.append(chain if runs_as_its_image(path, network.paths[leader], pairs) else chain[::-1])
    return led


def _round(path: Path, ground: Ground) -> list[Point]:
    size = (path.points.max(axis=0) - path.points.min(axis=0)).max()
    return find_round(path.points, ground) if size >= LEAST_ROUND else []


def _line(path: Path, options: Sequence[Ints], ground: Ground) -> _Line | None:
    """Return what a path between nodes can be; the same whichever way it was drawn."""
    if path.ends is None:
        return None
    points, (one, other) = path.points, path.ends
    turned = points[::-1].ravel().tolist() < points.ravel().tolist()
    if turned:
        points, one, other = points[::-1], other, one
    ways = find_ways(points, options[one], options[other], ground)
    cost = np.minimum(ways.cost, BARRED)
    fallen = np.full(cost.shape, NEVER)
    across = float(np.hypot(*(points.max(axis=0) - points.min(axis=0))))
    besides = FALLEN if across < LEAST_LINE else WHOLE_FALLEN
    for i, j in np.argwhere((options[one][:, None] == options[other][None]).all(axis=2)):
        if one != other or i == j:
            away = ((ways.track.samples - options[one][i] / HALVES) ** 2).sum(axis=1)
            if away.max() < MOST_FALLEN**2:
                fallen[i, j] = round((float(away.mean()) * ways.track.length + besides) * COST_UNIT)
    return _Line(ends=(one, other), turned=turned, ways=ways, fallen=fallen, cost=np.minimum(cost, fallen))


def _factor(line: _Line) -> Factor:
    one, other = line.ends
    if one == other:
        return (one,), line.cost.diagonal()
    return ((one, other), line.cost) if one < other else ((other, one), line.cost.T)


def _led(line: _Line, chosen: list[int], options: Sequence[Ints], ground: Ground) -> list[Point]:
    start, end = (chosen[node] for node in line.ends)
    if line.fallen[start, end] < NEVER and line.fallen[start, end] <= line.ways.cost[start, end]:
        return []
    if line.ways.cost[start, end] < NEVER:
        chain = line.ways.chain(start, end)
    else:
        chain = _straight(options[line.ends[0]][start], options[line.ends[1]][end], ground.longest)
    return chain[::-1] if line.turned else chain


def _straight(start: Ints, end: Ints, longest: int) -> list[Point]:
    """Return the chain straight across where there is no chain of points near the line."""
    reach = int(np.abs(end - start).max())
    parts = max(1, -(-reach // (HALVES * longest)))
    inner = [np.rint((start + (end - start) * i / parts) / HALVES) * HALVES for i in range(1, parts)]
    chain = [(int(x), int(y)) for x, y in [start, *inner, end]]
    return [point for i, point in enumerate(chain) if i == 0 or point != chain[i - 1]]
