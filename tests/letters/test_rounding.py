"""Round corners: those that the outline has alike are stitched alike, by three-quarter stitches."""

import numpy as np
import pytest
from numpy.typing import NDArray

import svg2chart
from tests.typefaces import FURTHER, UPRIGHT, Typeface, need_typefaces

# what they look like mirrored top to bottom
_TURN = [3, 2, 1, 0, 7, 6, 5, 4]
_BY_KIND = {one.kind: one for one in (*UPRIGHT, *FURTHER)}
ALIKE = [
    (_BY_KIND[kind], high)
    for kind in ("default", "sans", "light", "rounded", "humanist")
    for high in (8, 9, 10, 11)
]
"""Fonts in which the bowl of a P is rounded alike above and below, or nearly."""


def shown(typeface: Typeface, letter: str, high: int) -> NDArray[np.bool_]:
    """Return the octants that a letter stitches."""
    need_typefaces()
    (one,) = svg2chart.set_letters([letter], high=high, fonts=typeface.fonts(), face=typeface.face()).letters
    return one.shown


def bowl(letter: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return the rows of a bowl at the right of a letter, and of nothing but the stem below it."""
    right = letter[:, (letter.shape[1] + 1) // 2 :].any(axis=(1, 2))
    return letter[: np.flatnonzero(right)[-1] + 1]


@pytest.mark.parametrize(("typeface", "high"), ALIKE, ids=lambda one: getattr(one, "kind", one))
@pytest.mark.parametrize("letter", ["P", "D"])
def test_both_corners_of_a_bowl_are_rounded_alike(typeface: Typeface, high: int, letter: str) -> None:
    """One was a bare square, with a whole step on both sides, the other a three-quarter stitch."""
    rows = bowl(shown(typeface, letter, high))
    upper, lower = rows[:2, -2:], rows[-2:, -2:][::-1][..., _TURN]
    assert np.array_equal(upper, lower)


@pytest.mark.parametrize("high", [7, 9, 10, 12, 15])
def test_the_corners_of_bowls_in_the_font_of_the_package_are_no_whole_steps(high: int) -> None:
    """A bare square between two full ones looks like a notch that was cut into the bowl."""
    for letter in "BDPRO":
        squares = shown(_BY_KIND["default"], letter, high)
        inked, full = squares.any(axis=2), squares.all(axis=2)
        assert inked[0, -1] or not (full[0, -2] and full[1, -1])
