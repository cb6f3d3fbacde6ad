r"""Quadrants in which outlines meet, cut into regions that no outline crosses.

A line sweeps each quadrant from top to bottom. Between two heights at which
something happens (an end, a crossing) the pieces keep their order from left to
right, so the strip between falls into trapezia:

    v0 +----\-------/--+     each trapezium lies within or outside each shape as
       |  0  \  1  /   |     a whole; walking along the strip and adding up the
       |      \   / 2  |     signs of the pieces passed gives every shape's
    v1 +-------\-/-----+     winding in it

What of a trapezium lies left of the quadrant's diagonal is the integral of
min(u, diagonal) along its right side less that along its left side. Where an outline
crosses the quadrant's left side, its shape's winding changes there; an upright piece
along that side stands for it. All quadrants are swept together: the arrays hold one
row for each piece in each strip that it passes through.
"""

from dataclasses import dataclass

import numpy as np

from svg2chart.errors import ArtworkError
from svg2chart.octants.crossings import Floats, Ints, Pieces
from svg2chart.octants.windings import Bools, mean_above
from svg2chart.runs import begins, in_order, ranks, spread

MOST_MEETINGS = 10_000_000
"""Pairs of pieces of one quadrant, or pieces in its strips, that are swept together: about 1 GB of memory."""


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
    left, right: the areas on both sides of the diagonal, in half squares.
    covers: actors and regions, (m,) each: where the lowest actor of each quadrant is inside, then where
        the second is, and so on.
    """

    quadrant: Ints
    left: Floats
    right: Floats
    covers: tuple[tuple[Ints, Ints], ...]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Lines:
    """Pieces that run down, with what they bound."""

    quadrant: Ints
    actor: Ints
    sign: Floats
    u0: Floats
    v0: Floats
    u1: Floats
    v1: Floats

    def u_at(self, chosen: Ints, *heights: Floats) -> list[Floats]:
        """Return u of the chosen lines at each of their heights, exact at their ends."""
        u0, v0 = self.u0.take(chosen), self.v0.take(chosen)
        u1, v1 = self.u1.take(chosen), self.v1.take(chosen)
        slope = (u1 - u0) / (v1 - v0)
        return [np.where(v == v1, u1, u0 + (v - v0) * slope) for v in heights]


def sweep(pieces: Pieces, owner: Ints, actors: Actors, *, main: Bools) -> Regions:
    """Return the regions of all quadrants and which actors cover them.

    Args:
        pieces: pieces of all the quadrants.
        owner: for each piece the index of its actor.
        actors: who has a part in which quadrant.
        main: for each quadrant whether its diagonal runs from top left to bottom right.

    Raises:
        ArtworkError: so many outlines cross one quadrant that there are more than `MOST_MEETINGS`.
    """
    lines, winding = _lines(pieces, owner, actors)
    points, first, last = _heights(lines, len(main))
    counts = last - first
    _refuse_crowds(counts)
    line = np.repeat(np.arange(len(counts)), counts)
    strip = spread(first, counts)
    u_top, u_low = lines.u_at(line, points.v.take(strip), points.v.take(strip + 1))
    order = in_order(strip, ranks(u_top + u_low))
    line, strip = line.take(order), strip.take(order)
    u_top, u_low = u_top.take(order), u_low.take(order)

    # each quadrant has one strip less than it has heights
    strips = _Strips.between(points, main)
    number = strip - lines.quadrant.take(line)
    sizes = np.bincount(number, minlength=len(strips.quadrant)) + 1  # regions of each strip
    after = np.arange(len(line)) + number + 1  # the region right of each line
    total = len(line) + len(sizes)
    actor, sign = np.full(total, -1), np.zeros(total, np.int64)
    actor[after], sign[after] = lines.actor.take(line), lines.sign.take(line)
    last = np.cumsum(sizes) - 1  # region of each strip
    inner = strips.integrals(number, u_top, u_low)
    left, right = (
        _between(integrals, after, whole, last)
        for integrals, whole in zip(inner, strips.wholes(), strict=True)
    )
    return Regions(
        quadrant=np.repeat(strips.quadrant, sizes),
        left=left,
        right=right,
        covers=_covers(actor, sign, sizes, strips.quadrant, actors, winding),
    )


def _between(integrals: Floats, after: Ints, whole: Floats, last: Ints) -> Floats:
    """Return the areas of regions: what lies left of their right side less what lies left of their left side.

    Args:
        integrals: what lies left of lines.
        after: the region right of each line.
        whole: what lies in each strip: left of its right end.
        last: the last region of each strip.
    """
    bounds = np.zeros(len(integrals) + len(last) + 1)  # of each region on its left, and of the next
    bounds[after] = integrals
    areas = bounds[1:] - bounds[:-1]
    areas[last] = whole - bounds.take(last)
    return np.maximum(areas, 0.0)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Points:
    """Heights at which something happens, by quadrant, with 0 and 1 for each quadrant; (n,) each."""

    quadrant: Ints
    v: Floats


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Strips:
    """What lies between neighbouring heights of a quadrant; (n,) each.

    d_top, d_low: u of the quadrant's diagonal at both heights.
    """

    quadrant: Ints
    height: Floats
    d_top: Floats
    d_low: Floats

    @staticmethod
    def between(points: _Points, main: Bools) -> "_Strips":
        """Return the strips in the order of the heights."""
        upper = np.flatnonzero(points.quadrant[1:] == points.quadrant[:-1])
        quadrant, top, low = points.quadrant.take(upper), points.v.take(upper), points.v.take(upper + 1)
        falls = main.take(quadrant)
        return _Strips(
            quadrant=quadrant,
            height=low - top,
            d_top=np.where(falls, top, 1.0 - top),
            d_low=np.where(falls, low, 1.0 - low),
        )

    def wholes(self) -> tuple[Floats, Floats]:
        """Return how much lies in each strip, left and right of the diagonal."""
        left = self.height * (self.d_top + self.d_low) / 2
        return left, self.height - left

    def integrals(self, strip: Ints, u_top: Floats, u_low: Floats) -> tuple[Floats, Floats]:
        """Return how much lies left of lines across strips, left and right of the diagonal."""
        height, d_top, d_low = self.height.take(strip), self.d_top.take(strip), self.d_low.take(strip)
        right = height * mean_above(u_top - d_top, u_low - d_low)
        return height * (u_top + u_low) / 2 - right, right


def _lines(pieces: Pieces, owner: Ints, actors: Actors) -> tuple[_Lines, Ints]:
    """Return the lines to sweep and each actor's winding at the top of its quadrant's left side."""
    # an outline that comes to the left side at v and leaves the quadrant there changes the winding below v
    arrives, leaves = np.flatnonzero(pieces.u1 == 0.0), np.flatnonzero(pieces.u0 == 0.0)
    side_owner = owner.take(np.concatenate([arrives, leaves]))
    side_v = np.concatenate([pieces.v1.take(arrives), pieces.v0.take(leaves)])
    side_sign = np.concatenate([pieces.sign.take(arrives), -pieces.sign.take(leaves)])
    change = np.bincount(side_owner, side_sign * (1.0 - side_v), len(actors.quadrant))
    winding = np.rint(actors.carry - change).astype(np.int64)

    inner, down = np.flatnonzero(side_v < 1.0), np.flatnonzero(pieces.v1 > pieces.v0)
    zeros = np.zeros(len(inner))
    actor = np.concatenate([owner.take(down), side_owner.take(inner)])
    lines = _Lines(
        quadrant=actors.quadrant.take(actor),
        actor=actor,
        sign=np.concatenate([pieces.sign.take(down), side_sign.take(inner)]),
        u0=np.concatenate([pieces.u0.take(down), zeros]),
        v0=np.concatenate([pieces.v0.take(down), side_v.take(inner)]),
        u1=np.concatenate([pieces.u1.take(down), zeros]),
        v1=np.concatenate([pieces.v1.take(down), zeros + 1.0]),
    )
    return lines, winding


def _heights(lines: _Lines, quadrants: int) -> tuple[_Points, Ints, Ints]:
    """Return the heights at which something happens, and at which of them each line starts and ends."""
    crossing_quadrant, crossing_v = _crossings(lines)
    every = np.arange(quadrants)
    quadrant = np.concatenate([lines.quadrant, lines.quadrant, crossing_quadrant, every, every])
    v = np.concatenate([lines.v0, lines.v1, crossing_v, np.zeros(quadrants), np.ones(quadrants)])
    order = in_order(quadrant, ranks(v))
    quadrant, v = quadrant.take(order), v.take(order)
    fresh = begins(quadrant, v)
    index = np.empty(len(order), np.int64)
    index[order] = np.cumsum(fresh) - 1
    count, different = len(lines.quadrant), np.flatnonzero(fresh)
    points = _Points(quadrant=quadrant.take(different), v=v.take(different))
    return points, index[:count], index[count : 2 * count]


def _refuse_crowds(counts: Ints) -> None:
    if counts.sum() > MOST_MEETINGS:
        raise ArtworkError(
            "in one place there are so many outlines that their areas cannot be told apart",
            way_out="Simplify the drawing there; dashes finer than a square are often the reason",
        )


def _crossings(lines: _Lines) -> tuple[Ints, Floats]:
    """Return quadrant and height of every proper crossing of two lines of one quadrant."""
    order = in_order(lines.quadrant)
    counts = np.bincount(lines.quadrant)
    number = np.arange(len(order))
    later = np.repeat(np.cumsum(counts), counts) - number - 1  # lines of the quadrant after each
    _refuse_crowds(later)
    one, other = order.take(np.repeat(number, later)), order.take(spread(number + 1, later))
    top = np.maximum(lines.v0.take(one), lines.v0.take(other))
    low = np.minimum(lines.v1.take(one), lines.v1.take(other))
    meet = np.flatnonzero(top < low)
    one, other, top, low = one.take(meet), other.take(meet), top.take(meet), low.take(meet)
    one_top, one_low = lines.u_at(one, top, low)
    other_top, other_low = lines.u_at(other, top, low)
    above, below = one_top - other_top, one_low - other_low
    cross = np.flatnonzero(above * below < 0.0)
    above, below, top, low = above.take(cross), below.take(cross), top.take(cross), low.take(cross)
    return lines.quadrant.take(one.take(cross)), top + (low - top) * (above / (above - below))


def _covers(
    actor: Ints, sign: Ints, sizes: Ints, quadrant: Ints, actors: Actors, winding: Ints
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
    own = (np.cumsum(counts) - counts).take(quadrant)  # the lowest actor of each strip, then the second …
    counts = counts.take(quadrant)
    bits = np.where(actors.even_odd, 1, -1)  # of a winding, those that tell whether it is inside
    regions = np.arange(len(actor))
    covers = []
    for rank in range(int(counts.max(initial=0))):
        if rank:
            deep = np.flatnonzero(np.repeat(counts > rank, sizes))
            regions, actor, sign = regions.take(deep), actor.take(deep), sign.take(deep)
            deep = np.flatnonzero(counts > rank)
            own, counts, sizes = own.take(deep) + 1, counts.take(deep), sizes.take(deep)
        owner = np.repeat(own, sizes)
        wound = np.cumsum(np.where(actor == owner, sign, 0))
        first = np.cumsum(sizes) - sizes  # no line lies left of a strip's first region
        wound += np.repeat(winding.take(own) - wound.take(first), sizes)
        inside = np.flatnonzero(wound & bits.take(owner))
        covers.append((owner.take(inside), regions.take(inside)))
    return tuple(covers)
