"""Charts that a stitcher can work out by hand."""

import numpy as np
import pytest

from svg2chart.arranging.patterns import Fractions
from svg2chart.chart import Corner, StitchKind, stitch_counts
from svg2chart.errors import GridError
from tests.drawings import (
    BLUE,
    GREEN,
    RED,
    YELLOW,
    box,
    chart_of,
    diamond,
    drawing,
    drawn,
    shape,
    squares,
)


def test_a_diamond_has_three_quarters_along_its_edges() -> None:
    chart = chart_of(drawing(shape(RED, diamond(3, 3, 3)), wide=6, high=6))
    assert chart.remarks == ()
    assert drawn(chart) == squares("""
        .  .  r◢ r◣ .  .
        .  r◢ r  r  r◣ .
        r◢ r  r  r  r  r◣
        r◥ r  r  r  r  r◤
        .  r◥ r  r  r◤ .
        .  .  r◥ r◤ .  .
    """)


def test_a_sail_that_is_nearly_as_light_as_the_cloth_keeps_its_corners() -> None:
    sail = [(1.0, 1.0), (6.0, 6.0), (1.0, 6.0)]
    chart = chart_of(drawing(shape("#fdf3cf", sail), wide=7, high=7))
    assert drawn(chart) == squares("""
        .  .  .  .  .  .  .
        .  ?◣ .  .  .  .  .
        .  ?  ?◣ .  .  .  .
        .  ?  ?  ?◣ .  .  .
        .  ?  ?  ?  ?◣ .  .
        .  ?  ?  ?  ?  ?◣ .
        .  .  .  .  .  .  .
    """)


def test_a_diamond_of_radius_8_in_numbers() -> None:
    # |x| + |y| <= n on holes: 2 n (n - 1) squares inside and 4 n halves, n of each corner; by counting
    chart = chart_of(drawing(shape(RED, diamond(8, 8, 8)), wide=16, high=16))
    assert stitch_counts(chart) == {(0, StitchKind.FULL): 112, (0, StitchKind.THREE_QUARTER): 32}
    corners = [
        s.corner for row in range(16) for column in range(16) for s in chart.arrangement_at(row, column)
    ]
    assert [corners.count(corner) for corner in Corner] == [8, 8, 8, 8]


STACK = [shape(BLUE, diamond(4, 4, 4)), shape(RED, diamond(4, 4, 2)), shape(YELLOW, diamond(4, 4, 1))]


def test_three_layers_step_down() -> None:
    # the upper of two colours gets the three-quarter stitch, the next lower one the quarter: magazine
    # guides on fractional stitches (the colour of the object in front)
    assert drawn(chart_of(drawing(*STACK, wide=8, high=8))) == squares("""
        .  .  .  b◢  b◣  .  .  .
        .  .  b◢ b   b   b◣ .  .
        .  b◢ b  r◢b r◣b b  b◣ .
        b◢ b  r◢b y◢r y◣r r◣b b b◣
        b◥ b  r◥b y◥r y◤r r◤b b b◤
        .  b◥ b  r◥b r◤b b  b◤ .
        .  .  b◥ b   b   b◤ .  .
        .  .  .  b◥  b◤  .  .  .
    """)


def halves(colours: str) -> list:
    """Two triangles that share the diagonal of a 3 by 3 box, in the order of painting."""
    upper_left = shape(RED, [(0, 0), (3, 0), (0, 3)])
    lower_right = shape(BLUE, [(3, 0), (3, 3), (0, 3)])
    return [upper_left, lower_right] if colours == "red first" else [lower_right, upper_left]


def test_paint_order_decides_who_gets_the_three_quarter() -> None:
    assert drawn(chart_of(drawing(*halves("red first"), wide=3, high=3))) == squares("""
        r   r   b◢r
        r   b◢r b
        b◢r b   b
    """)
    assert drawn(chart_of(drawing(*halves("blue first"), wide=3, high=3))) == squares("""
        r   r   r◤b
        r   r◤b b
        r◤b b   b
    """)


@pytest.mark.parametrize("offset", [0.0, 0.25, 0.5, 0.75])
def test_sides_of_a_box_have_no_triangles(offset: float) -> None:
    low, high = 2 + offset, 8 + offset
    chart = chart_of(drawing(shape(RED, box(low, low, high, high)), wide=11, high=11))
    sides = [chart.arrangement_at(r, c) for r in range(11) for c in range(11) if 4 <= r <= 6 or 4 <= c <= 6]
    assert {s.kind for arrangement in sides for s in arrangement} == {StitchKind.FULL}


def test_one_eighth_and_seven_eighths_need_no_fraction() -> None:
    # an edge at 45 degrees half a square beside the holes: nothing or all of a square, never a fraction
    chart = chart_of(drawing(shape(GREEN, [(0.5, 0), (6, 0), (6, 5.5)]), wide=6, high=6))
    assert (0, StitchKind.QUARTER) not in stitch_counts(chart)


def test_fractions_can_be_left_out() -> None:
    artwork = drawing(shape(RED, diamond(3, 3, 3)), wide=6, high=6)
    whole = chart_of(artwork, fractions=Fractions.NONE)
    assert {kind for _, kind in stitch_counts(whole)} == {StitchKind.FULL}


def test_what_is_too_small_is_reported_by_its_element() -> None:
    artwork = drawing(
        shape(RED, box(0, 0, 4, 4), element="hull"),
        shape(BLUE, box(5.1, 1.1, 5.3, 1.3), element="rivet"),
        wide=6,
        high=4,
    )
    chart = chart_of(artwork)
    assert [(r.element, r.what) for r in chart.remarks] == [
        ("rivet", "too small for a stitch, it shows 0.04 of a square, at row 2, column 6")
    ]


def test_a_fifth_of_a_square_is_never_lost() -> None:
    artwork = drawing(shape(RED, box(0, 0, 4, 4)), shape(BLUE, box(1.2, 1.2, 1.7, 1.7)), wide=4, high=4)
    chart = chart_of(artwork)
    # its middle lies towards the top left of the square
    assert [square for row in drawn(chart) for square in row if "b" in square] == ["b◤r"]
    assert chart.remarks == ()


def test_a_thin_slanted_bar_is_worked_where_it_fills_a_quarter_of_a_square() -> None:
    # 0.4 of a square wide and some 9 long: too thin to win any square, and no line of backstitch either
    bar = shape(RED, [(1, 1), (8.6, 5.0), (8.4, 5.35), (0.8, 1.35)], element="boom")
    chart = chart_of(drawing(bar, wide=10, high=7))
    assert len([square for row in drawn(chart) for square in row if square != "."]) >= 5
    assert {remark.element for remark in chart.remarks} <= {"boom"}


def test_dots_too_small_for_stitches_are_named_each() -> None:
    dots = [shape(RED, box(c + 0.4, 0.4, c + 0.6, 0.6), element=f"dot{c}") for c in range(1, 4)]
    chart = chart_of(drawing(shape(BLUE, box(0, 2, 4, 4)), *dots, wide=4, high=4))
    assert [remark.element for remark in chart.remarks] == ["dot1", "dot2", "dot3"]


def test_nothing_large_enough_for_a_stitch() -> None:
    with pytest.raises(GridError, match="large enough for a stitch"):
        chart_of(drawing(shape(RED, box(0.1, 0.1, 0.2, 0.2)), wide=2, high=2))


def test_a_rounded_corner_keeps_the_squares_that_it_fills_for_the_most_part() -> None:
    """Two squares beside the middle of an arc of radius 6 are five sixths full; one alone cannot change well.

    At 4 squares from the middle the arc is sqrt(36 - 16) = 4.47 away, at 3 squares sqrt(36 - 9) = 5.20.
    """
    turns = np.arange(16) * (np.pi / 2 / 15)
    points = [
        (x + 6 * np.cos(turn + start), y + 6 * np.sin(turn + start))
        for x, y, start in ((10, 10, 0), (6, 10, np.pi / 2), (6, 6, np.pi), (10, 6, np.pi * 3 / 2))
        for turn in turns
    ]
    assert drawn(chart_of(drawing(shape(RED, points), wide=16, high=16)))[:8] == squares("""
        .  .  .  r◢ r r r r r r r r r◣ .  .  .
        .  r◢ r  r  r r r r r r r r r  r  r◣ .
        .  r  r  r  r r r r r r r r r  r  r  .
        r◢ r  r  r  r r r r r r r r r  r  r  r◣
        r  r  r  r  r r r r r r r r r  r  r  r
        r  r  r  r  r r r r r r r r r  r  r  r
        r  r  r  r  r r r r r r r r r  r  r  r
        r  r  r  r  r r r r r r r r r  r  r  r
    """)
