"""Accents of small fitted letters as our alphabets draw them: those of a font become dots and bars."""

from functools import cache

import numpy as np

from svg2chart.alphabets.composing import accent_of, seated
from svg2chart.alphabets.drawn import Accent, Alphabet, Stitches, shoulder_of
from svg2chart.alphabets.reading import alphabet_names, packaged_alphabet
from svg2chart.letterforms import Bare
from svg2chart.letters.alphabet_lines import shown_of
from svg2chart.letters.glyphs import FittedGlyph, put_together

MOST_HIGH = 12
"""Accents of higher letters, in squares of capitals, have room for the shape that the font gives them."""
_CARON = "\u030c"


def are_drawn(bare: Bare) -> bool:
    """Whether all accents of a letter are drawn in our alphabets; a caron beside a d, t or l is a stroke."""
    if bare.text in "dtlL" and _CARON in bare.accents:
        return False
    return all(accent_of(_alphabet_for(1), bare.text, accent) is not None for accent in bare.accents)


def with_accents(glyph: FittedGlyph, bare: Bare, *, stem: int) -> FittedGlyph:
    """Return a fitted letter with its accents on it, each above the one before, in the middle.

    Args:
        glyph: the letter without accents, fitted.
        bare: the letter and its accents, all of which are drawn.
        stem: how many squares wide its strokes are.
    """
    ends, shoulder = (glyph.left, glyph.left + int(glyph.shown.shape[1])), _shoulder(glyph)
    for character in bare.accents:
        accent = accent_of(_alphabet_for(stem), bare.text, character)
        glyph = glyph if accent is None else _with_accent(glyph, accent, ends, shoulder)
    return glyph


def _shoulder(glyph: FittedGlyph) -> tuple[int, int]:
    rows, columns = glyph.shown.shape[:2]
    found = np.argwhere(glyph.shown[..., 1] & glyph.shown[..., 2]).tolist()
    sides = [(glyph.top + row, glyph.left + column) for row, column in found]
    bottom, right = glyph.top + rows, glyph.left + columns
    return shoulder_of(sides, (), top=glyph.top, bottom=bottom, right=right)


def _with_accent(
    glyph: FittedGlyph, accent: Accent, ends: tuple[int, int], shoulder: tuple[int, int]
) -> FittedGlyph:
    drawn = seated(accent, ends, top=glyph.top, shoulder=shoulder)
    return put_together([glyph, FittedGlyph(shown=shown_of(drawn), top=drawn.top, left=drawn.left)])


@cache
def _alphabet_for(stem: int) -> Alphabet:
    """Return the alphabet of stitches whose strokes are so wide, or nearly."""
    alphabets = [packaged_alphabet(name) for name in alphabet_names()]
    own = sorted((one for one in alphabets if one.stitches is Stitches.STITCHED), key=lambda one: one.capital)
    return own[0] if stem <= 1 else own[-1]
