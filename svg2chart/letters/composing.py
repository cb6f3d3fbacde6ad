"""Words by height in squares, in fonts: lines, paragraphs, arches and monograms of letters on the squares."""

from collections.abc import Sequence
from itertools import accumulate
from math import floor

from svg2chart.artwork import Run, Words
from svg2chart.colour import Colour
from svg2chart.errors import FontError, LettersError
from svg2chart.geometry.affine import Affine
from svg2chart.lettering.fonts import Face, Fonts
from svg2chart.lettering.heights import heights_of_font
from svg2chart.lettering.levels import starts_leftward
from svg2chart.lettering.match import font_of, plain_face
from svg2chart.lettering.small import BOLD_IN_LOW, SERIFS_IN_LOW, remarks_on_small
from svg2chart.lettering.words import set_words
from svg2chart.letters.laying import (
    MOST_INITIALS,
    Layout,
    Lettering,
    initials_of,
    lay_out,
    lay_out_monogram,
)
from svg2chart.letters.placed import SetLine
from svg2chart.letters.scales import has_serifs_left_out, is_weight_lost
from svg2chart.letters.setting import LEAST_HIGH, set_on_squares
from svg2chart.remarks import Remark, Severity

MOST_HIGH = 400
"""Higher capitals are not set, in squares."""

_SIDE_SHARE = 2 / 3
"""The outer letters of a monogram of three are so high beside the middle one. Common practice, no source."""
_PLAIN = Layout()


def set_letters(
    lines: Sequence[str], *, high: int, fonts: Fonts, face: Face | None = None, layout: Layout = _PLAIN
) -> Lettering:
    """Return lines of words fitted to the squares.

    Args:
        lines: of text; with a width, each is a paragraph.
        high: of capitals, in squares.
        fonts: that characters are taken from which the face has not.
        face: to set the words in; without, that of `plain_face`.
        layout: how the lines stand.

    Raises:
        LettersError: there is nothing to set, the height or the width is out of range, or lines lie over each
            other.
        FontError: a font file can no longer be read.
    """
    _check_height(high)
    own = face or plain_face(fonts)
    fonts = Fonts(faces=(own, *fonts.faces), found=fonts.found)

    def line_of(text: str, paragraph: str) -> SetLine:
        return _line(text, paragraph, own, fonts, high=high, spacing=layout.spacing)

    remarks = _words(" ".join(lines), "", own, fonts, high=high).remarks
    remarks = (*remarks, *_on_height(own, fonts, high))
    return lay_out(lines, line_of, high=high, layout=layout, remarks=remarks)


def set_monogram(text: str, *, high: int, fonts: Fonts, face: Face | None = None) -> Lettering:
    """Return one to three letters as a monogram: of three, the middle one is higher than the others.

    Raises:
        LettersError: there are not one to three letters, or they are to be too low or too high; three, so
            low that the middle one cannot be higher.
        FontError: a font file can no longer be read.
    """
    _check_height(high)
    own = face or plain_face(fonts)
    fonts = Fonts(faces=(own, *fonts.faces), found=fonts.found)
    if high == LEAST_HIGH and len(initials_of(text)) == MOST_INITIALS:
        raise LettersError(
            f"the middle letter of three is higher than the others, which are {LEAST_HIGH} squares at least",
            way_out=f"Ask for {LEAST_HIGH + 1} squares or more",
        )
    side = max(LEAST_HIGH, floor(_SIDE_SHARE * high + 0.5))
    side = max(LEAST_HIGH, side - (high - side) % 2)  # so that they stand in the middle of the higher one

    def middle(letter: str, paragraph: str) -> SetLine:
        return _line(letter, paragraph, own, fonts, high=high, spacing=0)

    def sides(letter: str, paragraph: str) -> SetLine:
        return _line(letter, paragraph, own, fonts, high=side, spacing=0)

    remarks = _words(text, text, own, fonts, high=high).remarks
    lowest = side if len(initials_of(text)) == MOST_INITIALS else high
    remarks = (*remarks, *_on_height(own, fonts, lowest))
    return lay_out_monogram(text, middle, sides, raised=(high - side) // 2, remarks=remarks)


def _on_height(face: Face, fonts: Fonts, high: int) -> list[Remark]:
    """Return what is to be remarked on a font at a height."""
    heights = heights_of_font(font_of(fonts, face))
    lost = [
        what
        for what, is_lost in ((BOLD_IN_LOW, is_weight_lost), (SERIFS_IN_LOW, has_serifs_left_out))
        if is_lost(heights, high)
    ]
    return remarks_on_small(high) + [
        Remark(element="", what=what, severity=Severity.SIMPLIFIED) for what in lost
    ]


def _check_height(high: int) -> None:
    if not LEAST_HIGH <= high <= MOST_HIGH:
        raise LettersError(f"capitals are {LEAST_HIGH} to {MOST_HIGH} squares high, not {high}")


def _line(text: str, paragraph: str, face: Face, fonts: Fonts, *, high: int, spacing: int) -> SetLine:
    """Return a line of letters, ink begins in column 0; the first letter of its paragraph leads it."""
    letters = set_on_squares(_words(text, paragraph, face, fonts, high=high), Affine())
    left = min((one.column for one in letters), default=0)
    # a space is spaced out too
    gaps = accumulate(1 + one.begins_word if index else 0 for index, one in enumerate(letters))
    return SetLine(
        letters=tuple(one.moved(right=spacing * gap - left) for gap, one in zip(gaps, letters, strict=True))
    )


def _words(text: str, paragraph: str, face: Face, fonts: Fonts, *, high: int) -> Words:
    """Return a text set in a font, one user unit a square, read as the first letter of its paragraph is."""
    try:
        size = high / heights_of_font(font_of(fonts, face)).capital
    except ZeroDivisionError as error:
        raise FontError(
            "the font has no letters", file=face.file, way_out="Give another font file"
        ) from error
    run = Run(
        text=text,
        families=(face.family,),
        size=size,
        weight=face.weight,
        italic=face.italic,
        width=face.width,
        x=0.0,
        y=0.0,
        colour=Colour(0.0, 0.0, 0.0),
    )
    return set_words(Words(element="", runs=(run,), is_leftward=starts_leftward(paragraph)), fonts)
