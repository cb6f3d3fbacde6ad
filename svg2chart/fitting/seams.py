"""Outlines of shapes that lie side by side in one colour, joined where nobody sees them.

+----+----+      +---------+     an edge that two shapes share is left out, and what is left
|    |    |      |         |     of their outlines is one: a side that both have a part in is
+----+----+      +---------+     one side, as it is seen
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.carrying import as_numbers
from svg2chart.fitting.slants import corners, neighbours
from svg2chart.geometry.polygon import FillRule, Polygon
from svg2chart.runs import linked, spread

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

ROUNDED = 1e-6
"""What areas may be off, in squares, as sums are rounded otherwise in another order."""


def contours_of(polygons: Sequence[Polygon]) -> tuple[Floats, Ints]:
    """Return the corners of all contours, and where each starts."""
    points = np.concatenate([np.zeros((0, 2)), *(polygon.points for polygon in polygons)])
    counts = np.concatenate([np.zeros(0, np.int64), *(np.diff(polygon.starts) for polygon in polygons)])
    kept, starts = corners(points, np.concatenate([[0], np.cumsum(counts)]))
    return points[kept], starts


def owners_of(polygons: Sequence[Polygon]) -> Ints:
    """Return the polygon that each contour is of, as `contours_of` has them."""
    return np.repeat(np.arange(len(polygons)), [len(polygon.starts) - 1 for polygon in polygons])


def seamless_contours(polygons: Sequence[Polygon], looks: Ints) -> tuple[Floats, Ints]:
    """Return the same, but for the seams between what lies side by side.

    Args:
        polygons: in squares.
        looks: (polygons,) equal for those of one colour that let nothing through, negative for others.
    """
    points, starts = contours_of(polygons)
    chosen = _may_have_seams(polygons, looks)[owners_of(polygons)]
    own, owner = _taken(points, starts, np.flatnonzero(chosen)), owners_of(polygons)[chosen]
    if not _share_points(points[own[0]], np.repeat(owner, np.diff(own[1]))):
        return points, starts
    others, other_starts = _taken(points, starts, np.flatnonzero(~chosen))
    joined, counts = _joined(points[own[0]], own[1], owner, looks)
    points = np.concatenate([points[others], joined])
    starts = np.concatenate([[0], np.cumsum(np.concatenate([np.diff(other_starts), counts]))])
    kept, starts = corners(points, starts)
    return points[kept], starts


def side_by_side(polygons: Sequence[Polygon], looks: Ints) -> Ints:
    """Return for each polygon the first of those that it is one with: seams lead from one to the next.

    Args:
        polygons: in squares.
        looks: as for `seamless_contours`.
    """
    points, starts = contours_of(polygons)
    chosen = _may_have_seams(polygons, looks)[owners_of(polygons)]
    own, owner = _taken(points, starts, np.flatnonzero(chosen)), owners_of(polygons)[chosen]
    edges = _edges(points[own[0]], own[1], owner, looks)
    one = np.flatnonzero(edges.partner >= 0)
    return linked(edges.polygon[one], edges.polygon[edges.partner[one]], len(polygons))


def _may_have_seams(polygons: Sequence[Polygon], looks: Ints) -> Bools:
    """Return which polygons are not the only ones of their look."""
    return _are_plain(polygons) & (looks >= 0) & (np.bincount(looks + 1)[looks + 1] > 1)


def _are_plain(polygons: Sequence[Polygon]) -> Bools:
    """Return of which polygons the direction of an edge tells on which side of it they lie.

    Where lobes that turn both ways are equally large, none is the right way round.
    """
    even_odd = [polygon.rule is FillRule.EVENODD and len(polygon.starts) > 2 for polygon in polygons]
    turns = [polygon.area() > ROUNDED for polygon in polygons]
    return ~np.array(even_odd, np.bool_) & np.array(turns, np.bool_)


def _taken(points: Floats, starts: Ints, contours: Ints) -> tuple[Ints, Ints]:
    """Return which points some contours have, and where each of these starts among them."""
    counts = np.diff(starts)[contours]
    return spread(starts[contours], counts), np.concatenate([[0], np.cumsum(counts)])


def _share_points(points: Floats, owner: Ints) -> bool:
    """Return whether any two points of different polygons lie at one place."""
    place = as_numbers(points)
    order = np.argsort(place, kind="stable")
    one, other = order[:-1], order[1:]
    return bool(((place[one] == place[other]) & (owner[one] != owner[other])).any())


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Edges:
    """Edges of contours, all polygons the same way round, (n,) each.

    polygon: that each is of. tail: the point that it begins at. after: the edge that follows.
    partner: the edge that lies on it the other way in another polygon of its look, or -1.
    """

    polygon: Ints
    tail: Ints
    after: Ints
    partner: Ints


def _edges(points: Floats, starts: Ints, owner: Ints, looks: Ints) -> _Edges:
    contour = np.repeat(np.arange(len(owner)), np.diff(starts))
    polygon = owner[contour]
    to, before = neighbours(contour)
    across = points[:, 0] * points[to, 1] - points[:, 1] * points[to, 0]
    turned = (np.bincount(polygon, across, len(looks)) < 0)[polygon]
    tail, head = np.where(turned, to, np.arange(len(to))), np.where(turned, np.arange(len(to)), to)
    place = np.unique(as_numbers(points), return_inverse=True)[1].ravel()
    partner = _partners(place[tail], place[head], looks[polygon], polygon)
    return _Edges(polygon=polygon, tail=tail, after=np.where(turned, before, to), partner=partner)


def _joined(points: Floats, starts: Ints, owner: Ints, looks: Ints) -> tuple[Floats, Ints]:
    """Return points of contours without the edges that two polygons share, and how many each contour has."""
    edges = _edges(points, starts, owner, looks)
    gone, after = edges.partner >= 0, edges.after
    while (over := gone[after] & ~gone).any():
        after = np.where(over, edges.after[edges.partner[after]], after)
    walk, counts = _walked(after, ~gone)
    return points[edges.tail[walk]], counts


def _partners(tail: Ints, head: Ints, look: Ints, polygon: Ints) -> Ints:
    """Return for each edge the one that lies on it the other way in another polygon of its look, or -1."""
    count = int(tail.max(initial=0)) + 1
    key, wanted = ((look * count + one) * count + other for one, other in ((tail, head), (head, tail)))
    order = np.argsort(key, kind="stable")
    ordered = key[order]
    low = np.searchsorted(ordered, wanted)
    once = np.searchsorted(ordered, wanted, side="right") == low + 1
    found = order[np.minimum(low, len(order) - 1)]
    mutual = once & once[found] & (polygon[found] != polygon)
    return np.where(mutual, found, -1)


def _walked(after: Ints, left: Bools) -> tuple[Ints, Ints]:
    """Return the edges that are left, contour by contour, and how many each contour has."""
    following, waiting = after.tolist(), left.tolist()
    walk: list[int] = []
    counts = []
    for edge in np.flatnonzero(left).tolist():
        begun = len(walk)
        while waiting[edge]:
            waiting[edge] = False
            walk.append(edge)
            edge = following[edge]
        if len(walk) > begun:
            counts.append(len(walk) - begun)
    return np.array(walk, np.int64), np.array(counts, np.int64)
