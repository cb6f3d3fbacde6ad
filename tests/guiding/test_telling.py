"""What is told of blocks: their titles, and the lines of letters of backstitch, all told."""

import math
import re
from itertools import pairwise

import numpy as np
from hypothesis import example, given, settings
from hypothesis import strategies as st

import svg2chart
from svg2chart.alphabets.reading import packaged_alphabet
from svg2chart.chart import Arrangement, Chart, Corner, Stitch, StitchKind, stitch_counts
from svg2chart.guiding.order import plan_work
from svg2chart.guiding.telling import tell_work
from svg2chart.svg.read import parse_artwork
from tests.breadth import examples
from tests.guiding.read_words import read_holes
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


Point = tuple[float, float]


def in_backstitch(lines: list[str], alphabet: str) -> Chart:
    lettering = svg2chart.set_in_alphabet(lines, alphabet=packaged_alphabet(alphabet))
    artwork = parse_artwork(svg2chart.draw_letters(lettering, colour="#1f3a5f"))
    return svg2chart.convert(artwork, svg2chart.Grid.fit(artwork, square=1.0))


def pieces(way: list[Point]) -> list[frozenset[Point]]:
    """Return a way in its shortest pieces from hole to hole."""
    found = []
    for (x0, y0), (x1, y1) in pairwise(way):
        steps = math.gcd(int(x1 - x0), int(y1 - y0))
        right, down = (x1 - x0) / steps, (y1 - y0) / steps
        holes = [(x0 + right * step, y0 + down * step) for step in range(steps + 1)]
        found += [frozenset(pair) for pair in pairwise(holes)]
    return found


def ways_told(chart: Chart) -> list[list[Point]]:
    """Return the ways of all blocks of lines: those told by their holes, and those told by a like one."""
    ways: dict[int, list[list[Point]]] = {}
    for block in tell_work(chart, plan_work(chart)):
        told = [re.sub(r"^Block \d+( \(.*?\))?: ", "", step) for step in block.steps]
        if block.first == block.last:
            told = ["; ".join(step for step in block.steps)]
        for number, words in enumerate(told, start=block.first):
            like = re.fullmatch(r"as block (\d+), from (.*)", words)
            if like is None:
                ways[number] = [read_holes(way) for way in re.findall(r"\d+ lines? from ([^;]*)", words)]
                continue
            model, (start,) = ways[int(like[1])], read_holes(like[2])
            right, down = start[0] - model[0][0][0], start[1] - model[0][0][1]
            ways[number] = [[(x + right, y + down) for x, y in way] for way in model]
    return [way for block in ways.values() for way in block]


@settings(max_examples=examples(40))
@given(
    st.lists(st.text("abdeghlmnorstAHLT ", min_size=1, max_size=9), min_size=1, max_size=3),
    st.sampled_from(["backstitch-5", "backstitch-7"]),
)
@example(["boo hoo", "boo"], "backstitch-5")
def test_every_line_of_letters_is_told_though_like_ones_only_once(lines: list[str], alphabet: str) -> None:
    chart = in_backstitch([line if line.strip() else "a" for line in lines], alphabet)
    told = [piece for way in ways_told(chart) for piece in pieces(way)]
    drawn = [piece for line in chart.backstitch for piece in pieces([line.start, line.end])]
    assert sorted(map(sorted, told)) == sorted(map(sorted, drawn))


def test_letters_that_come_again_are_told_by_the_first() -> None:
    """Three letters o on bare cloth, and a fourth of another shape: a way to where it is, not again how."""
    (block,) = tell_work(chart := in_backstitch(["o o oO"], "backstitch-5"), plan_work(chart))
    assert [" lines from " in step for step in block.steps].count(True) == 2
    assert [re.findall(r"as block \d+", step) for step in block.steps].count([]) == 2
