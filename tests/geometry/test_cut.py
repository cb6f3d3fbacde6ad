"""Cutting: shapely, winding numbers by angles, and cases to check by eye."""

from functools import reduce
from math import sin

import numpy as np
import pytest
import shapely
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.geometry.box import Box
from svg2chart.geometry.cut import cut_lines, cut_lines_to_box, cut_polygon, cut_polygon_to_box
from svg2chart.geometry.polygon import FillRule, Polygon, Polylines
from tests.geometry.regions import Points, chain, holds, lattice, painted_area, samples, windings

polygons = st.builds(
    lambda contours, rule: Polygon.of_contours(contours, rule=rule),
    st.lists(st.lists(lattice, min_size=3, max_size=7), min_size=1, max_size=3),
    st.sampled_from(FillRule),
)
boxes = st.builds(
    lambda left, top, wide, high: Box(left, top, left + wide, top + high),
    st.integers(-1, 6),
    st.integers(-1, 6),
    st.integers(1, 9),
    st.integers(1, 9),
)
STAR = [(50, 0), (21, 90), (98, 35), (2, 35), (79, 90)]


def rectangle(box: Box) -> Polygon:
    return Polygon.of_contours(
        [[(box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom)]]
    )


def triangle(x: float, y: float) -> Polygon:
    """Return a big one around all that these tests draw, not a rectangle."""
    return Polygon.of_contours([[(x - 900, y - 900), (x + 1800, y - 900), (x - 900, y + 1800)]])


@given(polygon=polygons, box=boxes)
def test_box_keeps_every_winding_inside_and_none_outside(polygon: Polygon, box: Box) -> None:
    at = samples(300, 11.0)
    inside = shapely.contains_xy(shapely.box(box.left, box.top, box.right, box.bottom), at)
    cut = cut_polygon_to_box(polygon, box)
    assert cut.rule is polygon.rule
    assert np.array_equal(windings(at, cut), np.where(inside, windings(at, polygon), 0))
    low, high = [box.left, box.top], [box.right, box.bottom]
    if cut is not polygon:
        assert ((cut.points >= low) & (cut.points <= high)).all()


@given(polygon=polygons, box=boxes)
def test_box_cuts_a_mirrored_polygon_to_its_mirror_image(polygon: Polygon, box: Box) -> None:
    mirror = np.array([-1.0, 1.0])
    mirrored = Polygon(points=polygon.points * mirror, starts=polygon.starts.copy(), rule=polygon.rule)
    there = cut_polygon_to_box(mirrored, Box(-box.right, box.top, -box.left, box.bottom))
    assert np.array_equal(there.points * mirror, cut_polygon_to_box(polygon, box).points)


@given(polygon=polygons, region=st.lists(polygons, max_size=3))
def test_cut_holds_what_both_hold(polygon: Polygon, region: list[Polygon]) -> None:
    at = samples(300, 11.0)
    expected = holds(at, polygon) & np.any([np.zeros(len(at), bool), *(holds(at, r) for r in region)], axis=0)
    assert np.array_equal(holds(at, cut_polygon(polygon, region)), expected)


@given(polygon=polygons, region=polygons)
def test_cut_has_the_area_that_shapely_finds_for_even_odd(polygon: Polygon, region: Polygon) -> None:
    def even_odd(drawn: Polygon) -> shapely.Geometry:
        # the parity of a contour's winding is that of the triangles from its first point to each edge
        fans = [c[[0, k, k + 1]] for c in drawn.contours() for k in range(1, len(c) - 1)]
        triangles = [t for t in map(shapely.Polygon, fans) if t.area > 0]

        def exclusive_or(one: shapely.Geometry, other: shapely.Geometry) -> shapely.Geometry:
            parts = shapely.get_parts(shapely.symmetric_difference(one, other, grid_size=2**-40))
            return shapely.MultiPolygon([part for part in parts if part.geom_type == "Polygon"])

        return reduce(exclusive_or, triangles, shapely.Polygon())

    pair = [
        Polygon(points=p.points.copy(), starts=p.starts.copy(), rule=FillRule.EVENODD)
        for p in (polygon, region)
    ]
    expected = shapely.intersection(even_odd(pair[0]), even_odd(pair[1]), grid_size=2**-40).area
    assert painted_area(cut_polygon(pair[0], [pair[1]])) == pytest.approx(expected, abs=1e-7)


@given(polygon=polygons, box=boxes)
@example(  # a line there and back within the area
    polygon=Polygon.of_contours([[(0, 0), (1, 6), (7, 3)], [(1, 8), (1, 8), (6, 3)]]), box=Box(5, 0, 7, 4)
)
def test_cutting_to_a_box_and_to_its_rectangle_agree(polygon: Polygon, box: Box) -> None:
    middle = (box.left + box.right) / 2  # a point more on a side: no longer seen as a rectangle
    [corners] = rectangle(box).contours()
    same = Polygon.of_contours([[corners[0], (middle, box.top), *corners[1:]]])
    assert painted_area(cut_polygon(polygon, [same])) == pytest.approx(
        painted_area(cut_polygon_to_box(polygon, box)), abs=1e-7
    )


@pytest.mark.parametrize(("rule", "area"), [(FillRule.NONZERO, 2792.2983), (FillRule.EVENODD, 1929.5965)])
def test_star_within_all_is_the_star(rule: FillRule, area: float) -> None:
    # areas: the fill-rule example of the MDN reference
    star = cut_polygon(Polygon.of_contours([STAR], rule=rule), [triangle(0, 0)])
    signed = [
        shapely.Polygon(c).area * (1 if shapely.is_ccw(shapely.LinearRing(c)) else -1)
        for c in star.contours()
    ]
    assert abs(sum(signed)) == pytest.approx(area, abs=1e-3)
    assert painted_area(star) == pytest.approx(area, abs=1e-3)


def test_nothing_within_no_region() -> None:
    assert len(cut_polygon(Polygon.of_contours([STAR]), []).points) == 0
    assert len(cut_polygon(Polygon.of_contours([]), [triangle(0, 0)]).points) == 0


def test_ring_of_clip_leaves_a_hollow() -> None:
    clip = Polygon.of_contours(
        [[(0, 0), (9, 0), (9, 9), (0, 9)], [(3, 3), (6, 3), (6, 6), (3, 6)]], rule=FillRule.EVENODD
    )
    cut = cut_polygon(Polygon.of_contours([[(-1, -1), (20, -1), (20, 20), (-1, 20)]]), [clip])
    assert painted_area(cut) == pytest.approx(81 - 9)
    assert len(cut.contours()) == 2


def total(lines: Polylines) -> float:
    return sum(shapely.LineString([*p, p[0]] if c else p).length for p, c in lines.chains() if len(p) > 1)


@given(points=st.lists(lattice, min_size=2, max_size=7), closed=st.booleans(), box=boxes)
def test_lines_keep_the_length_within_the_box(points: Points, box: Box, *, closed: bool) -> None:
    walk = [*points, points[0]] if closed else points
    window = shapely.box(box.left, box.top, box.right, box.bottom)
    expected = sum(
        shapely.LineString(walk[i : i + 2]).intersection(window).length for i in range(len(walk) - 1)
    )
    cut = cut_lines_to_box(chain(points, closed=closed), box)
    assert total(cut) == pytest.approx(expected, abs=1e-9)
    assert all(window.distance(shapely.MultiPoint(p)) < 1e-12 for p, _ in cut.chains())


@given(points=st.lists(lattice, min_size=2, max_size=7), closed=st.booleans(), region=polygons)
def test_lines_keep_the_length_within_the_region(points: Points, region: Polygon, *, closed: bool) -> None:
    # moved off the lattice and turned a little, so that no edges run together
    turn = np.array([[1.0, 0.013], [-0.013, 1.0]])
    moved = [(float(x), float(y)) for x, y in np.array(points) @ turn + [0.503, 0.496]]
    walk = [*moved, moved[0]] if closed else moved
    area = shapely.Polygon()
    inside = cut_polygon(
        Polygon(points=region.points.copy(), starts=region.starts.copy(), rule=region.rule), [triangle(0, 0)]
    )
    for contour in inside.contours():
        area = area.symmetric_difference(shapely.Polygon(contour))
    expected = sum(
        shapely.LineString(walk[i : i + 2]).intersection(area).length for i in range(len(walk) - 1)
    )
    assert total(cut_lines(chain(moved, closed=closed), [region])) == pytest.approx(expected, abs=1e-6)


def test_a_closed_line_cut_once_is_one_piece_through_its_seam() -> None:
    square = chain([(0, 0), (10, 0), (10, 10), (0, 10)], closed=True)
    for cut in (
        cut_lines_to_box(square, Box(-5, -5, 5, 5)),
        cut_lines(square, [rectangle(Box(-5, -5, 5, 5))]),
    ):
        assert [(p.tolist(), c) for p, c in cut.chains()] == [([[0, 5], [0, 0], [5, 0]], False)]


def test_a_closed_line_inside_stays_closed() -> None:
    square = chain([(0, 0), (10, 0), (10, 10), (0, 10)], closed=True)
    for cut in (
        cut_lines_to_box(square, Box(-5, -5, 15, 15)),
        cut_lines(square, [rectangle(Box(-5, -5, 15, 15))]),
    ):
        assert [(p.tolist(), c) for p, c in cut.chains()] == [([[0, 0], [10, 0], [10, 10], [0, 10]], True)]


def test_dots_and_lines_outside() -> None:
    for point, kept in (((1.0, 1.0), 1), ((7.0, 7.0), 0)):
        for closed in (False, True):
            dot = chain([point], closed=closed)
            assert len(cut_lines_to_box(dot, Box(0, 0, 5, 5)).chains()) == kept
            assert len(cut_lines(dot, [rectangle(Box(0, 0, 5, 5))]).chains()) == kept


def test_a_line_that_crosses_itself_is_not_broken_there() -> None:
    loop = chain([(-2, 1), (4, 1), (4, 4), (2, 4), (2, -2)])
    cut = cut_lines(loop, [rectangle(Box(0, 0, 5, 5))])
    assert [p.tolist() for p, _ in cut.chains()] == [[[0, 1], [4, 1], [4, 4], [2, 4], [2, 0]]]


def test_empty_contours_are_passed_over() -> None:
    square = [(0, 0), (9, 0), (9, 9), (0, 9)]
    gaps = Polygon.of_contours([np.zeros((0, 2)), square, np.zeros((0, 2))])
    assert painted_area(cut_polygon_to_box(gaps, Box(5, 5, 20, 20))) == 16
    assert painted_area(cut_polygon(gaps, [Polygon.of_contours([[(0, 0), (9, 0), (0, 9)]])])) == 40.5


def test_what_winds_outside_leaves_no_more_than_the_ends_of_its_run() -> None:
    outside = [(-5.0 - 3 * (i % 2), 10 * sin(i)) for i in range(500)]
    polygon = Polygon.of_contours([[(2.0, 2.0), *outside, (2.0, 8.0)]])
    cut = cut_polygon_to_box(polygon, Box(0.0, 0.0, 10.0, 10.0))
    assert len(cut.points) < 20
