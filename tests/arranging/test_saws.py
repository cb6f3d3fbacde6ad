"""Saws: which edges have them."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.arranging.patterns import HALF_OCTANTS, QUADRANT_OCTANTS
from svg2chart.arranging.saws import count_saws
from svg2chart.chart import Corner

CORNERS = dict(zip("◤◥◢◣", Corner, strict=True))
QUARTERS = dict(zip("▘▝▗▖", Corner, strict=True))


def shown(picture: str) -> np.ndarray:
    """Return what a picture shows, with a rim: "." bare, "r" full, "◤" half a square, "▘" a quarter."""
    rows = [row.split() for row in picture.split("\n") if row.strip()]
    result = np.zeros((len(rows) + 2, len(rows[0]) + 2, 8), np.int64)
    for r, row in enumerate(rows, 1):
        for c, square in enumerate(row, 1):
            if square in CORNERS:
                result[r, c, list(HALF_OCTANTS[CORNERS[square]])] = 1
            elif square in QUARTERS:
                result[r, c, list(QUADRANT_OCTANTS[QUARTERS[square]])] = 1
            elif square == "r":
                result[r, c] = 1
    return result


@pytest.mark.parametrize(
    ("picture", "saws"),
    [
        ("r r r \n r r r \n r r r", 0),  # a box: all its corners turn the same way
        (". ◢ ◣ . \n ◢ r r ◣ \n ◥ r r ◤ \n . ◥ ◤ .", 0),  # so do those of a diamond
        ("r . . \n r r . \n r r r", 4),  # stairs: two risers and two treads between sharp turns
        ("r ◣ . \n r r ◣ \n r r r", 0),  # smooth ones
        ("◣ ◣ ◣ \n r r r", 4),  # three teeth: two sides of each of the two notches
    ],
)
def test_steps_and_teeth_are_saws_and_corners_of_boxes_are_none(picture: str, saws: int) -> None:
    assert count_saws(shown(picture)) == saws


def test_a_quarter_that_goes_on_beside_it_makes_small_steps() -> None:
    assert count_saws(shown("r r r \n . . .")) == 0
    assert count_saws(shown("r r r \n . ▘ .")) > 0


patterns = st.sampled_from(
    [(0,) * 8, (1,) * 8, (2,) * 8]
    + [tuple(int(o in HALF_OCTANTS[c]) * (1 + low) for o in range(8)) for c in Corner for low in (0, 1)]
    + [tuple(1 + int(o in HALF_OCTANTS[c]) for o in range(8)) for c in Corner]
    + [tuple(int(o in QUADRANT_OCTANTS[c]) for o in range(8)) for c in Corner]
)


@given(st.lists(patterns, min_size=30, max_size=30))
def test_a_mirror_and_a_quarter_turn_keep_saws(board: list) -> None:
    squares = np.array(board).reshape(5, 6, 8)
    padded = np.pad(squares, ((1, 1), (1, 1), (0, 0)))
    mirrored = padded[:, ::-1, ::-1]  # octant i goes to 7 - i
    turned = np.roll(np.rot90(padded, -1), 2, axis=2)
    assert count_saws(mirrored) == count_saws(turned) == count_saws(padded)


@given(st.lists(patterns, min_size=72, max_size=72), patterns)
def test_a_window_of_seven_squares_shows_what_its_middle_changes(board: list, other: tuple) -> None:
    before = np.pad(np.array(board).reshape(9, 8, 8), ((1, 1), (1, 1), (0, 0)))
    after = before.copy()
    after[5, 4] = other
    around = np.s_[2:9, 1:8]
    assert count_saws(after[around]) - count_saws(before[around]) == count_saws(after) - count_saws(before)
