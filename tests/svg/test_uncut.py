"""What a clip shows wholly, against shapely."""

import numpy as np
import shapely
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.artwork import Clip, ClipPart
from svg2chart.geometry.box import Box
from svg2chart.geometry.path import Path, sides
from svg2chart.geometry.polygon import FillRule
from svg2chart.svg.uncut import shows_whole

LATTICE = st.integers(0, 8)
POINTS = st.tuples(LATTICE, LATTICE)
BOXES = st.builds(
    lambda x, y, wide, high: Box(x, y, x + wide, y + high),
    LATTICE,
    LATTICE,
    st.integers(1, 4),
    st.integers(1, 4),
)


def is_shown(points: list[tuple[int, int]], box: Box) -> bool:
    path = Path.of_contours([(sides(np.array(points, dtype=float)), True)])
    clip = Clip(parts=(ClipPart(path=path, rule=FillRule.EVENODD),))
    return shows_whole((clip,), 0, box)


@given(st.lists(POINTS, min_size=3, max_size=3), BOXES)
@example([(0, 0), (8, 0), (0, 8)], Box(0, 0, 4, 4))  # a corner on the long side
@example([(0, 0), (8, 0), (0, 8)], Box(1, 1, 5, 4))
def test_a_triangle_shows_the_boxes_that_it_covers(points: list[tuple[int, int]], box: Box) -> None:
    region = shapely.Polygon(points)
    covered = region.area > 0 and shapely.covers(
        region, shapely.box(box.left, box.top, box.right, box.bottom)
    )
    assert is_shown(points, box) == covered


@given(st.lists(POINTS, min_size=3, max_size=9), BOXES)
def test_no_shape_shows_what_it_does_not_cover(points: list[tuple[int, int]], box: Box) -> None:
    """One that crosses itself may be taken to cut what it covers, by a side that turns back on itself."""
    region = shapely.make_valid(shapely.Polygon(points))
    whole = shapely.box(box.left, box.top, box.right, box.bottom)
    if is_shown(points, box):
        assert shapely.intersection(region, whole).area >= whole.area - 1e-9  # rounding of crossings
