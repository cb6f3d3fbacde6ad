"""Who is seen where: the exact area of each colour in each octant, by paint order and opacity.

Band by band of quadrant rows:
 1. the outlines of all shapes are cut into pieces and measured (`windings`);
 2. a dense map holds the uppermost opaque shape that covers each quadrant wholly;
 3. whatever touches a quadrant above that shape has a part in it. One outline splits the
    quadrant in two areas that are already known; where several meet, it is swept (`sweep`);
 4. each area shows a stack of shapes, and each stack one flat colour (`stacks`).
No polygon is ever built from others, so there are no slivers and nothing to repair.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import Group
from svg2chart.geometry.polygon import FillRule, Polygon
from svg2chart.octants.areas import MIXED, VisibleAreas
from svg2chart.octants.crossings import Floats, Ints, Pieces, cut_edges, spread
from svg2chart.octants.stacks import BARE, CLEAR, Paint, Rgba, Stacks
from svg2chart.octants.sweep import Actors, Regions, sweep
from svg2chart.octants.windings import HALF, OCTANTS, Spans, Touched, main_diagonal, measure

QUADRANTS_A_BAND = 1 << 20
"""Quadrants worked on at once: it bounds the memory, not the result."""


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
    edges = [2.0 * shape.polygon.edges() for shape in shapes]
    owner = np.repeat(np.arange(len(shapes)), [len(e) for e in edges])
    joined = np.concatenate(edges) if edges else np.zeros((0, 4))
    even_odd = np.array([shape.polygon.rule is FillRule.EVENODD for shape in shapes], dtype=np.bool_)
    height = max(1, QUADRANTS_A_BAND // (4 * columns)) * 2
    parts = []
    for top in range(0, 2 * rows, height):
        bottom = min(top + height, 2 * rows)
        pieces = cut_edges(joined, owner, top=top, bottom=bottom, columns=2 * columns)
        touched, pieces, spans = measure(pieces, even_odd=even_odd, columns=2 * columns)
        band = _Band(top=top, height=bottom - top, width=2 * columns, stacks=stacks, even_odd=even_odd)
        parts.append(_by_square(*_quadrant_stacks(band, touched, pieces, spans), top=top, columns=columns))
    return _by_colour(parts, stacks, len(shapes))


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Band:
    top: int
    height: int
    width: int
    stacks: Stacks
    even_odd: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Parts:
    """Shapes that have a part in a quadrant, by quadrant (row * width + column), the lowest first.

    `entry` is the touched quadrant, or -1 where the shape covers the quadrant wholly and lets through.
    """

    quadrant: Ints
    shape: Ints
    entry: Ints


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Areas:
    """Areas of stacks left and right of the diagonal of quadrants, in half squares; (n,) each."""

    quadrant: Ints
    stack: Ints
    left: Floats
    right: Floats


def _quadrant_stacks(
    band: _Band, touched: Touched, pieces: Pieces, spans: Spans
) -> tuple[NDArray[np.int64], _Areas]:
    """Return the stack of each quadrant that shows one (else MIXED), and the areas of the others."""
    cover, parts = _parts(band, touched, spans)
    base = np.full(cover.shape, BARE, np.int64)
    covered = cover >= 0
    base[covered] = band.stacks.lay(np.zeros(int(covered.sum()), np.int64), cover[covered])
    if not len(parts.quadrant):
        return base, _Areas(
            quadrant=parts.quadrant, stack=parts.quadrant, left=np.zeros(0), right=np.zeros(0)
        )

    fresh = np.concatenate([[True], np.diff(parts.quadrant) != 0])
    place = np.cumsum(fresh) - 1
    quadrant = parts.quadrant[fresh]
    counts = np.diff(np.append(np.flatnonzero(fresh), len(place)))
    drawn = parts.entry >= 0
    outlines = np.bincount(place, drawn, len(quadrant)).astype(np.int64)
    knotted = np.bincount(place, drawn & touched.knotted[parts.entry], len(quadrant)) > 0
    swept = (outlines > 1) | knotted
    plain = ~swept[place]
    simple = _simple_areas(band, base, touched, parts, np.flatnonzero(plain), quadrant, place, ~swept)
    complex_ = _swept_areas(
        band, base, touched, pieces, parts, np.flatnonzero(~plain), quadrant, counts, swept
    )
    base[quadrant] = MIXED
    areas = [simple, complex_]
    return base, _Areas(
        quadrant=np.concatenate([a.quadrant for a in areas]),
        stack=np.concatenate([a.stack for a in areas]),
        left=np.concatenate([a.left for a in areas]),
        right=np.concatenate([a.right for a in areas]),
    )


def _parts(band: _Band, touched: Touched, spans: Spans) -> tuple[Ints, _Parts]:
    """Return the uppermost opaque shape over each whole quadrant (-1: none) and who has a part above it."""
    whole = ~touched.knotted & (touched.left == HALF) & (touched.right == HALF)
    none = ~touched.knotted & (touched.left == 0.0) & (touched.right == 0.0)
    span_shape, span_row, span_column = spans.quadrants()
    full_shape = np.concatenate([span_shape, touched.shape[whole]])
    full_at = np.concatenate(
        [
            (span_row - band.top) * band.width + span_column,
            (touched.row[whole] - band.top) * band.width + touched.column[whole],
        ]
    )
    order = np.argsort(full_shape, kind="stable")
    full_shape, full_at = full_shape[order], full_at[order]
    opaque = band.stacks.opaque[full_shape]
    cover = np.full(band.height * band.width, -1, np.int64)
    cover[full_at[opaque]] = full_shape[opaque]  # where indices repeat, the last one stays: the uppermost

    through = ~opaque & (full_shape > cover[full_at])
    entry = np.flatnonzero(~whole & ~none)
    at = (touched.row[entry] - band.top) * band.width + touched.column[entry]
    seen = touched.shape[entry] > cover[at]
    quadrant = np.concatenate([full_at[through], at[seen]])
    shape = np.concatenate([full_shape[through], touched.shape[entry[seen]]])
    which = np.concatenate([np.full(int(through.sum()), -1), entry[seen]])
    order = np.lexsort((shape, quadrant))
    return cover, _Parts(quadrant=quadrant[order], shape=shape[order], entry=which[order])


def _simple_areas(
    band: _Band,
    base: Ints,
    touched: Touched,
    parts: _Parts,
    chosen: Ints,
    quadrant: Ints,
    place: Ints,
    is_simple: NDArray[np.bool_],
) -> _Areas:
    """Return the areas of quadrants in which at most one outline is seen: with that shape and without it."""
    with_it = base[quadrant]
    without = with_it.copy()
    at, shape, drawn = place[chosen], parts.shape[chosen], parts.entry[chosen] >= 0
    for turn in _in_turn(at):
        with_it[at[turn]] = band.stacks.lay(with_it[at[turn]], shape[turn])
        through = turn[~drawn[turn]]
        without[at[through]] = band.stacks.lay(without[at[through]], shape[through])
    left, right = np.full(len(quadrant), HALF), np.full(len(quadrant), HALF)
    left[at[drawn]] = touched.left[parts.entry[chosen[drawn]]]
    right[at[drawn]] = touched.right[parts.entry[chosen[drawn]]]
    kept = np.flatnonzero(is_simple)
    return _Areas(
        quadrant=np.concatenate([quadrant[kept], quadrant[kept]]),
        stack=np.concatenate([with_it[kept], without[kept]]),
        left=np.concatenate([left[kept], HALF - left[kept]]),
        right=np.concatenate([right[kept], HALF - right[kept]]),
    )


def _in_turn(groups: Ints) -> list[Ints]:
    """Return the indices of the first of each group, then of the second, and so on; groups are contiguous."""
    if not len(groups):
        return []
    fresh = np.concatenate([[True], np.diff(groups) != 0])
    starts = np.flatnonzero(fresh)
    rank = np.arange(len(groups)) - starts[np.cumsum(fresh) - 1]
    order = np.argsort(rank, kind="stable")
    return np.split(order, np.flatnonzero(np.diff(rank[order])) + 1)


def _swept_areas(
    band: _Band,
    base: Ints,
    touched: Touched,
    pieces: Pieces,
    parts: _Parts,
    chosen: Ints,
    quadrant: Ints,
    counts: Ints,
    is_swept: NDArray[np.bool_],
) -> _Areas:
    """Return the areas of quadrants in which several outlines, or a knotted one, are seen."""
    kept = np.flatnonzero(is_swept)
    if not len(kept):
        empty = np.zeros(0, np.int64)
        return _Areas(quadrant=empty, stack=empty, left=np.zeros(0), right=np.zeros(0))
    local = np.repeat(np.arange(len(kept)), counts[kept])
    entry, shape = parts.entry[chosen], parts.shape[chosen]
    drawn = entry >= 0
    actors = Actors(
        quadrant=local,
        carry=np.where(drawn, touched.carry[entry], 1.0),
        even_odd=drawn & band.even_odd[shape],
    )
    first, last = touched.pieces[entry[drawn]].T
    owner = np.repeat(np.flatnonzero(drawn), last - first)
    row, column = quadrant[kept] // band.width + band.top, quadrant[kept] % band.width
    regions = sweep(pieces.taken(spread(first, last - first)), owner, actors, main=main_diagonal(row, column))
    stack = _region_stacks(band.stacks, regions, shape, local, base[quadrant[kept]])
    count = len(band.stacks.tops())
    keys, inverse = np.unique(regions.quadrant * count + stack, return_inverse=True)
    sides = np.zeros((2, len(keys)))
    np.add.at(sides, (regions.is_right.astype(np.int64), inverse), regions.area)
    return _Areas(quadrant=quadrant[kept][keys // count], stack=keys % count, left=sides[0], right=sides[1])


def _region_stacks(stacks: Stacks, regions: Regions, shape: Ints, local: Ints, base: Ints) -> Ints:
    """Return the stack that each region shows, built up shape by shape from the lowest."""
    stack = base[regions.quadrant]
    rank = np.empty(len(local), np.int64)
    for number, turn in enumerate(_in_turn(local)):
        rank[turn] = number
    covered = spread(regions.start, regions.end - regions.start)
    by = np.repeat(regions.actor, regions.end - regions.start)
    order = np.argsort(rank[by], kind="stable")
    covered, by = covered[order], by[order]
    for turn in np.split(np.arange(len(by)), np.flatnonzero(np.diff(rank[by])) + 1):
        if len(turn):
            stack[covered[turn]] = stacks.lay(stack[covered[turn]], shape[by[turn]])
    return stack


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Squares:
    """Stacks by square: `solid` as in VisibleAreas, areas (n, 8) in squares of the mixed ones."""

    solid: Ints
    square: Ints
    stack: Ints
    octants: Floats


def _by_square(dense: Ints, areas: _Areas, *, top: int, columns: int) -> _Squares:
    """Gather the quadrants of each square."""
    width = 2 * columns
    quarters = dense.reshape(-1, 2, columns, 2)
    corner = quarters[:, :1, :, :1]
    solid = np.where((quarters == corner).all(axis=(1, 3)), corner[:, 0, :, 0], MIXED)

    whole = np.flatnonzero((dense != MIXED) & (np.repeat(np.repeat(solid, 2, 0), 2, 1).ravel() == MIXED))
    quadrant = np.concatenate([areas.quadrant, whole])
    stack = np.concatenate([areas.stack, dense[whole]])
    left = np.concatenate([areas.left, np.full(len(whole), HALF)])
    right = np.concatenate([areas.right, np.full(len(whole), HALF)])
    row, column = quadrant // width, quadrant % width
    square = (row // 2) * columns + column // 2
    octant = OCTANTS[row % 2, column % 2]
    count = int(stack.max(initial=0)) + 1
    keys, inverse = np.unique(square * count + stack, return_inverse=True)
    octants = np.zeros((len(keys), 8))
    np.add.at(octants, (inverse, octant[:, 0]), left / 4)
    np.add.at(octants, (inverse, octant[:, 1]), right / 4)
    kept = octants.sum(axis=1) > 0.0
    square = keys[kept] // count + (top // 2) * columns
    return _Squares(solid=solid, square=square, stack=keys[kept] % count, octants=octants[kept])


def _by_colour(parts: list[_Squares], stacks: Stacks, shapes: int) -> VisibleAreas:
    """Unite the bands, and the stacks that show the same colour."""
    solid = np.concatenate([part.solid for part in parts])
    square = np.concatenate([part.square for part in parts])
    stack = np.concatenate([part.stack for part in parts])
    octants = np.concatenate([part.octants for part in parts])
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
