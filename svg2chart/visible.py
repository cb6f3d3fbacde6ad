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
from svg2chart.octants.areas import MIXED, VisibleAreas
from svg2chart.octants.crossings import Floats, Ints, places_in_runs, spread
from svg2chart.octants.stacks import BARE, CLEAR, Paint, Rgba, Stacks
from svg2chart.octants.sweep import Actors, Regions, sweep
from svg2chart.octants.topdown import Seen, look_down
from svg2chart.octants.windings import HALF, OCTANTS, ROUNDING, Bools, Halves, Touched, main_diagonal, measure

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
    edges *= 2.0  # half squares
    seen = look_down(
        edges,
        owner,
        even_odd=even_odd,
        opaque=stacks.opaque,
        rows=2 * rows,
        columns=2 * columns,
    )
    stack, areas = _quadrant_stacks(seen, stacks, even_odd, columns=2 * columns)
    return _by_colour(_by_square(stack, areas, columns=columns), stacks, len(shapes))


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

    first = np.flatnonzero(np.diff(parts.quadrant, prepend=-1))
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
    solid = solid[np.argsort(shape[solid], kind="stable")]
    cover[at[solid]] = np.maximum(cover[at[solid]], shape[solid])  # the last one stays: the uppermost

    entry = np.flatnonzero(~none & ~(whole & opaque[shape]))
    entry = entry[shape[entry] > cover[at[entry]]]
    through = np.flatnonzero(seen.through_shape > cover[seen.through_at])
    quadrants = np.concatenate([at[entry], seen.through_at[through]])
    shapes = np.concatenate([shape[entry], seen.through_shape[through]])
    entries = np.concatenate([np.where(whole[entry], -1, entry), np.full(len(through), -1)])
    order = np.lexsort((shapes, quadrants))
    return cover, _Parts(quadrant=quadrants[order], shape=shapes[order], entry=entries[order])


def _simple_areas(
    stacks: Stacks, halves: Halves, parts: _Parts, quadrant: Ints, below: Ints, is_simple: Bools
) -> _Areas:
    """Return the areas of quadrants in which at most one outline is seen: with that shape and without it."""
    quadrant, below = quadrant[is_simple], below[is_simple]
    at = np.cumsum(np.diff(parts.quadrant, prepend=-1) != 0) - 1
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
    order = np.argsort(rank, kind="stable")
    return np.split(order, np.flatnonzero(np.diff(rank[order])) + 1) if len(rank) else []


def _swept_areas(
    stacks: Stacks, touched: Touched, parts: _Parts, even_odd: Bools, below: Ints, *, columns: int
) -> _Areas:
    """Return the areas of quadrants in which several outlines, or a knotted one, are seen."""
    fresh = np.diff(parts.quadrant, prepend=-1) != 0
    quadrant, local = parts.quadrant[fresh], np.cumsum(fresh) - 1
    drawn = np.flatnonzero(parts.entry >= 0)
    carry, rules = np.ones(len(local)), np.zeros(len(local), np.bool_)
    carry[drawn], rules[drawn] = touched.carry, even_odd[touched.shape]
    owner = np.repeat(drawn, np.diff(touched.starts))
    actors = Actors(quadrant=local, carry=carry, even_odd=rules)
    main = main_diagonal(*np.divmod(quadrant, columns))
    regions = sweep(touched.pieces, owner, actors, main=main)
    stack = _region_stacks(stacks, regions, parts.shape, local, below)
    count = len(stacks.tops())
    keys, inverse = np.unique(regions.quadrant * count + stack, return_inverse=True)
    sides = np.zeros((2, len(keys)))
    np.add.at(sides, (regions.is_right.astype(np.int64), inverse), regions.area)
    return _Areas(quadrant=quadrant[keys // count], stack=keys % count, left=sides[0], right=sides[1])


def _region_stacks(stacks: Stacks, regions: Regions, shape: Ints, local: Ints, base: Ints) -> Ints:
    """Return the stack that each region shows, built up shape by shape from the lowest."""
    stack = base[regions.quadrant]
    covered = spread(regions.start, regions.end - regions.start)
    by = np.repeat(regions.actor, regions.end - regions.start)
    for turn in _by_rank(places_in_runs(local)[by]):
        stack[covered[turn]] = stacks.lay(stack[covered[turn]], shape[by[turn]])
    return stack


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Squares:
    """Stacks by square: `solid` as in VisibleAreas, areas (n, 8) in squares of the mixed ones."""

    solid: Ints
    square: Ints
    stack: Ints
    octants: Floats


def _by_square(dense: NDArray[np.int32], areas: _Areas, *, columns: int) -> _Squares:
    """Gather the quadrants of each square."""
    width = 2 * columns
    quarters = dense.reshape(-1, 2, columns, 2)
    corner = quarters[:, 0, :, 0]
    alike = (quarters[:, 0, :, 1] == corner) & (quarters[:, 1, :, 0] == corner)
    solid = np.where(alike & (quarters[:, 1, :, 1] == corner), corner, MIXED)

    squares = np.flatnonzero(solid == MIXED)
    first = squares // columns * 2 * width + squares % columns * 2
    whole = (first[:, None] + np.array([0, 1, width, width + 1])).ravel()
    whole = whole[dense[whole] != MIXED]
    quadrant = np.concatenate([areas.quadrant, whole])
    stack = np.concatenate([areas.stack, dense[whole]])
    row, column = np.divmod(quadrant, width)
    octant = OCTANTS[row % 2, column % 2]
    square = row // 2 * columns + column // 2
    count = int(stack.max(initial=0)) + 1
    keys, inverse = np.unique(square * count + stack, return_inverse=True)
    rest = np.full(len(whole), HALF)
    octants = np.zeros((len(keys), 8))
    np.add.at(octants, (inverse, octant[:, 0]), np.concatenate([areas.left, rest]) / 4)
    np.add.at(octants, (inverse, octant[:, 1]), np.concatenate([areas.right, rest]) / 4)
    kept = (octants > ROUNDING / 4).any(axis=1)  # ROUNDING is in half squares
    keys = keys[kept]
    return _Squares(solid=solid, square=keys // count, stack=keys % count, octants=octants[kept])


def _by_colour(squares: _Squares, stacks: Stacks, shapes: int) -> VisibleAreas:
    """Unite the stacks that show the same colour."""
    solid, square, stack, octants = squares.solid, squares.square, squares.stack, squares.octants
    tops = stacks.tops()
    seen = np.bincount(stack, octants.sum(axis=1), len(tops))
    seen += np.bincount(solid[solid != MIXED], minlength=len(tops))
    colours: dict[Rgba, int] = {}
    colour_of = np.zeros(len(tops), np.int64)
    for index in range(len(tops)):
        # stacks that nobody sees bring no colour
        shown = stacks.colour(index) if seen[index] > 0.0 else CLEAR
        colour_of[index] = colours.setdefault(shown, len(colours))
    by_shape = np.zeros(shapes)
    np.add.at(by_shape, tops[1:], seen[1:])
    by_stack = VisibleAreas(
        colours=(CLEAR,) * len(tops),
        solid=solid.astype(np.int32),
        square=square,
        colour=stack,
        order=tops[stack],
        octants=octants,
        shapes=by_shape,
    )
    return by_stack.recoloured(colour_of, tuple(colours))
