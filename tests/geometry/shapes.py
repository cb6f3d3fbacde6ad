"""Shapes of boxes, from shapely to polygons and back."""

import numpy as np
import shapely

from svg2chart.geometry.polygon import Polygon


def region(*boxes: tuple[float, float, float, float]) -> shapely.Geometry:
    return shapely.union_all([shapely.box(*box) for box in boxes])


def polygon_of(found: shapely.Geometry) -> Polygon:
    """Return a region, its outer contour clockwise on the page, its hollows the other way."""
    return Polygon.of_contours(
        [
            np.array(ring.coords[:-1])[:: -1 if ring.is_ccw == is_hollow else 1]
            for part in shapely.get_parts(found)
            for is_hollow, ring in enumerate(shapely.get_rings(part))
        ]
    )


def shapely_of(polygon: Polygon) -> shapely.Geometry:
    found = shapely.Polygon()
    for contour in polygon.contours():
        found = shapely.symmetric_difference(found, shapely.Polygon(contour))
    return found
