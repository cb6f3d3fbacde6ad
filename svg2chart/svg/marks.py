"""The marks that a path makes: its fill and its stroke."""

from dataclasses import replace
from xml.etree.ElementTree import Element

from svg2chart.artwork import Fill, Stroke
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.path import Path
from svg2chart.geometry.polygon import FillRule
from svg2chart.remarks import Severity
from svg2chart.svg.curves import curve_length
from svg2chart.svg.inked import add_in_ink, seen_ink
from svg2chart.svg.lengths import number
from svg2chart.svg.paint import BLACK, Flat
from svg2chart.svg.scene import Gathered, Place, Source, has_inside, measures_at, name_of
from svg2chart.svg.servers import fill_paint, stroke_paint
from svg2chart.svg.strokes import HAIRLINE_PX, TOO_WIDE, is_hairline, is_too_wide, keeps_width, pen
from svg2chart.svg.style import Style
from svg2chart.units import MM_PER_PX

_PARTS = ("fill", "stroke", "markers")


def paint_order(style: Style) -> tuple[str, ...]:
    """Return fill, stroke and markers in the order in which they are painted (SVG 2, 13.8)."""
    text = style.get("paint-order", "normal")
    if text == "normal":
        return _PARTS
    told = tuple(text.split())
    return (*told, *(part for part in _PARTS if part not in told))


def add_fill(source: Source, gathered: Gathered, element: Element, place: Place, path: Path) -> None:
    """Add the fill of a path in the element's own coordinates, where it has an inside and a paint."""
    if place.style.get("fill") == "none":
        return
    placed = path.transformed(place.to_user)
    if not has_inside(placed):
        return
    name = name_of(source, element, place)
    ink = seen_ink(gathered, name, place, fill_paint(source, place, box=path.box))
    if ink is not None:
        flat = ink if isinstance(ink, Flat) else BLACK  # a gradient finds its colours in `add_in_ink`
        mark = Fill(
            element=name,
            layer=place.layer,
            path=placed,
            rule=FillRule(place.style.get("fill-rule", "nonzero")),
            colour=flat.colour,
            opacity=flat.opacity,
            group=place.group,
            clip=place.clip,
            stitch_as=place.stitch_as,
        )
        add_in_ink(source, gathered, mark, ink)


def add_stroke(source: Source, gathered: Gathered, element: Element, place: Place, path: Path) -> None:
    """Add the stroke of a path in the element's own coordinates, where it has a width and a paint."""
    style = place.style
    if style.get("stroke", "none") == "none":
        return
    name = name_of(source, element, place)
    ink = seen_ink(gathered, name, place, stroke_paint(source, place, box=path.box))
    if ink is None:
        return
    found = pen(style, measures_at(source, place), dash_scale=_dash_scale(element, style, path))
    if found.problem:
        gathered.remark(name, found.problem, Severity.SIMPLIFIED, layer=place.layer)
    if found.style is None:
        return
    stroke_style, nib = found.style, place.to_user.linear()
    if is_hairline(style):
        what = "a hairline has no width of its own, it is drawn as thin as can be"
        gathered.remark(name, what, Severity.GUESSED, layer=place.layer)
        stroke_style, nib = replace(stroke_style, width=HAIRLINE_PX), _px(source)
    elif keeps_width(style):
        nib = _px(source)
    if is_too_wide(stroke_style, nib):
        gathered.remark(name, TOO_WIDE, Severity.LEFT_OUT, layer=place.layer)
        return
    flat = ink if isinstance(ink, Flat) else BLACK
    mark = Stroke(
        element=name,
        layer=place.layer,
        path=path.transformed(place.to_user),
        style=stroke_style,
        pen=nib,
        colour=flat.colour,
        opacity=flat.opacity,
        group=place.group,
        clip=place.clip,
        stitch_as=place.stitch_as,
        is_hairline=is_hairline(style) or keeps_width(style),
    )
    add_in_ink(source, gathered, mark, ink)


def _px(source: Source) -> Affine:
    """Return the map from px to root user units."""
    return Affine.scaling(MM_PER_PX / source.page.unit_mm)


def _dash_scale(element: Element, style: Style, path: Path) -> float:
    """Return what one unit of the dashes measures where there is a pathLength (SVG 2, 9.6.1)."""
    told = number(element.get("pathLength", ""))
    if not told or told < 0 or style.get("stroke-dasharray", "none") == "none":
        return 1.0
    return curve_length(path.segments) / told
