"""The words of a drawing in letters of backstitch, from the alphabet whose height is nearest."""

from collections.abc import Iterator, Sequence
from math import inf

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
from svg2chart.letters.clearing import Placed, anchored, cleared
from svg2chart.letters.following import follows, from_the_left, is_level
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
    lines = (_set_line(words, line, to_line, alphabet) for line in _parts_of_lines(words, to_line))
    return cleared([line for line in lines if line is not None])


def _set_line(
    words: Words, line: Sequence[Sequence[Letterform]], to_line: Affine, alphabet: Alphabet
) -> Placed | None:
    """Return a line of letters, from its parts of one height each, none over another; None without any."""
    found: list[SetLetter] = []
    begins, ends = [], []
    free = -inf  # the first column that is after the last part
    for part in line:
        own = line_of_runs(alphabet, [(letter.run, letter.text) for letter in part])
        if not own.letters:
            continue
        boxes = [letter.outline.transformed(to_line @ letter.place).box() for letter in part]
        begins.append(min(box.left for box in boxes if box is not None))
        ends.append(max(box.right for box in boxes if box is not None))
        right, down = max(nearest_hole(begins[-1]), free), nearest_hole((to_line @ part[0].place).f)
        free = right + own.width + alphabet.apart
        found += [one.moved(right=int(right), down=down) for one in own.letters]
    if not found:
        return None
    return anchored(
        found,
        row=nearest_hole((to_line @ line[0][0].place).f),
        begin=min(begins),
        end=max(ends),
        high=alphabet.capital,
        anchor=words.runs[line[0][0].run].anchor,
    )


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


def _parts_of_lines(words: Words, to_line: Affine) -> list[list[list[Letterform]]]:
    """Return the letters line by line, each line in its parts of one height; a part begins with ink."""
    lines: list[list[list[Letterform]]] = []
    before: Letterform | None = None
    level = 0.0
    for letter in from_the_left(words, to_line):
        if letter.outline.is_empty:
            if lines:
                lines[-1][-1].append(letter)
            continue
        baseline = (to_line @ letter.place).f
        if before is None or not follows(
            words, before, letter, to_line, is_spaced=lines[-1][-1][-1].text.isspace()
        ):
            lines.append([[letter]])
            level = baseline
        elif not is_level(level, baseline):
            lines[-1].append([letter])
            level = baseline
        else:
            lines[-1][-1].append(letter)
        before = letter
    return lines
