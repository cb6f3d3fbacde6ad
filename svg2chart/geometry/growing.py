"""Regions made thicker or thinner all round."""

import numpy as np
import shapely
from shapely import affinity

from svg2chart.geometry.cut import box_of, polygon_of, region_of, snap_of
from svg2chart.geometry.polygon import Polygon

_MITRE = 2.0
"""Corners stay sharp up to so many times the growth; sharper ones are cut. Our own choice."""
_NEAR = 1e-6
"""Outlines this part of a thin stroke's width from each other are one: what rounding parts."""
_GRID = 2.0**-21
"""What is left of a letter has its corners on a grid of this part of a thin stroke: none nearly meet."""
_FAR = 2.0**10
"""A letter is stretched so far that it grows one way only."""
_SPUR = 0.15
"""What sticks out where thin strokes meet ordinary ones is cut off up to twice this part of a thin stroke.
This and the following are our own choice, no source."""
_OVERLAP = 0.05
"""So many of their widths thin strokes reach into the ordinary ones that they join."""
_NEARLY_THIN = 1.2
"""Strokes up to so many times as wide as thin ones are thin, too, if they would become thinner than these."""
_FREE = 1.8
"""A thin stroke has so many times more outline of its own than it shares with the ordinary strokes that it
joins; what has less is a tip of these, or the place where two of them run together."""


def thickened(
    polygon: Polygon, *, stem: float, bar: float, least: float, hair: float, flare: float
) -> Polygon:
    """Return a letter with strokes of another width.

    Args:
        polygon: the letter.
        stem: how much wider its ordinary strokes become across; they become thinner where it is negative.
        bar: how much they become so from top to bottom.
        least: how wide its thin strokes become.
        hair: strokes up to this width are thin ones.
        flare: so much wider at the most are ordinary strokes where thin ones run into them, as they are with
            the brackets of serifs.
    """
    box = box_of(polygon)
    if box is None:
        return polygon
    region = region_of(polygon, snap_of(box))
    lower = min(stem, bar)
    thins = _thin_strokes(region, max(hair, min(least - lower, _NEARLY_THIN * hair)))
    more = [max(least - _width(thin), min(lower, 0.0)) for thin in thins]
    # thin strokes that grow less than ordinary ones are left out of these, the others lie around them
    left_out = [thin for thin, by in zip(thins, more, strict=True) if by < max(stem, bar)]
    ordinary = shapely.difference(region, shapely.union_all(left_out), grid_size=_GRID * hair)
    parts = [_grown_across_and_down(ordinary if left_out and lower > 0 else region, stem / 2, bar / 2)]
    if lower < 0:
        kept = _grown_across_and_down(parts[0], -stem / 2, -bar / 2)
        parts += _necks(region, kept, -lower / 2, hair)
    for thin, by in zip(thins, more, strict=True):
        if by > 0:  # into the ordinary strokes that it joins, from which thinner ones would cut it off
            reaching = _reaching(thin, region, max(-lower / 2, 0.0), hair)
            parts.append(shapely.buffer(reaching, min(by, flare) / 2))
        parts.append(shapely.buffer(thin, by / 2) if by > 0 else _grown(thin, by / 2))
    # no part reaches farther than ordinary strokes do if there are any: serifs stay level with their stems
    is_thin = bool(thins) and shapely.is_empty(shapely.difference(region, shapely.union_all(thins)))
    x, y = (max(by, *more) / 2 if is_thin else by / 2 for by in (stem, bar))
    rim = shapely.box(box.left - x, box.top - y, box.right + x, box.bottom + y)
    found = shapely.intersection(shapely.union_all(parts), rim, grid_size=_GRID * hair)
    return polygon_of(_grown(_grown(found, -_SPUR * least), _SPUR * least))


def _grown_across_and_down(region: shapely.Geometry, across: float, down: float) -> shapely.Geometry:
    """Return a region grown by so much to both sides, and by so much up and down."""
    if across * down <= 0 and across != down:
        return _stretched_grown(_stretched_grown(region, across, _FAR), down / _FAR, 1 / _FAR)
    return _stretched_grown(region, across, across / down) if down else region


def _stretched_grown(region: shapely.Geometry, by: float, high: float) -> shapely.Geometry:
    """Return a region grown all round while it is so many times as high."""
    stretched = affinity.scale(region, yfact=high, origin=(0, 0))
    return affinity.scale(_grown(stretched, by), yfact=1 / high, origin=(0, 0))


def _grown(region: shapely.Geometry, by: float) -> shapely.Geometry:
    """Return a region grown all round, its corners kept."""
    with np.errstate(divide="ignore", invalid="ignore"):  # as where sides go on in one line
        return shapely.buffer(region, by, join_style="mitre", mitre_limit=_MITRE) if by else region


def _reaching(part: shapely.Geometry, region: shapely.Geometry, far: float, hair: float) -> shapely.Geometry:
    """Return a part of a region that reaches so far into the rest of it, and a little farther."""
    reach = shapely.buffer(part, far + _OVERLAP * hair, join_style="mitre")
    found = shapely.get_parts(shapely.intersection(reach, region))
    return shapely.union_all(
        found[shapely.get_dimensions(found) == 2]
    )  # without lines that both only touch in


def _necks(
    region: shapely.Geometry, kept: shapely.Geometry, by: float, hair: float
) -> list[shapely.Geometry]:
    """Return what joins parts of a region of which only some is kept where it is made thinner."""
    # on a grid: what is kept ends beside the region but for rounding, which leaves spurs of no width
    lost = shapely.get_parts(shapely.difference(region, kept, grid_size=_GRID * hair))
    near = shapely.intersection(shapely.buffer(lost, _NEAR * hair), kept)
    return [
        _reaching(part, region, by, hair)
        for part, beside in zip(lost, near, strict=True)
        if shapely.get_num_geometries(beside) > 1
    ]


def _thin_strokes(region: shapely.Geometry, hair: float) -> list[shapely.Geometry]:
    """Return the strokes of a region up to a width, without the tips and joins of wider ones."""
    core = _grown(_grown(region, -hair / 2), hair / 2 * 1.02)
    found = []
    for part in shapely.get_parts(shapely.difference(region, core)):
        around = shapely.boundary(part)
        shared = shapely.length(shapely.intersection(around, shapely.buffer(core, _NEAR * hair)))
        if shapely.length(around) - shared >= _FREE * shared and _width(part) > 0:
            found.append(part)
    return found


def _width(region: shapely.Geometry) -> float:
    """Return the width of a strip of this area and outline: of the rectangle that has both."""
    area, half = shapely.area(region), shapely.length(region) / 2
    if len(shapely.get_rings(region)) > 1:
        return float(area / half)
    under = half * half - 4 * area
    return float((half - under**0.5) / 2) if under > 0 else float(area**0.5)


def symmetric_share(polygon: Polygon, other: Polygon) -> float:
    """Return the area that two regions share, by the area of both together; 1 where they are the same."""
    one, two = (region_of(p, snap_of(b)) for p in (polygon, other) if (b := box_of(p)) is not None)
    return float(shapely.area(shapely.intersection(one, two)) / shapely.area(shapely.union(one, two)))


def parts_and_hollows(polygon: Polygon, *, least: float) -> tuple[int, int]:
    """Return how many separate parts a region has, and how many hollows, counting those of some area only."""
    box = box_of(polygon)
    if box is None:
        return 0, 0
    parts = shapely.get_parts(region_of(polygon, snap_of(box)))
    hollows = [ring for part in parts for ring in shapely.get_rings(part)[1:]]
    parts = [part for part in parts if shapely.area(part) >= least]
    return len(parts), sum(shapely.area(shapely.polygons(ring)) >= least for ring in hollows)


def parts_of(polygon: Polygon, *, least: float) -> list[Polygon]:
    """Return the separate parts of a region that have some area."""
    box = box_of(polygon)
    if box is None:
        return []
    parts = shapely.get_parts(region_of(polygon, snap_of(box)))
    return [polygon_of(part) for part in parts if shapely.area(part) >= least]
