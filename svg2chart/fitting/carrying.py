"""Points that lie on straight sides, and where they go when these move."""

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.boxes import middles_of
from svg2chart.geometry.polygon import edges_of
from svg2chart.runs import distinct, in_order, numbered, spread

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

ON_SIDE = 1 / 64
"""A point so near to a side, in squares, lies on it."""

PARALLEL = 1e-3
"""Lines whose directions differ by a sine with less than this square are parallel: 2 degrees."""

_PLACES = 1 << 10  # so many to a square tell which points come near a side

SLIP = 1 / 8
"""Points slip so far along their line, in squares, not to move too far in all. Our choice, no source."""

LONG, SLIDE = 2.0, 2.0
"""Along a side of so many squares its corners may slide so many times as far as sides move. Our choice, no
source."""


def as_numbers(points: Floats) -> NDArray[np.complex128]:
    """Return x + y i of points: numpy tells numbers apart faster than rows."""
    return np.asarray(points[:, 0] + 1j * points[:, 1])


def places_among(points: Floats, places: NDArray[np.complex128]) -> Ints:
    """Return which of some places, ascending as `as_numbers` gives them, each point is at; -1 for none."""
    if not len(places):
        return np.full(len(points), -1, np.int64)
    wanted = as_numbers(points)
    found = np.minimum(np.searchsorted(places, wanted), len(places) - 1)
    return np.where(places[found] == wanted, found, -1)


def points_on(points: Floats, sides: Floats) -> tuple[Ints, Ints, Floats]:
    """Return points, sides that they lie on, and how far along these, from 0 to 1; by point, then by side.

    Args:
        points: (n, 2) in squares.
        sides: (sides, 4) from where to where.
    """
    point, side = _near(points, sides)
    ends = sides[side]
    way, to = ends[:, 2:] - ends[:, :2], points[point] - (ends[:, 2:] + ends[:, :2]) / 2
    length = np.hypot(way[:, 0], way[:, 1])
    along = (to * way).sum(axis=1) / np.where(length > 0, length, 1.0)
    on = np.flatnonzero(
        (off_lines(points[point], ends) <= ON_SIDE) & (np.abs(along) <= length / 2 + ON_SIDE) & (length > 0)
    )
    on = on[np.lexsort((side[on], point[on]))]
    return point[on], side[on], np.clip(along[on] / length[on] + 0.5, 0.0, 1.0)


def chains_along(points: Floats, starts: Ints, sides: Floats, owner: Ints) -> Ints:
    """Return the pairs (chain, owner) of which the one lies wholly on sides of the other, ascending.

    Args:
        points: (n, 2) in squares, the corners of contours; the middles of their edges lie on sides, too.
        starts: where each chain starts, and the end of the last.
        sides: (sides, 4) from where to where.
        owner: (sides,) what each belongs to.
    """
    chain = np.tile(np.repeat(np.arange(len(starts) - 1), np.diff(starts)), 2)
    count = int(owner.max(initial=0)) + 1
    point, side, _ = points_on(np.concatenate([points, middles_of(edges_of(points, starts))]), sides)
    point, of_point = np.divmod(distinct(point * count + owner[side]), count)
    pairs, on = np.unique(chain[point] * count + of_point, return_counts=True)
    whole = pairs[on == 2 * np.diff(starts)[pairs // count]]
    return np.stack(np.divmod(whole, count), axis=1)


def off_lines(points: Floats, sides: Floats) -> Floats:
    """Return (n,) how far points lie off the lines through a side each, in squares."""
    way, to = sides[:, 2:] - sides[:, :2], points - (sides[:, 2:] + sides[:, :2]) / 2
    length = np.hypot(way[:, 0], way[:, 1])
    return np.asarray(np.abs(to[:, 1] * way[:, 0] - to[:, 0] * way[:, 1]) / np.where(length > 0, length, 1.0))


def _near(points: Floats, sides: Floats) -> tuple[Ints, Ints]:
    """Return points and the sides that they could lie on: those that come near in the same row of squares."""
    lower, higher = (
        sides[:, [1, 3]].min(axis=1, initial=np.inf),
        sides[:, [1, 3]].max(axis=1, initial=-np.inf),
    )
    first, last = np.floor(lower - ON_SIDE).astype(np.int64), np.floor(higher + ON_SIDE).astype(np.int64)
    own = np.repeat(np.arange(len(sides)), last - first + 1)
    row = spread(first, last - first + 1)
    # where each side runs within a row
    (x0, y0, x1, y1), wide = sides[own].T, np.abs(sides[own, 2] - sides[own, 0])
    steep = np.abs(y1 - y0) > ON_SIDE
    share = np.where(steep, (x1 - x0) / np.where(steep, y1 - y0, 1.0), 0.0)
    ends = [x0 + share * (np.clip(row + k, np.minimum(y0, y1), np.maximum(y0, y1)) - y0) for k in (0, 1)]
    room = np.where(steep, np.abs(share) * ON_SIDE, wide) + 2 * ON_SIDE
    # points by row and place; whole numbers sort faster
    corner = np.floor([points[:, axis].min(initial=0.0) for axis in (0, 1)])
    place = np.floor((points[:, 0] - corner[0]) * _PLACES).astype(np.int64)
    at_row = (np.floor(points[:, 1]) - corner[1]).astype(np.int64)
    order, scale = in_order(at_row, place), int(place.max(initial=0)) + 2
    key, begin = (at_row * scale + place)[order], (row - int(corner[1])) * scale
    lower, higher = (
        np.clip(np.floor((x - corner[0]) * _PLACES), -1, scale - 1).astype(np.int64)
        for x in (np.minimum(*ends) - room, np.maximum(*ends) + room)
    )
    low = np.searchsorted(key, begin + np.maximum(lower, 0))
    high = np.searchsorted(key, begin + higher, side="right")
    return order[spread(low, high - low)], np.repeat(own, high - low)


def within(part: Floats, length: Floats) -> Bools:
    """Return which points, so far along sides of a length in squares, do not lie at their ends."""
    return np.minimum(part, 1 - part) * length > ON_SIDE


def ending_twice(count: int, on: tuple[Ints, Ints, Floats], sides: Floats) -> Bools:
    """Return (count,) at which points several sides end.

    Args:
        count: how many points there are.
        on: which of them lie on which sides, as `points_on` gives it.
        sides: (sides, 4) from where to where.
    """
    point, side, part = on
    length = np.hypot(*(sides[side, 2:] - sides[side, :2]).T)
    return np.bincount(point[~within(part, length)], minlength=count) > 1


def carried_on(on: tuple[Ints, Ints, Floats], ways: Floats, sides: Floats, ends: Floats) -> Floats:
    """Return the ways of points, those within straight sides between the ways of the ends of these.

    Of several sides the longest decides, of equals their mean.

    Args:
        on: which points lie on which sides, as `points_on` gives it.
        ways: (n, 2) where each would go.
        sides: (sides, 4) from where to where.
        ends: (sides, 4) the ways of their ends.
    """
    row, side, part, own = _carriers(on, sides)
    if not len(own):
        return ways
    result = ways.copy()
    result[own] = _means(row, (1 - part) * ends[side, :2] + part * ends[side, 2:])
    return result


def _carriers(on: tuple[Ints, Ints, Floats], sides: Floats) -> tuple[Ints, Ints, Floats, Ints]:
    """Return rows, the longest sides that points lie within, how far along; and which point each row is."""
    point, side, part = on
    length = np.hypot(*(sides[side, 2:] - sides[side, :2]).T)
    inner = within(part, length)
    point, side, part, length = point[inner], side[inner], part[inner, None], length[inner]
    own, row = numbered(point)
    longest = np.zeros(len(own))
    np.maximum.at(longest, row, length)
    kept = length == longest[row]
    return row[kept], side[kept], part[kept], own


def _means(row: Ints, ways: Floats) -> Floats:
    """Return the mean of the ways of each row."""
    return np.stack([np.bincount(row, w) for w in ways.T], axis=1) / np.bincount(row)[:, None]


def slid(
    points: Floats,
    on: tuple[Ints, Ints, Floats],
    ways: Floats,
    warped: Floats,
    *,
    level: Floats,
    sides: Floats,
    ends: Floats,
    farthest: float,
) -> Floats:
    """Return the ways of points on straight sides, slid along where they end a long level side.

    Such a side stays straight: its ends lie as high, or as far to the right, as they would by themselves.
    Where two of them meet in a corner that is where it would lie.

    Args:
        points: (n, 2) in squares.
        on: which of them lie on which straight sides, as `points_on` gives it.
        ways: (n, 2) where they go with these.
        warped: (n, 2) where they go by themselves.
        level: (m, 4) sides along the grid, from where to where.
        sides: (sides, 4) the straight sides.
        ends: (sides, 4) the ways of their ends.
        farthest: how far sides may move; what slides along them, SLIDE times as far in all.
    """
    row, side, _, own = _carriers(on, sides)
    if not len(own):
        return ways
    ending = on_long(len(own), points_on(points[own], level), level)
    slipping = _along_one(ending)
    way = sides[side, 2:] + ends[side, 2:] - sides[side, :2] - ends[side, :2]
    result = ways.copy()
    for axis in (0, 1):
        # what slides across is put back along the other axis, by as much of the slanted side as that takes
        rises = np.abs(way[:, 1 - axis]) > ON_SIDE
        share = (warped - ways)[own[row], 1 - axis] / np.where(rises, way[:, 1 - axis], 1.0)
        goes = ways[own[row], axis] + share * way[:, axis]
        slides = slipping[row, axis] & rises & (np.abs(goes) <= SLIDE * farthest)
        result[own] += _means(row, np.where(slides, share, 0.0)[:, None] * way)
    stays = own[ending.all(axis=1)]
    result[stays] = warped[stays]
    return result


def sliding(count: int, on: tuple[Ints, Ints, Floats], sides: Floats) -> Bools:
    """Return (count, 2) along which axis points slide on long sides along the grid; not where these cross.

    Args:
        count: of points.
        on: which points lie on which sides, as `points_on` gives it.
        sides: (n, 4) from where to where; slanted ones are passed over.
    """
    return _along_one(on_long(count, on, sides))


def on_long(count: int, on: tuple[Ints, Ints, Floats], sides: Floats) -> Bools:
    """Return (count, 2) along which axes points lie on long sides along the grid; as for `sliding`."""
    point, side, _ = on
    way = np.abs(sides[side, 2:] - sides[side, :2])
    is_long = (way.max(axis=1) >= LONG) & (way.min(axis=1) <= ON_SIDE)
    result = np.zeros((count, 2), np.bool_)
    result[point[is_long], way[is_long].argmax(axis=1)] = True
    return result


def _along_one(axes: Bools) -> Bools:
    return np.asarray(axes & ~axes.all(axis=1, keepdims=True))


def meeting(row: Ints, normal: Floats, way: Floats, count: int) -> tuple[Floats, Bools]:
    """Return (count, 2) where points go that lie on lines which move, and whether any of their lines cross.

    They go to where all their lines meet, or nearly.

    Args:
        row: (n,) which point lies on each line.
        normal: (n, 2) across it, of length one.
        way: (n,) how far it moves along that.
        count: of points.
    """
    xx, xy, yy, x, y = (
        np.bincount(row, part, count)
        for part in (
            normal[:, 0] ** 2,
            normal[:, 0] * normal[:, 1],
            normal[:, 1] ** 2,
            normal[:, 0] * way,
            normal[:, 1] * way,
        )
    )
    area = xx * yy - xy * xy
    crossing = area > PARALLEL
    # the least squares: for crossing lines, and for parallel ones straight across
    both = np.stack([x * yy - y * xy, y * xx - x * xy], axis=1) / np.where(crossing, area, 1.0)[:, None]
    straight = np.stack([x, y], axis=1) / np.maximum(xx + yy, 1.0)[:, None]
    return np.where(crossing[:, None], both, straight), crossing


def slipped(ways: Floats, shift: Floats, normal: Floats, most: Floats | float) -> Floats:
    """Return the ways of points slipped along their lines, by SLIP at most, to move no farther in all.

    Args:
        ways: (n, 2) where each would go.
        shift: (n, 2) how far it has moved already.
        normal: (n, 2) across its line, of length one.
        most: how far it may move in either direction.
    """
    along = np.stack([-normal[:, 1], normal[:, 0]], axis=1)
    total = shift + ways
    runs = np.abs(along) > SLIP  # what hardly runs in a direction cannot come nearer in it
    one, other = ((bound - total) / np.where(runs, along, 1.0) for bound in (-most, most))
    low = np.where(runs, np.minimum(one, other), -np.inf).max(axis=1)
    high = np.where(runs, np.maximum(one, other), np.inf).min(axis=1)
    slip = np.clip(0.0, low, high)
    helps = (low <= high) & (np.abs(slip) <= SLIP)
    return np.asarray(ways + np.where(helps, slip, 0.0)[:, None] * along)
