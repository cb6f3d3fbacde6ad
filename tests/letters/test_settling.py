"""Squares settled by turns: as if all were looked at in each, and with little room for large letters."""

import tracemalloc

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from svg2chart.letters.choices import choices
from svg2chart.letters.judging import LARGE, LOWEST, SMALL, Costs
from svg2chart.letters.settling import Board
from svg2chart.letters.squares import Outlines, choose, energies
from tests.breadth import examples

ROWS, COLUMNS = 5, 9
TURNS = ((0, 0), (1, 1), (0, 1), (1, 0))


def settled_one_by_one(outlines: Outlines, chosen: np.ndarray, costs: Costs) -> np.ndarray:
    """Return what squares hold where every turn tries every choice of every square, by the energy of all."""
    table = choices().shown
    while True:
        before = chosen.copy()
        for turn in TURNS:
            now = chosen.copy()
            for row in range(turn[0], ROWS, 2):
                for column in range(turn[1], COLUMNS, 2):
                    tried = np.repeat(table[now][None], len(table), axis=0)
                    tried[:, row, column] = table
                    energy = energies(outlines.at(np.zeros(len(table), int)), tried, costs.weights)
                    if energy.min() < energy[now[row, column]] - 1e-9:
                        chosen[row, column] = energy.argmin()
        if np.array_equal(before, chosen):
            return chosen


@settings(deadline=None, max_examples=examples(20))
@given(st.integers(0, 2**32 - 1), st.sampled_from([LARGE, SMALL, LOWEST]))
def test_squares_settle_as_if_every_turn_looked_at_all(seed: int, costs: Costs) -> None:
    rng = np.random.default_rng(seed)
    table = choices()
    # much of it all ink or none, as in large letters
    solid = np.repeat(rng.random((ROWS, 3)) < 0.5, COLUMNS // 3, axis=1)
    ink = np.where(rng.random((ROWS, COLUMNS)) < 0.2, rng.random((ROWS, COLUMNS)), solid)
    areas = np.repeat(ink[None, ..., None] / 8, 8, axis=-1)
    outlines = Outlines.of(areas)
    wrong = areas.reshape(-1, 8) @ (1.0 - 2.0 * table.shown.T) + table.shown.sum(axis=1) / 8
    local = wrong.reshape(1, ROWS, COLUMNS, -1) + table.costs(costs.weights.work)
    start = local.argmin(axis=-1)
    board = Board(areas, outlines.corners, local, start)
    board.settle(costs.weights, part=1.0)
    assert np.array_equal(board.chosen[0], settled_one_by_one(outlines, start[0].copy(), costs))


def peak_for(letters: int, side: int) -> int:
    """Return how many bytes are held at once while so many letters are chosen, of so many squares a side."""
    areas = np.zeros((letters, side, side, 8))
    areas[:, 20:-20, 20:-20] = 1 / 8
    allowed = np.ones((side, side, len(choices().shown)), np.bool_)
    outlines = Outlines.of(areas)
    tracemalloc.start()
    shown, _ = choose(outlines, np.zeros(letters), allowed, LARGE.weights)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert np.array_equal(shown, areas > 0)
    return peak


def test_more_large_letters_take_hardly_more_room_than_their_stitches() -> None:
    few, many, side = 20, 40, 100
    stitches = (many - few) * side * side * 8
    # what each choice costs by itself are 18 numbers of eight bytes a square
    assert peak_for(many, side) - peak_for(few, side) < 4 * stitches
