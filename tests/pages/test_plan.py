"""The plan: every square on one page, breaks at tens, room for all."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.chart import Backstitch, Chart, Corner, Stitch, StitchKind
from svg2chart.errors import PageError
from svg2chart.pages.plan import (
    A4,
    BOX_WIDTH_MM,
    LETTER,
    OVERLAP,
    Paper,
    cut,
    plan_chart,
    smallest_square_mm,
)
from svg2chart.pages.style import LARGE, USUAL, Style
from tests.pages.samples import threads

SIDES = st.integers(1, 400) | st.sampled_from([49, 50, 51, 58, 59, 60, 61, 70, 72, 73, 100, 101, 110, 111])


def blank(rows: int, columns: int) -> Chart:
    return Chart(threads=(), arrangements=((),), squares=np.zeros((rows, columns), dtype=np.int32))


@given(SIDES, SIDES)
@example(1, 1)
@example(200, 200)
def test_each_square_is_on_exactly_one_page(rows: int, columns: int) -> None:
    plan = plan_chart(blank(rows, columns), USUAL)
    counted = np.zeros((rows, columns), dtype=int)
    for window in plan.windows:
        counted[window.first_row : window.end_row, window.first_column : window.end_column] += 1
    assert (counted == 1).all()
    assert [window.number for window in plan.windows] == list(range(1, plan.across * plan.down + 1))


@given(SIDES, SIDES)
def test_pages_break_at_tens_and_leave_no_strip(rows: int, columns: int) -> None:
    for window in plan_chart(blank(rows, columns), USUAL).windows:
        assert window.first_row % 10 == 0
        assert window.first_column % 10 == 0
        assert window.end_row % 10 == 0 or window.end_row == rows
        assert window.end_column % 10 == 0 or window.end_column == columns
        assert window.end_row - window.first_row >= min(rows, 11)
        assert window.end_column - window.first_column >= min(columns, 11)


@given(SIDES, SIDES, st.sampled_from([USUAL, LARGE]))
def test_every_page_fits_its_room(rows: int, columns: int, style: Style) -> None:
    plan = plan_chart(blank(rows, columns), style)
    for window in plan.windows:
        wide = (window.end_column - window.shown_column) * plan.square_mm
        high = (window.end_row - window.shown_row) * plan.square_mm
        assert wide <= style.grid_wide + 1e-6
        assert high <= style.grid_high + 1e-6
        left, top = plan.origin(window)
        assert left == pytest.approx(BOX_WIDTH_MM - left - wide)
        assert top == style.grid_top
        assert 3.0 <= plan.square_mm <= 5.0
        assert plan.square_mm == 5.0 or style is USUAL


@given(SIDES, SIDES)
def test_neighbours_know_each_other_and_share_two_squares(rows: int, columns: int) -> None:
    plan = plan_chart(blank(rows, columns), USUAL)
    by_number = {window.number: window for window in plan.windows}
    for window in plan.windows:
        assert (window.left is None) == (window.first_column == 0)
        assert (window.above is None) == (window.first_row == 0)
        if window.left is not None:
            left = by_number[window.left]
            assert left.right == window.number
            assert (left.first_row, left.end_row) == (window.first_row, window.end_row)
            assert left.end_column - window.shown_column == OVERLAP
        if window.above is not None:
            above = by_number[window.above]
            assert above.below == window.number
            assert (above.first_column, above.end_column) == (window.first_column, window.end_column)
            assert above.end_row - window.shown_row == OVERLAP


@given(st.integers(51, 300), st.integers(0, 2**32 - 1))
def test_cuts_do_the_least_harm_of_all_balanced_ones(length: int, seed: int) -> None:
    """Against every way to share out the tens (brute force)."""
    harm = np.random.default_rng(seed).integers(0, 50, length + 10).tolist()
    cuts = cut(length, 50, 50, harm=harm)
    sizes = [(end + 9) // 10 - start // 10 for start, end in pairwise(cuts)]
    pages, tens = len(sizes), -(-length // 10)
    assert pages == -(-length // 50)
    assert max(sizes) - min(sizes) <= 1
    ways = [[]]
    for _ in range(pages):
        ways = [[*way, size] for way in ways for size in (tens // pages, tens // pages + 1)]
    harms = [
        sum(harm[10 * sum(way[:i])] for i in range(1, pages))
        for way in ways
        if sum(way) == tens and max(way) <= 5
    ]
    assert sum(harm[c] for c in cuts[1:-1]) == min(harms)


def test_a_cut_goes_round_what_belongs_together() -> None:
    """Eleven tens on three pages: a line of backstitch and a patch lie across the middle one."""
    squares = np.zeros((1, 110), dtype=np.int32)
    squares[0, 55:65] = 1
    chart = Chart(
        threads=threads(1),
        arrangements=((), (Stitch(kind=StitchKind.FULL, thread=0),)),
        squares=squares,
        backstitch=(Backstitch(thread=0, start=(59, 0), end=(61, 1)),),
    )
    plan = plan_chart(chart, USUAL)
    assert plan.across == 3
    assert all(window.end_column != 60 for window in plan.windows)


def test_a_cut_goes_round_fractions_that_touch() -> None:
    """Four slanting edges run across column 50: the cut between the two pages moves on by a ten."""
    squares = np.zeros((4, 110), dtype=np.int32)
    squares[:, 49] = 1
    squares[:, 50] = 2
    three = [Stitch(kind=StitchKind.THREE_QUARTER, thread=0, corner=corner) for corner in Corner]
    arrangements = ((), (three[0],), (three[2],))
    chart = Chart(threads=threads(1), arrangements=arrangements, squares=squares)
    for rim in (chart, Chart(threads=(), arrangements=((),), squares=np.zeros((4, 110), dtype=np.int32))):
        cuts = {window.first_column for window in plan_chart(rim, USUAL).windows}
        assert (50 in cuts) == (rim is not chart) or 40 in cuts


@pytest.mark.parametrize(
    ("rows", "columns", "square_mm", "across", "down"),
    [
        (20, 20, 5.0, 1, 1),  # never larger than 5 mm
        (33, 34, 5.0, 1, 1),
        (44, 35, 4.9, 1, 1),  # 174 mm / 35 = 4.97
        (74, 58, 3.0, 1, 1),  # 174 / 58 = 3.0, 223.4 / 74 = 3.02
        (74, 59, 3.0, 2, 1),
        (75, 58, 3.0, 1, 2),
    ],
)
def test_squares_are_as_large_as_the_fewest_pages_allow(
    rows: int, columns: int, square_mm: float, across: int, down: int
) -> None:
    plan = plan_chart(blank(rows, columns), USUAL)
    assert (plan.across, plan.down) == (across, down)
    assert plan.square_mm == square_mm


def test_fractions_in_later_symbols_ask_for_larger_squares() -> None:
    def with_fraction(thread: int) -> Chart:
        stitch = Stitch(kind=StitchKind.QUARTER, thread=thread, corner=Corner.TOP_LEFT)
        return Chart(
            threads=threads(40), arrangements=((), (stitch,)), squares=np.ones((1, 1), dtype=np.int32)
        )

    assert smallest_square_mm(with_fraction(29)) == 3.0
    assert smallest_square_mm(with_fraction(30)) == 3.6


def test_too_many_pages_are_refused() -> None:
    with pytest.raises(PageError, match=r"needs 4900 pages\. Make it smaller"):
        plan_chart(blank(4900, 3500), USUAL)


def test_sheets_hold_the_common_box() -> None:
    """A4 by ISO 216, Letter by ANSI Y14.1; the box is the smaller of each side."""
    assert (A4.width_mm, A4.height_mm) == (210, 297)
    assert (LETTER.width_mm, LETTER.height_mm) == pytest.approx((8.5 * 25.4, 11 * 25.4))
    with pytest.raises(ValueError, match="at least"):
        Paper("A5", 148, 210)
