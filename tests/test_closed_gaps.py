"""Dashes in stitches that lie too near to each other to stay apart are told, by element."""

from dataclasses import replace

import pytest

from svg2chart.artwork import Stroke
from svg2chart.geometry.outline import Cap
from svg2chart.remarks import Remark, Severity
from tests.drawings import RED, chart_of, drawing, stroke


def dashed(gap: float, cap: Cap = Cap.BUTT) -> Stroke:
    line = stroke(RED, [(1, 2), (19, 2)], width=1.0, element="rope")
    return replace(line, style=replace(line.style, dashes=(2.0, gap), cap=cap))


@pytest.mark.parametrize(
    ("gap", "cap", "apart"),
    [(0.25, Cap.BUTT, "0.25"), (0.45, Cap.BUTT, "0.45"), (1.3, Cap.SQUARE, "0.30"), (1.3, Cap.ROUND, "0.30")],
)
def test_narrow_gaps_are_told(gap: float, cap: Cap, apart: str) -> None:
    chart = chart_of(drawing(dashed(gap, cap), wide=20, high=4))
    what = f"its dashes are {apart} of a square apart, too near to stay apart"
    assert Remark(element="rope", what=what, severity=Severity.SIMPLIFIED) in chart.remarks


@pytest.mark.parametrize(("gap", "cap"), [(1.0, Cap.BUTT), (1.0, Cap.SQUARE)])
def test_wide_gaps_and_dashes_that_touch_are_not(gap: float, cap: Cap) -> None:
    assert chart_of(drawing(dashed(gap, cap), wide=20, high=4)).remarks == ()


def test_dashes_a_square_apart_that_close_all_the_same_are_told() -> None:
    """Half in one row and half in the next both rows fill, gaps and all."""
    chart = chart_of(drawing(dashed(2.0, Cap.SQUARE), wide=20, high=4))
    is_closed = bool((chart.squares > 0).any(axis=0).all())
    assert is_closed == any("cloth" in remark.what for remark in chart.remarks if remark.element == "rope")


def test_gaps_of_a_square_stay_open() -> None:
    chart = chart_of(drawing(dashed(1.0), wide=20, high=4))
    filled = (chart.squares > 0).any(axis=0)
    assert (filled[1:-1] != filled[:-2]).sum() >= 11
