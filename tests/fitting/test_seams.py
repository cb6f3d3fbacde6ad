"""Outlines of one colour that lie side by side have no seams between them."""

from itertools import pairwise

import numpy as np
import pytest

from svg2chart.fitting.seams import seamless_contours
from svg2chart.geometry.polygon import FillRule, Polygon
from tests.drawings import Points, box


def corners(*polygons: Polygon, looks: list[int]) -> list[set[tuple[float, float]]]:
    points, starts = seamless_contours(polygons, np.array(looks))
    return sorted(
        ({(x, y) for x, y in points[a:b].tolist()} for a, b in pairwise(starts)),
        key=sorted,
    )


def polygon(*contours: Points, rule: FillRule = FillRule.NONZERO) -> Polygon:
    return Polygon.of_contours(contours, rule=rule)


LEFT, RIGHT = box(0, 0, 2, 4), box(2, 0, 5, 4)


@pytest.mark.parametrize("way", [1, -1])
def test_two_halves_have_the_outline_of_the_whole(way: int) -> None:
    assert corners(polygon(LEFT), polygon(RIGHT[::way]), looks=[1, 1]) == [set(box(0, 0, 5, 4))]


def test_halves_of_two_colours_and_those_that_let_through_have_their_own_outlines() -> None:
    for looks in ([1, 2], [-1, -1]):
        assert corners(polygon(LEFT), polygon(RIGHT), looks=looks) == [set(LEFT), set(RIGHT)]


def test_a_shape_drawn_twice_keeps_its_outline() -> None:
    assert corners(polygon(LEFT), polygon(LEFT), looks=[1, 1]) == [set(LEFT), set(LEFT)]


@pytest.mark.parametrize("way", [1, -1])
def test_what_turns_both_ways_alike_keeps_its_outline_whichever_way_it_is_drawn(way: int) -> None:
    """Two lobes that cross, of one size: neither way round is the right one."""
    crossed = [(6, 0), (4, 4), (0, 6), (2, 6)]
    beside = [(0, 6), (0.5, 0), (0.5, 1), (4, 4)]
    found = corners(polygon(beside[::way]), polygon(crossed[::way]), looks=[1, 1])
    assert found == [set(beside), set(crossed)]


def test_a_plug_fills_its_hollow() -> None:
    frame = polygon(box(0, 0, 6, 6), box(2, 2, 4, 4)[::-1])
    assert corners(frame, polygon(box(2, 2, 4, 4)), looks=[3, 3]) == [set(box(0, 0, 6, 6))]


def test_four_quarters_leave_nothing_in_the_middle() -> None:
    quarters = [polygon(box(x, y, x + 3, y + 3)) for x in (0, 3) for y in (0, 3)]
    assert corners(*quarters, looks=[1] * 4) == [set(box(0, 0, 6, 6))]


def test_a_ring_of_parts_keeps_its_hollow() -> None:
    parts = [polygon(box(x, y, x + 1, y + 1)) for x in range(3) for y in range(3) if (x, y) != (1, 1)]
    assert corners(*parts, looks=[1] * 8) == [set(box(0, 0, 3, 3)), set(box(1, 1, 2, 2))]
