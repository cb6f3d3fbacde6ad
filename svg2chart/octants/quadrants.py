"""What each quadrant shows: one stack of shapes, or the areas of several.

What lies under the uppermost opaque shape that covers a quadrant wholly was dropped before
(`topdown`); whatever touches the quadrant above that has a part in it. One outline splits the
quadrant in two areas (`windings`); where several meet, it is swept (`sweep`).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from svg2chart.octants.areas import MIXED
from svg2chart.octants.crossings import Floats, Ints
from svg2chart.octants.stacks import Stacks
from svg2chart.octants.sweep import Actors, sweep
from svg2chart.octants.topdown import Seen
from svg2chart.octants.windings import HALF, Bools, Halves, Touched, main_diagonal, measure
from svg2chart.runs import begins, in_order, lengths, spread, totals

PARTS_AT_ONCE = 1 << 16
"""How many shapes in quadrants are swept together: it bounds the memory, not the result."""

CROWDED = 8
"""A shape among so many others in its quadrant counts as one part, among twice as many as two, and so on: all
pairs of outlines there are looked at."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Parts:
    """Shapes that have a part in a quadrant, by quadrant (row * width + column), the lowest first.

    entry: the touched quadrant, or -1 where the shape covers the quadrant wholly and lets through.
    outlines: how many outlines pass there, 2 for those that are knotted.
    """

    quadrant: Ints
    shape: Ints
    entry: Ints
    outlines: Floats


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Runs:
    """Quadrants, (n,) each: how many parts each has, and where in the list of parts they start."""

    quadrant: Ints
    first: Ints
    counts: Ints

    def taken(self, chosen: Ints) -> "_Runs":
        """Return the quadrants of these indices."""
        return _Runs(
            quadrant=self.quadrant.take(chosen),
            first=self.first.take(chosen),
            counts=self.counts.take(chosen),
        )


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Areas:
    """Areas of stacks left and right of the diagonal of quadrants, in half squares; (n,) each."""

    quadrant: Ints
    stack: Ints
    left: Floats
    right: Floats


def quadrant_stacks(
    seen: Seen, stacks: Stacks, even_odd: Bools, *, columns: int
) -> tuple[NDArray[np.int32], Areas]:
    """Return the stack of each quadrant that shows one (else MIXED), and the areas of the others."""
    halves = measure(seen.touched, even_odd=even_odd)
    cover, parts = _parts(seen, halves, stacks.opaque)
    base = cover + np.int32(1)  # the stack of each opaque shape by itself, or bare
    first = np.flatnonzero(begins(parts.quadrant))
    runs = _Runs(quadrant=parts.quadrant.take(first), first=first, counts=lengths(first, len(parts.quadrant)))
    below = base.take(runs.quadrant).astype(np.int64)
    outlines = totals(np.repeat(np.arange(len(first)), runs.counts), parts.outlines, len(first))
    simple, swept = np.flatnonzero(outlines < 2), np.flatnonzero(outlines > 1)
    areas = [_simple_areas(stacks, halves, parts, runs.taken(simple), below.take(simple))]
    for chosen in _in_batches(swept, runs.counts):
        own = runs.taken(chosen)
        areas.append(_swept_areas(stacks, seen.touched, parts, own, even_odd, below.take(chosen), columns))
    base[runs.quadrant] = MIXED
    return base, Areas(
        quadrant=np.concatenate([a.quadrant for a in areas]),
        stack=np.concatenate([a.stack for a in areas]),
        left=np.concatenate([a.left for a in areas]),
        right=np.concatenate([a.right for a in areas]),
    )


def _in_batches(quadrants: Ints, counts: Ints) -> Iterator[Ints]:
    """Yield runs of quadrants that not too many shapes have a part in, all together."""
    own = counts.take(quadrants)
    batch = np.cumsum(own * np.maximum(own // CROWDED, 1)) // PARTS_AT_ONCE
    ends = [*(np.flatnonzero(batch[1:] > batch[:-1]) + 1).tolist(), len(quadrants)]
    yield from (quadrants[start:end] for start, end in pairwise([0, *ends]) if start < end)


def _parts(seen: Seen, halves: Halves, opaque: Bools) -> tuple[NDArray[np.int32], _Parts]:
    """Return the uppermost opaque shape over each whole quadrant (-1: none) and who has a part above it."""
    cover = seen.cover.copy()
    shape, at = seen.touched.shape, seen.at
    whole = ~halves.knotted & (halves.left == HALF) & (halves.right == HALF)
    none = ~halves.knotted & (halves.left == 0.0) & (halves.right == 0.0)
    hides = whole & opaque.take(shape)
    solid = np.flatnonzero(hides)
    solid = solid.take(in_order(shape.take(solid)))
    # where indices repeat, the last one stays: the uppermost
    cover[at.take(solid)] = np.maximum(cover.take(at.take(solid)), shape.take(solid))

    entry = np.flatnonzero(~none & ~hides & (shape > cover.take(at)))
    through = np.flatnonzero(seen.through_shape > cover.take(seen.through_at))
    quadrants = np.concatenate([at.take(entry), seen.through_at.take(through)])
    shapes = np.concatenate([shape.take(entry), seen.through_shape.take(through)])
    covers = np.full(len(through), -1)
    outlines = np.where(whole, 0.0, 1.0 + halves.knotted).take(entry)
    entries = np.concatenate([np.where(outlines > 0, entry, -1), covers])
    order = in_order(quadrants, shapes)
    return cover, _Parts(
        quadrant=quadrants.take(order),
        shape=shapes.take(order),
        entry=entries.take(order),
        outlines=np.concatenate([outlines, np.zeros(len(through))]).take(order),
    )


def _simple_areas(stacks: Stacks, halves: Halves, parts: _Parts, runs: _Runs, below: Ints) -> Areas:
    """Return the areas of quadrants in which at most one outline is seen: with that shape and without it."""
    with_it, without = below.copy(), below.copy()
    left, right = np.full(len(below), HALF), np.full(len(below), HALF)
    for rank in range(int(runs.counts.max(initial=0))):
        at = np.flatnonzero(runs.counts > rank)
        part = runs.first.take(at) + rank
        shape, entry = parts.shape.take(part), parts.entry.take(part)
        with_it[at] = stacks.lay(with_it.take(at), shape)
        drawn, through = np.flatnonzero(entry >= 0), np.flatnonzero(entry < 0)
        left[at.take(drawn)] = halves.left.take(entry.take(drawn))
        right[at.take(drawn)] = halves.right.take(entry.take(drawn))
        covered = at.take(through)
        without[covered] = stacks.lay(without.take(covered), shape.take(through))
    return Areas(
        quadrant=np.concatenate([runs.quadrant, runs.quadrant]),
        stack=np.concatenate([with_it, without]),
        left=np.concatenate([left, HALF - left]),
        right=np.concatenate([right, HALF - right]),
    )


def _swept_areas(
    stacks: Stacks, touched: Touched, parts: _Parts, runs: _Runs, even_odd: Bools, below: Ints, columns: int
) -> Areas:
    """Return the areas of quadrants in which several outlines, or a knotted one, are seen."""
    part = spread(runs.first, runs.counts)
    shape, entry = parts.shape.take(part), parts.entry.take(part)
    drawn = np.flatnonzero(entry >= 0)
    touched = touched.taken(entry.take(drawn))
    carry, rules = np.ones(len(part)), np.zeros(len(part), np.bool_)
    carry[drawn], rules[drawn] = touched.carry, even_odd.take(touched.shape)
    owner = np.repeat(drawn, touched.starts[1:] - touched.starts[:-1])
    actors = Actors(quadrant=np.repeat(np.arange(len(runs.counts)), runs.counts), carry=carry, even_odd=rules)
    main = main_diagonal(*np.divmod(runs.quadrant, columns))
    regions = sweep(touched.pieces, owner, actors, main=main)
    stack = below.take(regions.quadrant)
    for actor, covered in regions.covers:
        stack[covered] = stacks.lay(stack.take(covered), shape.take(actor))
    order = in_order(regions.quadrant, stack)
    begin = begins(regions.quadrant.take(order), stack.take(order))
    first = order[begin]
    place = np.cumsum(begin) - 1
    return Areas(
        quadrant=runs.quadrant.take(regions.quadrant.take(first)),
        stack=stack.take(first),
        left=totals(place, regions.left.take(order), len(first)),
        right=totals(place, regions.right.take(order), len(first)),
    )
