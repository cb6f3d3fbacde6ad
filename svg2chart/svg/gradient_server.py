"""Gradient elements to gradients that lie where the painted element does."""

from collections.abc import Callable
from math import hypot
from xml.etree.ElementTree import Element

from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box
from svg2chart.remarks import Severity
from svg2chart.svg.curves import Point
from svg2chart.svg.document import template_chain, told
from svg2chart.svg.gradients import Gradient
from svg2chart.svg.lengths import Measures, length, share
from svg2chart.svg.paint import BLACK, CURRENT, Flat, colour, current_colour
from svg2chart.svg.ramp import Ramp, Spread
from svg2chart.svg.scene import Painted, Place, Source, is_tame, measures_at
from svg2chart.svg.transforms import about_origin, server_transform

GRADIENTS = ("linearGradient", "radialGradient")
# SVG 1.1, 13.2.3 moves a focus outside the circle to its edge; just inside it circles still have a size
_FARTHEST_FOCUS = 0.99
_FARTHEST = 1e30  # a gradient that lies or reaches farther shows one colour on any page
_OFFSETS = 2**32  # offsets nearer to each other than one part in so many are one, on whatever turn


def gradient_paint(
    source: Source, element: Element, place: Place, name: str, *, box: Callable[[], Box | None] | None
) -> Painted:
    """Return the paint of a gradient element; nothing, with the reason, where it cannot be drawn.

    Args:
        source: what is being drawn.
        element: the gradient.
        place: of the element that is painted.
        name: "fill" or "stroke", for remarks.
        box: what measures the box around that element in its own coordinates, None where nothing does.
    """
    chain = template_chain(source.document, element, GRADIENTS)
    ramp = _ramp(source, chain)
    if ramp is None:
        return _nothing(name, "without colours")
    how = f"{source.bands} flat bands" if source.bands and box is not None else "the mean of its colours"
    moved = _animated(source, chain)
    what = f"its {name} is a gradient, drawn in {how}{moved}" if moved or not ramp.is_flat else ""
    if box is None:
        return Painted(ramp.mean, what)
    frame, measures = Affine(), measures_at(source, place)
    if told(chain, "gradientUnits", "") != "userSpaceOnUse":
        around = box()
        if around is None or around.width == 0 or around.height == 0:
            return _nothing(name, "on a straight line, where it cannot lie")
        frame = Affine(around.width, 0.0, 0.0, around.height, around.left, around.top)
        measures = Measures(wide=1.0, high=1.0, root_wide=1.0, root_high=1.0)
    if ramp.is_flat:
        return Painted(ramp.stops[0][1], what)
    own = server_transform(told(chain, "gradientTransform", ""))
    origin = source.styles.of(element).own.get("transform-origin", "")
    to_root = place.to_user @ frame @ about_origin(own, origin, measures)
    is_linear = element.tag == "linearGradient"
    shape = _linear(chain, measures) if is_linear else _circle(chain, measures)
    if shape is None:  # SVG 2, 14.2.2 and 14.2.3: no way, or a circle without a size
        return Painted(ramp.stops[-1][1])
    if not is_tame(to_root @ shape):
        return _nothing(name, "whose transform leaves nothing that can be drawn")
    to_unit = (to_root @ shape).inverse()
    if is_linear:
        return Painted(Gradient(ramp=ramp, to_unit=to_unit), what)
    small = _focal_radius(chain, measures, shape)
    if small >= 1.0:  # no way is left between the circles: inside is the first colour, outside the last
        ends = ((1.0, ramp.stops[0][1]), (1.0, ramp.stops[-1][1]))
        ramp, small = Ramp(stops=ends), 0.0
    focus, start = _focus(chain, measures, shape, small), -small / (1.0 - small)
    return Painted(Gradient(ramp=ramp, to_unit=to_unit, focus=focus, start=start), what)


def _animated(source: Source, chain: list[Element]) -> str:
    """Return what to add to a remark where a gradient or one of its stops changes over time."""
    parts = (part for link in chain for part in (link, *link))
    is_still = source.document.animated.isdisjoint(parts)
    return "" if is_still else ", as they stand without their animation"


def _nothing(name: str, why: str) -> Painted:
    return Painted(None, f"its {name} is a gradient {why}", Severity.LEFT_OUT)


def _ramp(source: Source, chain: list[Element]) -> Ramp | None:
    """Return the colours of a gradient, None where it has none."""
    stops: list[tuple[float, Flat]] = []
    for link in chain:
        elements = [child for child in link if child.tag == "stop"]
        if elements:
            stops = _stops(source, elements)
            break
    if not stops:
        return None
    spread = told(chain, "spreadMethod", "")
    known = [each for each in Spread if each.value == spread]
    return Ramp(stops=tuple(stops), spread=known[0] if known else Spread.PAD)


def _stops(source: Source, elements: list[Element]) -> list[tuple[float, Flat]]:
    stops: list[tuple[float, Flat]] = []
    least = 0.0
    for element in elements:
        style = source.styles.of(element)
        text = style.get("stop-color", "black")
        flat = (
            current_colour(style.get("color", "black")) if text.lower() == CURRENT else colour(text) or BLACK
        )
        opacity = share(style.get("stop-opacity", "1"))
        offset = round((share(element.get("offset", "0")) or 0.0) * _OFFSETS) / _OFFSETS
        least = max(least, offset)
        stops.append((least, flat.faded(1.0 if opacity is None else opacity)))
    return stops


def _lengths(chain: list[Element], measures: Measures, defaults: dict[str, str]) -> list[float]:
    """Return attributes of the chain in the gradient's coordinates; what cannot be read is the default."""
    values = []
    for name, default in defaults.items():
        whole = {"x": measures.wide, "y": measures.high}.get(name.strip("12cf"), measures.diagonal)
        value = length(told(chain, name, default), measures, whole=whole)
        value = length(default, measures, whole=whole) or 0.0 if value is None else value
        values.append(min(max(value, -_FARTHEST), _FARTHEST))
    return values


def _linear(chain: list[Element], measures: Measures) -> Affine | None:
    """Return the map under which the way runs along x from 0 to 1, None where it has no length."""
    x1, y1, x2, y2 = _lengths(chain, measures, {"x1": "0%", "y1": "0%", "x2": "100%", "y2": "0%"})
    along, down = x2 - x1, y2 - y1
    return None if along == 0 and down == 0 else Affine(along, down, -down, along, x1, y1)


def _circle(chain: list[Element], measures: Measures) -> Affine | None:
    """Return the map under which the gradient ends at the unit circle, None where that has no size."""
    x, y, radius = _lengths(chain, measures, {"cx": "50%", "cy": "50%", "r": "50%"})
    return None if radius <= 0 else Affine(radius, 0.0, 0.0, radius, x, y)


def _focal_radius(chain: list[Element], measures: Measures, circle: Affine) -> float:
    """Return the radius of the circle that the way begins at, in parts of that where it ends."""
    (small,) = _lengths(chain, measures, {"fr": "0%"})
    return max(small / circle.a, 0.0)


def _focus(chain: list[Element], measures: Measures, circle: Affine, small: float) -> Point:
    """Return the point where the circles shrink to nothing, in parts of the radius from the centre.

    The circle at the way t has the centre f (1 - t) and the radius q + t (1 - q), q being that of the
    focal circle: it shrinks to nothing at t = -q / (1 - q), about f / (1 - q).
    """
    asked = {"fx": told(chain, "cx", "50%"), "fy": told(chain, "cy", "50%")}
    x, y = _lengths(chain, measures, asked)
    x, y = (x - circle.e) / circle.a / (1.0 - small), (y - circle.f) / circle.a / (1.0 - small)
    out = hypot(x, y)
    return (x, y) if out <= _FARTHEST_FOCUS else (x / out * _FARTHEST_FOCUS, y / out * _FARTHEST_FOCUS)
