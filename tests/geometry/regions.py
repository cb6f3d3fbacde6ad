"""Outside references for regions: winding numbers by angles, areas by noding, chains from points."""

from collections.abc import Sequence

import numpy as np
import shapely
from hypothesis import strategies as st
from numpy.typing import NDArray

from svg2chart.geometry.polygon import FillRule, Polygon, Polylines

Array = NDArray[np.float64]
Points = Sequence[tuple[float, float]]

lattice = st.tuples(st.integers(0, 8), st.integers(0, 8)).map(lambda p: (float(p[0]), float(p[1])))


def windings(points: Array, polygon: Polygon) -> NDArray[np.int64]:
    """Sum the angles under which each point sees each edge; points must not lie on edges.

    Edges drawn there and back are no edges: their angles cancel out.
    """
    edges = polygon.edges()
    start = edges[np.newaxis, :, 0:2] - points[:, np.newaxis]
    end = edges[np.newaxis, :, 2:4] - points[:, np.newaxis]
    cross = start[..., 0] * end[..., 1] - start[..., 1] * end[..., 0]
    angles = np.where(cross == 0, 0.0, np.arctan2(cross, (start * end).sum(axis=-1)))
    return np.rint(angles.sum(axis=1) / (2 * np.pi)).astype(np.int64)


def holds(points: Array, polygon: Polygon) -> NDArray[np.bool_]:
    """Return which points lie in the polygon by its own rule."""
    around = windings(points, polygon)
    return around % 2 != 0 if polygon.rule is FillRule.EVENODD else around != 0


def painted_area(polygon: Polygon) -> float:
    """Return the area of the region: the faces between all edges, each asked for its winding."""
    lines = shapely.union_all(
        [shapely.LinearRing(c) for c in polygon.contours() if len(c) > 2], grid_size=2**-28
    )
    faces = shapely.get_parts(shapely.polygonize(shapely.get_parts(lines)))
    inner = shapely.get_coordinates(shapely.point_on_surface(faces))
    return float(shapely.area(faces)[holds(inner, polygon)].sum()) if len(faces) else 0.0


def samples(count: int, size: float) -> Array:
    """Return points spread over -size to size that meet no lattice line: the golden-ratio lattice."""
    step = np.arange(count)
    shares = np.stack([(step + 0.5) / count, (step * 0.6180339887498949 + 0.1234567) % 1], axis=1)
    return np.asarray((2 * shares - 1) * size)


def chain(points: Points, *, closed: bool = False) -> Polylines:
    """Return one chain."""
    return Polylines(
        points=np.array(points, dtype=np.float64).reshape(-1, 2),
        starts=np.array([0, len(points)]),
        closed=np.array([closed]),
    )
