"""The chart in words reads back to the chart; difficulty counts what it says."""

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given

from svg2chart.chart import Chart, Corner, Stitch, StitchKind, Thread
from svg2chart.guiding.difficulty import WORDS, Difficulty, rate_difficulty
from svg2chart.guiding.words import chart_in_words
from tests.guiding import read_words
from tests.strategies import charts


@given(charts())
def test_rows_read_back_to_the_chart(chart: Chart) -> None:
    text = chart_in_words(chart)
    squares = [[chart.arrangement_at(row, c) for c in range(chart.columns)] for row in range(chart.rows)]
    assert read_words.read_rows(text) == squares


@given(charts())
def test_threads_read_back_to_the_chart(chart: Chart) -> None:
    stitches = {
        (row + 1, column + 1, stitch)
        for row in range(chart.rows)
        for column in range(chart.columns)
        for stitch in chart.arrangement_at(row, column)
    }
    assert read_words.read_threads(chart_in_words(chart)) == stitches


@given(charts())
def test_backstitch_and_knots_read_back_to_the_chart(chart: Chart) -> None:
    text = chart_in_words(chart)
    lines = Counter((line.thread, frozenset((line.start, line.end))) for line in chart.backstitch)
    assert Counter(read_words.read_backstitch(text)) == lines
    assert Counter(read_words.read_knots(text)) == Counter((knot.thread, knot.at) for knot in chart.knots)


def thread(letter: str, name: str) -> Thread:
    return Thread(letter=letter, code="H1", name=name, colour="#112233", symbol="disc")


def sign() -> Chart:
    full = (Stitch(kind=StitchKind.FULL, thread=0),)
    shared = (
        Stitch(kind=StitchKind.THREE_QUARTER, thread=0, corner=Corner.TOP_RIGHT),
        Stitch(kind=StitchKind.QUARTER, thread=1, corner=Corner.BOTTOM_LEFT),
    )
    return Chart(
        threads=(thread("A", "Lamp Yellow"), thread("B", "Slate")),
        arrangements=((), full, shared),
        squares=np.array([[0, 0, 0, 0, 1, 1, 1, 2], [0] * 8, [0] * 8], np.int32),
    )


def test_row_is_told_as_one_reads_it_aloud() -> None:
    lines = chart_in_words(sign()).splitlines()
    told = "4 bare, 3 lamp yellow, 1 three-quarter lamp yellow with corner top-right over a quarter of slate"
    assert f"Row 1, from the left: {told}." in lines
    assert "Rows 2 and 3: bare." in lines
    assert "Row 1: full in columns 5 to 7; three-quarter with corner top-right in column 8." in lines


@pytest.mark.parametrize(
    "name", ["", " ", "Slate", "sLATE!", "bare", "over the corner", "3 lamps", "thread 9"]
)
def test_thread_whose_name_would_be_misread_is_called_by_its_number(name: str) -> None:
    chart = replace(sign(), threads=(thread("A", name), thread("B", "Slate")))
    assert "3 thread 1, 1 three-quarter thread 1 with" in chart_in_words(chart)


def test_difficulty_counts_what_stands_on_the_cloth() -> None:
    picture = [[1, 1, 0, 2], [1, 1, 0, 0], [0, 0, 0, 1]]
    chart = replace(sign(), squares=np.array(picture, np.int32))
    found = rate_difficulty(chart)
    # the square at the top right is alone with both of its threads, the one at the bottom right too
    assert found == Difficulty(colours=2, squares=6, fractional=1, lone=2, back_thousandths=0)


def test_difficulty_grows_with_each_measure() -> None:
    plain = Difficulty(colours=4, squares=1000, fractional=0, lone=0, back_thousandths=0)
    assert plain.word == WORDS[0]
    harder = [
        {"colours": 7},
        {"colours": 31},
        {"fractional": 1},
        {"fractional": 251},
        {"lone": 11},
        {"back_thousandths": 301_000},
    ]
    for change in harder:
        assert sum(replace(plain, **change).steps) > 0, change
    assert replace(plain, fractional=1).word != WORDS[0]
    hardest = replace(plain, colours=60, fractional=500, lone=200, back_thousandths=900_000)
    assert hardest.word == WORDS[-1]
