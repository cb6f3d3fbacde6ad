"""Round letters on few squares: their corners are cut by three-quarter stitches, not by whole steps."""

import numpy as np
import pytest

import svg2chart
from svg2chart.lettering.heights import heights_of
from svg2chart.letters.scales import scale_of
from tests.typefaces import FURTHER, UPRIGHT, Typeface, need_typefaces

SANS = [one for one in (*UPRIGHT, *FURTHER) if one.kind in ("sans", "rounded", "default", "humanist")]


@pytest.mark.parametrize("typeface", SANS, ids=lambda one: one.kind)
def test_a_low_o_has_no_whole_square_beside_a_bare_corner_on_both_sides(typeface: Typeface) -> None:
    """With such steps at all corners it is a wheel with four spokes, and is read as an a."""
    need_typefaces()
    (one,) = svg2chart.set_letters(["o"], high=7, fonts=typeface.fonts(), face=typeface.face()).letters
    inked, full = one.shown.any(axis=2), one.shown.all(axis=2)
    for row, beside_row in ((0, 1), (-1, -2)):
        for column, beside_column in ((0, 1), (-1, -2)):
            is_step = full[row, beside_column] and full[beside_row, column] and not inked[row, column]
            assert not is_step


@pytest.mark.parametrize("high", range(8, 17))
@pytest.mark.parametrize("typeface", SANS, ids=lambda one: one.kind)
def test_the_strokes_of_an_8_are_as_high_as_bars_in_its_middle(typeface: Typeface, high: int) -> None:
    """Its waist is drawn as a slant: with that moved off the rows, an 8 stands on a foot twice as high."""
    need_typefaces()
    face = typeface.face()
    (one,) = svg2chart.set_letters(["8"], high=high, fonts=typeface.fonts(), face=face).letters
    middle = one.shown.any(axis=2)[:, one.shown.shape[1] // 2]
    strokes = "".join("#" if is_inked else " " for is_inked in middle).split()
    assert strokes == 3 * ["#" * scale_of(heights_of(face), high).bar]


@pytest.mark.parametrize("high", range(9, 16))
def test_the_upper_bowl_of_a_b_has_no_whole_step(high: int) -> None:
    """It is like no other corner of the letter, and round for all that."""
    default = next(one for one in FURTHER if one.kind == "default")
    (one,) = svg2chart.set_letters(["B"], high=high, fonts=default.fonts(), face=default.face()).letters
    full, inked = one.shown.all(axis=2), np.pad(one.shown.any(axis=2), 1)
    bare_above, bare_beside = ~inked[:-2, 1:-1], ~inked[1:-1, 2:]
    steps = full & bare_above & bare_beside & ~inked[:-2, 2:]
    rows, columns = steps.shape
    assert not steps[: rows // 3, columns // 2 :].any()
