"""Right-angled corners, upright or turned by 45 degrees, that a drawing shows and its stitches do not.

Stitches have such a corner at a hole where they show one colour in a square, or in two halves of squares, and
another one all around that. Corners that they do not have are looked at on cells: most of these are not seen,
or lie beside more of their colour.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import Group
from svg2chart.closecells import FINE, Painted, Window, lots, paint
from svg2chart.fitting.seams import contours_of, owners_of
from svg2chart.fitting.slants import neighbours
from svg2chart.octants.areas import MIXED, VisibleAreas
from svg2chart.octants.blending import Rgba
from svg2chart.octants.stacks import BARE
from svg2chart.remarks import Square
from svg2chart.stitches import Worked
from svg2chart.visible import Shape

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAST_ARM = 1.5
"""Corners count whose sides are so long, in squares: shorter ones are ends of bars and steps. Our choice, no
source."""

SEEN = 1.2
"""So far around it, in squares, a corner is to be seen. Our choice, no source."""

APART = 0.5
"""Nothing of its colour lies so near beside its sides, in squares. Our choice, no source."""

STRAIGHT = 1 / 64
"""Sines of angles that are no greater are nought. Our choice, no source."""

WITHIN = 1 / 64
"""What lies so far within a corner, in squares, lies in the square that is told."""

OFF = (0.625, 0.75)
"""So far off, in squares by rows and by columns, stitches of an upright and of a turned corner may have
theirs: edges may lie half a square, and slanted ones three quarters of one from where they are drawn."""

_Corner = tuple[float, float, int]
"""Where a corner lies, x and y in squares, and which way it opens, in eighths of a turn."""

_SQUARES = np.array([(-1, -1), (-1, 0), (0, 0), (0, -1)])
"""Steps to the squares around a hole, clockwise from the top left, from that below and right of it."""

# for a corner that opens to the bottom right, and for one that opens to the right: the octants in each square
# around its hole that show its colour, and those that do not
_HAS: tuple[dict[int, tuple[int, ...]], ...] = (
    {2: tuple(range(8))},
    {1: (1, 2, 3, 4), 2: (7, 0, 1, 2)},
)
_HAS_NOT: tuple[dict[int, tuple[int, ...]], ...] = (
    {0: (2, 3), 1: (3, 4), 3: (1, 2)},
    {0: (2, 3), 1: (5, 6, 7, 0), 2: (3, 4, 5, 6), 3: (0, 1)},
)


def find_blunted(
    worked: Worked,
    areas: VisibleAreas,
    shapes: Sequence[Shape],
    *,
    groups: tuple[Group, ...],
    number_of: Mapping[Rgba, int],
    moved: float,
) -> dict[int, Square]:
    """Return the shapes, by paint order, that show right-angled corners which their stitches do not have.

    Of each one such corner is told, by the square right within it.

    Args:
        worked: the stitches; without fractions none is turned, and no corner of these is asked for.
        areas: what is seen of each colour, numbered as they have it; the first is bare.
        shapes: the drawing, in squares.
        groups: the groups that its paints name.
        number_of: the number of each colour that is seen.
        moved: how far the fit moved anything, in squares by rows and by columns.
    """
    shown = worked.shown()
    rows, columns, _ = shown.shape
    points, turns, orders = _corners(shapes)
    some = _near_others(points, areas)
    if not worked.saw_cost:
        some = some[turns[some] % 2 == 1]
    points, turns, orders = points[some], turns[some], orders[some]
    stands = _standing(shown)
    # of those at one place the uppermost, and of all those that do not stand in stitches
    found = {
        (x, y, turn): order
        for (x, y), turn, order in zip(points.tolist(), turns.tolist(), orders.tolist(), strict=True)
        if not _stands(stands[turn], x, y, OFF[1 - turn % 2] + moved)
    }
    found = _without_tips(found, shapes)
    blunted: dict[int, Square] = {}
    for corners in _rounds(found):
        corners = [corner for corner in corners if found[corner] not in blunted]
        windows = [
            Window.around(np.array([int(y)]), np.array([int(x)]), (rows, columns)) for x, y, _ in corners
        ]
        for lot in lots(windows):
            own = [windows[index] for index in lot]
            painted = paint(own, shapes, groups=groups, number_of=number_of, areas=areas)
            for index, window, cells in zip(lot, own, painted, strict=True):
                if _is_seen(cells, window, *corners[index]):
                    blunted.setdefault(found[corners[index]], _within(*corners[index]))
    return blunted


def _within(x: float, y: float, turn: int) -> Square:
    """Return the square right within a corner."""
    angle = turn * np.pi / 4
    return floor(y + WITHIN * np.sin(angle)), floor(x + WITHIN * np.cos(angle))


def _rounds(found: Mapping[_Corner, int]) -> list[list[_Corner]]:
    """Return corners, one of each shape and then twice as many each time: one that is seen is enough."""
    counts, rounds = Counter[int](), dict[int, list[_Corner]]()
    for corner, order in found.items():
        rounds.setdefault(counts[order].bit_length(), []).append(corner)
        counts[order] += 1
    return [rounds[number] for number in sorted(rounds)]


def _corners(shapes: Sequence[Shape]) -> tuple[Floats, Ints, Ints]:
    """Return (n, 2) right-angled corners, which way they open, and their shapes.

    Ways are counted clockwise from the right, in eighths of a turn.
    """
    points, starts = contours_of([shape.polygon for shape in shapes])
    contour = np.repeat(np.arange(len(starts) - 1), np.diff(starts))
    order = owners_of([shape.polygon for shape in shapes])[contour]
    one, other = _ways(points, contour)
    between = one + other
    eighths = np.arctan2(between[:, 1], between[:, 0]) * (4 / np.pi)
    turns = np.rint(eighths)
    is_right = np.abs((one * other).sum(axis=1)) < STRAIGHT
    is_right &= np.abs(eighths - turns) * (np.pi / 4) < STRAIGHT
    for beside in neighbours(contour):
        is_right &= np.hypot(*(points[beside] - points).T) >= LEAST_ARM
    return points[is_right], turns[is_right].astype(np.int64) % 8, order[is_right]


def _ways(points: Floats, contour: Ints) -> tuple[Floats, Floats]:
    """Return (n, 2) the ways from each point to those beside it, of length one."""
    ways = np.stack([points[beside] - points for beside in neighbours(contour)])
    one, other = ways / np.hypot(ways[..., 0], ways[..., 1])[..., None]
    return one, other


def _near_others(points: Floats, areas: VisibleAreas) -> Ints:
    """Return the points on the chart around whose square more than one colour is seen."""
    rows, columns = areas.solid.shape
    is_plain = np.ones((rows, columns), np.bool_)
    solid = np.pad(areas.solid, 1, mode="edge")
    for down, right in np.ndindex(3, 3):
        is_plain &= solid[down : down + rows, right : right + columns] == areas.solid
    is_plain &= areas.solid != MIXED
    column, row = np.floor(points).astype(np.int64).T
    on_chart: Ints = np.flatnonzero((row >= 0) & (row < rows) & (column >= 0) & (column < columns))
    return np.asarray(on_chart[~is_plain[row[on_chart], column[on_chart]]])


def _without_tips(found: Mapping[_Corner, int], shapes: Sequence[Shape]) -> dict[_Corner, int]:
    """Return the corners without those at whose tip another of their paint opens the other way."""
    opposite = {(x, y, turn): found.get((x, y, (turn + 4) % 8)) for x, y, turn in found}
    return {
        corner: order
        for corner, order in found.items()
        if (other := opposite[corner]) is None or shapes[other].paint != shapes[order].paint
    }


def _standing(shown: Ints) -> Bools:
    """Return (8, rows + 1, columns + 1) at which holes stitches have a corner of any colour that opens so."""
    rows, columns, _ = shown.shape
    framed = np.pad(shown, ((1, 1), (1, 1), (0, 0)), constant_values=-1)
    around = np.stack(
        [
            framed[1 + down : 2 + rows + down, 1 + right : 2 + columns + right]
            for down, right in _SQUARES.tolist()
        ]
    )
    found = np.zeros((8, rows + 1, columns + 1), np.bool_)
    for turn in range(8):
        kind, quarters = 1 - turn % 2, turn // 2

        def seen(
            octants_of: Mapping[int, tuple[int, ...]], quarters: int = quarters
        ) -> Iterator[NDArray[np.int64]]:
            """Yield what octants show, once all is turned so that the corner opens as `_HAS` tells."""
            for number, octants in octants_of.items():
                for octant in octants:
                    yield around[(number + quarters) % 4, ..., (octant + 2 * quarters) % 8]

        (colour,) = seen({2: (7,)})
        found[turn] = np.logical_and.reduce(
            [
                colour >= BARE,
                *(one == colour for one in seen(_HAS[kind])),
                *(one != colour for one in seen(_HAS_NOT[kind])),
            ]
        )
    return found


def _stands(stands: Bools, x: float, y: float, far: float) -> bool:
    """Return whether stitches have a corner no farther from a place, by rows and by columns."""
    row, column = (slice(max(ceil(at - far), 0), max(floor(at + far) + 1, 0)) for at in (y, x))
    return bool(stands[row, column].any())


def _is_seen(painted: Painted, window: Window, x: float, y: float, turn: int) -> bool:
    """Return whether a corner is seen on cells: one colour in it, and others beside it."""
    row, column = np.indices(painted.most.shape)
    down, right = (row + 0.5) / FINE + window.top - y, (column + 0.5) / FINE + window.left - x
    along, across = (
        right * np.cos(angle) + down * np.sin(angle)
        for angle in ((turn - 1) * np.pi / 4, (turn + 1) * np.pi / 4)
    )
    near, least = np.maximum(np.abs(down), np.abs(right)) <= SEEN, np.minimum(along, across)
    inside = painted.most[near & (least > 1 / FINE)]
    outside = painted.most[near & (least < -1 / FINE) & (least > -APART)]
    if not len(inside):  # what a mask leaves of its shape may end at the chart's edge, where the corner opens
        return False
    colour = inside[0]
    return colour > BARE and bool((inside == colour).all() and (outside != colour).all())
