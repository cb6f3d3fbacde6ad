"""Who is seen where: the exact area of each colour in each octant, by paint order and opacity.

From the uppermost shape down:
 1. outlines are cut into pieces, and a dense map holds the uppermost opaque shape that covers each
    quadrant wholly; what lies under it is dropped (`topdown`);
 2. whatever touches a quadrant above that shape has a part in it. One outline splits the
    quadrant in two areas (`windings`); where several meet, it is swept (`sweep`);
 3. each area shows a stack of shapes, and each stack one flat colour (`stacks`).
No polygon is ever built from others, so there are no slivers and nothing to repair.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import Group
from svg2chart.geometry.polygon import FillRule, Polygon, edges_of_all
from svg2chart.octants.areas import MIXED, VisibleAreas, in_groups
from svg2chart.octants.crossings import Floats, Ints, in_half_squares
from svg2chart.octants.stacks import BARE, CLEAR, Paint, Rgba, Stacks
from svg2chart.octants.sweep import Actors, sweep
from svg2chart.octants.topdown import Seen, look_down
from svg2chart.octants.windings import HALF, OCTANTS, ROUNDING, Bools, Halves, Touched, main_diagonal, measure
from svg2chart.runs import begins, in_order, places_in_runs, spread, totals

PARTS_AT_ONCE = 1 << 16
"""How many shapes in quadrants are swept together: it bounds the memory, not the result."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A painted polygon in squares from the grid's top-left hole."""

    polygon: Polygon
    paint: Paint


def visible_areas(
    shapes: Sequence[Shape], *, groups: tuple[Group, ...] = (), rows: int, columns: int
) -> VisibleAreas:
    """Return how much of each octant every colour shows.

    Args:
        shapes: in paint order, the lowest first.
        groups: the groups that the paints name.
        rows: rows of squares.
        columns: columns of squares.

    A shape shows where it is painted and no later opaque shape covers it; where later shapes let it
    through, their common flat colour shows. Exact for polygons but for rounding (1e-12 of a square).
    """
    stacks = Stacks([shape.paint for shape in shapes], groups)
    even_odd = np.array([shape.polygon.rule is FillRule.EVENODD for shape in shapes], dtype=np.bool_)
    edges, owner = edges_of_all([shape.polygon for shape in shapes])
    seen = look_down(
        in_half_squares(edges),
        owner,
        even_odd=even_odd,
        opaque=stacks.opaque,
        rows=2 * rows,
        columns=2 * columns,
    )
    stack, areas = _quadrant_stacks(seen, stacks, even_odd, columns=2 * columns)
    return _by_colour(stack, areas, stacks, columns=columns)


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
class _Areas:
    """Areas of stacks left and right of the diagonal of quadrants, in half squares; (n,) each."""

    quadrant: Ints
    stack: Ints
    left: Floats
    right: Floats


def _quadrant_stacks(
    seen: Seen, stacks: Stacks, even_odd: Bools, *, columns: int
) -> tuple[NDArray[np.int32], _Areas]:
    """Return the stack of each quadrant that shows one (else MIXED), and the areas of the others."""
    halves = measure(seen.touched, even_odd=even_odd)
    cover, parts = _parts(seen, halves, stacks.opaque)
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
    knotted[drawn] = halves.knotted[parts.entry[drawn]]
    swept = (outlines > 1) | (np.bincount(place, knotted, len(quadrant)) > 0)
    below = base[quadrant].astype(np.int64)
    areas = [_simple_areas(stacks, halves, parts.taken(~swept[place]), quadrant, below, ~swept)]
    for chosen in _in_batches(np.flatnonzero(swept), counts):
        own = parts.taken(spread(first[chosen], counts[chosen]))
        touched = seen.touched.taken(own.entry[own.entry >= 0])
        areas.append(_swept_areas(stacks, touched, own, even_odd, below[chosen], columns=columns))
    base[quadrant] = MIXED
    return base, _Areas(
        quadrant=np.concatenate([a.quadrant for a in areas]),
        stack=np.concatenate([a.stack for a in areas]),
        left=np.concatenate([a.left for a in areas]),
        right=np.concatenate([a.right for a in areas]),
    )


def _in_batches(quadrants: Ints, counts: Ints) -> Iterator[Ints]:
    """Yield runs of quadrants that not too many shapes have a part in, all together."""
    batch = np.cumsum(counts[quadrants]) // PARTS_AT_ONCE
    yield from (np.split(quadrants, np.flatnonzero(np.diff(batch)) + 1) if len(quadrants) else [])


def _parts(seen: Seen, halves: Halves, opaque: Bools) -> tuple[NDArray[np.int32], _Parts]:
    """Return the uppermost opaque shape over each whole quadrant (-1: none) and who has a part above it."""
    cover = seen.cover.copy()
    shape, at = seen.touched.shape, seen.at
    whole = ~halves.knotted & (halves.left == HALF) & (halves.right == HALF)
    none = ~halves.knotted & (halves.left == 0.0) & (halves.right == 0.0)
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
    stacks: Stacks, halves: Halves, parts: _Parts, quadrant: Ints, below: Ints, is_simple: Bools
) -> _Areas:
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
    left[at[drawn]] = halves.left[parts.entry[drawn]]
    right[at[drawn]] = halves.right[parts.entry[drawn]]
    return _Areas(
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
) -> _Areas:
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
    return _Areas(
        quadrant=quadrant[regions.quadrant[first]],
        stack=stack[first],
        left=totals(place, regions.left[order], len(first)),
        right=totals(place, regions.right[order], len(first)),
    )


def _by_colour(dense: NDArray[np.int32], areas: _Areas, stacks: Stacks, *, columns: int) -> VisibleAreas:
    """Gather the quadrants of each square, and unite the stacks that show the same colour."""
    width = 2 * columns
    quarters = dense.reshape(-1, 2, columns, 2)
    corner = quarters[:, 0, :, 0]
    alike = (quarters[:, 0, :, 1] == corner) & (quarters[:, 1, :, 0] == corner)
    solid = np.where(alike & (quarters[:, 1, :, 1] == corner), corner, MIXED)

    squares = np.flatnonzero(solid == MIXED)
    first = squares // columns * 2 * width + squares % columns * 2
    whole = (first[:, None] + np.array([0, 1, width, width + 1])).ravel()
    whole = whole[dense[whole] != MIXED]
    traces = (areas.left <= ROUNDING) & (areas.right <= ROUNDING)
    rest = np.full(len(whole), HALF)
    quadrant = np.concatenate([areas.quadrant[~traces], whole])
    stack = np.concatenate([areas.stack[~traces], dense[whole]])
    left = np.concatenate([areas.left[~traces], rest]) / 4  # in squares
    right = np.concatenate([areas.right[~traces], rest]) / 4

    tops = stacks.tops()
    seen = totals(stack, left + right, len(tops))
    seen += np.bincount(solid[solid != MIXED], minlength=len(tops))
    colours, colour_of = _colours(stacks, seen)
    row, column = np.divmod(quadrant, width)
    square, colour, top = row // 2 * columns + column // 2, colour_of[stack], tops[stack]
    place, upper = in_groups(square, colour, top)
    octant = 8 * place[:, None] + OCTANTS[row % 2, column % 2]
    octants = totals(octant.T.ravel(), np.concatenate([left, right]), 8 * len(upper))
    return VisibleAreas(
        colours=colours,
        solid=np.where(solid == MIXED, MIXED, colour_of[solid]).astype(np.int32),
        square=square[upper],
        colour=colour[upper],
        order=np.where(colour[upper] == BARE, -1, top[upper]),
        octants=octants.reshape(-1, 8),
        shapes=totals(tops[1:], seen[1:], len(stacks.opaque)),
    ).settled()


def _colours(stacks: Stacks, seen: Floats) -> tuple[tuple[Rgba, ...], Ints]:
    """Return the different colours of the stacks that somebody sees, and the place of each stack's there."""
    colours: dict[Rgba, int] = {}
    colour_of = np.zeros(len(seen), np.int64)
    for index, area in enumerate(seen.tolist()):
        shown = stacks.colour(index) if area > 0.0 else CLEAR
        colour_of[index] = colours.setdefault(shown, len(colours))
    return tuple(colours), colour_of
