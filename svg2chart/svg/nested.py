"""Viewports inside the drawing: nested `svg` elements and symbols."""

from dataclasses import dataclass
from xml.etree.ElementTree import Element

from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box
from svg2chart.svg.lengths import Measures, length
from svg2chart.svg.scene import Place
from svg2chart.svg.shapes import coordinate
from svg2chart.svg.style import Style
from svg2chart.svg.viewport import alignment, fitted, has_area, view_box


@dataclass(frozen=True, slots=True, kw_only=True)
class Inner:
    """A viewport inside another.

    placed: from the coordinates inside to those outside. wide, high: its size inside.
    frame: what cuts the content, in coordinates outside; None where nothing does.
    """

    placed: Affine
    wide: float
    high: float
    frame: Box | None


def inner_viewport(element: Element, style: Style, place: Place, measures: Measures) -> Inner | None:
    """Return the viewport of a nested `svg` or a used `symbol`, None where it shows nothing."""
    is_symbol = element.tag == "symbol"
    x, y = (
        0.0 if is_symbol else coordinate(element, style, name, measures=measures) or 0.0
        for name in ("x", "y")
    )
    own_wide = "" if is_symbol else element.get("width", "")
    own_high = "" if is_symbol else element.get("height", "")
    wide = _size(place.asked_wide or own_wide, measures, measures.wide)
    high = _size(place.asked_high or own_high, measures, measures.high)
    box = view_box(element)
    if wide <= 0 or high <= 0 or (box is not None and not has_area(box)):
        return None
    outside = Box(x, y, x + wide, y + high)
    frame = None if style.get("overflow", "hidden") in ("visible", "auto") else outside
    if box is None:
        return Inner(placed=Affine.translation(x, y), wide=wide, high=high, frame=frame)
    placed = fitted(box, outside, alignment(element.get("preserveAspectRatio", "")))
    return Inner(placed=placed, wide=box.width, high=box.height, frame=frame)


def _size(text: str, measures: Measures, whole: float) -> float:
    value = length(text or "100%", measures, whole=whole)
    return whole if value is None else value
