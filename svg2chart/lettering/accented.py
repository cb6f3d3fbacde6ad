"""Accented letters of a font without their accents."""

from collections.abc import Sequence
from unicodedata import combining, normalize

from svg2chart.alphabets.composing import DOTLESS
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.path import Path
from svg2chart.letterforms import Bare
from svg2chart.lettering.fonts import Face
from svg2chart.lettering.match import Font
from svg2chart.lettering.shape import Glyph, outline

_ABOVE = 230
_AROUND = (_ABOVE, 220, 202, 216)
"""Combining classes of accents above, below, attached below, and attached above right.

Source: The Unicode Standard, table 4-3."""


def bare_letter(face: Face, font: Font, glyphs: Sequence[Glyph], text: str) -> Bare | None:
    """Return a letter without its accents, None where it has none or the font does not have it by itself.

    Args:
        face: the letter's.
        font: all files of its font: one may hold only what plain Latin lacks.
        glyphs: that it is drawn with: its own, or those of the letter and of the accents.
        text: its characters.

    Raises:
        FontError: the file cannot be read any more.
    """
    first, *marks = list(normalize("NFD", text)) or [""]
    accents = tuple(mark for mark in marks if combining(mark) in _AROUND)
    base = normalize("NFC", first + "".join(mark for mark in marks if mark not in accents))
    if not accents or len(base) != 1:
        return None
    undotted = DOTLESS.get(base, base) if any(combining(mark) == _ABOVE for mark in accents) else base
    held = next((one for one in (face, *font) if one.has(undotted)), face)
    number = held.engine.get_nominal_glyph(ord(undotted))
    whole = normalize("NFC", text)
    if len(glyphs) == 1:
        meant = [face.engine.get_nominal_glyph(ord(whole))] if len(whole) == 1 else []
    else:
        meant = [face.engine.get_nominal_glyph(ord(undotted)), face.engine.get_nominal_glyph(ord(base))]
    if not number or not glyphs or glyphs[0].number not in meant:
        return None  # the font draws it as something else, such as a small capital
    move = Affine.translation(glyphs[0].x, glyphs[0].y)
    contours = [(move.apply(contour), True) for contour in outline(held, number)]
    return Bare(text=undotted, outline=Path.of_contours(contours), accents=accents)
