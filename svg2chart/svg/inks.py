"""What words and the lines along them are painted with."""

from dataclasses import dataclass

from svg2chart.artwork import Decoration
from svg2chart.colour import Colour
from svg2chart.geometry.outline import StrokeStyle
from svg2chart.remarks import Severity
from svg2chart.svg.paint import Flat
from svg2chart.svg.scene import Gathered, Painted, Place, Source, measures_at
from svg2chart.svg.servers import fill_paint, stroke_paint
from svg2chart.svg.strokes import pen


@dataclass(frozen=True, slots=True, kw_only=True)
class Ink:
    """The paints of words as a run has them; all None for words that are not seen."""

    colour: Colour | None = None
    opacity: float = 1.0
    stroke_colour: Colour | None = None
    stroke_opacity: float = 1.0
    stroke_style: StrokeStyle | None = None


def ink_at(source: Source, gathered: Gathered, name: str, place: Place) -> Ink:
    """Return the ink of the element at a place, and remark on what is not followed for the named one."""
    fill = _flat(gathered, name, place, fill_paint(source, place))
    stroke = _flat(gathered, name, place, stroke_paint(source, place))
    stroke_style = None
    if stroke is not None:
        found = pen(place.style, measures_at(source, place))
        stroke_style = found.style
        for problem in found.problems:
            gathered.remark(name, problem, Severity.SIMPLIFIED, layer=place.layer)
    return Ink(
        colour=None if fill is None else fill.colour,
        opacity=1.0 if fill is None else fill.opacity,
        stroke_colour=None if stroke is None or stroke_style is None else stroke.colour,
        stroke_opacity=1.0 if stroke is None else stroke.opacity,
        stroke_style=stroke_style,
    )


def decoration_at(source: Source, gathered: Gathered, name: str, line: str, place: Place) -> Decoration:
    """Return a line along words in the ink of the element at a place, the one that asks for it."""
    ink = ink_at(source, gathered, name, place)
    return Decoration(
        line=line,
        colour=ink.colour,
        opacity=ink.opacity,
        stroke_colour=ink.stroke_colour,
        stroke_opacity=ink.stroke_opacity,
        stroke_style=ink.stroke_style,
    )


def _flat(gathered: Gathered, name: str, place: Place, painted: Painted) -> Flat | None:
    if painted.what:
        gathered.remark(name, painted.what, painted.severity, layer=place.layer)
    return painted.flat if painted.flat is not None and painted.flat.opacity > 0 else None
