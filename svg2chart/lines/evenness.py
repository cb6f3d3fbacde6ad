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

MOST_DEARER = 0.25
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


def cheapest_even(points: Ints, even: Sequence[list[Point]], track: Track, segments: Segments) -> list[Point]:
    """Return the cheapest of some symmetric chains, or the points where all of those are much dearer."""
    cheapest = [(int(x), int(y)) for x, y in points]
    least = _cost(cheapest, track, segments)
    limit = least + round(MOST_DEARER * least)
    costs = [_cost(chain, track, segments) if chain else NEVER for chain in even]
    if not costs or min(costs) > limit:
        return cheapest
    return even[costs.index(min(costs))]


def _half_chain(track: Track, segments: Segments, ends: tuple[int | Mirror, Mirror]) -> list[Point]:
    """Return the cheapest chain from a start, or from one mirror, to the next mirror."""
    low = 0.0 if isinstance(ends[0], int) else ends[0].place
    high = ends[1].place
    at = track.at
    inner = (at >= low - LEVEL) & (at <= high + LEVEL)
    numbers = {(int(a), int(b)): i for i, (a, b) in enumerate(segments.links.tolist())}
    images = [None if isinstance(end, int) else _images(track, end) for end in ends]
    initial = np.full((len(segments.links), 1), NEVER)
    final = np.full(len(segments.links), NEVER)
    kept = np.asarray(inner[segments.links].all(axis=1))
    for link in np.flatnonzero(kept).tolist():
        first, second = segments.links[link].tolist()
        before, after = (_Turner(segments, numbers, image) for image in images)
        if isinstance(ends[0], int):
            initial[link] = segments.cost[link] if first == ends[0] else NEVER
        else:
            initial[link] = segments.cost[link] + before.cost(first, second, link, arriving=True)
        final[link] = after.cost(second, first, link, arriving=False)
    on_axis = [
        set() if image is None else {n for n, other in image.items() if n == other} for image in images
    ]
    for link in np.flatnonzero(kept).tolist():
        first, second = segments.links[link].tolist()
        kept[link] = second not in on_axis[0] and first not in on_axis[1]
    segments, initial, final = segments.taken(kept), initial[kept], final[kept]
    spread = spread_costs(segments, np.minimum(initial, NEVER))
    total = spread.best[:, 0] + final
    if not len(total) or total.min() >= NEVER:
        return []
    nodes = spread.nodes(segments.links, int(total.argmin()), 0)
    return [(int(x), int(y)) for x, y in track.points[nodes]]


class _Turner:
    """What it costs to cross a mirror: a turn on it, or half a segment across it and the turn to that."""

    def __init__(
        self, segments: Segments, numbers: dict[tuple[int, int], int], image: dict[int, int] | None
    ) -> None:
        self._segments, self._numbers, self._image = segments, numbers, image or {}

    def cost(self, near: int, far: int, link: int, *, arriving: bool) -> int:
        """Return the cost at the point near the mirror of a segment that runs from there, or to there."""
        image = self._image.get(near)
        if image is None:
            return NEVER
        other = far if image == near else near
        other = self._image.get(other, -1)
        pair = (other, near) if arriving else (near, other)
        across = self._numbers.get(pair)
        if across is None:
            return NEVER
        turns, way = self._segments.turns, self._segments.way
        turn = int(turns[way[across], way[link]] if arriving else turns[way[link], way[across]])
        if turn >= NEVER:
            return NEVER
        return turn // 2 if image == near else turn + int(self._segments.cost[across]) // 2


def _images(track: Track, mirror: Mirror) -> dict[int, int]:
    """Return for the points near a mirror the point that is the mirror image of each."""
    near = np.flatnonzero(np.abs(track.at - mirror.place) <= 4.0 + LEVEL)
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


def _cost(chain: list[Point], track: Track, segments: Segments) -> int:
    """Return what a chain costs, of segments with the same ends the cheapest ones."""
    ends = track.points[segments.links]
    numbers: dict[tuple[int, ...], int] = {}
    for link in np.argsort(-segments.cost, kind="stable").tolist():
        numbers[tuple(ends[link].ravel().tolist())] = link
    links = [numbers.get((*start, *end), -1) for start, end in pairwise(chain)]
    if -1 in links:
        return NEVER
    way = segments.way[links]
    return int(segments.cost[links].sum()) + int(
        np.minimum(segments.turns[way[:-1], way[1:]], NEVER // 64).sum()
    )
