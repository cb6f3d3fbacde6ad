"""Colours of blocks told by number, so that blocks of other colours can look alike."""

import numpy as np

from svg2chart.arranging.blocks import NOTHING, numbered_blocks, of_one_size
from tests.arranging.test_mending import Board
from tests.drawings import BLUE, RED, box, drawing, shape


def test_a_number_stands_for_bare_cloth_only_where_that_is_seen_and_has_it() -> None:
    """A red box on cloth and a blue one: neither has the other's colour."""
    left, right = shape(RED, box(1, 1, 3, 4)), shape(BLUE, box(6, 1, 8, 4))
    board = Board(drawing(left, right, wide=10, high=5))
    (squares,) = of_one_size(np.array([[0, 0, 5, 5], [5, 0, 10, 5]], np.float64), 5, 10)
    blocks = numbered_blocks(board.areas, squares)
    seen = blocks.numbers(np.repeat(board.solid.reshape(-1, 1), 8, axis=1))
    assert np.array_equal(seen[0], seen[1])
    for number, colour in zip(blocks.number, blocks.colour, strict=True):
        assert np.array_equal(colour[number], np.arange(3))
        assert set(np.delete(colour, number).tolist()) == {NOTHING}
