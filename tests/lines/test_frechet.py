"""The distance that the other tests measure by: decided for lines, against points along them."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.breadth import examples
from tests.frechet import STEP, frechet, frechet_within

places = st.tuples(*[st.integers(-16, 16).map(lambda n: n / 8)] * 2)


@given(st.lists(places, min_size=2, max_size=5), st.lists(places, min_size=2, max_size=5))
@settings(max_examples=examples(25))
def test_it_is_little_less_than_between_points_along_both(one: list, other: list) -> None:
    measured = frechet(np.array(one), np.array(other))
    assert frechet_within(np.array(one), np.array(other), measured + 1e-9)
    assert measured <= STEP or not frechet_within(np.array(one), np.array(other), measured - STEP)


def test_a_way_back_counts() -> None:
    there, back = (
        np.array([(0.0, 0.0), (8.0, 0.0)]),
        np.array([(0.0, 0.0), (6.0, 0.0), (2.0, 0.0), (8.0, 0.0)]),
    )
    assert frechet_within(there, back, 2.0)  # waits in the middle of the way back
    assert not frechet_within(there, back, 1.99)
    assert not frechet_within(there, there[::-1], 7.9)
