"""Areas to stitches: the arrangement of each square, chosen over the whole chart."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.candidates import AREA_UNIT, Candidates, find_candidates
from svg2chart.arranging.copies import work_copies_alike
from svg2chart.arranging.descent import settle
from svg2chart.arranging.keeping import keep_parts, lost_entries
from svg2chart.arranging.measure import Energy, measure, octants_shown
from svg2chart.arranging.mending import mend_gaps
from svg2chart.arranging.patterns import COST_UNIT, MOST_COLOURS, Fractions, Layout
from svg2chart.arranging.perimeter import edge_lengths
from svg2chart.chart import Arrangement, Corner, Stitch, StitchKind
from svg2chart.colour import Colour, ciede2000, lab
from svg2chart.octants.areas import MIXED, VisibleAreas
from svg2chart.octants.stacks import BARE
from svg2chart.remarks import Square
from svg2chart.runs import begins, distinct, ends, in_order

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

NOTHING_APART = np.zeros((0, 4))

PLAINLY_OTHER = 25.0
"""The CIEDE2000 difference from which on a wrong colour counts fully. Our choice, no source."""

BARE_SHOWS = 0.75
"""So much a stitch counts that is missing or too many, however near its thread is to the cloth: one sees
the relief, and the holes. Our choice, no source."""

LEAST_REPORTED = 0.01
"""Less than so many squares is rounding or a hair's breadth; nobody would miss it."""

_KINDS = {kind: place for place, kind in enumerate(StitchKind)}
_CORNERS = {corner: place for place, corner in enumerate([None, *Corner])}


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost:
    """A shape that shows much more than is stitched.

    order: its paint order. area: in squares. is_worked: whether any is. place: the square that lacks most.
    """

    order: int
    area: float
    is_worked: bool
    place: Square


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Worked:
    """The stitches of a chart.

    squares: (rows, columns) int32, index into `arrangements`, of which the first is bare; threads are
        numbered as the areas' colours without bare.
    lost: shapes that show much more than is stitched.
    part_lost: the paint order of shapes of which a part that is seen by itself gets no stitch, and squares of
        such parts.
    allowance: (rows + 2, columns + 2) the drawing's own edge around each square, as `edge_lengths` gives it.
    saw_cost: what each saw costs, in COST_UNIT.
    """

    squares: NDArray[np.int32]
    arrangements: tuple[Arrangement, ...]
    lost: tuple[Lost, ...]
    part_lost: Mapping[int, set[Square]]
    allowance: Ints
    saw_cost: int

    def shown(self) -> Ints:
        """Return (rows, columns, 8) what each octant shows: the number of its colour, 0 for bare cloth."""
        table = np.array([octants_shown(arrangement) for arrangement in self.arrangements], np.int64)
        return np.asarray(table.take(self.squares, axis=0))


def work_stitches(
    areas: VisibleAreas, colours: list[Colour], *, fractions: Fractions, apart: Floats = NOTHING_APART
) -> Worked:
    """Return the stitches that show the areas with the least energy.

    Args:
        areas: what is seen of each colour; the first is bare.
        colours: the flat colours as they look on the cloth, the cloth's own first.
        fractions: which fractions may be used.
        apart: (n, 4) the boxes around parts that stand by themselves, in squares: copies are worked alike.
    """
    areas = areas.without_traces(1 / (2 * AREA_UNIT))
    candidates = find_candidates(areas, differences=differences(colours), fractions=fractions)
    solid = np.where(areas.solid == MIXED, BARE, areas.solid).astype(np.int64)
    allowance = edge_lengths(areas)
    settled = settle(candidates, solid, allowance)
    chosen = work_copies_alike(areas, candidates, solid, allowance, settled.chosen, apart)
    kept = keep_parts(areas, candidates, chosen)
    fixed = np.flatnonzero(kept.chosen != chosen)
    chosen = mend_gaps(areas, candidates, solid, allowance, kept.chosen, fixed=fixed)
    # what is mended may take the room of a small part
    is_changed = not np.array_equal(chosen, kept.chosen)
    lost = lost_entries(areas, candidates, chosen) if is_changed else kept.lost
    squares, arrangements = _arrangements(candidates, solid, chosen)
    return Worked(
        squares=squares,
        arrangements=arrangements,
        lost=_lost_shapes(areas, candidates, chosen),
        part_lost=_places(areas, lost),
        allowance=allowance,
        saw_cost=candidates.saw_cost,
    )


def _places(areas: VisibleAreas, entries: Ints) -> dict[int, set[Square]]:
    """Return the squares in which entries are seen, by the paint order of their shapes."""
    found = defaultdict[int, set[Square]](set)
    for order, square in zip(areas.order[entries].tolist(), areas.square[entries].tolist(), strict=True):
        if order >= 0:
            found[order].add(divmod(square, areas.solid.shape[1]))
    return dict(found)


def energy_of(worked: Worked, areas: VisibleAreas, colours: list[Colour]) -> Energy:
    """Return the energy of stitches for the areas; arguments as for `work_stitches`."""
    areas = areas.without_traces(1 / (2 * AREA_UNIT))
    return measure(
        worked.squares,
        worked.arrangements,
        areas,
        differences=differences(colours),
        allowance=worked.allowance,
        saw_cost=worked.saw_cost,
    )


def differences(colours: list[Colour]) -> Ints:
    """Return (n, n) what a square shown in the wrong colour costs, in COST_UNIT / AREA_UNIT.

    The first of the colours is that of the cloth.
    """
    coordinates = lab(colours)
    apart = np.minimum(ciede2000(coordinates[:, None], coordinates[None]) / PLAINLY_OTHER, 1.0)
    bare, others = np.array([BARE]), np.arange(BARE + 1, len(colours))
    for pairs in (np.ix_(bare, others), np.ix_(others, bare)):
        apart[pairs] = np.maximum(apart[pairs], BARE_SHOWS)
    return np.asarray(np.rint(apart * (COST_UNIT // AREA_UNIT)), dtype=np.int64)


def _lost_shapes(areas: VisibleAreas, candidates: Candidates, chosen: Ints) -> tuple[Lost, ...]:
    """Return the shapes of whose area more than a third gets no stitch, nor is made up for next to it."""
    amount = np.rint(areas.octants * AREA_UNIT).sum(axis=1)
    made = candidates.made(areas, chosen, np.arange(len(areas.square)))
    count = len(areas.shapes)
    drawn = areas.order >= 0
    order = areas.order[drawn]
    worked_of = np.bitwise_count(made).astype(np.int64) * (AREA_UNIT // 8)
    # whole numbers below 2^53, which sums of float64 keep
    mixed, given = (np.bincount(order, part[drawn], count) for part in (amount, worked_of))
    whole = np.rint(areas.shapes * AREA_UNIT)
    missing = mixed - given
    # what a shape shows beyond its mixed squares lies in squares that it fills
    some = (given > 0) | (whole - mixed > AREA_UNIT // 2)
    short = (missing * 3 > whole) & (missing >= LEAST_REPORTED * AREA_UNIT)
    lacking, square = (amount - worked_of)[drawn], areas.square[drawn]
    last = np.lexsort((-square, lacking, order))
    last = last[ends(begins(order[last]))]
    place = dict(zip(order[last].tolist(), square[last].tolist(), strict=True))
    return tuple(
        Lost(
            order=i,
            area=float(areas.shapes[i]),
            is_worked=bool(some[i]),
            place=divmod(place[i], areas.solid.shape[1]),
        )
        for i in np.flatnonzero(short).tolist()
    )


def _arrangements(
    candidates: Candidates, solid: Ints, chosen: Ints
) -> tuple[NDArray[np.int32], tuple[Arrangement, ...]]:
    """Return the arrangement of each square and the list of those that occur, bare first."""
    table = candidates.patterns
    pattern = candidates.pattern[chosen]
    placed = table.placed.take(pattern, axis=0)
    colours = np.take_along_axis(candidates.locals, np.maximum(placed, 0), 1)
    # solid squares hold a full stitch, or nothing
    filled = distinct(np.append(solid, BARE))
    full = [table.layouts.index(((StitchKind.FULL, None),) if colour != BARE else ()) for colour in filled]
    layout = np.concatenate([full, table.layout.take(pattern)])
    whole = np.zeros((len(filled), MOST_COLOURS), np.int64)
    whole[:, 0] = filled
    rows = np.column_stack([layout, np.concatenate([whole, np.where(placed < 0, BARE, colours)])])
    order = in_order(*rows.T)
    first = begins(*rows[order].T)
    found = rows[order[first]].tolist()
    kinds = [[_KINDS[kind] for kind, _ in each] for each in table.layouts]
    corners = [[_CORNERS[corner] for _, corner in each] for each in table.layouts]
    # as `only_used` has them
    keys = [(kinds[each], held[: len(kinds[each])], corners[each]) for each, *held in found]
    ordered = sorted(range(len(found)), key=keys.__getitem__)
    number = np.empty(len(found), np.int32)
    number[ordered] = np.arange(len(found))
    numbers = np.empty(len(rows), np.int32)
    numbers[order] = number[np.cumsum(first) - 1]
    squares = numbers[np.searchsorted(filled, solid)]
    squares.ravel()[candidates.squares] = numbers[len(filled) :]
    return squares, _arranged(table.layouts, [found[index] for index in ordered])


def _arranged(layouts: Sequence[Layout], rows: Sequence[Sequence[int]]) -> tuple[Arrangement, ...]:
    """Return arrangements from rows of a layout and the colours of its stitches."""
    made: dict[tuple[int, int, int], Stitch] = {}
    result = []
    for layout, *colours in rows:
        held = []
        for place, (kind, corner) in enumerate(layouts[layout]):
            key = layout, place, colours[place]
            if key not in made:
                made[key] = Stitch(kind=kind, corner=corner, thread=colours[place] - 1)
            held.append(made[key])
        result.append(tuple(held))
    return tuple(result)


def only_used(
    squares: NDArray[np.int32], arrangements: list[Arrangement]
) -> tuple[NDArray[np.int32], tuple[Arrangement, ...]]:
    """Return the same with only the arrangements that occur, bare first, the others in a fixed order."""
    used = set(distinct(squares).tolist()) | {0}
    order = sorted(used, key=lambda index: _sort_key(arrangements[index]))
    renumbered = np.zeros(len(arrangements), np.int32)
    renumbered[order] = np.arange(len(order))
    return renumbered[squares], tuple(arrangements[index] for index in order)


def _sort_key(arrangement: Arrangement) -> tuple[object, ...]:
    return (
        [_KINDS[stitch.kind] for stitch in arrangement],
        [stitch.thread for stitch in arrangement],
        [_CORNERS[stitch.corner] for stitch in arrangement],
    )
