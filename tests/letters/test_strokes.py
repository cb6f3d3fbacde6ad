"""Strokes that lie beside each other, in shapes that can be counted by eye."""

import numpy as np
import pytest

from svg2chart.geometry.polygon import Polygon
from svg2chart.letters.strokes import stitched_strokes, strokes_of

LETTERS = {
    # level and upright lines across: strokes met
    "E": (["####", "#...", "###.", "#...", "####"], (1, 3)),
    "H": (["#..#", "#..#", "####", "#..#", "#..#"], (2, 1)),
    "U": (["#.#.#", "#.#.#", "#####"], (3, 1)),
    "block": (["###", "###"], (1, 1)),
}


def squares(rows: list[str]) -> np.ndarray:
    return np.array([[mark == "#" for mark in row] for row in rows])


@pytest.mark.parametrize("name", LETTERS)
def test_strokes_of_stitches_are_counted(name: str) -> None:
    rows, wanted = LETTERS[name]
    shown = np.repeat(squares(rows)[None, :, :, None], 8, axis=3)
    level, upright = stitched_strokes(shown)
    assert (int(level[0]), int(upright[0])) == wanted


@pytest.mark.parametrize("name", LETTERS)
def test_strokes_of_an_outline_are_those_of_its_stitches(name: str) -> None:
    rows, wanted = LETTERS[name]
    corners = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)])
    shifted = [
        np.add(corners, (column + 0.37, row + 0.21)) for row, column in np.argwhere(squares(rows)).tolist()
    ]
    assert strokes_of(Polygon.of_contours(shifted)) == wanted


def test_a_cleft_that_is_hardly_open_parts_no_strokes() -> None:
    def posts(apart: float) -> Polygon:
        post = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 5.0), (0.0, 5.0)])
        return Polygon.of_contours([post, np.add(post, (1.0 + apart, 0.0))])

    assert strokes_of(posts(0.1)) == (1, 1)
    assert strokes_of(posts(0.5)) == (2, 1)
