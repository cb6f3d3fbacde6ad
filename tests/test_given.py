"""Stitches, lines and knots that a drawing gives by hand stand as they are drawn."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.artwork import Fill, StitchAs
from svg2chart.chart import Backstitch, Corner, Fabric, Stitch, StitchKind
from svg2chart.convert import convert
from svg2chart.grid import Extent, Grid
from svg2chart.remarks import Severity
from tests.drawings import (
    BLUE,
    RED,
    YELLOW,
    Points,
    box,
    chart_of,
    drawing,
    drawn,
    shape,
    stroke,
)

WORDS = {
    StitchKind.FULL: StitchAs.FULL,
    StitchKind.THREE_QUARTER: StitchAs.THREE_QUARTER,
    StitchKind.QUARTER: StitchAs.QUARTER,
}
HOLES = dict(zip(Corner, [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)], strict=True))
astray = st.floats(-0.2, 0.2)


def told(mark: Fill, kind: StitchAs) -> Fill:
    return replace(mark, stitch_as=kind)


def half_square(corner: Corner) -> Points:
    return [hole for other, hole in HOLES.items() if other is not corner.opposite]


def quadrant(corner: Corner) -> Points:
    x, y = (position / 2 for position in HOLES[corner])
    return box(x, y, x + 0.5, y + 0.5)


def at(points: Points, column: float, row: float) -> Points:
    return [(x + column, y + row) for x, y in points]


@st.composite
def stitches(draw: st.DrawFn) -> tuple[Stitch, Points]:
    """Draw a stitch and a shape in the unit square that gives it."""
    kind, corner = draw(st.sampled_from(StitchKind)), draw(st.sampled_from(Corner))
    if kind is StitchKind.FULL:
        return Stitch(kind=kind, thread=0), box(0, 0, 1, 1)
    outline = half_square(corner)
    if kind is StitchKind.QUARTER and draw(st.booleans()):
        outline = quadrant(corner)
    return Stitch(kind=kind, thread=0, corner=corner), outline


@given(stitches(), st.integers(0, 4), st.integers(0, 3), astray, astray)
def test_a_given_stitch_is_the_one_it_is_drawn_as(
    stitch: tuple[Stitch, Points], column: int, row: int, right: float, down: float
) -> None:
    """Moved by hand, not quite to its place, over art that would choose otherwise."""
    wanted, outline = stitch
    mark = told(shape(RED, at(outline, column + right, row + down), element="given"), WORDS[wanted.kind])
    art = shape(BLUE, [(0, 0), (5, 1.3), (0, 4)], element="art")
    chart = chart_of(drawing(art, mark, wide=5, high=4))
    (held,) = chart.arrangement_at(row, column)
    assert (held.kind, held.corner, chart.threads[held.thread].colour) == (wanted.kind, wanted.corner, RED)
    reds = sum(
        s.thread == held.thread for r in range(4) for c in range(5) for s in chart.arrangement_at(r, c)
    )
    assert reds == 1
    # the tip of the art behind it may be left out, and the cloth above its slant closed beside it
    assert {one.element for one in chart.remarks} <= {"art"}
    assert all("left out" in one.what or "close over it" in one.what for one in chart.remarks)


def test_given_fractions_stand_on_cloth_without_holes_for_them_and_are_told() -> None:
    """Over one thread the middle of a square is a thread: who gives a quarter by hand has to pierce it."""
    marks = [
        told(shape(RED, at(half_square(corner), 2 * n, 0), element=f"given-{n}"), StitchAs.QUARTER)
        for n, corner in enumerate((Corner.TOP_LEFT, Corner.TOP_RIGHT))
    ]
    artwork = drawing(*marks, wide=3, high=1)
    grid = Grid.fit(artwork, square=1, extent=Extent.PAGE)
    for over, expected in ((1, {"", "given-0"}), (2, set())):
        chart = convert(artwork, grid, fabric=Fabric(count=28, over=over))
        kinds = [stitch.kind for column in (0, 2) for stitch in chart.arrangement_at(0, column)]
        assert kinds == [StitchKind.QUARTER] * 2
        assert {remark.element for remark in chart.remarks} == expected


def test_what_is_given_is_all_that_its_square_holds() -> None:
    art = shape(BLUE, box(0, 0, 3, 1))
    half = told(shape(RED, half_square(Corner.TOP_LEFT)), StitchAs.THREE_QUARTER)
    other = told(shape(YELLOW, at(half_square(Corner.BOTTOM_RIGHT), 1, 0)), StitchAs.QUARTER)
    over = told(shape(RED, at(half_square(Corner.TOP_LEFT), 1, 0)), StitchAs.THREE_QUARTER)
    assert drawn(chart_of(drawing(art, half, other, over, wide=3, high=1))) == [["r◤", "r◤y", "b"]]


@pytest.mark.parametrize(("reach", "row"), [(0.3, ["r", "b"]), (0.7, ["b", "b"])])
def test_a_given_stitch_is_gone_where_later_shapes_hide_half_of_it(reach: float, row: list[str]) -> None:
    mark = told(shape(RED, box(0, 0, 1, 1)), StitchAs.FULL)
    cover = shape(BLUE, box(1 - reach, 0, 2, 1))
    assert drawn(chart_of(drawing(mark, cover, wide=2, high=1))) == [row]


@pytest.mark.parametrize("corner", Corner)
@pytest.mark.parametrize("is_told", [False, True])
def test_half_a_square_over_a_given_stitch_leaves_it_the_quarter(corner: Corner, *, is_told: bool) -> None:
    mark = told(shape(RED, box(0, 0, 1, 1)), StitchAs.FULL)
    half = shape(BLUE, half_square(corner))
    half = told(half, StitchAs.THREE_QUARTER) if is_told else half
    chart = chart_of(drawing(mark, half, wide=1, high=1))
    held = {(s.kind, s.corner, chart.threads[s.thread].colour) for s in chart.arrangement_at(0, 0)}
    expected = {(StitchKind.THREE_QUARTER, corner, BLUE), (StitchKind.QUARTER, corner.opposite, RED)}
    assert held == expected
    assert chart.remarks == ()


@given(
    corner=st.sampled_from(Corner),
    kind=st.sampled_from([StitchKind.THREE_QUARTER, StitchKind.QUARTER]),
    ground=st.sampled_from([None, YELLOW, RED]),
)
def test_an_area_as_drawn_leaves_the_rest_of_a_square_to_what_lies_under_it(
    corner: Corner, kind: StitchKind, ground: str | None
) -> None:
    is_half = kind is StitchKind.THREE_QUARTER
    outline = half_square(corner) if is_half else quadrant(corner)
    letter = told(shape(RED, at(outline, 1, 1)), StitchAs.AREA_AS_DRAWN)
    under = [shape(ground, box(0, 0, 3, 3))] if ground else []
    chart = chart_of(drawing(*under, letter, wide=3, high=3))
    held = {(s.kind, s.corner, chart.threads[s.thread].colour) for s in chart.arrangement_at(1, 1)}
    others = [corner.opposite] if is_half else [other for other in Corner if other is not corner]
    if ground == RED:
        assert held == {(StitchKind.FULL, None, RED)}
    else:
        quarters = {(StitchKind.QUARTER, other, ground) for other in others if ground}
        assert held == {(kind, corner, RED), *quarters}
    assert chart.remarks == ()


def test_parts_that_stand_as_drawn_are_not_told_as_lost() -> None:
    """The dot of an i, half a square high and two quarters wide, above its stem."""
    letter = told(shape(RED, box(0, 0, 1, 0.5), box(0, 1, 1, 5)), StitchAs.AREA_AS_DRAWN)
    chart = chart_of(drawing(letter, wide=1, high=5))
    assert drawn(chart)[0] == ["(r◤r◥)"]
    assert chart.remarks == ()


def test_a_counter_that_shows_the_ground_in_a_quarter_is_not_told_as_lost() -> None:
    """An a five squares high: without the given stitches its bowl would be closed."""
    outline = [(2, 1), (4, 1), (5, 2), (5, 5), (2, 5), (2, 4), (4, 2), (2, 2)]
    counter = [(2.5, 4), (2.5, 4.5), (3, 4.5), (3, 4)]
    letter = told(shape(RED, outline, counter), StitchAs.AREA_AS_DRAWN)
    chart = chart_of(drawing(shape(YELLOW, box(0, 0, 7, 7)), letter, wide=7, high=7))
    held = {(s.kind, s.corner, chart.threads[s.thread].colour) for s in chart.arrangement_at(4, 2)}
    assert (StitchKind.QUARTER, Corner.TOP_RIGHT, YELLOW) in held
    assert chart.remarks == ()


def test_of_stitches_that_do_not_fit_together_the_upper_ones_stay() -> None:
    lower = told(shape(RED, box(0, 0, 1, 1), element="lower"), StitchAs.FULL)
    upper = told(shape(BLUE, quadrant(Corner.TOP_RIGHT), element="upper"), StitchAs.QUARTER)
    chart = chart_of(drawing(lower, upper, wide=1, high=1))
    assert drawn(chart) == [["(b◥)"]]
    assert [(r.element, r.severity) for r in chart.remarks] == [("lower", Severity.LEFT_OUT)]


def test_a_shape_that_is_no_single_stitch_remains_an_area_with_a_remark() -> None:
    large = told(shape(RED, box(0, 0, 3, 1), element="large"), StitchAs.FULL)
    round_one = told(shape(BLUE, box(0, 1, 1, 2), element="cornerless"), StitchAs.QUARTER)
    chart = chart_of(drawing(large, round_one, wide=3, high=2))
    assert drawn(chart) == [["r", "r", "r"], ["b", ".", "."]]
    assert [(r.element, r.severity) for r in chart.remarks] == [("large", Severity.GUESSED)]
    assert "as 1 more are" in chart.remarks[0].what
    assert "is 3.00 by 1.00 squares" in chart.remarks[0].what


def test_a_stitch_far_off_its_place_is_a_guess() -> None:
    mark = told(shape(RED, box(0.4, 0.1, 1.4, 1.1), element="astray"), StitchAs.FULL)
    chart = chart_of(drawing(mark, wide=3, high=2))
    assert drawn(chart) == [["r", ".", "."], [".", ".", "."]]
    assert [(r.element, r.severity) for r in chart.remarks] == [("astray", Severity.GUESSED)]


def test_a_stitch_moved_between_squares_onto_a_later_one_is_told_as_lost() -> None:
    moved = told(shape(RED, box(0.5, 0, 1.5, 1), element="moved"), StitchAs.FULL)
    later = told(shape(BLUE, box(1, 0, 2, 1), element="later"), StitchAs.FULL)
    chart = chart_of(drawing(moved, later, wide=2, high=1))
    assert drawn(chart) == [[".", "b"]]
    assert [(r.element, r.severity) for r in chart.remarks] == [("moved", Severity.LEFT_OUT)]


halves = st.tuples(st.integers(0, 10), st.integers(0, 10)).map(lambda hole: (hole[0] / 2, hole[1] / 2))


@given(st.lists(halves, min_size=2, max_size=5, unique=True), st.tuples(astray, astray))
@example([(0.5, 0.0), (1.5, 0.0), (2.5, 0.0)], (0.0, 0.0))
def test_lines_as_drawn_run_between_their_own_holes(holes: Points, off: tuple[float, float]) -> None:
    """Each straight piece is one backstitch, however long and from whatever hole, centre or side middle."""
    near = [(x + off[0] / 2, y + off[1] / 2) for x, y in holes]  # not quite there
    line = replace(stroke(RED, near, width=2), stitch_as=StitchAs.BACKSTITCH_AS_DRAWN)
    chart = chart_of(drawing(line, _frame(), wide=6, high=6))
    wanted = {frozenset(ends) for ends in pairwise(holes)}
    assert {frozenset((b.start, b.end)) for b in chart.backstitch} == wanted
    # several that all lie off the holes by the same may have been moved there together
    places = {(x % 1, y % 1) for x, y in holes}
    assert bool(chart.remarks) == (len(holes) > 2 and len(places) == 1 and places != {(0, 0)})


def _frame() -> Fill:
    """Return a stitch that keeps charts from being empty."""
    return told(shape(BLUE, box(5, 5, 6, 6)), StitchAs.FULL)


def test_later_lines_as_drawn_win_and_hidden_ones_are_gone() -> None:
    lower = stroke(RED, [(1, 1), (4, 1)], element="lower")
    upper = stroke(BLUE, [(4, 1), (1, 1)], element="upper")
    hidden = stroke(YELLOW, [(1, 3), (4, 3)], element="hidden")
    lines = [replace(line, stitch_as=StitchAs.BACKSTITCH_AS_DRAWN) for line in (lower, upper, hidden)]
    chart = chart_of(drawing(*lines, shape(BLUE, box(1, 2, 3, 4)), wide=6, high=6))
    blue = [t.colour for t in chart.threads].index(BLUE)
    assert chart.backstitch == (Backstitch(thread=blue, start=(1, 1), end=(4, 1)),)
    assert [(r.element, r.severity) for r in chart.remarks] == [("upper", Severity.SIMPLIFIED)]


@given(st.lists(halves, min_size=1, max_size=5, unique=True), st.sampled_from([0.1, 0.25, 0.5]))
def test_knots_lie_at_their_own_holes(holes: Points, radius: float) -> None:
    dots = [
        told(shape(RED, box(x - radius, y - radius, x + radius, y + radius)), StitchAs.KNOT) for x, y in holes
    ]
    chart = chart_of(drawing(*dots, _frame(), wide=6, high=6))
    assert {knot.at for knot in chart.knots} == set(holes)
    assert {chart.threads[knot.thread].colour for knot in chart.knots} == {RED}
    assert chart.remarks == ()


def test_two_knots_never_share_a_hole() -> None:
    one = told(shape(RED, box(1, 1, 1.4, 1.4), element="one"), StitchAs.KNOT)
    two = told(shape(BLUE, box(0.9, 0.9, 1.3, 1.3), element="two"), StitchAs.KNOT)
    chart = chart_of(drawing(one, two, wide=3, high=3))
    assert [(knot.at, chart.threads[knot.thread].colour) for knot in chart.knots] == [((1, 1), BLUE)]
    assert [(r.element, r.severity) for r in chart.remarks] == [("one", Severity.LEFT_OUT)]
    assert np.all(chart.squares == 0)
