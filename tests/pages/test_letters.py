"""The symbol font read back with fontTools, and text broken into lines."""

import datetime
import io
import math

import pytest
from fontTools.pens.areaPen import AreaPen
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.pages.letters import fitted, printable, symbol_font, text_width, wrapped
from svg2chart.pages.sheet import Face
from svg2chart.symbols import LETTERS, SYMBOLS, symbol_named

WORDS = st.text(alphabet=st.sampled_from("abc MW.é—北\n"), max_size=80)


@pytest.fixture(scope="module")
def font() -> TTFont:
    return TTFont(io.BytesIO(symbol_font(dict(zip(LETTERS, SYMBOLS, strict=True)))))


def test_every_advance_is_one_em(font: TTFont) -> None:
    assert font["head"].unitsPerEm == 1000
    assert {advance for advance, _ in font["hmtx"].metrics.values()} == {1000}


def test_the_name_is_ours(font: TTFont) -> None:
    assert font["name"].getDebugName(6) == "svg2chart-symbols"


def test_the_font_covers_the_letters_and_the_space(font: TTFont) -> None:
    assert set(font.getBestCmap()) == {ord(letter) for letter in LETTERS + " "}


def test_the_date_in_the_font_says_nothing(font: TTFont) -> None:
    """1 January 1970 on the TrueType clock, which starts in 1904."""
    since_1904 = (datetime.date(1970, 1, 1) - datetime.date(1904, 1, 1)).days * 86400
    assert (font["head"].created, font["head"].modified) == (since_1904, since_1904)


def test_outlines_keep_their_area_and_turn() -> None:
    """A TrueType outline runs clockwise with y up: its signed area is negative, hollows taken away."""
    expected = {
        "square-pierced": -(0.64**2 - 0.9936 * math.pi * 0.15**2),
        "diamond-outline": -2 * (0.37**2 - (0.37 - 0.09 * 1.414) ** 2),
    }
    for name, signed_area in expected.items():
        font = TTFont(io.BytesIO(symbol_font({"Q": symbol_named(name)})))
        pen = AreaPen()
        font.getGlyphSet()[font.getBestCmap()[ord("Q")]].draw(pen)
        assert pen.value / 1e6 == pytest.approx(signed_area, abs=0.004)


def test_the_same_symbols_make_the_same_bytes() -> None:
    symbols = dict(zip("AB", SYMBOLS[:2], strict=True))
    assert symbol_font(symbols) == symbol_font(dict(reversed(symbols.items())))


def test_what_the_face_lacks_is_a_question_mark() -> None:
    assert printable("Fête\n at  北, cafe\u0301") == "Fête at ?, café"


@given(WORDS, st.floats(8, 60))
def test_lines_fit_and_keep_every_letter(text: str, width: float) -> None:
    lines = wrapped(text, 3.0, width=width)
    assert all(text_width(line, 3.0) <= width for line in lines)
    assert "".join("".join(lines).split()) == "".join(printable(text).split())


@given(WORDS, st.floats(8, 60))
def test_cut_text_fits_and_says_that_it_is_cut(text: str, width: float) -> None:
    shown = fitted(text, 3.0, width=width, face=Face.BOLD)
    assert text_width(shown, 3.0, face=Face.BOLD) <= width
    assert shown == printable(text) or shown.endswith("…")
