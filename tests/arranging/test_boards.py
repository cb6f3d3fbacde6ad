"""Boards: what one square costs is what the energy of the whole says, whatever the others show."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from svg2chart.arranging.boards import Boards
from svg2chart.arranging.candidates import AREA_UNIT, Candidates, find_candidates
from svg2chart.arranging.descent import energy_at
from svg2chart.arranging.patterns import Fractions
from svg2chart.arranging.perimeter import edge_lengths
from svg2chart.artwork import Artwork
from svg2chart.colour import Colour
from svg2chart.fit import lay_on_grid
from svg2chart.grid import Extent, Grid
from svg2chart.octants.areas import MIXED
from svg2chart.stitches import differences
from svg2chart.visible import visible_areas
from tests.breadth import examples
from tests.test_laws import artworks

CLOTH = Colour.from_hex("#f8f4ea")


def board_of(artwork: Artwork) -> tuple[Candidates, np.ndarray, np.ndarray]:
    """Return the candidates, the decided squares and the drawing's own edge of each square."""
    grid = Grid.fit(artwork, square=1, extent=Extent.PAGE)
    laid = lay_on_grid(artwork, grid)
    seen = visible_areas(laid.shapes, groups=artwork.groups, rows=grid.rows, columns=grid.columns)
    colours = [CLOTH, *(Colour(*colour[:3]) for colour in seen.colours[1:])]
    areas = seen.without_traces(1 / (2 * AREA_UNIT))
    candidates = find_candidates(areas, differences=differences(colours), fractions=Fractions.ALL)
    solid = np.where(areas.solid == MIXED, 0, areas.solid).astype(np.int64)
    return candidates, solid, edge_lengths(areas)


def at_random(candidates: Candidates, chance: np.random.Generator) -> np.ndarray:
    return chance.integers(candidates.starts[:-1], candidates.starts[1:])


# each measures all candidates of a few squares by the energy of the whole
@settings(max_examples=examples(25))
@given(artworks(), st.integers(0, 2**32 - 1))
def test_what_a_candidate_costs_is_what_it_adds_to_the_energy(artwork: Artwork, seed: int) -> None:
    problem = board_of(artwork)
    candidates, chance = problem[0], np.random.default_rng(seed)
    count = len(candidates.squares)
    boards = Boards(*problem, [at_random(candidates, chance) for _ in range(2)])
    for place in chance.integers(2 * count, size=min(count, 3)):
        board, square = divmod(int(place), count)
        chosen = boards.chosen.reshape(2, count)[board].copy()
        entries = np.arange(candidates.starts[square], candidates.starts[square + 1])
        costs = boards.costs(boards.around(np.array([place])), np.zeros(len(entries), np.int64), entries)
        energies = []
        for entry in entries:
            chosen[square] = entry
            energies.append(energy_at(*problem, chosen))
        assert np.array_equal(np.diff(costs), np.diff(energies))


@settings(max_examples=examples(25))
@given(artworks(), st.integers(0, 2**32 - 1))
def test_squares_changed_one_after_another_are_as_if_laid_out_so(artwork: Artwork, seed: int) -> None:
    problem = board_of(artwork)
    candidates, chance = problem[0], np.random.default_rng(seed)
    first, then = at_random(candidates, chance), at_random(candidates, chance)
    boards = Boards(*problem, (first,))
    for places in np.array_split(chance.permutation(len(first)), 3):
        boards.show(places, then[places])
    assert boards.energies().tolist() == [energy_at(*problem, then)]
