"""Laws of letters on the squares for heavy fonts, whose strokes leave little white in low letters."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

import svg2chart
from svg2chart.letters.placed import SetLetter
from tests.bench.letter_measures import outline_of, parts_and_hollows, pieces
from tests.typefaces import FURTHER, Typeface, need_typefaces

HEAVY = [one for one in FURTHER if one.kind.startswith("bold")]

SANS = [one for one in HEAVY if one.kind in ("bold sans", "bold humanist", "bold rounded")]


def letters(typeface: Typeface, text: str, high: int) -> tuple[SetLetter, ...]:
    need_typefaces()
    return svg2chart.set_letters([text], high=high, fonts=typeface.fonts(), face=typeface.face()).letters


@settings(max_examples=8)
@given(st.sampled_from(SANS), st.sampled_from("AHIMOTUVWXYovwx08"), st.sampled_from([5, 7, 9]))
def test_symmetric_letters_are_symmetric(typeface: Typeface, letter: str, high: int) -> None:
    (one,) = letters(typeface, letter, high)
    assert np.array_equal(one.shown, one.shown[:, ::-1, ::-1])


@settings(max_examples=8)
@given(
    st.sampled_from(HEAVY), st.sampled_from("ABCDEGKMPQRSWZabdegkmsvwxz2345689&"), st.sampled_from([5, 7, 9])
)
def test_letters_are_in_as_many_parts_with_as_many_counters_as_drawn(
    typeface: Typeface, letter: str, high: int
) -> None:
    (one,) = letters(typeface, letter, high)
    outline = outline_of(typeface.face(), letter, high)
    assert pieces(one.shown) == tuple(map(int, parts_and_hollows(outline, least=0.0)))


@settings(max_examples=6)
@given(
    st.sampled_from(HEAVY), st.text("AEKMQRSaegkmnsvwxz258", min_size=2, max_size=3), st.sampled_from([5, 7])
)
def test_letters_stay_apart_by_a_bare_square(typeface: Typeface, text: str, high: int) -> None:
    found = letters(typeface, text, high)
    inked = np.zeros((3 * high, found[-1].end - found[0].column + 2), np.int64)
    for number, one in enumerate(found, start=1):
        for row, column in np.argwhere(one.shown.any(axis=2)).tolist():
            inked[one.row + row + 1, one.column - found[0].column + column + 1] = number
    for row, column in np.argwhere(inked).tolist():
        around = inked[row - 1 : row + 2, column - 1 : column + 2]
        assert set(around[around > 0].tolist()) == {inked[row, column]}
