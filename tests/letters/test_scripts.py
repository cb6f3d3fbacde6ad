"""Words of other scripts: glyphs in the order that HarfBuzz gives, accents on their letters."""

from itertools import groupby
from unicodedata import normalize

import numpy as np
import pytest
import uharfbuzz
from bidi import get_display

import svg2chart
from svg2chart.lettering.fonts import read_fonts
from svg2chart.lettering.heights import heights_of
from tests.bench.letter_measures import pieces
from tests.typefaces import (
    ARABIC,
    CYRILLIC,
    GREEK,
    HEBREW,
    LATIN,
    LATIN_EXTENDED,
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


@pytest.mark.parametrize("text", ["Lamp שלום 26", "שלום Lamp נמל", "26 שלום"])
def test_mixed_directions_stand_as_another_implementation_orders_them(text: str) -> None:
    """The first letter leads the line, as rules P2 and P3 of Unicode Standard Annex 9 have it."""
    need_typefaces()
    fonts = read_fonts([LATIN.file, HEBREW.file])
    found = svg2chart.set_letters([text], high=9, fonts=fonts, face=fonts.faces[0])
    assert "".join(one.text for one in found.letters) == "".join(get_display(text).split())
    assert [one.column for one in found.letters] == sorted(one.column for one in found.letters)


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


@pytest.mark.parametrize("high", [5, 7, 9, 12])
@pytest.mark.parametrize("letter", [*"áâãäåčéñöüžÁÂÃÄÅČÉÑÖÜŽíîï", "ế"])
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


@pytest.mark.parametrize("high", [5, 7, 9, 12])
@pytest.mark.parametrize("letter", "çşęąįțķĢ")
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
    assert plain_first.remarks == plain_last.remarks == ()


@pytest.mark.parametrize("typeface", [LATIN_EXTENDED, VIETNAMESE], ids=lambda one: one.style)
def test_files_of_the_rest_of_a_font_have_its_heights(typeface: Typeface) -> None:
    need_typefaces()
    whole, rest = heights_of(LATIN.face()), heights_of(typeface.face())
    for name in ("capital", "small", "ascender", "stem", "bar"):
        assert abs(getattr(rest, name) - getattr(whole, name)) < 0.02, name
