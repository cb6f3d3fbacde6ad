"""Which letters of a drawing go on on the line of those before them."""

from collections.abc import Sequence
from itertools import groupby
from operator import attrgetter

from svg2chart.artwork import Words
from svg2chart.geometry.affine import Affine
from svg2chart.letterforms import Letterform
from svg2chart.letters.placed import nearest_hole

_SAME_LINE = 0.25
"""Baselines that differ by so many squares at the most are one."""
_OVER, _BESIDE, _APART = -0.3, 0.35, 0.8
"""So many heights of a capital are at the least, and at the most, between the ink of a letter with a place of
its own and that of the one before it, if it goes on there; and at the most across a space."""


def is_level(one: float, other: float) -> bool:
    """Whether baselines are one on the squares: they differ hardly, or go to one hole line."""
    return abs(one - other) <= _SAME_LINE or nearest_hole(one) == nearest_hole(other)


def from_the_left(words: Words, to_line: Affine) -> list[Letterform]:
    """Return the letters of words, each line of them from the left.

    Letters that have a place each are in the words as they are read: those read from the right are turned
    round, with the spaces between them, where each ends at the one before it in the text.

    Args:
        words: set in fonts.
        to_line: from the space of the words to squares.
    """
    done: list[list[Letterform]] = []
    spaces: list[Letterform] = []
    for _, held in groupby(words.letters, key=attrgetter("line")):
        chunk = list(held)
        if all(letter.outline.is_empty for letter in chunk):
            spaces += chunk
        elif done and _goes_on_leftward(words, done[-1], chunk, to_line, is_spaced=bool(spaces)):
            done[-1] = [*chunk, *spaces, *done[-1]]
            spaces = []
        else:
            done += [spaces, chunk] if spaces else [chunk]
            spaces = []
    return [letter for chunk in (*done, spaces) for letter in chunk]


def _goes_on_leftward(
    words: Words,
    last: Sequence[Letterform],
    chunk: Sequence[Letterform],
    to_line: Affine,
    *,
    is_spaced: bool,
) -> bool:
    """Whether letters end where those before them in the text begin."""
    inked = [letter for letter in last if not letter.outline.is_empty]
    own = [letter for letter in chunk if not letter.outline.is_empty]
    return bool(inked) and follows(words, own[-1], inked[0], to_line, is_spaced=is_spaced)


def follows(words: Words, before: Letterform, after: Letterform, to_line: Affine, *, is_spaced: bool) -> bool:
    """Whether a letter goes on on the line of the one before it.

    It may be raised or lowered by less than a capital. Many drawings give each letter a place of its own: it
    goes on if that is where the one before it ends.

    Args:
        words: that they are of.
        before: has ink.
        after: has ink.
        to_line: from the space of the words to squares.
        is_spaced: whether there is a space between them.
    """
    one, other = to_line @ before.place, to_line @ after.place
    # going down again from small letters is as far as going up to them was
    high = max(before.heights.capital * one.d, after.heights.capital * other.d)
    off = abs(other.f - one.f)
    if before.line == after.line:
        return off <= _SAME_LINE or (off < high and other.e > one.e)
    start = "end" if words.is_leftward else "start"
    if off > _SAME_LINE or any(words.runs[letter.run].anchor != start for letter in (before, after)):
        return False
    gap = _ink(after, to_line)[0] - _ink(before, to_line)[1]
    return _OVER * high <= gap <= (_APART if is_spaced else _BESIDE) * high


def _ink(letter: Letterform, to_line: Affine) -> tuple[float, float]:
    """Return from where to where the ink of a letter reaches across."""
    box = letter.outline.transformed(to_line @ letter.place).box()
    return (box.left, box.right) if box is not None else (0.0, 0.0)
