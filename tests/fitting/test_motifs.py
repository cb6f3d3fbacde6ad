"""Motifs: what is the same on both sides stays so, and copies stay alike, wherever they lie by themselves.

All figures are written to hundredths of a square, as editors write them.
"""

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from svg2chart.artwork import Artwork, Fill
from svg2chart.fitting.beneath import Layers
from svg2chart.fitting.looking import look
from svg2chart.fitting.motifs import find_motifs
from svg2chart.fitting.seams import contours_of
from svg2chart.geometry.polygon import Polygon
from svg2chart.octants.stacks import Paint
from svg2chart.visible import Shape
from tests.breadth import examples, shared
from tests.drawings import BLUE, RED, YELLOW, Points, box, chart_of, drawing, drawn, shape
from tests.fitting.test_fitted import laid
from tests.test_laws import MIRROR_WEDGES, with_wedges

SIDE = 20

# on a square from 0 to 1, the same left and right
LEFT_AND_RIGHT = {
    "house": [(0.5, 0), (1, 0.5), (1, 1), (0, 1), (0, 0.5)],
    "sail": [(0, 0), (1, 0), (0.5, 0.5)],
    "heart": [(0.25, 0), (0.5, 0.25), (0.75, 0), (1, 0.25), (0.5, 1), (0, 0.25)],
    "hull": [(0, 0), (1, 0), (0.8, 0.3), (0.2, 0.3)],
}
# and above and below
ALL_AROUND = {
    "lamp": [(0.3, 0), (0.7, 0), (1, 0.3), (1, 0.7), (0.7, 1), (0.3, 1), (0, 0.7), (0, 0.3)],
    "pane": [(0.25, 0), (0.75, 0), (1, 0.5), (0.75, 1), (0.25, 1), (0, 0.5)],
    "cross": [
        *[(0.33, 0), (0.67, 0), (0.67, 0.33), (1, 0.33), (1, 0.67), (0.67, 0.67)],
        *[(0.67, 1), (0.33, 1), (0.33, 0.67), (0, 0.67), (0, 0.33), (0.33, 0.33)],
    ],
    "star": [(0.5, 0), (0.65, 0.35), (1, 0.5), (0.65, 0.65), (0.5, 1), (0.35, 0.65), (0, 0.5), (0.35, 0.35)],
}
FIGURES = LEFT_AND_RIGHT | ALL_AROUND
# where each has room for a part that is not the same on both sides
MIDDLES = dict.fromkeys(FIGURES, 0.5) | {"house": 0.75, "sail": 0.15, "hull": 0.15}
HUNDREDTHS = st.integers(0, 99).map(lambda n: n / 100)
SIZES = st.integers(300, 900).map(lambda n: n / 100)
UPSIDE_DOWN_WEDGES = str.maketrans("◤◥◢◣", "◣◢◥◤")


def figure(name: str, x: float, y: float, size: float) -> Points:
    return [(round(x + size * a, 2), round(y + size * b, 2)) for a, b in FIGURES[name]]


def shown(artwork: Artwork, colour: str) -> list[list[str]]:
    """Return the squares around all stitches of a colour."""
    rows = np.array(drawn(chart_of(artwork)))
    row, column = np.nonzero(np.char.find(rows, colour) >= 0)
    return rows[row.min() : row.max() + 1, column.min() : column.max() + 1].tolist()


def mirrored(rows: list[list[str]]) -> list[list[str]]:
    return [[with_wedges(square, MIRROR_WEDGES) for square in row[::-1]] for row in rows]


def upside_down(rows: list[list[str]]) -> list[list[str]]:
    return [[with_wedges(square, UPSIDE_DOWN_WEDGES) for square in row] for row in rows[::-1]]


def test_what_goes_on_beneath_far_from_the_ends_of_a_motif_does_not_bind_it() -> None:
    """The edge of the sea behind a boat; but it stands on a quay, or behind waves."""
    sea, boat = box(-5, 12, 35, 35), box(8, 6, 14, 18)
    (left, *_, across, down), *others = motifs_of(sea, boat)
    assert (left, across, down, others) == (8, 0, 0, [])
    for over in ([boat, sea], [box(-5, 17.5, 35, 35), boat], [box(-5, 6.5, 35, 35), boat]):
        assert [found[4:] for found in motifs_of(*over) if found[0] == 8] in ([[0, 1]], [])


@pytest.mark.parametrize("name", FIGURES)
@given(HUNDREDTHS, HUNDREDTHS, SIZES, st.sampled_from([[], [shape(YELLOW, box(0, 0, SIDE, SIDE))]]))
@settings(max_examples=examples(20))
@example(0.24, 0.67, 6.66, [])
@example(0.21, 0.33, 7.97, [shape(YELLOW, box(0, 0, SIDE, SIDE))])  # written to hundredths it is not quite so
def test_what_is_the_same_on_both_sides_stays_so_wherever_it_lies(
    name: str, x: float, y: float, size: float, below: list[Fill]
) -> None:
    rows = shown(drawing(*below, shape(RED, figure(name, 5 + x, 5 + y, size)), wide=SIDE, high=SIDE), "r")
    assert mirrored(rows) == rows
    if name in ALL_AROUND:
        assert upside_down(rows) == rows


@pytest.mark.parametrize("name", ALL_AROUND)
@settings(max_examples=shared(4))
@given(HUNDREDTHS, HUNDREDTHS, SIZES)
@example(0.0, 0.65, 5.7)  # as written it is a little wider than high
def test_what_is_as_wide_as_high_stays_so_wherever_it_lies(
    name: str, x: float, y: float, size: float
) -> None:
    artwork = drawing(shape(RED, figure(name, 4 + x, 4 + y, size)), wide=SIDE, high=SIDE)
    wide, high = np.ptp(laid(artwork, 0.5).shapes[0].polygon.points, axis=0)
    # figures are written to hundredths
    assert abs(wide - high) <= 0.02
    # the arms of a star end in what is too fine for stitches
    if name != "star":
        rows = shown(artwork, "r")
        assert len(rows) == len(rows[0])


@pytest.mark.parametrize("name", FIGURES)
@given(st.lists(st.tuples(HUNDREDTHS, HUNDREDTHS, st.booleans()), min_size=2, max_size=3), SIZES)
@settings(max_examples=examples(10))
def test_copies_come_out_alike_wherever_they_lie(
    name: str, copies: list[tuple[float, float, bool]], size: float
) -> None:
    """Also those seen in a mirror; each has a part that is not the same on both sides."""
    wide, marks = 14, []
    for number, (x, y, is_mirrored) in enumerate(copies):
        outline = np.array(figure(name, 2, 2 + y, size))
        middle = 2 + y + MIDDLES[name] * size
        part = np.array(box(2 + 0.4 * size, middle - size / 10, 2 + 0.65 * size, middle + size / 10))
        for colour, points in ((RED, outline), (BLUE, part)):
            points[:, 0] = points[:, 0] if not is_mirrored else 4 + size - points[:, 0]
            points[:, 0] += wide * number + x
            marks.append(shape(colour, [(round(a, 2), round(b, 2)) for a, b in points]))
    rows = drawn(chart_of(drawing(*marks, wide=wide * len(copies), high=wide)))
    found = []
    for number, (_, _, is_mirrored) in enumerate(copies):
        own = np.array([row[wide * number : wide * (number + 1)] for row in rows])
        row, column = np.nonzero(own != ".")
        own = own[row.min() : row.max() + 1, column.min() : column.max() + 1]
        found.append(mirrored(own.tolist()) if is_mirrored else own.tolist())
    assert found == [found[0]] * len(found)


@given(HUNDREDTHS, HUNDREDTHS, SIZES)
@settings(max_examples=examples(40))
def test_a_house_stays_on_the_ground_and_the_same_on_both_sides(x: float, y: float, size: float) -> None:
    ground = shape(YELLOW, box(0, 14 + y, SIDE, SIDE))
    house = shape(RED, figure("house", 5 + x, 14 + y - size, size))
    artwork = drawing(ground, house, wide=SIDE, high=SIDE)
    one, other = (each.polygon.points for each in laid(artwork, 0.5).shapes)
    assert other[:, 1].max() == one[:, 1].min()
    rows = shown(artwork, "r")
    assert mirrored(rows) == rows


@pytest.mark.parametrize("name", FIGURES)
@given(HUNDREDTHS, HUNDREDTHS, SIZES, st.sampled_from([0.3, 0.5]))
@settings(max_examples=examples(10))
@example(0.25, 0.65, 7.35, 0.3)  # the lower side of a lamp lies on the last hole line that anything reaches
def test_a_motif_goes_no_farther_than_is_told(
    name: str, x: float, y: float, size: float, movement: float
) -> None:
    artwork = drawing(shape(RED, figure(name, 5 + x, 5 + y, size)), wide=SIDE, high=SIDE)
    before, after = laid(artwork, 0.0).shapes[0].polygon, laid(artwork, movement)
    now = after.shapes[0].polygon.points
    away = np.abs(before.points[:, None] - now[None]).max(axis=2).min(axis=1)
    # as a whole, and then its tips twice as far; points are rounded to 2^-12 of a square
    assert away.max() <= after.largest_movement + 2.0**-12
    assert after.largest_movement <= 3 * movement + 2.0**-12


@given(HUNDREDTHS, HUNDREDTHS, SIZES, st.integers(100, 300).map(lambda n: n / 100))
@settings(max_examples=examples(40))
@example(0.0, 0.0, 3.5, 1.24)  # both become wider towards each other
def test_motifs_that_stand_apart_do_not_touch(x: float, y: float, size: float, gap: float) -> None:
    marks = [
        shape(colour, figure("lamp", at + x, 4 + y, size)) for colour, at in ((RED, 0), (BLUE, size + gap))
    ]
    one, other = (each.polygon.points for each in laid(drawing(*marks, wide=24, high=14), 0.5).shapes)
    assert other[:, 0].min() > one[:, 0].max()


def motifs_of(*outlines: Points) -> list[list[float]]:
    """Return the boxes of the motifs, and whether each is bound across and down."""
    shapes = [
        Shape(polygon=Polygon.of_contours([outline]), paint=Paint(colour=mark.colour))
        for outline, mark in zip(outlines, [shape(c, box(0, 0, 1, 1)) for c in (RED, BLUE) * 9], strict=False)
    ]
    looked = look(shapes, (), rows=30, columns=30)
    polygons = [s.polygon for s in shapes]
    layers = Layers.of(contours_of(polygons), polygons, looked.looks)
    found = find_motifs(layers, (looked.along_rows, looked.along_columns), clear=1.25)
    return sorted(
        [*at, *bound] for at, bound in zip(found.box.tolist(), found.is_bound.tolist(), strict=True)
    )


def test_outlines_near_each_other_are_one_motif_and_what_lies_within_one_of_its_own() -> None:
    lantern, light = box(4, 4, 12, 14), box(6, 7, 9, 10)
    near, far = box(13, 5, 15, 7), box(20, 5, 23, 8)
    assert motifs_of(lantern, light, near, far) == [
        [4, 4, 15, 14, False, False],
        [6, 7, 9, 10, False, False],
        [20, 5, 23, 8, False, False],
    ]


def test_the_ground_binds_up_and_down_and_a_wall_to_left_and_right() -> None:
    ground, wall = box(-1, 20, 31, 31), box(-1, -1, 4, 31)
    assert motifs_of(ground, box(12, 10, 18, 20)) == [[12, 10, 18, 20, False, True]]
    assert motifs_of(wall, box(4, 10, 8, 16)) == [[4, 10, 8, 16, True, False]]


@pytest.mark.parametrize("name", FIGURES)
@given(HUNDREDTHS, HUNDREDTHS, SIZES)
@settings(max_examples=examples(15))
@example(0.91, 0.77, 4.6)
def test_points_on_sides_change_nothing(name: str, x: float, y: float, size: float) -> None:
    # to fiftieths of a square, so that the middles of sides are hundredths
    corners = [(2 * round(a / 2, 2), 2 * round(b / 2, 2)) for a, b in figure(name, 5 + x, 5 + y, size)]
    middles = [
        ((a + c) / 2, (b + d) / 2) for (a, b), (c, d) in zip(corners, corners[1:] + corners[:1], strict=True)
    ]
    more = [point for pair in zip(corners, middles, strict=True) for point in pair]
    one, other = (
        drawn(chart_of(drawing(shape(RED, outline), wide=SIDE, high=SIDE))) for outline in (corners, more)
    )
    assert one == other


@given(
    st.integers(1000, 1099).map(lambda n: n / 100),
    st.lists(st.tuples(SIZES, HUNDREDTHS, st.booleans()), min_size=1, max_size=3),
)
@settings(max_examples=examples(40))
def test_a_whole_scene_stays_the_same_on_both_sides(
    middle: float, parts: list[tuple[float, float, bool]]
) -> None:
    marks = []
    for number, (size, off, is_box) in enumerate(parts):
        wide, top, left = size / 3, 1 + 4 * number + off, middle - 0.9 * size
        high = 1 + size / 5
        outline = np.round(
            box(left, top, left + wide, top + high)
            if is_box
            else [(left, top), (left + wide, top + high / 3), (left + wide / 3, top + high)],
            2,
        )
        for turn in (outline, np.round([2 * middle, 0] - outline * [1, -1], 2)):
            marks.append(shape(RED, [tuple(point) for point in turn.tolist()]))
    rows = shown(drawing(*marks, wide=SIDE + 2, high=SIDE), "r")
    assert mirrored(rows) == rows


def test_equal_widths_in_a_motif_that_come_out_unequal_are_told() -> None:
    house = [(10.58, 4.26), (16.9, 10.58), (16.9, 16.9), (4.26, 16.9), (4.26, 10.58)]
    windows = [box(left, 11.84, left + 1.26, 15.64) for left in (6.61, 9.95, 13.29)]
    marks = [shape(RED, house), *(shape(YELLOW, window) for window in windows)]
    artwork = drawing(*marks, wide=24, high=24)
    wide = [np.ptp(each.polygon.points[:, 0]) for each in laid(artwork, 0.5).shapes[1:]]
    told = [remark.what for remark in chart_of(artwork).remarks if remark.what.startswith("equal widths")]
    assert np.ptp(wide) < 0.1 or told
