"""What lies beside a motif comes to lie beneath it by a little at the most, and so does the motif."""

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.fitting.crowding import ROUNDED
from tests.drawings import YELLOW, box, drawing, shape
from tests.fitting.test_copies import HUNDREDTHS, assert_alike, boat, rounded
from tests.fitting.test_fitted import laid

WIDE, HIGH = 44, 24


def hundredths(least: int, most: int) -> st.SearchStrategy[float]:
    return st.integers(least, most).map(lambda n: n / 100)


def hulls_and_post(
    offs: list[float], y: float, size: float, wide: float, gap: float, *, is_over: bool
) -> tuple[list[np.ndarray], np.ndarray]:
    """Return the hulls of two boats, and a post to the right of the first, fitted.

    It is painted last, over them, or first.
    """
    boats = [boat(4 + 20 * number + x, 13 + y, size) for number, x in enumerate(offs)]
    marks = [shape(colour, rounded(points)) for each in boats for colour, points in each]
    left, deck = 4 + offs[0] + size + gap, 13 + y - 0.3 * size
    post = shape(YELLOW, rounded(box(left, deck - 0.3 * size, left + wide, deck + 0.3 * size)))
    ordered = [*marks, post] if is_over else [post, *marks]
    outlines = [each.polygon.points for each in laid(drawing(*ordered, wide=WIDE, high=HIGH), 0.5).shapes]
    return (outlines[2:6:3], outlines[6]) if is_over else (outlines[3::3], outlines[0])


@given(
    offs=st.lists(HUNDREDTHS, min_size=2, max_size=2),
    y=HUNDREDTHS,
    size=hundredths(300, 800),
    wide=hundredths(30, 300),
    gap=hundredths(0, 49),
    is_over=st.booleans(),
)
@example(offs=[0.28, 0.4], y=0.3, size=3.07, wide=0.54, gap=0.28, is_over=False)
@example(offs=[0.39, 0.35], y=0.43, size=6.33, wide=0.33, gap=0.25, is_over=False)
def test_no_more_than_an_eighth_of_the_lower_one_comes_to_lie_beneath_the_other(
    offs: list[float], y: float, size: float, wide: float, gap: float, *, is_over: bool
) -> None:
    """Of its smaller side, and half a square at the most."""
    hulls, post = hulls_and_post(offs, y, size, wide, gap, is_over=is_over)
    lower = (size if is_over else min(wide, 0.6 * size)) + 0.02  # corners are written to hundredths
    assert hulls[0][:, 0].max() - post[:, 0].min() <= min(lower / 8, 0.5) + ROUNDED


@pytest.mark.parametrize(
    ("offs", "y", "size", "wide", "gap", "is_over"),
    [
        ([0.43, 0.9], 0.59, 6.5, 2.91, 0.14, True),
        ([0.37, 0.01], 0.05, 6.51, 1.02, 0.29, True),
        ([0.97, 0.35], 0.77, 6.26, 2.29, 0.28, False),
        ([0.47, 0.37], 0.43, 6.34, 1.57, 0.47, False),
    ],
)
def test_boats_stay_alike_where_that_takes_one_over_a_post_by_a_little(
    offs: list[float], y: float, size: float, wide: float, gap: float, *, is_over: bool
) -> None:
    hulls, post = hulls_and_post(offs, y, size, wide, gap, is_over=is_over)
    assert hulls[0][:, 0].max() > post[:, 0].min()
    assert_alike(hulls)
