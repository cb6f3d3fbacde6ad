"""What straight sides ask of stitches, whichever way a drawing is turned."""

import pytest

from svg2chart.arranging.straight import follow_sides
from svg2chart.fit import lay_on_grid
from svg2chart.grid import Extent, Grid
from svg2chart.visible import visible_areas
from tests.drawings import BLUE, RED, Points, box, drawing, shape

SIDE = 5


def turned(points: Points) -> Points:
    return [(SIDE - y, x) for x, y in points]


def asked(band: Points) -> set[tuple[int, int, int, int, int]]:
    """Return row, column, colour, octants and mirror of what a red band on blue asks; octants or mirror."""
    field = shape(BLUE, box(0, 0, SIDE, SIDE))
    artwork = drawing(field, shape(RED, band), wide=SIDE, high=SIDE)
    grid = Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=0.0)
    areas = visible_areas(lay_on_grid(artwork, grid).shapes, rows=SIDE, columns=SIDE)
    straight = follow_sides(areas)
    columns = (straight.square, straight.colour, straight.bits, straight.mirror)
    return {
        (*divmod(square, SIDE), colour, bits, 0 if bits else mirror)
        for square, colour, bits, mirror in zip(*(each.tolist() for each in columns), strict=True)
    }


@pytest.mark.parametrize(
    "high", [2**-20, 2**-19, 2**-18, 2**-17, 0.01, 0.5, 0.8, 1 - 2**-17, 1 - 2**-18, 1 - 2**-19]
)
def test_a_band_asks_the_same_after_a_quarter_turn(high: float) -> None:
    band: Points = box(1, 2 - high, 3, 2)
    for _ in range(4):
        here, there = asked(band), asked(turned(band))
        assert there == {
            (column, SIDE - 1 - row, colour, (bits << 2 | bits >> 6) & 255, 0 if bits else 1 - mirror)
            for row, column, colour, bits, mirror in here
        }
        band = turned(band)


def test_a_band_is_to_lie_along_its_row() -> None:
    assert {(1, 1), (1, 2)} <= {(row, column) for row, column, *_ in asked(box(1, 1.2, 3, 2))}
