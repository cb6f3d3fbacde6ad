"""Paint properties to flat colours."""

from dataclasses import dataclass
from xml.etree.ElementTree import Element

from svg2chart.geometry.path import Path
from svg2chart.remarks import Severity
from svg2chart.svg.document import reference
from svg2chart.svg.lengths import number_and_unit, share
from svg2chart.svg.paint import BLACK, CURRENT, Flat, Paint, colour, mean_of_areas, mean_of_stops, paint
from svg2chart.svg.scene import Context, Place, Source
from svg2chart.svg.shapes import is_shape, shape_path
from svg2chart.svg.style import Style

MAX_CHAIN = 50  # gradients that take over from each other; it also ends a ring of them
_GRADIENTS = ("linearGradient", "radialGradient")


@dataclass(frozen=True, slots=True)
class Painted:
    """A flat colour, None for none, and what the drawing has in its place ("" for just that)."""

    flat: Flat | None
    what: str = ""
    severity: Severity = Severity.SIMPLIFIED


def fill_paint(source: Source, place: Place, *, path: Path | None = None) -> Painted:
    """Return what to fill with at a place, its opacity included.

    `path` is that of the shape, None for words: a gradient is laid on its box.
    """
    painted = _resolved(source, place, "fill", "black", path=path)
    return _faded(painted, place.style.get("fill-opacity", "1"))


def stroke_paint(source: Source, place: Place, *, path: Path | None = None) -> Painted:
    """Return what to stroke with at a place, its opacity included; arguments as for `fill_paint`."""
    painted = _resolved(source, place, "stroke", "none", path=path)
    return _faded(painted, place.style.get("stroke-opacity", "1"))


def context_of(source: Source, place: Place) -> Context:
    """Return what `context-fill` and `context-stroke` mean in what an element at a place draws."""
    return Context(
        _resolved(source, place, "fill", "black", path=None).flat,
        _resolved(source, place, "stroke", "none", path=None).flat,
    )


def current_colour(style: Style) -> Flat:
    """Return the colour of the color property."""
    return colour(style.get("color", "black")) or BLACK


def _faded(painted: Painted, opacity_text: str) -> Painted:
    opacity = share(opacity_text)
    if painted.flat is None or opacity is None or opacity == 1:
        return painted
    flat = Flat(painted.flat.colour, painted.flat.opacity * opacity)
    return Painted(flat, painted.what, painted.severity)


def _resolved(source: Source, place: Place, name: str, default: str, *, path: Path | None) -> Painted:
    style, context = place.style, place.context
    asked = paint(style.get(name, default)) or Paint()
    if asked.context:
        return Painted(context.fill if asked.context == "fill" else context.stroke)
    if not asked.server:
        return Painted(_plain(asked, style))
    server = source.document.by_id.get(asked.server.removeprefix("#"))
    fallback = Painted(_plain(asked, style)) if asked.has_fallback else None
    if server is None or not asked.server.startswith("#"):
        what = f'its {name} "{asked.server}" is not there'
        if fallback is None:
            return Painted(None, f"{what}, drawn without", Severity.LEFT_OUT)
        return Painted(fallback.flat, f"{what}, the colour given for that case is used", Severity.SIMPLIFIED)
    if server.tag in _GRADIENTS:
        return _gradient(source, server, name, path, fallback)
    what = f'its {name} is a {server.tag} ("{asked.server}"), which is not drawn'
    if fallback is None:
        mean = _mean_of_tile(source, server) if server.tag == "pattern" else None
        if mean is not None:
            return Painted(
                mean, f'its {name} is a pattern ("{asked.server}"), drawn in the mean of its colours'
            )
        return Painted(None, what, Severity.LEFT_OUT)
    return Painted(fallback.flat, f"{what}: the colour given for that case is used", Severity.SIMPLIFIED)


def _mean_of_tile(source: Source, pattern: Element) -> Flat | None:
    """Return the mean colour of the shapes of a pattern by the areas of their boxes, None without any.

    Our own choice: shapes that lie over each other all count, moves and what is not covered do not.
    """
    content = next((link for link in _chain(source, pattern, ("pattern",)) if len(link)), pattern)
    areas = []
    for element in filter(is_shape, content.iter()):
        style = source.styles.of(element)
        flat = _plain(paint(style.get("fill", "black")) or Paint(), style)
        box = shape_path(element, style, source.styles.measures).path.box()
        if flat is not None and box is not None:
            areas.append((box.width * box.height, flat))
    return mean_of_areas(areas)


def _has_area(path: Path | None) -> bool:
    if path is None:
        return True
    box = path.box()
    return box is not None and box.width > 0 and box.height > 0


def _plain(asked: Paint, style: Style) -> Flat | None:
    return current_colour(style) if asked.is_current else asked.flat


def _gradient(
    source: Source, gradient: Element, name: str, path: Path | None, fallback: Painted | None
) -> Painted:
    """Return the mean of a gradient; the fall-back or nothing where it has no colours or no box to lie on."""
    stops = _stops(source, gradient)
    is_in_box = _inherited(source, gradient, "gradientUnits", "objectBoundingBox") == "objectBoundingBox"
    if not stops or (is_in_box and not _has_area(path)):  # SVG 2, 14.1
        why = "on a straight line, where it cannot lie" if stops else "without colours"
        what = f"its {name} is a gradient {why}"
        if fallback is None:
            return Painted(None, f"{what}: drawn without", Severity.LEFT_OUT)
        return Painted(fallback.flat, f"{what}: the colour given for that case is used")
    if all(flat == stops[0][1] for _, flat in stops):
        return Painted(stops[0][1])
    return Painted(mean_of_stops(stops), f"its {name} is a gradient, drawn in the mean of its colours")


def _chain(source: Source, server: Element, tags: tuple[str, ...] = _GRADIENTS) -> list[Element]:
    """Return a paint server and those that it takes over what it does not say itself, in that order."""
    chain = [server]
    while True:
        following = source.document.by_id.get(reference(chain[-1]).removeprefix("#"))
        if following is None or following.tag not in tags or len(chain) == MAX_CHAIN:
            return chain
        chain.append(following)


def _inherited(source: Source, gradient: Element, name: str, default: str) -> str:
    """Return an attribute of a gradient, or of the nearest that it points at which has it."""
    return next((link.attrib[name] for link in _chain(source, gradient) if name in link.attrib), default)


def _stops(source: Source, gradient: Element) -> list[tuple[float, Flat]]:
    """Return the stops of a gradient, or of the nearest that it points at which has any."""
    for link in _chain(source, gradient):
        elements = [child for child in link if child.tag == "stop"]
        if elements:
            return _read_stops(source, elements)
    return []


def _read_stops(source: Source, elements: list[Element]) -> list[tuple[float, Flat]]:
    stops: list[tuple[float, Flat]] = []
    least = 0.0
    for element in elements:
        style = source.styles.of(element)
        text = style.get("stop-color", "black")
        flat = current_colour(style) if text.lower() == CURRENT else colour(text) or BLACK
        opacity = share(style.get("stop-opacity", "1"))
        parts = number_and_unit(element.get("offset", "0")) or (0.0, "")
        offset = min(1.0, max(least, parts[0] / 100 if parts[1] == "%" else parts[0]))
        least = offset
        stops.append((offset, Flat(flat.colour, flat.opacity * (1.0 if opacity is None else opacity))))
    return stops
