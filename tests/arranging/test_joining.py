"""Joining boards: each patch comes from where it costs less, and nothing else changes."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from svg2chart.arranging.boards import Boards
from svg2chart.arranging.descent import descend, energy_at, settle
from svg2chart.arranging.joining import join
from svg2chart.artwork import Artwork
from tests.arranging.test_boards import at_random, board_of
from tests.breadth import examples
from tests.drawings import RED, drawing, shape
from tests.test_laws import artworks


def test_each_of_two_things_comes_from_the_board_where_it_costs_less() -> None:
    wide = 30
    kites = [[(x, 1.6), (x + 2.4, 5.0), (x, 8.4), (x - 2.4, 5.0)] for x in (5.0, 24.0)]
    two = drawing(*(shape(RED, kite) for kite in kites), wide=wide, high=10)
    problem = board_of(two)
    candidates, settled = problem[0], settle(*problem)
    is_left = candidates.squares % wide < wide // 2
    first, last = candidates.starts[:-1], candidates.starts[1:] - 1
    spoiled = np.where(last == settled.chosen, first, last)
    is_spoiled = spoiled != settled.chosen
    assert all(is_spoiled[is_left == left].any() for left in (True, False))
    starts = [np.where(is_left == left, settled.chosen, spoiled) for left in (True, False)]
    boards = Boards(*problem, starts)
    assert boards.energies().min() > settled.energy
    energy = join(boards)
    assert boards.energies()[0] == energy == settled.energy


@settings(max_examples=examples(25))  # each descends from three charts by chance
@given(artworks(), st.integers(0, 2**32 - 1))
def test_what_is_joined_costs_no_more_than_any_and_what_the_whole_costs(artwork: Artwork, seed: int) -> None:
    problem = board_of(artwork)
    chance = np.random.default_rng(seed)
    boards = Boards(*problem, [at_random(problem[0], chance) for _ in range(3)])
    descend(boards)
    before = boards.energies().min()
    energy = join(boards)
    assert energy <= before
    assert energy == energy_at(*problem, boards.chosen.reshape(3, -1)[0])
