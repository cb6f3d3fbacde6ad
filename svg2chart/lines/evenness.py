"""Chains that are led as far as a mirror of their line, and mirrored from there on."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from svg2chart.lines.ground import Point
from svg2chart.lines.mirrors import Mirror
from svg2chart.lines.segments import NEVER, Segments
from svg2chart.lines.spreading import spread_costs
from svg2chart.lines.tracks import Track

Ints = NDArray[np.int64]

LEVEL = 1 / 128  # squares; points whose places along the line are nearer are at one place

MOST_DEARER = 0.5
"""A symmetric chain may cost so much more than the cheapest, as a part of its cost. Our choice, no source."""


def led_to_mirror(track: Track, segments: Segments, start: int, mirror: Mirror) -> list[Point]:
    """Return the symmetric chain from a start of an open line to its mirror image; empty if there is none."""
    half = _half_chain(track, segments, (start, mirror))
    return _joined([half, [_image(mirror, point) for point in reversed(half)]])


def led_between_mirrors(track: Track, segments: Segments, mirrors: Sequence[Mirror]) -> list[Point]:
    """Return the symmetric chain of a round line, by its mirrors in order; empty if there is none."""
    # in the second of the track's two laps, where the segments across the first mirror are whole
    first, second = (replace(mirror, place=mirror.place + track.length / 2) for mirror in mirrors[:2])
    part = _half_chain(track, segments, (first, second))
    parts = []
    for index in range(len(mirrors)):
        parts.append(part)
        mirror = mirrors[(index + 1) % len(mirrors)]
        part = [_image(mirror, point) for point in reversed(part)]
    chain = _joined(parts)
    return [*chain, chain[0]] if chain and chain[0] != chain[-1] else chain


def cheapest_even(
    points: Ints, even: Sequence[list[Point]], track: Track, segments: Segments, *, closed: bool
) -> list[Point]:
    """Return the cheapest of some symmetric chains, or the points where all of those are much dearer.

    Closed chains have their first point again at the end; the turn there counts as any other.
    """
    cheapest = [(int(x), int(y)) for x, y in points]
    least = _cost(cheapest, track, segments, closed=closed)
    limit = least + round(MOST_DEARER * least)
    costs = [_cost(chain, track, segments, closed=closed) if chain else NEVER for chain in even]
    if not costs or min(costs) > limit:
        return cheapest
    return even[costs.index(min(costs))]


def _half_chain(track: Track, segments: Segments, ends: tuple[int | Mirror, Mirror]) -> list[Point]:
    """Return the cheapest chain from a start, or from one mirror, to the next mirror."""
    start, mirror = ends
    low = 0.0 if isinstance(start, int) else start.place
    inner = (track.at >= low - LEVEL) & (track.at <= mirror.place + LEVEL)
    kept = np.asarray(inner[segments.links].all(axis=1))
    numbers = {(int(a), int(b)): i for i, (a, b) in enumerate(segments.links.tolist())}
    reach = float((track.at[segments.links[:, 1]] - track.at[segments.links[:, 0]]).max(initial=0.0))
    before = None if isinstance(start, int) else _Crossing(segments, numbers, _images(track, start, reach))
    after = _Crossing(segments, numbers, _images(track, mirror, reach))
    initial = np.full((len(segments.links), 1), NEVER)
    final = np.full(len(segments.links), NEVER)
    for link in np.flatnonzero(kept).tolist():
        first, second = segments.links[link].tolist()
        if before is not None:
            initial[link] = min(NEVER, int(segments.cost[link]) + before.cost_onto(link, first, second))
        elif first == start:
            initial[link] = segments.cost[link]
        final[link] = after.cost_from(link, first, second)
        kept[link] = first not in after.axis and (before is None or second not in before.axis)
    segments, initial, final = segments.taken(kept), initial[kept], final[kept]
    spread = spread_costs(segments, initial)
    total = spread.best[:, 0] + final
    if not len(total) or total.min() >= NEVER:
        return []
    nodes = spread.nodes(segments.links, int(total.argmin()), 0)
    return [(int(x), int(y)) for x, y in track.points[nodes]]


class _Crossing:
    """What crossing a mirror costs: half a turn on it, or half a segment across it and the turn to that."""

    def __init__(
        self, segments: Segments, numbers: dict[tuple[int, int], int], image: dict[int, int]
    ) -> None:
        self._segments, self._numbers, self._image = segments, numbers, image
        self.axis = {node for node, other in image.items() if node == other}

    def cost_onto(self, link: int, first: int, second: int) -> int:
        """Return the cost before the first segment of a part, which leaves the mirror."""
        across = self._numbers.get((self._beyond(first, second), first))
        return NEVER if across is None else self._cost(across, link, across, first)

    def cost_from(self, link: int, first: int, second: int) -> int:
        """Return the cost after the last segment of a part, which comes to the mirror."""
        across = self._numbers.get((second, self._beyond(second, first)))
        return NEVER if across is None else self._cost(link, across, across, second)

    def _beyond(self, near: int, far: int) -> int:
        """Return the point on the other side: the image of the far point, or of the near one off the axis."""
        return self._image.get(far if near in self.axis else near, -1)

    def _cost(self, one: int, other: int, across: int, near: int) -> int:
        turn = int(self._segments.turns[self._segments.way[one], self._segments.way[other]])
        if turn >= NEVER:
            return NEVER
        return turn // 2 if near in self.axis else turn + int(self._segments.cost[across]) // 2


def _images(track: Track, mirror: Mirror, reach: float) -> dict[int, int]:
    """Return for the points within reach of a mirror the point that is the mirror image of each."""
    near = np.flatnonzero(np.abs(track.at - mirror.place) <= reach + LEVEL)
    by_point: dict[Point, list[int]] = {}
    for node in near.tolist():
        by_point.setdefault((int(track.points[node, 0]), int(track.points[node, 1])), []).append(node)
    found = {}
    for node in near.tolist():
        place = 2 * mirror.place - float(track.at[node])
        others = by_point.get(_image(mirror, (int(track.points[node, 0]), int(track.points[node, 1]))), [])
        matching = [other for other in others if abs(float(track.at[other]) - place) <= LEVEL]
        if matching:
            found[node] = matching[0]
    return found


def _image(mirror: Mirror, point: Point) -> Point:
    ((x, y),) = mirror.image(np.array([point])).tolist()
    return x, y


def _joined(parts: Sequence[list[Point]]) -> list[Point]:
    """Return the parts one after the other, a point at which two meet once; empty if one is."""
    if not all(parts):
        return []
    whole = [point for part in parts for point in part]
    return [point for i, point in enumerate(whole) if i == 0 or point != whole[i - 1]]


def _cost(chain: list[Point], track: Track, segments: Segments, *, closed: bool) -> int:
    """Return what a chain costs, of segments with the same ends the cheapest ones."""
    ends = track.points[segments.links]
    numbers: dict[tuple[int, ...], int] = {}
    for link in np.argsort(-segments.cost, kind="stable").tolist():
        numbers[tuple(ends[link].ravel().tolist())] = link
    links = [numbers.get((*start, *end), -1) for start, end in pairwise(chain)]
    if -1 in links:
        return NEVER
    way = segments.way[links + links[:1] if closed else links]
    turns = np.minimum(segments.turns[way[:-1], way[1:]], NEVER // 64)
    return int(segments.cost[links].sum()) + int(turns.sum())
