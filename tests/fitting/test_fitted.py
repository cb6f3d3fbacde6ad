"""The laws of fitting: what is on the grid stays, nothing goes far, equal stays equal, boxes stay boxes."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.artwork import Artwork
from svg2chart.fit import Laid, lay_on_grid
from svg2chart.fitting.crowding import ROUNDED
from svg2chart.geometry.boxes import grown, within_box
from svg2chart.grid import Extent, Grid
from svg2chart.visible import Shape, visible_areas
from tests.drawings import BLUE, RED, YELLOW, Points, box, chart_of, drawing, drawn, shape, stroke

SIDE = 12
COLOURS = (RED, BLUE, YELLOW)


def laid(artwork: Artwork, movement: float) -> Laid:
    return lay_on_grid(artwork, Grid.fit(artwork, square=1.0, extent=Extent.PAGE, movement=movement))


def points(shapes: Sequence[Shape]) -> np.ndarray:
    return np.concatenate([each.polygon.points for each in shapes])


def around_points(found: Shape) -> np.ndarray:
    """Return left, top, right and bottom of a shape."""
    return np.concatenate([found.polygon.points.min(axis=0), found.polygon.points.max(axis=0)])


def pairs(before: Laid, after: Laid) -> list[tuple[Shape, Shape]]:
    """Return shapes before and after; of those that lie wholly under others nothing may be left."""
    seen = visible_areas(before.shapes, rows=SIDE, columns=SIDE).shapes.tolist()
    both = list(zip(before.shapes, after.shapes, strict=True))
    assert not any(area for area, (_, other) in zip(seen, both, strict=True) if not len(other.polygon.points))
    return [(one, other) for one, other in both if len(other.polygon.points)]


@st.composite
def boxes(draw: st.DrawFn, parts: int) -> Artwork:
    """Draw upright boxes with sides on multiples of a part of a square."""
    place = st.integers(0, SIDE * parts)
    marks = []
    for _ in range(draw(st.integers(1, 5))):
        left, right = sorted(draw(st.tuples(place, place).filter(lambda pair: pair[0] != pair[1])))
        top, bottom = sorted(draw(st.tuples(place, place).filter(lambda pair: pair[0] != pair[1])))
        corners = box(left / parts, top / parts, right / parts, bottom / parts)
        marks.append(shape(draw(st.sampled_from(COLOURS)), corners))
    return drawing(*marks, wide=SIDE, high=SIDE)


@given(boxes(1))
def test_what_lies_on_the_grid_is_not_moved(artwork: Artwork) -> None:
    found = laid(artwork, 0.5)
    assert found.largest_movement == 0.0
    before, after = zip(*pairs(laid(artwork, 0.0), found), strict=True)
    assert np.array_equal(points(after), points(before))


SHORT_STRIPE = drawing(
    shape(RED, box(0, 0, 0.125, 1)), shape(RED, box(0, 0, 0.125, 0.125)), wide=SIDE, high=SIDE
)
LONG_STRIPE = drawing(
    shape(RED, box(0, 0, 0.125, 3)), shape(RED, box(0, 0, 0.125, 0.5)), wide=SIDE, high=SIDE
)


@given(boxes(8), st.sampled_from([0.0, 0.1, 0.25, 0.5]))
@example(SHORT_STRIPE, 0.5)  # all that there is; too small for a part that stands by itself
@example(LONG_STRIPE, 0.5)
def test_no_point_moves_farther_than_is_allowed_nor_off_the_page(artwork: Artwork, movement: float) -> None:
    before = laid(artwork, 0.0)
    after = laid(artwork, movement)
    # upright boxes have no edge that crosses a knot between its ends but along it: compare their corners
    for one, other in pairs(before, after):
        now = around_points(other)
        # what stands by itself, or has copies, goes as a whole, and then its sides do: those parts are told
        most = 2 * movement if within_box(now, grown(after.apart, ROUNDED)).any() else movement
        assert np.abs(now - around_points(one)).max() <= min(after.largest_movement, most) + 2.0**-20
    assert after.largest_movement <= (2 * movement if len(after.apart) else movement)
    assert points(after.shapes).min() >= 0
    assert points(after.shapes).max() <= SIDE


@given(boxes(8))
def test_order_is_kept(artwork: Artwork) -> None:
    both = pairs(laid(artwork, 0.0), laid(artwork, 0.5))
    for axis in (0, 1):
        originals = [
            (float(end(one.polygon.points[:, axis])), float(end(other.polygon.points[:, axis])))
            for one, other in both
            for end in (np.min, np.max)
        ]
        moved = [q for _, q in sorted(originals)]
        assert moved == sorted(moved)
    assert len(both)


@given(
    st.integers(8, 24).map(lambda n: n / 8),
    st.lists(st.integers(1, 12).map(lambda n: n / 8), min_size=2, max_size=4),
)
@example(2.625, [0.125, 0.25, 1.25, 0.125])  # of two pairs of flags, each moved by itself, one grew together
@example(2.75, [0.125, 0.5, 0.625])  # the stitches of two run on in each other, just where few were looked at
def test_equal_widths_stay_equal_or_it_is_told(wide: float, gaps: list[float]) -> None:
    """Boxes side by side: with little room between them some cannot go far enough."""
    lefts = [sum(gaps[: k + 1]) + k * wide for k in range(len(gaps))]
    marks = [shape(RED, box(left, 1, left + wide, 5), element=f"flag{k}") for k, left in enumerate(lefts)]
    artwork = drawing(*marks, wide=2 * SIDE, high=SIDE)
    widths = [float(np.ptp(one.polygon.points[:, 0])) for one in laid(artwork, 0.5).shapes]
    told = [remark for remark in chart_of(artwork).remarks if "equal widths" in remark.what]
    named = {widths[int(remark.element.removeprefix("flag"))] for remark in told}
    if np.ptp(widths) > 0.5:
        assert {min(widths), max(widths)} <= named
    else:  # stitches of one colour may still grow together where they were drawn close
        assert not told or min(gaps[1:]) < 0.5


@given(boxes(8))
def test_a_mirrored_drawing_moves_as_its_mirror_image(artwork: Artwork) -> None:
    def mirrored(found: Artwork) -> Artwork:
        marks = []
        for mark in found.marks:
            segments = [(s * [-1, 1] + [SIDE, 0], closed) for s, closed in mark.path.contours()]
            marks.append(replace(mark, path=type(mark.path).of_contours(segments)))
        return replace(found, marks=tuple(marks))

    here, there = laid(artwork, 0.5), laid(mirrored(artwork), 0.5)
    for one, other in pairs(here, there):
        left, right = one.polygon.points[:, 0].min(), one.polygon.points[:, 0].max()
        assert (SIDE - other.polygon.points[:, 0].max(), SIDE - other.polygon.points[:, 0].min()) == (
            left,
            right,
        )


@given(
    st.integers(0, 40).map(lambda n: n / 20),
    st.integers(0, 40).map(lambda n: n / 20),
    st.integers(20, 90).map(lambda n: n / 20),
    st.integers(20, 90).map(lambda n: n / 20),
)
def test_a_box_is_a_box_of_full_stitches_wherever_it_lies(
    x: float, y: float, wide: float, high: float
) -> None:
    chart = chart_of(drawing(shape(RED, box(2 + x, 2 + y, 2 + x + wide, 2 + y + high)), wide=SIDE, high=SIDE))
    squares = np.array(drawn(chart)) == "r"
    rows, columns = np.nonzero(squares)
    assert squares[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1].all()
    assert {square for row in drawn(chart) for square in row} == {".", "r"}
    # each side goes to a hole line at most three quarters of a square off
    assert abs(np.ptp(columns) + 1 - wide) <= 1.5
    assert abs(np.ptp(rows) + 1 - high) <= 1.5


@given(
    st.integers(10, 60).map(lambda n: n / 20),
    st.lists(st.integers(30, 50).map(lambda n: n / 20), min_size=2, max_size=4),
)
@example(2.35, [1.5] * 4)  # only if bars and gaps change their widths together
@example(1.4, [2.1, 2.1, 1.5, 1.5])  # two squares would suit all but the second
@example(1.4, [1.5, 2.25, 1.5, 1.5])  # and the gap before the last could go
def test_equal_bars_become_equal(wide: float, steps: list[float]) -> None:
    at, marks = 1.3, []
    for step in steps:
        marks.append(shape(RED, box(at, 1, at + wide, 9)))
        at += wide + step
    # something else to the right: a bar in the very middle of all could go nowhere
    marks.append(shape(BLUE, box(26, 2, 29, 8)))
    chart = chart_of(drawing(*marks, wide=30, high=10))
    row = "".join(drawn(chart)[4]).replace(".", " ").replace("b", " ")
    assert len({len(bar) for bar in row.split()}) == 1
    assert len(row.split()) == len(steps)


def test_a_thin_line_on_a_side_moves_with_it() -> None:
    side = [(2.4, 1.0), (2.4, 8.0)]
    found = laid(
        drawing(shape(BLUE, box(2.4, 1, 8, 8)), stroke(RED, side, width=0.2), wide=SIDE, high=SIDE), 0.5
    )
    assert {point[0] for point in found.lines[0].lines.points.tolist()} == {2.0}


def around(x: float, y: float, wide: float, high: float, *, turn: float = 2 * np.pi) -> Points:
    """Return points of an ellipse, or of its upper half where the turn is half of one."""
    turns = np.linspace(0, turn, 60, endpoint=turn < 2 * np.pi)
    return [(x - wide / 2 * np.cos(t), y - high / 2 * np.sin(t)) for t in turns]


def test_what_is_drawn_on_the_grid_is_not_bent_for_a_crest_that_is_not() -> None:
    hull = shape(RED, [(0, 1), (12, 1), (7, 6), (5, 6)])
    porthole = shape(YELLOW, around(5.5, 2.5, 3, 3))
    sea = shape(BLUE, [(0, 6), *around(8, 6, 1.8, 1.2, turn=np.pi), (12, 6), (12, 9), (0, 9)])
    boat = drawing(hull, porthole, sea, shape(YELLOW, box(2, 9, 9, 11)), wide=SIDE, high=SIDE)
    before, after = laid(boat, 0.0), laid(boat, 0.5)
    for number in (0, 1, 3):
        assert np.array_equal(after.shapes[number].polygon.points, before.shapes[number].polygon.points)
    # the crest goes to a hole line, but for what no line across the drawing sees of it
    assert before.shapes[2].polygon.points[:, 1].min() == pytest.approx(5.4, abs=1e-3)
    assert after.shapes[2].polygon.points[:, 1].min() == pytest.approx(5.0, abs=1 / 64)


@given(st.integers(0, 20).map(lambda n: n / 20), st.integers(0, 20).map(lambda n: n / 20))
def test_a_slanted_side_from_hole_to_hole_stays_whatever_else_moves(x: float, y: float) -> None:
    roof = shape(RED, [(1, 6), (5, 2), (9, 6)])
    artwork = drawing(shape(BLUE, box(x, y, x + 9.4, y + 7.3)), roof, wide=SIDE, high=SIDE)
    before, after = laid(artwork, 0.0), laid(artwork, 0.5)
    corners = {tuple(point) for point in before.shapes[1].polygon.points.tolist()}
    assert corners <= {tuple(point) for point in after.shapes[1].polygon.points.tolist()}
