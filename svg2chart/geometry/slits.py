"""Slits in regions: white so narrow that the outlines on both sides of it are meant to meet."""

import shapely

from svg2chart.geometry.cut import box_of, polygon_of, region_of, snap_of
from svg2chart.geometry.polygon import Polygon

_REACH = 0.02
"""What fills a slit reaches this part of its width into what is beside it, so that both are one."""


def with_slits_closed(polygon: Polygon, *, wide: float) -> Polygon:
    """Return a region in which white up to a width is ink where it opens a hollow, the same if none is.

    A bowl whose stroke ends a hair before the stem is read as closed. Other narrow white stays: corners that
    run together, and hollows that are narrow all along.
    """
    box = box_of(polygon)
    if box is None:
        return polygon
    region = region_of(polygon, snap_of(box))
    closed = shapely.buffer(shapely.buffer(region, wide / 2), -wide / 2)
    slits = []
    for white in shapely.get_parts(shapely.difference(closed, region)):
        filled = shapely.union(region, shapely.buffer(white, _REACH * wide, join_style="mitre"))
        if _hollows(filled) > _hollows(region):
            slits.append(white)
    if not slits:
        return polygon
    whites = shapely.buffer(shapely.union_all(slits), _REACH * wide, join_style="mitre")
    return polygon_of(shapely.union(region, whites))


def _hollows(region: shapely.Geometry) -> int:
    return sum(len(shapely.get_rings(part)) - 1 for part in shapely.get_parts(region))
