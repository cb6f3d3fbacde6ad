"""Characters to glyphs: script, shaping, outlines."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import uharfbuzz
from fontTools import unicodedata
from numpy.typing import NDArray

from svg2chart.lettering.fonts import Face

Array = NDArray[np.float64]

_APART = ("Latn", "Grek", "Cyrl", "Hebr", "Armn", "Geor")
"""Scripts that are printed letter by letter, from memory; letters of others may join."""
_SHARED_SCRIPTS = ("Zyyy", "Zinh", "Zzzz")  # common, inherited, unknown. Source: ISO 15924


@dataclass(frozen=True, slots=True, kw_only=True)
class Glyph:
    """A glyph of a shaped text; lengths in em, y downwards.

    cluster: the index of the first character that it stands for.
    advance: how far the pen goes on; `x`, `y`: where the glyph is drawn from, beside the pen.
    """

    number: int
    cluster: int
    advance: float
    x: float
    y: float


def scripts(text: str) -> list[str]:
    """Return the script of each character; shared ones count to the script before, at the start to the next.

    Source: Unicode Standard Annex 24, 5.1 and 5.2.
    """
    found = [unicodedata.script(character) for character in text]
    current = next((script for script in found if script not in _SHARED_SCRIPTS), "Zyyy")
    resolved = []
    for script in found:
        current = current if script in _SHARED_SCRIPTS else script
        resolved.append(current)
    return resolved


def is_written_apart(text: str) -> bool:
    """Whether letters of these characters stand apart in print, though they may touch: not as in Arabic."""
    return all(unicodedata.script(character) in (*_SHARED_SCRIPTS, *_APART) for character in text)


def shape(
    face: Face, text: str, start: int, end: int, *, level: int, script: str, features: Mapping[str, int]
) -> list[Glyph]:
    """Return the glyphs of text[start:end] from left to right; the rest of the text is context.

    `features`: values of OpenType features that are not to have their usual ones.
    """
    font = face.engine
    buffer = uharfbuzz.Buffer()
    buffer.add_codepoints([ord(character) for character in text], start, end - start)
    buffer.direction = "rtl" if level % 2 else "ltr"
    buffer.script = script
    buffer.language = "und"
    uharfbuzz.shape(font, buffer, dict(features))
    em = face.units_per_em
    return [
        Glyph(
            number=info.codepoint,
            cluster=info.cluster,
            advance=position.x_advance / em,
            x=position.x_offset / em,
            y=-position.y_offset / em,
        )
        for info, position in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True)
    ]


@lru_cache(maxsize=4096)  # a few alphabets
def outline(face: Face, number: int) -> tuple[Array, ...]:
    """Return the contours of a glyph as (k, 4, 2) cubic segments, in em, y downwards from the baseline."""
    pen = _Pen()
    face.engine.draw_glyph(number, _DRAW, pen)
    contours = [np.array(segments) * (1, -1) / face.units_per_em for segments in pen.contours if segments]
    for contour in contours:
        contour.setflags(write=False)
    return tuple(contours)


def has_colours(face: Face, number: int) -> bool:
    """Return whether a glyph has colours of its own, which its outline does not."""
    font = face.engine.face
    return face.has_colours and (
        bool(font.get_glyph_color_layers(number))
        or bool(font.glyph_has_color_paint(number))
        or bool(font.has_color_svg and font.get_glyph_color_svg(number))
    )


class _Pen:
    """Collects what HarfBuzz draws."""

    def __init__(self) -> None:
        self.contours: list[list[list[tuple[float, float]]]] = []
        self.start = self.at = (0.0, 0.0)

    def move_to(self, x: float, y: float) -> None:
        self.contours.append([])
        self.start = self.at = (x, y)

    def line_to(self, x: float, y: float) -> None:
        self.cubic_to(*self.at, x, y, x, y)

    def quadratic_to(self, x1: float, y1: float, x: float, y: float) -> None:
        """Raise the degree: the cubic's controls lie two thirds of the way to the quadratic's."""
        x0, y0 = self.at
        self.cubic_to((x0 + 2 * x1) / 3, (y0 + 2 * y1) / 3, (x + 2 * x1) / 3, (y + 2 * y1) / 3, x, y)

    def cubic_to(self, x1: float, y1: float, x2: float, y2: float, x: float, y: float) -> None:
        self.contours[-1].append([self.at, (x1, y1), (x2, y2), (x, y)])
        self.at = (x, y)

    def close_path(self) -> None:
        if self.at != self.start:
            self.line_to(*self.start)


def _draw_functions() -> uharfbuzz.DrawFuncs:
    functions = uharfbuzz.DrawFuncs()
    functions.set_move_to_func(lambda x, y, pen: pen.move_to(x, y))
    functions.set_line_to_func(lambda x, y, pen: pen.line_to(x, y))
    functions.set_quadratic_to_func(lambda x1, y1, x, y, pen: pen.quadratic_to(x1, y1, x, y))
    functions.set_cubic_to_func(lambda x1, y1, x2, y2, x, y, pen: pen.cubic_to(x1, y1, x2, y2, x, y))
    functions.set_close_path_func(lambda pen: pen.close_path())
    return functions


_DRAW = _draw_functions()
