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
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import window_steps
from svg2chart.arranging.candidates import AREA_UNIT
from svg2chart.arranging.keeping import LEAST_KEPT
from svg2chart.arranging.measure import octants_shown
from svg2chart.arranging.unmade import find_doubtful
from svg2chart.artwork import Group
from svg2chart.octants.areas import VisibleAreas
from svg2chart.octants.blending import Rgba
from svg2chart.octants.stacks import BARE
from svg2chart.runs import begins, distinct, ends, in_order, linked, numbered
from svg2chart.stitches import Worked
from svg2chart.visible import Shape, visible_areas

Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

FINE = 8
"""So many cells there are along the side of a square."""

WIDER = 3
"""So many squares around doubtful ones are looked at, too."""

ONE_WITHIN = 2 * FINE
"""Stitches are one where they hold together no farther than so many cells from what they part."""

NEAR = FINE // 2
"""What lies no farther from stitches of its colour, in cells, is no part left out. Our choice, no source."""


LEAST_THIN = 1 / 16
"""A cell of which a colour covers so much holds pieces of it together: the fit squeezes what lies along a
hole line to as little. A level or upright slit of a quarter of a square leaves less of the cells in it."""


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
    (rows, columns), boxes = worked.squares.shape, _boxes(shapes)
    table = np.array([octants_shown(arrangement) for arrangement in worked.arrangements], np.int64)
    shown = table[worked.squares]
    doubtful = find_doubtful(areas, shown)
    for window, inside in _windows(areas.square[doubtful], rows, columns):
        near = [shapes[order] for order in window.touched(boxes)]
        painted, thin = _painted(window, near, groups, number_of, areas)
        view = _View(painted=painted, thin=thin, stitched=_in_cells(shown[window.slices]))
        squares, colours = areas.square[doubtful[inside]], areas.colour[doubtful[inside]]
        for colour in distinct(colours).tolist():
            around = window.around(squares[colours == colour], columns)
            for piece in view.pieces(colour, around):
                named = view.instead(piece) if colour == BARE else {colour}
                order = _order(areas, window.squares(piece.cells, columns), named)
                if piece.parts or piece.is_lost:
                    (closed if colour == BARE else parted if piece.parts else lost).add(order)
    unknown = {-1}
    return Faults(
        parted=frozenset(parted - unknown),
        part_lost=frozenset(lost - unknown),
        closed=frozenset(closed - unknown),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Window:
    """A part of a chart, in squares."""

    top: int
    left: int
    rows: int
    columns: int

    @property
    def slices(self) -> tuple[slice, slice]:
        return slice(self.top, self.top + self.rows), slice(self.left, self.left + self.columns)

    def around(self, squares: Ints, columns: int) -> Bools:
        """Return the cells of squares (row * columns + column) of a chart, and of those next to them."""
        row, column = np.divmod(squares, columns)
        is_near = np.zeros((self.rows, self.columns), np.bool_)
        is_near[row - self.top, column - self.left] = True
        return _grown(is_near, 1).repeat(FINE, axis=0).repeat(FINE, axis=1)

    def touched(self, boxes: NDArray[np.float64]) -> list[int]:
        """Return the indices of (4, n) boxes that reach into this part."""
        left, top, right, bottom = boxes
        across = (left < self.left + self.columns) & (right > self.left)
        return np.flatnonzero(across & (top < self.top + self.rows) & (bottom > self.top)).tolist()

    def squares(self, cells: Ints, columns: int) -> Ints:
        """Return the squares of a chart that (2, n) cells of this part lie in."""
        row, column = cells // FINE
        return distinct((row + self.top) * columns + column + self.left)


def _boxes(shapes: Sequence[Shape]) -> NDArray[np.float64]:
    """Return (4, n) left, top, right and bottom of each shape; of nothing a box that touches nothing."""
    nowhere = [np.inf, np.inf, -np.inf, -np.inf]
    outlines = [shape.polygon.points for shape in shapes]
    return np.array([[*o.min(axis=0), *o.max(axis=0)] if len(o) else nowhere for o in outlines]).T


def _windows(squares: Ints, rows: int, columns: int) -> Iterator[tuple[_Window, Ints]]:
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
        inside = np.flatnonzero(cluster == each)
        top, left = (max(int(at[inside].min()) - WIDER, 0) for at in (row, column))
        bottom, right = (int(at[inside].max()) + 1 + WIDER for at in (row, column))
        window = _Window(top=top, left=left, rows=min(bottom, rows) - top, columns=min(right, columns) - left)
        yield window, inside


def _painted(
    window: _Window,
    shapes: Sequence[Shape],
    groups: tuple[Group, ...],
    number_of: Mapping[Rgba, int],
    areas: VisibleAreas,
) -> tuple[Ints, Mapping[int, Ints]]:
    """Return (rows, columns) the colour that covers most of each cell, and by colour where it is thin."""
    first = np.array([window.left, window.top])
    polygons = [replace(s.polygon, points=(s.polygon.points - first) * FINE) for s in shapes]
    near = [replace(shape, polygon=polygon) for shape, polygon in zip(shapes, polygons, strict=True)]
    seen = visible_areas(near, groups=groups, rows=window.rows * FINE, columns=window.columns * FINE)
    numbers = np.array([number_of.get(colour, BARE) for colour in seen.colours])
    seen = seen.recoloured(numbers, areas.colours)
    amount = np.rint(seen.octants.sum(axis=1) * AREA_UNIT).astype(np.int64)
    order = in_order(seen.square, amount, seen.order + 1)
    most = order[ends(begins(seen.square[order]))]
    painted = seen.solid.astype(np.int64)
    painted.ravel()[seen.square[most]] = seen.colour[most]
    is_thin = amount >= LEAST_THIN * AREA_UNIT
    thin = {c: seen.square[is_thin & (seen.colour == c)] for c in distinct(seen.colour).tolist() if c != BARE}
    return painted, thin


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
    """Cells: the colour that is painted, (rows, columns), and those that are stitched, (2, rows, columns).

    thin: by colour the cells, row * columns + column, that it covers at least a thin part of.
    """

    painted: Ints
    thin: Mapping[int, Ints]
    stitched: Ints

    def pieces(self, colour: int, among: Bools) -> Iterator[_Piece]:
        """Yield the pieces of a colour in some of the cells."""
        drawn, made = self.painted == colour, (self.stitched == colour).any(axis=0)
        held = drawn.copy()
        held.ravel()[self.thin.get(colour, [])] = True
        pieces = _labelled(held & ~made & among)
        far = drawn & ~_grown(made, NEAR)
        cells = np.stack(np.nonzero(pieces >= 0))
        label = pieces[*cells]
        order = in_order(label)
        for some in np.split(order, np.flatnonzero(begins(label[order]))[1:]):
            if len(some):
                own = cells[:, some]
                is_lost = int(far[*own].sum()) >= LEAST_KEPT * FINE**2
                yield _Piece(cells=own, parts=_parts(own, drawn & made, made), is_lost=is_lost)

    def instead(self, piece: _Piece) -> set[int]:
        """Return the colours that are stitched where a piece lies."""
        return set(self.stitched[0][*piece.cells].tolist())


def _parts(cells: Ints, shown: Bools, made: Bools) -> bool:
    """Return whether cells touch stitches, where these show what is drawn, that are not one near them."""
    low = np.maximum(cells.min(axis=1) - ONE_WITHIN, 0)
    row, column = (slice(a, b) for a, b in zip(low, cells.max(axis=1) + ONE_WITHIN + 1, strict=True))
    own = np.zeros(made[row, column].shape, np.bool_)
    own[*(cells - low[:, None])] = True
    touched = _grown(own, 1) & shown[row, column]
    return len(distinct(_labelled(made[row, column])[touched])) > 1


def _order(areas: VisibleAreas, squares: Ints, colours: set[int]) -> int:
    """Return the paint order of the uppermost shape that shows one of the colours in squares, -1 for none."""
    among = np.isin(areas.square, squares) & np.isin(areas.colour, sorted(colours))
    return int(areas.order[among].max(initial=-1))


def _labelled(cells: Bools) -> Ints:
    """Return for each cell the first that it holds together with, by sides and corners, -1 for the others."""
    count = int(cells.sum())
    index = np.full(cells.shape, -1)
    index[cells] = np.arange(count)
    pairs = [
        np.stack([index[one][both], index[other][both]])
        for one, other in _BESIDE
        for both in [cells[one] & cells[other]]
    ]
    result = index.copy()
    one, other = np.concatenate(pairs, axis=1)
    result[cells] = linked(one, other, count)
    return result


_ALL, _FIRST, _LAST = slice(None), slice(None, -1), slice(1, None)
_BESIDE = (
    ((_ALL, _FIRST), (_ALL, _LAST)),
    ((_FIRST, _ALL), (_LAST, _ALL)),
    ((_FIRST, _FIRST), (_LAST, _LAST)),
    ((_FIRST, _LAST), (_LAST, _FIRST)),
)


def _grown(cells: Bools, by: int) -> Bools:
    """Return all cells that lie no farther than so many from some, by rows and by columns."""
    rows, columns = cells.shape
    padded = np.pad(cells, by)
    down = np.logical_or.reduce([padded[step : step + rows] for step in range(2 * by + 1)])
    right = [down[:, step : step + columns] for step in range(2 * by + 1)]
    return np.asarray(np.logical_or.reduce(right))
