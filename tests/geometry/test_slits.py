"""White that is meant to be closed: a slit into a hollow, and nothing else that is narrow."""

import pytest
import shapely

from svg2chart.geometry.growing import parts_and_hollows
from svg2chart.geometry.polygon import Polygon
from svg2chart.geometry.slits import with_slits_closed
from tests.geometry.test_growing import polygon_of, region, shapely_of

RING = shapely.difference(region((0, 0, 8, 8)), region((2, 2, 6, 6)))


def closed(found: shapely.Geometry, wide: float) -> Polygon:
    return with_slits_closed(polygon_of(found), wide=wide)


@pytest.mark.parametrize("slit", [0.1, 0.3, 0.45])
def test_a_slit_into_a_hollow_is_closed(slit: float) -> None:
    opened = shapely.difference(RING, region((6, 4, 8, 4 + slit)))
    assert parts_and_hollows(polygon_of(opened), least=0.02) == (1, 0)
    found = closed(opened, 0.5)
    assert parts_and_hollows(found, least=0.02) == (1, 1)
    # but for round corners, and what fills the slit reaching a hair into what is beside it
    assert shapely.area(shapely.symmetric_difference(shapely_of(found), RING)) < 0.15


@pytest.mark.parametrize(
    "drawn",
    [
        shapely.difference(RING, region((6, 4, 8, 4.6))),  # wider
        RING,
        region((0, 0, 2, 8), (0, 0, 8, 2), (0, 6, 8, 8), (6, 6, 8, 7)),  # corners
        region((0, 0, 2, 8), (2.2, 0, 4.2, 8)),  # two parts
        region((0, 0, 2, 8), (2.2, 0, 4.2, 8), (0, 6, 4, 8)),  # a slit into no hollow
        shapely.difference(region((0, 0, 8, 8)), region((2, 4, 6, 4.2))),  # a narrow hollow
    ],
)
def test_all_other_white_stays(drawn: shapely.Geometry) -> None:
    polygon = polygon_of(drawn)
    assert with_slits_closed(polygon, wide=0.5) is polygon
