"""The words of a drawing in letters of backstitch, from the alphabet whose height is nearest."""

from collections.abc import Iterator, Sequence

import numpy as np

from svg2chart.alphabets.drawn import Alphabet, Stitches
from svg2chart.alphabets.reading import alphabet_names, packaged_alphabet
from svg2chart.artwork import Fill, StitchAs, Stroke, Words
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.outline import StrokeStyle
from svg2chart.geometry.path import Path, line, sides
from svg2chart.grid import Grid
from svg2chart.letterforms import Letterform
from svg2chart.letters.alphabet_lines import lacks, line_of_runs
from svg2chart.letters.following import SAME_LINE, follows
from svg2chart.letters.placed import SetLetter, nearest_hole

_LINE = 0.25  # squares: how wide backstitch is drawn
_KNOT = ((0.0, -0.25), (0.25, 0.0), (0.0, 0.25), (-0.25, 0.0))  # around its hole


def nearest_alphabet(high: float) -> Alphabet:
    """Return the alphabet of backstitch whose capitals are nearest to so many squares."""
    alphabets = [packaged_alphabet(name) for name in alphabet_names()]
    own = [one for one in alphabets if one.stitches is Stitches.BACKSTITCH]
    return min(own, key=lambda one: abs(one.capital - high))


def lacking(words: Words, alphabet: Alphabet) -> list[str]:
    """Return the letters of words that an alphabet does not have, each once."""
    return lacks(alphabet, "".join(letter.text for letter in words.letters))


def set_in_backstitch(words: Words, to_squares: Affine, alphabet: Alphabet) -> list[SetLetter]:
    """Return the letters of words in an alphabet, row 0 the first of the grid.

    Baselines go to the nearest hole line. Each line begins, or ends or has its middle as it is anchored, as
    near as whole squares allow to where it would be.

    Args:
        words: set in fonts, upright, not turned and not along a path.
        to_squares: from root user units to squares.
        alphabet: that has all their letters.
    """
    to_line = to_squares @ words.to_user
    found: list[SetLetter] = []
    free = 0  # the first column that is after the last chunk
    for chunk, is_raised in _chunks(words, to_line):
        own = line_of_runs(alphabet, [(letter.run, letter.text) for letter in chunk])
        if not own.letters:
            continue
        boxes = [letter.outline.transformed(to_line @ letter.place).box() for letter in chunk]
        begin = min(box.left for box in boxes if box is not None)
        end = max(box.right for box in boxes if box is not None)
        share = {"start": 0.0, "middle": 0.5, "end": 1.0}[words.runs[chunk[0].run].anchor]
        right = nearest_hole(begin + share * (end - begin - own.width))
        down = nearest_hole((to_line @ chunk[0].place).f)
        if is_raised:
            right = max(right, free)
        free = right + own.width + alphabet.apart
        found += [one.moved(right=right, down=down) for one in own.letters]
    return found


def marks_of(words: Words, letters: Sequence[SetLetter], grid: Grid) -> Iterator[Fill | Stroke]:
    """Yield the lines, and the knots, of each run that is painted, in paint order."""
    to_user = Affine.translation(grid.left, grid.top) @ Affine.scaling(grid.square)
    for index, run in enumerate(words.runs):
        own = [one for one in letters if one.run == index]
        if run.colour is None or not own:
            continue
        plain = Fill(
            element=words.element,
            layer=words.layer,
            path=_knots(own).transformed(to_user),
            colour=run.colour,
            opacity=run.opacity,
            group=words.group,
            stitch_as=StitchAs.KNOT,
        )
        yield Stroke(
            element=plain.element,
            layer=plain.layer,
            path=_lines(own).transformed(to_user),
            style=StrokeStyle(width=_LINE * grid.square),
            colour=plain.colour,
            opacity=plain.opacity,
            group=plain.group,
            stitch_as=StitchAs.BACKSTITCH_AS_DRAWN,
        )
        if not plain.path.is_empty:
            yield plain


def _lines(letters: Sequence[SetLetter]) -> Path:
    return Path.of_contours(
        [
            (line(*(np.add(hole, (one.column, one.row), dtype=np.float64) for hole in ends)), False)
            for one in letters
            for ends in one.lines
        ]
    )


def _knots(letters: Sequence[SetLetter]) -> Path:
    return Path.of_contours(
        [(sides(np.add(_KNOT, (one.column + x, one.row + y))), True) for one in letters for x, y in one.knots]
    )


def _chunks(words: Words, to_line: Affine) -> Iterator[tuple[list[Letterform], bool]]:
    """Yield the letters of each line and of each part of it that is raised, and whether it goes on a line."""
    chunk: list[Letterform] = []
    before: Letterform | None = None
    is_raised = False
    for letter in words.letters:
        if letter.outline.is_empty:
            chunk.append(letter)
            continue
        if before is not None:
            is_spaced = chunk[-1].text.isspace()
            is_next = follows(words, before, letter, to_line, is_spaced=is_spaced)
            if not is_next or abs((to_line @ letter.place).f - (to_line @ before.place).f) > SAME_LINE:
                yield chunk, is_raised
                chunk, is_raised = [], is_next
        chunk.append(letter)
        before = letter
    if chunk:
        yield chunk, is_raised
