"""Round letters on few squares: their corners are cut by three-quarter stitches, not by whole steps."""

import pytest

import svg2chart
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
