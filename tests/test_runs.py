"""Flat arrays of runs, held to numpy's own slower ways."""

from itertools import pairwise

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.runs import (
    begins,
    distinct,
    ends,
    in_order,
    lengths,
    linked,
    numbered,
    places_in_runs,
    ranks,
    sorted_together,
    spread,
    within_groups,
)

small = st.integers(0, 3)
large = st.sampled_from([0, 1, 2**31, 2**45])


@given(st.lists(st.tuples(small | large, small | large, small), max_size=20))
def test_in_order_is_the_stable_order_of_the_first_key_then_the_second(
    rows: list[tuple[int, int, int]],
) -> None:
    keys = np.array(rows, dtype=np.int64).reshape(-1, 3).T
    assert in_order(*keys).tolist() == np.lexsort(keys[::-1]).tolist()


@given(st.lists(st.floats(-2, 2) | st.sampled_from([0.0, 0.5]), max_size=20))
def test_a_rank_counts_the_different_numbers_below(values: list[float]) -> None:
    array = np.array(values, dtype=np.float64)
    assert ranks(array).tolist() == [len({w for w in values if w < v}) for v in values]


@given(st.lists(st.tuples(st.integers(-5, 5), st.integers(0, 4)), max_size=10))
def test_runs_spread_and_are_numbered(runs: list[tuple[int, int]]) -> None:
    starts, counts = np.array(runs, dtype=np.int64).reshape(-1, 2).T
    assert spread(starts, counts).tolist() == [n for s, c in runs for n in range(s, s + c)]
    assert within_groups(counts).tolist() == [n for _, c in runs for n in range(c)]
    assert lengths(np.cumsum(counts) - counts, int(counts.sum())).tolist() == counts.tolist()


@given(st.lists(small, max_size=20))
def test_runs_begin_and_end_where_the_numbers_change(numbers: list[int]) -> None:
    array = np.array(numbers, dtype=np.int64)
    begin = begins(array)
    changes = [a != b for a, b in pairwise(numbers)]
    assert begin.tolist() == ([True, *changes] if numbers else [])
    assert ends(begin).tolist() == ([*changes, True] if numbers else [])
    counted = places_in_runs(array)
    assert all(counted[i] == (0 if begin[i] else counted[i - 1] + 1) for i in range(len(numbers)))


@given(st.lists(st.tuples(st.integers(0, 11), st.integers(0, 11)), max_size=14))
def test_what_is_linked_has_the_least_of_its_numbers(pairs: list[tuple[int, int]]) -> None:
    found = linked(*np.array(pairs, np.int64).reshape(-1, 2).T, 12).tolist()
    reach = {number: {number} for number in range(12)}
    for _ in range(12):
        for one, other in pairs:
            reach[one] = reach[other] = reach[one] | reach[other]
    assert found == [min(reach[number]) for number in range(12)]


@given(st.lists(st.tuples(small | large, small, small | large), max_size=30))
def test_keys_sorted_together_are_sorted_tuples(rows: list[tuple[int, int, int]]) -> None:
    """Packed into one number each, or not where that is too long."""
    keys = np.array(rows, np.int64).reshape(-1, 3).T
    found = sorted_together(*keys)
    assert list(zip(*(key.tolist() for key in found), strict=True)) == sorted(rows)


@given(st.lists(small | large))
def test_numbered_values_are_found_again(values: list[int]) -> None:
    different, number = numbered(np.array(values, np.int64))
    assert different.tolist() == sorted(set(values))
    assert different[number].tolist() == values


@given(st.lists(st.integers(-9, 9)))
def test_what_is_distinct_is_a_sorted_set(values: list[int]) -> None:
    assert distinct(np.array(values, np.int64)).tolist() == sorted(set(values))
