"""Remarks say in which square of the chart it is so, by row and column as the printed chart counts them."""

import re

from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon, box, unary_union

from svg2chart.chart import Chart
from svg2chart.convert import convert
from svg2chart.grid import Extent, Grid
from svg2chart.remarks import Remark, Severity, at_places, gathered
from tests.drawings import BLUE, GREEN, RED, YELLOW, Points, diamond, drawing, shape, stitched, told_squares

SIDE = 20
PLACE = re.compile(r", at row (\d+), column (\d+)")

hundredths = st.integers(0, 99).map(lambda n: n / 100)


def charted(*outlines: Points, colours: tuple[str, ...] = (RED, BLUE, GREEN), movement: float = 0.0) -> Chart:
    marks = [shape(c, points, element=c) for c, points in zip(colours, outlines, strict=False)]
    artwork = drawing(*marks, wide=SIDE, high=SIDE)
    return convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=movement))


@given(
    st.tuples(st.integers(1, 17), hundredths), st.tuples(st.integers(1, 17), hundredths), st.integers(5, 40)
)
def test_what_is_too_small_is_where_it_is_seen(x: tuple[int, float], y: tuple[int, float], size: int) -> None:
    left, top, wide = sum(x), sum(y), size / 100
    speck = [(left, top), (left + wide, top), (left, top + wide)]
    chart = charted([(0, 0), (SIDE, 0), (SIDE, SIDE), (0, SIDE)], speck, colours=(YELLOW, RED))
    for square in told_squares(chart, "for a stitch"):
        assert square.intersection(Polygon(speck)).area > 0


@given(hundredths, hundredths, st.integers(200, 500))
def test_a_corner_that_is_cut_off_is_where_it_is_drawn(x: float, y: float, size: int) -> None:
    """The corners of a box turned by 45 degrees lie anywhere, and holes do not."""
    turned = diamond(9 + x, 9 + y, size / 100)
    for square in told_squares(charted(turned), "is cut off in stitches"):
        assert min(square.distance(Point(corner)) for corner in turned) < 1e-9


def test_a_place_is_told_with_how_many_more_there_are() -> None:
    assert at_places("gone", []) == "gone"
    assert at_places("gone", [(2, 4), (0, 7)]) == "gone, at row 1, column 8 and 1 more place"
    assert at_places("gone", [(2, 4), (0, 7), (2, 4), (3, 3)]) == "gone, at row 1, column 8 and 2 more places"


@given(
    st.lists(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), min_size=1, unique=True), min_size=1)
)
def test_on_a_line_for_several_elements_all_places_are_counted(places: list[list[tuple[int, int]]]) -> None:
    remarks = [
        Remark(element=f"flag {k}", what=at_places("gone", own), severity=Severity.LEFT_OUT)
        for k, own in enumerate(places)
    ]
    [line] = gathered(remarks)
    row, column = min(places[0])
    count = sum(map(len, places)) - 1
    more = f" and {count} more place" + "s" * (count > 1) if count else ""
    assert line.endswith(f": gone, at row {row + 1}, column {column + 1}{more} (left out)")


def test_unequal_copies_are_told_where_and_which_way() -> None:
    """Two windows as wide as high: the left one comes out three wide, the right one two, both three high."""
    windows = [[(x, 4), (x + 2.5, 4), (x + 2.5, 7), (x, 7)] for x in (2.3, 9.7)]
    chart = charted(*windows)
    sizes = [
        Polygon(box(*unary_union([Polygon(p) for p in stitched(chart, c)]).bounds).exterior).bounds
        for c in (RED, BLUE)
    ]
    assert [(b[2] - b[0], b[3] - b[1]) for b in sizes] == [(3, 3), (2, 3)]
    told = [remark.what for remark in chart.remarks]
    for (left, _, right, _), what in zip(sizes, told, strict=True):
        assert "unequal, 2.5 squares wide as 2 to 3, at row 6, column " in what
        [square] = [PLACE.search(what)]
        assert square is not None
        assert left < int(square[2]) <= right
