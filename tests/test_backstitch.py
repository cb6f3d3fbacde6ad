"""Thin lines of whole drawings, and what is said about those that cannot be worked."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString

from svg2chart.artwork import Group, StitchAs
from svg2chart.chart import Chart
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.path import Path
from svg2chart.remarks import Severity
from tests.drawings import (
    BLUE,
    RED,
    box,
    chart_of,
    contours_path,
    drawing,
    lines,
    shape,
    stroke,
    told_squares,
)

COVER = shape(BLUE, box(3, 0, 6, 6), element="sail")
ROPE = stroke(RED, [(0, 3), (9, 3)], element="rope")


def columns_of(chart: Chart) -> set:
    return {frozenset(hole[0] for hole in ends) for _, ends in lines(chart)}


def test_what_a_later_shape_covers_is_not_worked() -> None:
    hidden = chart_of(drawing(ROPE, COVER, wide=9, high=6))
    assert columns_of(hidden) == {frozenset((c, c + 1)) for c in (0, 1, 2, 6, 7, 8)}
    seen = chart_of(drawing(COVER, ROPE, wide=9, high=6))
    assert columns_of(seen) == {frozenset((c, c + 1)) for c in range(9)}
    assert hidden.remarks == seen.remarks == ()


def test_a_line_is_not_worked_on_shapes_of_its_own_colour() -> None:
    hull = shape(RED, box(2, 0, 7, 6), element="hull")
    on_it = drawing(hull, replace(COVER, colour=hull.colour, element="deck"), ROPE, wide=9, high=6)
    assert columns_of(chart_of(on_it)) == {frozenset((c, c + 1)) for c in (0, 1, 7, 8)}
    told = replace(ROPE, stitch_as=StitchAs.BACKSTITCH)
    assert len(columns_of(chart_of(drawing(hull, told, wide=9, high=6)))) == 9
    over_another = drawing(hull, COVER, ROPE, wide=9, high=6)
    assert columns_of(chart_of(over_another)) >= {frozenset((c, c + 1)) for c in (3, 4, 5)}
    along_it = chart_of(drawing(hull, stroke(RED, [(2, 0), (2, 6)]), wide=9, high=6))
    assert len(lines(along_it)) == 6


def test_a_see_through_cover_hides_nothing() -> None:
    chart = chart_of(drawing(ROPE, replace(COVER, opacity=0.5), wide=9, high=6))
    assert len(columns_of(chart)) == 9


def test_an_outline_along_the_edge_of_a_later_shape_stays() -> None:
    chart = chart_of(drawing(stroke(RED, [(3, 0), (3, 6)]), COVER, wide=9, high=6))
    assert len(lines(chart)) == 6


@pytest.mark.parametrize(("opacity", "group"), [(0.5, 1.0), (1.0, 0.5)])
def test_a_half_transparent_line_is_worked_and_named(opacity: float, group: float) -> None:
    faint = replace(ROPE, opacity=opacity, group=0)
    chart = chart_of(drawing(faint, wide=9, high=6, groups=(Group(opacity=group),)))
    assert len(lines(chart)) == 9
    assert [(r.element, r.severity) for r in chart.remarks] == [("rope", Severity.SIMPLIFIED)]


def test_a_line_that_nobody_sees_is_not_worked() -> None:
    chart = chart_of(drawing(COVER, replace(ROPE, opacity=0.001), wide=9, high=6))
    assert lines(chart) == set()


def test_pieces_too_short_for_two_holes_are_counted() -> None:
    path = contours_path([[(1, 1), (4, 1)], [(6.1, 3.1), (6.3, 3.2)]], closed=False)
    chart = chart_of(drawing(replace(ROPE, path=path), wide=9, high=6))
    assert [(r.element, r.what) for r in chart.remarks] == [
        ("rope", "1 of its 2 pieces is too short to run from one hole to another, at row 4, column 7")
    ]


def test_the_upper_of_two_lines_on_the_same_holes_wins() -> None:
    other = stroke(BLUE, [(2, 3), (4, 3)], element="net")
    chart = chart_of(drawing(ROPE, other, wide=9, high=6))
    blue = {ends for colour, ends in lines(chart) if colour == BLUE}
    assert blue == {frozenset(((2, 3), (3, 3))), frozenset(((3, 3), (4, 3)))}
    assert [(r.element, r.severity) for r in chart.remarks] == [("net", Severity.SIMPLIFIED)]


@pytest.mark.parametrize(
    "corners", [box(1, 1, 7, 5), [(1, 1), (8, 3), (4, 8)], [(4, 0), (8, 4), (4, 8), (0, 4)]]
)
def test_closed_lines_stay_closed(corners: list) -> None:
    chart = chart_of(drawing(stroke(RED, corners, closed=True), wide=9, high=9))
    holes = [hole for _, ends in lines(chart) for hole in ends]
    assert {holes.count(hole) for hole in holes} == {2}
    assert set(corners) <= set(holes)


def test_a_mirrored_line_gives_mirrored_backstitch() -> None:
    points = [(0.2, 0.9), (3.3, 1.1), (6.1, 5.2), (8.8, 4.1)]
    artwork = drawing(stroke(RED, points), wide=9, high=6)
    mirrored = replace(
        artwork,
        marks=(replace(artwork.marks[0], path=artwork.marks[0].path.transformed(Affine(-1, 0, 0, 1, 9, 0))),),
    )
    wanted = {(colour, frozenset((9 - x, y) for x, y in ends)) for colour, ends in lines(chart_of(artwork))}
    assert lines(chart_of(mirrored)) == wanted


@pytest.mark.parametrize("touching", [(5, 8), (5, 7.875)])
def test_a_ring_that_one_line_touches_stays_whole(touching: tuple[float, float]) -> None:
    ring = stroke(RED, [(5, 2), (8, 5), (5, 8), (2, 5)], closed=True, element="hoop")
    string = stroke(RED, [touching, (5, 11)], element="string")
    chart = chart_of(drawing(ring, string, wide=10, high=12))
    assert len(lines(chart)) == 4 * 3 + 3
    round_ring = replace(ring, path=ring_path(5, 5, 3))
    chart = chart_of(drawing(round_ring, string, wide=10, high=12))
    holes = [hole for _, ends in lines(chart) for hole in ends]
    assert sorted(holes.count(hole) for hole in set(holes) if holes.count(hole) != 2) == [1, 3]
    assert chart.remarks == ()


def ring_path(x: float, y: float, radius: float) -> Path:
    """Return a polygon of 64 sides, one corner of which is the lowest point."""
    angles = np.arange(64) * np.pi / 32
    points = np.stack([x + radius * np.sin(angles), y + radius * np.cos(angles)], axis=1)
    return contours_path([points.tolist()])


@pytest.mark.parametrize(("apart", "told"), [(0.0, []), (0.4, ["rope", "cord"]), (1.0, [])])
def test_a_line_that_falls_together_with_another_of_its_colour_is_told(apart: float, told: list[str]) -> None:
    """Drawn at one place both are meant to be one."""
    cord = stroke(RED, [(2, 3 + apart), (8, 3 + apart)], element="cord")
    chart = chart_of(drawing(ROPE, cord, wide=9, high=6))
    rope = chart_of(drawing(ROPE, wide=9, high=6))
    assert (len(lines(chart)) == len(lines(rope))) == (apart < 1)
    assert [remark.element for remark in chart.remarks] == told


@pytest.mark.parametrize(("apart", "count"), [(0.0, 0), (0.4, 1), (1.0, 0)])
def test_pieces_of_a_line_that_fall_together_are_told(apart: float, count: int) -> None:
    """A tassel of three threads comes out with two."""
    threads = [[(2, 3), (2, 8)], [(4, 3), (4, 9)], [(4 + apart, 3), (4 + apart, 9)]]
    tassel = replace(stroke(RED, threads[0], element="tassel"), path=contours_path(threads, closed=False))
    remarks = chart_of(drawing(tassel, wide=9, high=12)).remarks
    assert [remark.element for remark in remarks] == ["tassel"] * count
    assert all("at row 4, column" in remark.what for remark in remarks)


@given(
    st.integers(2, 6),
    st.integers(2, 6),
    st.integers(0, 1),
    st.sampled_from([None, StitchAs.BACKSTITCH_AS_DRAWN]),
)
def test_where_a_line_covers_another_one_is_told(
    start: int, long: int, turned: int, told_to_be: StitchAs | None
) -> None:
    """The square named lies beside what is covered, all of a line drawn by hand and a part of another one."""
    short, whole = ([(x, 9), (x + wide, 9)][:: 1 - 2 * turned] for x, wide in ((start, long), (1, 14)))
    marks = [(RED, short, "under"), (BLUE, short if told_to_be else whole, "over")]
    under, over = (
        replace(stroke(colour, points, element=element), stitch_as=told_to_be)
        for colour, points, element in marks
    )
    chart = chart_of(drawing(under, over, wide=16, high=16))
    [remark] = [remark for remark in chart.remarks if "another colour" in remark.what]
    assert remark.element == "over"
    [square] = told_squares(chart, "another colour")
    assert square.intersection(LineString(short)).length > 0
