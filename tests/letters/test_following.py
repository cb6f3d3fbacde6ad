"""Letters that have a place each, as drawings made from pages give them: they are words all the same."""

from functools import cache

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

import svg2chart
from svg2chart.alphabets.reading import packaged_alphabet
from svg2chart.artwork import Words
from svg2chart.geometry.affine import Affine
from svg2chart.letters.backstitched import set_in_backstitch
from svg2chart.letters.placed import SetLetter
from svg2chart.letters.setting import set_on_squares
from svg2chart.svg.read import parse_artwork
from tests.breadth import crossed, examples
from tests.typefaces import HEBREW, need_typefaces

PLAIN = "ABEHKMNORTacdehikmnorstuvwz"  # no two of them are kerned much, and none are one glyph
TEXTS = st.lists(st.text(PLAIN, min_size=1, max_size=6), min_size=1, max_size=3).map(" ".join)


@cache
def packaged() -> svg2chart.Fonts:
    return svg2chart.read_fonts([])


def words_of(text: str) -> Words:
    drawing = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 60">{text}</svg>'
    (words,) = parse_artwork(drawing.encode(), fonts=packaged()).marks
    assert isinstance(words, Words)
    return words


def both(text: str, size: float) -> tuple[Words, Words]:
    """Return words at one place, and the same whose letters each have the place that they have there."""
    plain = words_of(f'<text x="5.3" y="40" font-size="{size}">{text}</text>')
    places = " ".join(f"{letter.place.e:.9f}" for letter in plain.letters)
    return plain, words_of(f'<text x="{places}" y="40" font-size="{size}">{text}</text>')


def places_of(letters: list[SetLetter]) -> list[tuple[str, int, int]]:
    return [(letter.text, letter.row, letter.column) for letter in letters]


@settings(max_examples=examples(30))
@given(TEXTS, st.floats(8, 24))
def test_letters_placed_where_they_would_stand_are_set_as_words(text: str, size: float) -> None:
    plain, placed = both(text, size)
    assert places_of(set_on_squares(placed, Affine())) == places_of(set_on_squares(plain, Affine()))


@settings(max_examples=examples(20))
@given(TEXTS, st.floats(5.5, 9))
def test_so_are_those_of_backstitch(text: str, size: float) -> None:
    plain, placed = both(text, size)
    alphabet = packaged_alphabet("backstitch-5")
    lines = [set_in_backstitch(words, Affine(), alphabet) for words in (plain, placed)]
    assert places_of(lines[0]) == places_of(lines[1])


@settings(max_examples=examples(20))
@given(st.text(PLAIN, min_size=2, max_size=5), st.floats(8, 16))
def test_letters_placed_far_apart_stay_where_they_are_drawn(text: str, size: float) -> None:
    """To half a square on either side, which the letter and its place are rounded by."""
    places = " ".join(f"{5.3 + 2 * size * index:.3f}" for index in range(len(text)))
    words = words_of(f'<text x="{places}" y="40" font-size="{size}">{text}</text>')
    for drawn, letter in zip(words.letters, set_on_squares(words, Affine()), strict=True):
        box = drawn.outline.transformed(words.to_user @ drawn.place).box()
        assert box is not None
        assert abs(letter.column - np.floor(box.left + 0.5)) <= 1


def from_the_right(text: str, size: float, *, direction: str) -> tuple[Words, Words]:
    """Return words read from the right at one place, and the same with a place for each letter.

    A place is the left of a letter, or its right where the direction is told.
    """
    if direction == "ltr":  # as a program writes it that knows of no direction
        plain = words_of(f'<text x="5.3" y="40" font-size="{size}">{text[::-1]}</text>')
        starts = [letter.place.e for letter in plain.letters]
        told = ""
    else:
        # without kerning, which would move where letters begin
        told = 'style="direction:rtl; unicode-bidi:bidi-override; font-kerning:none"'
        plain = words_of(f'<text x="300.3" y="40" font-size="{size}" {told}>{text}</text>')
        starts = [*(letter.place.e for letter in plain.letters[1:]), 300.3]
    places = " ".join(f"{start:.9f}" for start in reversed(starts))
    return plain, words_of(f'<text x="{places}" y="40" font-size="{size}" {told}>{text}</text>')


@pytest.mark.parametrize("direction", ["ltr", "rtl"])
@settings(max_examples=examples(20))
@given(TEXTS, st.floats(8, 24))
@example("no one", 12)
@example("c d", 11.950221511192044)  # drawn whole squares apart
def test_letters_read_from_the_right_that_have_a_place_each_are_words(
    direction: str, text: str, size: float
) -> None:
    plain, placed = from_the_right(text, size, direction=direction)
    assert places_of(set_on_squares(placed, Affine())) == places_of(set_on_squares(plain, Affine()))
    alphabet = packaged_alphabet("backstitch-5")
    lines = [set_in_backstitch(words, Affine(), alphabet) for words in (plain, placed)]
    assert places_of(lines[0]) == places_of(lines[1])


@pytest.mark.parametrize("how", ["by steps", "by places"])
@settings(max_examples=examples(20))
@given(st.text(PLAIN, min_size=8, max_size=16), st.floats(-0.24, 0.24))
@example("Hammer", 0.2)
def test_letters_that_drift_stand_as_high_as_drawn(how: str, text: str, step: float) -> None:
    """To half a square, and to a quarter more where those beside them are the least bit higher or lower."""
    plain = words_of(f'<text x="5.3" y="40.1" font-size="12">{text}</text>')
    steps = " ".join(["0", *[f"{step:.3f}"] * (len(text) - 1)])
    told = f'x="5.3" y="40.1" dy="{steps}"'
    if how == "by places":
        xs = " ".join(f"{letter.place.e:.9f}" for letter in plain.letters)
        told = f'x="{xs}" y="{" ".join(f"{40.1 + step * index:.3f}" for index in range(len(text)))}"'
    words = words_of(f'<text {told} font-size="12">{text}</text>')
    for letters in (
        set_on_squares(words, Affine()),
        set_in_backstitch(words, Affine(), packaged_alphabet("backstitch-5")),
    ):
        for drawn, letter in zip(words.letters, letters, strict=True):
            assert abs(letter.bottom - (words.to_user @ drawn.place).f) <= 0.75 + 1e-9


@pytest.mark.parametrize(
    ("text", "size"),
    crossed(["אבג 12", "אב 1.5", "24 גדה", "אב-31", "שלום Bo", "דה 10%"], [9.0, 13.0, 17.5]),
)
def test_numbers_in_words_read_from_the_right_that_have_a_place_each_stay_numbers(
    text: str, size: float
) -> None:
    """A place is the right of a letter, in a text that is read from the right."""
    need_typefaces()
    fonts = svg2chart.read_fonts([HEBREW.file])

    def words_at(places: str) -> Words:
        drawing = (
            '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 60"><text direction="rtl" y="40"'
            f' font-family="{HEBREW.face().family}" font-size="{size}" x="{places}">{text}</text></svg>'
        )
        (words,) = parse_artwork(drawing.encode(), fonts=fonts).marks
        assert isinstance(words, Words)
        return words

    plain = words_at("300.3")
    starts = [letter.place.e for letter in plain.letters]
    ends = {letter.text: end for letter, end in zip(plain.letters, [*starts[1:], 300.3], strict=True)}
    placed = words_at(" ".join(f"{ends[letter]:.9f}" for letter in text))
    assert places_of(set_on_squares(placed, Affine())) == places_of(set_on_squares(plain, Affine()))


def test_words_drawn_over_each_other_stay_words() -> None:
    words = words_of('<text x="20" y="40" font-size="13">Hafen<tspan x="21">Hafen</tspan></text>')
    letters = set_on_squares(words, Affine())
    assert "".join(letter.text for letter in letters) == "HafenHafen"
    first, second = letters[:5], letters[5:]
    apart = {two.column - one.column for one, two in zip(first, second, strict=True)}
    assert len(apart) == 1
    assert 0 <= apart.pop() <= 2
