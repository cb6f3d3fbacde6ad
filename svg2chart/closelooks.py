"""Looks from close up: at a colour and the stitches around some squares, on cells an eighth as wide.

Each cell shows the colour that covers most of it. Where stitches come apart, what covers a sixteenth of a
cell still holds its colour together: strips of a fifth and slits of a quarter of a square are told apart
there. Of what has no stitches any trace does, for all of it is missing.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import window_steps
from svg2chart.arranging.candidates import AREA_UNIT
from svg2chart.arranging.keeping import LEAST_KEPT
from svg2chart.arranging.unmade import LEAST_FAR
from svg2chart.artwork import Group
from svg2chart.closecells import FINE, MOST_SQUARES, WIDER, Window, grown, lots, paint
from svg2chart.octants.areas import VisibleAreas
from svg2chart.octants.blending import Rgba
from svg2chart.octants.stacks import BARE
from svg2chart.remarks import Square
from svg2chart.runs import begins, distinct, in_order, linked, numbered
from svg2chart.visible import Shape

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAST_THIN = 1 / 16
"""A cell of which a colour covers so much holds pieces of it together: the fit squeezes what lies along a
hole line to as little. A level or upright slit of a quarter of a square leaves less of the cells in it."""

SQUARED_OFF = FINE // 4
"""So far beside stitches, in cells, a slant or a curve is only squared off. Our choice, no source."""

OFF = FINE // 2
"""So far from what is drawn, in cells, stitches of its colour may end. Our choice, no source."""

ONE_WITHIN = 2 * FINE
"""Stitches are one where they hold together no farther than so many cells from what they part."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Look:
    """A look at a colour in a part of a chart.

    window: the part. columns: those of the chart. around: the cells of squares that are looked at, and of
    those next to them. drawn: cells of which the colour covers most. covered: how much it covers of each, in
    AREA_UNIT. made: cells that stitches of the colour show, or half of which they do. stitched:
    (2, rows, columns) the colours that are stitched.
    """

    window: Window
    columns: int
    around: Bools
    drawn: Bools
    covered: Ints
    made: Bools
    stitched: Ints

    def squares(self, cells: Ints) -> Ints:
        """Return the squares of the chart that cells lie in."""
        return distinct(self.window.squares(cells, self.columns))

    def place(self, cells: Ints) -> Square:
        """Return the square of the chart that most of some cells lie in, of equal ones the first."""
        squares = self.window.squares(cells, self.columns)
        row, column = divmod(int(np.bincount(squares).argmax()), self.columns)
        return row, column

    def middles(self, cells: Ints) -> Floats:
        """Return (n, 2) where the middles of cells lie, x and y in squares."""
        row, column = (cells + 0.5) / FINE
        return np.stack([column + self.window.left, row + self.window.top], axis=1)

    def instead(self, cells: Ints) -> set[int]:
        """Return the colours that are stitched in cells."""
        return set(self.stitched[:, *cells].ravel().tolist())

    def between(self) -> Iterator[Ints]:
        """Yield the cells of each piece without stitches that lies between some which are not one near it."""
        is_held = self.covered >= LEAST_THIN * AREA_UNIT
        for own in _held_together(is_held & ~self.made & self.around):
            if _parts(own, self.drawn & self.made, self.made):
                yield own

    def left_out(self, beside: int) -> Iterator[Ints]:
        """Yield the cells of each piece that shows much farther off all stitches, and some of it far off."""
        for own in self._off(beside):
            if self._far(own, OFF) >= LEAST_FAR * FINE**2 * AREA_UNIT:
                yield own

    def far_off(self, reach: int) -> Iterator[Ints]:
        """Yield the cells of each piece of which much lies farther off all stitches than so many cells."""
        for own in self._off(0):
            if self._far(own, reach) >= LEAST_KEPT * FINE**2 * AREA_UNIT:
                yield own

    def wholly_off(self, reach: int) -> Iterator[Ints]:
        """Yield the cells of each piece that shows much, and lies farther off all stitches as a whole."""
        for own in self._off(0):
            if self._far(own, reach) == int(self.covered[*own].sum()):
                yield own

    def _off(self, by: int) -> Iterator[Ints]:
        """Yield the cells of each piece that shows much farther off all stitches than so many cells."""
        is_off = (self.covered > 0) & self.around & ~grown(self.made, by)
        if np.count_nonzero(is_off) < LEAST_KEPT * FINE**2:
            return
        for own in _held_together(is_off):
            if int(self.covered[*own].sum()) >= LEAST_KEPT * FINE**2 * AREA_UNIT:
                yield own

    def _far(self, cells: Ints, reach: int) -> int:
        """Return how much cells show, in AREA_UNIT, that lie farther off all stitches than so many cells."""
        box, low = _box(cells, reach)
        far = np.where(grown(self.made[box], reach), 0, self.covered[box])
        return int(far[*(cells - low)].sum())


def look_at(
    squares: Ints,
    colours: Ints,
    areas: VisibleAreas,
    shown: Ints,
    shapes: Sequence[Shape],
    *,
    groups: tuple[Group, ...],
    number_of: Mapping[Rgba, int],
) -> Iterator[tuple[int, Look]]:
    """Yield colours and looks at them.

    Args:
        squares: (n,) where to look.
        colours: (n,) and at which colour.
        areas: what is seen of each colour; the first is bare.
        shown: (rows, columns, 8) the colour that each octant shows.
        shapes: the drawing, in squares.
        groups: the groups that its paints name.
        number_of: the number of each colour that is seen, before colours share threads.
    """
    rows, columns, _ = shown.shape
    looks = list(_windows(squares, rows, columns))
    for lot in lots([window for window, _ in looks]):
        painted = paint(
            [looks[index][0] for index in lot], shapes, groups=groups, number_of=number_of, areas=areas
        )
        for index, cells in zip(lot, painted, strict=True):
            window, inside = looks[index]
            stitched = in_cells(shown[window.slices])
            for colour in distinct(colours[inside]).tolist():
                drawn = cells.most == colour
                look = Look(
                    window=window,
                    columns=columns,
                    around=window.cells(squares[inside[colours[inside] == colour]], columns),
                    drawn=drawn,
                    # of cloth a crack that is narrower than a cell is nothing that closes
                    covered=np.where(drawn, AREA_UNIT, 0) if colour == BARE else cells.covered(colour),
                    made=(stitched == colour).any(axis=0),
                    stitched=stitched,
                )
                yield colour, look


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


def in_cells(shown: Ints) -> Ints:
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
    return len(distinct(labelled(made[around])[*at])) > 1


def _box(cells: Ints, beyond: int) -> tuple[tuple[slice, slice], Ints]:
    """Return the box around cells, grown by so many, and (2, 1) its first row and column."""
    low = np.maximum(cells.min(axis=1) - beyond, 0)
    row, column = (slice(a, b) for a, b in zip(low, cells.max(axis=1) + beyond + 1, strict=True))
    return (row, column), low[:, None]


def _held_together(cells: Bools) -> list[Ints]:
    """Return (2, n) row and column of cells that hold together by sides and corners, of each piece."""
    places = np.stack(np.nonzero(cells))
    if not places.shape[1]:
        return []
    box, low = _box(places, 0)
    label = labelled(cells[box])[*(places - low)]
    order = in_order(label)
    return [places[:, some] for some in np.split(order, np.flatnonzero(begins(label[order]))[1:])]


def labelled(cells: Bools) -> Ints:
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
