"""Fonts as objects of a PDF: only the glyphs that are shown, two bytes a character, both of them its code.

A character's number in the file is its Unicode code point, so that a string on the page is the text itself.
Sources: ISO 32000-1, 9.7 (composite fonts), 9.10 (text back from glyphs).
"""

import hashlib
import io
from collections.abc import Mapping, Set

import pikepdf
from fontTools import subset
from fontTools.ttLib import TTFont

_PER_BLOCK = 100  # most entries of a block in a character map; ISO 32000-1, 9.10.3
_SYMBOLIC = 4  # the flag of a font with characters of its own order; ISO 32000-1, table 123
_LAYOUT = ("GSUB", "GPOS", "GDEF", "DSIG", "BASE")  # of no use to text set character by character
_KEPT = ("name", "OS/2", "cmap", "post")  # of a font's tables, those that show nothing


def embedded_font(
    pdf: pikepdf.Pdf, font: bytes, characters: Set[str], *, read_as: str = ""
) -> pikepdf.Object:
    """Return a font object with the glyphs of these characters.

    Args:
        pdf: the file that it becomes a part of.
        font: a TrueType font that has all of them.
        characters: within the Basic Multilingual Plane, so that two bytes hold each.
        read_as: what each of them is in the text of the file, itself if it is "".
    """
    cut = _subset(font, characters)
    em = cut["head"].unitsPerEm
    glyphs = {ord(c): cut.getBestCmap()[ord(c)] for c in sorted(characters)}
    name = f"{_tag(cut, glyphs)}+{cut['name'].getDebugName(6)}"
    widths = pikepdf.Array()
    for code, glyph in glyphs.items():
        widths.append(code)
        widths.append(pikepdf.Array([round(cut["hmtx"][glyph][0] * 1000 / em)]))
    descendant = pikepdf.Dictionary(
        Type=pikepdf.Name.Font,
        Subtype=pikepdf.Name.CIDFontType2,
        BaseFont=pikepdf.Name(f"/{name}"),
        CIDSystemInfo=pikepdf.Dictionary(
            Registry=pikepdf.String("Adobe"), Ordering=pikepdf.String("Identity"), Supplement=0
        ),
        FontDescriptor=pdf.make_indirect(_descriptor(pdf, cut, name)),
        W=widths,
        CIDToGIDMap=pdf.make_stream(_glyph_numbers(cut, glyphs)),
    )
    return pdf.make_indirect(
        pikepdf.Dictionary(
            Type=pikepdf.Name.Font,
            Subtype=pikepdf.Name.Type0,
            BaseFont=pikepdf.Name(f"/{name}"),
            Encoding=pikepdf.Name("/Identity-H"),
            DescendantFonts=pikepdf.Array([pdf.make_indirect(descendant)]),
            ToUnicode=pdf.make_stream(
                _character_map({code: ord(read_as) if read_as else code for code in sorted(glyphs)})
            ),
        )
    )


def _subset(font: bytes, characters: Set[str]) -> TTFont:
    cut = TTFont(io.BytesIO(font), lazy=True, recalcTimestamp=False)
    for table in _LAYOUT:  # before they are read
        if table in cut:
            del cut[table]
    if set(cut.getBestCmap()) == set(map(ord, characters)):
        return cut
    options = subset.Options()
    options.hinting, options.notdef_outline = False, True
    options.name_IDs, options.recalc_timestamp = [6], False
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=sorted(map(ord, characters)))
    subsetter.subset(cut)
    return cut


def _tag(cut: TTFont, glyphs: Mapping[int, str]) -> str:
    """Return six letters that tell one subset from another. Source: ISO 32000-1, 9.6.4."""
    digest = hashlib.sha256(repr((cut["name"].getDebugName(6), sorted(glyphs))).encode()).digest()
    return "".join(chr(ord("A") + byte % 26) for byte in digest[:6])


def _descriptor(pdf: pikepdf.Pdf, cut: TTFont, name: str) -> pikepdf.Dictionary:
    head, hhea = cut["head"], cut["hhea"]
    scale = 1000 / head.unitsPerEm
    box = [round(value * scale) for value in (head.xMin, head.yMin, head.xMax, head.yMax)]
    for table in _KEPT:  # what a viewer needs stands in the objects around it
        if table in cut:
            del cut[table]
    written = io.BytesIO()
    cut.save(written)
    return pikepdf.Dictionary(
        Type=pikepdf.Name.FontDescriptor,
        FontName=pikepdf.Name(f"/{name}"),
        Flags=_SYMBOLIC,
        FontBBox=pikepdf.Array(box),
        ItalicAngle=0,
        Ascent=round(hhea.ascent * scale),
        Descent=round(hhea.descent * scale),
        CapHeight=round(hhea.ascent * scale),
        StemV=80,
        FontFile2=pdf.make_stream(written.getvalue(), Length1=len(written.getvalue())),
    )


def _glyph_numbers(cut: TTFont, glyphs: Mapping[int, str]) -> bytes:
    """Return the glyph number of each code point from 0, in two bytes. Source: ISO 32000-1, 9.7.4.2."""
    numbers = bytearray(2 * (max(glyphs, default=0) + 1))
    for code, glyph in glyphs.items():
        numbers[2 * code : 2 * code + 2] = cut.getGlyphID(glyph).to_bytes(2, "big")
    return bytes(numbers)


def _character_map(texts: Mapping[int, int]) -> bytes:
    """Return the map from codes to text."""
    codes = list(texts)
    lines = [
        "/CIDInit /ProcSet findresource begin 12 dict begin begincmap",
        "/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def",
        "/CMapName /Adobe-Identity-UCS def /CMapType 2 def",
        "1 begincodespacerange <0000> <FFFF> endcodespacerange",
    ]
    for start in range(0, len(codes), _PER_BLOCK):
        block = codes[start : start + _PER_BLOCK]
        lines += [
            f"{len(block)} beginbfchar",
            *(f"<{code:04X}> <{texts[code]:04X}>" for code in block),
            "endbfchar",
        ]
    lines.append("endcmap CMapName currentdict /CMap defineresource pop end end")
    return "\n".join(lines).encode("ascii")
