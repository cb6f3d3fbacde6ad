"""Boxes in a row keep apart, together as near to where they are drawn as that leaves room for."""

from itertools import product

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.fitting.rows import row_neighbours, spaced

LEAST = 2.375


@st.composite
def rows(draw: st.DrawFn) -> tuple[np.ndarray, np.ndarray]:
    """Draw where the middles of boxes may lie, and what each place costs."""
    spaces = draw(st.lists(st.integers(24, 36).map(lambda n: n / 10), min_size=1, max_size=6))
    low = np.floor(np.cumsum([draw(st.integers(0, 9)) / 10, *spaces]))
    costs = draw(st.lists(st.tuples(*[st.integers(-1, 9)] * 2), min_size=len(low), max_size=len(low)))
    return np.stack([low, low + 1]), np.array(costs).T


@given(rows())
def test_a_row_is_laid_at_the_least_cost_of_all_that_keep_it_apart(
    row: tuple[np.ndarray, np.ndarray],
) -> None:
    middles, cost = row
    count = middles.shape[1]
    alone = np.where((cost[1] >= 0) & ((cost[0] < 0) | (cost[1] < cost[0])), 1, 0)
    neighbours = np.stack([np.arange(count - 1), np.arange(1, count)], axis=1)
    found = spaced(alone == 1, middles, cost, neighbours, least=LEAST)
    if (cost.max(axis=0) < 0).any():
        return  # what has no place parts the row
    number = np.arange(count)

    def is_apart(places: np.ndarray) -> bool:
        return bool((np.diff(middles[places, number]) >= LEAST).all())

    ways: dict[int, list[tuple[int, ...]]] = {}
    for each in product((0, 1), repeat=count):
        own = cost[np.array(each), number]
        if (own >= 0).all() and is_apart(np.array(each)):
            ways.setdefault(int(own.sum()), []).append(each)
    best = ways[min(ways)] if ways else []
    expected = alone if is_apart(alone) or len(best) != 1 else best[0]
    assert found.astype(int).tolist() == list(expected)


@given(st.lists(st.integers(1, 3), min_size=1, max_size=6), st.integers(0, 1))
def test_the_next_in_a_row_is_the_nearest_and_of_no_other(spaces: list[int], axis: int) -> None:
    starts = np.cumsum([0, *spaces]) * 3.0
    boxes = np.stack([starts, np.zeros(len(starts)), starts + 2, np.ones(len(starts))], axis=1)
    boxes = boxes if axis == 0 else boxes[:, [1, 0, 3, 2]]
    pairs = np.array([each for each in product(range(len(boxes)), repeat=2) if each[0] != each[1]])
    found = row_neighbours(boxes, pairs, axis)
    assert found.tolist() == [[k, k + 1] for k in range(len(boxes) - 1)]
    assert not len(row_neighbours(boxes, pairs, 1 - axis))
