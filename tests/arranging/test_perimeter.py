"""The drawing's own edge: about as long as the outlines, wherever they lie and however they are turned."""

from math import cos, radians, sin, sqrt

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.arranging.patterns import LENGTH_UNIT
from svg2chart.arranging.perimeter import edge_lengths
from svg2chart.artwork import Artwork, Fill
from svg2chart.colour import Colour
from svg2chart.fit import lay_on_grid
from svg2chart.geometry.polygon import Polygon
from svg2chart.grid import Extent, Grid
from svg2chart.octants.stacks import Paint
from svg2chart.visible import Shape, visible_areas
from tests.bench.energies import mirrored
from tests.drawings import BLUE, RED, box, diamond, drawing, shape
from tests.test_laws import artworks


def lengths_of(artwork: Artwork) -> np.ndarray:
    grid = Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=0.0)
    laid = lay_on_grid(artwork, grid)
    return edge_lengths(
        visible_areas(laid.shapes, groups=artwork.groups, rows=grid.rows, columns=grid.columns)
    )


# a quadrant corner stands for half a square of edge; where the outline turns there, or a second one begins,
# one quadrant of four is of another colour: sqrt(2) / 4 instead of 1 / 2
CUT = (2 - sqrt(2)) / 4
# the same sums at the tip of a diamond, where two quadrants of four are half of another colour
TIP = (sqrt(2) - 1) / 2


@pytest.mark.parametrize(
    ("marks", "length"),
    [
        ([shape(RED, box(3, 3, 8, 6))], 16 - 4 * CUT),  # twice 5 and 3
        ([shape(RED, diamond(6, 6, 3))], 12 * sqrt(2) - 4 * TIP),  # four sides of 3 diagonals
        # six more where they meet
        ([shape(RED, box(3, 3, 9, 9)), shape(BLUE, box(3, 3, 6, 9))], 30 - 6 * CUT),
        # nobody sees where one ends
        ([shape(RED, box(3, 3, 9, 9)), shape(RED, box(3, 3, 6, 9))], 24 - 4 * CUT),
    ],
)
def test_edges_along_the_grid_and_its_diagonals_are_as_long_as_drawn(
    marks: list[Fill], length: float
) -> None:
    # each square's length is rounded down
    total = lengths_of(drawing(*marks, wide=12, high=12)).sum() / LENGTH_UNIT
    assert total == pytest.approx(length, abs=14 * 14 / LENGTH_UNIT)


@given(st.integers(0, 90), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_an_edge_is_within_a_fiftieth_as_long_as_drawn(angle: int, x: float, y: float) -> None:
    """A half plane, whose edge passes a window of 40 squares in the middle of 60."""
    way = np.array([cos(radians(angle)), sin(radians(angle))])
    across, middle = np.array([way[1], -way[0]]), np.array([30 + x, 30 + y])
    corners = [
        middle - 99 * way,
        middle + 99 * way,
        middle + 99 * (way + across),
        middle + 99 * (across - way),
    ]
    found = visible_areas(
        [Shape(polygon=Polygon.of_contours([corners]), paint=Paint(colour=Colour(0.8, 0.2, 0.2)))],
        rows=60,
        columns=60,
    )
    length = edge_lengths(found)[11:51, 11:51].sum() / LENGTH_UNIT
    line = shapely.LineString([middle - 99 * way, middle + 99 * way])
    drawn = shapely.intersection(line, shapely.box(10, 10, 50, 50)).length
    # at both ends a part may count for the squares outside the window
    assert abs(length - drawn) <= 0.02 * drawn + 1


@given(artworks())
def test_a_mirror_keeps_it(artwork: Artwork) -> None:
    assert np.array_equal(lengths_of(mirrored(artwork)), lengths_of(artwork)[:, ::-1])
