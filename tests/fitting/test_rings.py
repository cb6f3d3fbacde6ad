"""Rings, buttons and portholes: what lies around one middle stays so, whatever stands beside or is hidden."""

from dataclasses import replace

import numpy as np
from hypothesis import assume, example, given
from hypothesis import strategies as st
from shapely import Polygon
from shapely import box as rectangle

from svg2chart.artwork import Fill
from svg2chart.visible import Shape
from tests.drawings import BLUE, RED, YELLOW, box, contours_path, drawing, shape
from tests.fitting.test_fitted import around, laid
from tests.fitting.test_forms import off_ellipse

TWENTIETHS = st.integers(0, 20).map(lambda n: n / 20)
RADII = st.integers(40, 90).map(lambda n: n / 20)
WIDTHS = st.integers(12, 30).map(lambda n: n / 20)
EVEN = 2.0**-10
"""Points of small round shapes are rounded to 2^-12 of a square."""


def ring(x: float, y: float, radius: float, wide: float) -> Fill:
    outer, inner = (around(x, y, 2 * each, 2 * each) for each in (radius, radius - wide))
    return replace(shape(RED, outer), path=contours_path([outer, inner[::-1]]))


def ends(points: np.ndarray) -> np.ndarray:
    """Return left, top, right and bottom of all points."""
    return np.concatenate([points.min(axis=0), points.max(axis=0)])


@given(TWENTIETHS, TWENTIETHS, RADII, WIDTHS, TWENTIETHS, st.integers(1, 6))
@example(0.3, 0.0, 3.6, 0.8, 0.3, 3)
def test_a_ring_is_as_wide_on_all_sides_beside_what_moves_at_its_height(
    x: float, y: float, radius: float, wide: float, off: float, high: int
) -> None:
    beside = shape(BLUE, box(13, 2 + off, 15 + off, 2.4 + off + high))
    found = laid(drawing(ring(6 + x, 6 + y, radius, wide), beside, wide=18, high=14), 0.5).shapes[0].polygon
    outer, inner = (ends(contour) for contour in found.contours())
    gaps = np.abs(outer - inner)
    assert np.ptp(gaps) <= EVEN
    # nor is it pressed away: half of its width stays at the least
    assert gaps.min() >= wide / 2


@given(TWENTIETHS, TWENTIETHS, st.integers(140, 190).map(lambda n: n / 20), WIDTHS, TWENTIETHS, TWENTIETHS)
@example(0.5, 0.5, 9.0, 1.05, 0.45, 0.55)
def test_a_large_disc_and_a_ring_in_it_are_not_bent_by_what_lies_within(
    x: float, y: float, radius: float, wide: float, off: float, high: float
) -> None:
    """A cap in a badge goes to whole squares, and the rim around it was cut into steps at its sides."""
    disc = shape(BLUE, around(11 + x, 11 + y, 2 * radius, 2 * radius))
    rim = ring(11 + x, 11 + y, radius - 1, wide)
    half = radius / 3
    cap = shape(YELLOW, box(11 + x - half, 11 + y - 2 + off, 11 + x + half, 11 + y + off + high))
    found = laid(drawing(disc, rim, cap, wide=24, high=24), 0.5).shapes
    outlines = [*found[0].polygon.contours(), *found[1].polygon.contours()]
    assert max(off_ellipse(each) for each in outlines) <= 0.002
    outer, inner = (ends(each) for each in found[1].polygon.contours())
    assert np.ptp(np.abs(outer - inner)) <= EVEN


@given(
    st.integers(7, 9),
    st.lists(st.sampled_from((-0.3, -0.2, 0.2, 0.3)), min_size=4, max_size=4),
)
def test_a_bar_in_a_large_disc_goes_to_hole_lines_by_itself(radius: int, off: list[float]) -> None:
    disc = shape(BLUE, around(11, 11, 2 * radius, 2 * radius))
    lines = np.array([9.0, 10.0, 13.0, 12.0])
    bar = shape(YELLOW, box(*(lines + off).tolist()))
    found = laid(drawing(disc, bar, wide=24, high=24), 0.5).shapes[1].polygon.points
    assert np.abs(ends(found) - lines).max() <= EVEN


@given(
    st.integers(7, 9), st.integers(-4, 4).map(lambda n: n / 20), st.integers(82, 100).map(lambda n: n / 20)
)
@example(9, -0.1, 4.45)
def test_the_hub_of_a_large_wheel_is_whole_squares_wide_and_as_far_from_the_rim_all_around(
    radius: int, more: float, hub: float
) -> None:
    wheel, boss = (
        shape(colour, around(11, 11, 2 * each, 2 * each))
        for colour, each in ((BLUE, radius + more), (YELLOW, hub))
    )
    found = [ends(each.polygon.points) for each in laid(drawing(wheel, boss, wide=24, high=24), 0.5).shapes]
    assert np.ptp(np.abs(found[1] - found[0])) <= EVEN
    assert np.abs(found[1] - np.rint(found[1])).max() <= EVEN


@given(TWENTIETHS, TWENTIETHS, RADII, TWENTIETHS, TWENTIETHS)
def test_discs_within_each_other_keep_one_middle(
    x: float, y: float, radius: float, face: float, boss: float
) -> None:
    radii = [radius, radius * (0.5 + face / 4), radius * (0.2 + boss / 5)]
    discs = [
        shape(colour, around(6 + x, 6 + y, 2 * each, 2 * each))
        for colour, each in zip((RED, YELLOW, BLUE), radii, strict=True)
    ]
    beside = shape(BLUE, box(13, 2.3, 15.4, 5.7))
    found = laid(drawing(*discs, beside, wide=18, high=14), 0.5).shapes[:3]
    middles = [(ends(each.polygon.points)[:2] + ends(each.polygon.points)[2:]) / 2 for each in found]
    assert np.ptp(middles, axis=0).max() <= EVEN


@given(TWENTIETHS, TWENTIETHS, st.integers(70, 110).map(lambda n: n / 20), st.integers(10, 18))
@example(0.0, 0.0, 5.4, 18)  # the light stands by itself, the eye does not
def test_the_light_in_an_eye_keeps_its_middle_wherever_that_lies_in_the_face(
    x: float, y: float, radius: float, percent: int
) -> None:
    eye = (8 + x - radius / 3, 8 + y)
    discs = [
        shape(colour, around(*middle, 2 * each, 2 * each))
        for colour, middle, each in (
            (YELLOW, (8 + x, 8 + y), radius),
            (BLUE, eye, radius * percent / 40),
            (RED, eye, radius * percent / 80),
        )
    ]
    found = [each.polygon.points for each in laid(drawing(*discs, wide=17, high=17), 0.5).shapes]
    middles = [(ends(each)[:2] + ends(each)[2:]) / 2 for each in found]
    assert np.abs(middles[1] - middles[2]).max() <= EVEN


@given(TWENTIETHS, TWENTIETHS, RADII, st.sampled_from([0.1, 0.3, 0.5]))
def test_rings_go_to_hole_lines_by_no_more_than_is_told(
    x: float, y: float, radius: float, movement: float
) -> None:
    """Where all may move by half a square it becomes whole squares wide, by three quarters at the most."""
    art = drawing(ring(7 + x, 7 + y, radius, 1.0), shape(BLUE, box(14, 0, 16, 18)), wide=16, high=18)
    before, after = laid(art, 0.0).shapes[0].polygon.points, laid(art, movement)
    there = ends(after.shapes[0].polygon.points)
    moved = np.abs(there - ends(before)).max()
    assert moved <= after.largest_movement + EVEN
    assert after.largest_movement <= (0.75 if movement == 0.5 else movement)
    if movement == 0.5:
        assert np.abs(there - np.rint(there)).max() <= EVEN


@given(st.lists(st.tuples(TWENTIETHS, TWENTIETHS), min_size=2, max_size=3), RADII, WIDTHS)
def test_equal_rings_lie_alike_on_the_squares(
    places: list[tuple[float, float]], radius: float, wide: float
) -> None:
    marks = [ring(7 + 12 * k + x, 7 + y, radius, wide) for k, (x, y) in enumerate(places)]
    room = shape(BLUE, box(0, 0, 1, 15), box(39, 0, 40, 15))
    found = laid(drawing(*marks, room, wide=40, high=15), 0.5).shapes[:-1]
    first = found[0].polygon.points
    for each in found[1:]:
        apart = each.polygon.points - first
        assert np.abs(apart - np.rint(apart[0])).max() <= 1 / 64


@given(TWENTIETHS, TWENTIETHS, st.integers(20, 50).map(lambda n: n / 20), st.integers(-20, 20))
def test_a_porthole_stays_round_over_an_edge_that_the_hull_hides(
    x: float, y: float, radius: float, off: int
) -> None:
    water = shape(BLUE, box(0, 8 + y + radius * off / 20, 20, 16))
    hull = shape(RED, box(4, 3, 14, 13))
    porthole = shape(YELLOW, around(9 + x, 8 + y, 2 * radius, 2 * radius))
    found = laid(drawing(water, hull, porthole, wide=20, high=16), 0.5).shapes[2].polygon.points
    assert off_ellipse(found) <= 0.002
    assert np.ptp(np.ptp(found, axis=0)) <= 1 / 64


@given(
    st.tuples(*[st.integers(512, 768).map(lambda n: n / 64)] * 2),
    st.integers(90, 115).map(lambda n: n / 20),
    st.integers(18, 30).map(lambda n: n / 20),
    st.integers(1, 5).map(lambda n: n / 20),
    st.integers(1, 7).map(lambda n: n / 20),
)
@example((9.703125, 10.53125), 5.2, 1.35, 0.15, 0.05)
def test_a_face_with_one_eye_is_fitted_as_its_mirror_image_is(
    middle: tuple[float, float], radius: float, nose: float, larger: float, off: float
) -> None:
    """The nose keeps the middle of the face, whichever side of it the eye is on."""
    (x, y), eye = middle, nose + larger
    away = radius - eye - off
    assume(away - eye - nose >= 0.6)

    def ends_of(side: int) -> np.ndarray:
        places = ((x, radius), (x, nose), (x + away, eye))
        discs = [
            shape(colour, around(place if side > 0 else 20 - place, y, 2 * each, 2 * each))
            for colour, (place, each) in zip((YELLOW, RED, BLUE), places, strict=True)
        ]
        found = [ends(each.polygon.points) for each in laid(drawing(*discs, wide=20, high=20), 0.5).shapes]
        left, top, right, bottom = np.array(found).T
        return np.array([left, top, right, bottom] if side > 0 else [20 - right, top, 20 - left, bottom])

    assert np.abs(ends_of(1) - ends_of(-1)).max() <= 2.0**-20


def half(x: float, y: float, radius: float, turned: float) -> list[tuple[float, float]]:
    """Return half a disc, written to hundredths."""
    angle = turned + np.linspace(0, np.pi, 91)
    return np.round(np.stack([x + radius * np.cos(angle), y + radius * np.sin(angle)], axis=1), 2).tolist()


def pieces(found: Shape) -> list[Polygon]:
    return [Polygon(each).buffer(0) for each in found.polygon.contours()]


@given(
    *[st.integers(0, 1000).map(lambda n: n / 1000)] * 2,
    st.integers(3000, 9500).map(lambda n: n / 1000),
    st.sampled_from([0.0, 0.3, np.pi / 2]),
    TWENTIETHS,
)
@example(0.49, 0.158, 3.738, 0.0, 0.0)
@example(0.286, 0.091, 7.486, 0.3, 0.0)
def test_half_a_disc_painted_over_the_disc_does_not_leave_it(
    x: float, y: float, radius: float, turned: float, off: float
) -> None:
    """A flood in a badge, a mouth in a face: its outline is the disc's, as nearly as drawings are written."""
    middle = (11 + x, 11 + y)
    disc = shape(BLUE, around(*middle, 2 * radius, 2 * radius))
    flood = shape(RED, half(*middle, radius, turned))
    right = middle[0] + radius
    beside = shape(YELLOW, box(right + 1 + off, middle[1] - 2, right + 4 + off, middle[1] + 0.6))
    found = laid(drawing(disc, flood, beside, wide=28, high=24), 0.5).shapes
    # the chords of both lie off the disc by less than a fiftieth
    assert pieces(found[1])[0].difference(pieces(found[0])[0].buffer(1 / 20)).area <= 1 / 64


@given(
    TWENTIETHS,
    TWENTIETHS,
    st.integers(160, 190).map(lambda n: n / 20),
    st.integers(16, 30).map(lambda n: n / 20),
    st.integers(-30, 30).map(lambda n: n / 10),
)
@example(0.2, 1.0, 8.3, 0.9, 2.6)
@example(0.0, 0.25, 9.0, 1.35, -1.9)  # beneath the frame, a way off both of its outlines
def test_a_frame_covers_the_rim_of_the_water_in_a_porthole(
    x: float, y: float, radius: float, wide: float, level: float
) -> None:
    """Its hollow is large, too: a small one goes by itself."""
    middle, inner = (11 + x, 11 + y), radius - wide / 2
    at = np.array(around(*middle, 2 * inner, 2 * inner))
    scene = Polygon(at)
    below = scene.intersection(rectangle(0, middle[1] + level, 24, 24))
    water = shape(BLUE, np.array(below.exterior.coords)[:-1].tolist())
    cabin = shape(YELLOW, box(middle[0] - 2, middle[1] + level - 3.3, middle[0] + 1.4, middle[1] + level))
    frame = ring(*middle, radius, wide)
    found = laid(drawing(water, cabin, frame, wide=24, high=24), 0.5).shapes
    outer, hollow = pieces(found[2])
    assert pieces(found[0])[0].difference(outer).area <= 1 / 64
    # nor is there a gap between the water and the frame
    level_now = ends(found[0].polygon.points)[1]
    assert hollow.intersection(rectangle(0, level_now, 24, 24)).difference(pieces(found[0])[0]).area <= 1 / 64


@given(
    *[st.integers(0, 1000).map(lambda n: n / 1000)] * 2,
    st.integers(7000, 9500).map(lambda n: n / 1000),
    st.integers(10, 80).map(lambda n: n / 20),
    st.sampled_from([0, 6, 12, 15, 17]),
    st.lists(TWENTIETHS, min_size=3, max_size=3),
)
@example(0.063, 0.433, 7.114, 2.25, 0, [0.45, 0.2, 0.1])
def test_a_disc_that_touches_the_rim_of_a_large_one_from_within_does_not_leave_it(
    x: float, y: float, radius: float, small: float, way: int, off: list[float]
) -> None:
    # both have sixty corners: they touch in one of them
    middle, angle = np.array([11 + x, 11 + y]), way * np.pi / 30
    bullet = middle + (radius - small) * np.array([np.cos(angle), np.sin(angle)])
    disc, dot = (
        shape(colour, around(*at, 2 * each, 2 * each))
        for colour, at, each in ((BLUE, middle, radius), (RED, bullet, small))
    )
    bar = shape(YELLOW, box(8 + off[0], 8 + off[1], 10 + off[2], 9.2 + off[1]))
    found = laid(drawing(disc, dot, bar, wide=24, high=24), 0.5).shapes
    assert pieces(found[1])[0].difference(pieces(found[0])[0].buffer(1 / 20)).area <= 1 / 64
