"""What parts of a drawing show on cells an eighth of a square wide.

Windows are looked at several at once, below each other as if they were one chart: most are small, and each
look costs about the same. Squares of that chart are as wide as two cells: their quadrants are the cells.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.candidates import AREA_UNIT
from svg2chart.artwork import Group
from svg2chart.geometry.boxes import boxes_of
from svg2chart.geometry.cut import cut_contours_to_boxes, is_inside
from svg2chart.geometry.polygon import Polygon
from svg2chart.octants.areas import VisibleAreas
from svg2chart.octants.blending import Rgba
from svg2chart.octants.stacks import BARE
from svg2chart.runs import begins, ends, in_order, spread
from svg2chart.visible import Shape, visible_areas

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

FINE = 8
"""So many cells there are along the side of a square."""

_HALF = FINE // 2

NOT_PAINTED = -1
"""Stands for the colour of cells that are not looked at."""

WIDER = 3
"""So many squares around doubtful ones are looked at, too."""

BESIDE = FINE // 2 + 1
"""So far around them what is painted counts, in pairs of cells: in the next square, and right beside that."""

MOST_SQUARES = 1 << 14
"""So many squares are looked at together, about: it bounds the memory."""

ROUNDED = 2.0**-30
"""Where slanted edges cross the middles of cells is rounded to this, in cells: in a mirror it is the same."""

_DOWN, _RIGHT = np.array([0, 1, 1, 0]), np.array([1, 1, 0, 0])  # of quadrants, clockwise from the top right


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """A part of a chart, in squares, and the rows and columns of it that are painted, in pairs of cells."""

    top: int
    left: int
    rows: int
    columns: int
    painted_rows: range
    painted_columns: range

    @staticmethod
    def around(rows: Ints, columns: Ints, size: tuple[int, int]) -> "Window":
        """Return what is looked at around squares of a chart of so many rows and columns."""
        whole = [_around(at, WIDER, most) for at, most in zip((rows, columns), size, strict=True)]
        painted_rows, painted_columns = (
            range(max(_HALF * at.start - BESIDE, 0), min(_HALF * at.stop + BESIDE, _HALF * most))
            for at, most in zip((_around(rows, 0, size[0]), _around(columns, 0, size[1])), size, strict=True)
        )
        return Window(
            top=whole[0].start,
            left=whole[1].start,
            rows=len(whole[0]),
            columns=len(whole[1]),
            painted_rows=painted_rows,
            painted_columns=painted_columns,
        )

    @property
    def slices(self) -> tuple[slice, slice]:
        """The squares of a chart that lie in it."""
        return slice(self.top, self.top + self.rows), slice(self.left, self.left + self.columns)

    def cells(self, squares: Ints, columns: int) -> Bools:
        """Return the cells of squares (row * columns + column) of a chart, and of those next to them."""
        row, column = np.divmod(squares, columns)
        is_near = np.zeros((self.rows, self.columns), np.bool_)
        is_near[row - self.top, column - self.left] = True
        return grown(is_near, 1).repeat(FINE, axis=0).repeat(FINE, axis=1)

    def squares(self, cells: Ints, columns: int) -> Ints:
        """Return the squares of a chart that (2, n) cells of this part lie in, each as often."""
        row, column = cells // FINE
        return np.asarray((row + self.top) * columns + column + self.left)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Painted:
    """What the drawing shows on the cells of a window.

    most: (rows, columns) the colour that covers most of each. cells, colours, amounts: (n,) cells, row *
    columns + column, colours that cover some of them but not all, and how much, in AREA_UNIT.
    """

    most: Ints
    cells: Ints
    colours: Ints
    amounts: Ints

    def covered(self, colour: int) -> Ints:
        """Return (rows, columns) how much of each cell a colour covers, in AREA_UNIT."""
        result = np.where(self.most == colour, AREA_UNIT, 0)
        own = self.colours == colour
        result.ravel()[self.cells[own]] = self.amounts[own]
        return result


def _around(places: Ints, beyond: int, most: int) -> range:
    """Return all places from the first of some to the last, and so many beyond that there are."""
    return range(max(int(places.min()) - beyond, 0), min(int(places.max()) + beyond + 1, most))


def lots(windows: Iterable[Window]) -> Iterator[list[int]]:
    """Yield the indices of windows that are looked at together, the narrowest first."""
    windows = list(windows)
    lot: list[int] = []
    rows = 0
    for index in sorted(range(len(windows)), key=lambda index: windows[index].columns):
        rows += windows[index].rows
        if lot and rows * windows[index].columns > MOST_SQUARES:
            yield lot
            lot, rows = [], windows[index].rows
        lot.append(index)
    if lot:
        yield lot


def paint(
    windows: Sequence[Window],
    shapes: Sequence[Shape],
    *,
    groups: tuple[Group, ...],
    number_of: Mapping[Rgba, int],
    areas: VisibleAreas,
) -> list[Painted]:
    """Return what a drawing shows in windows.

    Args:
        windows: parts of the chart.
        shapes: the drawing, in squares.
        groups: the groups that its paints name.
        number_of: the number of each colour that is seen.
        areas: what is seen of each colour, numbered in this way.
    """
    tops = np.cumsum([0, *(len(window.painted_rows) for window in windows)])
    columns = max(len(window.painted_columns) for window in windows)
    near = _below_each_other(windows, tops, shapes)
    seen = visible_areas(near, groups=groups, rows=int(tops[-1]), columns=columns)
    seen = seen.recoloured(np.array([number_of.get(colour, BARE) for colour in seen.colours]), areas.colours)
    row, column = np.divmod(seen.square, columns)
    cell = (2 * row[:, None] + _DOWN) * (2 * columns) + 2 * column[:, None] + _RIGHT
    amount = np.rint(seen.octants.reshape(-1, 4, 2).sum(axis=2) * (4 * AREA_UNIT)).astype(np.int64)
    most = seen.solid.astype(np.int64).repeat(2, axis=0).repeat(2, axis=1)
    order = in_order(cell.ravel(), amount.ravel(), (seen.order + 1).repeat(4))
    order = order[ends(begins(cell.ravel()[order]))]
    most.ravel()[cell.ravel()[order]] = seen.colour[order // 4]
    entry, quadrant = np.nonzero(amount)
    cell_row, cell_column = np.divmod(cell[entry, quadrant], 2 * columns)
    bounds = np.searchsorted(seen.square[entry], tops * columns)
    painted = []
    for number, window in enumerate(windows):
        some, first = slice(bounds[number], bounds[number + 1]), 2 * tops[number]
        own = most[first : 2 * tops[number + 1], : 2 * len(window.painted_columns)]
        held = cell_row[some] - first, cell_column[some]
        painted.append(_placed(window, own, held, seen.colour[entry[some]], amount[entry, quadrant][some]))
    return painted


def _placed(window: Window, most: Ints, held: tuple[Ints, Ints], colours: Ints, amounts: Ints) -> Painted:
    """Return what is painted of a window, by all its cells; `held` are rows and columns of mixed ones."""
    down = 2 * window.painted_rows.start - FINE * window.top
    right = 2 * window.painted_columns.start - FINE * window.left
    rows, columns = most.shape
    whole = np.full((window.rows * FINE, window.columns * FINE), NOT_PAINTED)
    whole[down : down + rows, right : right + columns] = most
    cells = (held[0] + down) * whole.shape[1] + held[1] + right
    return Painted(most=whole, cells=cells, colours=colours, amounts=amounts)


def _below_each_other(windows: Sequence[Window], tops: Ints, shapes: Sequence[Shape]) -> list[Shape]:
    """Return what lies of shapes in windows, these below each other, in pairs of cells."""
    sides = np.array(
        [
            [across.start, down.start, across.stop, down.stop]
            for down, across in ((window.painted_rows, window.painted_columns) for window in windows)
        ]
    )
    sides = sides / _HALF
    points = np.concatenate([np.zeros((0, 2)), *(shape.polygon.points for shape in shapes)])
    boxes = boxes_of(points, np.cumsum([0, *(len(shape.polygon.points) for shape in shapes)]))
    reaches = np.concatenate([boxes[:, None, :2] - sides[:, 2:], sides[:, :2] - boxes[:, None, 2:]], axis=2)
    touches = reaches.max(axis=2, initial=-np.inf) < 0
    some = np.flatnonzero(touches.any(axis=1))
    if not len(some):
        return []
    polygons = [shapes[order].polygon for order in some.tolist()]
    shape, window = np.nonzero(touches[some])
    # contours of all shapes, then of each shape in each window
    first_point = np.cumsum([0, *(len(polygon.points) for polygon in polygons)])
    first_contour = np.cumsum([0, *(len(polygon.starts) - 1 for polygon in polygons)])
    begin = np.concatenate([p.starts[:-1] + n for p, n in zip(polygons, first_point, strict=False)])
    length = np.concatenate([np.diff(polygon.starts) for polygon in polygons])
    counts = np.diff(first_contour)[shape]
    contour = spread(first_contour[shape], counts)
    of_window = window.repeat(counts)
    points = np.concatenate([polygon.points for polygon in polygons])
    points = points[spread(begin[contour], length[contour])]
    starts = np.concatenate([[0], np.cumsum(length[contour])])
    points, starts = cut_contours_to_boxes(points, starts, sides[of_window])
    move = np.stack([-sides[:, 0] * _HALF, tops[:-1] - sides[:, 1] * _HALF], axis=1)
    points = points * _HALF + move[of_window.repeat(np.diff(starts))]
    ends_at = np.cumsum(np.bincount(shape.repeat(counts), minlength=len(some)))
    return [
        replace(shapes[order], polygon=_some(points, starts, int(first), int(last), polygon))
        for order, polygon, first, last in zip(
            some.tolist(), polygons, [0, *ends_at[:-1]], ends_at, strict=True
        )
    ]


def _some(points: Floats, starts: Ints, first: int, last: int, polygon: Polygon) -> Polygon:
    """Return the contours from the first to before the last, filled as a polygon is."""
    own = starts[first : last + 1]
    own = own[np.concatenate([own[:-1] < own[1:], [True]])]  # without empty ones
    return replace(polygon, points=points[own[0] : own[-1]], starts=own - own[0])


def cells_within(polygon: Polygon, low: Ints, shape: tuple[int, int]) -> Bools:
    """Return (rows, columns) which cells have their middles within a polygon, and not on its outline.

    What lies on an outline would be within on the one side, and not on the other: in a mirror it differs.

    Args:
        polygon: in squares.
        low: (2,) the first column and row of a window, in cells.
        shape: rows and columns of it.
    """
    rows, columns = shape
    # with the middles of cells at whole numbers
    x, y, other_x, other_y = (polygon.edges() * FINE - np.tile(low, 2) - 0.5).T
    top, bottom, is_level = np.minimum(y, other_y), np.maximum(y, other_y), y == other_y
    first, last = _whole_between(top, bottom, rows)
    row, edge = spread(first, last - first), np.repeat(np.arange(len(x)), last - first)
    part = (row - y[edge]) / np.where(is_level, 1.0, other_y - y)[edge]
    cross = np.rint((x[edge] + part * (other_x - x)[edge]) / ROUNDED) * ROUNDED
    left, right = (
        np.where(is_level[edge], outer(x, other_x)[edge], cross) for outer in (np.minimum, np.maximum)
    )
    begin, end = _whole_between(left, right, columns)
    # right of an edge it goes round once more or less; edges that meet in a row count once
    is_crossed = row < bottom[edge]
    turns = np.bincount(
        (row * (columns + 1) + begin)[is_crossed],
        np.sign(y - other_y)[edge][is_crossed],
        rows * (columns + 1),
    )
    result = is_inside(turns.reshape(rows, -1)[:, :-1].cumsum(axis=1), polygon.rule)
    result.ravel()[spread(row * columns + begin, end - begin)] = False
    return result


def _whole_between(low: Floats, high: Floats, count: int) -> tuple[Ints, Ints]:
    """Return the first whole number from low to high, both with them, and that after the last; 0 to count."""
    first, last = (np.clip(each, 0, count).astype(np.int64) for each in (np.ceil(low), np.floor(high) + 1))
    return first, np.maximum(first, last)


def grown(cells: Bools, by: int) -> Bools:
    """Return all cells that lie no farther than so many from some, by rows and by columns."""
    rows, columns = cells.shape
    padded = np.zeros((rows + 2 * by, columns + 2 * by), np.bool_)
    padded[by : by + rows, by : by + columns] = cells
    down = np.logical_or.reduce([padded[step : step + rows] for step in range(2 * by + 1)])
    right = [down[:, step : step + columns] for step in range(2 * by + 1)]
    return np.asarray(np.logical_or.reduce(right))
