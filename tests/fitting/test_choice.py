"""The cheapest of all choices, against trying all of them."""

from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from svg2chart.fitting.choice import Pull, choose


@st.composite
def tasks(draw: st.DrawFn) -> tuple[list[tuple[int, int]], list[Pull]]:
    """Draw costs of up to six variables, and of pairs that never gain by being unlike in both ways."""
    cost = st.integers(0, 6)
    costs = draw(st.lists(st.tuples(cost, cost), min_size=2, max_size=6))
    pulls = []
    for _ in range(draw(st.integers(0, 8))):
        first, second = draw(st.permutations(range(len(costs))).map(lambda order: tuple(order[:2])))
        low, high, unlike = draw(cost), draw(cost), draw(cost)
        other = max(0, low + high - unlike) + draw(st.integers(0, 3))
        pulls.append(
            Pull(first=first, second=second, low=low, second_high=unlike, first_high=other, high=high)
        )
    return costs, pulls


@given(tasks())
def test_choices_cost_the_least_and_what_is_open_is_left_open(
    task: tuple[list[tuple[int, int]], list[Pull]],
) -> None:
    costs, pulls = task

    def cost(values: tuple[int, ...]) -> int:
        alone = sum(pair[value] for pair, value in zip(costs, values, strict=True))
        return alone + sum(pull.cost(values[pull.first], values[pull.second]) for pull in pulls)

    every = list(product((0, 1), repeat=len(costs)))
    least = min(map(cost, every))
    best = [values for values in every if cost(values) == least]
    wanted = [{values[index] for values in best} for index in range(len(costs))]
    assert choose(costs, pulls) == [found.pop() if len(found) == 1 else None for found in wanted]
