"""Symbols given to threads: the clearest for fractions, the least alike where threads could be mixed up."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from svg2chart.colour import Colour
from svg2chart.symbol_assignment import CLEAR_WHEN_SMALL, assign_symbols, confusions, likeness
from svg2chart.symbols import SYMBOLS, symbols_for
from tests.breadth import examples


@st.composite
def threads(draw: st.DrawFn) -> tuple[list[bool], np.ndarray, list[Colour]]:
    count = draw(st.integers(1, 62))
    rng = np.random.default_rng(draw(st.integers(0, 9999)))
    touching = np.triu(rng.integers(0, 200, (count, count)) * (rng.random((count, count)) < 0.2), 1)
    colours = [Colour(*channels) for channels in rng.random((count, 3))]
    return [bool(used) for used in rng.random(count) < rng.random()], touching + touching.T, colours


def cost(symbols: tuple, touching: np.ndarray, colours: list[Colour]) -> int:
    weights = confusions(len(symbols), touching, colours)
    costs = likeness([SYMBOLS.index(symbol) for symbol in symbols])
    return sum(int(weights[i, j] * costs[i, j]) for i, j in combinations(range(len(symbols)), 2))


@given(threads())
@settings(max_examples=examples(25))
def test_no_exchange_of_two_symbols_helps_and_fractions_get_clear_ones(
    case: tuple[list[bool], np.ndarray, list[Colour]],
) -> None:
    uses_fractions, touching, colours = case
    symbols = assign_symbols(uses_fractions, touching=touching, colours=colours)
    assert sorted(s.name for s in symbols) == sorted(s.name for s in symbols_for(len(uses_fractions)))
    clear = max(CLEAR_WHEN_SMALL, sum(uses_fractions))
    places = [SYMBOLS.index(symbol) for symbol in symbols]
    assert all(place < clear for place, used in zip(places, uses_fractions, strict=True) if used)
    ours = cost(symbols, touching, colours)
    naive = assign_symbols(uses_fractions)
    assert ours <= cost(naive, touching, colours)
    for i, j in list(combinations(range(len(symbols)), 2))[:60]:
        swapped = list(symbols)
        swapped[i], swapped[j] = swapped[j], swapped[i]
        allowed = (places[j] < clear or not uses_fractions[i]) and (
            places[i] < clear or not uses_fractions[j]
        )
        assert not allowed or ours <= cost(tuple(swapped), touching, colours)


@given(st.lists(st.booleans(), max_size=62))
def test_without_more_to_go_by_fractions_get_the_first_symbols(uses_fractions: list[bool]) -> None:
    symbols = assign_symbols(uses_fractions)
    small = [s for s, is_small in zip(symbols, uses_fractions, strict=True) if is_small]
    whole = [s for s, is_small in zip(symbols, uses_fractions, strict=True) if not is_small]
    assert (*small, *whole) == symbols_for(len(uses_fractions))


@pytest.mark.parametrize("threads_there", [6, 20])
def test_two_threads_that_alone_meet_get_one_of_the_least_alike_pairs(threads_there: int) -> None:
    touching = np.zeros((threads_there, threads_there), int)
    touching[2, 5] = touching[5, 2] = 100
    symbols = assign_symbols([False] * threads_there, touching=touching)
    costs = likeness(range(threads_there))
    pairs = costs[np.triu_indices(threads_there, 1)]
    place = [SYMBOLS.index(symbols[i]) for i in (2, 5)]
    assert costs[place[0], place[1]] <= np.quantile(pairs, 0.1)
