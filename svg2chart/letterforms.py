"""Letters as a font has them: outlines and places, the heights that all letters of the font keep."""

from dataclasses import dataclass
from enum import Enum
from math import inf

from svg2chart.geometry.affine import Affine
from svg2chart.geometry.path import Path

ANCHORED = {"start": 0.0, "middle": 0.5, "end": 1.0}
"""Which part of a line lies before its anchor. Source: SVG 2, text-anchor."""


class TextAs(Enum):
    """What words become on the cloth, in the words of the drawing's attribute data-stitch-text."""

    FITTED = "fitted"
    AS_DRAWN = "as-drawn"
    BACKSTITCH = "backstitch"


@dataclass(frozen=True, slots=True, kw_only=True)
class Heights:
    """Heights above the baseline and widths of strokes, in em; the descender is below and positive.

    stem: of upright strokes; bar: of level ones. is_bold: whether the font is the bold one of its family.
    between_stems: the white inside an n that stands on serifs, inf if it has none.
    """

    capital: float
    small: float
    ascender: float
    descender: float
    stem: float
    bar: float
    is_bold: bool = False
    between_stems: float = inf


@dataclass(frozen=True, slots=True, kw_only=True)
class Bare:
    """A letter without its accents: its character, its outline as in `Letterform`, the accents."""

    text: str
    outline: Path
    accents: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Letterform:
    """A letter, or several that are one glyph or stand on each other, at its place on a line of words.

    run: the index of the run that it belongs to. text: its characters.
    outline: in em, y down, from where it starts on the baseline; fills are nonzero.
    heights: of its font. place: from the outline's space to that of the words.
    line: letters of one line have one number, in the order from left to right.
    joins: whether it is meant to run into letters that it touches, as in handwriting.
    bare: the letter without its accents, None where it has none or they cannot be told apart.
    """

    run: int
    text: str
    outline: Path
    heights: Heights
    place: Affine
    line: int
    joins: bool = False
    bare: Bare | None = None
