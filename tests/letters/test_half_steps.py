"""Steps of half a square in stitched letters: counted as on the edges of triangles, none along slants."""

from collections import Counter, defaultdict
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from svg2chart.geometry.polygon import Polygon
from svg2chart.letters.choices import choices
from svg2chart.letters.deciding import decide
from svg2chart.letters.half_steps import enclosed_parts, enclosed_quarters, half_steps, half_steps_with
from svg2chart.letters.holes import beside, bytes_of, rings
from svg2chart.letters.judging import LARGE, SMALL, Costs
from svg2chart.letters.steps import kinds_of
from tests.breadth import examples
from tests.letters.wanted import one_part

ROWS, COLUMNS = 4, 5
Place = tuple[int, int]
letters = st.lists(
    st.integers(0, len(choices().shown) - 1), min_size=ROWS * COLUMNS, max_size=ROWS * COLUMNS
).map(lambda chosen: choices().shown[np.reshape(chosen, (1, ROWS, COLUMNS))])
# the corners of each octant, in half squares
RIM = ((1, 0), (2, 0), (2, 1), (2, 2), (1, 2), (0, 2), (0, 1), (0, 0), (1, 0))
OCTANTS = [((1, 1), first, then) for first, then in pairwise(RIM)]


def edges_of(shown: np.ndarray) -> dict[Place, list[Place]]:
    """Return which places edges lead to from each place, in half squares: sides of one triangle only."""
    sides: Counter[frozenset[Place]] = Counter()
    for row, column, octant in np.argwhere(shown).tolist():
        corners = [(2 * column + x, 2 * row + y) for x, y in OCTANTS[octant]]
        sides.update(frozenset(side) for side in pairwise([*corners, corners[0]]))
    found: dict[Place, list[Place]] = defaultdict(list)
    for side in (side for side, count in sides.items() if count == 1):
        one, other = side
        found[one].append(other)
        found[other].append(one)
    return found


def turn_at(edges: dict[Place, list[Place]], at: Place, before: Place) -> int:
    """Return 1 where an edge that comes from a place turns sharply right, -1 where left, else 0."""
    if len(edges[at]) != 2:
        return 0
    (after,) = (place for place in edges[at] if place != before)
    come, go = (at[0] - before[0], at[1] - before[1]), (after[0] - at[0], after[1] - at[1])
    is_sharp = come[0] * go[0] + come[1] * go[1] <= 0
    return int(np.sign(come[0] * go[1] - come[1] * go[0])) if is_sharp else 0


def half_steps_on_edges(shown: np.ndarray) -> int:
    """Return how many pieces of edge of half a square turn sharply at both ends, one way and the other."""
    edges, found = edges_of(shown), 0
    for one, others in edges.items():
        for other in others:
            is_level = abs(one[0] - other[0]) + abs(one[1] - other[1]) == 1
            if one < other and is_level:
                # seen from one end, an edge that goes on to the same side turns the other way
                found += turn_at(edges, one, other) * turn_at(edges, other, one) == 1
    return found


def counted(shown: np.ndarray) -> np.ndarray:
    """Return how many half steps letters have whose outline has no corners."""
    held = bytes_of(shown)
    return half_steps(
        held, rings(held), beside(held), np.zeros((len(shown), ROWS + 1, COLUMNS + 1), np.bool_)
    )


@given(letters)
def test_half_steps_are_those_of_the_edges(shown: np.ndarray) -> None:
    assert counted(shown)[0] == half_steps_on_edges(shown[0])


@settings(max_examples=examples(50))
@given(letters, st.integers(0, ROWS - 1), st.integers(0, COLUMNS - 1))
def test_a_choice_adds_the_half_steps_that_are_there_afterwards(
    shown: np.ndarray, row: int, column: int
) -> None:
    wide = COLUMNS + 4  # two bare squares around
    held = np.pad(bytes_of(shown)[0], 2).ravel()
    around = np.pad(rings(bytes_of(shown))[0], ((2, 1), (2, 1))).ravel()
    kinds, at = kinds_of(around, np.zeros(len(held), np.bool_)), np.array([(row + 2) * wide + column + 2])
    with_each = half_steps_with(held, kinds, at, wide)[0].astype(int)
    tried = np.repeat(shown, len(choices().shown), axis=0)
    tried[:, row, column] = choices().shown
    after = counted(tried)
    assert (with_each - with_each[0] == after - after[0]).all()


@pytest.mark.parametrize("costs", [LARGE, SMALL])
@pytest.mark.parametrize("steep", [1.2, 1.6, 2.0, 2.4, 2.8, 3.3])
@pytest.mark.parametrize("shift", [0.0, 0.25, 0.5, 0.75])
def test_a_slanted_stroke_has_no_steps_of_half_a_square(costs: Costs, steep: float, shift: float) -> None:
    left, right, wide = 1.0 + shift, 1.0 + shift + 7 / steep, 1.1
    outline = Polygon.of_contours([np.array([(left, 1), (left + wide, 1), (right + wide, 8), (right, 8)])])
    wanted = one_part(ink=outline.area(), costs=costs)
    found = decide([outline], [0.0], wanted, drawn=[[outline]], stems=[[]])
    assert half_steps_on_edges(found.shown) == 0
    assert found.parts == 1


def test_only_a_bare_quarter_amid_stitches_is_closed_in() -> None:
    shown = np.ones((2, 3, 3, 8), np.bool_)
    shown[:, 1, 1, [6, 7]] = False
    shown[1, 0, 1] = False
    held = bytes_of(shown)
    assert enclosed_quarters(held, beside(held)).tolist() == [1, 0]


@pytest.mark.parametrize("bare", [[6, 7], [4, 5, 6, 7], [2, 3, 4, 5, 6, 7]])
def test_a_bare_part_of_a_square_amid_stitches_is_closed_in(bare: list[int]) -> None:
    shown = np.ones((2, 3, 3, 8), np.bool_)
    shown[:, 1, 1, bare] = False
    shown[1, 1, 0] = False
    held = bytes_of(shown)
    assert enclosed_parts(held, beside(held)).tolist() == [1, 0]
