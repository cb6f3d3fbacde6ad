"""Colours and paints as SVG writes them."""

from dataclasses import dataclass
from functools import lru_cache

from tinycss2.color4 import Color, parse_color

from svg2chart.colour import Colour
from svg2chart.svg.colour_spaces import in_srgb

CURRENT = "currentcolor"
MAX_COLOUR = 1000  # characters; a longer text is none, and might be a trap for the parser


@dataclass(frozen=True, slots=True)
class Flat:
    """A colour and how opaque it is, 0 to 1."""

    colour: Colour
    opacity: float = 1.0

    def faded(self, opacity: float) -> "Flat":
        """Return the colour with its opacity times the given one."""
        return Flat(self.colour, self.opacity * opacity)

    def rounded(self) -> "Flat":
        """Return the nearest colour of eight bits a channel: means of like shapes are then one colour."""
        channels = (self.colour.red, self.colour.green, self.colour.blue, self.opacity)
        red, green, blue, opacity = (round(channel * 255) / 255 for channel in channels)
        return Flat(Colour(red, green, blue), opacity)


BLACK = Flat(Colour(0.0, 0.0, 0.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Paint:
    """What a fill or stroke property asks for.

    flat: a colour, None for none. server: what a url() points at, "" without one; `flat` and
    `is_current` are then its fall-back and `has_fallback` says whether there is one.
    is_current: the colour is that of the color property. context: "fill" or "stroke" for
    context-fill and context-stroke.
    """

    flat: Flat | None = None
    server: str = ""
    is_current: bool = False
    has_fallback: bool = False
    context: str = ""


@lru_cache(maxsize=4096)
def colour(text: str) -> Flat | None:
    """Return the colour, None where the text is none; `currentColor` is none."""
    if len(text) > MAX_COLOUR:
        return None
    parsed = parse_color(text.lower().partition("icc-color(")[0])
    if not isinstance(parsed, Color):
        return None
    if parsed.space == "hsl":  # a saturation beyond 100 % is 100 % (CSS Color 4, 7)
        hue, saturation, lightness = parsed.coordinates
        clamped = (hue, min(100.0, max(0.0, saturation)), lightness)
        parsed = Color("hsl", clamped, parsed.alpha)
    channels = in_srgb(parsed)
    return None if channels is None else Flat(Colour(*channels), min(1.0, max(0.0, parsed.alpha)))


def current_colour(text: str) -> Flat:
    """Return the colour of the color property, black where the text is none."""
    return colour(text) or BLACK


@lru_cache(maxsize=4096)
def paint(text: str) -> Paint | None:
    """Return the paint, None where the text is none."""
    word = text.strip().lower()
    if word == "none":
        return Paint()
    if word == CURRENT:
        return Paint(is_current=True)
    if word in ("context-fill", "context-stroke"):
        return Paint(context=word.removeprefix("context-"))
    link, rest = _link(text)
    if not link:
        flat = colour(text)
        return None if flat is None else Paint(flat=flat)
    # a fall-back is never a url() itself
    fallback = paint(rest) if rest and not _link(rest)[0] else None
    if fallback is None:
        return Paint(server=link)
    return Paint(server=link, flat=fallback.flat, is_current=fallback.is_current, has_fallback=True)


def target(text: str) -> str:
    """Return what a url() points at, "" where the text is none (or "none")."""
    return _link(text)[0]


def _link(text: str) -> tuple[str, str]:
    """Return what a url() at the start of a text points at, "" for none, and the text after it."""
    start, bracket, rest = text.strip().partition("(")
    if start.strip().lower() != "url" or not bracket:
        return "", ""
    quote = rest.lstrip()[:1]
    if quote in ("'", '"'):
        link, end, after = rest.lstrip()[1:].partition(quote)
        _, bracket, after = after.partition(")")
        end = end and bracket
    else:
        link, end, after = rest.partition(")")
    return (link.strip(), after.strip()) if end else ("", "")
