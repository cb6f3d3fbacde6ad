"""Starts, ways from the centre, and steps that read back to the stitches of their block."""

import re
from collections import Counter

import numpy as np
import pytest
from hypothesis import given

from svg2chart.chart import Chart, Corner, Fabric, Stitch, StitchKind, Thread
from svg2chart.guiding.legs import Part
from svg2chart.guiding.order import Work, plan_work
from svg2chart.guiding.starts import StartKind, find_starts, way_to_hole, way_to_square
from svg2chart.guiding.steps import tell_steps
from svg2chart.guiding.telling import tell_rules, tell_work
from tests.strategies import charts

PARTS = {
    "out and back": ["lower leg", "upper leg"],
    "cross": ["lower leg", "upper leg"],
    "lower leg": ["lower leg"],
    "upper leg": ["upper leg"],
    "three-quarter": ["quarter", "half"],
    "quarter": ["quarter"],
}
SINGULAR = {"crosses": "cross", "lower legs": "lower leg", "upper legs": "upper leg"}


@given(charts())
def test_loops_have_even_strands_and_hang_on_full_stitches(chart: Chart) -> None:
    blocks = plan_work(chart)
    for block, start in zip(blocks, find_starts(chart, blocks), strict=True):
        strands = chart.threads[block.thread].cross_strands
        has_full = any(leg.part is Part.LOWER for leg in block.legs)
        if block.work is Work.CROSSES and has_full and strands % 2 == 0:
            assert start.kind is StartKind.LOOP
        if start.kind is StartKind.LOOP:
            assert strands % 2 == 0
            assert start.square is not None
            kinds = {s.kind for s in chart.arrangement_at(*start.square) if s.thread == block.thread}
            assert kinds == {StitchKind.FULL}


@given(charts())
def test_end_is_run_under_a_full_stitch_that_is_worked_and_none_is_nearer(chart: Chart) -> None:
    blocks = plan_work(chart)
    worked: set[tuple[int, int]] = set()
    for block, start in zip(blocks, find_starts(chart, blocks), strict=True):
        if start.kind is StartKind.UNDER:
            assert start.under is not None
            away = {
                square: abs(complex(square[1] + 0.5, square[0] + 0.5) - complex(*start.hole) / 2)
                for square in worked
            }
            assert away[start.under] == pytest.approx(min(away.values()))
        elif block.legs[0].part not in (Part.LOWER, Part.UPPER):
            assert not worked
        worked |= {leg.square for leg in block.legs if leg.part is Part.UPPER and leg.square is not None}


@pytest.mark.parametrize(
    ("size", "square", "way"),
    [
        ((4, 4), (1, 2), "1 right, 1 up"),  # the centre is a hole: the squares round it are 1
        ((4, 4), (2, 1), "1 left, 1 down"),
        ((4, 4), (3, 3), "2 right, 2 down"),
        ((5, 5), (2, 2), "at the centre"),  # the centre is the middle of a square
        ((5, 5), (0, 3), "1 right, 2 up"),
        ((5, 4), (2, 0), "2 left"),  # middle row, two columns on each side
    ],
)
def test_way_from_the_centre_counts_squares(size: tuple[int, int], square: tuple[int, int], way: str) -> None:
    chart = Chart(threads=(), arrangements=((),), squares=np.zeros(size, np.int32))
    assert way_to_square(chart, square) == way


def test_way_to_a_hole_counts_sides() -> None:
    chart = Chart(threads=(), arrangements=((),), squares=np.zeros((5, 4), np.int32))
    assert way_to_hole(chart, (4, 4)) == "0.5 up"
    assert way_to_hole(chart, (0, 10)) == "2 left, 2.5 down"


@given(charts())
def test_steps_read_back_to_the_stitches_of_the_block(chart: Chart) -> None:
    for block in plan_work(chart):
        if block.work is not Work.CROSSES:
            continue
        wanted: Counter[tuple[str, int, int]] = Counter()
        for leg in block.legs:
            row, column = leg.square or (0, 0)
            wanted[leg.part.value, row + 1, column + 1] += 1
        assert read_steps(tell_steps(block)) == wanted


def read_steps(steps: list[str]) -> Counter[tuple[str, int, int]]:
    """Return each leg that the steps tell, with its row and column."""
    found: Counter[tuple[str, int, int]] = Counter()
    for step in steps:
        if step.startswith("Carry"):
            continue
        matched = re.fullmatch(r"Row (\d+): (.*)", step)
        assert matched is not None
        row, words = int(matched[1]), matched[2]
        words, _, turn = words.partition(" out and back, ")
        kind = "out and back" if turn or words.endswith("out and back") else words.split(" in column")[0]
        told = [(SINGULAR.get(kind, kind), [int(number) for number in re.findall(r"\d+", words)])]
        if turn:
            fraction, column = turn.removesuffix(" at the turn").split(" in column ")
            told.append((fraction, [int(column)]))
        for what, numbers in told:
            first, last = numbers[0], numbers[-1]
            way = 1 if last >= first else -1
            for column in range(first, last + way, way):
                for part in PARTS[what]:
                    found[part, row, column] += 1
    return found


def chart(*, over: int = 1, strands: int = 2, kind: StitchKind = StitchKind.FULL) -> Chart:
    corner = None if kind is StitchKind.FULL else Corner.TOP_LEFT
    thread = Thread(letter="A", code="", name="Lamp", colour="#112233", symbol="disc", cross_strands=strands)
    return Chart(
        fabric=Fabric(count=14 * over, over=over),
        threads=(thread,),
        arrangements=((), (Stitch(kind=kind, thread=0, corner=corner),)),
        squares=np.ones((2, 3), np.int32),
    )


def test_guide_tells_only_what_the_chart_needs() -> None:
    three = StitchKind.THREE_QUARTER
    for words, has, has_not in [
        ("Loop start", chart(), chart(strands=1)),
        ("Pierce", chart(kind=three), chart(kind=three, over=2)),
        ("sharp needle", chart(kind=three), chart()),
        ("Three-quarter stitch", chart(kind=three, over=2), chart()),
    ]:
        assert words.lower() in " ".join(tell_rules(has)).lower()
        assert words.lower() not in " ".join(tell_rules(has_not)).lower()


def test_block_is_told_with_its_place_and_start() -> None:
    piece = chart()
    (told,) = tell_work(piece, plan_work(piece))
    assert told.title == "block 1, lamp (A): 6 full stitches, rows 1 and 2, columns 1 to 3"
    assert told.start.startswith("Loop start at row ")
    assert "(from the centre: 1 " in told.start
    assert len(told.steps) == 2
    piece = chart(strands=3)
    (odd,) = tell_work(piece, plan_work(piece))
    assert odd.start.startswith("Begin at row ")
    assert odd.start.endswith("3 strands.")
