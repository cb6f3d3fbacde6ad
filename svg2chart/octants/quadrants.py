"""What each quadrant shows: one stack of shapes, or the areas of several.

What lies under the uppermost opaque shape that covers a quadrant wholly was dropped before
(`topdown`); whatever touches the quadrant above that has a part in it. One outline splits the
quadrant in two areas (`windings`); where several meet, it is swept (`sweep`).
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.octants.areas import MIXED
from svg2chart.octants.crossings import Floats, Ints
from svg2chart.octants.stacks import BARE, Stacks
from svg2chart.octants.sweep import Actors, sweep
from svg2chart.octants.topdown import Seen
from svg2chart.octants.windings import HALF, Bools, Touched, main_diagonal
from svg2chart.runs import begins, in_order, places_in_runs, spread, totals

PARTS_AT_ONCE = 1 << 16
"""How many shapes in quadrants are swept together: it bounds the memory, not the result."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Parts:
    """Shapes that have a part in a quadrant, by quadrant (row * width + column), the lowest first.

    `entry` is the touched quadrant, or -1 where the shape covers the quadrant wholly and lets through.
    """

    quadrant: Ints
    shape: Ints
    entry: Ints

    def taken(self, chosen: Bools | Ints) -> "_Parts":
        """Return the chosen parts, by mask or by index."""
        return _Parts(quadrant=self.quadrant[chosen], shape=self.shape[chosen], entry=self.entry[chosen])


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
    cover, parts = _parts(seen, stacks.opaque)
    # each opaque shape by itself is one stack; the last place stands for none
    covers = np.zeros(len(stacks.opaque) + 1, np.bool_)
    covers[cover] = True
    alone = np.flatnonzero(covers[:-1])
    stack_of = np.full(len(covers), BARE, np.int32)
    stack_of[alone] = stacks.lay(np.full(len(alone), BARE), alone)
    base = stack_of[cover]

    first = np.flatnonzero(begins(parts.quadrant))
    counts = np.diff(np.append(first, len(parts.quadrant)))
    place = np.repeat(np.arange(len(first)), counts)
    quadrant = parts.quadrant[first]
    drawn = parts.entry >= 0
    outlines = np.bincount(place, drawn, len(quadrant))
    knotted = np.zeros(len(parts.entry), np.bool_)
    knotted[drawn] = seen.touched.knotted[parts.entry[drawn]]
    swept = (outlines > 1) | (np.bincount(place, knotted, len(quadrant)) > 0)
    below = base[quadrant].astype(np.int64)
    areas = [_simple_areas(stacks, seen.touched, parts.taken(~swept[place]), quadrant, below, ~swept)]
    for chosen in _in_batches(np.flatnonzero(swept), counts):
        own = parts.taken(spread(first[chosen], counts[chosen]))
        touched = seen.touched.taken(own.entry[own.entry >= 0])
        areas.append(_swept_areas(stacks, touched, own, even_odd, below[chosen], columns=columns))
    base[quadrant] = MIXED
    return base, Areas(
        quadrant=np.concatenate([a.quadrant for a in areas]),
        stack=np.concatenate([a.stack for a in areas]),
        left=np.concatenate([a.left for a in areas]),
        right=np.concatenate([a.right for a in areas]),
    )


def _in_batches(quadrants: Ints, counts: Ints) -> Iterator[Ints]:
    """Yield runs of quadrants that not too many shapes have a part in, all together."""
    batch = np.cumsum(counts[quadrants]) // PARTS_AT_ONCE
    yield from (np.split(quadrants, np.flatnonzero(np.diff(batch)) + 1) if len(quadrants) else [])


def _parts(seen: Seen, opaque: Bools) -> tuple[NDArray[np.int32], _Parts]:
    """Return the uppermost opaque shape over each whole quadrant (-1: none) and who has a part above it."""
    cover = seen.cover.copy()
    touched, shape, at = seen.touched, seen.touched.shape, seen.at
    whole = ~touched.knotted & (touched.left == HALF) & (touched.right == HALF)
    none = ~touched.knotted & (touched.left == 0.0) & (touched.right == 0.0)
    solid = np.flatnonzero(whole & opaque[shape])
    solid = solid[in_order(shape[solid])]
    cover[at[solid]] = np.maximum(cover[at[solid]], shape[solid])  # the last one stays: the uppermost

    entry = np.flatnonzero(~none & ~(whole & opaque[shape]))
    entry = entry[shape[entry] > cover[at[entry]]]
    through = np.flatnonzero(seen.through_shape > cover[seen.through_at])
    quadrants = np.concatenate([at[entry], seen.through_at[through]])
    shapes = np.concatenate([shape[entry], seen.through_shape[through]])
    entries = np.concatenate([np.where(whole[entry], -1, entry), np.full(len(through), -1)])
    order = in_order(quadrants, shapes)
    return cover, _Parts(quadrant=quadrants[order], shape=shapes[order], entry=entries[order])


def _simple_areas(
    stacks: Stacks, touched: Touched, parts: _Parts, quadrant: Ints, below: Ints, is_simple: Bools
) -> Areas:
    """Return the areas of quadrants in which at most one outline is seen: with that shape and without it."""
    quadrant, below = quadrant[is_simple], below[is_simple]
    at = np.cumsum(begins(parts.quadrant)) - 1
    with_it, without = below, below.copy()
    left, right = np.full(len(quadrant), HALF), np.full(len(quadrant), HALF)
    drawn = parts.entry >= 0
    for turn in _by_rank(places_in_runs(at)):
        with_it[at[turn]] = stacks.lay(with_it[at[turn]], parts.shape[turn])
        through = turn[~drawn[turn]]
        without[at[through]] = stacks.lay(without[at[through]], parts.shape[through])
    left[at[drawn]] = touched.left[parts.entry[drawn]]
    right[at[drawn]] = touched.right[parts.entry[drawn]]
    return Areas(
        quadrant=np.concatenate([quadrant, quadrant]),
        stack=np.concatenate([with_it, without]),
        left=np.concatenate([left, HALF - left]),
        right=np.concatenate([right, HALF - right]),
    )


def _by_rank(rank: Ints) -> list[Ints]:
    """Return the indices of all of the lowest rank, then of the next, and so on, each in their order."""
    order = in_order(rank)
    return np.split(order, np.flatnonzero(np.diff(rank[order])) + 1) if len(rank) else []


def _swept_areas(
    stacks: Stacks, touched: Touched, parts: _Parts, even_odd: Bools, below: Ints, *, columns: int
) -> Areas:
    """Return the areas of quadrants in which several outlines, or a knotted one, are seen."""
    fresh = begins(parts.quadrant)
    quadrant, local = parts.quadrant[fresh], np.cumsum(fresh) - 1
    drawn = np.flatnonzero(parts.entry >= 0)
    carry, rules = np.ones(len(local)), np.zeros(len(local), np.bool_)
    carry[drawn], rules[drawn] = touched.carry, even_odd[touched.shape]
    owner = np.repeat(drawn, np.diff(touched.starts))
    actors = Actors(quadrant=local, carry=carry, even_odd=rules)
    main = main_diagonal(*np.divmod(quadrant, columns))
    regions = sweep(touched.pieces, owner, actors, main=main)
    stack = below[regions.quadrant]
    for actor, covered in regions.covers:
        stack[covered] = stacks.lay(stack[covered], parts.shape[actor])
    order = in_order(regions.quadrant, stack)
    begin = begins(regions.quadrant[order], stack[order])
    first = order[begin]
    place = np.cumsum(begin) - 1
    return Areas(
        quadrant=quadrant[regions.quadrant[first]],
        stack=stack[first],
        left=totals(place, regions.left[order], len(first)),
        right=totals(place, regions.right[order], len(first)),
    )
