"""What a mark paints, as a polygon."""

from svg2chart.artwork import Fill, Stroke
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.arc_joins import arc_joins
from svg2chart.geometry.outline import Join, outline_stroke
from svg2chart.geometry.polygon import Polygon, Polylines


def painted_region(mark: Fill | Stroke, chains: Polylines, *, to_chains: Affine, tolerance: float) -> Polygon:
    """Return what a fill covers within its chains, or a stroke along them.

    Args:
        mark: the fill or stroke.
        chains: its path flattened, a dashed stroke's in its dashes.
        to_chains: from root user units to the space of the chains.
        tolerance: how far round corners may be off, in that space.
    """
    if isinstance(mark, Fill):
        return Polygon(points=chains.points, starts=chains.starts, rule=mark.rule)
    pen = to_chains.linear() @ mark.pen
    outline = outline_stroke(chains, mark.style, pen=pen, tolerance=tolerance)
    if mark.style.join is not Join.ARCS:
        return outline
    joins = arc_joins(mark.path.transformed(to_chains), chains, mark.style, pen=pen, tolerance=tolerance)
    return Polygon.of_contours([*outline.contours(), *joins])
