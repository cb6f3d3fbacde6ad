"""Parts of words at places of their own, just apart as drawn: they are apart on the squares as well."""

import numpy as np
import pytest

from svg2chart.artwork import Words
from svg2chart.grid import Extent, Grid
from svg2chart.letters.clearing import Placed, cleared
from svg2chart.letters.intended import intended, letters_intended
from svg2chart.letters.placed import SetLetter
from svg2chart.svg.read import parse_artwork
from tests.breadth import crossed

SHARE = {"start": 0.0, "middle": 0.5, "end": 1.0}
SIZES = [6.0, 7.6, 9.0, 12.0]
"""Of the font, in squares: capitals are about two thirds as high; the first becomes backstitch."""


def words_of(body: str, size: float) -> tuple[Words, list[SetLetter]]:
    """Return text as read, and its letters on squares of one user unit."""
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 40" font-family="Source Sans Pro"'
        f' font-size="{size}">{body}</svg>'
    )
    artwork = parse_artwork(svg.encode())
    grid = Grid.fit(artwork, square=1.0, extent=Extent.PAGE)
    (words,) = (mark for mark in artwork.marks if isinstance(mark, Words))
    what = intended(words, grid.to_squares)
    assert what is not None
    return words, letters_intended(words, what, grid.to_squares)


def wide(word: str, size: float) -> float:
    """Return where the ink of a word ends, from where the word starts."""
    words, _ = words_of(f'<text x="0" y="20">{word}</text>', size)
    return float(words.outlines[0].path.box().right)


def two_parts(one: str, two: str, *, gap: float, size: float, anchor: str) -> list[SetLetter]:
    """Return the letters of two words, each at a place of its own, so far apart as drawn."""
    end, share = 20 + wide(one, size), SHARE[anchor]
    places = 20 + share * wide(one, size), end + gap + share * wide(two, size)
    spans = "".join(f'<tspan x="{x:.3f}">{word}</tspan>' for x, word in zip(places, (one, two), strict=True))
    _, letters = words_of(f'<text y="20" text-anchor="{anchor}">{spans}</text>', size)
    return letters


@pytest.mark.parametrize(
    ("size", "anchor", "pair"), crossed(SIZES, SHARE, [("Hafen", "Boote"), ("mmmm", "ill")], times=2)
)
def test_parts_that_are_drawn_apart_do_not_touch(size: float, anchor: str, pair: tuple[str, str]) -> None:
    one, two = pair
    for gap in (0.2, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0):
        letters = two_parts(one, two, gap=gap, size=size, anchor=anchor)
        end = max(letter.end for letter in letters[: len(one)])
        start = min(letter.column for letter in letters[len(one) :])
        assert start - end >= (3 if gap >= 3 else 1), gap


def block(column: int, wide: int, *, begin: float, end: float, anchor: str, row: int = 0) -> Placed:
    """Return a line that is one block of stitches, and from where to where it was drawn."""
    shown = np.ones((5, wide, 8), np.bool_)
    letter = SetLetter(run=0, text="I", shown=shown, row=row - 5, column=column)
    return Placed(letters=[letter], row=row, begin=begin, end=end, high=5, anchor=anchor)


@pytest.mark.parametrize(("anchor", "columns"), [("start", [10, 18]), ("middle", [8, 16]), ("end", [6, 14])])
def test_the_room_that_lacks_is_taken_where_parts_are_not_anchored(anchor: str, columns: list[int]) -> None:
    """Two blocks of 7 squares, of which 3 lie over each other and one more is to be bare: four in all."""
    lines = [
        block(10, 7, begin=10.0, end=14.0, anchor=anchor),
        block(14, 7, begin=15.0, end=19.0, anchor=anchor),
    ]
    assert [one.column for one in cleared(lines)] == columns


@pytest.mark.parametrize("anchor", list(SHARE))
def test_parts_that_are_apart_already_and_those_on_other_lines_stay(anchor: str) -> None:
    lines = [
        block(10, 7, begin=10.0, end=16.0, anchor=anchor),
        block(18, 7, begin=17.5, end=24.0, anchor=anchor),
        block(12, 7, begin=12.0, end=18.0, anchor=anchor, row=8),
    ]
    assert [one.column for one in cleared(lines)] == [10, 18, 12]


def test_parts_that_are_drawn_over_each_other_stay_so() -> None:
    letters = two_parts("Hafen", "Hafen", gap=1.0 - wide("Hafen", 9.0), size=9.0, anchor="middle")
    assert letters[5].column - letters[0].column == pytest.approx(1, abs=1)
    inked = [
        set(map(tuple, np.argwhere(one.shown.any(axis=2)) + np.array([one.row, one.column])))
        for one in letters
    ]
    assert set().union(*inked[:5]) & set().union(*inked[5:])
