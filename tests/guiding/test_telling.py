"""The titles of blocks: what they say of the chart's stitches, all told."""

import re

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.chart import Arrangement, Chart, Corner, Stitch, StitchKind, stitch_counts
from svg2chart.guiding.order import plan_work
from svg2chart.guiding.telling import tell_work
from tests.pages.samples import harbour, threads


def full(thread: int) -> Arrangement:
    return (Stitch(kind=StitchKind.FULL, thread=thread),)


def told(chart: Chart, noun: str) -> int:
    """Return how many of a stitch the titles of all blocks name together."""
    titles = " ".join(block.title for block in tell_work(chart, plan_work(chart)))
    numbers = re.findall(rf"(?<![\d,])(\d[\d,]*) {noun}", titles)
    return sum(int(number.replace(",", "")) for number in numbers)


def held(chart: Chart, kind: StitchKind) -> int:
    return sum(count for (_, found), count in stitch_counts(chart).items() if found is kind)


@given(st.integers(1, 14), st.integers(1, 14), st.integers(1, 4), st.integers(0, 999))
def test_blocks_hold_every_stitch_once(rows: int, columns: int, colours: int, seed: int) -> None:
    chart = harbour(max(rows, 3), max(columns, 3), colours=colours, seed=seed, lined=0)
    assert told(chart, "full") == held(chart, StitchKind.FULL)
    assert told(chart, "three-quarter") == held(chart, StitchKind.THREE_QUARTER)


def test_a_block_that_only_lays_lower_legs_says_so() -> None:
    """Lone crosses in a wide arc: a later block comes back over what the first leaves open."""
    quarter = (Stitch(kind=StitchKind.QUARTER, thread=0, corner=Corner.BOTTOM_LEFT),)
    squares = [
        [0, 0, 0, 0, 0, 0, 3, 2, 0],
        [0, 0, 0, 2, 3, 0, 0, 1, 0],
        [0, 0, 0, 0, 0, 1, 3, 0, 0],
        [0, 0, 3, 0, 2, 2, 3, 0, 0],
        [2, 3, 0, 3, 0, 0, 0, 0, 0],
        [0, 3, 0, 0, 0, 0, 0, 0, 0],
        [0, 3, 0, 0, 0, 0, 0, 0, 0],
        [2, 0, 0, 0, 0, 0, 0, 0, 0],
    ]
    chart = Chart(
        threads=threads(2),
        arrangements=((), quarter, full(1), full(0)),
        squares=np.array(squares, dtype=np.int32),
    )
    assert told(chart, "full") == 15
    assert told(chart, "lower leg") > 0
