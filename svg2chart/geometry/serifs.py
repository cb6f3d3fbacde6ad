"""Letters without their serifs: each stroke runs straight on to where it ends.

1. Strokes have straight sides, upright or slanted.
2. A side that runs on through ink for a little, to where there is no more of it, has come to a serif.
3. What lies there beyond the side is the serif, if it reaches not far and goes on neither up nor down.
"""

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity

from svg2chart.geometry.cut import box_of, polygon_of, region_of, snap_of
from svg2chart.geometry.polygon import Polygon

Array = NDArray[np.float64]

# parts of a capital's height unless it is said; our own choice, measured on serif and slab fonts
_SIDE = 0.1
"""The straight side of a stroke is at least so long."""
_STEEP = 1.2
"""It leans by so much at the most: across by height."""
_STRAIGHT = 0.02
"""Pieces of one side turn by less than this angle, in radians."""
_HIGH = 0.2
"""A serif is no higher, with the curve that leads to it."""
_FAR = 0.25
"""It sticks out no farther: what does is an arm."""
_BEYOND = 0.08
"""There is no ink so far beyond the end of a stroke."""
_WITHIN = 0.05
"""A stroke has ink so far from its side."""
_BACK = 0.02
"""So far before the serif there is none beside the stroke."""
_TRACE = 0.02
"""Ink that is less wide is none."""
_NEAR = 1e-6
"""What is nearer touches, but for rounding."""


def without_serifs(polygon: Polygon, *, capital: float) -> Polygon:
    """Return a letter without the serifs of its stems, slants and arms; itself if it has none.

    Args:
        polygon: the letter, without overlaps.
        capital: how high the capitals of its font are.
    """
    box = box_of(polygon)
    if box is None:
        return polygon
    region = region_of(polygon, snap_of(box))
    found = _turned(_without_feet(_turned(_without_feet(region, capital)), capital))
    return polygon if shapely.equals(found, region) else polygon_of(found)


def _turned(region: shapely.Geometry) -> shapely.Geometry:
    """Return a region with its rows and columns swapped."""
    return affinity.affine_transform(region, (0, 1, 1, 0, 0, 0))


def _without_feet(region: shapely.Geometry, capital: float) -> shapely.Geometry:
    """Return a region without what sticks out across at the ends of its strokes."""
    serifs = [
        serif
        for begin, end in _sides(region, capital)
        for start, along in ((end, end - begin), (begin, begin - end))
        for serif in _serifs(region, start, along / np.hypot(*along), capital)
    ]
    if not serifs:
        return region
    found = shapely.difference(region, shapely.union_all(serifs))
    thin = _TRACE * capital / 2
    return shapely.buffer(shapely.buffer(found, -thin, join_style="mitre"), thin, join_style="mitre")


def _sides(region: shapely.Geometry, capital: float) -> Iterator[tuple[Array, Array]]:
    """Yield where the straight sides of strokes that are upright or slanted begin and end."""
    for ring in (ring for part in shapely.get_parts(region) for ring in shapely.get_rings(part)):
        points = shapely.get_coordinates(ring)[:-1]
        ways = np.arctan2(*(np.roll(points, -1, axis=0) - points).T[::-1])
        turns = (ways - np.roll(ways, 1) + np.pi) % (2 * np.pi) - np.pi
        (corners,) = np.nonzero(abs(turns) > _STRAIGHT)
        for begin, end in zip(points[corners], points[np.roll(corners, -1)], strict=True):
            across, high = abs(end - begin)
            if high >= _SIDE * capital and across <= _STEEP * high:
                yield begin, end


def _serifs(region: shapely.Geometry, start: Array, way: Array, capital: float) -> Iterator[shapely.Geometry]:
    """Yield what sticks out beside a stroke at its end.

    Args:
        region: the letter.
        start: where the straight side of the stroke ends.
        way: which way it runs there, of length 1.
        capital: how high capitals are.
    """
    out = np.array((abs(way[1]), -way[0] * np.sign(way[1])))  # to the right of the side
    if shapely.intersects_xy(region, *(start - _WITHIN * capital * way + _TRACE / 2 * capital * out)):
        out = -out
    far = _through_ink(region, start, way, _HIGH * capital / abs(way[1]))
    last = start + (far + _BEYOND * capital) * way
    if not far or shapely.intersects_xy(region, *(last - _WITHIN * capital * out)):
        return
    first, across = start - _BACK * capital * way, np.array((np.sign(out[0]), 0.0))
    band, reach = (
        shapely.Polygon([first, last, last + by * across, first + by * across])
        for by in (2 * _FAR * capital, _FAR * capital)
    )
    reach = shapely.buffer(reach, _NEAR * capital, join_style="mitre")
    side = shapely.LineString([first, last])
    ends = shapely.MultiLineString([[at, at + 2 * _FAR * capital * across] for at in (first, last)])
    for piece in shapely.get_parts(shapely.intersection(region, band)):
        goes_on = shapely.length(shapely.intersection(piece, ends)) > _TRACE * capital
        is_beside = shapely.area(piece) > 0 and shapely.distance(piece, side) < _NEAR * capital
        if is_beside and not goes_on and shapely.covers(reach, piece):
            yield piece


def _through_ink(region: shapely.Geometry, start: Array, way: Array, most: float) -> float:
    """Return how far a side runs on through ink, 0 where it does not, or does so for more than it may."""
    line = shapely.LineString([start, start + 2 * most * way])
    for run in shapely.get_parts(shapely.intersection(region, line)):
        far = float(shapely.length(run))
        if far and shapely.distance(run, shapely.Point(start)) < _NEAR * most:
            return far if far <= most else 0.0
    return 0.0
