"""Letters of which a hairline was lost: what lies on both sides of it is joined again."""

import numpy as np
import pytest

from svg2chart.letters.judging import LARGE, TOPOLOGY_COST, Found
from svg2chart.letters.repairing import joined
from tests.letters.wanted import one_part


@pytest.mark.parametrize("apart", [2, 3, 7])
@pytest.mark.parametrize("row", [0, 2])
def test_posts_are_joined_along_the_hairline_between_them(row: int, apart: int) -> None:
    """By full stitches and side by side: one stitch alone does not reach over two bare squares."""
    areas = np.zeros((4, apart + 2, 8))
    areas[:, [0, -1]] = 1 / 8
    areas[row] = np.maximum(areas[row], 0.02 / 8)
    found = Found(
        cost=0.0,
        faults=TOPOLOGY_COST,
        move=0.0,
        outline=0,
        areas=areas,
        shown=areas > 0.1,
        top=0,
        left=0,
    )
    wanted = one_part(ink=8.0 + apart, costs=LARGE)
    bar = np.zeros((4, apart + 2, 8), np.bool_)
    bar[:, [0, -1]] = True
    bar[row] = True
    assert np.array_equal(joined(found, wanted).shown, bar)
