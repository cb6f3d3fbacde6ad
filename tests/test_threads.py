from itertools import combinations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.colour import Colour, ciede2000, lab
from svg2chart.merging import ALIKE
from svg2chart.threads import MOST_THREADS, Skein, Why, choose_threads

hexes = st.integers(0, 0xFFFFFF).map(lambda number: f"#{number:06x}")
CARD = [
    Skein(code="H1", name="Lamp yellow", colour=Colour.from_hex("#f2b705")),
    Skein(code="H2", name="Slate", colour=Colour.from_hex("#44525e")),
]


def apart(one: Colour, other: Colour) -> float:
    return float(ciede2000(*lab([one, other])))


@given(st.lists(hexes, min_size=1, max_size=20))
@example(["#ff0000", "#fe0000", "#fd0000", "#fc0000"])
def test_without_a_card_each_colour_that_can_be_told_apart_is_its_own_thread(texts: list[str]) -> None:
    colours = [Colour.from_hex(text) for text in texts]
    chosen = choose_threads(colours, [1.0] * len(texts), card=())
    threads = [skein.colour for skein in chosen.skeins]
    for colour, index in zip(colours, chosen.of_colour, strict=True):
        assert colour == threads[index] or apart(colour, threads[index]) < ALIKE + 0.001
    assert all(apart(one, other) > ALIKE - 0.001 for one, other in combinations(threads, 2))
    assert {merge.colour for merge in chosen.merges} == set(colours) - set(threads)
    assert all(merge.why is Why.ALIKE for merge in chosen.merges)
    assert len({skein.name for skein in chosen.skeins}) == len(chosen.skeins)
    assert len({skein.code for skein in chosen.skeins}) == len(chosen.skeins)


def test_colours_that_are_to_stay_do_even_if_they_look_like_others() -> None:
    colours = [Colour.from_hex(text) for text in ("#ff0000", "#fe0000", "#fd0000")]
    chosen = choose_threads(colours, [3.0, 2.0, 1.0], card=(), kept=colours[1:])
    assert [chosen.skeins[i].colour for i in chosen.of_colour] == [colours[1], colours[1], colours[2]]


def test_what_covers_most_comes_first() -> None:
    colours = [Colour.from_hex(text) for text in ("#101010", "#c62828", "#1a3a8f")]
    chosen = choose_threads(colours, [1.0, 5.0, 3.0], card=())
    assert [skein.colour for skein in chosen.skeins] == [colours[1], colours[2], colours[0]]


def test_the_nearest_thread_of_a_card() -> None:
    colours = [Colour.from_hex("#ffcc11"), Colour.from_hex("#404850"), Colour.from_hex("#ffc800")]
    chosen = choose_threads(colours, [1.0, 1.0, 1.0], card=CARD)
    assert [chosen.skeins[i].code for i in chosen.of_colour] == ["H1", "H2", "H1"]


def test_more_colours_than_symbols_share_threads() -> None:
    steps = [0.1, 0.3, 0.5, 0.7, 0.9]
    colours = [Colour(r, g, b) for r in steps for g in steps for b in steps]
    chosen = choose_threads(colours, [1.0] * len(colours), card=())
    assert len(chosen.skeins) == MOST_THREADS
    assert len(chosen.merges) == len(colours) - MOST_THREADS
    assert not any(merge.why is Why.ALIKE for merge in chosen.merges)
    for colour, index in zip(colours, chosen.of_colour, strict=True):
        nearest = min(apart(colour, skein.colour) for skein in chosen.skeins)
        assert apart(colour, chosen.skeins[index].colour) == pytest.approx(nearest, abs=0.001)


@pytest.mark.parametrize("order", [[0, 1, 2], [2, 0, 1]])
def test_the_order_of_the_colours_decides_nothing(order: list[int]) -> None:
    colours = [Colour.from_hex(text) for text in ("#101010", "#c62828", "#1a3a8f")]
    chosen = choose_threads([colours[i] for i in order], [2.0] * 3, card=())
    assert chosen.skeins == choose_threads(colours, [2.0] * 3, card=()).skeins
