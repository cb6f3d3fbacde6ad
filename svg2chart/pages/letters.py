"""Type for the pages: the symbol font made from the drawn symbols, and the body faces with their widths."""

import io
import unicodedata
from collections.abc import Mapping
from functools import cache, lru_cache
from importlib import resources

from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont

from svg2chart.pages.sheet import Face
from svg2chart.symbol_drawing import Symbol

FONT_NAME = "svg2chart-symbols"
_EM = 1000  # every glyph is one em wide, so that a row of squares is one string
_EPOCH = 2082844800  # 1 January 1970 in seconds since 1904, the TrueType clock: a date that says nothing
_FILES = {Face.BODY: "SourceSansPro-Regular.ttf", Face.BOLD: "SourceSansPro-Semibold.ttf"}


def symbol_font(symbols: Mapping[str, Symbol], *, name: str = FONT_NAME) -> bytes:
    """Return a TrueType font whose letters are the symbols.

    Every advance is one em, that of the space too. The em square is the
    symbol's unit square, its lower edge on the baseline. The bytes depend on
    the symbols alone: no date is written.
    """
    codes = {letter: f"symbol{ord(letter):02X}" for letter in sorted(symbols)}
    glyphs = {".notdef": TTGlyphPen(None).glyph(), "space": TTGlyphPen(None).glyph()}
    glyphs |= {codes[letter]: _glyph(symbols[letter]) for letter in codes}
    builder = FontBuilder(_EM, isTTF=True)
    builder.setupGlyphOrder(list(glyphs))
    builder.setupCharacterMap({0x20: "space"} | {ord(letter): glyph for letter, glyph in codes.items()})
    builder.setupGlyf(glyphs)
    builder.setupHorizontalMetrics(
        {code: (_EM, getattr(glyph, "xMin", 0)) for code, glyph in builder.font["glyf"].glyphs.items()}
    )
    builder.setupHorizontalHeader(ascent=_EM, descent=0)
    builder.setupNameTable({"familyName": name, "styleName": "Regular", "psName": name})
    builder.setupOS2(sTypoAscender=_EM, sTypoDescender=0, usWinAscent=_EM, usWinDescent=0)
    builder.setupPost()
    builder.font["head"].created = builder.font["head"].modified = _EPOCH
    builder.font.recalcTimestamp = False
    written = io.BytesIO()
    builder.font.save(written)
    return written.getvalue()


def _glyph(symbol: Symbol) -> object:
    pen = TTGlyphPen(None)
    for contour in symbol.contours:
        points = [(round(x * _EM), round((1 - y) * _EM)) for x, y in contour]
        pen.moveTo(points[0])
        for point in points[1:]:
            pen.lineTo(point)
        pen.closePath()
    return pen.glyph()


@cache
def body_font(face: Face) -> bytes:
    """Return the font file of a body face, from the font package this one depends on."""
    return (resources.files("font_source_sans_pro") / "files" / _FILES[face]).read_bytes()


@cache
def _widths(face: Face) -> Mapping[int, float]:
    """Return the advance of each character in ems."""
    font = TTFont(io.BytesIO(body_font(face)))
    em = font["head"].unitsPerEm
    return {code: font["hmtx"][name][0] / em for code, name in font.getBestCmap().items()}


def printable(text: str) -> str:
    """Return the text with what the body faces cannot show replaced by "?", composed and on one line."""
    composed = unicodedata.normalize("NFC", " ".join(text.split()))
    return "".join(c if ord(c) in _widths(Face.BODY) and c.isprintable() else "?" for c in composed)


def text_width(text: str, size: float, *, face: Face = Face.BODY) -> float:
    """Return the width of a printable text in the unit of `size`, the em. Without kerning, as it is set."""
    return _ems(text, face) * size


@lru_cache(maxsize=4096)
def _ems(text: str, face: Face) -> float:
    widths = _widths(face)
    return sum(widths[ord(c)] for c in text)


def fitted(text: str, size: float, *, width: float, face: Face = Face.BODY) -> str:
    """Return the printable text, cut with an ellipsis where it is wider than `width`."""
    shown = printable(text)
    if text_width(shown, size, face=face) <= width:
        return shown
    while shown and text_width(shown + "…", size, face=face) > width:
        shown = shown[:-1]
    return shown.rstrip() + "…"


def wrapped(text: str, size: float, *, width: float, face: Face = Face.BODY) -> tuple[str, ...]:
    """Return the printable text broken into lines no wider than `width`; a word that is wider is broken."""
    lines: list[list[str]] = []
    space, room = text_width(" ", size, face=face), 0.0
    for word in printable(text).split():
        for piece in _pieces(word, size, width, face):
            wide = text_width(piece, size, face=face)
            if lines and wide + space <= room:
                lines[-1].append(piece)
                room -= wide + space
            else:
                lines.append([piece])
                room = width - wide
    return tuple(" ".join(line) for line in lines)


def _pieces(word: str, size: float, width: float, face: Face) -> list[str]:
    if text_width(word, size, face=face) <= width:
        return [word]
    pieces = [""]
    for character in word:
        if pieces[-1] and text_width(pieces[-1] + character, size, face=face) > width:
            pieces.append("")
        pieces[-1] += character
    return pieces
