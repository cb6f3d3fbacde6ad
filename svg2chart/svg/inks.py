"""What words and the lines along them are painted with."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from svg2chart.artwork import Decoration, Run
from svg2chart.geometry.box import Box
from svg2chart.geometry.outline import StrokeStyle
from svg2chart.remarks import Severity
from svg2chart.svg.gradients import one_colour
from svg2chart.svg.inked import Ink, seen_ink
from svg2chart.svg.scene import Gathered, Place, Source, measures_at
from svg2chart.svg.servers import fill_paint, stroke_paint
from svg2chart.svg.strokes import TOO_WIDE, is_too_wide, pen


@dataclass(frozen=True, slots=True)
class Inks:
    """The inks of words, None for none, and the pen of their stroke."""

    fill: Ink | None = None
    stroke: Ink | None = None
    style: StrokeStyle | None = None


NO_INKS = Inks()


def inks_at(
    source: Source, gathered: Gathered, name: str, place: Place, *, box: Callable[[], Box | None] | None
) -> Inks:
    """Return the inks of the element at a place, and remark on what is not followed for the named one.

    `box` measures the box around all the words; None for what gets one colour.
    """
    fill = seen_ink(gathered, name, place, fill_paint(source, place, box=box))
    stroke = seen_ink(gathered, name, place, stroke_paint(source, place, box=box))
    if stroke is None:
        return Inks(fill)
    found = pen(place.style, measures_at(source, place))
    if found.problem:
        gathered.remark(name, found.problem, Severity.SIMPLIFIED, layer=place.layer)
    if found.style is not None and is_too_wide(found.style, place.to_user):
        gathered.remark(name, TOO_WIDE, Severity.LEFT_OUT, layer=place.layer)
        return Inks(fill)
    return Inks(fill, None if found.style is None else stroke, found.style)


def filled(run: Run, ink: Ink | None) -> Run:
    """Return a run filled with an ink, a gradient as its mean colour."""
    flat = one_colour(ink)
    return run if flat is None else replace(run, colour=flat.colour, opacity=flat.opacity)


def stroked(run: Run, ink: Ink | None, style: StrokeStyle | None) -> Run:
    """Return a run stroked with an ink, a gradient as its mean colour."""
    flat = one_colour(ink)
    if flat is None:
        return run
    return replace(run, stroke_colour=flat.colour, stroke_opacity=flat.opacity, stroke_style=style)


def decoration(line: str, inks: Inks) -> Decoration:
    """Return a line along words in the inks of who asks for it."""
    fill, stroke = one_colour(inks.fill), one_colour(inks.stroke)
    return Decoration(
        line=line,
        colour=None if fill is None else fill.colour,
        opacity=1.0 if fill is None else fill.opacity,
        stroke_colour=None if stroke is None else stroke.colour,
        stroke_opacity=1.0 if stroke is None else stroke.opacity,
        stroke_style=inks.style,
    )
