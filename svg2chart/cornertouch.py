r"""Stitches that touch at a hole across a gap of a square or more in the drawing.

.---.---.
|xxx|   |     both squares are filled for the most part, so they are stitched, and touch; what shows
|xxx|   |     at either side of the hole is one colour, as it is in the drawing
.---o---.
|   |xxx|
|   |xxx|
'---'---'
"""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.cut import is_inside, windings
from svg2chart.geometry.meetings import edges_in_boxes, feet
from svg2chart.geometry.polygon import edges_of_all
from svg2chart.octants.areas import MIXED, VisibleAreas
from svg2chart.remarks import Square
from svg2chart.runs import begins, distinct, spread
from svg2chart.stitches import Worked
from svg2chart.visible import Shape, paint_numbers

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAST_GAP = 0.98
"""Gaps of so many squares, of one but for how points are rounded, stay gaps in stitches, or are told of.

It is no part of a square that drawings keep to, which rounding would put on either side."""

NEAR = 2.0
"""So far around a hole, in squares, sides may be those of what touches there."""

# the octants around a hole, clockwise: row and column of their squares from that below and right of it
_AROUND = np.array(
    [
        *((-1, -1, 3), (-1, -1, 2)),
        *((-1, 0, 5), (-1, 0, 4)),
        *((0, 0, 7), (0, 0, 6)),
        *((0, -1, 1), (0, -1, 0)),
    ]
)

# the middle of each octant in its square, x and y: of its three corners
_MIDDLES = np.array([(4, 1), (5, 2), (5, 4), (4, 5), (2, 5), (1, 4), (1, 2), (2, 1)]) / 6

_AT_ONCE = 1 << 20
"""So many pairs of edges are held against each other together, about: it bounds the memory."""


def touching_across(
    worked: Worked, areas: VisibleAreas, fitted: Sequence[Shape], drawn: Sequence[Shape], *, moved: float
) -> dict[tuple[int, int], tuple[float, set[Square]]]:
    """Return the shapes, by paint order, that touch at holes, how far apart they are drawn there, and where.

    Of each hole a square is told in which one of them lies, of several ways apart the least.

    Args:
        worked: the stitches.
        areas: what is seen of each colour once all is fitted.
        fitted: the drawing, in squares, that they were decided on.
        drawn: the same before anything was moved.
        moved: how far the fit moved anything, in squares.
    """
    shown = worked.shown()
    holes, sides = _touches(shown)
    orders = np.sort([_orders(shown, areas, holes, _AROUND[side]) for side in sides.T], axis=0).T
    # of two that show one colour in a square the upper one is told, and a shape may have several parts
    own = np.flatnonzero((orders[:, 0] >= 0) & (orders[:, 0] == orders[:, 1]))
    orders[own] = _of_parts(fitted, orders[own, 0], _middles(holes[own], sides[own]))
    known = np.flatnonzero(orders[:, 0] >= 0)
    found: dict[tuple[int, int], tuple[float, set[Square]]] = {}
    squares = (holes + _AROUND[sides[:, 0], :2])[known]
    gaps = _gaps(drawn, orders[known], holes[known, ::-1], NEAR + moved)
    for (one, other), gap, (row, column) in zip(
        orders[known].tolist(), gaps.tolist(), squares.tolist(), strict=True
    ):
        if LEAST_GAP <= gap < np.inf:
            least, places = found.get((one, other), (gap, set[Square]()))
            found[one, other] = min(gap, least), places | {(row, column)}
    return found


def _touches(shown: Ints) -> tuple[Ints, Ints]:
    """Return (n, 2) row and column of holes at which stitches touch across one colour, and (n, 2) where.

    An octant of each of the two is told, as `_AROUND` has them.
    """
    rows, columns, _ = shown.shape
    around = np.stack(
        [
            shown[1 + down : rows + down, 1 + right : columns + right, octant]
            for down, right, octant in _AROUND.tolist()
        ]
    )
    found = [np.zeros((0, 4), np.int64)]
    for own in range(8):
        is_between = around == around[own]
        ends = is_between & ~np.roll(is_between, -1, axis=0)
        at = np.argwhere(ends.sum(axis=0) == 2)
        last = ends[:, *at.T]
        sides = np.stack([last.argmax(axis=0), 7 - last[::-1].argmax(axis=0)], axis=1)
        found.append(np.concatenate([at + 1, (sides + 1) % 8], axis=1))
    each = np.unique(np.concatenate(found), axis=0)
    return each[:, :2], each[:, 2:]


def _orders(shown: Ints, areas: VisibleAreas, holes: Ints, around: Ints) -> Ints:
    """Return (n,) the paint order of the uppermost shape that shows what an octant does, -1 for none.

    Args:
        shown: (rows, columns, 8) the colour that each octant shows.
        areas: what is seen of each colour.
        holes: (n, 2) row and column.
        around: (n, 3) the octant at each, as `_AROUND` has them.
    """
    row, column = (holes + around[:, :2]).T
    entry = areas.entries(row * shown.shape[1] + column, shown[row, column, around[:, 2]])
    order = np.where(entry >= 0, np.append(areas.order, -1)[entry], -1)
    return np.where(areas.solid[row, column] == MIXED, order, areas.filled_by[row, column])


def _middles(holes: Ints, sides: Ints) -> Floats:
    """Return (n, 2, 2) x and y of the middles of the two octants at each hole, as `_touches` tells them."""
    down, right, octant = np.moveaxis(_AROUND[sides], -1, 0)
    squares = np.stack([holes[:, 1:] + right, holes[:, :1] + down], axis=-1)
    return np.asarray(squares + _MIDDLES[octant])


def _contours(shapes: Sequence[Shape]) -> tuple[Floats, Ints, Ints]:
    """Return the edges of all shapes, the shape of each, and the contour, numbered through all shapes."""
    edges, owner = edges_of_all([shape.polygon for shape in shapes])
    counts = np.concatenate([np.zeros(0, np.int64), *(np.diff(shape.polygon.starts) for shape in shapes)])
    return edges, owner, np.repeat(np.arange(len(counts)), counts)


def _of_parts(fitted: Sequence[Shape], orders: Ints, at: Floats) -> Ints:
    """Return (n, 2) the shapes that what touches at holes is of, the lower first; -1 for one contour.

    A bar touches itself where its stitches go on aslant.

    Args:
        fitted: in squares.
        orders: (n,) of these, or of others of their paint.
        at: (n, 2, 2) the middles of what touches.
    """
    edges, owner, contour = _contours(fitted)
    paint = paint_numbers(fitted)
    nearest = np.full((len(orders), 2), -1)
    for which in (0, 1):
        points = at[:, which]
        place, edge = edges_in_boxes(edges, np.concatenate([points - NEAR, points + NEAR], axis=1)).T
        kept = paint[owner[edge]] == paint[orders[place]]
        place, edge = place[kept], edge[kept]
        order = np.lexsort((_off(points[place], edges[edge]), place))
        first = order[begins(place[order])]
        nearest[place[first], which] = edge[first]
    is_of_two = (nearest >= 0).all(axis=1) & (contour[nearest[:, 0]] != contour[nearest[:, 1]])
    return np.where(is_of_two[:, None], np.sort(owner[nearest], axis=1), -1)


def _gaps(drawn: Sequence[Shape], pairs: Ints, places: Ints, reach: float) -> Floats:
    """Return (n,) how far apart outlines of two shapes run around places; infinite where no two are.

    Args:
        drawn: in squares.
        pairs: (n, 2) of these, the lower first; of one shape it is two of its contours.
        places: (n, 2) x and y.
        reach: how far around them outlines are looked at, in squares.
    """
    edges, owner, contour = _contours(drawn)
    place, edge = edges_in_boxes(edges, np.concatenate([places - reach, places + reach], axis=1)).T
    kept = (owner[edge, None] == pairs[place]).any(axis=1)
    place, edge = place[kept], edge[kept]
    is_one = pairs[place, 0] == pairs[place, 1]
    sides = _sides(place, np.where(is_one, contour[edge], owner[edge]), len(places))
    gaps, middles = np.full(len(places), np.inf), np.zeros((len(places), 2))
    for one, other in _each_with_each(place, *sides):
        gap, middle = _apart(edges[edge[one]], edges[edge[other]])
        order = np.lexsort((gap, place[one]))
        least = order[begins(place[one][order])]
        at = place[one[least]]
        nearer = gap[least] < gaps[at]
        gaps[at[nearer]], middles[at[nearer]] = gap[least[nearer]], middle[least[nearer]]
    # between the two outlines of a ring lies the ring
    for number in distinct(pairs[np.isfinite(gaps) & (pairs[:, 0] == pairs[:, 1]), 0]):
        polygon, own = drawn[number].polygon, np.flatnonzero((pairs == number).all(axis=1))
        gaps[own[is_inside(windings(middles[own], polygon.edges()), polygon.rule)]] = np.inf
    return gaps


def _sides(place: Ints, part: Ints, count: int) -> tuple[Ints, Ints]:
    """Return which entries are of the lower and which of the higher of two parts at their place."""
    low, high = np.full(count, int(part.max(initial=0))), np.full(count, -1)
    np.minimum.at(low, place, part)
    np.maximum.at(high, place, part)
    is_low, is_high = part == low[place], part == high[place]
    is_two = ((low < high) & (np.bincount(place, ~(is_low | is_high), count) == 0))[place]
    return np.flatnonzero(is_low & is_two), np.flatnonzero(is_high & is_two)


def _each_with_each(place: Ints, ones: Ints, others: Ints) -> Iterator[tuple[Ints, Ints]]:
    """Yield some entries, each with each of the others at its place, few enough at a time."""
    counts = np.bincount(place[others], minlength=int(place.max(initial=-1)) + 1)
    starts, number = (np.cumsum(counts) - counts)[place[ones]], counts[place[ones]]
    lot = np.cumsum(number) // _AT_ONCE
    for some in np.split(np.arange(len(ones)), np.flatnonzero(begins(lot))[1:]):
        yield ones[some].repeat(number[some]), others[spread(starts[some], number[some])]


def _apart(ones: Floats, others: Floats) -> tuple[Floats, Floats]:
    """Return how far edges are apart, (n, 4) both, 0 where they cross, and x and y half way between."""
    ends = [(ones[:, :2], others), (ones[:, 2:], others), (others[:, :2], ones), (others[:, 2:], ones)]
    points = np.stack([points for points, _ in ends])
    nearest = np.stack([_nearest(*each) for each in ends])
    apart = np.hypot(*np.moveaxis(points - nearest, -1, 0))
    least = apart.argmin(axis=0), np.arange(len(ones))
    parted = _lie_on_one_side(ones, others) | _lie_on_one_side(others, ones)
    return np.where(parted, apart[least], 0.0), (points[least] + nearest[least]) / 2


def _lie_on_one_side(ones: Floats, others: Floats) -> Bools:
    """Return which of some edges have both ends on one side of the line through another each, or on it."""
    way = others[:, 2:] - others[:, :2]
    one, other = (
        np.sign(way[:, 0] * off[:, 1] - way[:, 1] * off[:, 0])
        for off in (ones[:, :2] - others[:, :2], ones[:, 2:] - others[:, :2])
    )
    return np.asarray(one * other >= 0)


def _off(points: Floats, edges: Floats) -> Floats:
    """Return how far each point is off its edge."""
    return np.asarray(np.hypot(*(points - _nearest(points, edges)).T))


def _nearest(points: Floats, edges: Floats) -> Floats:
    """Return the point of its edge that is nearest to each."""
    return np.asarray(edges[:, :2] + feet(points, edges)[:, None] * (edges[:, 2:] - edges[:, :2]))
