"""What stitches part, or leave out, of what the drawing shows: seen from close up.

Areas by octant do not tell a strip of a third of a square from two shapes that end as far apart. Around
doubtful squares the drawing is therefore looked at again on cells an eighth as wide, each of which shows the
colour that covers most of it, and what covers a sixteenth of a cell still holds its colour together: strips
of a fifth and slits of a quarter of a square are told apart there. Of what a colour shows without its
stitches every piece counts by itself:
 - where it lies between stitches that are not one within two squares, the drawing is one where these are not;
 - where a fifth of a square of it lies half a square or more away from them all, that part is left out.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import window_steps
from svg2chart.arranging.keeping import LEAST_KEPT
from svg2chart.arranging.measure import octants_shown
from svg2chart.arranging.unmade import find_doubtful
from svg2chart.artwork import Group
from svg2chart.closecells import FINE, MOST_SQUARES, WIDER, Painted, Window, grown, lots, paint
from svg2chart.octants.areas import VisibleAreas
from svg2chart.octants.blending import Rgba
from svg2chart.octants.stacks import BARE
from svg2chart.runs import begins, distinct, in_order, linked, numbered, spread
from svg2chart.stitches import Worked
from svg2chart.visible import Shape

Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

ONE_WITHIN = 2 * FINE
"""Stitches are one where they hold together no farther than so many cells from what they part."""

NEAR = FINE // 2
"""What lies no farther from stitches of its colour, in cells, is no part left out. Our choice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Faults:
    """Shapes by paint order.

    parted: those that hold together where their stitches come apart. part_lost: those of which a part is left
    out. closed: those whose stitches close a gap in which cloth is seen.
    """

    parted: frozenset[int]
    part_lost: frozenset[int]
    closed: frozenset[int]


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
    parted, lost, closed = set[int](), set[int](), set[int]()
    rows, columns = worked.squares.shape
    table = np.array([octants_shown(arrangement) for arrangement in worked.arrangements], np.int64)
    shown = table.take(worked.squares, axis=0)
    doubtful = find_doubtful(areas, shown)
    squares, colours = areas.square[doubtful], areas.colour[doubtful]
    looks = list(_windows(squares, rows, columns))
    for lot in lots([window for window, _ in looks]):
        painted = paint(
            [looks[index][0] for index in lot], shapes, groups=groups, number_of=number_of, areas=areas
        )
        for index, cells in zip(lot, painted, strict=True):
            window, inside = looks[index]
            view = _View(painted=cells, stitched=_in_cells(shown[window.slices]))
            for colour in distinct(colours[inside]).tolist():
                around = window.cells(squares[inside[colours[inside] == colour]], columns)
                for piece in view.pieces(colour, around):
                    if piece.parts or piece.is_lost:
                        named = view.instead(piece) if colour == BARE else {colour}
                        order = _order(areas, distinct(window.squares(piece.cells, columns)), named)
                        (closed if colour == BARE else parted if piece.parts else lost).add(order)
    unknown = {-1}
    return Faults(
        parted=frozenset(parted - unknown),
        part_lost=frozenset(lost - unknown),
        closed=frozenset(closed - unknown),
    )


def _windows(squares: Ints, rows: int, columns: int) -> Iterator[tuple[Window, Ints]]:
    """Yield the surroundings of squares that lie near each other, and the indices of these."""
    row, column = np.divmod(squares, columns)
    wide = columns + 2 * WIDER
    places, index = numbered((row + WIDER) * wide + column + WIDER)
    number = np.full((rows + 2 * WIDER) * wide, -1)
    number[places] = np.arange(len(places))
    near = number[places[:, None] + window_steps(wide, -2, 2)]
    one, other = np.nonzero(near >= 0)
    cluster = linked(one, near[one, other], len(places))[index]
    for each in distinct(cluster).tolist():
        for inside in _split(np.flatnonzero(cluster == each), row, column):
            yield Window.around(row[inside], column[inside], (rows, columns)), inside


def _split(inside: Ints, row: Ints, column: Ints) -> Iterator[Ints]:
    """Yield some squares, halved until few enough to look at are around them.

    What lies across the cut is then seen from either side.
    """
    across = [(int(np.ptp(at[inside])) + 1 + 2 * WIDER, at[inside]) for at in (row, column)]
    (longer, places), (shorter, _) = sorted(across, key=lambda each: -each[0])
    if longer * shorter <= MOST_SQUARES:
        yield inside
        return
    is_first = 2 * places < int(places.min()) + int(places.max())
    yield from _split(inside[is_first], row, column)
    yield from _split(inside[~is_first], row, column)


def _in_cells(shown: Ints) -> Ints:
    """Return (2, rows, columns) what cells show, from (rows, columns, 8) what octants do.

    Those on diagonals lie in two octants; all others show the same twice.
    """
    rows, columns, _ = shown.shape
    cells = shown[:, :, _OCTANTS].transpose(2, 0, 3, 1, 4)
    return np.asarray(cells.reshape(2, rows * FINE, columns * FINE))


def _octants() -> Ints:
    """Return (2, FINE, FINE) the octants that each cell of a square lies in."""
    down, right = np.indices((FINE, FINE)) * 2 + 1 - FINE
    quadrant = np.where(down < 0, np.where(right < 0, 3, 0), np.where(right < 0, 2, 1))
    # the first octant of each quadrant, clockwise, lies at the top, right, bottom or left
    is_first = np.where(quadrant % 2 == 0, abs(down) >= abs(right), abs(right) >= abs(down))
    is_second = np.where(quadrant % 2 == 0, abs(right) >= abs(down), abs(down) >= abs(right))
    first, second = 2 * quadrant, 2 * quadrant + 1
    return np.stack([np.where(is_first, first, second), np.where(is_second, second, first)])


_OCTANTS = _octants()


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Piece:
    """What a colour shows in one piece without its stitches.

    cells: (2, n) row and column. parts: whether it lies between stitches that are not one near it. is_lost:
    whether much of it lies away from all.
    """

    cells: Ints
    parts: bool
    is_lost: bool


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _View:
    """Cells: what is painted, and (2, rows, columns) the colours that are stitched."""

    painted: Painted
    stitched: Ints

    def pieces(self, colour: int, among: Bools) -> Iterator[_Piece]:
        """Yield the pieces of a colour in some of the cells."""
        drawn, made = self.painted.most == colour, (self.stitched == colour).any(axis=0)
        held = drawn.copy()
        if colour != BARE:
            held.ravel()[self.painted.thin_cells[self.painted.thin_colours == colour]] = True
        for own in _held_together(held & ~made & among):
            yield _Piece(cells=own, parts=_parts(own, drawn & made, made), is_lost=_is_lost(own, drawn, made))

    def instead(self, piece: _Piece) -> set[int]:
        """Return the colours that are stitched where a piece lies."""
        return set(self.stitched[:, *piece.cells].ravel().tolist())


def _is_lost(cells: Ints, drawn: Bools, made: Bools) -> bool:
    """Return whether much of what cells show lies away from all stitches."""
    least = LEAST_KEPT * FINE**2
    if cells.shape[1] < least:
        return False
    box, low = _box(cells, NEAR)
    far = drawn[box] & ~grown(made[box], NEAR)
    return int(far[*(cells - low)].sum()) >= least


def _parts(cells: Ints, shown: Bools, made: Bools) -> bool:
    """Return whether cells touch stitches, where these show what is drawn, that are not one near them."""
    box, low = _box(cells, 1)
    own = np.zeros(made[box].shape, np.bool_)
    own[*(cells - low)] = True
    touched = grown(own, 1) & shown[box]
    # most lie beside one edge: what is one by itself need not be looked for farther off
    if np.count_nonzero(touched) < 2 or len(_held_together(touched)) < 2:
        return False
    around, first = _box(cells, ONE_WITHIN)
    at = np.stack(np.nonzero(touched)) + low - first
    return len(distinct(_labelled(made[around])[*at])) > 1


def _box(cells: Ints, beyond: int) -> tuple[tuple[slice, slice], Ints]:
    """Return the box around cells, grown by so many, and (2, 1) its first row and column."""
    low = np.maximum(cells.min(axis=1) - beyond, 0)
    row, column = (slice(a, b) for a, b in zip(low, cells.max(axis=1) + beyond + 1, strict=True))
    return (row, column), low[:, None]


def _order(areas: VisibleAreas, squares: Ints, colours: set[int]) -> int:
    """Return the paint order of the uppermost shape that shows one of the colours in squares, -1 for none."""
    first, last = (np.searchsorted(areas.square, squares, side=side) for side in ("left", "right"))
    entries = spread(first, last - first)
    return int(areas.order[entries[np.isin(areas.colour[entries], sorted(colours))]].max(initial=-1))


def _held_together(cells: Bools) -> list[Ints]:
    """Return (2, n) row and column of cells that hold together by sides and corners, of each piece."""
    places = np.stack(np.nonzero(cells))
    if not places.shape[1]:
        return []
    box, low = _box(places, 0)
    label = _labelled(cells[box])[*(places - low)]
    order = in_order(label)
    return [places[:, some] for some in np.split(order, np.flatnonzero(begins(label[order]))[1:])]


def _labelled(cells: Bools) -> Ints:
    """Return for each cell the first that it holds together with, by sides and corners, -1 for the others."""
    rows, columns = cells.shape
    wide = columns + 2
    row, column = np.nonzero(cells)
    at = (row + 1) * wide + column + 1
    label = np.full((rows + 2) * wide, -1)
    label[at] = np.arange(len(at))
    beside = label[at[:, None] + np.array([1, wide - 1, wide, wide + 1])]
    one, step = np.nonzero(beside >= 0)
    label[at] = linked(one, beside[one, step], len(at))
    return label.reshape(-1, wide)[1:-1, 1:-1]
