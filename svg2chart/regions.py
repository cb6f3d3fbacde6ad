"""What a mark paints, as a polygon."""

from svg2chart.artwork import Fill, Stroke
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.outline import outline_stroke
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
    return outline_stroke(chains, mark.style, pen=pen, tolerance=tolerance)
