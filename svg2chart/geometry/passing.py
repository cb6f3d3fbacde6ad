r"""How one outline passes beneath a convex one that lies over it.

A straight line, or one that goes far in, does: wherever the upper outline lies, it hides some of it, and what
it shows goes together. What turns just beneath the rim does not: moved away, the upper outline would show its
end, and a gap.

      beneath     __/    \__          not     /    \__
                    \____/                    \____/
"""

import numpy as np
import shapely
from numpy.typing import NDArray

from svg2chart.geometry.boxes import boxes_of, middles_of
from svg2chart.runs import numbered, spread

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Shapes = NDArray[np.object_]

STRAIGHT = 1 / 4
"""What lies no farther off a straight line than this, in squares, comes out as if it were. Our choice, no
source."""

OUTSIDE = 3 / 8
"""So far beside an outline, in squares, what passes beneath is looked at, more than STRAIGHT. Our choice, no
source."""

ALONG = 1 / 16
"""What goes no farther in, in squares, may have been drawn along the outline. Our choice, no source."""

STILL_UNDER = 1 / 2
"""So much of what passes beneath stays hidden, in squares: less could come out as a gap. Our choice, no
source."""

STEP = 1 / 8
"""What goes beneath is measured at places so far apart, in squares."""

FINE = 2.0**-20
"""What ends so near to an outline, in squares, was cut off there; lengths are weighed in such steps."""


def pass_beneath(points: Array, starts: Ints, upper: Ints, lower: Ints, *, reach: float) -> Bools:
    """Return which contours pass beneath convex ones that may be moved.

    Time grows with pairs and with the corners of their contours.

    Args:
        points: (n, 2) the corners of all contours, in squares.
        starts: where each contour starts, and the end of the last.
        upper: (pairs,) convex contours.
        lower: (pairs,) others, of three corners or more each.
        reach: how far the upper ones may be moved against the lower ones, in squares.
    """
    uppers, above = numbered(upper)
    lowers, below = numbered(lower)
    inner, whole, outer = (_grown(*_some(points, starts, uppers), more) for more in (-reach, 0.0, OUTSIDE))
    is_deep = ~shapely.is_empty(inner)
    rims = outer.copy()
    rims[is_deep] = shapely.difference(outer[is_deep], inner[is_deep])
    rings = _rings(*_some(points, starts, lowers))
    parts, pair = shapely.get_parts(
        shapely.line_merge(shapely.intersection(rings[below], rims[above])), return_index=True
    )
    inside = shapely.intersection(parts, whole[above[pair]])
    is_under = shapely.length(inside) > FINE
    parts, pair, inside = parts[is_under], pair[is_under], inside[is_under]
    own = above[pair]
    goes_on = _lead_in(parts, inner[own], outer[own])
    straight = np.flatnonzero(~goes_on & _are_straight(parts))
    goes_on[straight] = _depths(inside[straight], whole[own[straight]]) > ALONG
    total, count = np.bincount(pair, minlength=len(upper)), np.bincount(pair, goes_on, len(upper))
    return np.asarray((total > 0) & (count == total))


def stay_over(corners: Array, of_corner: Ints, edges: Array, of_edge: Ints, over: Ints) -> Bools:
    """Return which lines still pass well beneath convex outlines, where both have been moved.

    Args:
        corners: (n, 2) of convex outlines, in squares.
        of_corner: (n,) the outline that each is of, from 0.
        edges: (m, 4) pieces of lines, in squares.
        of_edge: (m,) the line that each is of, ascending from 0.
        over: (lines,) the outline that lies over each.
    """
    order = np.argsort(of_corner, kind="stable")
    hulls = shapely.convex_hull(shapely.multipoints(corners[order], indices=of_corner[order]))
    lines = shapely.multilinestrings(shapely.linestrings(edges.reshape(-1, 2, 2)), indices=of_edge)
    return np.asarray(_rounded(shapely.length(shapely.intersection(lines, hulls[over]))) >= STILL_UNDER)


def _some(points: Array, starts: Ints, own: Ints) -> tuple[Array, Ints]:
    """Return the corners of some contours, and where each starts."""
    counts = np.diff(starts)[own]
    return points[spread(starts[own], counts)], np.concatenate([[0], np.cumsum(counts)])


def _rings(points: Array, starts: Ints) -> Shapes:
    index = np.repeat(np.arange(len(starts) - 1), np.diff(starts))
    return np.asarray(shapely.linearrings(points, indices=index))


def _grown(points: Array, starts: Ints, more: float) -> Shapes:
    """Return what contours bound with the sides of their boxes so much farther out; of nothing, nothing."""
    boxes, counts = boxes_of(points, starts), np.diff(starts)
    size, middle = boxes[:, 2:] - boxes[:, :2], np.repeat(middles_of(boxes), counts, axis=0)
    scale = np.maximum(size + 2 * more, 0.0) / size
    result = shapely.polygons(_rings(middle + (points - middle) * np.repeat(scale, counts, axis=0), starts))
    return np.asarray(np.where((scale > 0).all(axis=1), result, shapely.Polygon()))


def _lead_in(parts: Shapes, inner: Shapes, outer: Shapes) -> Bools:
    """Return which parts lead from the outer outline to the inner one."""
    ends = shapely.get_point(parts, 0), shapely.get_point(parts, -1)
    (begin_in, end_in), (begin_out, end_out) = (
        # of what is empty there is no distance
        [shapely.distance(end, shapely.get_exterior_ring(each)) <= FINE for end in ends]
        for each in (inner, outer)
    )
    return np.asarray((begin_in & end_out) | (begin_out & end_in))


def _are_straight(parts: Shapes) -> Bools:
    places, part = shapely.get_coordinates(parts, return_index=True)
    ends = np.stack([shapely.get_coordinates(shapely.get_point(parts, end)) for end in (0, -1)], axis=1)
    off = shapely.distance(shapely.points(places), shapely.linestrings(ends)[part])
    return _rounded(_greatest(off, part, len(parts))) <= STRAIGHT


def _depths(inside: Shapes, whole: Shapes) -> Array:
    """Return how far lines go into what they lie in each."""
    places, part = shapely.get_coordinates(shapely.segmentize(inside, STEP), return_index=True)
    deep = shapely.distance(shapely.points(places), shapely.get_exterior_ring(whole)[part])
    return _rounded(_greatest(deep, part, len(inside)))


def _greatest(values: Array, group: Ints, count: int) -> Array:
    result = np.zeros(count)
    np.maximum.at(result, group, values)
    return result


def _rounded(values: Array) -> Array:
    return np.asarray(np.rint(values / FINE) * FINE)
