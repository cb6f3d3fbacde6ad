"""What stitches cover, against shapely."""

import numpy as np
import pytest
from shapely import Polygon, area, intersection_all, union_all

from svg2chart.chart import Arrangement, Chart, Corner, Stitch, StitchKind
from svg2chart.pages.areas import corner_point, placed, stitch_area, thread_areas
from tests.pages.samples import harbour

FULL = Stitch(kind=StitchKind.FULL, thread=0)


def quarter(corner: Corner, thread: int = 0) -> Stitch:
    return Stitch(kind=StitchKind.QUARTER, thread=thread, corner=corner)


def three(corner: Corner, thread: int = 0) -> Stitch:
    return Stitch(kind=StitchKind.THREE_QUARTER, thread=thread, corner=corner)


@pytest.mark.parametrize("corner", list(Corner))
def test_shares_of_the_square(corner: Corner) -> None:
    """A three-quarter stitch covers half of the square by area, a quarter the quadrant or the other half."""
    shared: Arrangement = (three(corner), quarter(corner.opposite, 1))
    cases = [((FULL,), 1.0), ((three(corner),), 0.5), ((quarter(corner),), 0.25)]
    for arrangement, share in cases:
        assert area(Polygon(stitch_area(arrangement[0], arrangement))) == share
    upper, lower = (Polygon(stitch_area(stitch, shared)) for stitch in shared)
    assert area(union_all([upper, lower])) == 1.0
    assert area(intersection_all([upper, lower])) == 0.0
    for stitch in shared:
        assert Polygon(stitch_area(stitch, shared)).covers(Polygon(stitch_area(stitch, (stitch,))).centroid)


@pytest.mark.parametrize("corner", list(Corner))
def test_all_areas_turn_the_same_way(corner: Corner) -> None:
    """Viewers that add up signed cover would leave a seam between neighbours that turn against each other."""
    shared: Arrangement = (three(corner), quarter(corner.opposite, 1))
    for arrangement in ((FULL,), (three(corner),), (quarter(corner),), shared):
        for stitch in arrangement:
            assert Polygon(stitch_area(stitch, arrangement)).exterior.is_ccw


def test_corners_lie_where_they_are_named() -> None:
    """Clockwise from the top left, y growing downwards."""
    assert [corner_point(corner) for corner in Corner] == [(0, 0), (1, 0), (1, 1), (0, 1)]


def test_areas_of_a_chart_add_up_and_do_not_overlap() -> None:
    chart = harbour(30, 24, colours=6, seed=3)
    areas = thread_areas(chart, rows=range(30), columns=range(24))
    shapes = [Polygon(polygon) for _, polygons in areas for polygon in polygons]
    expected = sum(
        area(Polygon(stitch_area(stitch, arrangement)))
        for index in chart.squares.ravel().tolist()
        for arrangement in (chart.arrangements[index],)
        for stitch in arrangement
    )
    assert sum(area(shape) for shape in shapes) == pytest.approx(expected)
    assert area(union_all(shapes)) == pytest.approx(expected)


def test_runs_of_full_stitches_are_one_rectangle() -> None:
    chart = Chart(
        threads=harbour(4, 4, colours=1).threads,
        arrangements=((), (FULL,)),
        squares=np.array([[1, 1, 1, 0, 1]], dtype=np.int32),
    )
    [(thread, polygons)] = thread_areas(chart, rows=range(1), columns=range(5))
    assert (thread, len(polygons)) == (0, 2)
    region = placed(polygons, origin=(10.0, 20.0), square_mm=3.0, fill="#ffffff")
    assert region.polygons[0] == ((10, 20), (19, 20), (19, 23), (10, 23))
