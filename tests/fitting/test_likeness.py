"""Sizes and figures that are meant to be equal, in whatever order they come, and none that are not."""

import numpy as np
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.fitting.likeness import ALIKE, SIGNS, Figure, in_groups

STEP = 1 / 32
lattice = st.integers(0, 200).map(lambda n: n / 256)
sizes = st.lists(st.tuples(lattice, lattice), min_size=1, max_size=12)
CLIMBING = [(n / 100, 1.0) for n in range(300, 480)]


def groups(found: list[tuple[float, float]]) -> set[frozenset[int]]:
    number = in_groups(np.array(found), STEP)
    return {frozenset(np.flatnonzero(number == each).tolist()) for each in set(number.tolist())}


@given(sizes)
@example(CLIMBING)
def test_of_a_group_none_is_larger_than_another_by_more_than_a_step(found: list[tuple[float, float]]) -> None:
    for group in groups(found):
        assert np.ptp(np.array(found)[sorted(group)], axis=0).max() <= STEP


@given(sizes.flatmap(lambda found: st.tuples(st.just(found), st.permutations(range(len(found))))))
def test_groups_are_the_same_in_whatever_order_sizes_come_and_turned(
    drawn: tuple[list[tuple[float, float]], list[int]],
) -> None:
    found, order = drawn
    again = groups([found[number] for number in order])
    assert {frozenset(order[number] for number in group) for group in again} == groups(found)
    assert groups([(high, wide) for wide, high in found]) == groups(found)


@given(
    st.lists(st.lists(st.tuples(*[st.integers(0, 8)] * 2), min_size=1, max_size=5), min_size=1, max_size=4)
)
def test_sizes_within_a_step_are_of_one_group_where_all_others_are_farther_off(
    kinds: list[list[tuple[int, int]]],
) -> None:
    """Kinds that differ by more than two steps, each with sizes up to a step apart."""
    found = [(kind / 10 + a / 256, kind / 10 + b / 256) for kind, own in enumerate(kinds) for a, b in own]
    ends = np.cumsum([len(own) for own in kinds]).tolist()
    assert groups(found) == {
        frozenset(range(end - len(own), end)) for own, end in zip(kinds, ends, strict=True)
    }


def test_a_figure_that_lacks_a_few_points_is_a_copy_and_one_that_lacks_corners_is_none() -> None:
    turn = np.arange(40) * np.pi / 20
    whole = np.stack([4 * np.cos(turn), 3 * np.sin(turn)], axis=1)
    fewer = np.delete(whole, [3, 17, 23], axis=0)
    one, other = Figure.of(whole), Figure.of(fewer)
    onto = other.turned_to(one, SIGNS[0])
    assert onto is not None
    assert np.abs(one.points[onto] - other.points).max() <= ALIKE
    assert one.turned_to(other, SIGNS[0]) is None
    box, flag = ([(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)], [(0.0, 0.0), (4.0, 0.0), (0.0, 3.0)])
    assert Figure.of(np.array(flag)).turned_to(Figure.of(np.array(box)), SIGNS[0]) is None


def test_a_figure_none_of_whose_points_lies_near_is_no_copy() -> None:
    rows = [(float(x), float(y)) for x in range(1, 8) for y in (1, 2)]
    one = Figure.of(np.array([(0.0, 0.0), (8.0, 3.0), *rows]))
    other = Figure.of(np.array([(8.0, 0.0), (0.0, 3.0), *[(x + 0.5, y + 0.25) for x, y in rows[:-1]]]))
    assert len(other.points) < len(one.points)
    assert other.turned_to(one, SIGNS[0]) is None
