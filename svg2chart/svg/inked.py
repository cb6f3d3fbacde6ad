"""Marks in the ink they are painted with: one colour, the mean of a gradient, or its bands."""

from dataclasses import replace
from math import hypot

from svg2chart.artwork import Clip, ClipPart, Fill, Stroke
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box
from svg2chart.geometry.cut import without_overlaps
from svg2chart.geometry.flatten import flatten_paths
from svg2chart.geometry.polygon import FillRule, Polygon
from svg2chart.regions import painted_region
from svg2chart.svg.gradients import Gradient
from svg2chart.svg.paint import Flat
from svg2chart.svg.scene import Gathered, Painted, Place, Source, pen_reach

Ink = Flat | Gradient

_PARTS = 1000  # curves are flattened within the diagonal of their box over this to find a mean


def seen_ink(gathered: Gathered, name: str, place: Place, painted: Painted) -> Ink | None:
    """Return the ink of a paint that can be seen, and remark on what it stands for."""
    if painted.what:
        gathered.remark(name, painted.what, painted.severity, layer=place.layer)
    is_clear = isinstance(painted.ink, Flat) and painted.ink.opacity == 0
    return None if is_clear else painted.ink


def add_in_ink(source: Source, gathered: Gathered, mark: Fill | Stroke, ink: Ink) -> None:
    """Add a mark in an ink; in bands it becomes a copy of itself for each band, clipped to that.

    A mark in a flat ink has its colour already.
    """
    if isinstance(ink, Flat):
        gathered.add(mark)
        return
    box = reach(mark)
    if not source.bands or mark.stitch_as is not None:  # what is told to be one stitch has one thread
        gathered.add(_coloured(mark, mean_ink(mark, ink)))
        return
    banded = []
    for flat, region in ink.bands_in(box, source.bands):
        if flat.opacity > 0:
            part = ClipPart(path=region, rule=FillRule.EVENODD)
            clip = gathered.add_clip(Clip(parts=(part,), within=mark.clip))
            banded.append(replace(_coloured(mark, flat), clip=clip))
    if banded:
        gathered.add(*banded)


def mean_ink(mark: Fill | Stroke, ink: Gradient) -> Flat:
    """Return the mean of a gradient over what a mark covers."""
    return ink.mean_over(_region(mark, reach(mark)))


def reach(mark: Fill | Stroke) -> Box:
    """Return a box around all that a mark may cover, in root user units."""
    box = mark.path.box() or Box(0.0, 0.0, 0.0, 0.0)
    return box.grown(pen_reach(mark)) if isinstance(mark, Stroke) else box


def _coloured(mark: Fill | Stroke, flat: Flat) -> Fill | Stroke:
    return replace(mark, colour=flat.colour, opacity=flat.opacity)


def _region(mark: Fill | Stroke, box: Box) -> Polygon:
    """Return what a mark covers, dashes not considered."""
    tolerance = hypot(box.width, box.height) / _PARTS
    lines = flatten_paths([mark.path], tolerance=tolerance)[0]
    return without_overlaps(painted_region(mark, lines, to_chains=Affine(), tolerance=tolerance))
