from dataclasses import replace

import numpy as np
import pytest

from svg2chart.colour import Colour
from svg2chart.errors import GridError
from svg2chart.painting import square_colours
from tests.drawings import BLUE, RED, box, drawing, shape, stroke


def test_means_are_areas_of_colour() -> None:
    # by hand: a box over 1/4 of the square, half of that under a half-transparent one
    red, blue = shape("#ff0000", box(0, 0, 5, 5)), replace(shape("#0000ff", box(0, 0, 5, 2.5)), opacity=0.5)
    mean = square_colours(drawing(red, blue, wide=10, high=10), 1, 1)
    assert mean[0, 0] == pytest.approx([0.125 + 0.0625, 0, 0.0625, 0.25])


def test_thin_strokes_are_painted_as_they_are() -> None:
    mean = square_colours(drawing(stroke("#ffffff", [(0, 5), (10, 5)], width=5 / 32), wide=10, high=10), 2, 2)
    assert mean[..., 3] == pytest.approx(np.full((2, 2), 1 / 64))


def test_squares_below_the_page_are_empty() -> None:
    mean = square_colours(drawing(shape(RED, box(0, 0, 10, 30)), wide=10, high=15), 2, 1)
    assert mean[..., 3] == pytest.approx(np.array([[1.0], [0.5]]))


def test_colours_of_whole_squares_are_exact() -> None:
    mean = square_colours(drawing(shape(BLUE, box(0, 0, 10, 10)), wide=10, high=10), 3, 3)
    colour = Colour.from_hex(BLUE)
    assert np.array_equal(mean, np.broadcast_to([colour.red, colour.green, colour.blue, 1.0], (3, 3, 4)))


def test_no_columns() -> None:
    with pytest.raises(GridError, match="no square"):
        square_colours(drawing(wide=10, high=10), 1, 0)
