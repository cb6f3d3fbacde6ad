r"""Quadrants in which outlines meet, cut into regions that no outline crosses.

A line sweeps each quadrant from top to bottom. Between two heights at which
something happens (an end, a crossing, the diagonal) the pieces keep their order
from left to right, so the strip between falls into trapezia:

    v0 +----\-------/--+     each trapezium lies within one octant and within
       |  0  \  1  /   |     or outside each shape as a whole; walking along
       |      \   / 2  |     the strip and adding up the signs of the pieces
    v1 +-------\-/-----+     passed gives every shape's winding in it

Where an outline crosses the quadrant's left side, its shape's winding changes there;
an upright piece along that side stands for it. All quadrants are swept together: the
arrays hold one row for each piece in each strip that it passes through.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.octants.crossings import Floats, Ints, Pieces
from svg2chart.octants.windings import is_inside
from svg2chart.runs import begins, in_order, ranks, spread, within_groups

Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Actors:
    """The shapes that have a part in each quadrant, by quadrant, the lowest first; (n,) each.

    quadrant: index of the quadrant.
    carry: the shape's winding on the quadrant's left side, summed over its height.
    even_odd: whether the shape's fill rule is even-odd.
    """

    quadrant: Ints
    carry: Floats
    even_odd: Bools


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Regions:
    """Trapezia, (n,) each, by quadrant, those of one strip from left to right.

    quadrant: index of the quadrant.
    is_right: whether the region lies right of the diagonal.
    area: in half squares.
    covers: actors and regions, (m,) each: where the lowest actor of each quadrant is inside, then where
        the second is, and so on.
    """

    quadrant: Ints
    is_right: Bools
    area: Floats
    covers: tuple[tuple[Ints, Ints], ...]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Lines:
    """Pieces that run down, with what they bound; the diagonals bound nothing (actor -1, sign 0)."""

    quadrant: Ints
    actor: Ints
    sign: Floats
    u0: Floats
    v0: Floats
    u1: Floats
    v1: Floats

    def u_at(self, chosen: Ints, *heights: Floats) -> list[Floats]:
        """Return u of the chosen lines at each of their heights, exact at their ends."""
        u0, v0, u1, v1 = self.u0[chosen], self.v0[chosen], self.u1[chosen], self.v1[chosen]
        slope = (u1 - u0) / (v1 - v0)
        return [np.where(v == v1, u1, u0 + (v - v0) * slope) for v in heights]


def sweep(pieces: Pieces, owner: Ints, actors: Actors, *, main: Bools) -> Regions:
    """Return the regions of all quadrants and which actors cover them.

    Args:
        pieces: pieces of all the quadrants.
        owner: for each piece the index of its actor.
        actors: who has a part in which quadrant.
        main: for each quadrant whether its diagonal runs from top left to bottom right.
    """
    lines, winding = _lines(pieces, owner, actors, main)
    point_quadrant, point_v, first, last = _heights(lines)
    counts = last - first
    line = np.repeat(np.arange(len(counts)), counts)
    strip = spread(first, counts)
    u_top, u_low = lines.u_at(line, point_v[strip], point_v[strip + 1])
    order = in_order(strip, ranks(u_top + u_low))
    line, strip, u_top, u_low = line[order], strip[order], u_top[order], u_low[order]

    # every strip holds its diagonal, so the strips that occur are numbered by their changes
    starts = begins(strip)
    number = np.cumsum(starts) - 1
    strips = strip[starts]
    after = np.arange(len(line)) + number + 1  # the region right of each line
    leftmost = np.flatnonzero(starts) + np.arange(len(strips))
    sizes = np.diff(leftmost, append=len(line) + len(strips))

    total = len(line) + len(strips)
    twice = np.zeros(total)  # the widths of each region at its top and low side together
    lies = u_top + u_low
    twice[after] -= lies
    twice[after - 1] += lies
    twice[leftmost + sizes - 1] += 2.0
    area = twice * np.repeat((point_v[strips + 1] - point_v[strips]) / 2, sizes)
    actor = np.full(total, -1)
    actor[after] = lines.actor[line]
    sign = np.zeros(total)
    sign[after] = lines.sign[line]
    passed = np.zeros(total, np.int64)
    passed[after] = lines.actor[line] < 0
    return Regions(
        quadrant=np.repeat(point_quadrant[strips], sizes),
        is_right=np.cumsum(passed) > np.repeat(np.arange(len(strips)), sizes),
        area=area,
        covers=_covers(actor, sign, sizes, point_quadrant[strips], actors, winding),
    )


def _lines(pieces: Pieces, owner: Ints, actors: Actors, main: Bools) -> tuple[_Lines, Floats]:
    """Return the lines to sweep and each actor's winding at the top of its quadrant's left side."""
    # an outline that comes to the left side at v and leaves the quadrant there changes the winding below v
    arrives, leaves = pieces.u1 == 0.0, pieces.u0 == 0.0
    side_owner = np.concatenate([owner[arrives], owner[leaves]])
    side_v = np.concatenate([pieces.v1[arrives], pieces.v0[leaves]])
    side_sign = np.concatenate([pieces.sign[arrives], -pieces.sign[leaves]])
    change = np.bincount(side_owner, side_sign * (1.0 - side_v), len(actors.quadrant))
    winding = np.rint(actors.carry - change)

    inner = side_v < 1.0
    side_owner, side_v, side_sign = side_owner[inner], side_v[inner], side_sign[inner]
    down = pieces.v1 > pieces.v0
    count, nought = len(main), np.zeros(len(main))
    zeros = np.zeros(len(side_v))
    lines = _Lines(
        quadrant=np.concatenate(
            [actors.quadrant[owner[down]], actors.quadrant[side_owner], np.arange(count)]
        ),
        actor=np.concatenate([owner[down], side_owner, np.full(count, -1)]),
        sign=np.concatenate([pieces.sign[down], side_sign, nought]),
        u0=np.concatenate([pieces.u0[down], zeros, np.where(main, 0.0, 1.0)]),
        v0=np.concatenate([pieces.v0[down], side_v, nought]),
        u1=np.concatenate([pieces.u1[down], zeros, np.where(main, 1.0, 0.0)]),
        v1=np.concatenate([pieces.v1[down], zeros + 1.0, nought + 1.0]),
    )
    return lines, winding


def _heights(lines: _Lines) -> tuple[Ints, Floats, Ints, Ints]:
    """Return the heights at which something happens, and where each line starts and ends.

    They are sorted by quadrant; between a height and the next of the same quadrant lies the strip of
    the same index.
    """
    crossing_quadrant, crossing_v = _crossings(lines)
    quadrant = np.concatenate([lines.quadrant, lines.quadrant, crossing_quadrant])
    v = np.concatenate([lines.v0, lines.v1, crossing_v])
    order = in_order(quadrant, ranks(v))
    quadrant, v = quadrant[order], v[order]
    fresh = begins(quadrant, v)
    index = np.empty(len(order), np.int64)
    index[order] = np.cumsum(fresh) - 1
    count = len(lines.quadrant)
    return quadrant[fresh], v[fresh], index[:count], index[count : 2 * count]


def _crossings(lines: _Lines) -> tuple[Ints, Floats]:
    """Return quadrant and height of every proper crossing of two lines of one quadrant."""
    order = in_order(lines.quadrant)
    counts = np.bincount(lines.quadrant)
    later = np.repeat(counts, counts) - 1 - within_groups(counts)  # lines of the quadrant after each
    one = np.repeat(np.arange(len(order)), later)
    other = one + 1 + within_groups(later)
    one, other = order[one], order[other]
    top = np.maximum(lines.v0[one], lines.v0[other])
    low = np.minimum(lines.v1[one], lines.v1[other])
    meet = top < low
    one, other, top, low = one[meet], other[meet], top[meet], low[meet]
    one_top, one_low = lines.u_at(one, top, low)
    other_top, other_low = lines.u_at(other, top, low)
    above, below = one_top - other_top, one_low - other_low
    cross = above * below < 0.0
    above, below, top, low = above[cross], below[cross], top[cross], low[cross]
    return lines.quadrant[one[cross]], top + (low - top) * (above / (above - below))


def _covers(
    actor: Ints, sign: Floats, sizes: Ints, quadrant: Ints, actors: Actors, winding: Floats
) -> tuple[tuple[Ints, Ints], ...]:
    """Return the actors and regions of `Regions.covers`.

    Args:
        actor: whose line lies on each region's left side, -1 for none.
        sign: what that line adds to its actor's winding.
        sizes: how many regions each strip has.
        quadrant: of each strip.
        actors: who has a part in which quadrant.
        winding: of each actor at the top of its quadrant's left side.
    """
    counts = np.bincount(actors.quadrant, minlength=int(quadrant.max(initial=-1)) + 1)
    lowest = (np.cumsum(counts) - counts)[quadrant]
    counts = counts[quadrant]
    starts = np.cumsum(sizes) - sizes
    covers = []
    for rank in range(int(counts.max(initial=0))):
        strips = np.flatnonzero(counts > rank)
        regions = spread(starts[strips], sizes[strips])
        own = np.repeat(lowest[strips] + rank, sizes[strips])
        wound = np.cumsum(np.where(actor[regions] == own, sign[regions], 0.0))
        first = np.cumsum(sizes[strips]) - sizes[strips]  # no line lies left of a strip's first region
        wound += np.repeat(winding[lowest[strips] + rank] - wound[first], sizes[strips])
        inside = np.flatnonzero(is_inside(wound, actors.even_odd[own]) > 0.5)
        covers.append((own[inside], regions[inside]))
    return tuple(covers)
