"""Words to lines of letters of an alphabet."""

from collections.abc import Mapping, Sequence

import numpy as np

from svg2chart.alphabets.composing import drawn_letter, letters_of
from svg2chart.alphabets.drawn import Alphabet, Drawn, Stitches
from svg2chart.arranging.patterns import HALF_OCTANTS
from svg2chart.lettering.notices import with_numbers
from svg2chart.letters.placed import Bools, SetLetter, SetLine
from svg2chart.remarks import Remark, Severity

Reach = Mapping[int, tuple[float, float]]
"""From where to where ink reaches, by row of squares or of holes."""


def alphabet_line(alphabet: Alphabet, text: str, *, spacing: int = 0) -> SetLine:
    """Return a line of words in an alphabet.

    A letter that the alphabet lacks is a box.

    Args:
        alphabet: the letters.
        text: the words, in the order in which they are seen from the left.
        spacing: more bare squares between letters.
    """
    return line_of_runs(alphabet, [(0, text)], spacing=spacing)


def line_of_runs(alphabet: Alphabet, runs: Sequence[tuple[int, str]], *, spacing: int = 0) -> SetLine:
    """Return a line of words, the text of each run from the left; else as `alphabet_line`."""
    letters: list[SetLetter] = []
    at, gap = 0, 0
    last: Drawn | None = None
    for run, letter in ((run, letter) for run, text in runs for letter in letters_of(text)):
        if letter.isspace():
            gap, last = alphabet.space + 2 * spacing, None
            continue
        drawn = drawn_letter(alphabet, letter) or _box(alphabet)
        if last is not None:
            gap = alphabet.apart + spacing - min(alphabet.nearer, _free(last, drawn))
        if letters:
            at += gap
        letters.append(_placed(drawn, letter, at, run))
        at += drawn.right
        last = drawn
    return SetLine(letters=tuple(letters))


def lacks(alphabet: Alphabet, text: str) -> list[str]:
    """Return the letters of a text that an alphabet does not have, each once."""
    missing = [one for one in letters_of(text) if not one.isspace() and drawn_letter(alphabet, one) is None]
    return list(dict.fromkeys(missing))


def remarks_on(alphabet: Alphabet, text: str) -> tuple[Remark, ...]:
    """Return a remark that names the letters that an alphabet does not have, none where it has all."""
    lacking = lacks(alphabet, text)
    if not lacking:
        return ()
    what = f"the alphabet {alphabet.name} has no {with_numbers(lacking)}, a box is drawn"
    return (Remark(element="", what=what, severity=Severity.SIMPLIFIED),)


def _placed(drawn: Drawn, text: str, column: int, run: int) -> SetLetter:
    held = drawn.moved(0, -drawn.top)
    return SetLetter(
        run=run,
        text=text,
        shown=shown_of(drawn),
        lines=held.lines,
        knots=held.knots,
        row=drawn.top,
        column=column,
    )


def shown_of(drawn: Drawn) -> Bools:
    """Return which octants of the box around a letter or an accent are stitched, (rows, columns, 8)."""
    shown = np.zeros((drawn.bottom - drawn.top, drawn.right - drawn.left, 8), np.bool_)
    for row, column, corner in drawn.squares:
        octants = range(8) if corner is None else HALF_OCTANTS[corner]
        shown[row - drawn.top, column - drawn.left, list(octants)] = True
    shown.setflags(write=False)
    return shown


def _box(alphabet: Alphabet) -> Drawn:
    """Return what stands for a letter that there is not: an upright frame on the base line."""
    high = alphabet.capital
    wide = (high + 1) // 2
    if alphabet.stitches is Stitches.STITCHED:
        inner = {(row, column) for row in range(-high + 1, -1) for column in range(1, wide - 1)}
        places = [(row, column) for row in range(-high, 0) for column in range(wide)]
        return Drawn(squares=tuple((*place, None) for place in places if place not in inner))
    level = [((x, y), (x + 1, y)) for y in (-high, 0) for x in range(wide)]
    upright = [((x, y), (x, y + 1)) for x in (0, wide) for y in range(-high, 0)]
    return Drawn(lines=(*level, *upright))


def _free(before: Drawn, after: Drawn) -> int:
    """Return how many squares of two letters side by side are free in every row, and in those next to it."""
    one, other = _reach(before), _reach(after)
    free = [
        before.right - one[row][1] + other[row + step][0]
        for row in one
        for step in (-1, 0, 1)
        if row + step in other
    ]
    return int(min(free, default=0))


def _reach(drawn: Drawn) -> Reach:
    marks = [(row, float(column + step)) for row, column, _ in drawn.squares for step in (0, 1)]
    marks += [(y, float(x)) for x, y in drawn.knots]
    for (x0, y0), (x1, y1) in drawn.lines:
        marks += [(y0, float(x0)), (y1, float(x1))]
        if abs(y1 - y0) > 1:
            marks.append(((y0 + y1) // 2, (x0 + x1) / 2))
    found: dict[int, tuple[float, float]] = {}
    for row, x in marks:
        low, high = found.get(row, (x, x))
        found[row] = min(low, x), max(high, x)
    return found
