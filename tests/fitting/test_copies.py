"""Copies come out alike where they stand in a landscape, and thin things in one row of squares."""

from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from svg2chart.artwork import Fill
from svg2chart.fitting.sightlines import AT_HOLE
from tests.breadth import examples
from tests.drawings import BLUE, GREEN, RED, YELLOW, Points, box, chart_of, drawing, drawn, shape, stroke
from tests.fitting.test_fitted import laid

WIDE, HIGH = 64, 30
HUNDREDTHS = st.integers(0, 99).map(lambda n: n / 100)
SIZES = st.integers(600, 1000).map(lambda n: n / 100)
PLACES = st.lists(HUNDREDTHS, min_size=3, max_size=3)


def boat(x: float, y: float, size: float) -> list[tuple[str, Points]]:
    """Return a mast, a sail and a hull whose lower side lies at y."""
    at = [x + size * part for part in (0, 0.2, 0.4, 0.5, 0.9, 1)]
    deck, top = y - 0.3 * size, y - 1.2 * size
    return [
        (GREEN, box(at[2], top, at[3], deck)),
        (RED, [(at[3], top + 1), (at[4], deck - 1), (at[3], deck - 1)]),
        (BLUE, [(at[0], deck), (at[5], deck), (at[4], y), (at[1], y)]),
    ]


def waves(y: float) -> Points:
    """Return water whose surface goes up and down over all of the width."""
    crests = [(float(x), y - x % 4 / 2) for x in range(-2, WIDE + 4, 2)]
    return [*crests, (WIDE + 2, HIGH), (-2, HIGH)]


def rounded(points: Points) -> Points:
    return [(round(x, 2), round(y, 2)) for x, y in points]


def assert_alike(outlines: list[np.ndarray]) -> None:
    """Check that outlines are the same but for whole squares between them, and what is meant by rounding."""
    for each in outlines[1:]:
        apart = each - outlines[0]
        assert np.abs(apart - np.rint(apart[0])).max() <= AT_HOLE


@given(PLACES, HUNDREDTHS, SIZES)
@settings(max_examples=examples(30))
def test_boats_on_waves_come_out_alike_wherever_they_lie(offs: list[float], y: float, size: float) -> None:
    boats = [boat(4 + 20 * number + x, 23 + y, size) for number, x in enumerate(offs)]
    marks = [shape(colour, rounded(points)) for each in boats for colour, points in each]
    artwork = drawing(*marks, shape(YELLOW, waves(23)), wide=WIDE, high=HIGH)
    outlines = [each.polygon.points for each in laid(artwork, 0.5).shapes[:-1]]
    for part in range(3):
        assert_alike(outlines[part::3])


@given(PLACES, PLACES, SIZES)
@settings(max_examples=examples(30))
def test_boats_before_the_edge_of_the_sea_come_out_alike_wherever_they_lie(
    offs: list[float], downs: list[float], size: float
) -> None:
    """Some farther off than others: the edge goes on beneath them."""
    boats = [boat(4 + 20 * k + x, 19 + y, size) for k, (x, y) in enumerate(zip(offs, downs, strict=True))]
    marks = [shape(colour, rounded(points)) for each in boats for colour, points in each]
    sea = shape(YELLOW, box(-2, 19 - 0.6 * size, WIDE + 2, HIGH + 2))
    outlines = [each.polygon.points for each in laid(drawing(sea, *marks, wide=WIDE, high=HIGH), 0.5).shapes]
    for part in range(3):
        assert_alike(outlines[1 + part :: 3])


@given(PLACES, HUNDREDTHS, SIZES, st.integers(75, 99).map(lambda n: n / 100))
@example([0.0, 0.0, 0.02], 0.0, 6.57, 0.75)
@example([0.0, 0.0, 0.01], 0.01, 6.57, 0.75)
@example([0.0, 0.0, 0.02], 0.0, 9.91, 0.75)
@example([0.0, 0.0, 0.02], 0.0, 6.79, 0.75)
@example([0.0, 0.0, 0.02], 0.0, 6.67, 0.89)
@settings(max_examples=examples(30))
def test_boats_come_out_alike_though_a_post_is_close_to_one(
    offs: list[float], y: float, size: float, gap: float
) -> None:
    """They may move by half a square, and so may what is in them."""
    boats = [boat(7 + gap + (18 + x) * number, 23 + y, size) for number, x in enumerate(offs)]
    marks = [shape(colour, rounded(points)) for each in boats for colour, points in each]
    post = shape(YELLOW, box(5, 16, 7, 26))
    artwork = drawing(*marks, post, shape(YELLOW, waves(23)), wide=WIDE, high=HIGH)
    outlines = [each.polygon.points for each in laid(artwork, 0.5).shapes[:9]]
    for part in range(3):
        assert_alike(outlines[part::3])


def skiff(x: float, y: float, size: float) -> list[tuple[str, Points]]:
    """Return a hull that is pointed on both sides, and a sail; the deck lies at y."""
    at = [x + size * part for part in (0, 0.2, 0.5, 0.8, 0.9, 1)]
    return [
        (RED, [(at[0], y), (at[5], y), (at[3], y + 0.35 * size), (at[1], y + 0.35 * size)]),
        (YELLOW, [(at[2], y - 0.7 * size), (at[4], y - 0.05 * size), (at[2], y - 0.05 * size)]),
    ]


@given(
    HUNDREDTHS, HUNDREDTHS, *[st.integers(*ends).map(lambda n: n / 100) for ends in ((530, 700), (50, 99))]
)
@example(0.93, 0.91, 5.38, 0.75)
@settings(max_examples=examples(30))
def test_boats_close_to_each_other_do_not_touch(x: float, y: float, size: float, gap: float) -> None:
    boats = [skiff(5 + x + (size + gap) * number, 9 + y, size) for number in range(3)]
    marks = [shape(colour, rounded(points)) for each in boats for colour, points in each]
    outlines = [each.polygon.points for each in laid(drawing(*marks, wide=40, high=HIGH), 0.5).shapes]
    reach = [np.concatenate(outlines[first : first + 2])[:, 0] for first in (0, 2, 4)]
    assert all(one.max() < other.min() for one, other in pairwise(reach))


def house(x: float, ground: float, size: float) -> list[tuple[str, Points]]:
    """Return a roof and a wall that reaches into the ground."""
    top = ground - 1.2 * size
    return [
        (RED, [(x + size / 2, top), (x + size, top + size / 2), (x, top + size / 2)]),
        (BLUE, box(x + size / 10, top + size / 2, x + 0.9 * size, ground + 2)),
    ]


def row_of_houses(offs: list[float], y: float, size: float) -> list[list[tuple[str, Points]]]:
    """Return houses of one size beside each other."""
    return [house(4 + 20 * number + x, 18 + y, size) for number, x in enumerate(offs)]


def on_ground(houses: list[list[tuple[str, Points]]], y: float) -> list[Fill]:
    """Return their marks, and those of the ground that they stand on."""
    marks = [shape(colour, rounded(points)) for each in houses for colour, points in each]
    return [*marks, shape(YELLOW, box(-2, 18 + y, WIDE + 2, HIGH - 2))]


def octagon(x: float, y: float, size: float) -> Points:
    """Return a box with its corners cut off."""
    a, b = size / 4, 3 * size / 4
    around = [(a, 0), (b, 0), (size, a), (size, b), (b, size), (a, size), (0, b), (0, a)]
    return [(x + right, y + down) for right, down in around]


@given(PLACES, HUNDREDTHS, SIZES)
@settings(max_examples=examples(30))
def test_houses_come_out_alike_whatever_is_near_beyond_the_ground(
    offs: list[float], y: float, size: float
) -> None:
    houses = row_of_houses(offs, y, size)
    # below the ground's surface, and behind it the wall goes on
    stone = shape(GREEN, box(houses[1][1][1][1][0] + 0.3, 18.8 + y, houses[1][1][1][1][0] + 3.3, 22))
    shapes = laid(drawing(*on_ground(houses, y), stone, wide=WIDE, high=HIGH), 0.5).shapes
    for part in range(2):
        assert_alike([each.polygon.points for each in shapes[part:6:2]])


@given(PLACES, HUNDREDTHS, SIZES)
@settings(max_examples=examples(30))
def test_two_copies_are_alike_though_something_touches_the_third(
    offs: list[float], y: float, size: float
) -> None:
    houses = row_of_houses(offs, y, size)
    (x, top) = houses[2][0][1][0]
    star = shape(GREEN, rounded([(x, top - 1.1), (x + 0.6, top - 0.5), (x, top + 0.1), (x - 0.6, top - 0.5)]))
    shapes = laid(drawing(*on_ground(houses, y), star, wide=WIDE, high=HIGH), 0.5).shapes
    for part in range(2):
        assert_alike([each.polygon.points for each in shapes[part:4:2]])


@given(PLACES, HUNDREDTHS, st.integers(400, 600).map(lambda n: n / 100))
@settings(max_examples=examples(30))
@example([0.8, 0.13, 0.92], 0.97, 4.53)  # as written one is not as high as the others
@example([0.72, 0.16, 0.32], 0.96, 4.55)
def test_lamps_beside_a_slanting_sail_are_alike(offs: list[float], y: float, size: float) -> None:
    """They lie in the box around the sail in part, and not near its outline."""
    sail = [(30.0, 2.0), (60.0, 32.0), (30.0, 32.0)]
    marks = []
    for number, off in enumerate(offs):
        left, top = 34 + 8 * number + off + size, 3 + 8 * number + y - size / 2
        marks.append(shape(BLUE, rounded(octagon(left, top, size))))
    artwork = drawing(shape(RED, sail), *marks, wide=70, high=36)
    assert_alike([each.polygon.points for each in laid(artwork, 0.5).shapes[1:]])


@pytest.mark.parametrize("along", ["rows", "columns"])
@given(HUNDREDTHS, st.integers(10, 49).map(lambda n: n / 100))
@example(0.95, 0.3)
@example(0.2, 0.3)
def test_what_is_narrower_than_half_a_square_takes_one_row(along: str, x: float, wide: float) -> None:
    # just on both sides of a hole line, but for rounding, it takes both
    assume(abs((x + wide / 2 + 0.5) % 1 - 0.5) > AT_HOLE + 2.0**-12)
    points = box(6 + x, 3, 6 + x + wide, 12)
    points = [(b, a) for a, b in points] if along == "rows" else points
    rows = np.array(drawn(chart_of(drawing(shape(RED, points), wide=15, high=15))))
    assert (rows != ".").any(axis=1 if along == "rows" else 0).sum() == 1


def test_what_hangs_on_a_cliff_stays_before_it() -> None:
    """The ground reaches past it both ways; it is the cliff that is near."""
    cliff = [(-2, -2), (10.61, -2), (10.61, 50), (62, 50), (62, 62), (-2, 62)]
    marks = [shape(YELLOW, cliff), shape(RED, octagon(10.61, 6.57, 7.77))]
    ground, lamp = laid(drawing(*marks, wide=60, high=60), 0.5).shapes
    edge = ground.polygon.points[:, 0]
    assert lamp.polygon.points[:, 0].min() >= edge[edge < 30].max()


def test_towers_on_a_hill_are_the_same_in_a_quarter_turn() -> None:
    hill = [(-2, 41.125), (66, 24.125), (66, 66), (-2, 66)]
    towers = [part for x, y in ((8.25, 38), (25, 34), (43.5, 29)) for part in house(x, y, 6.67)]
    marks = [*towers, (YELLOW, hill)]
    sizes = []
    for turn in (lambda x, y: (x, y), lambda x, y: (64 - y, x)):
        art = [shape(colour, [turn(*point) for point in points]) for colour, points in marks]
        shapes = laid(drawing(*art, wide=64, high=64), 0.5).shapes
        sizes.append([sorted(np.ptp(each.polygon.points, axis=0).tolist()) for each in shapes[:-1]])
    assert np.abs(np.subtract(*sizes)).max() <= AT_HOLE


def test_a_string_tied_to_a_side_stays_tied() -> None:
    """Also where the side is that of a part that is moved as a whole."""
    marks = [shape(RED, octagon(4.8, 4.52, 6.95)), shape(RED, octagon(23.27, 4.59, 6.95))]
    string = stroke(GREEN, [(8.275, 11.47), (10.275, 15.47), (8.275, 25)], width=0.2)
    found = laid(drawing(*marks, shape(YELLOW, box(-2, 25, 62, 40)), string, wide=60, high=40), 0.5)
    end = found.lines[0].lines.points[0]
    assert abs(end[1] - found.shapes[0].polygon.points[:, 1].max()) <= AT_HOLE


def test_eaves_do_not_come_near_to_what_stands_on_the_ground_as_a_part_of_it() -> None:
    top, size = 18.09375, 6.53125
    marks = []
    for x in (4.78125, 25.828125, 45.765625):
        roof, wall = house(x, top, size)
        marks += [roof, (wall[0], [(a, min(b, top)) for a, b in wall[1]])]
    left, high = 12.390625, top - 3.765625
    ground = [
        (-2, top),
        (left, top),
        (left, high),
        (left + 3, high),
        (left + 3, top),
        (66, top),
        (66, 30),
        (-2, 30),
    ]
    art = [shape(colour, points) for colour, points in [*marks, (YELLOW, ground)]]
    shapes = laid(drawing(*art, wide=64, high=30), 0.5).shapes
    around = shapes[-1].polygon.points
    eaves = shapes[0].polygon.points[:, 0].max()
    # more than a square was there, and each may come half a square nearer at the most
    assert around[(around[:, 1] < top - 1)][:, 0].min() - eaves >= 0.3


def test_lines_below_the_ground_do_not_go_with_a_house_on_it() -> None:
    marks = [shape(colour, points) for colour, points in house(5.4, 18, 8)]
    ground = shape(YELLOW, box(-2, 18, 42, 28))
    joint = stroke(GREEN, [(9.0, 18.0), (9.0, 22.0)], width=0.2)
    # beside it the same in a mirror: then all is one part
    mirrored = [shape(colour, [(40 - x, y) for x, y in points]) for colour, points in house(5.4, 18, 8)]
    for more in ([], mirrored):
        found = laid(drawing(*marks, *more, ground, joint, wide=40, high=26), 0.5)
        assert np.ptp(found.lines[0].lines.points[:, 0]) == 0


def heart(x: float, y: float, size: float) -> Points:
    """Return an outline with a dent at the top and a tip at the bottom, both in the middle."""
    turn = np.arange(1, 24) * np.pi / 24
    across = size / 2 * np.sin(turn) ** 3
    down = size / 34 * (-13 * np.cos(turn) + 5 * np.cos(2 * turn) + 2 * np.cos(3 * turn) + np.cos(4 * turn))
    right = [(x + a, y + d) for a, d in zip(across, down, strict=True)]
    ends = (x, y - size * 5 / 34), (x, y + size / 2)
    return [ends[0], *right, ends[1], *((2 * x - a, d) for a, d in reversed(right))]


@given(PLACES, PLACES, st.integers(200, 900).map(lambda n: n / 100))
@example([0.0, 0.0, 0.0], [0.0, 0.0, 0.0], 5.13)  # one has corners that others have not
@example([0.0, 0.01, 0.0], [0.0, 0.0, 0.83], 5.13)  # both sides of one are rounded outwards
@settings(max_examples=examples(30))
def test_curved_copies_with_dents_are_alike_and_the_same_on_both_sides(
    across: list[float], down: list[float], size: float
) -> None:
    places = [(8 + 18 * n + x, 12 + 2 * n + y) for n, (x, y) in enumerate(zip(across, down, strict=True))]
    marks = [shape(RED, rounded(heart(x, y, size))) for x, y in places]
    artwork = drawing(shape(YELLOW, box(0.3, 0.4, 59.7, 29.6)), *marks, wide=60, high=30)
    outlines = [each.polygon.points for each in laid(artwork, 0.5).shapes[1:]]
    for each in outlines[1:]:
        # one may have points that lie on a straight line of another
        apart = np.rint((each - outlines[0].min(axis=0)).min(axis=0))
        one, other = (shapely.LinearRing(points) for points in (each - apart, outlines[0]))
        assert shapely.hausdorff_distance(one, other) <= AT_HOLE
    middle = outlines[0].min(axis=0)[0] + outlines[0].max(axis=0)[0]
    assert abs(middle - np.rint(middle)) <= AT_HOLE
    flipped = outlines[0] * [-1, 1] + [middle, 0]
    assert all(np.abs(outlines[0] - point).max(axis=1).min() <= AT_HOLE for point in flipped)


def disc(x: float, y: float, wide: float, high: float) -> Points:
    turn = np.arange(64) * 2 * np.pi / 64
    return [(float(x + wide / 2 * np.cos(t)), float(y + high / 2 * np.sin(t))) for t in turn]


@pytest.mark.parametrize(
    ("size", "places"),
    [
        ((1.65, 1.65), [(8.46, 12.83), (26.75, 14.4), (44.49, 16.42)]),
        ((3.65, 3.47), [(8.03, 12.0), (26.18, 14.36), (44.77, 16.36)]),
    ],
)
def test_discs_are_alike_though_their_corners_are_rounded(
    size: tuple[float, float], places: list[tuple[float, float]]
) -> None:
    marks = [shape(RED, rounded(disc(*place, *size))) for place in places]
    outlines = [each.polygon.points for each in laid(drawing(*marks, wide=60, high=30), 0.5).shapes]
    assert_alike([np.array([points.min(axis=0), points.max(axis=0)]) for points in outlines])


@given(
    st.lists(HUNDREDTHS, min_size=2, max_size=2),
    HUNDREDTHS,
    st.tuples(*[st.integers(400, 1800).map(lambda n: n / 100)] * 2),
    st.integers(30, 60).map(lambda n: n / 100),
    st.tuples(*[st.integers(-10, 10).map(lambda n: n / 100)] * 2),
)
@example([0.53, 0.53], 0.56, (12.95, 13.14), 0.46, (0.05, 0.05))  # too large to keep its form alone
@example([0.72, 0.4], 0.86, (8.88, 10.71), 0.44, (0.11, 0.0))  # only one pupil found room in its white
def test_two_eyes_come_out_alike_wherever_they_look(
    offs: list[float], y: float, size: tuple[float, float], pupil: float, look: tuple[float, float]
) -> None:
    wide, high = size
    marks = [shape(YELLOW, box(0, 0, WIDE, HIGH))]
    for number, off in enumerate(offs):
        middle = (16 + 28 * number + off, 15 + y)
        marks.append(shape(RED, disc(*middle, wide, high)))
        at = [m + part * side for m, part, side in zip(middle, look, size, strict=True)]
        marks.append(shape(BLUE, disc(*at, pupil * min(size), pupil * min(size))))
    outlines = [each.polygon.points for each in laid(drawing(*marks, wide=WIDE, high=HIGH), 0.5).shapes[1:]]
    for part in (0, 1):
        assert_alike([np.array([points.min(axis=0), points.max(axis=0)]) for points in outlines[part::2]])


@pytest.mark.filterwarnings("error")
def test_contours_of_a_single_place_are_no_copies() -> None:
    """Editors leave points behind; of nothing there is no size."""
    nothing = [(3.0, 3.0), (3.0, 3.0)]
    marks = [shape(BLUE, box(x, 4.3, x + 4, 8.1), nothing, nothing) for x in (3.2, 12.7)]
    outlines = [each.polygon for each in laid(drawing(*marks, wide=20, high=12), 0.5).shapes]
    assert_alike([each.points[each.starts[0] : each.starts[1]] for each in outlines])


def bent(start: tuple[float, float], towards: tuple[float, float], end: tuple[float, float]) -> Points:
    """Return points on a curve that leaves its start towards a point and comes from there to its end."""
    found = []
    for part in np.arange(12) / 11:
        weights = np.array([(1 - part) ** 2, 2 * part * (1 - part), part**2])
        x, y = (weights @ np.array([start, towards, end])).tolist()
        found.append((x, y))
    return found


def sloop(x: float, y: float, size: float) -> list[tuple[str, Points]]:
    """Return a mast on the middle, x, of a hull whose deck lies at y, and two sails unlike each other."""
    parts = [
        (GREEN, box(-0.024, -0.74, 0.024, 0)),
        (BLUE, [(-0.5, 0), (0.5, 0), *bent((0.5, 0), (0.45, 0.28), (0.28, 0.3)), (-0.28, 0.3)]),
        (RED, [*bent((0.06, -0.7), (0.35, -0.4), (0.4, -0.06)), (0.06, -0.06)]),
        (RED, [*bent((-0.06, -0.63), (-0.3, -0.37), (-0.34, -0.06)), (-0.06, -0.06)]),
    ]
    return [(colour, [(x + size * a, y + size * b) for a, b in points]) for colour, points in parts]


@given(st.integers(1120, 1340))
@settings(max_examples=examples(10))
def test_a_mast_on_the_middle_of_a_boat_is_a_square_wide_even_on_the_middle_of_the_drawing(size: int) -> None:
    """Two sails tell the boat from what is the same on both sides: it may go to either."""
    boats = [shape(c, rounded(points)) for k in (10, 30, 50) for c, points in sloop(k, 21, size / 100)]
    sea, quay = shape(YELLOW, box(0, 22.4, 60, 28)), shape(GREEN, box(0, 26, 60, 28))
    artwork = drawing(sea, *boats, quay, wide=60, high=28)
    outlines = [each.polygon.points for each in laid(artwork, 0.5).shapes[1:13]]
    for part in range(4):
        assert_alike(outlines[part::4])
    for row in drawn(chart_of(artwork))[13:19]:
        assert [square for square in row if "g" in square] == ["g"] * 3


@pytest.mark.parametrize("scale", [1, 3 / 2])
def test_boats_between_posts_and_lamps_come_out_alike_and_so_do_these(scale: float) -> None:
    """Some gaps are too narrow for a stitch, and lamps stand close to the edges of the page."""
    parts = [each for k in (10, 30, 50) for each in sloop(k, 22.2, 12.4)]
    for x in (2, 20, 40, 58):
        head = [(x - 1.2, 15.2), (x - 0.9, 12.6), (x + 0.9, 12.6), (x + 1.2, 15.2)]
        roof = [(x - 1.4, 12.6), (x, 11), (x + 1.4, 12.6)]
        parts += [(BLUE, box(x - 0.3, 15, x + 0.3, 30.2)), (YELLOW, head), (BLUE, roof)]
    for x in (16.4, 22.4, 36.4, 42.4):
        top = bent((x, 20), (x + 0.6, 19.2), (x + 1.2, 20))
        parts.append((GREEN, [*top, (x + 1.2, 30.4), (x, 30.4)]))
    ground = [(YELLOW, box(0, 23.2, 60, 30.2)), (RED, box(0, 30, 60, 34))]
    marks = [shape(colour, [(scale * x, scale * y) for x, y in points]) for colour, points in parts]
    sea, quay = (shape(colour, [(scale * x, scale * y) for x, y in points]) for colour, points in ground)
    artwork = drawing(sea, *marks, quay, wide=round(60 * scale), high=round(34 * scale))
    outlines = [each.polygon.points for each in laid(artwork, 0.5).shapes[1:-1]]
    first = 0
    for count, step in ((12, 4), (12, 3), (4, 1)):
        for part in range(step):
            assert_alike(outlines[first + part : first + count : step])
        first += count


@given(st.lists(HUNDREDTHS, min_size=2, max_size=2), HUNDREDTHS, SIZES)
@settings(max_examples=examples(30))
def test_boats_on_two_levels_of_water_come_out_equally_wide(
    offs: list[float], down: float, size: float
) -> None:
    """Each is bound to its own water, and goes up and down with that alone."""
    boats = [boat(4 + 24 * k + x, 13 + k * 10 + k * down, size) for k, x in enumerate(offs)]
    marks = [shape(colour, rounded(points)) for each in boats for colour, points in each]
    water = [shape(YELLOW, rounded(box(-2, 13 + k * 10 + k * down, WIDE + 2, 15 + k * 10))) for k in (0, 1)]
    outlines = [
        each.polygon.points for each in laid(drawing(*marks, *water, wide=WIDE, high=HIGH), 0.5).shapes
    ]
    for part in range(3):
        assert_alike([np.array([[each[:, 0].min()], [each[:, 0].max()]]) for each in outlines[part:6:3]])
