"""Starts, ways to count there, and steps that read back to the stitches of their block."""

import itertools
import math
import re
from collections import Counter

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.alphabets.reading import packaged_alphabet
from svg2chart.chart import Backstitch, Chart, Corner, Fabric, Stitch, StitchKind, Thread
from svg2chart.guiding.legs import Part
from svg2chart.guiding.order import Block, Work, plan_work, touches
from svg2chart.guiding.starts import StartKind, find_starts
from svg2chart.guiding.steps import tell_steps
from svg2chart.guiding.telling import tell_rules, tell_work
from svg2chart.guiding.ways import Ways
from svg2chart.letters.alphabet_words import set_in_alphabet
from tests.guiding.read_words import read_holes
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
        (
            (4, 4),
            (1, 2),
            "from the centre: 1 right, 1 up",
        ),  # the centre is a hole: the squares round it are 1
        ((4, 4), (2, 1), "from the centre: 1 left, 1 down"),
        ((4, 4), (3, 3), "from the centre: 2 right, 2 down"),
        ((5, 5), (2, 2), "at the centre"),  # the centre is the middle of a square
        ((5, 5), (0, 3), "from the centre: 1 right, 2 up"),
        ((5, 4), (2, 0), "from the centre: 2 left"),  # middle row, two columns on each side
    ],
)
def test_way_from_the_centre_counts_squares(size: tuple[int, int], square: tuple[int, int], way: str) -> None:
    chart = Chart(threads=(), arrangements=((),), squares=np.zeros(size, np.int32))
    assert Ways(chart).to_square(square) == way


def test_way_to_a_hole_counts_sides() -> None:
    chart = Chart(threads=(), arrangements=((),), squares=np.zeros((5, 4), np.int32))
    assert Ways(chart).to_hole((4, 4)) == "from the centre: 0.5 up"
    assert Ways(chart).to_hole((0, 10)) == "from the centre: 2 left, 2.5 down"
    assert Ways(chart).to_hole((4, 5)) == "at the centre"


SIGNS = {"left": -1, "right": 1, "up": -1, "down": 1}
PLACE = re.compile(
    r"row (\d+) column (\d+)"
    r" \((from|at) the (centre|(left|right) end of the (top|bottom) row of block (\d+))(?:: )?(.*?)\)"
)


@given(charts())
def test_way_to_every_start_leads_there(chart: Chart) -> None:
    blocks = plan_work(chart)
    starts = find_starts(chart, blocks)
    told_work = tell_work(chart, blocks)
    numbers = [number for told in told_work for number in range(told.first, told.last + 1)]
    assert numbers == list(range(1, len(blocks) + 1))
    for told in told_work:
        start = starts[told.first - 1]
        place = start.under or start.square
        found = PLACE.search(told.start)
        assert (found is None) == (place is None)
        if found:
            assert place == (int(found[1]) - 1, int(found[2]) - 1)
            assert place == counted_to(chart, blocks, found)


LINE = re.compile(r"Block (\d+)(?: \((.*?)\))?: (.*)")


@given(charts())
def test_blocks_that_are_told_together_are_found_by_counting_from_one_to_the_next(chart: Chart) -> None:
    blocks = plan_work(chart)
    for told in tell_work(chart, blocks):
        if told.first == told.last:
            continue
        at: tuple[float, float] | None = None
        for number, step in zip(range(told.first, told.last + 1), told.steps, strict=True):
            found = LINE.fullmatch(step)
            assert found
            assert int(found[1]) == number
            block = blocks[number - 1]
            assert find_starts(chart, blocks)[number - 1].under is None
            first = tuple(place / 2 for place in block.legs[0].down)
            if at is not None:
                right, down = counted_way(found[2] or "")
                assert (at[0] + right, at[1] + down) == first
            assert read_holes(found[3].split("; ")[0])[0] == first
            at = tuple(place / 2 for place in block.legs[-1].up)


def counted_to(chart: Chart, blocks: tuple[Block, ...], found: re.Match[str]) -> tuple[int, int]:
    """Return the square to which one comes by counting."""
    right, down = map(int, counted_way(found[8]))
    if found[4] == "centre":
        # from a middle line the first square to the right of it or below is the first one
        row, column = chart.rows // 2, chart.columns // 2
        row -= chart.rows % 2 == 0 and down > 0
        column -= chart.columns % 2 == 0 and right > 0
    else:
        squares = {leg.square for leg in blocks[int(found[7]) - 1].legs if leg.square}
        row = (min if found[6] == "top" else max)(row for row, _ in squares)
        column = (min if found[5] == "left" else max)(column for at, column in squares if at == row)
    return row + down, column + right


def test_way_is_counted_from_a_block_where_that_is_shorter() -> None:
    ways = Ways(Chart(threads=(), arrangements=((),), squares=np.zeros((40, 40), np.int32)))
    ways.add_block(1, [(0, column) for column in range(9)])  # too small to be found at a glance
    assert ways.to_square((1, 0)) == "from the centre: 20 left, 19 up"
    ways.add_block(2, [(row, column) for row in (3, 4) for column in range(2, 9)])
    assert ways.to_square((2, 2)) == "from the left end of the top row of block 2: 1 up"
    assert ways.to_square((4, 8)) == "at the right end of the bottom row of block 2"
    assert ways.to_square((18, 18)) == "from the centre: 2 left, 2 up"
    assert ways.to_square((4, 19)) == "from the centre: 1 left, 16 up"  # 11 squares from the block


@given(st.integers(1, 6), st.integers(1, 6))
def test_rows_of_a_rectangle_are_each_told_in_one_step(rows: int, columns: int) -> None:
    thread = chart().threads
    squares = np.ones((rows, columns), np.int32)
    piece = Chart(threads=thread, arrangements=chart().arrangements, squares=squares)
    (block,) = plan_work(piece)
    told = [int(step.split(":")[0].removeprefix("Row ")) for step in tell_steps(block)]
    assert told in (list(range(1, rows + 1)), list(range(rows, 0, -1)))


def test_row_that_ends_in_fractions_is_gone_out_and_back() -> None:
    ends = (Corner.BOTTOM_RIGHT, Corner.BOTTOM_LEFT)
    three = [(Stitch(kind=StitchKind.THREE_QUARTER, thread=0, corner=corner),) for corner in ends]
    piece = Chart(
        threads=chart().threads,
        arrangements=((), *chart().arrangements[1:], *three),
        squares=np.array([[2, 1, 1, 1, 1, 3]], np.int32),
    )
    (block,) = plan_work(piece)
    assert tell_steps(block) == [
        "Row 1: columns 2 to 5 out and back, three-quarter in column 6 at the turn",
        "Row 1: three-quarter in column 1",
    ]


@given(charts())
def test_carries_lead_from_the_last_square_to_the_next(chart: Chart) -> None:
    for block in plan_work(chart):
        told = [step for step in tell_steps(block) if step.startswith("Carry")]
        assert len(told) == len(block.carries)
        for step, carry in zip(told, block.carries, strict=True):
            goal, way = step.removesuffix(")").removeprefix("Carry behind the cloth to ").split(" (")
            right, down = counted_way(way)
            if carry.after.square and carry.before.square:
                row, column = carry.before.square
                assert goal == f"row {row + down + 1:g} column {column + right + 1:g}"
            else:
                x, y = carry.before.down
                assert read_holes(goal) == [(x / 2 + right, y / 2 + down)]


def counted_way(words: str) -> tuple[float, float]:
    """Return how far right and how far down a way leads."""
    steps = [part.split(" ") for part in words.split(", ") if part]
    way = {name: SIGNS[name] * float(number) for number, name in steps}
    return way.get("left", 0) + way.get("right", 0), way.get("up", 0) + way.get("down", 0)


@given(charts())
def test_lines_and_knots_read_back_from_their_steps(chart: Chart) -> None:
    for block in plan_work(chart):
        if block.work is Work.CROSSES:
            continue
        told = [
            (int(step.split(" ")[0]) if "from" in step else 1, read_holes(step))
            for step in tell_steps(block)
            if not step.startswith("Carry")
        ]
        legs = list(block.legs)
        for count, holes in told:
            part, legs = legs[:count], legs[count:]
            walked = [part[0].down, *(leg.up for leg in part)]
            assert all(touches(a, b) for a, b in itertools.pairwise(part))
            assert {(x * 2, y * 2) for x, y in holes} <= set(walked)
            ends = [(holes[0][0] * 2, holes[0][1] * 2), (holes[-1][0] * 2, holes[-1][1] * 2)]
            assert ends == [walked[0], walked[-1]]
            # as long as the lines themselves: none leaves the way that is told
            way = sum(math.dist(a, b) for a, b in itertools.pairwise(holes))
            assert way == pytest.approx(sum(math.dist(leg.up, leg.down) for leg in part) / 2)
        assert not legs


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
        ("Out and back", chart(), lettered("boat")),
        ("Lines of backstitch hide", lettered("boat"), chart()),
    ]:
        assert words.lower() in " ".join(tell_rules(has)).lower()
        assert words.lower() not in " ".join(tell_rules(has_not)).lower()


def lettered(words: str) -> Chart:
    """Return words in letters of backstitch, on bare cloth."""
    set_words = set_in_alphabet([words], alphabet=packaged_alphabet("backstitch-5"))
    lines = [
        Backstitch(thread=0, start=start, end=end)
        for letter in set_words.letters
        for start, end in (
            tuple((x + letter.column, y + letter.row) for x, y in hole_pair) for hole_pair in letter.lines
        )
    ]
    squares = np.zeros((set_words.rows, set_words.columns), np.int32)
    return Chart(threads=chart().threads, arrangements=((),), squares=squares, backstitch=tuple(lines))


def test_letters_of_backstitch_are_told_as_one_and_need_about_a_thread_each() -> None:
    """So a page of words is a few pages of guide: a title and a start for each line would be many."""
    words = "on the first saturday of june"
    (told,) = tell_work(lettered(words), plan_work(lettered(words)))
    assert told.title.startswith("blocks 1 to ")
    assert len(told.steps) == told.last < 1.3 * len(words.replace(" ", ""))


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
