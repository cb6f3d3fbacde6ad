"""Where edges meet, and which points lie near which edges."""

from fractions import Fraction

import numpy as np
import shapely
from numpy.typing import NDArray

from svg2chart.geometry.boxes import boxes_around, grown, within_box
from svg2chart.runs import numbered

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

TIE = 2.0**-21
"""Half a step of the lattice of points, in squares: what lies just so far off is near however drawn."""

A_LENGTH = 2.0**-30
"""Lines of no length are made so long, in squares, until GEOS finds distances from what is prepared to them;
3.14.1 does not."""


def meeting_edges(edges: Array) -> Ints:
    """Return the pairs of edges that cross or touch, (n, 2) ascending; edges are (m, 4): start and end."""
    drawn = _lines(edges)
    pairs = shapely.STRtree(drawn).query(drawn, predicate="intersects").T
    pairs = pairs[pairs[:, 0] < pairs[:, 1]]
    return _ascending(pairs)


def near_edges(points: Array, edges: Array, *, reach: float) -> Ints:
    """Return the pairs (point, edge) no farther apart than `reach`, (n, 2) ascending."""
    if not len(points) or not len(edges):
        return np.zeros((0, 2), np.int64)
    found = shapely.STRtree(_lines(edges)).query(shapely.points(points), predicate="dwithin", distance=reach)
    pairs = found.T
    return _ascending(pairs)


def edges_in_boxes(edges: Array, boxes: Array) -> Ints:
    """Return the pairs (box, edge) that share a point, (n, 2) ascending; boxes are (m, 4)."""
    if not len(edges) or not len(boxes):
        return np.zeros((0, 2), np.int64)
    # making lines costs most
    near = np.flatnonzero(_come_near(edges, boxes))
    found = shapely.STRtree(_lines(edges[near])).query(shapely.box(*boxes.T), predicate="intersects")
    pairs = np.stack([found[0], near[found[1]]], axis=1)
    return _ascending(pairs)


def cut_to_boxes(edges: Array, boxes: Array) -> Array:
    """Return the parts of edges that lie in a box each; all have one."""
    low, high = (part[:, None] for part in parts_in_boxes(edges, boxes))
    start, way = edges[:, :2], edges[:, 2:] - edges[:, :2]
    return np.concatenate([start + low * way, start + np.maximum(low, high) * way], axis=1)


def parts_in_boxes(edges: Array, boxes: Array) -> tuple[Array, Array]:
    """Return from where to where edges lie in a box each, from 0 to 1; nowhere if that is backwards."""
    start, way = edges[:, :2], edges[:, 2:] - edges[:, :2]
    runs = way != 0
    one, other = ((bound - start) / np.where(runs, way, 1.0) for bound in (boxes[:, :2], boxes[:, 2:]))
    inside = (start >= boxes[:, :2]) & (start <= boxes[:, 2:])
    low = np.where(runs, np.minimum(one, other), np.where(inside, 0.0, 2.0))
    high = np.where(runs, np.maximum(one, other), 1.0)
    return low.max(axis=1, initial=0.0), high.min(axis=1, initial=1.0)


def _come_near(edges: Array, boxes: Array) -> NDArray[np.bool_]:
    """Return which edges have a box around them that meets a unit square which any of the boxes reaches."""
    corner = np.floor(boxes[:, :2].min(axis=0)).astype(np.int64)
    size = np.floor(boxes[:, 2:].max(axis=0)).astype(np.int64) - corner + 1
    low, high = (np.floor(part).astype(np.int64) - corner for part in (boxes[:, :2], boxes[:, 2:]))
    # how often each unit square is reached, from what begins and ends in each; then sums of all before
    steps = np.zeros(size + 1, np.int64)
    for x, y, step in ((low, low, 1), (high + 1, high + 1, 1), (low, high + 1, -1), (high + 1, low, -1)):
        np.add.at(steps, (x[:, 0], y[:, 1]), step)
    reached = steps.cumsum(axis=0).cumsum(axis=1)[:-1, :-1] > 0
    sums = np.zeros(size + 1, np.int64)
    sums[1:, 1:] = reached.cumsum(axis=0).cumsum(axis=1)
    least, most = (np.floor(end).astype(np.int64) - corner for end in _reach_of(edges))
    (left, top), (right, bottom) = np.clip(least, 0, size).T, np.clip(most + 1, 0, size).T
    return np.asarray(sums[right, bottom] + sums[left, top] > sums[left, bottom] + sums[right, top])


def near_outlines(parts: Array, shape: Ints, edges: Array, owner: Ints, room: Array) -> NDArray[np.bool_]:
    """Return which parts of edges lie so near to the outline of their shape each.

    Args:
        parts: (n, 4) of edges.
        shape: (n,) the shape that each may be near to.
        edges: (edges, 4) of shapes; short ones where these are round.
        owner: (edges,) the shape of each.
        room: (n,) how near, in squares, along a straight line; what is just so far off is near.

    Memory grows with parts and edges, not with their pairs.
    """
    count = int(max(owner.max(initial=-1), shape.max(initial=-1))) + 1
    around = boxes_around(*_reach_of(edges), owner, count)[shape]
    low, high = _reach_of(parts)
    reach = room[:, None]
    result = np.asarray(((low <= around[:, 2:] + reach) & (high >= around[:, :2] - reach)).all(axis=1))
    # making lines costs most
    some = np.flatnonzero(result)
    own = np.flatnonzero(np.isin(owner, shape[some]))
    own = own[np.argsort(owner[own], kind="stable")]
    shapes, number = numbered(owner[own])
    outlines = shapely.multilinestrings(_lines(_with_length(edges[own])), indices=number)
    shapely.prepare(outlines)
    of_part = outlines[np.searchsorted(shapes, shape[some])]
    result[some] = shapely.dwithin(of_part, _lines(_with_length(parts[some])), room[some] + TIE)
    return result


def near_hulls(points: Array, shape: Ints, corners: Array, owner: Ints, *, reach: float) -> NDArray[np.bool_]:
    """Return which points lie within the hull of their shape each, or no farther from it than this.

    Args:
        points: (n, 2) in squares.
        shape: (n,) the shape of each, which has corners.
        corners: (m, 2) of shapes.
        owner: (m,) the shape of each.
        reach: in squares.
    """
    shapes, number = numbered(owner)
    order = np.argsort(number, kind="stable")
    hulls = shapely.convex_hull(shapely.multipoints(corners[order], indices=number[order]))
    shapely.prepare(hulls)
    of_point = hulls[np.searchsorted(shapes, shape)]
    return np.asarray(shapely.dwithin(of_point, shapely.points(points), reach + TIE))


def near_points(points: Array, *, reach: float) -> Ints:
    """Return the pairs of points no farther apart than `reach`, (n, 2) ascending, the lower number first."""
    if not len(points):
        return np.zeros((0, 2), np.int64)
    drawn = shapely.points(points)
    pairs = shapely.STRtree(drawn).query(drawn, predicate="dwithin", distance=reach).T
    pairs = pairs[pairs[:, 0] < pairs[:, 1]]
    return _ascending(pairs)


def boxes_in_boxes(inner: Array, outer: Array) -> Ints:
    """Return the pairs of boxes (inner, outer) of which one lies within the other, (n, 2) ascending.

    Args:
        inner: (m, 4) left, top, right, bottom; infinite ones lie nowhere.
        outer: (k, 4) the same.
    """
    some = np.flatnonzero(np.isfinite(inner).all(axis=1))
    if not len(some) or not len(outer):
        return np.zeros((0, 2), np.int64)
    one, other = shapely.STRtree(shapely.box(*outer.T)).query(shapely.points(inner[some, :2]))
    one = some[one]
    within = within_box(inner[one], outer[other])
    pairs = np.stack([one[within], other[within]], axis=1)
    return _ascending(pairs)


def overlapping_boxes(boxes: Array) -> Ints:
    """Return the pairs of boxes, (m, 4), that share a part and not the whole of either.

    (n, 2) ascending, each pair both ways.
    """
    if not len(boxes):
        return np.zeros((0, 2), np.int64)
    drawn = shapely.box(*boxes.T)
    pairs = shapely.STRtree(drawn).query(drawn, predicate="overlaps").T
    return _ascending(pairs)


def near_boxes(boxes: Array, *, reach: float) -> Ints:
    """Return the pairs of boxes, (m, 4), no farther apart than `reach`, (n, 2) ascending, each both ways."""
    if not len(boxes):
        return np.zeros((0, 2), np.int64)
    one, other = shapely.STRtree(shapely.box(*boxes.T)).query(shapely.box(*grown(boxes, reach).T))
    apart = np.maximum(boxes[one, :2] - boxes[other, 2:], boxes[other, :2] - boxes[one, 2:])
    is_near = (np.maximum(apart, 0.0) ** 2).sum(axis=1) <= reach**2
    return _ascending(np.stack([one, other], axis=1)[is_near & (one != other)])


def nearest_points(points: Array, others: Array, *, reach: float) -> Ints:
    """Return for each point the nearest of others, the first of equals; -1 where none is within reach."""
    found, away = shapely.STRtree(shapely.points(others)).query_nearest(
        shapely.points(points), max_distance=reach, return_distance=True, all_matches=True
    )
    result = np.full(len(points), -1, np.int64)
    order = np.lexsort((found[1], away, found[0]))[::-1]
    result[found[0][order]] = found[1][order]
    return result


def feet(points: Array, edges: Array) -> Array:
    """Return for each point how far along its edge the nearest point lies, 0 to 1; (n, 2) and (n, 4)."""
    start, way = edges[:, :2], edges[:, 2:] - edges[:, :2]
    squared = (way**2).sum(axis=1)
    along = ((points - start) * way).sum(axis=1)
    return np.asarray(np.clip(along / np.where(squared > 0, squared, 1.0), 0.0, 1.0))


def crossing(one: Array, other: Array) -> Fraction | None:
    """Return how far along the first edge the second's line crosses it, exactly; None for parallel edges."""
    ax, ay, bx, by = (Fraction(float(value)) for value in one)
    cx, cy, dx, dy = (Fraction(float(value)) for value in other)
    turn = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx)
    if turn == 0:
        return None
    return ((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx)) / turn


def _ascending(pairs: Ints) -> Ints:
    return np.asarray(pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))], dtype=np.int64)


def _lines(edges: Array) -> NDArray[np.object_]:
    return np.asarray(shapely.linestrings(edges.reshape(-1, 2, 2)))


def _with_length(edges: Array) -> Array:
    """Return edges, those of no length as long as A_LENGTH."""
    is_point = (edges[:, :2] == edges[:, 2:]).all(axis=1)
    return np.asarray(edges + np.where(is_point[:, None], [0.0, 0.0, A_LENGTH, 0.0], 0.0))


def _reach_of(edges: Array) -> tuple[Array, Array]:
    """Return (n, 2) the least x and y of each edge, and the greatest."""
    return np.minimum(edges[:, :2], edges[:, 2:]), np.maximum(edges[:, :2], edges[:, 2:])
