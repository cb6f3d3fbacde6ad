"""What stitches part, or leave out, of what the drawing shows: seen from close up.

Areas by octant do not tell a strip of a third of a square from two shapes that end as far apart. Around
doubtful squares the drawing is therefore looked at again on finer cells. Of what a colour shows without its
stitches every piece counts by itself:
 - where it lies between stitches that are not one within two squares, the drawing is one where these are not;
 - where a fifth of a square of it lies beside them all, and some of that more than half a square off, that
   part is left out; of cloth, where all of that lies so far off.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import rows_as_bits, window_steps
from svg2chart.arranging.candidates import AREA_UNIT
from svg2chart.arranging.keeping import linked_parts
from svg2chart.arranging.unmade import LEAST_SIZE, find_doubtful
from svg2chart.artwork import Group
from svg2chart.closecells import FINE
from svg2chart.closelooks import OFF, SQUARED_OFF, look_at
from svg2chart.geometry.cut import is_inside, windings
from svg2chart.octants.areas import VisibleAreas
from svg2chart.octants.blending import Rgba
from svg2chart.octants.stacks import BARE
from svg2chart.remarks import Square
from svg2chart.runs import distinct, linked, numbered, spread
from svg2chart.stitches import Worked
from svg2chart.visible import Shape, boxes_of_shapes, paint_numbers

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

FAR = FINE
"""Stitches may lie so far, in cells, from where they are drawn: the fit moves sides by half a square, and
stitches end half a square off. Our choice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Faults:
    """Shapes by paint order, and the squares in which most of each place lies.

    parted: those that hold together where their stitches come apart. part_lost: those of which a part is left
    out. closed: those whose stitches close a gap in which cloth is seen.
    """

    parted: Mapping[int, set[Square]]
    part_lost: Mapping[int, set[Square]]
    closed: Mapping[int, set[Square]]


def look_closely(
    worked: Worked,
    areas: VisibleAreas,
    shapes: Sequence[Shape],
    *,
    groups: tuple[Group, ...],
    number_of: Mapping[Rgba, int],
) -> Faults:
    """Return what stitches part or leave out.

    Args:
        worked: the stitches.
        areas: what is seen of each colour, numbered as they have it; the first is bare.
        shapes: the drawing, in squares.
        groups: the groups that its paints name.
        number_of: the number of each colour that is seen, before colours share threads.
    """
    parted, lost, closed = (defaultdict[int, set[Square]](set) for _ in range(3))
    alike = _Alike.of(shapes)
    shown = worked.shown()
    doubtful = find_doubtful(areas, shown)
    # without fractions whole squares are squared off
    beside = SQUARED_OFF if worked.saw_cost else OFF
    squares, colours = areas.square[doubtful], areas.colour[doubtful]
    for colour, look in look_at(squares, colours, areas, shown, shapes, groups=groups, number_of=number_of):
        pieces = [(cells, closed if colour == BARE else parted) for cells in look.between()]
        # stitches end a little over cloth wherever something tapers
        away = look.far_off(OFF) if colour == BARE else look.left_out(beside)
        pieces += [(cells, closed if colour == BARE else lost) for cells in away]
        for cells, faults in pieces:
            named = look.instead(cells) if colour == BARE else {colour}
            order = _order(areas, look.squares(cells), named)
            order = order if colour == BARE else alike.instead(order, look.middles(cells))
            faults[order].add(look.place(cells))
    for unknown in (parted, lost, closed):
        unknown.pop(-1, None)
    return Faults(parted=parted, part_lost=lost, closed=closed)


def find_far(
    worked: Worked,
    areas: VisibleAreas,
    shapes: Sequence[Shape],
    *,
    groups: tuple[Group, ...],
    number_of: Mapping[Rgba, int],
    reach: int,
) -> dict[int, set[Square]]:
    """Return the shapes, by paint order, of which a part lies far from all stitches of its colour, and where.

    Arguments as for `look_closely`, of a drawing that the stitches need not have been decided on. What is
    seen by itself is to have stitches no farther off than `reach`, in cells.
    """
    shown = worked.shown()
    squares, colours = _without_stitches(areas, shown)
    far, alike = defaultdict[int, set[Square]](set), _Alike.of(shapes)
    for colour, look in look_at(squares, colours, areas, shown, shapes, groups=groups, number_of=number_of):
        for cells in (*look.far_off(FAR), *look.wholly_off(reach)):
            order = alike.instead(_order(areas, look.squares(cells), {colour}), look.middles(cells))
            far[order].add(look.place(cells))
    far.pop(-1, None)
    return dict(far)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Alike:
    """Shapes, by paint order, among which another one of the same paint may be meant.

    For a colour in a square areas name one shape. boxes: (shapes, 4) around them. paints: (shapes,) numbers.
    """

    shapes: Sequence[Shape]
    boxes: Floats
    paints: Ints

    @staticmethod
    def of(shapes: Sequence[Shape]) -> "_Alike":
        """Return them, all of a drawing."""
        return _Alike(shapes=shapes, boxes=boxes_of_shapes(shapes), paints=paint_numbers(shapes))

    def instead(self, order: int, points: Floats) -> int:
        """Return the shape of the paint of one in which most of some points lie; that one, if none does."""
        if order < 0:
            return order
        low, high = points.min(axis=0), points.max(axis=0)
        is_near = (self.boxes[:, :2] <= high).all(axis=1) & (self.boxes[:, 2:] >= low).all(axis=1)
        near = np.flatnonzero(is_near & (self.paints == self.paints[order])).tolist()
        if near in ([], [order]):
            return order
        held = {order: 0}
        for other in sorted(near, reverse=True):
            polygon = self.shapes[other].polygon
            held[other] = int(is_inside(windings(points, polygon.edges()), polygon.rule).sum())
        # of equal ones that one, and then the uppermost
        return max(held, key=held.__getitem__)


def _without_stitches(areas: VisibleAreas, shown: Ints) -> tuple[Ints, Ints]:
    """Return squares and colours of which parts are seen there that may lie far from stitches."""
    found = [_alone(areas, shown), _loose(areas, shown)]
    square, colour = np.concatenate(found, axis=1)
    places = distinct(square * len(areas.colours) + colour)
    square, colour = np.divmod(places, len(areas.colours))
    return square, colour


def _alone(areas: VisibleAreas, shown: Ints) -> Ints:
    """Return (2, n) squares and colours seen there, without a stitch in them or a full one next to them.

    Those that lie next to each other show enough of their colour for a part, all together.
    """
    wide = shown.shape[1] + 2
    plain = np.flatnonzero(areas.solid.ravel() > BARE)
    seen = np.flatnonzero(areas.colour != BARE)
    square = np.concatenate([areas.square[seen], plain])
    colour = np.concatenate([areas.colour[seen], areas.solid.ravel()[plain]])
    area = np.concatenate([_amounts(areas, seen), np.full(len(plain), AREA_UNIT)])
    alone = np.flatnonzero((shown.reshape(-1, 8).take(square, axis=0) != colour[:, None]).all(axis=1))
    full = np.where((shown == shown[:, :, :1]).all(axis=2), shown[:, :, 0], BARE)
    row, column = np.divmod(square[alone], shown.shape[1])
    near = ((row + 1) * wide + column + 1)[:, None] + window_steps(wide, -1, 1)
    beside = np.pad(full, 1, constant_values=BARE).ravel()[near]
    kept = (beside != colour[alone, None]).all(axis=1)
    alone, near = alone[kept], near[kept]
    places, index = numbered((near * len(areas.colours) + colour[alone, None]).ravel())
    index = index.reshape(near.shape)
    part = linked(np.repeat(index[:, 0], near.shape[1]), index.ravel(), len(places))[index[:, 0]]
    alone = alone[np.bincount(part, area[alone], 1)[part] >= LEAST_SIZE * AREA_UNIT]
    return np.stack([square[alone], colour[alone]])


def _loose(areas: VisibleAreas, shown: Ints) -> Ints:
    """Return (2, n) squares without a stitch of colours of which parts are seen that touch none, either."""
    made = rows_as_bits(shown.reshape(-1, 8).take(areas.square, axis=0) == areas.colour[:, None])
    missing = np.flatnonzero((made == 0) & (areas.colour != BARE))
    part, is_kept, _ = linked_parts(areas, missing, made)
    area = np.bincount(part, _amounts(areas, missing), len(missing))
    loose = missing[(~is_kept & (area >= LEAST_SIZE * AREA_UNIT))[part]]
    return np.stack([areas.square[loose], areas.colour[loose]])


def _amounts(areas: VisibleAreas, entries: Ints) -> Ints:
    """Return how much entries show, in AREA_UNIT: whole numbers, so that rounding decides nothing."""
    return np.asarray(np.rint(areas.octants[entries] * AREA_UNIT).sum(axis=1).astype(np.int64))


def _order(areas: VisibleAreas, squares: Ints, colours: set[int]) -> int:
    """Return the paint order of the shape that shows most of the colours in squares, -1 for none."""
    whole = squares[np.isin(areas.solid.ravel()[squares], sorted(colours - {BARE}))]
    first, last = (np.searchsorted(areas.square, squares, side=side) for side in ("left", "right"))
    entries = spread(first, last - first)
    entries = entries[np.isin(areas.colour[entries], sorted(colours))]
    amount = _amounts(areas, entries)
    # of equal ones the uppermost
    orders = np.concatenate([areas.order[entries], areas.filled_by.ravel()[whole]])
    total = np.bincount(orders + 1, np.append(amount, np.full(len(whole), AREA_UNIT)), 1)
    return len(total) - 2 - int(total[::-1].argmax()) if total.any() else -1
