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

Array = NDArray[np.float64]

STRAIGHT = 1 / 4
"""What lies no farther off a straight line than this, in squares, comes out as if it were. Our choice, no
source."""

OUTSIDE = 3 / 8
"""So far beside an outline, in squares, what passes beneath is looked at, more than STRAIGHT. Our choice, no
source."""

ALONG = 1 / 16
"""What goes no farther in, in squares, may have been drawn along the outline. Our choice, no source."""

STEP = 1 / 8
"""What goes beneath is measured at places so far apart, in squares."""

AT_OUTLINE = 2.0**-20
"""What ends so near to an outline, in squares, was cut off there."""


def passes_beneath(lower: Array, upper: Array, *, reach: float) -> bool:
    """Return whether a contour passes beneath a convex one that may be moved.

    Args:
        lower: (n, 2) its corners, in squares.
        upper: (m, 2) those of the convex one.
        reach: how far this may be moved against the lower one, in squares.
    """
    inner, outer = _scaled(upper, -reach), _scaled(upper, OUTSIDE)
    rim = shapely.Polygon(outer)
    if (np.ptp(upper, axis=0) > 2 * reach).all():
        rim = rim.difference(shapely.Polygon(inner))
    whole = shapely.Polygon(upper)
    parts = shapely.get_parts(shapely.line_merge(shapely.LinearRing(lower).intersection(rim)))
    parts = parts[shapely.length(shapely.intersection(parts, whole)) > 0]
    return len(parts) > 0 and all(
        _leads_in(part, outer) or (_is_straight(part) and _depth(part, whole) > ALONG) for part in parts
    )


def _scaled(contour: Array, more: float) -> Array:
    """Return a contour with the sides of its box so much farther out."""
    box = boxes_of(contour, np.array([0, len(contour)]))
    size, middle = (box[:, 2:] - box[:, :2])[0], middles_of(box)[0]
    return np.asarray(middle + (contour - middle) * ((size + 2 * more) / size))


def _leads_in(part: shapely.Geometry, outer: Array) -> bool:
    """Return whether one end alone lies on the outer outline."""
    ends = shapely.points(shapely.get_coordinates(part)[[0, -1]])
    return bool((shapely.distance(ends, shapely.LinearRing(outer)) <= AT_OUTLINE).sum() == 1)


def _is_straight(part: shapely.Geometry) -> bool:
    points = shapely.get_coordinates(part)
    chord = shapely.LineString(points[[0, -1]])
    return bool(shapely.distance(shapely.points(points), chord).max() <= STRAIGHT)


def _depth(part: shapely.Geometry, whole: shapely.Polygon) -> float:
    """Return how far a part of an outline goes into a polygon."""
    points = shapely.get_coordinates(shapely.segmentize(shapely.intersection(part, whole), STEP))
    return float(shapely.distance(shapely.points(points), whole.exterior).max())
