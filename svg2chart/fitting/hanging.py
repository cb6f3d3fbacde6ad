"""Thin lines that hang on what goes by a way of its own: a tassel on a lantern, the stick of a balloon.

One end of such a line lies on a shape, or within it. If nothing else touches it, it goes
along as a whole. A straight line whose other end lies on something else slides along that, so that it leans
no more than it was drawn; between two that go ways of their own it stays straight.

    ---,______,--     the rope stays, but for all else,
         |            the string slides along it,
      .--'--.
     (_______)        the lantern moves,
       | | |          and its tassels with it
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.sightlines import AT_HOLE
from svg2chart.geometry.cut import windings
from svg2chart.geometry.meetings import near_edges
from svg2chart.runs import distinct, numbered, spread

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

BENT = 2.0**-10
"""What lies so far beside the line from end to end, in squares, is not straight."""

ASLANT = 0.5
"""A line slides along what runs across it: the sine between them is no smaller. Our choice, no source."""

FARTHEST = 1.0
"""No end slides farther, in squares."""

ON = 1 / 8
"""What is so near to something, in squares, still lies on it. Our choice, no source."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Tied:
    """Thin lines, and which of them are tied to what goes by a way of its own.

    points: (n, 2) in squares. starts: where each chain starts, and the end of the last.
    line: (chains,) the line that each is a piece of.
    owner: (n,) what each point lies on the outline of, or goes with, -1 for nothing.
    of_ends: (chains, 2) the same for the first and the last point of each; also within an outline.
    outlines: (edges, 4) of all shapes.
    """

    points: Floats
    starts: Ints
    line: Ints
    owner: Ints
    of_ends: Ints
    outlines: Floats

    @property
    def chain(self) -> Ints:
        """(n,) the chain of each point."""
        return np.repeat(np.arange(len(self.starts) - 1), np.diff(self.starts))

    def at_one_end(self) -> tuple[Bools, Ints]:
        """Return (chains,) which are tied at one end alone, and which end that is, 0 or 1.

        What comes out again on the other side passes behind, and is not tied.
        """
        is_tied = self.of_ends >= 0
        may = (np.diff(self.starts) > 1) & (is_tied.sum(axis=1) == 1) & ~self._go_on()
        others = (self.owner >= 0) & (self.owner != self.of_ends.max(axis=1, initial=-1)[self.chain])
        may[self.chain[others]] = False
        return may, is_tied[:, 1].astype(np.int64)

    def end_points(self) -> Ints:
        """Return (chains, 2) the numbers of the first and the last point of each."""
        return np.stack([self.starts[:-1], self.starts[1:] - 1], axis=1)

    def are_straight(self) -> Bools:
        """Return (chains,) which lead straight from end to end."""
        ends = self.end_points()
        start, way = self.points[ends[:, 0]], self.points[ends[:, 1]] - self.points[ends[:, 0]]
        length = np.hypot(*way.T)
        normal = np.stack([way[:, 1], -way[:, 0]], axis=1) / np.maximum(length, BENT)[:, None]
        result = length > BENT
        off = np.abs(((self.points - start[self.chain]) * normal[self.chain]).sum(axis=1))
        result[self.chain[off > BENT]] = False
        return np.asarray(result)

    def edges(self) -> tuple[Floats, Ints]:
        """Return (n, 4) the pieces of all chains and the outlines, and the chain of each, -1 for none."""
        begins = np.flatnonzero(self.chain[1:] == self.chain[:-1])
        pieces = np.concatenate([self.points[begins], self.points[begins + 1]], axis=1)
        of_edge = np.append(self.chain[begins], np.full(len(self.outlines), -1))
        return np.concatenate([pieces, self.outlines]), of_edge

    def touching(self, points: Ints) -> tuple[Ints, Ints, Floats]:
        """Return pairs of points and what they touch: points, chains, -1 for outlines, and edges, (n, 4)."""
        edges, of_edge = self.edges()
        point, edge = near_edges(self.points[points], edges, reach=AT_HOLE).T
        others = self.chain[points[point]] != of_edge[edge]
        return points[point[others]], of_edge[edge[others]], edges[edge[others]]

    def _go_on(self) -> Bools:
        """Return (chains,) which go on, as another piece of their line, beyond what they are tied to."""
        chain, end = np.nonzero((self.of_ends >= 0) & (np.diff(self.starts) > 1)[:, None])
        at = self.end_points()[chain, end]
        inwards = self.points[at] - self.points[self.end_points()[chain, 1 - end]]
        inwards /= np.maximum(np.hypot(*inwards.T), BENT)[:, None]
        owners = int(self.of_ends.max(initial=0)) + 1
        group = numbered(self.line[chain] * owners + self.of_ends[chain, end])[1]
        order, counts = np.argsort(group, kind="stable"), np.bincount(group)
        one = np.repeat(order, counts[group[order]])
        other = order[spread((np.cumsum(counts) - counts)[group[order]], counts[group[order]])]
        to = self.points[at[other]] - self.points[at[one]]
        ahead = (to * inwards[one]).sum(axis=1)
        beside = np.abs(to[:, 0] * inwards[one, 1] - to[:, 1] * inwards[one, 0])
        turned = (inwards[one] * inwards[other]).sum(axis=1)
        result = np.zeros(len(self.line), np.bool_)
        result[chain[one[(ahead > 0) & (beside <= ASLANT * ahead) & (turned < -ASLANT)]]] = True
        return result


def within_own(points: Floats, near: Ints, edges: Floats, owner: Ints) -> Ints:
    """Return what points lie in an outline of, or on it, of that which each is near; -1 for nothing.

    Args:
        points: (n, 2) in squares.
        near: (n,) what each is near, -1 for nothing.
        edges: (edges, 4) of outlines.
        owner: (edges,) what each is of.
    """
    result, order = np.full(len(points), -1), np.argsort(owner, kind="stable")
    for each in distinct(near[near >= 0]):
        own = np.flatnonzero(near == each)
        first, last = np.searchsorted(owner[order], [each, each + 1])
        result[own[windings(points[own], edges[order[first:last]]) != 0]] = each
    # windings take what lies on an outline to be in it on two sides of four
    point, edge = near_edges(points, edges, reach=AT_HOLE).T
    on_own = point[owner[edge] == near[point]]
    result[on_own] = near[on_own]
    return result


def with_hanging(tied: Tied, moved: Floats, goals: Floats, cut: Floats) -> Floats:
    """Return (n, 2) where the points of lines go, those that hang on something with that.

    Args:
        tied: all lines.
        moved: (n, 2) where their points go, one by one.
        goals: (chains, 2, 2) where the ends of each go with what they are tied to.
        cut: (2, 2) the least and the greatest x and y that the page cuts at, not a number for others: what
            reaches these goes on beyond.
    """
    result, counts, ends = moved.copy(), np.diff(tied.starts), tied.end_points()
    may, which = tied.at_one_end()
    chains, end = _find_hanging(tied, may, which, cut)
    ways = goals[chains, end] - tied.points[ends[chains, end]]
    own = spread(tied.starts[chains], counts[chains])
    result[own] = tied.points[own] + np.repeat(ways, counts[chains], axis=0)
    chains, end, along = _find_sliding(tied, may, which)
    near, far = ends[chains, end], ends[chains, 1 - end]
    way, goal = tied.points[far] - tied.points[near], goals[chains, end]
    slide = _slide(way, along, goal - tied.points[near], moved[far] - tied.points[far])
    on = near_edges(tied.points[far] + slide, tied.edges()[0], reach=ON)[:, 0]
    kept = np.isin(np.arange(len(far)), on) & (np.hypot(*slide.T) <= FARTHEST)
    slides, between = chains[kept], np.flatnonzero(tied.are_straight() & (tied.of_ends >= 0).all(axis=1))
    led = goals.copy()
    led[slides, 1 - end[kept]] = (moved[far] + slide)[kept]
    chains = np.concatenate([slides, between])
    own, row = spread(tied.starts[chains], counts[chains]), np.repeat(chains, counts[chains])
    start, way = (tied.points[ends[row, 0]], tied.points[ends[row, 1]] - tied.points[ends[row, 0]])
    part = ((tied.points[own] - start) * way).sum(axis=1) / (way**2).sum(axis=1)
    result[own] = led[row, 0] + part[:, None] * (led[row, 1] - led[row, 0])
    return result


def _slide(way: Floats, along: Floats, near: Floats, far: Floats) -> Floats:
    """Return how far the far ends of lines slide, (n, 2), so that these do not turn.

    Args:
        way: from the near end of each to the far one.
        along: what the far end lies on.
        near: how far the near ends go.
        far: how far the far ends would go.
    """
    normal = np.stack([way[:, 1], -way[:, 0]], axis=1)
    step = ((near - far) * normal).sum(axis=1) / (along * normal).sum(axis=1)
    return np.asarray(step[:, None] * along)


def _find_hanging(tied: Tied, may: Bools, end: Ints, cut: Floats) -> tuple[Ints, Ints]:
    """Return the chains that hang on something and touch nothing else, and by which end, 0 or 1.

    Args:
        tied: all of them.
        may: (chains,) which are tied at one end alone.
        end: (chains,) at which.
        cut: (2, 2) the least and the greatest x and y that the page cuts at, not a number for others: what
            reaches these goes on beyond.
    """
    may, is_loose = may.copy(), tied.owner < 0
    is_loose[tied.end_points()[tied.of_ends >= 0]] = False
    beyond = (np.abs(tied.points[:, None] - cut) <= AT_HOLE).any(axis=(1, 2))
    may[tied.chain[is_loose & beyond]] = False
    point, other, _ = tied.touching(np.flatnonzero(is_loose))
    may[tied.chain[point]] = False
    may[other[other >= 0]] = False
    return np.flatnonzero(may), end[may]


def _find_sliding(tied: Tied, may: Bools, end: Ints) -> tuple[Ints, Ints, Floats]:
    """Return the straight chains of which one end is tied and the other touches something across them.

    Second comes by which end each is tied, 0 or 1, and third, (n, 2), along what the other end lies.

    Args:
        tied: all of them.
        may: (chains,) which are tied at one end alone.
        end: (chains,) at which.
    """
    ends, may = tied.end_points(), may & tied.are_straight()
    way = tied.points[ends[:, 1]] - tied.points[ends[:, 0]]
    normal = np.stack([way[:, 1], -way[:, 0]], axis=1) / np.maximum(np.hypot(*way.T), BENT)[:, None]
    far = ends[np.arange(len(may)), 1 - end]
    point, _, edge = tied.touching(far[may])
    chain, along = tied.chain[point], edge[:, 2:] - edge[:, :2]
    across = (along * normal[chain]).sum(axis=1)
    along *= np.sign(across)[:, None]
    total = np.stack([np.bincount(chain, part, len(may)) for part in along.T], axis=1)
    size = np.hypot(*total.T)
    may &= (total * normal).sum(axis=1) > ASLANT * size
    return np.flatnonzero(may), end[may], total[may] / size[may, None]
