"""The cheapest of all choices, against trying all of them."""

from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from svg2chart.fitting.choice import Choice, Pull

Costs = list[tuple[int, int]]
cost_of_one = st.integers(0, 6)


def pulls_between(first: int, second: int) -> st.SearchStrategy[Pull]:
    """Draw what a pair costs that never gains by being unlike in both ways."""

    def pull(low: int, high: int, unlike: int, more: int) -> Pull:
        other = max(0, low + high - unlike) + more
        return Pull(first=first, second=second, low=low, second_high=unlike, first_high=other, high=high)

    return st.builds(pull, cost_of_one, cost_of_one, cost_of_one, st.integers(0, 3))


@st.composite
def tasks(draw: st.DrawFn, most: int) -> tuple[Costs, list[Pull], list[dict[int, Pull]]]:
    """Draw costs of a few variables and of pairs, and how pairs change then, a few times."""
    costs = draw(st.lists(st.tuples(cost_of_one, cost_of_one), min_size=2, max_size=most))
    ends = st.lists(st.integers(0, len(costs) - 1), min_size=2, max_size=2, unique=True)
    pulls = [draw(pulls_between(*draw(ends))) for _ in range(draw(st.integers(0, 2 * most)))]
    changes = []
    for _ in range(draw(st.integers(0, 3)) if pulls else 0):
        numbers = draw(st.sets(st.integers(0, len(pulls) - 1)))
        changes.append({n: draw(pulls_between(pulls[n].first, pulls[n].second)) for n in sorted(numbers)})
    return costs, pulls, changes


def best(costs: Costs, pulls: list[Pull]) -> tuple[int, list[int | None]]:
    """Return the least cost of all choices, and each value that all of the best have."""

    def paid(pull: Pull, first: int, second: int) -> int:
        return ((pull.low, pull.second_high), (pull.first_high, pull.high))[first][second]

    def cost(values: tuple[int, ...]) -> int:
        alone = sum(pair[value] for pair, value in zip(costs, values, strict=True))
        return alone + sum(paid(pull, values[pull.first], values[pull.second]) for pull in pulls)

    every = list(product((0, 1), repeat=len(costs)))
    least = min(map(cost, every))
    wanted = [{values[i] for values in every if cost(values) == least} for i in range(len(costs))]
    return least, [found.pop() if len(found) == 1 else None for found in wanted]


@given(tasks(6))
def test_choices_cost_the_least_and_what_is_open_is_left_open(
    task: tuple[Costs, list[Pull], list[dict[int, Pull]]],
) -> None:
    costs, pulls, changes = task
    choice = Choice(costs, pulls)
    assert (choice.cost, choice.values()) == best(costs, pulls)
    for change in changes:
        before = choice.cost, choice.values()
        other = choice.changed(change)
        assert (choice.cost, choice.values()) == before
        pulls = [change.get(number, pull) for number, pull in enumerate(pulls)]
        choice = other
        assert (choice.cost, choice.values()) == best(costs, pulls)


@given(tasks(20))
def test_a_changed_choice_is_that_of_the_changed_task(
    task: tuple[Costs, list[Pull], list[dict[int, Pull]]],
) -> None:
    costs, pulls, changes = task
    choice = Choice(costs, pulls)
    for change in changes:
        choice = choice.changed(change)
        pulls = [change.get(number, pull) for number, pull in enumerate(pulls)]
        fresh = Choice(costs, pulls)
        assert (choice.cost, choice.values()) == (fresh.cost, fresh.values())
