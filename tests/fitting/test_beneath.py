"""A shape that lies over an edge is laid by itself if the edge goes on beneath it, and only then."""

import numpy as np
import shapely
from hypothesis import example, given
from hypothesis import strategies as st

from tests.drawings import BLUE, RED, Points, drawing, shape
from tests.fitting.test_copies import assert_alike, disc
from tests.fitting.test_fitted import laid

WIDE, HIGH = 40, 24
HUNDREDTHS = st.integers(0, 99).map(lambda n: n / 100)


def cloth(slope: float, y: float) -> Points:
    """Return what hangs below a straight edge over all of the width."""
    return [(-2, y - 2 * slope), (WIDE + 2, y + (WIDE + 2) * slope), (WIDE + 2, 60), (-2, 60)]


@given(
    st.lists(st.tuples(HUNDREDTHS, HUNDREDTHS), min_size=2, max_size=2),
    st.integers(300, 900).map(lambda n: n / 100),
    st.sampled_from([-0.5, -0.3, 0.0, 0.2, 0.4]),
    st.integers(-25, 25).map(lambda n: n / 100),
)
def test_two_buttons_on_the_edge_of_a_cloth_come_out_alike(
    offs: list[tuple[float, float]], size: float, slope: float, over: float
) -> None:
    marks = [shape(BLUE, cloth(slope, 12 - 20 * slope))]
    for number, (x, y) in enumerate(offs):
        left = 12 + 16 * number + x
        at = (left, 12 - (20 - left) * slope + size * over + y / 10)
        marks.append(shape(RED, disc(*at, size, size)))
    artwork = drawing(*marks, wide=WIDE, high=HIGH)
    buttons = [each.polygon.points for each in laid(artwork, 0.5).shapes[1:]]
    assert_alike([np.array([points.min(axis=0), points.max(axis=0)]) for points in buttons])


@given(
    st.tuples(HUNDREDTHS, HUNDREDTHS),
    st.integers(250, 700).map(lambda n: n / 100),
    st.integers(10, 60).map(lambda n: n / 100),
)
@example((0.58, 0.01), 2.62, 0.27)
def test_a_ball_that_lies_a_little_over_an_edge_does_not_come_off_it(
    off: tuple[float, float], size: float, deep: float
) -> None:
    x, y = 20 + off[0], 12 + off[1]
    marks = [shape(BLUE, cloth(0.0, y)), shape(RED, disc(x, y + deep - size / 2, size, size))]
    shapes = laid(drawing(*marks, wide=WIDE, high=HIGH), 0.5).shapes
    below, ball = (shapely.Polygon(each.polygon.points) for each in shapes)
    assert below.intersects(ball)
