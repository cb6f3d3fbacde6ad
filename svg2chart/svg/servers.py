"""Paint properties to what is painted with: a flat colour, or a gradient that lies where the element does."""

from collections.abc import Callable
from dataclasses import replace

from svg2chart.geometry.box import Box
from svg2chart.remarks import Severity
from svg2chart.svg.gradient_server import GRADIENTS, gradient_paint
from svg2chart.svg.lengths import share
from svg2chart.svg.paint import Flat, Paint, current_colour, paint
from svg2chart.svg.pattern_server import pattern_paint
from svg2chart.svg.scene import Context, Painted, Place, Source
from svg2chart.svg.style import Style

__all__ = ["Painted", "context_of", "fill_paint", "stroke_paint"]

Measured = Callable[[], Box | None]


def fill_paint(source: Source, place: Place, *, box: Measured | None = None) -> Painted:
    """Return what to fill with at a place, its opacity included.

    `box` measures the box around the element in its own coordinates, on which a gradient may be laid;
    None for what gets one colour.
    """
    return _faded(_resolved(source, place, "fill", "black", box), place.style.get("fill-opacity", "1"))


def stroke_paint(source: Source, place: Place, *, box: Measured | None = None) -> Painted:
    """Return what to stroke with at a place, its opacity included; arguments as for `fill_paint`."""
    return _faded(_resolved(source, place, "stroke", "none", box), place.style.get("stroke-opacity", "1"))


def context_of(source: Source, place: Place, *, box: Measured) -> Context:
    """Return what `context-fill` and `context-stroke` mean in what an element at a place draws."""
    return Context(
        _resolved(source, place, "fill", "black", box), _resolved(source, place, "stroke", "none", box)
    )


def _faded(painted: Painted, opacity_text: str) -> Painted:
    opacity = share(opacity_text)
    return painted if opacity is None else painted.faded(opacity)


def _resolved(source: Source, place: Place, name: str, default: str, box: Measured | None) -> Painted:
    style, context = place.style, place.context
    asked = paint(style.get(name, default)) or Paint()
    if asked.context:
        found = context.fill if asked.context == "fill" else context.stroke
        return found if box is not None else replace(found, ink=found.flat)
    if not asked.server:
        return Painted(_plain(asked, style))
    server = source.document.by_id.get(asked.server.removeprefix("#"))
    if server is None or not asked.server.startswith("#"):
        found = Painted(None, f'its {name} "{asked.server}" is not there', Severity.LEFT_OUT)
    elif server.tag in GRADIENTS:
        found = gradient_paint(source, server, place, name, box=box)
    elif server.tag == "pattern":
        found = pattern_paint(source, server, place, name, box=box)
    else:
        what = f'its {name} is a {server.tag} ("{asked.server}"), which is not drawn'
        found = Painted(None, what, Severity.LEFT_OUT)
    if found.ink is None and asked.has_fallback:
        return Painted(_plain(asked, style), f"{found.what}: the colour given for that case is used")
    return found


def _plain(asked: Paint, style: Style) -> Flat | None:
    return current_colour(style.get("color", "black")) if asked.is_current else asked.flat
