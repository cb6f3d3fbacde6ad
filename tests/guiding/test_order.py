"""The order of work: every stitch once, every carry within the rule, the needle's path as long as it is."""

import itertools
import math
from collections import Counter

import numpy as np
import pytest
from hypothesis import given
from shapely import box

from svg2chart.alphabets.reading import packaged_alphabet
from svg2chart.chart import Backstitch, Chart, Corner, Stitch, StitchKind, Thread
from svg2chart.guiding.legs import Leg, Part
from svg2chart.guiding.order import Block, Work, behind_squares, front_squares, plan_work, touches
from svg2chart.guiding.starts import StartKind, find_starts
from tests.guiding import walking
from tests.strategies import charts

ROOT2 = math.sqrt(2)
PARTS = {
    StitchKind.FULL: [Part.LOWER, Part.UPPER],
    StitchKind.THREE_QUARTER: [Part.QUARTER, Part.HALF],
    StitchKind.QUARTER: [Part.QUARTER],
}
THREADS = tuple(
    Thread(letter=letter, code="", name=name, colour="#112233", symbol="disc")
    for letter, name in (("A", "Lamp yellow"), ("B", "Harbour blue"))
)


def chart_of(picture: str, *, backstitch: tuple[Backstitch, ...] = ()) -> Chart:
    """Return a chart of letters: a and b are full stitches, / a three-quarter and ' a quarter at top left."""
    held: dict[str, tuple[Stitch, ...]] = {
        ".": (),
        "a": (Stitch(kind=StitchKind.FULL, thread=0),),
        "b": (Stitch(kind=StitchKind.FULL, thread=1),),
        "/": (Stitch(kind=StitchKind.THREE_QUARTER, thread=0, corner=Corner.TOP_LEFT),),
        "'": (Stitch(kind=StitchKind.QUARTER, thread=0, corner=Corner.TOP_LEFT),),
    }
    rows = [line.split() for line in picture.strip().splitlines()]
    return Chart(
        threads=THREADS,
        arrangements=tuple(held.values()),
        squares=np.array([[list(held).index(letter) for letter in row] for row in rows], np.int32),
        backstitch=backstitch,
    )


def all_legs(blocks: tuple[Block, ...]) -> list[Leg]:
    return [leg for block in blocks for leg in block.legs]


@given(charts())
def test_every_stitch_is_worked_exactly_once(chart: Chart) -> None:
    blocks = plan_work(chart)
    legs = Counter((leg.part, leg.of, leg.square) for leg in all_legs(blocks))
    wanted = Counter(
        (part, stitch, (row, column))
        for row in range(chart.rows)
        for column in range(chart.columns)
        for stitch in chart.arrangement_at(row, column)
        for part in PARTS[stitch.kind]
    )
    wanted += Counter((Part.BACK, line, None) for line in chart.backstitch)
    wanted += Counter((Part.KNOT, knot, None) for knot in chart.knots)
    assert legs == wanted
    assert all(leg.of.thread == block.thread for block in blocks for leg in block.legs)


@given(charts())
def test_legs_lie_where_their_stitches_do(chart: Chart) -> None:
    for leg in all_legs(plan_work(chart)):
        ends = {(leg.up[0] / 2, leg.up[1] / 2), (leg.down[0] / 2, leg.down[1] / 2)}
        if isinstance(leg.of, Backstitch):
            assert ends == {leg.of.start, leg.of.end}
        elif leg.square is None:
            assert ends == {leg.of.at}
        else:
            row, column = leg.square
            corner = walking.CORNERS[leg.of.corner or Corner.TOP_LEFT]
            own = (column + corner[0], row + corner[1])
            beside = {(column + corner[0], row + 1 - corner[1]), (column + 1 - corner[0], row + corner[1])}
            across = (column + 1 - corner[0], row + 1 - corner[1])
            middle = (column + 0.5, row + 0.5)
            expected = {
                Part.LOWER: beside,
                Part.UPPER: {own, across},
                Part.QUARTER: {own, middle},
                Part.HALF: beside,
            }
            assert ends == expected[leg.part]


@given(charts())
def test_quarter_comes_before_the_half_that_covers_it_and_lower_before_upper_legs(chart: Chart) -> None:
    place = {(leg.part, leg.of, leg.square): n for n, leg in enumerate(all_legs(plan_work(chart)))}
    for (part, of, square), n in place.items():
        if part is Part.HALF:
            assert place[Part.QUARTER, of, square] < n
        if part is Part.UPPER:
            assert place[Part.LOWER, of, square] < n


@given(charts())
def test_backstitch_comes_after_all_crosses_and_knots_last(chart: Chart) -> None:
    works = [list(Work).index(block.work) for block in plan_work(chart)]
    assert works == sorted(works)


@given(charts())
def test_every_carry_obeys_the_rule(chart: Chart) -> None:
    stitched = walking.covered(chart)
    for block in plan_work(chart):
        is_cross = block.work is Work.CROSSES
        hidden = [stitched, *([] if is_cross else walking.lined(chart, block.thread))]
        for before, after, run in zip(block.legs, block.legs[1:], walking.runs_behind(block), strict=False):
            if before.part is Part.BACK and touches(before, after):
                continue  # from line to line, part of the stitch
            own = [box(x, y, x + 1, y + 1) for y, x in (s for s in (before.square, after.square) if s)]
            bare = walking.bare_part(run, [*hidden, *own])
            right, down = abs(run[0][0] - run[1][0]), abs(run[0][1] - run[1][1])
            assert 0 < max(right, down) <= 5
            # 1e-9: shapely's crossings are rounded
            assert math.dist(*run) * bare <= 2 + 1e-9
            if bare > 1e-9:
                assert 0 not in (right, down)
                assert right != down


@pytest.mark.parametrize("letter", "abdfgnpqrtu")
def test_letters_of_backstitch_need_one_thread_where_it_may_go_behind_their_stems(letter: str) -> None:
    """Not one for each trail: the thread goes along behind the stem to where the next one begins."""
    drawn = packaged_alphabet("backstitch-5").letters[letter]
    moved = drawn.moved(0, 10)
    lines = tuple(Backstitch(thread=0, start=one, end=other) for one, other in moved.lines)
    piece = Chart(
        threads=THREADS[:1], arrangements=((),), squares=np.zeros((20, 20), np.int32), backstitch=lines
    )
    (block,) = plan_work(piece)
    assert len(block.legs) == len(lines)
    assert block.carries


@given(charts())
def test_blocks_with_a_full_stitch_begin_on_one(chart: Chart) -> None:
    for block in plan_work(chart):
        if any(leg.part in (Part.LOWER, Part.UPPER) for leg in block.legs):
            assert block.legs[0].part in (Part.LOWER, Part.UPPER)


@given(charts())
def test_a_loop_start_is_never_on_a_fraction(chart: Chart) -> None:
    # a block of fractions alone is begun under a stitch or with a tail instead
    blocks = plan_work(chart)
    for block, start in zip(blocks, find_starts(chart, blocks), strict=True):
        if start.kind is StartKind.LOOP:
            assert block.legs[0].part in (Part.LOWER, Part.UPPER)


@given(charts())
def test_path_is_as_long_as_a_second_walk_finds(chart: Chart) -> None:
    blocks = plan_work(chart)
    fronts = {
        StitchKind.FULL: 2 * ROOT2,
        StitchKind.THREE_QUARTER: 1.5 * ROOT2,
        StitchKind.QUARTER: ROOT2 / 2,
    }
    front = sum(
        fronts[stitch.kind] for number in chart.squares.flat for stitch in chart.arrangements[number]
    ) + sum(math.dist(line.start, line.end) for line in chart.backstitch)
    # each leg is rounded down to a whole 2^-20 of a square
    assert sum(map(front_squares, blocks)) == pytest.approx(front, abs=1e-3)
    for block in blocks:
        walked = sum(math.dist(*run) for run in walking.runs_behind(block))
        assert behind_squares(block) == pytest.approx(walked, abs=1e-3)


@pytest.mark.parametrize("count", [1, 2, 7, 30])
def test_row_takes_what_its_geometry_says(count: int) -> None:
    """(2 sqrt2 + 2) n - 1 sides of a square, derived from the legs in front and the runs behind."""
    (block,) = plan_work(chart_of(" ".join("a" * count)))
    total = front_squares(block) + behind_squares(block)
    assert total == pytest.approx((2 * ROOT2 + 2) * count - 1, abs=1e-3)
    assert len(block.path) == 4 * count


def test_straight_backstitch_takes_three_for_each_square_less_two() -> None:
    lines = tuple(Backstitch(thread=0, start=(x, 1), end=(x + 1, 1)) for x in range(6))
    (block,) = plan_work(chart_of(". . . . . .\n. . . . . .", backstitch=lines))
    assert front_squares(block) + behind_squares(block) == pytest.approx(3 * 6 - 2, abs=1e-3)


def test_closed_line_of_backstitch_with_a_loop_beside_it_has_one_start() -> None:
    def square(x: int, y: int) -> list[Backstitch]:
        holes = [(x, y), (x + 1, y), (x + 1, y + 1), (x, y + 1), (x, y)]
        return [Backstitch(thread=0, start=a, end=b) for a, b in itertools.pairwise(holes)]

    lines = tuple(line for at in ((0, 0), (2, 2), (1, 1)) for line in square(*at))
    assert len(plan_work(chart_of(". . .\n" * 3, backstitch=lines))) == 1


@pytest.mark.parametrize(
    ("picture", "starts"),
    [
        ("a a a a a a a a a a a a a\n. . . . . . a . . . . . .\n. . . . . . a . . . . . .", 1),  # a branch
        ("a . . . . a\na . . . . a\na a a a a a", 1),  # two branches
        ("a a a a a a a a\na . . . . . . a\na . . . . . . a\na a a a a a a a", 1),  # a ring
        ("a . . . . . . . . a", 2),  # too far
        ("a . . . a", 2),  # along a row of holes
        ("a b b b a", 2),  # a's carry behind b, b
        ("a b b b b b b a", 3),
        ("a . .\n. . a", 2),  # a knight's move: more than two squares of bare cloth, from corner to corner
        ("a . .\n. . .\n. . a", 2),  # more than one, which is what a start is worth
        ("a b .\n. b a", 2),  # a's carry is less than one square bare, the rest is behind b
        ("a . . .\n. . . .\n. . . .\n. . . a", 2),
    ],
)
def test_starts_are_as_few_as_a_stitcher_needs(picture: str, starts: int) -> None:
    blocks = plan_work(chart_of(picture))
    assert len(blocks) == starts


def test_start_is_not_on_a_fraction() -> None:
    for picture in ("' a a /", "/ / a\n/ ' '", "' ' '\n' a /"):
        (block,) = plan_work(chart_of(picture))
        assert block.legs[0].part is Part.LOWER
