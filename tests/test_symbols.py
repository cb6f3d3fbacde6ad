"""The symbols: as unlike as they are said to be, and none that a chart uses for something else."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.errors import PageError
from svg2chart.symbol_drawing import Symbol
from svg2chart.symbol_likeness import DISTANCES
from svg2chart.symbol_shapes import CANDIDATES
from svg2chart.symbols import (
    LETTERS,
    SMALL_MM,
    SYMBOLS,
    distances,
    least_alike_order,
    render,
    symbol_named,
    symbols_for,
)


@pytest.fixture(scope="module")
def apart() -> np.ndarray:
    return distances(SYMBOLS)


def test_there_is_a_letter_for_every_symbol() -> None:
    assert len(SYMBOLS) == len(LETTERS) == len(set(LETTERS)) == len({s.name for s in SYMBOLS}) == 62
    assert LETTERS.isalnum()
    assert LETTERS.isascii()


def test_the_stored_distances_are_those_measured(apart: np.ndarray) -> None:
    for row, stored in enumerate(DISTANCES):
        assert np.array(stored) / 100 == pytest.approx(apart[row, :row], abs=0.0051)


def test_names_of_candidates_are_unique() -> None:
    assert len({symbol.name for symbol in CANDIDATES}) == len(CANDIDATES)


@pytest.mark.parametrize(("count", "least"), [(20, 0.26), (30, 0.20), (40, 0.15), (60, 0.10), (62, 0.10)])
def test_symbols_stay_apart_in_print(apart: np.ndarray, count: int, least: float) -> None:
    """In squares of 2.2 mm, the smallest for whole stitches, printed and copied twice, dark and faint."""
    assert apart[:count, :count][np.triu_indices(count, 1)].min() >= least


@pytest.mark.parametrize(("count", "least"), [(20, 0.17), (30, 0.12)])
def test_the_first_symbols_stay_apart_when_they_are_small(count: int, least: float) -> None:
    small = distances(SYMBOLS[:count], size_mm=SMALL_MM)
    assert small[np.triu_indices(count, 1)].min() >= least


def _polygon(name: str, *points: tuple[float, float]) -> Symbol:
    return Symbol(name, (points,))


def test_no_symbol_looks_like_a_fraction_or_a_line() -> None:
    others = [
        _polygon("corner triangle", (0.0, 0.0), (1.0, 0.0), (0.0, 1.0)),
        _polygon("quarter block", (0.0, 0.0), (0.5, 0.0), (0.5, 0.5), (0.0, 0.5)),
        _polygon("half block", (0.0, 0.0), (1.0, 0.0), (1.0, 0.5), (0.0, 0.5)),
        _polygon("slash", (0.1, 0.2), (0.2, 0.1), (0.9, 0.8), (0.8, 0.9)),
        _polygon("bar", (0.44, 0.1), (0.56, 0.1), (0.56, 0.9), (0.44, 0.9)),
    ]
    apart = distances([*SYMBOLS, *others])
    # at least as unlike as a mark and its mirror image are held to be, less the rounding of dots
    assert apart[: len(SYMBOLS), len(SYMBOLS) :].min() > 0.14


@pytest.mark.parametrize("symbol", CANDIDATES, ids=lambda s: s.name)
def test_ink_keeps_to_the_middle(symbol: Symbol) -> None:
    """Small marks at scale 0.6 fit into the corners of a square: at most 0.48 / 0.6 of it is ink."""
    left, top, right, bottom = symbol.ink_box
    assert right - left <= 0.77
    assert bottom - top <= 0.77
    assert min(left, top, 1 - right, 1 - bottom) > 0.1


def test_rendered_ink_is_the_area() -> None:
    """A disc of radius 0.37 covers pi 0.37^2; 32 corners lose 0.64 % of it (closed form)."""
    image = render(symbol_named("disc"), 8.0, margin=0)
    assert image.mean() == pytest.approx(np.pi * 0.37**2 * 0.9936, abs=0.003)
    ring = render(symbol_named("disc-outline"), 8.0, margin=0)
    assert ring.mean() == pytest.approx(np.pi * (0.37**2 - 0.28**2) * 0.9936, abs=0.003)


def test_distance_of_relatives_and_of_the_same() -> None:
    up, right, down = (symbol_named(f"chevron-{way}") for way in ("up", "right", "down"))
    apart = distances([up, right, down, up])
    assert np.array_equal(apart, apart.T)
    assert apart[0, 3] == 0
    # a quarter turn or mirror image counts 0.85 of its likeness, which is 1 up to the rounding of dots
    assert 0.14 <= apart[0, 1] <= 0.2
    assert 0.14 <= apart[0, 2] <= 0.2


@given(st.integers(2, 9).flatmap(lambda n: st.lists(st.floats(0, 1), min_size=n * n, max_size=n * n)))
def test_each_next_is_the_farthest_from_all_before(values: list[float]) -> None:
    size = int(len(values) ** 0.5)
    apart = np.round(np.array(values).reshape(size, size), 6)
    apart = np.maximum(apart, apart.T)
    np.fill_diagonal(apart, 0.0)
    order = least_alike_order(apart)
    if apart.max() == 0:
        return
    assert sorted(order) == list(range(size))
    assert apart[order[0], order[1]] == apart.max()
    for place in range(2, size):
        nearest = [min(apart[i, j] for j in order[:place]) for i in order[place:]]
        assert nearest[0] == max(nearest)


def test_too_many_threads_and_unknown_symbols_are_refused() -> None:
    with pytest.raises(
        PageError,
        match=r"63 threads of the chart need a symbol, .* for 62\. Use at most 62 threads\.",
    ):
        symbols_for(63)
    with pytest.raises(PageError, match='no symbol "anchor"'):
        symbol_named("anchor")
