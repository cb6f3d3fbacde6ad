"""Colours that share threads: the least loss by area, and nothing that hangs on the order of equals."""

from collections.abc import Iterable
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from svg2chart.colour import Colour, ciede2000, lab
from svg2chart.convert import convert
from svg2chart.grid import Extent, Grid
from svg2chart.merging import AREA_UNIT, DIFFERENCE_UNIT, choose_most
from svg2chart.remarks import Severity
from svg2chart.threads import choose_threads
from tests.breadth import examples
from tests.drawings import BLUE, RED, YELLOW, box, drawing, drawn, shape, stroke

colours = st.integers(0, 0xFFFFFF).map(lambda number: Colour.from_hex(f"#{number:06x}"))
palettes = st.lists(st.tuples(colours, st.sampled_from([0.0, 0.5, 1.0, 7.0, 300.0])), min_size=2, max_size=9)


def losses(palette: list[tuple[Colour, float]]) -> list[list[int]]:
    """Return what each colour loses at each other one: its area times their difference, in whole units."""
    coordinates = lab([colour for colour, _ in palette])
    return [
        [
            round(float(ciede2000(one, other)) * DIFFERENCE_UNIT) * round(area * AREA_UNIT)
            for other in coordinates
        ]
        for one, (_, area) in zip(coordinates, palette, strict=True)
    ]


def loss(table: list[list[int]], chosen: Iterable[int]) -> int:
    return sum(min(row[index] for index in chosen) for row in table)


def chosen_of(palette: list[tuple[Colour, float]], most: int) -> tuple[int, ...]:
    own = [colour for colour, _ in palette]
    return tuple(own.index(colour) for colour in choose_most(own, [area for _, area in palette], most))


@given(palettes, st.data())
@settings(max_examples=examples(25))  # each tries every exchange, one by one
def test_no_exchange_of_a_thread_loses_less(palette: list[tuple[Colour, float]], data: st.DataObject) -> None:
    most = data.draw(st.integers(1, len(palette) - 1))
    chosen = chosen_of(palette, most)
    assert len(chosen) <= most
    table = losses(palette)
    ours = loss(table, chosen)
    for out in chosen:
        for put in set(range(len(palette))) - set(chosen):
            assert ours <= loss(table, {*chosen, put} - {out})


@pytest.mark.parametrize("seed", range(12))
def test_small_palettes_get_the_very_least_loss(seed: int) -> None:
    """Against all choices: twelve random colours, four threads."""
    random = np.random.default_rng(seed)
    palette = [(Colour(*random.integers(0, 256, 3) / 255), float(random.integers(1, 500))) for _ in range(12)]
    table = losses(palette)
    assert loss(table, chosen_of(palette, 4)) == min(
        loss(table, chosen) for chosen in combinations(range(12), 4)
    )


def test_thousands_of_colours_are_merged_without_comparing_all_with_all() -> None:
    random = np.random.default_rng(5)
    colours = sorted({Colour(*c) for c in np.round(random.random((1500, 3)) * 255) / 255})
    chosen = choose_threads(colours, [1.0] * len(colours), card=(), most=60)
    assert len(chosen.skeins) == 60
    goes_to = [colours.index(chosen.skeins[index].colour) for index in chosen.of_colour]
    assert all(goes_to[index] == index for index in set(goes_to))
    coordinates = lab(colours)
    mean = ciede2000(coordinates, coordinates[goes_to]).mean()
    by_chance = ciede2000(coordinates, coordinates[:60][np.arange(len(colours)) % 60]).mean()
    assert mean < by_chance / 4


def test_every_colour_that_shares_a_thread_is_a_remark() -> None:
    """Two reds nobody can tell apart, and of red, yellow and a darker yellow apart from it two threads."""
    marks = [
        shape(colour, box(left, 0, left + wide, 2))
        for colour, left, wide in ((RED, 0, 3), ("#c62829", 3, 1), (YELLOW, 4, 3), ("#d9a820", 8, 1))
    ]
    artwork = drawing(*marks, wide=9, high=2)
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE), most_threads=2)
    assert drawn(chart) == [["r", "r", "r", "r", "y", "y", "y", ".", "y"]] * 2
    assert [r.severity for r in chart.remarks] == [Severity.SIMPLIFIED] * 2
    assert [colour in r.what for r, colour in zip(chart.remarks, ("#c62829", "#d9a820"), strict=True)] == [
        True
    ] * 2


def test_lines_count_for_what_they_cover() -> None:
    """A long outline keeps its thread before a small area does: 12 squares of line cover 4, the box 1."""
    marks = (shape(RED, box(0, 0, 4, 4)), shape(YELLOW, box(5, 5, 6, 6)), stroke(BLUE, [(0, 6), (12, 6)]))
    artwork = drawing(*marks, wide=12, high=8)
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE), most_threads=2)
    assert {thread.colour for thread in chart.threads} == {RED, BLUE}
