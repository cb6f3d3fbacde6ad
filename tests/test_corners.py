"""Right corners are right corners on the cloth: of upright boxes, and of boxes turned by 45 degrees.

What stitches cover is united by shapely, whose outline of it is held against a box.
"""

from itertools import pairwise

import numpy as np
from hypothesis import example, given
from hypothesis import strategies as st
from shapely import Polygon, unary_union
from shapely.geometry.base import BaseGeometry

from svg2chart.artwork import Fill
from svg2chart.chart import Chart
from svg2chart.convert import convert
from svg2chart.grid import Extent, Grid
from tests.drawings import BLUE, RED, YELLOW, Points, box, diamond, drawing, shape, stitched

SIDE = 20

hundredths = st.integers(0, 99).map(lambda n: n / 100)


def chart_of(marks: list[Fill], *, movement: float = 0.5) -> Chart:
    artwork = drawing(*marks, wide=SIDE, high=SIDE)
    return convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=movement))


def covered(chart: Chart, colour: str) -> BaseGeometry:
    """Return what the stitches of a colour cover, in squares."""
    return unary_union([Polygon(points) for points in stitched(chart, colour)])


def corners(stitches: BaseGeometry) -> list[np.ndarray]:
    """Return the corners of what is one piece without a hollow."""
    assert isinstance(stitches, Polygon)
    assert not stitches.interiors
    points = np.array(stitches.exterior.simplify(0.0).coords)[:-1]
    ways = np.roll(points, -1, axis=0) - points
    turns = ways[:, 0] * np.roll(ways[:, 1], 1) - ways[:, 1] * np.roll(ways[:, 0], 1)
    return list(points[turns != 0])


def turned(x: float, y: float, long: float, wide: float) -> Points:
    """Return a box turned by 45 degrees, its sides in squares along the grid."""
    return [(x, y), (x + long, y + long), (x + long - wide, y + long + wide), (x - wide, y + wide)]


def is_right(points: list[np.ndarray]) -> bool:
    ways = [two - one for one, two in pairwise([*points, points[0], points[1]])]
    return len(points) == 4 and all(abs(one @ two) < 1e-9 for one, two in pairwise(ways))


@given(hundredths, hundredths, st.integers(190, 500), st.integers(106, 180))
@example(0.19, 0.1, 477, 131)  # three diagonals wide, of which those on one side meet between holes
@example(0.35, 0.64, 194, 116)  # its ends are short
def test_a_narrow_turned_box_keeps_its_four_corners(x: float, y: float, long: int, wide: int) -> None:
    """It crosses the edge of a field: by itself it may lie just half way between two places."""
    outline = turned(9 + x, 4 + y, long / 100, wide / 100)
    chart = chart_of([shape(BLUE, box(0, 0, 10, SIDE)), shape(RED, outline)])
    points = corners(covered(chart, RED))
    assert is_right(points)
    assert all((point == np.rint(point)).all() for point in points)


@given(
    st.integers(3, 5),
    st.integers(40, 120),
    st.integers(40, 120),
    st.integers(8, 40),
    st.sampled_from([None, YELLOW]),
)
@example(5, 53, 104, 17, None)  # half of what the left corner leaves of its squares is blue
def test_a_turned_box_on_holes_keeps_its_corners_over_a_disc(
    radius: int, x: int, y: int, size: int, ground: str | None
) -> None:
    """Where cloth and disc meet in the square of a corner one of them is shown wrong in any case."""
    turn = np.linspace(0, 2 * np.pi, 48, endpoint=False).tolist()
    disc = [((x + size * np.cos(t)) / 8, (y + size * np.sin(t)) / 8) for t in turn]
    under = [shape(ground, box(0, 0, SIDE, SIDE))] if ground else []
    chart = chart_of([*under, shape(BLUE, disc), shape(RED, diamond(10, 10, radius))], movement=0.0)
    assert covered(chart, RED).equals(Polygon(diamond(10, 10, radius)))


@given(hundredths, st.integers(1, 5), st.integers(1, 5), st.integers(0, 3), st.sampled_from([None, BLUE]))
def test_a_box_whose_sides_lie_on_hole_lines_but_for_one_keeps_its_corners(
    off: float, wide: int, high: int, turn: int, ground: str | None
) -> None:
    """Also unfitted: a side between hole lines is straight to its ends."""
    points = np.array(box(-wide, -high - off, wide, high + 1)) @ np.linalg.matrix_power(
        [[0, 1], [-1, 0]], turn
    )
    under = [shape(ground, box(0, 0, SIDE, SIDE))] if ground else []
    chart = chart_of([*under, shape(RED, [(10 + x, 10 + y) for x, y in points.tolist()])], movement=0.0)
    points_found = corners(covered(chart, RED))
    assert is_right(points_found)
    assert all((point == np.rint(point)).all() for point in points_found)


@given(st.integers(52, 97), st.integers(52, 97), st.integers(2, 5), st.integers(2, 5))
def test_a_box_that_covers_most_of_its_corner_squares_keeps_its_corners(
    up: int, left: int, wide: int, high: int
) -> None:
    points = box(6 - left / 100, 6 - up / 100, 6 + wide, 6 + high)
    assert is_right(corners(covered(chart_of([shape(RED, points)], movement=0.0), RED)))
