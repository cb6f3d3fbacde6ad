"""Transform attributes to affine maps."""

import re
from collections.abc import Callable
from functools import lru_cache
from math import degrees, isfinite

from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box
from svg2chart.svg.lengths import NUMBER, PX_PER_UNIT, Measures, length, split_list

# Both always match something, so that a search never runs on.
_FUNCTION = re.compile(r"[\s,]*+([A-Za-z]++)\s*+\(([^()]*+)\)|(.)", re.DOTALL)
_ARGUMENT = re.compile(rf"\s*+(?:,\s*+)?({NUMBER})([a-z]*+)|(.)", re.DOTALL)
# degrees in one unit. Source: CSS Values and Units 3, angles.
DEGREES = {"": 1.0, "deg": 1.0, "grad": 0.9, "turn": 360.0, "rad": degrees(1.0)}
_SIDES = {"left": 0.0, "center": 0.5, "right": 1.0, "top": 0.0, "bottom": 1.0}
_TURNS = ("rotate", "skewx", "skewy", "skew")


def _about(turn: float, x: float, y: float) -> Affine:
    return Affine.translation(x, y) @ Affine.rotation(turn) @ Affine.translation(-x, -y)


_MAKERS: dict[tuple[str, int], Callable[..., Affine]] = {
    ("matrix", 6): Affine,
    ("translate", 1): lambda x: Affine.translation(x, 0.0),
    ("translate", 2): Affine.translation,
    ("translatex", 1): lambda x: Affine.translation(x, 0.0),
    ("translatey", 1): lambda y: Affine.translation(0.0, y),
    ("scale", 1): Affine.scaling,
    ("scale", 2): Affine.scaling,
    ("scalex", 1): lambda x: Affine.scaling(x, 1.0),
    ("scaley", 1): lambda y: Affine.scaling(1.0, y),
    ("rotate", 1): Affine.rotation,
    ("rotate", 3): _about,
    ("skewx", 1): lambda x: Affine.skewing(x, 0.0),
    ("skewy", 1): lambda y: Affine.skewing(0.0, y),
    ("skew", 1): lambda x: Affine.skewing(x, 0.0),
    ("skew", 2): Affine.skewing,
}


@lru_cache(maxsize=1024)
def transform(text: str) -> Affine | None:
    """Return the map of a transform list, None where it cannot be read.

    Functions of SVG 1.1 and the flat ones of CSS Transforms 1; `none` and
    an empty list are the map that changes nothing.

    >>> transform("translate(2 3) scale(10)")
    Affine(a=10.0, b=0.0, c=0.0, d=10.0, e=2.0, f=3.0)
    """
    text = text.strip()
    if text == "none":
        return Affine()
    result = Affine()
    for match in _FUNCTION.finditer(text.rstrip(" \t\r\n,")):
        name = (match[1] or "").lower()
        values = _arguments(name, match[2]) if name else None
        maker = _MAKERS.get((name, len(values))) if values is not None else None
        if maker is None or values is None:
            return None
        result = result @ maker(*values)
    whole = (result.a, result.b, result.c, result.d, result.e, result.f)
    return result if all(map(isfinite, whole)) else None


def _arguments(name: str, text: str) -> list[float] | None:
    """Return the arguments of one function, angles in degrees and lengths in px."""
    values: list[float] = []
    for match in _ARGUMENT.finditer(text.rstrip()):
        unit = match[2]
        is_turn = name in _TURNS and (not values or name == "skew")
        known = DEGREES if is_turn else PX_PER_UNIT if name.startswith("translate") else {"": 1.0}
        if unit not in known or not isfinite(float(match[1])):
            return None
        values.append(float(match[1]) * known[unit])
    return values


def server_transform(text: str) -> Affine:
    """Return the transform of a paint server; one that cannot be read or leaves no area is not followed."""
    own = transform(text)
    return own if own is not None and own.determinant != 0 else Affine()


def about_origin(own: Affine, text: str, measures: Measures, *, box: Box | None = None) -> Affine:
    """Return a transform about the transform-origin that the text tells, in a box or the nearest viewport.

    Source: CSS Transforms 1, 5 and 6 (transform-origin, transform-box); without one it is the origin of
    coordinates, or the top left corner of the box.
    """
    words = split_list(text)[:2]
    if not words and box is None:
        return own
    within = box or Box(0.0, 0.0, measures.wide, measures.high)
    words = words or ["0", "0"]
    if len(words) == 1:
        words.append("center")
    if words[0] in ("top", "bottom") or words[1] in ("left", "right"):
        words.reverse()
    offsets = []
    for word, start, whole in zip(
        words, (within.left, within.top), (within.width, within.height), strict=True
    ):
        offset = _SIDES[word] * whole if word in _SIDES else length(word, measures, whole=whole)
        offsets.append(start + (offset or 0.0))
    origin = Affine.translation(*offsets)
    return origin @ own @ origin.inverse()
