"""Which letters of a drawing go on on the line of those before them."""

from svg2chart.artwork import Words
from svg2chart.geometry.affine import Affine
from svg2chart.letterforms import Letterform

SAME_LINE = 0.25
"""Baselines that differ by so many squares at the most are one."""
_OVER, _BESIDE, _APART = -0.3, 0.35, 0.8
"""So many heights of a capital are at the least, and at the most, between the ink of a letter with a place of
its own and that of the one before it, if it goes on there; and at the most across a space."""


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
        return off <= SAME_LINE or (off < high and other.e > one.e)
    if off > SAME_LINE or any(words.runs[letter.run].anchor != "start" for letter in (before, after)):
        return False
    gap = _ink(after, to_line)[0] - _ink(before, to_line)[1]
    return _OVER * high <= gap <= (_APART if is_spaced else _BESIDE) * high


def _ink(letter: Letterform, to_line: Affine) -> tuple[float, float]:
    """Return from where to where the ink of a letter reaches across."""
    box = letter.outline.transformed(to_line @ letter.place).box()
    return (box.left, box.right) if box is not None else (0.0, 0.0)
