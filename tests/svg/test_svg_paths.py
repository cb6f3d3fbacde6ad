"""Shapes and path data to paths."""

from math import cos, pi, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.artwork import Fill, Stroke
from svg2chart.geometry.polygon import FillRule
from svg2chart.svg.curves import arc, curve_length, ellipse
from svg2chart.svg.pathdata import path_data, points_path
from tests.svg.inline import corners, only, painted, points_along, read, region, said

numbers = st.floats(-100, 100).map(lambda value: round(value, 3))


def test_a_circle_keeps_its_radius_within_a_ten_millionth() -> None:
    path = only(read('<circle id="lamp" cx="50" cy="50" r="20"/>')).path
    (chain,) = points_along(path)
    radii = np.hypot(chain[:, 0] - 50, chain[:, 1] - 50)
    assert np.abs(radii - 20).max() < 1e-7 * 20
    assert region([path]).area == pytest.approx(pi * 400, rel=1e-3)


def test_an_ellipse_is_mirrored_to_the_last_bit() -> None:
    outline = ellipse((0.0, 0.0), (3.0, 2.0))
    points = {tuple(point) for point in outline.reshape(-1, 2).tolist()}
    for mirror in ((-1, 1), (1, -1), (-1, -1)):
        assert {(x * mirror[0] + 0.0, y * mirror[1] + 0.0) for x, y in points} == points


@given(
    x=numbers,
    y=numbers,
    rx=st.floats(0.5, 50),
    ry=st.floats(0.5, 50),
    turn=st.floats(-360, 360),
    is_large=st.booleans(),
    is_clockwise=st.booleans(),
)
def test_an_arc_lies_on_its_ellipse_and_ends_where_it_is_told(
    *, x: float, y: float, rx: float, ry: float, turn: float, is_large: bool, is_clockwise: bool
) -> None:
    drawn = arc((0.0, 0.0), (rx, ry), turn=turn, is_large=is_large, is_clockwise=is_clockwise, end=(x, y))
    if (x, y) == (0.0, 0.0):
        assert drawn == []
        return
    segments = np.array(drawn).reshape(-1, 4, 2)
    assert segments[0, 0].tolist() == [0.0, 0.0]
    assert segments[-1, 3].tolist() == [x, y]
    assert np.array_equal(segments[1:, 0], segments[:-1, 3])
    assert len(segments) <= 16
    # seen from a circle, the ends of all pieces lie at one distance from the middle of three of them
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    ends = np.concatenate([segments[:1, 0], segments[:, 3]])
    middles = segments.transpose(0, 2, 1) @ np.array([1, 3, 3, 1]) / 8
    points = np.concatenate([ends, middles]) @ np.array([[c / rx, -s / ry], [s / rx, c / ry]])
    matrix = np.column_stack([2 * points, np.ones(len(points))])
    solution, *_ = np.linalg.lstsq(matrix, (points**2).sum(axis=1), rcond=None)
    radii = np.hypot(*(points - solution[:2]).T)
    assert np.ptp(radii) < 1e-6 * max(1.0, radii.max())


@pytest.mark.parametrize(
    ("flags", "middle"),
    # two circles of radius 5 through (0, 0) and (6, 8) fall together: the chord is the diameter;
    # with radius 10 the four arcs differ. SVG 1.1, F.6: sweep is towards increasing angles.
    [("0 1", (1, -1)), ("0 0", (-1, 1)), ("1 1", (1, -1)), ("1 0", (-1, 1))],
)
def test_the_flags_choose_the_side_of_an_arc(flags: str, middle: tuple[int, int]) -> None:
    found = path_data(f"M0 0 A10 10 0 {flags} 6 8")
    assert found.error == ""
    (chain,) = points_along(found.path)
    centre = chain[len(chain) // 2]
    # the chord runs along (6, 8): its right hand on the screen is (-8, 6)
    side = centre[0] * -8 + centre[1] * 6
    assert (side < 0) == (middle == (1, -1))
    is_large = flags[0] == "1"
    length = np.hypot(*np.diff(chain, axis=0).T).sum()
    assert (length > pi * 10) == is_large


def test_a_quadratic_curve_is_raised_exactly() -> None:
    (chain,) = points_along(path_data("M0 0Q4 8 12 0").path, steps=8)
    t = np.arange(9) / 8
    assert np.allclose(chain[:, 0], 2 * (1 - t) * t * 4 + t * t * 12, atol=1e-14)
    assert np.allclose(chain[:, 1], 2 * (1 - t) * t * 8, atol=1e-14)


@pytest.mark.parametrize(
    ("short", "long"),
    [
        ("m10 10 5 5-3 2z", "M10 10 L15 15 L12 17 Z"),
        ("M10 10h5v6H1V2", "M10 10 L15 10 L15 16 L1 16 L1 2"),
        ("M0 0C1 2 3 4 5 6S9 8 10 10", "M0 0C1 2 3 4 5 6C7 8 9 8 10 10"),
        ("M0 0S9 8 10 10", "M0 0C0 0 9 8 10 10"),
        ("M0 0Q1 2 5 6T10 10", "M0 0Q1 2 5 6Q9 10 10 10"),
        ("M0 0T10 10", "M0 0Q0 0 10 10"),
        ("M1 1L5 5zl3 0", "M1 1L5 5Z M1 1L4 1"),
        ("M.5.5-1-1", "M0.5 0.5 L-1 -1"),
        ("M0 0a1 1 0 0110 10", "M0 0A1 1 0 0 1 10 10"),
    ],
)
def test_short_and_long_ways_of_writing_a_path_are_one(short: str, long: str) -> None:
    assert path_data(short).error == path_data(long).error == ""
    assert path_data(short).path == path_data(long).path


@pytest.mark.parametrize(
    ("data", "kept"),
    [
        ("M0 0L10 0L10", "M0 0L10 0"),
        ("M0 0L10 0 5 harbour", "M0 0L10 0"),
        ("M0 0L10 0,,5 5", "M0 0L10 0"),
        ("M0 0L10 0C1 2 3 4 5 6 7", "M0 0L10 0C1 2 3 4 5 6"),
        ("M0 0L10 0 A5 5 0 2 1 9 9 L1 1", "M0 0L10 0"),
        ("L10 10", ""),
        ("M0 0L1e999 5", ""),
        ("M0 0L1 2 1e308 1e308 1e999 5", "M0 0L1 2 1e308 1e308"),
        ("M0 0L1 2 3 1e999 5 5", "M0 0L1 2"),
        ("M0 0L,1 2", ""),
        ("M0 0L1 2,", "M0 0L1 2"),
        ("M0 0A1 1 0 0 1 5 5 6", "M0 0A1 1 0 0 1 5 5"),
        ("M0 0A,1 1 0 0 1 5 5", ""),
        ("M0 0A1 1 0 0 1 5 5,", "M0 0A1 1 0 0 1 5 5"),
        ("M0 0A1 1 0 0 1 5 5 1 1 0 0 1 1e999 5", "M0 0A1 1 0 0 1 5 5"),
        ("M0 0L5 5Z 3", "M0 0L5 5Z"),
        ("none M0 0L5 5", ""),
        ("M0 0L\u0661 5", ""),
    ],
)
def test_a_path_is_drawn_up_to_its_first_error(data: str, kept: str) -> None:
    found = path_data(data)
    assert found.error
    assert found.path == path_data(kept).path


def test_a_broken_path_is_remarked_on_by_its_id() -> None:
    artwork = read('<path id="hull" d="M0 0H10V10 Q"/>')
    assert said(artwork) == [("hull", "simplified")]
    assert "Q" in artwork.remarks[0].what
    assert corners(only(artwork).path) == [(0, 0), (10, 0)]


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        ('<rect x="1" y="2" width="3" height="4"/>', [(1, 2), (4, 2), (4, 6), (1, 6)]),
        ('<polygon points="1,2 3,4 5,0"/>', [(1, 2), (3, 4), (5, 0)]),
        ('<polyline points="1 2 3 4 5 0"/>', [(1, 2), (3, 4)]),
        ('<path d="M10 10z" stroke="red"/>', [(10, 10)]),
    ],
)
def test_basic_shapes_run_through_their_points(content: str, expected: list[tuple[float, float]]) -> None:
    artwork = read(content)
    assert corners(next(artwork.painted()).path) == expected
    assert said(artwork) == []


def test_a_rounded_rectangle_loses_its_corners() -> None:
    # area: width x height - (4 - pi) rx ry
    path = only(read('<rect id="sign" x="10" y="10" width="40" height="30" rx="5" ry="3"/>')).path
    assert region([path]).area == pytest.approx(40 * 30 - (4 - pi) * 15, abs=0.01)
    auto = only(read('<rect id="sign" x="10" y="10" width="40" height="30" rx="5"/>')).path
    assert region([auto]).area == pytest.approx(40 * 30 - (4 - pi) * 25, abs=0.01)
    capped = only(read('<rect id="sign" x="10" y="10" width="40" height="30" rx="99" ry="99"/>')).path
    assert capped == only(read('<rect id="sign" x="10" y="10" width="40" height="30" rx="20" ry="15"/>')).path


def test_a_shape_without_area_is_left_out_with_a_remark() -> None:
    artwork = read(
        '<rect id="a" width="0" height="5"/><circle id="b" r="-2"/><ellipse id="c" rx="1" ry="0"/>'
    )
    assert artwork.marks == ()
    assert said(artwork) == [("a", "left out"), ("b", "left out"), ("c", "left out")]


def test_a_line_is_stroked_and_never_filled() -> None:
    artwork = read('<line id="mast" x1="1" y1="2" x2="3" y2="4" stroke="#123456"/>')
    assert painted(artwork) == [("stroke", "mast", "#123456")]


def test_fill_rules_are_kept() -> None:
    artwork = read('<path id="a" d="M0 0H9V9z"/><path id="b" fill-rule="evenodd" d="M0 0H9V9z"/>')
    assert [mark.rule for mark in artwork.marks if isinstance(mark, Fill)] == [
        FillRule.NONZERO,
        FillRule.EVENODD,
    ]


def test_numbers_whose_sum_is_too_large_are_read_all_the_same() -> None:
    assert path_data("M0 0L1e308 0 1e308 5").error == ""
    assert path_data("M0 0A1e308 1e308 1e308 0 0 1e308 1").error == ""


@pytest.mark.parametrize(
    ("points", "error"), [("", ""), ("1,2 3", "too few numbers"), ("1 2 x", "no number")]
)
def test_points_are_read_up_to_their_first_error(points: str, error: str) -> None:
    found = points_path(points, closed=True)
    assert error in found.error
    assert bool(error) == bool(found.error)
    assert found.path.is_empty


@given(st.text(alphabet="MmLlHhVvCcSsQqTtAaZz0123456789.,-+e \n", max_size=60))
def test_any_path_data_is_a_path_and_perhaps_an_error(text: str) -> None:
    found = path_data(text)
    assert np.isfinite(found.path.segments).all()
    for segments, is_closed in found.path.contours():
        assert np.array_equal(segments[1:, 0], segments[:-1, 3])
        if is_closed:
            assert np.array_equal(segments[-1, 3], segments[0, 0])


@pytest.mark.parametrize("data", ["M0 78H120", "M0 0L30 10L60 20z", "M5 5z"])
def test_what_has_no_inside_is_not_filled(data: str) -> None:
    assert read(f'<path id="quay" d="{data}"/>').marks == ()


@given(st.floats(0.5, 50), st.floats(0.5, 50))
def test_the_length_of_an_arc_is_radius_times_angle(radius: float, turn: float) -> None:
    angle = turn / 10
    end = (radius * cos(angle), radius * sin(angle))
    is_large = angle > pi
    pieces = arc((radius, 0.0), (radius, radius), turn=0, is_large=is_large, is_clockwise=True, end=end)
    # a cubic for a sixteenth of a turn is off by 7e-8 of the radius
    assert curve_length(np.array(pieces).reshape(-1, 4, 2)) == pytest.approx(radius * angle, rel=1e-6)


@pytest.mark.parametrize(("told", "dashes"), [("8", (10, 20)), ("80", (1, 2)), ("0", (1, 2)), ("x", (1, 2))])
def test_dashes_are_measured_in_parts_of_the_path_length(told: str, dashes: tuple[float, ...]) -> None:
    # 80 units long, SVG 2, 9.6.1
    artwork = read(
        f'<path d="M10 10H50V50" fill="none" stroke="red" stroke-dasharray="1 2" pathLength="{told}"/>'
    )
    stroke = only(artwork)
    assert isinstance(stroke, Stroke)
    assert stroke.style.dashes == pytest.approx(dashes)
    assert said(artwork) == []


@pytest.mark.parametrize(
    ("style", "drawn", "remarked"),
    [
        ("d:path('M2 3H9V9Z')", [(2, 3), (9, 3), (9, 9)], []),
        ('d: path("M2 3H9V9Z")', [(2, 3), (9, 3), (9, 9)], []),
        ("d:boat", [(0, 0), (5, 0), (5, 5)], [("a", "guessed")]),
    ],
)
def test_path_data_as_a_property_wins_over_the_attribute(
    style: str, drawn: list[tuple[float, float]], remarked: list[tuple[str, str]]
) -> None:
    """SVG 2, 9.3.1: d is a property."""
    artwork = read(f"<style>#a {{ {style} }}</style>" + '<path id="a" d="M0 0H5V5Z"/>')
    assert corners(only(artwork).path) == drawn
    assert said(artwork) == remarked


def test_a_path_whose_property_d_is_none_is_not_drawn() -> None:
    assert read('<path d="M0 0H5V5Z" style="d:none"/>').marks == ()
