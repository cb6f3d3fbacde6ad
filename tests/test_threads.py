import pytest
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.colour import Colour
from svg2chart.threads import MOST_THREADS, Skein, choose_threads

hexes = st.integers(0, 0xFFFFFF).map(lambda number: f"#{number:06x}")
CARD = [
    Skein(code="H1", name="Lamp yellow", colour=Colour.from_hex("#f2b705")),
    Skein(code="H2", name="Slate", colour=Colour.from_hex("#44525e")),
]


@given(st.lists(hexes, min_size=1, max_size=20))
def test_without_a_card_each_colour_is_its_own_thread(texts: list[str]) -> None:
    colours = [Colour.from_hex(text) for text in texts]
    chosen = choose_threads(colours, [1.0] * len(texts), card=())
    assert [chosen.skeins[i].colour for i in chosen.of_colour] == colours
    assert len(chosen.skeins) == len(set(texts))
    assert len({skein.name for skein in chosen.skeins}) == len(chosen.skeins)
    assert len({skein.code for skein in chosen.skeins}) == len(chosen.skeins)
    assert chosen.merged == 0


def test_what_covers_most_comes_first() -> None:
    colours = [Colour.from_hex(text) for text in ("#101010", "#c62828", "#1a3a8f")]
    chosen = choose_threads(colours, [1.0, 5.0, 3.0], card=())
    assert [skein.colour for skein in chosen.skeins] == [colours[1], colours[2], colours[0]]


def test_the_nearest_thread_of_a_card() -> None:
    colours = [Colour.from_hex("#ffcc11"), Colour.from_hex("#404850"), Colour.from_hex("#ffc800")]
    chosen = choose_threads(colours, [1.0, 1.0, 1.0], card=CARD)
    assert [chosen.skeins[i].code for i in chosen.of_colour] == ["H1", "H2", "H1"]


def test_more_colours_than_symbols_share_threads() -> None:
    greys = [Colour(n / 100, n / 100, n / 100) for n in range(100)]
    chosen = choose_threads(greys, [1.0] * 100, card=())
    assert len(chosen.skeins) == MOST_THREADS
    assert chosen.merged == 100 - MOST_THREADS
    for grey, index in zip(greys, chosen.of_colour, strict=True):
        assert abs(chosen.skeins[index].colour.red - grey.red) < 0.06


@pytest.mark.parametrize("order", [[0, 1, 2], [2, 0, 1]])
def test_the_order_of_the_colours_decides_nothing(order: list[int]) -> None:
    colours = [Colour.from_hex(text) for text in ("#101010", "#c62828", "#1a3a8f")]
    chosen = choose_threads([colours[i] for i in order], [2.0] * 3, card=())
    assert chosen.skeins == choose_threads(colours, [2.0] * 3, card=()).skeins
