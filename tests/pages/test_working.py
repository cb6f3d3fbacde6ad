"""The drawings of stitches: where the needle comes up and goes down, number by number, against handbooks.

A number stands beside the hole that it belongs to: what is read is the nearest dot. Sources: Encyclopedia of
Needlework, tapestry chapter (all crosses lean one way, the lower legs as writing does); guides of cross
stitch magazines (fractions, backstitch, French knots of two windings).
"""

import math
from itertools import pairwise

import numpy as np
import pytest

from svg2chart.chart import Arrangement, Backstitch, Chart, Corner, Knot, Stitch, StitchKind
from svg2chart.pages.edition import Edition
from svg2chart.pages.sheet import Dot, Mark, Point, Role, Tagged, Text, Trail
from svg2chart.pages.style import LARGE, USUAL, Style
from svg2chart.pages.working import working_pages
from tests.pages.samples import threads

STYLES = pytest.mark.parametrize("style", [USUAL, LARGE], ids=["usual", "large"])
CORNERS = pytest.mark.parametrize("corner", list(Corner))
FULL = Stitch(kind=StitchKind.FULL, thread=0)


def charted(*arrangements: Arrangement, lines: tuple = (), knots: tuple = ()) -> Chart:
    return Chart(
        threads=threads(2),
        arrangements=((), *arrangements),
        squares=np.array([[*range(1, len(arrangements) + 1), 0, 0]], dtype=np.int32),
        backstitch=lines,
        knots=knots,
    )


def flat(marks: tuple[Mark, ...]) -> list[Mark]:
    return [leaf for mark in marks for leaf in (flat(mark.marks) if isinstance(mark, Tagged) else [mark])]


def figures(chart: Chart, style: Style) -> list[list[Mark]]:
    """Return the drawings in the order of the pages."""
    marks = [mark for page in working_pages(chart, Edition(style=style)) for mark in page.marks]
    return [flat(m.marks) for m in marks if isinstance(m, Tagged) and m.element.role is Role.FIGURE]


def needle(figure: list[Mark]) -> list[Point]:
    """Return where the needle goes, from 1 on; in mm."""
    dots = [(mark.x, mark.y) for mark in figure if isinstance(mark, Dot)]
    found: dict[int, Point] = {}
    for text in figure:
        if isinstance(text, Text):
            beside = min(dots, key=lambda dot: math.dist(dot, (text.x, text.y - 0.35 * text.size)))
            for number in text.text.split(", "):
                assert int(number) not in found
                found[int(number)] = beside
    assert sorted(found) == list(range(1, len(found) + 1))
    return [found[number] for number in sorted(found)]


def in_squares(points: list[Point], style: Style) -> list[Point]:
    """Return places in squares of the drawing, from its least x and y: columns and rows of holes, y down."""
    left, top = min(x for x, _ in points), min(y for _, y in points)
    return [(round((x - left) / style.panel, 3), round((y - top) / style.panel, 3)) for x, y in points]


def legs(figure: list[Mark], style: Style) -> list[tuple[Point, Point]]:
    points = in_squares(needle(figure), style)
    return list(zip(points[::2], points[1::2], strict=True))


@STYLES
def test_lower_legs_rise_as_writing_does_and_upper_legs_cross_them(style: Style) -> None:
    one, row = figures(charted((FULL,)), style)
    assert legs(one, style) == [((0, 1), (1, 0)), ((1, 1), (0, 0))]
    lower, upper = legs(row, style)[:3], legs(row, style)[3:]
    assert lower == [((c, 1), (c + 1, 0)) for c in range(3)]  # the row outwards
    assert upper == [((c + 1, 1), (c, 0)) for c in reversed(range(3))]  # and back


@STYLES
@CORNERS
def test_a_three_quarter_stitch_is_a_quarter_and_the_half_across_it(corner: Corner, style: Style) -> None:
    """The quarter ends in the middle of the square; the half runs between the corners beside its own."""
    stitch = Stitch(kind=StitchKind.THREE_QUARTER, thread=0, corner=corner)
    [figure] = figures(charted((stitch,)), style)
    quarter, half = legs(figure, style)
    x, y = corner.place
    assert quarter == ((x, y), (0.5, 0.5))
    assert set(half) == {(1 - x, y), (x, 1 - y)}


@STYLES
@CORNERS
def test_a_quarter_stitch_goes_from_its_corner_into_the_middle(corner: Corner, style: Style) -> None:
    stitch = Stitch(kind=StitchKind.QUARTER, thread=0, corner=corner)
    [figure] = figures(charted((stitch,)), style)
    dots = [(mark.x, mark.y) for mark in figure if isinstance(mark, Dot)]
    up, down = needle(figure)
    all_round = in_squares([*dots, up, down], style)
    assert all_round[-2:] == [corner.place, (0.5, 0.5)]


@STYLES
@CORNERS
def test_in_a_shared_square_both_colours_meet_in_the_middle(corner: Corner, style: Style) -> None:
    """The quarter of the lower colour, then quarter and half of the upper one."""
    upper = Stitch(kind=StitchKind.THREE_QUARTER, thread=0, corner=corner)
    lower = Stitch(kind=StitchKind.QUARTER, thread=1, corner=corner.opposite)
    *alone, shared = figures(charted((upper, lower)), style)
    assert len(alone) == 1
    first, quarter, half = legs(shared, style)
    x, y = corner.place
    assert first == ((1 - x, 1 - y), (0.5, 0.5))
    assert quarter == ((x, y), (0.5, 0.5))
    assert set(half) == {(1 - x, y), (x, 1 - y)}
    grounds = [mark.ink for mark in shared if isinstance(mark, Trail)][1::2]
    assert grounds[1] == grounds[2] != grounds[0]


@STYLES
def test_backstitch_comes_up_one_ahead_and_goes_back_to_the_stitch_before(style: Style) -> None:
    [figure] = figures(charted(lines=(Backstitch(thread=0, start=(0, 0), end=(1, 0)),)), style)
    done = legs(figure, style)
    assert all(up == (down[0] + 1, down[1]) for up, down in done)
    assert all(later[1] == earlier[0] for earlier, later in pairwise(done))


@STYLES
def test_a_knot_has_two_windings_and_goes_down_beside_its_hole(style: Style) -> None:
    [figure] = figures(charted(knots=(Knot(thread=0, at=(1, 0)),)), style)
    up, down = needle(figure)
    assert up[1] == down[1]
    assert 0 < down[0] - up[0] < style.panel
    trails = [mark for mark in figure if isinstance(mark, Trail)]
    [rod] = [mark for mark in trails if mark.ink == "#303030"]
    after = trails[trails.index(rod) + 1 :]
    assert len({mark.points for mark in after}) == 2  # over the needle: the windings
    for winding in after:
        assert crosses(winding.points, rod.points)
    assert math.dist(rod.points[0], down) < 0.15 * style.panel  # the needle is about to go down


def crosses(one: tuple[Point, ...], other: tuple[Point, ...]) -> bool:
    """Whether two straight lines cross: the ends of each lie on different sides of the other."""

    def side(a: Point, b: Point, p: Point) -> float:
        return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])

    (a, b), (c, d) = one, other
    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


@STYLES
def test_numbers_do_not_touch_each_other(style: Style) -> None:
    """Each has 0.6 of its size to itself: two figures of a body face are 1.0 wide, a line is 0.7 high."""
    three = Stitch(kind=StitchKind.THREE_QUARTER, thread=0, corner=Corner.TOP_LEFT)
    shared = (three, Stitch(kind=StitchKind.QUARTER, thread=1, corner=Corner.BOTTOM_RIGHT))
    line = (Backstitch(thread=0, start=(0, 0), end=(1, 0)),)
    chart = charted((FULL,), shared, lines=line, knots=(Knot(thread=0, at=(1, 0)),))
    for figure in figures(chart, style):
        texts = [mark for mark in figure if isinstance(mark, Text)]
        for text, other in ((a, b) for i, a in enumerate(texts) for b in texts[:i]):
            room = 0.25 * text.size * (len(text.text) + len(other.text))
            assert abs(text.y - other.y) > 0.7 * text.size or abs(text.x - other.x) > room
