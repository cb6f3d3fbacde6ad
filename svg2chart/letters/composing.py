"""Words by height in squares: lines, paragraphs, arches and monograms of letters on the squares."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from math import floor

from svg2chart.artwork import Run, Words
from svg2chart.colour import Colour
from svg2chart.errors import FontError, LettersError
from svg2chart.geometry.affine import Affine
from svg2chart.lettering.fonts import Face, Fonts
from svg2chart.lettering.heights import heights_of
from svg2chart.lettering.words import set_words
from svg2chart.letters.breaking import break_lines
from svg2chart.letters.lines import SetLetter
from svg2chart.letters.setting import set_on_squares
from svg2chart.remarks import Remark

LEAST_HIGH, MOST_HIGH = 4, 400
"""Heights of capitals that can be set: lower ones have no room for the bars and gaps of an E."""

_LINE_STEP = 1.6
"""Baselines lie so many heights of capitals apart where nothing else is asked for."""
_SIDE_SHARE = 2 / 3
"""The outer letters of a monogram of three are so high beside the middle one. Common practice, no source."""


class Align(Enum):
    """Where lines that are shorter than the longest one, or than the width, stand."""

    LEFT = "left"
    CENTRE = "centre"
    RIGHT = "right"


@dataclass(frozen=True, slots=True, kw_only=True)
class Lettering:
    """Letters on so many columns and rows of squares, and what was not set as asked."""

    letters: tuple[SetLetter, ...]
    columns: int
    rows: int
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Line:
    """A line of letters, its first column 0, its baseline at row 0."""

    letters: tuple[SetLetter, ...]
    remarks: tuple[Remark, ...]

    @property
    def width(self) -> int:
        return max((one.end for one in self.letters), default=0)


def set_letters(
    lines: Sequence[str],
    *,
    high: int,
    fonts: Fonts,
    face: Face | None = None,
    width: int | None = None,
    align: Align = Align.LEFT,
    spacing: int = 0,
    line_step: int | None = None,
    arch: int = 0,
) -> Lettering:
    """Return lines of words fitted to the squares.

    Args:
        lines: of text; with a width, each is a paragraph.
        high: of capitals, in squares.
        fonts: that characters are taken from which the face has not.
        face: to set the words in; without, the first of the fonts.
        width: lines are broken so that they are no wider, in squares.
        align: how lines stand.
        spacing: more bare squares between letters.
        line_step: from baseline to baseline, in squares.
        arch: letters rise towards the middle of a line, upright, by up to so many squares.

    Raises:
        LettersError: there is nothing to set, or the width is too small.
        FontError: a font file can no longer be read.
    """
    if not LEAST_HIGH <= high <= MOST_HIGH:
        raise LettersError(f"capitals are {LEAST_HIGH} to {MOST_HIGH} squares high, not {high}")
    if not any(line.split() for line in lines):
        raise LettersError("there are no words to set", way_out="Give some")
    face = face or fonts.faces[0]

    def line_of(text: str) -> _Line:
        return _line(text, face, fonts, high=high, spacing=spacing)

    texts = [" ".join(line.split()) for line in lines]
    if width is not None:
        texts = [part for text in texts for part in _broken(text, line_of, width, spacing)]
    step = line_step if line_step is not None else floor(_LINE_STEP * high + 0.5)
    found = [line_of(text) for text in texts]
    whole = width or max(line.width for line in found)
    letters = []
    for index, line in enumerate(found):
        left = {Align.LEFT: 0, Align.CENTRE: (whole - line.width) // 2, Align.RIGHT: whole - line.width}[
            align
        ]
        for one in line.letters:
            rise = _rise(one, line.width, arch)
            letters.append(replace(one, column=one.column + left, row=one.row + index * step - rise))
    return _placed(letters, [remark for line in found for remark in line.remarks])


def set_monogram(text: str, *, high: int, fonts: Fonts, face: Face | None = None) -> Lettering:
    """Return one to three letters as a monogram: of three, the middle one is higher than the others.

    Raises:
        LettersError: there are not one to three letters.
        FontError: a font file can no longer be read.
    """
    initials = [character for character in text if not character.isspace()]
    if not 1 <= len(initials) <= 3:
        raise LettersError(f"a monogram has one to three letters, not {len(initials)}")
    face = face or fonts.faces[0]
    side = max(LEAST_HIGH, floor(_SIDE_SHARE * high + 0.5)) if len(initials) == 3 else high
    side -= (high - side) % 2  # so that the outer letters stand in the middle of the higher one
    letters: list[SetLetter] = []
    remarks: list[Remark] = []
    at = 0
    for index, initial in enumerate(initials):
        own = high if len(initials) < 3 or index == 1 else max(side, LEAST_HIGH)
        line = _line(initial, face, fonts, high=own, spacing=0)
        up = (high - own) // 2
        letters += [replace(one, column=one.column + at, row=one.row - up) for one in line.letters]
        remarks += line.remarks
        at += line.width + 1
    return _placed(letters, remarks)


def _line(text: str, face: Face, fonts: Fonts, *, high: int, spacing: int) -> _Line:
    """Return one line of letters; its ink begins in column 0."""
    try:
        size = high / heights_of(face).capital
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
    words = set_words(Words(element="", runs=(run,)), Fonts(faces=(face, *fonts.faces), found=fonts.found))
    letters = set_on_squares(words, Affine())
    left = min((one.column for one in letters), default=0)
    return _Line(
        letters=tuple(
            replace(one, column=one.column - left + spacing * index) for index, one in enumerate(letters)
        ),
        remarks=words.remarks,
    )


def _broken(text: str, line_of: Callable[[str], _Line], width: int, spacing: int) -> list[str]:
    """Return a paragraph in lines no wider than a width."""
    words = text.split()
    if not words:
        return [""]
    widths = [line_of(word).width for word in words]
    for word, wide in zip(words, widths, strict=True):
        if wide > width:
            raise LettersError(
                f'"{word}" is {wide} squares wide, the lines are to be {width}',
                way_out="Ask for a greater width or a smaller height",
            )
    pair = line_of("n n").width - 2 * line_of("n").width
    lines = break_lines(widths, space=max(pair, 2 + spacing), width=width)
    texts = [" ".join(words[index] for index in line) for line in lines]
    if any(line_of(one).width > width for one in texts):  # kerning across a space
        lines = break_lines(widths, space=max(pair, 2 + spacing) + 1, width=width)
        texts = [" ".join(words[index] for index in line) for line in lines]
    return texts


def _rise(letter: SetLetter, width: int, arch: int) -> int:
    """Return how far a letter is raised on an arch that is a parabola: at the ends not at all."""
    if not arch or not width:
        return 0
    middle = (letter.column + letter.end) / 2
    share = (2 * middle - width) / width
    return floor(arch * (1 - share * share) + 0.5)


def _placed(letters: Sequence[SetLetter], remarks: Sequence[Remark]) -> Lettering:
    """Return letters moved so that the first of their squares are in row and column 0."""
    if not letters:
        raise LettersError("the words have no letters to be seen", way_out="Give some")
    left, top = min(one.column for one in letters), min(one.row for one in letters)
    moved = tuple(replace(one, column=one.column - left, row=one.row - top) for one in letters)
    return Lettering(
        letters=moved,
        columns=max(one.end for one in moved),
        rows=max(one.bottom for one in moved),
        remarks=tuple(dict.fromkeys(remarks)),
    )
