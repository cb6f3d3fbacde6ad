"""Words of other scripts: glyphs in the order that HarfBuzz gives, accents on their letters."""

from collections.abc import Sequence
from itertools import combinations, groupby, pairwise
from unicodedata import normalize

import numpy as np
import pytest
import uharfbuzz
from bidi import get_display
from hypothesis import example, given, settings
from hypothesis import strategies as st

import svg2chart
from svg2chart.artwork import Words
from svg2chart.geometry.affine import Affine
from svg2chart.lettering.fonts import read_fonts
from svg2chart.lettering.heights import heights_of
from svg2chart.letters.placed import LEAST_WORD_GAP, SetLetter
from svg2chart.letters.setting import set_on_squares
from svg2chart.svg.read import parse_artwork
from tests.bench.letter_measures import pieces
from tests.breadth import crossed, examples
from tests.typefaces import (
    ARABIC,
    CYRILLIC,
    GREEK,
    HEBREW,
    LATIN,
    LATIN_EXTENDED,
    UPRIGHT,
    VIETNAMESE,
    Typeface,
    need_typefaces,
)

WORDS = {
    "ميناء": (ARABIC,),
    "נמל": (HEBREW,),
    "Λιμάνι": (GREEK,),
    "Гавань": (CYRILLIC,),
    "ấửệ": (VIETNAMESE, LATIN),  # its file has no plain letters
}


@pytest.mark.parametrize(("word", "files"), WORDS.items(), ids=WORDS)
def test_letters_stand_in_the_order_of_their_glyphs(word: str, files: tuple[Typeface, ...]) -> None:
    need_typefaces()
    typeface, fonts = files[0], read_fonts([one.file for one in files])
    buffer = uharfbuzz.Buffer()
    buffer.add_str(word)
    buffer.guess_segment_properties()
    uharfbuzz.shape(typeface.face().engine, buffer)
    clusters = list(dict.fromkeys(info.cluster for info in buffer.glyph_infos))
    ends = {
        start: end for start, end in zip(sorted(clusters), [*sorted(clusters)[1:], len(word)], strict=True)
    }
    wanted = "".join(word[start : ends[start]] for start in clusters)
    found = svg2chart.set_letters([word], high=12, fonts=fonts, face=typeface.face())
    assert "".join(one.text for one in found.letters) == wanted
    assert found.remarks == ()
    assert [one.column for one in found.letters] == sorted(one.column for one in found.letters)


@pytest.mark.parametrize(
    "text", ["Lamp שלום 26", "שלום Lamp נמל", "26 שלום", "Lamp שלום (26) Quay", "שלום, Lamp (26)!"]
)
def test_mixed_directions_stand_as_another_implementation_orders_them(text: str) -> None:
    """The first letter leads the line, as rules P2 and P3 of Unicode Standard Annex 9 have it."""
    need_typefaces()
    fonts = read_fonts([LATIN.file, HEBREW.file])
    found = svg2chart.set_letters([text], high=9, fonts=fonts, face=fonts.faces[0])
    assert "".join(one.text for one in found.letters) == "".join(get_display(text).split())
    assert [one.column for one in found.letters] == sorted(one.column for one in found.letters)


ENDINGS = st.sampled_from(["", "", "!", ".", ","])
LATIN_WORDS = st.builds(str.__add__, st.text("ABFLPRTVWYabcdefgijlmorstvy", min_size=1, max_size=6), ENDINGS)
HEBREW_WORDS = st.builds(str.__add__, st.text("אבגדהוזחטילמנסעפצקרשת", min_size=1, max_size=5), ENDINGS)


@settings(max_examples=examples(40))
@example(["Festival", "מהנמל", "סירות"], Typeface("light", "lato"), 6)
@example(["Boats", "חג", "סירות", "Festival"], Typeface("rounded", "nunito"), 7)
@given(
    st.lists(st.one_of(LATIN_WORDS, HEBREW_WORDS), min_size=2, max_size=5),
    st.sampled_from(UPRIGHT),
    st.sampled_from([5, 6, 7, 9]),
)
def test_letters_of_mixed_fonts_and_directions_stand_apart_and_words_farther(
    words: list[str], typeface: Typeface, high: int
) -> None:
    """Capitals of the two fonts may be of different heights at one size."""
    need_typefaces()
    fonts = read_fonts([typeface.file, HEBREW.file])
    found = svg2chart.set_letters([" ".join(words)], high=high, fonts=fonts, face=fonts.faces[0]).letters
    _stand_apart(found, words=len(words))


@settings(max_examples=examples(40))
@example(["Harbour", "Festival"], [5.0, 9.0])
@given(st.lists(LATIN_WORDS, min_size=2, max_size=4), st.lists(st.floats(5, 12), min_size=4, max_size=4))
def test_words_of_several_sizes_on_a_line_stand_apart(words: list[str], heights: list[float]) -> None:
    spans = "".join(
        f'<tspan font-size="{high / 0.66}">{word} </tspan>'
        for word, high in zip(words, heights, strict=False)
    )
    text = f'<text x="5" y="30" font-family="Source Sans Pro" xml:space="preserve">{spans}</text>'
    drawing = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 40">{text}</svg>'
    (drawn,) = parse_artwork(drawing.encode()).marks
    assert isinstance(drawn, Words)
    _stand_apart(set_on_squares(drawn, Affine()), words=len(words))


def _stand_apart(letters: Sequence[SetLetter], *, words: int) -> None:
    """Check that no letters touch, and that words, from left to right, are the word gap apart."""
    inked = [(one.text, _squares(one), _around(one)) for one in letters]
    for (one, squares, _), (other, _, around) in combinations(inked, 2):
        assert not squares & around, (one, other)
    begins = [0, *(index for index, one in enumerate(letters) if index and one.begins_word), len(letters)]
    stretches = [letters[begin:end] for begin, end in pairwise(begins)]
    assert len(stretches) == words
    for before, after in pairwise(stretches):
        assert min(one.column for one in after) - max(one.end for one in before) >= LEAST_WORD_GAP


def _squares(letter: SetLetter) -> set[tuple[int, int]]:
    inked = np.argwhere(letter.shown.any(axis=2)).tolist()
    return {(letter.row + row, letter.column + column) for row, column in inked}


def _around(letter: SetLetter) -> set[tuple[int, int]]:
    near = [(down, right) for down in (-1, 0, 1) for right in (-1, 0, 1)]
    return {(row + down, column + right) for row, column in _squares(letter) for down, right in near}


def test_broken_lines_are_led_by_the_first_letter_of_their_paragraph() -> None:
    """Unicode Standard Annex 9, P2 and P3: a direction is that of a paragraph, and all its lines have it."""
    need_typefaces()
    fonts = read_fonts([LATIN.file, HEBREW.file])
    words = ["שלום", "שלום", "Lamp", "נמל!", "boat", "26."]
    layout = svg2chart.Layout(width=64, line_step=40)
    found = svg2chart.set_letters(
        [" ".join(words)], high=9, fonts=fonts, face=fonts.faces[0], layout=layout
    ).letters
    lines = [
        "".join(one.text for one in line) for _, line in groupby(found, lambda one: (one.row + 10) // 40)
    ]
    assert len(lines) == 3
    for number, line in enumerate(lines):
        own = words[2 * number : 2 * number + 2]
        assert line == "".join(get_display(" ".join(own), base_dir="R").split())


def test_high_accents_stand_above_their_letters() -> None:
    need_typefaces()
    fonts = read_fonts([LATIN.file, VIETNAMESE.file])
    for accented, plain in ("ếe", "ửu"):
        tall, low = (
            svg2chart.set_letters([text], high=16, fonts=fonts, face=fonts.faces[0])
            for text in (accented, plain)
        )
        assert tall.rows > low.rows


@pytest.mark.parametrize(("letter", "high"), crossed([*"áâãäåčéñöüžÁÂÃÄÅČÉÑÖÜŽíîï", "ế"], [5, 7, 9, 12]))
def test_low_accents_are_clear_and_apart_from_the_letter_that_is_as_without(letter: str, high: int) -> None:
    need_typefaces()
    fonts = read_fonts([LATIN.file, LATIN_EXTENDED.file, VIETNAMESE.file])
    base, *accents = normalize("NFD", letter)
    base = {"i": "\u0131"}.get(base, base)
    (accented,), (plain,) = (
        svg2chart.set_letters([text], high=high, fonts=fonts, face=fonts.faces[0]).letters
        for text in (letter, base)
    )
    rows = len(plain.shown)
    below = accented.shown[-rows:]
    used = np.flatnonzero(below.any(axis=(0, 2)))
    assert np.array_equal(below[:, used[0] : used[-1] + 1], plain.shown)
    above = accented.shown[:-rows]
    assert not above[-1].any()
    marks = {"\u0308": 2}
    assert pieces(above)[0] == sum(marks.get(accent, 1) for accent in accents)


@pytest.mark.parametrize(("letter", "high"), crossed("çşęąįțķĢ", [5, 7, 9, 12]))
def test_low_accents_below_hang_on_the_letter_that_is_as_without(letter: str, high: int) -> None:
    need_typefaces()
    fonts = read_fonts([LATIN.file, LATIN_EXTENDED.file])
    accented, plain = (
        svg2chart.set_letters([text], high=high, fonts=fonts, face=fonts.faces[0]).letters[0]
        for text in (letter, normalize("NFD", letter)[0])
    )
    rows = len(plain.shown)
    own = accented.shown[:rows]
    used = np.flatnonzero(own.any(axis=(0, 2)))
    assert np.array_equal(own[:, used[0] : used[-1] + 1], plain.shown)
    assert accented.shown[rows:].any()
    is_apart = letter in "țķĢ"
    assert accented.shown[rows].any() != is_apart


@pytest.mark.parametrize(("letter", "high"), crossed("ơưƠƯợỰ", [5, 6, 7, 9, 12]))
def test_low_horns_grow_from_the_right_of_the_letter_that_is_as_without(letter: str, high: int) -> None:
    """A horn over an o is read as the stem of a d, and one within the width of a u is lost."""
    need_typefaces()
    fonts = read_fonts([LATIN.file, VIETNAMESE.file])
    both = [normalize("NFD", letter)[0] + letter]
    plain, horned = svg2chart.set_letters(both, high=high, fonts=fonts, face=fonts.faces[0]).letters
    rows, wide, _ = plain.shown.shape
    top = plain.row - horned.row
    assert np.array_equal(horned.shown[top : top + rows, :wide], plain.shown)
    assert not horned.shown[:top, :wide].any()
    horn = np.flatnonzero(horned.shown[:, wide:].any(axis=(1, 2)))
    assert len(horn)
    assert horn[-1] < top + rows / 2
    dots = letter in "ợỰ"
    assert pieces(horned.shown) == (pieces(plain.shown)[0] + dots, pieces(plain.shown)[1])


@pytest.mark.parametrize("high", [5, 9, 16, 40])
def test_the_order_of_the_files_of_a_font_changes_no_letter(high: int) -> None:
    need_typefaces()
    plain_first, plain_last = (
        svg2chart.set_letters(["Żółćé ệ"], high=high, fonts=read_fonts([one.file for one in files]))
        for files in ([LATIN, LATIN_EXTENDED, VIETNAMESE], [VIETNAMESE, LATIN_EXTENDED, LATIN])
    )
    for one, other in zip(plain_first.letters, plain_last.letters, strict=True):
        assert (one.text, one.row, one.column) == (other.text, other.row, other.column)
        assert np.array_equal(one.shown, other.shown)
    # of the height letters may be told, of the files nothing is
    assert plain_first.remarks == plain_last.remarks
    assert not [each for each in plain_first.remarks if "lose strokes" not in each.what]


@pytest.mark.parametrize("typeface", [LATIN_EXTENDED, VIETNAMESE], ids=lambda one: one.style)
def test_files_of_the_rest_of_a_font_have_its_heights(typeface: Typeface) -> None:
    need_typefaces()
    whole, rest = heights_of(LATIN.face()), heights_of(typeface.face())
    for name in ("capital", "small", "ascender", "stem", "bar"):
        assert abs(getattr(rest, name) - getattr(whole, name)) < 0.02, name
