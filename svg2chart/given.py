r"""Single stitches that a drawing gives by hand: each stands as it is drawn, whatever the areas would choose.

A shape that is told to be one stitch lies in the square around the middle of its box. A fraction has the
corner towards which the shape has its weight: within its own box where that is about a square large, as half
squares are, and within the square where it is smaller, as quadrants are.

     +-----+     +--+--+
     |\xxxx|     |  |xx|
     |  \xx|     +--+--+     top right, either way
     |    \|     |     |
     +-----+     +-----+

A square that holds a given stitch holds given stitches only. Where later shapes hide half of one or more,
it is painted over and gone, as it is in the drawing. The stitches of an area that is charted as drawn leave
the rest of their squares to what lies under it: on a colour a three-quarter stitch gets its quarter.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import floor

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.candidates import AREA_UNIT
from svg2chart.arranging.patterns import HALF_OCTANTS, QUADRANT_OCTANTS
from svg2chart.artwork import Fill, Group, StitchAs, Stroke
from svg2chart.chart import Arrangement, Corner, Stitch, StitchKind, check_arrangement
from svg2chart.colour import Colour
from svg2chart.fit import Laid
from svg2chart.geometry.polygon import Polygon
from svg2chart.octant_shapes import stitch_outline, taken_apart
from svg2chart.octants.areas import MIXED, VisibleAreas
from svg2chart.offsquares import remarks_off_squares
from svg2chart.remarks import Remark, Severity, Square, of_each
from svg2chart.stitches import Worked, only_used
from svg2chart.visible import Shape, visible_areas

KINDS = {
    StitchAs.FULL: StitchKind.FULL,
    StitchAs.THREE_QUARTER: StitchKind.THREE_QUARTER,
    StitchAs.QUARTER: StitchKind.QUARTER,
}
SHARES = {StitchKind.FULL: 1.0, StitchKind.THREE_QUARTER: 0.5, StitchKind.QUARTER: 0.25}

# sides of the boxes around shapes that may be one stitch, in squares; our choice, no source
LEAST_SIDE, LEAST_QUARTER_SIDE, MOST_SIDE = 0.5, 0.25, 1.5
SMALL_SIDE = 0.75
"""A smaller fraction is a quadrant."""
PLAIN_WEIGHT = 1 / 32
"""How far the weight lies off the middle at the least, in squares; half squares have 1/6, quadrants 1/4."""
ASTRAY = 0.25
"""A stitch farther off its place than so many squares, in either direction, is a guess."""

_AT = {corner.place: corner for corner in Corner}


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """A stitch given by hand: the shape that gives it, its square, and what it is.

    astray: whether the shape lies so far off its place that the square is a guess.
    of_area: whether it is one of many of an area.
    """

    order: int
    row: int
    column: int
    kind: StitchKind
    corner: Corner | None
    colour: Colour
    astray: bool
    of_area: bool

    def polygon(self) -> Polygon:
        """Return what the stitch covers of its square, in squares of the grid."""
        return stitch_outline(self.kind, self.corner, row=self.row, column=self.column)


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided:
    """A drawing on the grid and the stitches that it gives, whose shapes lie right in their squares.

    refused: remarks on shapes that are told to be stitches, but cannot be worked as they are told.
    halved: full stitches of which half is hidden; they are areas now.
    """

    laid: Laid
    given: tuple[Given, ...]
    refused: tuple[Remark, ...]
    halved: tuple[Given, ...] = ()

    @property
    def remarks(self) -> tuple[Remark, ...]:
        """What was guessed, and what was refused."""
        what = "lies between squares, its stitch is put into the nearest"
        return (
            *_of_stitches((g for g in self.given if g.astray), self.laid, what, Severity.GUESSED),
            *self.refused,
        )

    @property
    def squares(self) -> frozenset[tuple[int, int]]:
        """The squares (row, column) that hold given stitches."""
        return frozenset((given.row, given.column) for given in self.given)

    def without_hidden(self, areas: VisibleAreas) -> "Decided":
        """Return the same without given stitches of which no more than half is seen.

        Who paints over a stitch means it to be gone: what is left to be seen of it is an area as any other.
        But who moved one between squares must be told that it is.
        """
        gone = [
            given
            for given in self.given
            if round(2 * areas.shapes[given.order] * AREA_UNIT) <= SHARES[given.kind] * AREA_UNIT
        ]
        if not gone:
            return self
        astray = {given.order for given in gone if given.astray}
        what = "lies between squares, and the nearest is painted over: no stitch"
        lost = _of_stitches((g for g in gone if g.astray), self.laid, what, Severity.LEFT_OUT)
        shapes = [
            replace(shape, polygon=Polygon.of_contours([])) if order in astray else shape
            for order, shape in enumerate(self.laid.shapes)
        ]
        left = tuple(given for given in self.given if given not in gone)
        laid = replace(self.laid, shapes=tuple(shapes))
        full = [given for given in gone if given.kind is StitchKind.FULL and not given.astray]
        halved = tuple(given for given in full if areas.shapes[given.order] >= SHARES[StitchKind.QUARTER])
        return replace(
            self, laid=laid, given=left, refused=(*self.refused, *lost), halved=(*self.halved, *halved)
        )


def find_given(laid: Laid, *, rows: int, columns: int) -> Decided:
    """Return the stitches that shapes are told to be, within so many rows and columns of squares.

    Shapes that have not the size or shape of one stitch remain areas, with a remark.
    """
    drawn = laid
    laid, of_areas, uneven = taken_apart(drawn)
    refused = remarks_off_squares(drawn, uneven)
    shapes, given, others = list(laid.shapes), [], []
    for order, (shape, mark) in enumerate(zip(laid.shapes, laid.marks, strict=True)):
        kind = KINDS.get(mark.stitch_as) if mark.stitch_as else None
        if kind is None:
            continue
        place = _place(kind, shape.polygon)
        if place is None:
            others.append(mark)
            continue
        stitch = Given(
            order=order,
            row=min(max(place.row, 0), rows - 1),
            column=min(max(place.column, 0), columns - 1),
            kind=kind,
            corner=place.corner,
            colour=mark.colour,
            astray=place.astray > ASTRAY,
            of_area=order in of_areas,
        )
        given.append(stitch)
        shapes[order] = Shape(polygon=stitch.polygon(), paint=shape.paint)
    if others:
        refused.append(_not_one(others, drawn))
    return Decided(laid=replace(laid, shapes=tuple(shapes)), given=tuple(given), refused=tuple(refused))


def _not_one(marks: Sequence[Fill | Stroke], laid: Laid) -> Remark:
    """Return the remark on marks that are told to be one stitch each, and are not; it names the first."""
    shape = next(s for s, mark in zip(laid.shapes, laid.marks, strict=True) if mark is marks[0])
    wide, high = np.ptp(shape.polygon.points, axis=0).tolist()
    and_more = "" if len(marks) == 1 else f", as {len(marks) - 1} more are,"
    what = (
        f"told to be one stitch{and_more} but is {wide:.2f} by {high:.2f} squares, or of no stitch's shape:"
        " charted as an area; a drawing of stitches is charted on its own squares, without --wide, --high,"
        " --square and --count"
    )
    return Remark(element=marks[0].element, layer=marks[0].layer, what=what, severity=Severity.GUESSED)


def see_decided(
    laid: Laid, groups: tuple[Group, ...], *, rows: int, columns: int
) -> tuple[Decided, VisibleAreas]:
    """Return what is given by hand, without what later shapes hide, and what is seen of each colour."""
    decided = find_given(laid, rows=rows, columns=columns)
    while True:
        areas = visible_areas(decided.laid.shapes, groups=groups, rows=rows, columns=columns)
        left = decided.without_hidden(areas)
        if left is decided:
            return decided, areas
        decided = left


def with_given(
    worked: Worked, decided: Decided, areas: VisibleAreas, thread_of: Mapping[Colour, int]
) -> tuple[Worked, tuple[Remark, ...]]:
    """Return the stitches with the given ones in their squares, and remarks on those that find no room.

    Args:
        worked: what the areas chose.
        decided: the given stitches.
        areas: what is seen of each thread, the first colour is bare.
        thread_of: the thread of each colour that they have.
    """
    by_square: dict[tuple[int, int], list[Given]] = {}
    for given in decided.given:
        by_square.setdefault((given.row, given.column), []).append(given)
    if not by_square:
        return worked, ()
    squares = worked.squares.copy()
    kinds = {arrangement: index for index, arrangement in enumerate(worked.arrangements)}
    no_room: list[Given] = []
    halved = {(given.row, given.column): given for given in decided.halved}
    for place, held in by_square.items():
        arrangement, out = _together(held, thread_of)
        if place in halved and [stitch.kind for stitch in arrangement] == [StitchKind.THREE_QUARTER]:
            arrangement = _on_ground(arrangement, {thread_of[halved[place].colour]: np.full(8, 1 / 8)})
        if all(given.of_area for given in held):
            arrangement = _on_ground(arrangement, _octants(areas, *place))
        squares[place] = kinds.setdefault(arrangement, len(kinds))
        no_room += out
    squares, arrangements = only_used(squares, list(kinds))
    orders = {given.order for given in decided.given}
    told = replace(
        worked,
        squares=squares,
        arrangements=arrangements,
        lost=tuple(lost for lost in worked.lost if lost.order not in orders),
    )
    part_lost = _still_lost(told, areas)
    told = replace(told, part_lost={order: at for order, at in part_lost.items() if order not in orders})
    what = "a given stitch has no room in its square with what lies over it"
    return told, tuple(_of_stitches(no_room, decided.laid, what, Severity.LEFT_OUT))


def _still_lost(worked: Worked, areas: VisibleAreas) -> dict[int, set[Square]]:
    """Return the shapes of which a part is lost, without the squares that show it beside given stitches."""
    row, column = np.divmod(areas.square, areas.solid.shape[1])
    is_shown = (worked.shown()[row, column] == areas.colour[:, None]).any(axis=1)
    shown = set(zip(*(each[is_shown].tolist() for each in (areas.order, row, column)), strict=True))
    still = {
        order: {place for place in at if (order, *place) not in shown}
        for order, at in worked.part_lost.items()
    }
    return {order: at for order, at in still.items() if at}


def _together(held: Sequence[Given], thread_of: Mapping[Colour, int]) -> tuple[Arrangement, list[Given]]:
    """Return what stitches given for one square make, the upper ones first to find room, and the rest."""
    arrangement: Arrangement = ()
    out = []
    for given in reversed(held):
        stitch = Stitch(kind=given.kind, corner=given.corner, thread=thread_of[given.colour])
        more = tuple(sorted((*arrangement, stitch), key=_key))
        if stitch in arrangement:
            continue
        try:
            check_arrangement(more)
        except ValueError:
            out.append(given)
        else:
            arrangement = more
    return arrangement, out


def _octants(areas: VisibleAreas, row: int, column: int) -> dict[int, NDArray[np.float64]]:
    """Return (8,) what is seen in the octants of a square, by thread, -1 for bare cloth."""
    if areas.solid[row, column] != MIXED:
        return {int(areas.solid[row, column]) - 1: np.full(8, 1 / 8)}
    square = row * areas.solid.shape[1] + column
    low, high = np.searchsorted(areas.square, [square, square + 1]).tolist()
    return {int(areas.colour[k]) - 1: areas.octants[k] for k in range(low, high)}


def _on_ground(arrangement: Arrangement, octants: Mapping[int, NDArray[np.float64]]) -> Arrangement:
    """Return stitches with quarters for what is seen most in the rest of their square, but for bare cloth."""
    kinds = [stitch.kind for stitch in arrangement]
    if kinds not in ([StitchKind.THREE_QUARTER], [StitchKind.QUARTER] * len(kinds)):
        return arrangement
    taken = {stitch.corner for stitch in arrangement}
    rest: dict[Corner, tuple[int, ...]] = {c: QUADRANT_OCTANTS[c] for c in Corner if c not in taken}
    if kinds == [StitchKind.THREE_QUARTER]:
        rest = {c: HALF_OCTANTS[c] for c in Corner if c.opposite in taken}
    seen = {c: max(octants, key=lambda thread: float(octants[thread][[*rest[c]]].sum())) for c in rest}
    quarters = [
        Stitch(kind=StitchKind.QUARTER, corner=c, thread=thread) for c, thread in seen.items() if thread >= 0
    ]
    threads = {stitch.thread for stitch in (*arrangement, *quarters)}
    if len(threads) == 1 and len(quarters) == len(rest):
        return (Stitch(kind=StitchKind.FULL, corner=None, thread=threads.pop()),)
    return tuple(sorted((*arrangement, *quarters), key=_key))


def _key(stitch: Stitch) -> tuple[int, int, int]:
    corner = 0 if stitch.corner is None else list(Corner).index(stitch.corner)
    return list(StitchKind).index(stitch.kind), stitch.thread, corner


@dataclass(frozen=True, slots=True)
class _Place:
    """The square and the corner that a shape lies in, and how far it lies off its place there, in squares."""

    row: int
    column: int
    corner: Corner | None
    astray: float


def _place(kind: StitchKind, polygon: Polygon) -> _Place | None:
    """Return the place of the stitch that a shape is told to be, None where it has not its size or shape."""
    (left, top), (right, bottom) = polygon.points.min(axis=0).tolist(), polygon.points.max(axis=0).tolist()
    wide, high = right - left, bottom - top
    least = LEAST_QUARTER_SIDE if kind is StitchKind.QUARTER else LEAST_SIDE
    if min(wide, high) < least or max(wide, high) > MOST_SIDE:
        return None
    x, y = (left + right) / 2, (top + bottom) / 2
    column, row = floor(x), floor(y)
    off_x, off_y = x - column - 0.5, y - row - 0.5
    if kind is StitchKind.FULL:
        return _Place(row, column, None, max(abs(off_x), abs(off_y)))
    if max(wide, high) < SMALL_SIDE:
        side_x, side_y = off_x, off_y
        astray = max(abs(abs(off_x) - 0.25), abs(abs(off_y) - 0.25))
    else:
        side_x, side_y = (_weight(polygon) - (x, y)).tolist()
        astray = max(abs(off_x), abs(off_y))
    if min(abs(side_x), abs(side_y)) < PLAIN_WEIGHT:
        return None
    return _Place(row, column, _AT[int(side_x > 0), int(side_y > 0)], astray)


def _weight(polygon: Polygon) -> NDArray[np.float64]:
    """Return the centre of area. Source: any calculus text, from Green's theorem."""
    x0, y0, x1, y1 = (polygon.edges() - np.tile(polygon.points[0], 2)).T
    cross = x0 * y1 - x1 * y0
    area = cross.sum() / 2
    if abs(area) < PLAIN_WEIGHT**2:
        return np.asarray((polygon.points.min(axis=0) + polygon.points.max(axis=0)) / 2)
    moments = np.array([((x0 + x1) * cross).sum(), ((y0 + y1) * cross).sum()]) / 6
    return np.asarray(polygon.points[0] + moments / area)


def _of_stitches(stitches: Iterable[Given], laid: Laid, what: str, severity: Severity) -> list[Remark]:
    """Return remarks that say the same of stitches given by hand."""
    return of_each(
        what, severity, ((laid.marks[given.order], [(given.row, given.column)]) for given in stitches)
    )
