"""Backstitch and knots of one thread in order of work.

Lines that meet make a net, which is gone through in as few trails as it has pairs of holes where an odd
number of lines meet (Euler), at least one. Along a trail the needle comes up one line ahead and goes down
at the end of the line before:

    front   0 < 1   1 < 2   2 < 3      the thread behind goes 0 > 2, 1 > 3: in front 1, behind 2

Trails and knots are taken so that the next one is the one to which the thread may be carried with the
least of it behind bare cloth, then the nearest; each is tried as the first. Lines of the thread hide it
where it is carried straight along behind them, as from the foot of an h to its arch.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.chart import Chart
from svg2chart.guiding.cloth import BEHIND_SQUARES, Cloth
from svg2chart.guiding.legs import HALVES, Choice, Leg, Part, hole_of
from svg2chart.guiding.needle import START_COST, Steps, lead_needle, steps_between
from svg2chart.guiding.stretches import Stretches, stretches_of
from svg2chart.guiding.trails import find_trails

MOST_FIRST = 12  # trails tried as the first one
Trail = tuple[Leg, ...]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


def work_backstitch(chart: Chart, thread: int, cloth: Cloth) -> list[list[Leg]]:
    """Return the legs of a thread's backstitch in blocks, each worked with one thread."""
    lines = [line for line in chart.backstitch if line.thread == thread]
    ways = [(trail, _backwards(trail)) for trail in find_trails(lines)]
    return _joined(ways, _Behind(cloth, _stretches(chart, thread)))


def work_knots(chart: Chart, thread: int, cloth: Cloth) -> list[list[Leg]]:
    """Return a thread's knots in blocks, each worked with one thread."""
    knots = [
        Leg(part=Part.KNOT, of=knot, up=hole_of(knot.at), down=hole_of(knot.at))
        for knot in chart.knots
        if knot.thread == thread
    ]
    return _joined([((knot,),) for knot in knots], _Behind(cloth, _stretches(chart, thread)))


def is_next_line(before: Leg, after: Leg) -> bool:
    """Whether a line follows the other at one hole, so that the thread between them is part of the stitch."""
    return after.part is Part.BACK and before.up == after.down


def _stretches(chart: Chart, thread: int) -> Stretches:
    own = (line for line in chart.backstitch if line.thread == thread)
    return stretches_of((hole_of(line.start), hole_of(line.end)) for line in own)


@dataclass(frozen=True, slots=True)
class _Behind:
    """What hides a thread that is carried behind the cloth: stitches, and lines of its own."""

    cloth: Cloth
    lines: Stretches

    def steps(self, before: Choice, after: Choice) -> Steps:
        """Return what each step from a line or a knot to the next costs."""
        return steps_between(before, after, self._bare_length)

    def _bare_length(self, leg: Leg, following: Leg) -> int | None:
        if leg.down != following.up and is_next_line(leg, following):
            return 0
        if self.lines.hide(leg.down, following.up):
            return 0
        return self.cloth.bare_length(leg.down, following.up)


def _joined(ways: Sequence[tuple[Trail, ...]], behind: _Behind) -> list[list[Leg]]:
    """Return the trails in the best order found, each the better way round, in blocks."""
    if not ways:
        return []
    firsts = [(i, j) for i in range(min(len(ways), MOST_FIRST)) for j in range(len(ways[i]))]
    tried = []
    heads = _Heads.of(ways)
    for first in firsts:
        legs = _nearest_first(ways, heads, first, behind)
        tried.append(lead_needle([Choice((leg,)) for leg in legs], behind.steps))
    return min(tried, key=lambda way: way[0])[1]


@dataclass(frozen=True, slots=True, eq=False)
class _Heads:
    """The first legs of all ways of all trails: (n, 2) the holes of each, (n,) which trail it is of."""

    ups: Ints
    downs: Ints
    trails: Ints
    legs: tuple[tuple[int, int, Leg], ...]

    @classmethod
    def of(cls, ways: Sequence[tuple[Trail, ...]]) -> "_Heads":
        legs = tuple((i, j, way[0]) for i, trail in enumerate(ways) for j, way in enumerate(trail))
        return cls(
            np.array([leg.up for _, _, leg in legs], np.int64),
            np.array([leg.down for _, _, leg in legs], np.int64),
            np.array([i for i, _, _ in legs], np.int64),
            legs,
        )

    def nearest(self, last: Leg, is_left: Bools, behind: _Behind) -> tuple[int, int]:
        """Return which trail and which way of it follows a leg: the cheapest to come to, then the nearest.

        Only to those near enough can the thread be carried, so that nothing is asked of the others.
        """
        away = self.ups - last.down
        square = (away**2).sum(axis=1)
        is_near = np.abs(away).max(axis=1) <= BEHIND_SQUARES * HALVES
        near = np.flatnonzero(is_left & (is_near | (self.downs == last.up).all(axis=1))).tolist()
        costs = [behind.steps(Choice((last,)), Choice((self.legs[k][2],)))[0][0] for k in near]
        if min(costs, default=START_COST) < START_COST:
            _, _, best = min(zip(costs, square[near].tolist(), near, strict=True))
        else:
            best = int(np.argmin(np.where(is_left, square, np.iinfo(np.int64).max)))
        return self.legs[best][:2]


def _nearest_first(
    ways: Sequence[tuple[Trail, ...]], heads: _Heads, first: tuple[int, int], behind: _Behind
) -> list[Leg]:
    legs: list[Leg] = []
    is_left = np.ones(len(heads.legs), np.bool_)
    i, j = first
    while True:
        legs += ways[i][j]
        is_left &= heads.trails != i
        if not is_left.any():
            return legs
        i, j = heads.nearest(legs[-1], is_left, behind)


def _backwards(trail: Trail) -> Trail:
    return tuple(leg.reversed for leg in reversed(trail))
