"""Which letters of a drawing go on on the line of those before them."""

from itertools import groupby, pairwise
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
_BESIDE_FIGURE = 0.6
"""At the most beside a figure: in most fonts these are equally wide, and a 1 has much white around it."""


def is_level(one: float, other: float) -> bool:
    """Whether baselines are one on the squares: they differ hardly, or go to one hole line."""
    return abs(one - other) <= _SAME_LINE or nearest_hole(one) == nearest_hole(other)


def from_the_left(words: Words, to_line: Affine) -> list[Letterform]:
    """Return the letters of words, each line of them from the left.

    Letters that have a place each are in the words as they are read. Those on one baseline are taken in the
    order in which they stand there, for some may be read from the right, and a number among these from the
    left: its last figure is next to the letters before it. Those that are drawn over each other stay as read.

    Args:
        words: set in fonts.
        to_line: from the space of the words to squares.
    """
    lines: list[list[list[Letterform]]] = []
    for _, held in groupby(words.letters, key=attrgetter("line")):
        chunk = list(held)
        if lines and _is_beside(lines[-1][-1][0], chunk[0], to_line):
            lines[-1].append(chunk)
        else:
            lines.append([chunk])
    return [letter for line in lines for chunk in _sorted(line, to_line) for letter in chunk]


def _sorted(line: list[list[Letterform]], to_line: Affine) -> list[list[Letterform]]:
    """Return parts of words on one baseline from left to right, as read where they lie over each other."""
    ordered = sorted(line, key=lambda held: (to_line @ held[0].place).e)
    inked = [letter for chunk in ordered for letter in chunk if not letter.outline.is_empty]
    reaches = [(*_ink(letter, to_line), _high(letter, to_line)) for letter in inked]
    is_over = any(
        after[0] - before[1] < _OVER * max(before[2], after[2]) for before, after in pairwise(reaches)
    )
    return line if is_over else ordered


def _is_beside(before: Letterform, after: Letterform, to_line: Affine) -> bool:
    """Whether a letter may be on the line of another: it is raised or lowered by less than a capital."""
    off = (to_line @ after.place).f - (to_line @ before.place).f
    return abs(off) < max(_high(before, to_line), _high(after, to_line))


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
    high = max(_high(before, to_line), _high(after, to_line))
    off = abs(other.f - one.f)
    if before.line == after.line:
        return off <= _SAME_LINE or (off < high and other.e > one.e)
    start = "end" if words.is_leftward else "start"
    if off > _SAME_LINE or any(words.runs[letter.run].anchor != start for letter in (before, after)):
        return False
    gap = _ink(after, to_line)[0] - _ink(before, to_line)[1]
    has_figure = before.text.isdecimal() or after.text.isdecimal()
    most = _APART if is_spaced else _BESIDE_FIGURE if has_figure else _BESIDE
    return _OVER * high <= gap <= most * high


def _high(letter: Letterform, to_line: Affine) -> float:
    """Return how high capitals of the font of a letter are."""
    return letter.heights.capital * (to_line @ letter.place).d


def _ink(letter: Letterform, to_line: Affine) -> tuple[float, float]:
    """Return from where to where the ink of a letter reaches across."""
    box = letter.outline.transformed(to_line @ letter.place).box()
    return (box.left, box.right) if box is not None else (0.0, 0.0)
