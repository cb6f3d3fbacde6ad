"""Regions made thicker or thinner all round."""

import shapely

from svg2chart.geometry.cut import _box, _polygon, _regular, snap_of
from svg2chart.geometry.polygon import Polygon

_MITRE = 2.0
"""Corners stay sharp up to so many times the growth; sharper ones are cut. Our own choice."""


_OVERLAP = 0.05
"""So many of their widths thin strokes reach into the ordinary ones that they join."""


def thickened(polygon: Polygon, *, stem: float, least: float, hair: float) -> Polygon:
    """Return a letter with strokes of another width.

    Args:
        polygon: the letter.
        stem: how much wider its ordinary strokes become; they become thinner where it is negative.
        least: how wide its thin strokes become.
        hair: strokes up to this width are thin ones.
    """
    box = _box(polygon)
    if box is None:
        return polygon
    region = _regular(polygon, snap_of(box))
    core = shapely.buffer(region, -hair / 2, join_style="mitre", mitre_limit=_MITRE)
    core = shapely.buffer(core, hair / 2 * 1.02, join_style="mitre", mitre_limit=_MITRE)
    thick = shapely.intersection(region, core)
    parts = [shapely.buffer(thick, stem / 2, join_style="mitre", mitre_limit=_MITRE)]
    for thin in shapely.get_parts(shapely.difference(region, core)):
        wide = _width(thin)
        more = max(least - wide, 0.0) / 2 if wide > 0 else 0.0
        # into the ordinary strokes that it joins, from which it would be cut off where these become thinner
        joined = shapely.buffer(thin, max(-stem / 2, 0.0) + _OVERLAP * hair, join_style="mitre")
        thin = shapely.intersection(joined, region)
        parts.append(shapely.buffer(thin, more, join_style="mitre", mitre_limit=_MITRE) if more else thin)
    # no part reaches farther than ordinary strokes do: serifs stay level with their stems
    rim = shapely.box(box.left - stem / 2, box.top - stem / 2, box.right + stem / 2, box.bottom + stem / 2)
    return _polygon(shapely.intersection(shapely.union_all(parts), rim))


def _width(region: shapely.Geometry) -> float:
    """Return the width of a strip of this area and outline: of the rectangle that has both."""
    area, half = shapely.area(region), shapely.length(region) / 2
    if len(shapely.get_rings(region)) > 1:
        return float(area / half)
    under = half * half - 4 * area
    return float((half - under**0.5) / 2) if under > 0 else float(area**0.5)


def symmetric_share(polygon: Polygon, other: Polygon) -> float:
    """Return the area that two regions share, by the area of both together; 1 where they are the same."""
    one, two = (_regular(p, snap_of(b)) for p in (polygon, other) if (b := _box(p)) is not None)
    return float(shapely.area(shapely.intersection(one, two)) / shapely.area(shapely.union(one, two)))


def parts_and_hollows(polygon: Polygon, *, least: float) -> tuple[int, int]:
    """Return how many separate parts a region has, and how many hollows, counting those of some area only."""
    box = _box(polygon)
    if box is None:
        return 0, 0
    parts = shapely.get_parts(_regular(polygon, snap_of(box)))
    hollows = [ring for part in parts for ring in shapely.get_rings(part)[1:]]
    parts = [part for part in parts if shapely.area(part) >= least]
    return len(parts), sum(shapely.area(shapely.polygons(ring)) >= least for ring in hollows)
