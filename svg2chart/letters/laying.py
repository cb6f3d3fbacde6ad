"""Lines of letters to paragraphs, arches and monograms."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise
from math import floor

import numpy as np
from numpy.typing import NDArray

from svg2chart.alphabets.composing import letters_of
from svg2chart.errors import LettersError
from svg2chart.letters.breaking import break_lines
from svg2chart.letters.placed import LEAST_WORD_GAP, SetLetter, SetLine
from svg2chart.remarks import Remark

LineOf = Callable[[str, str], SetLine]
"""Sets the text of a line; the other text is the whole paragraph that it is of, whose direction it has."""

_LINE_STEP = 1.6
"""Baselines lie so many heights of capitals apart where nothing else is asked for."""
MOST_INITIALS = 3


class Align(Enum):
    """Where lines that are shorter than the longest one, or than the width, stand."""

    LEFT = "left"
    CENTRE = "centre"
    RIGHT = "right"


@dataclass(frozen=True, slots=True, kw_only=True)
class Lettering:
    """Letters on so many columns and rows of squares, and what was not set as asked.

    text: the words that they are, as they were given.
    """

    text: str
    letters: tuple[SetLetter, ...]
    columns: int
    rows: int
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """How lines are laid out.

    width: lines are broken so that they are no wider, in squares; None for as they are. align: how they
    stand. spacing: more bare squares between letters. line_step: from baseline to baseline, in squares; None
    for what goes with the height of capitals and leaves a bare row between lines. arch: letters rise towards
    the middle of a line, upright, by up to so many squares.
    """

    width: int | None = None
    align: Align = Align.LEFT
    spacing: int = 0
    line_step: int | None = None
    arch: int = 0

    def __post_init__(self) -> None:
        """Raise LettersError for a number that is too low."""
        for name, least in (("width", 1), ("spacing", 0), ("line_step", 1), ("arch", 0)):
            value = getattr(self, name)
            if value is not None and value < least:
                raise LettersError(f"the {name} of a layout is {least} or more, not {value}")


def lay_out(
    lines: Sequence[str], line_of: LineOf, *, high: int, layout: Layout, remarks: Sequence[Remark]
) -> Lettering:
    """Return lines of words laid out.

    Args:
        lines: of text; with a width, each is a paragraph.
        line_of: sets a line with the spacing of the layout.
        high: of capitals, in squares.
        layout: how the lines stand.
        remarks: what of all the text is not set as asked.

    Raises:
        LettersError: there is nothing to set, the width is too small, or lines lie over each other.
    """
    if not any(line.split() for line in lines):
        raise LettersError("there are no words to set", way_out="Give some")
    paragraphs = [" ".join(line.split()) for line in lines]
    found = [line for text in paragraphs for line in _set_lines(text, line_of, layout)]
    step = layout.line_step if layout.line_step is not None else _step(found, high)
    whole = layout.width or max(line.width for line in found)
    placed = []
    for index, line in enumerate(found):
        free = whole - line.width
        left = {Align.LEFT: 0, Align.CENTRE: free // 2, Align.RIGHT: free}[layout.align]
        rises = _rises(line, layout.arch)
        placed.append(
            [
                one.moved(right=left, down=index * step - rise)
                for one, rise in zip(line.letters, rises, strict=True)
            ]
        )
    _refuse_overlaps(placed)
    letters = [one for line in placed for one in line]
    return placed_at_origin(letters, remarks, text=" ".join(" ".join(lines).split()))


def initials_of(text: str) -> list[str]:
    """Return the letters of a monogram.

    Raises:
        LettersError: there are not one to three.
    """
    initials = [letter for letter in letters_of(text) if not letter.isspace()]
    if not 1 <= len(initials) <= MOST_INITIALS:
        raise LettersError(
            f"a monogram has one to three letters, not {len(initials)}",
            way_out="Leave --monogram out for words",
        )
    return initials


def lay_out_monogram(
    text: str, middle: LineOf, sides: LineOf, *, raised: int, remarks: Sequence[Remark]
) -> Lettering:
    """Return one to three letters as a monogram: of three, the middle one is higher than the others.

    Args:
        text: the letters; spaces do not count.
        middle: sets the higher letter, and all of them where there are not three.
        sides: sets the outer ones of three.
        raised: by how many squares the outer ones stand higher, so that they are in the middle.
        remarks: what of the letters is not set as asked.

    Raises:
        LettersError: there are not one to three letters.
    """
    initials = initials_of(text)
    letters: list[SetLetter] = []
    at = 0
    for index, initial in enumerate(initials):
        is_side = len(initials) == MOST_INITIALS and index != 1
        line = (sides if is_side else middle)(initial, initial)
        letters += [one.moved(right=at, down=-raised if is_side else 0) for one in line.letters]
        at += line.width + 1
    return placed_at_origin(letters, remarks, text="".join(initials))


def placed_at_origin(letters: Sequence[SetLetter], remarks: Sequence[Remark], *, text: str) -> Lettering:
    """Return letters moved so that the first of their squares are in row and column 0.

    Raises:
        LettersError: there are none.
    """
    if not letters:
        raise LettersError("the words have no letters to be seen", way_out="Give some")
    left, top = min(one.column for one in letters), min(one.row for one in letters)
    moved = tuple(one.moved(right=-left, down=-top) for one in letters)
    return Lettering(
        text=text,
        letters=moved,
        columns=max(1, *(one.end for one in moved)),  # a stitch along a side, or a knot, has no width
        rows=max(1, *(one.bottom for one in moved)),
        remarks=tuple(dict.fromkeys(remarks)),
    )


def _step(lines: Sequence[SetLine], high: int) -> int:
    """Return how far baselines are apart where it is not asked for: a bare row stays between lines."""
    step = floor(_LINE_STEP * high + 0.5)
    for upper, lower in pairwise(line for line in lines if line.letters):
        bottom = max(one.bottom for one in upper.letters)
        top = min(one.row for one in lower.letters)
        step = max(step, bottom - top + 1)
    return step


def _refuse_overlaps(lines: Sequence[Sequence[SetLetter]]) -> None:
    """Raise LettersError where a line does not lie below those before it, in every column."""
    lowest: dict[int, tuple[int, int]] = {}  # by column: the place farthest down, and whose it is
    for index, line in enumerate(lines):
        places = [place for letter in line for place in _places(letter)]
        for x, y in places:
            bottom, other = lowest.get(x, (y - 1, index))
            if y <= bottom:
                raise LettersError(
                    f"lines {other + 1} and {index + 1} lie over each other",
                    way_out="Ask for more squares from line to line, or for a lower arch",
                )
        for x, y in places:
            lowest[x] = max(lowest.get(x, (y, index)), (y, index))


def _places(letter: SetLetter) -> Iterator[tuple[int, int]]:
    """Yield what a letter takes up, in half squares: the highest and lowest places of columns at least.

    Those are middles of squares, holes of knots and around lines.
    """
    inked: NDArray[np.bool_] = np.asarray(letter.shown.any(axis=2))
    for column in np.flatnonzero(inked.any(axis=0)).tolist():
        for row in np.flatnonzero(inked[:, column])[[0, -1]].tolist():
            yield 2 * (letter.column + column) + 1, 2 * (letter.row + row) + 1
    corners = ((x, y) for one, other in letter.lines for x in (one[0], other[0]) for y in (one[1], other[1]))
    for x, y in (*corners, *letter.knots):
        yield 2 * (letter.column + x), 2 * (letter.row + y)


def _set_lines(paragraph: str, line_of: LineOf, layout: Layout) -> list[SetLine]:
    """Return the lines of a paragraph: one, or several no wider than the width of the layout."""
    words = paragraph.split()
    if layout.width is None or not words:
        return [line_of(paragraph, paragraph)]
    widths = [line_of(word, paragraph).width for word in words]
    for word, wide in zip(words, widths, strict=True):
        if wide > layout.width:
            raise LettersError(
                f'"{word}" is {wide} squares wide, the lines are to be {layout.width}',
                way_out="Ask for a greater width or for lower letters",
            )
    pair = line_of("n n", "n n").width - 2 * line_of("n", "n").width
    space = max(pair, LEAST_WORD_GAP + layout.spacing)
    while True:  # at the latest a space as wide as the lines leaves one word on each
        broken = break_lines(widths, space=space, width=layout.width)
        lines = [line_of(" ".join(words[index] for index in line), paragraph) for line in broken]
        if all(line.width <= layout.width for line in lines):
            return lines
        space += 1  # some letters stand farther apart across a space than others


def _rises(line: SetLine, arch: int) -> list[int]:
    """Return how far each letter is raised on an arch, a parabola: the first and the last not at all."""
    middles = [(one.column + one.end) / 2 for one in line.letters]
    begin, end = min(middles, default=0.0), max(middles, default=0.0)
    if begin == end:  # a letter by itself is the first and the last
        return [0] * len(middles)
    shares = [(2 * middle - begin - end) / (end - begin) for middle in middles]
    return [floor(arch * (1.0 - share * share) + 0.5) for share in shares]
