"""All thin lines of a drawing as one network: nodes, which get holes first and share them, and paths.

    a---b---c     Nodes are ends, corners and crossings of lines; those nearer to each other than
        |   |     JOIN_SQUARES are one, as is an end or a corner that nearly touches a line.
    d---+---e     Paths run between nodes; a round line without any is a path by itself.

A line that runs along an upper one is cut away as far as it does.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.meetings import crossing, feet, meeting_edges, near_edges, near_points
from svg2chart.grid import LATTICE
from svg2chart.lines.walks import Walk, corners, sampled
from svg2chart.runs import distinct, linked

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

JOIN_SQUARES = 0.25
"""Ends and corners nearer than this to another line are joined to it in the art. Our choice, no source."""

DOUBLED_SQUARES = 0.1
"""A line that runs so near to another is the same line drawn twice. Our choice, no source."""

FINER = 64  # parts of the step from one sample of a line to the next

LEAST_DOUBLED = 1.0  # squares; lines that only cross are near each other for less


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Path:
    """A stretch of line between two nodes, by their numbers; None for a round line without nodes."""

    ends: tuple[int, int] | None
    points: Floats
    thread: int
    order: int
    pieces: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubled:
    """A stretch of line that runs along an upper one: the numbers of its pieces, and its thread.

    upper, upper_thread: order and thread of the upper line. at: x and y of a point half way along.
    """

    pieces: tuple[int, ...]
    thread: int
    upper: int
    upper_thread: int
    at: tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Network:
    """The lines of a drawing.

    nodes: (n, 2) in squares. doubled: what runs along upper lines.
    """

    nodes: Floats
    paths: tuple[Path, ...]
    doubled: tuple[Doubled, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stop:
    """A place along a walk that becomes a node."""

    walk: int
    place: float
    point: tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Courses:
    """Walks and their edges.

    edges: (n, 4) start and end of all, one walk after the other. owner: (n,) the walk of each. before: (n,)
    how far along it each starts.
    """

    walks: Sequence[Walk]
    edges: Floats
    owner: Ints
    before: Floats

    @staticmethod
    def of(walks: Sequence[Walk]) -> "_Courses":
        return _Courses(
            walks=walks,
            edges=np.concatenate([np.zeros((0, 4)), *(walk.edges() for walk in walks)]),
            owner=np.repeat(np.arange(len(walks)), [len(walk.whole) - 1 for walk in walks]),
            before=np.concatenate([np.zeros(0), *(walk.along()[:-1] for walk in walks)]),
        )


def find_network(walks: Sequence[Walk]) -> Network:
    """Return the network of the walks; dots are none of it."""
    kept, doubled = _without_doubles([walk for walk in walks if len(walk.points) > 1])
    stops, same = _stops(kept)
    node_of, nodes = _nodes(stops, same)
    paths: list[Path] = []
    by_walk: dict[int, list[int]] = {}
    for index, stop in enumerate(stops):
        by_walk.setdefault(stop.walk, []).append(index)
    for number, walk in enumerate(kept):
        own = sorted(by_walk.get(number, []), key=lambda index: (stops[index].place, index))
        paths += _paths(walk, [(stops[i].place, node_of[i]) for i in own], nodes)
    return Network(nodes=nodes, paths=tuple(paths), doubled=tuple(doubled))


def _paths(walk: Walk, stops: list[tuple[float, int]], nodes: Floats) -> list[Path]:
    """Return the stretches between the stops; those that never leave their node are dropped."""
    base = Path(ends=None, points=walk.points, thread=walk.thread, order=walk.order, pieces=walk.pieces)
    if not stops:
        return [base]
    stops = [stop for i, stop in enumerate(stops) if i == 0 or stop[0] > stops[i - 1][0]]
    following = stops[1:] + (stops[:1] if walk.closed else [])
    paths = []
    for (start, one), (end, other) in zip(stops, following, strict=False):
        points = walk.stretch(start, end)
        if one == other and np.hypot(*(points - nodes[one]).T).max() <= 2 * JOIN_SQUARES:
            continue
        paths.append(replace(base, ends=(one, other), points=points))
    return paths


def _stops(walks: Sequence[Walk]) -> tuple[list[_Stop], list[tuple[int, int]]]:
    """Return the places that become nodes, and pairs of them that are one node however far apart."""
    stops: list[_Stop] = []
    for number, walk in enumerate(walks):
        along = walk.along()
        ends = [] if walk.closed else [0.0, float(along[-1])]
        for place in [*ends, *corners(walk)]:
            point = [float(np.interp(place, along, walk.whole[:, axis])) for axis in (0, 1)]
            stops.append(_Stop(walk=number, place=place, point=(point[0], point[1])))
    courses = _Courses.of(walks)
    same: list[tuple[int, int]] = []
    _add_joints(stops, same, courses)
    _add_crossings(stops, same, courses)
    return stops, same


def _add_joints(stops: list[_Stop], same: list[tuple[int, int]], courses: _Courses) -> None:
    """Add a stop wherever an end or corner of a walk nearly touches a walk, one node with it."""
    walks, edges, owner, before = courses.walks, courses.edges, courses.owner, courses.before
    points = np.array([stop.point for stop in stops]).reshape(-1, 2)
    pairs = near_edges(points, edges, reach=JOIN_SQUARES)
    at = feet(points[pairs[:, 0]], edges[pairs[:, 1]])
    way = edges[pairs[:, 1], 2:] - edges[pairs[:, 1], :2]
    foot = edges[pairs[:, 1], :2] + at[:, None] * way
    place = before[pairs[:, 1]] + at * np.hypot(*way.T)
    squared = np.rint(((foot - points[pairs[:, 0]]) ** 2).sum(axis=1) * LATTICE)
    nearest: dict[tuple[int, int], tuple[float, int]] = {}
    for row, (end, edge) in enumerate(pairs.tolist()):
        stop, other = stops[end], int(owner[edge])
        if stop.walk == other and walks[other].apart(float(place[row]), stop.place) < 4 * JOIN_SQUARES:
            continue
        key, found = (end, other), (float(squared[row]), row)
        nearest[key] = min(nearest.get(key, found), found)
    for (end, other), (_, row) in nearest.items():
        same.append((end, len(stops)))
        x, y = foot[row].tolist()
        stops.append(_Stop(walk=other, place=float(place[row]), point=(x, y)))


def _add_crossings(stops: list[_Stop], same: list[tuple[int, int]], courses: _Courses) -> None:
    """Add two stops, which are one node, wherever walks cross, a walk with itself as well."""
    walks, edges, owner, before = courses.walks, courses.edges, courses.owner, courses.before
    first = np.concatenate([[0], np.cumsum([len(walk.whole) - 1 for walk in walks])])
    for one, other in meeting_edges(edges).tolist() if len(edges) else []:
        walk = int(owner[one])
        if walk == owner[other]:
            apart = other - one
            lap = int(first[walk + 1] - first[walk])
            if apart == 1 or (walks[walk].closed and apart == lap - 1):
                continue
        along = crossing(edges[one], edges[other]), crossing(edges[other], edges[one])
        if along[0] is None or along[1] is None:
            continue
        x, y = (_on(edges[one], along[0], axis) for axis in (0, 1))
        same.append((len(stops), len(stops) + 1))
        for edge, share in ((one, along[0]), (other, along[1])):
            length = float(np.hypot(*(edges[edge, 2:] - edges[edge, :2])))
            place = float(before[edge]) + float(min(max(share, Fraction(0)), Fraction(1))) * length
            stops.append(_Stop(walk=int(owner[edge]), place=place, point=(x, y)))


def _on(edge: Floats, share: Fraction, axis: int) -> float:
    start, end = Fraction(float(edge[axis])), Fraction(float(edge[2 + axis]))
    return round((start + share * (end - start)) * LATTICE) / LATTICE


def _nodes(stops: Sequence[_Stop], same: list[tuple[int, int]]) -> tuple[list[int], Floats]:
    """Return the node of each stop, and where the nodes lie: in the middle of their stops."""
    points = np.array([stop.point for stop in stops]).reshape(-1, 2)
    pairs = np.array([*same, *near_points(points, reach=JOIN_SQUARES).tolist()], np.int64).reshape(-1, 2)
    group = linked(pairs[:, 0], pairs[:, 1], len(stops)).tolist()
    for members in _members(group):
        spread = points[members].max(axis=0) - points[members].min(axis=0)
        if max(spread) > 1.0:  # a thicket of lines: as many nodes as holes
            holes = [tuple(np.rint(points[i]).tolist()) for i in members]
            for i, hole in zip(members, holes, strict=True):
                group[i] = members[holes.index(hole)]
    kept = sorted(set(group))
    number = {root: index for index, root in enumerate(kept)}
    nodes = np.zeros((len(kept), 2))
    for members in _members(group):
        own = points[members]
        nodes[number[group[members[0]]]] = (own.min(axis=0) + own.max(axis=0)) / 2
    return [number[root] for root in group], np.rint(nodes * LATTICE) / LATTICE


def _members(group: list[int]) -> list[list[int]]:
    found: dict[int, list[int]] = {}
    for index, root in enumerate(group):
        found.setdefault(root, []).append(index)
    return list(found.values())


def _without_doubles(walks: Sequence[Walk]) -> tuple[list[Walk], list[Doubled]]:
    """Return the walks without the stretches that run along a later walk, and what was cut away."""
    courses = _Courses.of(walks)
    edges, owner = courses.edges, courses.owner
    rank = np.argsort(np.argsort([walk.order for walk in walks], kind="stable"))
    kept: list[Walk] = []
    doubled = []
    for number, walk in enumerate(walks):
        samples, places = sampled(walk.whole)
        pairs = near_edges(samples, edges, reach=DOUBLED_SQUARES)
        upper = rank[owner[pairs[:, 1]]] > rank[number]
        pairs = pairs[upper]
        near = np.zeros(len(places), np.bool_)
        near[pairs[:, 0]] = True
        runs = _long_runs(near, places, closed=walk.closed)
        if not runs:
            kept.append(walk)
            continue
        uppers = edges[rank[owner] > rank[number]]
        step = float(places[1])
        if not near.all():
            runs = [
                (_leaves(walk, uppers, start, -step), _leaves(walk, uppers, end, step)) for start, end in runs
            ]
        for index in distinct(owner[pairs[:, 1]]).tolist():
            along = distinct(pairs[owner[pairs[:, 1]] == index, 0])
            x, y = samples[along[len(along) // 2]].tolist()
            upper = walks[index]
            doubled.append(
                Doubled(
                    pieces=walk.pieces,
                    thread=walk.thread,
                    upper=upper.order,
                    upper_thread=upper.thread,
                    at=(x, y),
                )
            )
        kept += _rest(walk, runs, length=float(places[-1]))
    return kept, doubled


def _long_runs(near: NDArray[np.bool_], places: Floats, *, closed: bool) -> list[tuple[float, float]]:
    """Return the runs, from place to place, that are long enough; of a closed walk one may pass the seam."""
    if near.all():
        return [(0.0, float(places[-1]))]
    count = len(near)
    offset = int(np.argmin(near[:-1])) if closed else 0
    flags = np.roll(near[:-1], -offset) if closed else near
    steps = np.diff(np.concatenate([[0], flags.astype(np.int8), [0]]))
    runs = []
    for start, end in zip(np.flatnonzero(steps > 0), np.flatnonzero(steps < 0) - 1, strict=True):
        length = places[end] - places[start]
        if length >= LEAST_DOUBLED:
            first, last = (start + offset, end + offset) if closed else (start, end)
            lap = count - 1 if closed else count
            runs.append((float(places[first % lap]), float(places[last % lap])))
    return runs


def _leaves(walk: Walk, uppers: Floats, place: float, step: float) -> float:
    """Return where a walk leaves upper lines, between a place near them and one that is a step from it."""
    along, whole = walk.along(), walk.whole
    ahead = place + step * np.linspace(0.0, 1.0, FINER + 1)
    ahead = ahead % along[-1] if walk.closed else np.clip(ahead, 0.0, along[-1])
    points = np.stack([np.interp(ahead, along, whole[:, axis]) for axis in (0, 1)], axis=1)
    apart = np.ones(len(points), np.bool_)
    apart[near_edges(points, uppers, reach=DOUBLED_SQUARES)[:, 0]] = False
    return float(ahead[max(0, int(apart.argmax()) - 1) if apart.any() else FINER])


def _rest(walk: Walk, runs: list[tuple[float, float]], *, length: float) -> list[Walk]:
    """Return what is left of a walk, so long, without the runs."""
    if runs == [(0.0, length)]:
        return []
    if walk.closed:
        ends = [(runs[i][1], runs[(i + 1) % len(runs)][0]) for i in range(len(runs))]
    else:
        bounds = [0.0, *(place for run in runs for place in run), length]
        ends = [(bounds[i], bounds[i + 1]) for i in range(0, len(bounds), 2)]
    return [
        replace(walk, points=walk.stretch(start, end), closed=False)
        for start, end in ends
        if walk.closed or end > start
    ]
