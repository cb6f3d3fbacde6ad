"""A gentle shift of a whole drawing: x and y move each by themselves, evenly between knots.

      x moves      . knots: places that move, and how far; between two knots
   |     .---.     the way from one to the other is even, outside them it stays as it is
   | .--'     '--
   +--------------> x

Edges are cut where they cross a knot's line, so that a point on an edge moves with it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.placing import Knots
from svg2chart.fitting.sightlines import UNIT
from svg2chart.runs import places_in_runs, spread

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LATTICE = 2.0**36
"""Moved points are rounded to 2^-36 of a square: then a point more or less on an edge decides nothing."""


FINENESS = 2.0**12
"""Points of what is moved as a whole are rounded to 2^-12 of a square: finer differences come from how they
were written."""

ROUNDED = 2.0**-13
"""Points so far beside a box, in squares, lie in it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Warp:
    """Where points of a drawing move to, in squares."""

    across: Knots
    down: Knots

    @property
    def largest_movement(self) -> float:
        """The farthest that any point moves in either direction, in squares."""
        return max(self.across.largest_movement, self.down.largest_movement)

    def ways(self, points: Floats) -> Floats:
        """Return (n, 2) how far points move."""
        return np.stack([_way(points[:, 0], self.across), _way(points[:, 1], self.down)], axis=1)

    def cut(
        self, points: Floats, starts: Ints, closed: NDArray[np.bool_], whole: NDArray[np.bool_]
    ) -> tuple[Floats, Ints]:
        """Return chains with a point more wherever they cross a knot's line, but for those left whole."""
        for axis, knots in enumerate((self.across, self.down)):
            points, starts = _cut_at(points, starts, closed, whole, knots.at / UNIT, axis)
        return points, starts


def on_lattice(points: Floats) -> Floats:
    """Return points rounded to LATTICE."""
    return np.asarray(np.rint(points * LATTICE) / LATTICE)


def finely(points: Floats) -> Floats:
    """Return points rounded to 1 / FINENESS of a square."""
    return np.asarray(np.rint(points * FINENESS) / FINENESS)


def _way(values: Floats, knots: Knots) -> Floats:
    if not len(knots.at):
        return np.zeros_like(values)
    return np.interp(values, knots.at / UNIT, (knots.to - knots.at) / UNIT)


def _cut_at(
    points: Floats,
    starts: Ints,
    closed: NDArray[np.bool_],
    whole: NDArray[np.bool_],
    places: Floats,
    axis: int,
) -> tuple[Floats, Ints]:
    """Return the chains with a point more wherever they cross one of the ascending places."""
    if not len(points) or not len(places):
        return points, starts
    counts = np.diff(starts)
    chain = np.repeat(np.arange(len(counts)), counts)
    following = np.append(points[1:], points[:1], axis=0)
    filled = counts > 0
    last = starts[1:][filled] - 1
    following[last] = points[starts[:-1][filled]]
    goes_on = np.ones(len(points), np.bool_)
    goes_on[last] = closed[filled]
    goes_on &= ~whole[chain]

    here, there = points[:, axis], following[:, axis]
    least, most = np.minimum(here, there), np.maximum(here, there)
    first = np.searchsorted(places, least, side="right")
    crossed = np.where(goes_on, np.maximum(np.searchsorted(places, most, side="left") - first, 0), 0)
    edge = np.repeat(np.arange(len(points)), crossed)
    step = places_in_runs(edge)
    # those that run backwards meet the places from the last on
    backwards = (there < here)[edge]
    place = places[first[edge] + np.where(backwards, crossed[edge] - 1 - step, step)]
    made = _crossing_points(points[edge], following[edge], place, axis)
    before = np.cumsum(crossed) - crossed
    result = np.empty((len(points) + len(made), 2))
    result[np.arange(len(points)) + before] = points
    result[spread(np.arange(len(points)) + before + 1, crossed)] = made
    grown = np.bincount(chain, 1 + crossed, len(counts)).astype(np.int64)
    return result, np.concatenate([[0], np.cumsum(grown)])


def _crossing_points(one: Floats, other: Floats, place: Floats, axis: int) -> Floats:
    """Return where edges cross; from the same end whichever way an edge is drawn."""
    backwards = (other[:, axis] < one[:, axis])[:, None]
    low, high = np.where(backwards, other, one), np.where(backwards, one, other)
    part = (place - low[:, axis]) / (high[:, axis] - low[:, axis])
    beside = low[:, 1 - axis] + part * (high[:, 1 - axis] - low[:, 1 - axis])
    beside = on_lattice(beside)
    return np.stack([place, beside] if axis == 0 else [beside, place], axis=1)
