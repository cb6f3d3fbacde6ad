"""Regions over each other to the faces in which they divide a box."""

from collections.abc import Sequence

import numpy as np
import shapely

from svg2chart.geometry.box import Box
from svg2chart.geometry.cut import cut_polygon_to_box, is_inside, snap_of, windings
from svg2chart.geometry.polygon import Polygon


def faces(regions: Sequence[Polygon], box: Box) -> list[tuple[float, tuple[bool, ...]]]:
    """Return the area of each face in which the regions' edges divide the box, and which regions cover it.

    Every region counts by its own fill rule and may cross itself. Points are within 2^-36 of the
    box's longer side of where they should be. Time grows with the number of faces times that of edges.
    """
    cut = [cut_polygon_to_box(region, box) for region in regions]
    rings = [
        shapely.LinearRing(contour) for region in cut for contour in region.contours() if len(contour) > 2
    ]
    frame = shapely.LinearRing(
        [(box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom)]
    )
    lines = shapely.union_all([frame, *rings], grid_size=snap_of(box))
    found = shapely.get_parts(shapely.polygonize(shapely.get_parts(lines)))
    inner = shapely.get_coordinates(shapely.point_on_surface(found))
    covers = np.array([is_inside(windings(inner, region.edges()), region.rule) for region in cut], np.bool_)
    by_face = covers.reshape(len(cut), len(found)).T.tolist()
    return [(float(area), tuple(here)) for area, here in zip(shapely.area(found), by_face, strict=True)]
