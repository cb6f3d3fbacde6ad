"""Joined letters moved onto the hole lines: strokes keep their height."""

import numpy as np
import pytest

from svg2chart.letterforms import Heights
from svg2chart.letters.joining import joined_placings_down
from svg2chart.letters.scales import scale_of
from tests.geometry.test_growing import polygon_of, region

HEIGHTS = Heights(capital=1.0, small=0.46, ascender=1.0, descender=0.4, stem=0.06, bar=0.06)
HIGH = 16


@pytest.mark.parametrize("lower", [0.5, 0.7, 0.8])
def test_a_lower_shoulder_does_not_press_the_top_of_a_bowl_flat(lower: float) -> None:
    """A bowl with a top of one square, and beside it a stem that ends less than a square below that."""
    top = -7.6
    bowl = [(0, top, 6, top + 1), (0, top, 1, 0), (5, top, 6, 0), (0, -1, 9, 0)]
    letters = polygon_of(region(*bowl, (8, top + lower, 9, 0)))
    (line,) = joined_placings_down(letters, letters, scale_of(HEIGHTS, HIGH), HEIGHTS)
    above, below = line.moved(np.array([top, top + 1.0]))
    assert above == -7.0
    assert below - above >= 0.9
