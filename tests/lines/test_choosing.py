"""The cheapest choice, against all choices one by one."""

from itertools import product

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.lines import choosing
from svg2chart.lines.choosing import Factor, cheapest_choice


@st.composite
def problems(draw: st.DrawFn) -> tuple[list[int], list[Factor]]:
    """Draw up to six things with up to four options, and factors about one or two of them."""
    options = draw(st.lists(st.integers(1, 4), min_size=1, max_size=6))
    pairs = st.tuples(*[st.integers(0, len(options) - 1)] * 2).map(lambda pair: tuple(sorted(set(pair))))
    factors = []
    for things in draw(st.lists(pairs, max_size=10)):
        shape = [options[thing] for thing in things]
        costs = st.lists(st.integers(0, 99), min_size=int(np.prod(shape)), max_size=int(np.prod(shape)))
        factors.append((things, np.array(draw(costs), np.int64).reshape(shape)))
    return options, factors


def cost_of(chosen: tuple[int, ...], factors: list[Factor]) -> int:
    return sum(int(table[tuple(chosen[thing] for thing in things)]) for things, table in factors)


@given(problems())
def test_no_other_choice_is_cheaper(problem: tuple[list[int], list[Factor]]) -> None:
    options, factors = problem
    least = min(cost_of(chosen, factors) for chosen in product(*map(range, options)))
    assert cost_of(tuple(cheapest_choice(options, factors)), factors) == least


def test_what_is_too_entangled_is_still_decided() -> None:
    # every one of 14 things with every other: all choices together are far more than one table may hold
    options = [4] * 14
    rates = np.random.default_rng(7).integers(0, 50, (14, 14, 4, 4))
    factors = [((i, j), rates[i, j]) for i in range(14) for j in range(i + 1, 14)]
    assert choosing.MOST_ENTRIES < 4**13
    chosen = cheapest_choice(options, factors)
    mean = sum(float(table.mean()) for _, table in factors)
    assert cost_of(tuple(chosen), factors) < mean
