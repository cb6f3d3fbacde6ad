"""Punctuation: signs that are made of others are stitched as these."""

import numpy as np
import pytest
from numpy.typing import NDArray

import svg2chart
from svg2chart.letters.holes import bytes_of, loose, rings
from tests.typefaces import FURTHER, UPRIGHT, Typeface, need_typefaces

Bools = NDArray[np.bool_]

FONTS = [one for one in (*UPRIGHT, *FURTHER) if one.kind in ("default", "default bold", "sans", "serif")]
HEIGHTS = (5, 7, 9, 10, 12, 16)


def shown(typeface: Typeface, sign: str, high: int) -> Bools:
    """Return the octants that a sign stitches."""
    need_typefaces()
    (one,) = svg2chart.set_letters([sign], high=high, fonts=typeface.fonts(), face=typeface.face()).letters
    return one.shown


def upper_and_lower(sign: Bools) -> tuple[Bools, Bools]:
    """Return what lies above and below the bare rows of a sign, without bare columns beside it."""
    bare = np.flatnonzero(~sign.any(axis=(1, 2)))
    upper, lower = sign[: bare[0]], sign[bare[-1] + 1 :]
    return upper[:, upper.any(axis=(0, 2))], lower[:, lower.any(axis=(0, 2))]


@pytest.mark.parametrize("high", HEIGHTS)
@pytest.mark.parametrize("typeface", FONTS, ids=lambda one: one.kind)
def test_the_lower_part_of_a_semicolon_is_a_comma(typeface: Typeface, high: int) -> None:
    """In these fonts it is drawn as one; with tails of two kinds they are two signs."""
    _, lower = upper_and_lower(shown(typeface, ";", high))
    assert np.array_equal(lower, shown(typeface, ",", high))


@pytest.mark.parametrize("high", HEIGHTS)
@pytest.mark.parametrize("typeface", FONTS, ids=lambda one: one.kind)
def test_the_dots_of_a_colon_are_full_stops(typeface: Typeface, high: int) -> None:
    upper, lower = upper_and_lower(shown(typeface, ":", high))
    assert np.array_equal(upper, lower)
    assert np.array_equal(upper, shown(typeface, ".", high))


@pytest.mark.parametrize("high", HEIGHTS)
@pytest.mark.parametrize("typeface", FONTS, ids=lambda one: one.kind)
def test_both_marks_of_a_quotation_are_the_same(typeface: Typeface, high: int) -> None:
    for sign in ("\u201c", "\u201d"):
        squares = shown(typeface, sign, high)
        bare = np.flatnonzero(~squares.any(axis=(0, 2)))
        assert np.array_equal(squares[:, : bare[0]], squares[:, bare[-1] + 1 :])


@pytest.mark.parametrize("high", HEIGHTS)
@pytest.mark.parametrize("typeface", FONTS, ids=lambda one: one.kind)
def test_a_comma_is_no_dot_with_a_tail_that_touches_it_at_a_hole_only(typeface: Typeface, high: int) -> None:
    assert not loose(rings(bytes_of(shown(typeface, ",", high)[None])))[0]


@pytest.mark.parametrize("high", HEIGHTS)
@pytest.mark.parametrize("typeface", FONTS, ids=lambda one: one.kind)
def test_a_small_full_stop_is_a_box(typeface: Typeface, high: int) -> None:
    """As a tall box it is no dot, and so small a dot with its corners cut off is a diamond."""
    stop = shown(typeface, ".", high)
    rows, columns, _ = stop.shape
    assert rows == columns
    assert stop.all() or rows > 3


@pytest.mark.parametrize("high", [5, 7, 9, 10])
@pytest.mark.parametrize(
    "typeface", [one for one in FONTS if one.kind in ("default", "serif")], ids=lambda one: one.kind
)
def test_a_low_comma_is_a_full_stop_with_a_tail_that_ends_slantwise(typeface: Typeface, high: int) -> None:
    """Bent as it is drawn, one stitch wide, it is a bracket."""
    stop, comma = shown(typeface, ".", high), shown(typeface, ",", high)
    assert np.array_equal(comma[:1], stop)
    assert comma.shape[1] == 1
    assert comma[:-1].all()
    assert comma[-1, 0].nonzero()[0].tolist() == [0, 5, 6, 7]  # cut off from top right to bottom left


@pytest.mark.parametrize("high", [5, 7, 9, 10])
@pytest.mark.parametrize(
    "typeface", [one for one in FONTS if one.kind in ("default", "serif")], ids=lambda one: one.kind
)
def test_marks_that_open_a_quotation_are_those_that_close_it_turned_round(
    typeface: Typeface, high: int
) -> None:
    opening, closing = shown(typeface, "\u2018", high), shown(typeface, "\u2019", high)
    assert np.array_equal(opening, np.roll(closing[::-1, ::-1], 4, axis=-1))
