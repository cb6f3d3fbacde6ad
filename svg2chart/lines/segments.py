"""The segments that a chain along a line may have, and what they cost.

From each point near the line a segment may run to any point further along it that is at
most LONGEST squares away in either direction, if it passes over no hole (a straight run is worked
hole by hole) and the line keeps within 3/4 of a square of it. A chain costs

    the squared distance between line and segments, summed along the line
    + where a segment does not lie on an edge that the stitches show: UNSEEN along the line, and SLANT
      times the squared sine of the angle between segment and line, so that a level line half way
      between two rows of holes stays level instead of swaying from row to row
    + SEGMENT for each segment, TURN for each turn, growing with its angle, and SHARP where it is sharper than
      45 degrees (corners of the art are ends of lines): less on such edges, where the turn is to be
      seen already; and the upkeep of each point.

Costs are whole numbers.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.grid import LATTICE
from svg2chart.lines.edges import HALVES
from svg2chart.lines.ground import COST_UNIT, Ground, passes_hole
from svg2chart.lines.tracks import Track
from svg2chart.runs import spread

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SLANT = 4.0
UNSEEN = 0.35
SEGMENT = 0.04
TURN = 0.08
SHARP = 2.0
SEEN_TURN = 0.02
"""Costs in squares cubed (squared distance times length); SLANT and UNSEEN in square squares. Our choice, no
source. A level line at the worst distance, half a square, costs 1/4 for each square of its length. Swaying
between the rows saves 1/6 of that unit, and its slant of 1 in 2 has a squared sine of 1/5."""

BETWEEN_SAMPLES = 1 / 256
"""So far, in squares, a line may lie farther from a segment than the samples of it beside it, which it bends
between: by the square of their distance over eight times the radius of the bend."""
LEAST_STEP = 1 / 32  # squares along the line; what lies nearer is level with it, and neither comes first
NEVER = 1 << 60  # dearer than any chain


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Segments:
    """The segments that a chain along a track may have.

    links: (n, 2) pairs of points by their numbers in the track, ascending; cost: what each costs;
    way: (n,) the row of each in turns, a table of what the turn from one way to another costs.
    """

    links: Ints
    cost: Ints
    way: Ints
    turns: Ints

    def taken(self, kept: NDArray[np.bool_]) -> "Segments":
        """Return some of them."""
        return Segments(links=self.links[kept], cost=self.cost[kept], way=self.way[kept], turns=self.turns)


def find_segments(track: Track, ground: Ground, stray: float) -> Segments:
    """Return the segments that a chain may have, the line no farther from any than `stray` squares."""
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
    kept = farthest < round((stray - BETWEEN_SAMPLES) ** 2 * COST_UNIT)
    # edges that the stitches show may lie farther off
    kept &= (share > 0) | ~_beyond_nearer(track)[links].any(axis=1)
    links, share, cost = links[kept], share[kept], cost[kept]
    # half at either end, so that a line costs the same both ways
    cost = cost + ground.upkeep(track.points)[links].sum(axis=1) // 2
    turns, way = _turns(track.points[links[:, 1]] - track.points[links[:, 0]], share)
    return Segments(links=links, cost=cost, way=way, turns=turns)


def _pass_holes(starts: Ints, steps: Ints) -> NDArray[np.bool_]:
    rows = np.concatenate([steps, starts % HALVES], axis=1)
    distinct, inverse = np.unique(rows, axis=0, return_inverse=True)
    passing = [passes_hole(across, down, x, y) for across, down, x, y in distinct.tolist()]
    return np.array(passing, dtype=np.bool_)[inverse.ravel()]


def _beyond_nearer(track: Track) -> NDArray[np.bool_]:
    """Return between which points and the line another hole lies, in their row or column.

    Of a line that is not straight, or not from hole to hole, none: there they may show it better.
    """
    start, way = track.samples[0], track.samples[-1] - track.samples[0]
    off, bend = (
        np.abs((points[:, 1] - start[1]) * way[0] - (points[:, 0] - start[0]) * way[1])
        for points in (track.points / HALVES, track.samples)
    )
    ends = track.samples[[0, -1]]
    is_straight = (bend <= np.abs(way).max() / LATTICE).all() and (ends == np.rint(ends)).all()
    return np.asarray((off > np.abs(way).max() / 2) & is_straight)


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
