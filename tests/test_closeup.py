"""What is seen of a drawing and has no stitches near it: to which shape it belongs."""

import numpy as np
import pytest

from svg2chart.artwork import Artwork
from svg2chart.closecells import FINE
from svg2chart.closeup import find_far
from svg2chart.fit import lay_on_grid
from svg2chart.grid import Extent, Grid
from svg2chart.stitches import Worked
from svg2chart.visible import visible_areas
from tests.drawings import BLUE, RED, Points, box, drawing, shape

SIDE = 8
RED_BOX = shape(RED, box(1, 1, 7, 7))


def far_off(artwork: Artwork) -> set[int]:
    """Return the shapes that lie far from stitches of a chart of bare cloth."""
    grid = Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=0.0)
    laid = lay_on_grid(artwork, grid)
    areas = visible_areas(laid.shapes, rows=SIDE, columns=SIDE)
    bare = Worked(
        squares=np.zeros((SIDE, SIDE), np.int32),
        arrangements=((),),
        lost=(),
        part_lost={},
        allowance=np.zeros((SIDE + 2, SIDE + 2), np.int64),
        saw_cost=0,
    )
    number_of = {colour: number for number, colour in enumerate(areas.colours)}
    return set(find_far(bare, areas, laid.shapes, groups=(), number_of=number_of, reach=FINE))


@pytest.mark.parametrize(
    "outline", [box(2, 2, 4, 4), box(3, 4, 4, 5), box(2.25, 2, 4, 4), [(2, 2), (5, 2), (2, 5)]]
)
def test_what_has_no_stitches_is_found_whether_it_fills_squares_or_not(outline: Points) -> None:
    assert far_off(drawing(shape(RED, outline), wide=SIDE, high=SIDE)) == {0}
    assert far_off(drawing(RED_BOX, shape(BLUE, outline), wide=SIDE, high=SIDE)) == {0, 1}


def test_of_one_colour_the_shape_is_told_that_shows_more() -> None:
    over = shape(RED, box(3, 3, 4, 4))
    assert far_off(drawing(RED_BOX, over, wide=SIDE, high=SIDE)) == {0}
