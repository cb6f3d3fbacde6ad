"""Accents of small fitted letters as our alphabets draw them: those of a font become dots and bars."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from unicodedata import combining, normalize

import numpy as np
from numpy.typing import NDArray

from svg2chart.alphabets.composing import DOTLESS, seated
from svg2chart.alphabets.drawn import Accent, Stitches
from svg2chart.alphabets.reading import alphabet_names, packaged_alphabet
from svg2chart.geometry.path import Path
from svg2chart.letterforms import Heights
from svg2chart.letters.alphabet_lines import shown_of
from svg2chart.letters.fitting import FittedGlyph

MOST_HIGH = 12
"""Accents of higher letters, in squares of capitals, have room for the shape that the font gives them."""
_ABOVE = 230  # combining class of accents above a letter. Source: The Unicode Standard, table 4-3
_CARON = "\u030c"
"""Beside a d, t or l it is a stroke."""
_NEAR = 0.95
"""Accents are outlines that lie above so much of the height of a letter."""


def without_accents(outline: Path, heights: Heights, text: str) -> tuple[Path, str, tuple[str, ...]]:
    """Return the outline of a letter without the accents above it, the letter, and the accents.

    Accents stay with the letter, and none are returned, where they are joined to it, beside it, or unknown.

    Args:
        outline: in em, y down from the baseline.
        heights: of its font.
        text: its characters.
    """
    base, *marks = list(normalize("NFD", text)) or [""]
    accents = tuple(mark for mark in marks if combining(mark) == _ABOVE)
    rest = "".join(mark for mark in marks if mark not in accents)
    if not accents or (base in "dtlL" and _CARON in accents):
        return outline, text, ()
    known = packaged_alphabet(_alphabet_for(1)).accents
    if any(mark not in known for mark in accents):
        return outline, text, ()
    top = -_NEAR * (heights.capital if base.isupper() else heights.small)
    contours = outline.contours()
    above = [float(contour[..., 1].max()) < top for contour, _ in contours]
    body = [one for one, is_accent in zip(contours, above, strict=True) if not is_accent]
    if not body or not any(above):
        return outline, text, ()
    left, right = _reach([contour for contour, _ in body])
    start, end = _reach([one for (one, _), is_accent in zip(contours, above, strict=True) if is_accent])
    if not (start < right and left < end):
        return outline, text, ()
    return Path.of_contours(body), DOTLESS.get(base, base) + rest, accents


def with_accents(glyph: FittedGlyph, accents: tuple[str, ...], *, stem: int) -> FittedGlyph:
    """Return a fitted letter with accents on it, each above the one before, in the middle.

    Args:
        glyph: the letter.
        accents: their characters, from the letter upwards.
        stem: how many squares wide its strokes are.
    """
    known = packaged_alphabet(_alphabet_for(stem)).accents
    middle = (glyph.left, glyph.left + int(glyph.shown.shape[1]))
    for accent in accents:
        glyph = _with_accent(glyph, known[accent], middle)
    return glyph


def _with_accent(glyph: FittedGlyph, accent: Accent, middle: tuple[int, int]) -> FittedGlyph:
    drawn = seated(accent, left=middle[0], right=middle[1], top=glyph.top)
    rows, columns = glyph.shown.shape[:2]
    left, top = min(glyph.left, drawn.left), min(glyph.top, drawn.top)
    right = max(glyph.left + columns, drawn.right)
    shown = np.zeros((glyph.top + rows - top, right - left, 8), np.bool_)
    shown[glyph.top - top :, glyph.left - left : glyph.left - left + columns] = glyph.shown
    own = shown_of(drawn)
    down, across = drawn.top - top, drawn.left - left
    shown[down : down + own.shape[0], across : across + own.shape[1]] |= own
    return replace(glyph, shown=shown, top=top, left=left)


@cache
def _alphabet_for(stem: int) -> str:
    """Return the name of the alphabet of stitches whose strokes are so wide, or nearly."""
    own = [name for name in alphabet_names() if packaged_alphabet(name).stitches is Stitches.STITCHED]
    own.sort(key=lambda name: packaged_alphabet(name).capital)
    return own[0] if stem <= 1 else own[-1]


def _reach(contours: Sequence[NDArray[np.float64]]) -> tuple[float, float]:
    return (
        min(float(contour[..., 0].min()) for contour in contours),
        max(float(contour[..., 0].max()) for contour in contours),
    )
