"""Which colours touch, and that those which do stay two while there are threads for it."""

from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from svg2chart.cards import harbour_card
from svg2chart.chart import Chart, Corner
from svg2chart.colour import Colour, ciede2000, lab
from svg2chart.convert import convert
from svg2chart.grid import Extent, Grid
from svg2chart.merging import ALIKE
from svg2chart.rivals import OTHER_COLOUR, TOLD_APART
from svg2chart.threads import Skein, Why, choose_threads
from svg2chart.touching import touching_threads
from tests.breadth import examples
from tests.drawings import BLUE, RED, YELLOW, box, drawing, shape, stroke
from tests.strategies import charts

colours = st.integers(0, 0xFFFFFF).map(lambda number: Colour.from_hex(f"#{number:06x}"))
near_greys = st.integers(100, 140).map(lambda grey: Colour(grey / 255, grey / 255, grey / 255))


def apart(one: Colour, other: Colour) -> float:
    return float(ciede2000(*lab([one, other])))


@st.composite
def scenes(draw: st.DrawFn) -> tuple[list[Colour], list[float], np.ndarray]:
    """Colours, what they cover, and which of them touch."""
    shown = draw(st.lists(st.one_of(colours, near_greys), min_size=2, max_size=9, unique=True))
    areas = [draw(st.sampled_from([0.0, 1.0, 5.0, 300.0])) for _ in shown]
    pairs = list(combinations(range(len(shown)), 2))
    touching = draw(st.lists(st.sampled_from(pairs), max_size=12, unique=True))
    return shown, areas, np.array(touching, np.int64).reshape(-1, 2)


cards = st.lists(colours, min_size=1, max_size=7, unique=True).map(
    lambda found: tuple(Skein(code=str(i), name="x", colour=colour) for i, colour in enumerate(found))
)


@given(scenes(), st.one_of(st.just(()), cards), st.integers(1, 6))
@example(([Colour(0, 0, 0), Colour(0.1, 0.1, 0.1)], [1.0, 1.0], np.array([[0, 1]])), harbour_card(), 60)
@settings(max_examples=examples(100))
def test_colours_that_touch_stay_two_while_another_thread_is_left(
    scene: tuple[list[Colour], list[float], np.ndarray], card: tuple[Skein, ...], most: int
) -> None:
    shown, areas, touching = scene
    chosen = choose_threads(shown, areas, card=card, most=most, touching=touching)
    worn = [chosen.skeins[index].colour for index in chosen.of_colour]
    assert len(chosen.skeins) <= most
    # colours nobody can tell apart are one colour from here on, the one that covers more
    alike = {merge.colour: merge.into for merge in chosen.merges if merge.why is Why.ALIKE}
    looks = [alike.get(colour, colour) for colour in shown]
    rivals = {
        frozenset((looks[i], looks[j]))
        for i, j in touching.tolist()
        if apart(looks[i], looks[j]) > TOLD_APART
    }
    goes_to = dict(zip(looks, worn, strict=True))
    threads = set(worn)
    if card and len(threads) < most:
        threads = {skein.colour for skein in card}
    together = [pair for pair in rivals if len({goes_to[colour] for colour in pair}) == 1]
    for pair in together:
        for colour in pair:
            near = {other for rival in rivals if colour in rival for other in rival - {colour}}
            worst = max(apart(colour, other) for other in near if goes_to[other] == goes_to[colour])
            for thread in threads - {goes_to[other] for other in near}:
                more = apart(colour, thread) - apart(colour, goes_to[colour])
                assert more > max(worst, OTHER_COLOUR) - 0.01, "a thread is left that no rival has"
    assert {frozenset(pair) for pair in chosen.joined} == set(together)


@given(scenes(), cards)
def test_without_rivals_each_colour_takes_its_nearest_thread(
    scene: tuple[list[Colour], list[float], np.ndarray], card: tuple[Skein, ...]
) -> None:
    shown, areas, _ = scene
    chosen = choose_threads(shown, areas, card=card)
    for colour, index in zip(shown, chosen.of_colour, strict=True):
        nearest = min(apart(colour, skein.colour) for skein in card)
        assert apart(colour, chosen.skeins[index].colour) <= nearest + 2 * ALIKE + 0.01
    far = [apart(c, chosen.skeins[i].colour) for c, i in zip(shown, chosen.of_colour, strict=True)]
    if sum(areas):
        assert chosen.difference.mean == pytest.approx(np.average(far, weights=areas), abs=0.002)
        within = sum(
            a for d, a in zip(far, areas, strict=True) if d <= chosen.difference.percentile_95 + 0.002
        )
        assert within >= 0.95 * sum(areas) - 1e-6


def test_a_line_and_the_area_below_it_touch() -> None:
    """A card of one near thread and a far one: the line on the sea takes the other blue, not the nearest."""
    sea, rope = "#3060a0", "#3a6cae"
    card = [
        Skein(code=str(number), name="x", colour=Colour.from_hex(text))
        for number, text in enumerate(["#3565a6", "#5080c0", "#c62828"])
    ]
    artwork = drawing(shape(sea, box(0, 0, 8, 4)), stroke(rope, [(0, 2), (8, 2)]), wide=8, high=4)
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE), threads=card)
    line, area = (chart.threads[number] for number in (chart.backstitch[0].thread, 0))
    assert {line.colour, area.colour} == {"#3565a6", "#5080c0"}


@pytest.mark.parametrize("gap", [0, 1])
def test_only_colours_that_touch_are_kept_apart(gap: int) -> None:
    """Two blues that differ by some 4 have one nearest thread; side by side they get two."""
    artwork = drawing(
        shape("#3060a0", box(0, 0, 4, 4)), shape("#3a6cae", box(4 + gap, 0, 8 + gap, 4)), wide=9, high=4
    )
    card = [Skein(code="1", name="x", colour=Colour.from_hex("#3565a6"))]
    card.append(Skein(code="2", name="x", colour=Colour.from_hex("#5080c0")))
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE), threads=card)
    assert len(chart.threads) == (1 if gap else 2)


def test_an_outline_is_rather_lost_in_its_cap_than_worked_in_pink() -> None:
    cap, darker, face, cheek, band = "#1f3f77", "#10203c", "#f4c9a2", "#eea792", "#f8f4e6"
    shown = [Colour.from_hex(text) for text in (face, cap, band, cheek, darker)]
    touching = np.array([(0, 1), (0, 3), (0, 4), (1, 2), (1, 4), (2, 4), (0, 2)])
    chosen = choose_threads(shown, [600.0, 200.0, 100.0, 40.0, 12.0], card=(), most=4, touching=touching)
    worn = [chosen.skeins[index].colour for index in chosen.of_colour]
    assert apart(worn[4], shown[4]) < OTHER_COLOUR


def test_more_colours_that_touch_than_threads_is_a_remark() -> None:
    marks = [shape(c, box(i, 0, i + 1, 3)) for i, c in enumerate((RED, YELLOW, BLUE))]
    artwork = drawing(*marks, shape("#222222", box(0, 3, 3, 4)), wide=3, high=4)
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE), most_threads=2)
    assert any("no other one is left" in remark.what for remark in chart.remarks)


@given(charts())
def test_threads_that_touch_against_a_walk_from_square_to_square(chart: Chart) -> None:
    """Each square and each of its sides looked at one by one."""
    expected = np.zeros((len(chart.threads), len(chart.threads)), int)

    def at(row: int, column: int, side: str) -> set[int]:
        held = chart.arrangement_at(row, column)
        return {s.thread for s in held if s.corner is None or side in Corner(s.corner).value.split("-")}

    def meet(one: set[int], other: set[int]) -> None:
        for pair in {frozenset(pair) for pair in product(one, other) if len(set(pair)) == 2}:
            i, j = sorted(pair)
            expected[i, j] += 1
            expected[j, i] += 1

    for row, column in product(range(chart.rows), range(chart.columns)):
        held = {stitch.thread for stitch in chart.arrangement_at(row, column)}
        meet(held, held)
        if row + 1 < chart.rows:
            meet(at(row, column, "bottom"), at(row + 1, column, "top"))
        if column + 1 < chart.columns:
            meet(at(row, column, "right"), at(row, column + 1, "left"))
    counts = touching_threads(chart.squares, chart.arrangements, len(chart.threads))
    assert np.array_equal(counts, expected)


@pytest.mark.parametrize(("gap", "remarked"), [(0, True), (1, False)])
def test_threads_that_meet_and_are_hard_to_tell_apart_are_a_remark(gap: int, *, remarked: bool) -> None:
    """#3060a0 and #3464a4 differ by less than 3; the line on the second box by more."""
    marks = (shape("#3060a0", box(0, 0, 4, 4)), shape("#3464a4", box(4 + gap, 0, 8 + gap, 4)))
    artwork = drawing(*marks, stroke("#101010", [(7, 0), (7, 4)]), wide=9, high=4)
    assert ALIKE < apart(Colour.from_hex("#3060a0"), Colour.from_hex("#3464a4")) < 3
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE))
    assert [("meet in the picture" in remark.what) for remark in chart.remarks] == [True] * remarked


def test_a_line_meets_the_squares_beside_it() -> None:
    artwork = drawing(shape("#3060a0", box(0, 0, 4, 4)), stroke("#3464a4", [(4, 0), (4, 4)]), wide=6, high=4)
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE))
    assert any("meet in the picture" in remark.what for remark in chart.remarks)


def test_a_drawing_without_colours_has_no_threads() -> None:
    chosen = choose_threads([], [], card=(), touching=np.zeros((0, 2), np.int64))
    assert chosen.skeins == ()
    assert chosen.difference.mean == 0
