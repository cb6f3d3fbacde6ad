"""Letters raised and lowered on a line: they keep off those beside them, and stand as high as drawn."""

from functools import cache
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

import svg2chart
from svg2chart.alphabets.reading import packaged_alphabet
from svg2chart.artwork import Words
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import box_around
from svg2chart.letters.backstitched import set_in_backstitch
from svg2chart.letters.placed import SetLetter
from svg2chart.letters.setting import set_on_squares
from svg2chart.svg.read import parse_artwork
from tests.breadth import examples

PARTS = st.text("ABHKLOTVWabceghiklnotvwxy", min_size=1, max_size=3)
SMALL = st.text("0123456789abdehnrst", min_size=1, max_size=4)
SHIFTS = st.sampled_from(["super", "sub", "30%", "-20%"])


@cache
def packaged() -> svg2chart.Fonts:
    return svg2chart.read_fonts([])


def words_of(text: str) -> Words:
    drawing = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 60">{text}</svg>'
    (words,) = parse_artwork(drawing.encode(), fonts=packaged()).marks
    assert isinstance(words, Words)
    return words


def raised(before: str, small: str, after: str, *, shift: str, size: float, share: float) -> Words:
    return words_of(
        f'<text x="5.3" y="40.2" font-size="{size}">{before}'
        f'<tspan baseline-shift="{shift}" font-size="{size * share:.2f}">{small}</tspan>{after}</text>'
    )


def squares_of(letter: SetLetter) -> set[tuple[int, int]]:
    return {
        (letter.row + row, letter.column + column)
        for row, column in np.argwhere(letter.shown.any(axis=2)).tolist()
    }


def touch(one: SetLetter, other: SetLetter) -> bool:
    """Whether two letters touch, be it at a corner."""
    around = {
        (row + down, column + right) for row, column in squares_of(one) for down, right in np.ndindex(3, 3)
    }
    return any((row + 1, column + 1) in around for row, column in squares_of(other))


@settings(max_examples=examples(40))
@given(PARTS, SMALL, PARTS, SHIFTS, st.floats(14, 24), st.floats(0.5, 0.9))
@example("No", "th", "ing", "super", 20, 0.6)
@example("L", "1234", "Ty", "super", 20, 0.5)
def test_raised_letters_touch_none_and_go_on_to_the_right(
    before: str, small: str, after: str, shift: str, size: float, share: float
) -> None:
    words = raised(before, small, after, shift=shift, size=size, share=share)
    letters = set_on_squares(words, Affine())
    assert "".join(one.text for one in letters) == before + small + after
    assert not any(touch(one, other) for one, other in combinations(letters, 2))
    own = [one for one in letters if one.run != 1]
    assert [one.column for one in own] == sorted(one.column for one in own)
    assert letters[len(before)].end > own[len(before) - 1].column


def test_letters_raised_by_a_shift_and_lowered_again_go_on_on_their_line() -> None:
    words = words_of(
        '<text x="9" y="60" font-size="20">V<tspan dy="-8" font-size="8">2</tspan>'
        '<tspan dy="8">V</tspan></text>'
    )
    first, small, last = set_on_squares(words, Affine())
    assert first.end <= small.column
    assert small.end <= last.column
    assert not touch(small, last)
    assert first.bottom == last.bottom


@settings(max_examples=examples(20))
@given(PARTS, st.sampled_from(["2", "H", "n"]), SHIFTS, st.floats(14, 24), st.floats(0.5, 0.9))
def test_raised_letters_stand_on_the_nearest_hole_line(
    before: str, small: str, shift: str, size: float, share: float
) -> None:
    words = raised(before, small, "", shift=shift, size=size, share=share)
    (drawn,) = [one for one in words.letters if one.run == 1]
    (letter,) = [one for one in set_on_squares(words, Affine()) if one.run == 1]
    assert abs(letter.bottom - (words.to_user @ drawn.place).f) <= 0.5


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
@settings(max_examples=examples(10))
@given(PARTS, SMALL, PARTS, SHIFTS)
def test_raised_letters_of_backstitch_do_not_cross(
    anchor: str, before: str, small: str, after: str, shift: str
) -> None:
    words = words_of(
        f'<text x="90" y="40" font-size="7" text-anchor="{anchor}">{before}'
        f'<tspan baseline-shift="{shift}">{small}</tspan>{after}</text>'
    )
    letters = set_in_backstitch(words, Affine(), packaged_alphabet("backstitch-5"))
    assert "".join(one.text for one in letters) == before + small + after
    parts = [[one for one in letters if one.run == run] for run in (0, 1, 2)]
    for one, other in pairwise(parts):
        assert max(letter.end for letter in one) < min(letter.column for letter in other)


@pytest.mark.parametrize(("anchor", "share"), [("start", 0.0), ("middle", 0.5), ("end", 1.0)])
@settings(max_examples=examples(20))
@given(PARTS, SMALL, PARTS, SHIFTS)
@example("boat", "12345", "s", "super")
def test_lines_with_raised_letters_of_backstitch_keep_their_anchor(
    anchor: str, share: float, before: str, small: str, after: str, shift: str
) -> None:
    """To the half square that whole squares take."""
    words = words_of(
        f'<text x="90" y="40" font-size="7" text-anchor="{anchor}">{before}'
        f'<tspan baseline-shift="{shift}">{small}</tspan>{after}</text>'
    )
    letters = set_in_backstitch(words, Affine(), packaged_alphabet("backstitch-5"))
    left, right = min(one.column for one in letters), max(one.end for one in letters)
    drawn = box_around(one.outline.transformed(words.to_user @ one.place).box() for one in words.letters)
    assert drawn is not None
    assert abs(left + share * (right - left) - (drawn.left + share * drawn.width)) <= 0.5 + 1e-9
