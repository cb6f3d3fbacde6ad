"""Areas in paths: no area has more than two ways, no ring closes, and no plain choice has fewer paths."""

from hypothesis import given
from hypothesis import strategies as st

from svg2chart.guiding.paths import Way, choose_ways

WAYS = st.lists(st.tuples(st.integers(1, 9), st.integers(0, 7), st.integers(0, 7)), max_size=16).map(
    lambda ways: [way for way in ways if way[1] != way[2]]
)


def are_paths(ways: list[Way]) -> bool:
    """Whether the ways make paths: taken one after the other, each joins two that are apart."""
    ends = [area for way in ways for area in way[1:]]
    if any(ends.count(area) > 2 for area in ends):
        return False
    joined = {area: {area} for area in ends}
    for _, one, other in ways:
        if other in joined[one]:
            return False
        both = joined[one] | joined[other]
        joined |= dict.fromkeys(both, both)
    return True


@given(WAYS)
def test_areas_are_put_into_paths(ways: list[Way]) -> None:
    taken = choose_ways(ways)
    assert len(set(taken)) == len(taken)
    assert are_paths([ways[n] for n in taken])


@given(WAYS)
def test_no_way_fits_beside_those_taken_nor_is_the_cheapest_first_better(ways: list[Way]) -> None:
    taken = [ways[n] for n in choose_ways(ways)]
    left = [ways[n] for n in set(range(len(ways))) - set(choose_ways(ways))]
    assert not any(are_paths([*taken, way]) for way in left)
    cheapest: list[Way] = []
    for way in sorted(ways, key=lambda way: way[0]):
        if are_paths([*cheapest, way]):
            cheapest.append(way)
    assert (-len(taken), sum(way[0] for way in taken)) <= (-len(cheapest), sum(way[0] for way in cheapest))
