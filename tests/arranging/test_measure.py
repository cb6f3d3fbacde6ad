"""The energy told of a chart: what descent made least, and what can be counted by hand."""

import numpy as np
import pytest
from hypothesis import given, settings

from svg2chart import stitches
from svg2chart.arranging import keeping, mending
from svg2chart.arranging.candidates import AREA_UNIT, find_candidates
from svg2chart.arranging.descent import settle
from svg2chart.arranging.patterns import COST_UNIT, Fractions
from svg2chart.arranging.perimeter import edge_lengths
from svg2chart.artwork import Artwork
from svg2chart.colour import Colour
from svg2chart.convert import Settings, convert_and_measure
from svg2chart.fit import lay_on_grid
from svg2chart.grid import Extent, Grid
from svg2chart.octants.areas import MIXED
from svg2chart.stitches import differences, energy_of, work_stitches
from svg2chart.visible import visible_areas
from tests.breadth import examples
from tests.drawings import RED, box, diamond, drawing, shape
from tests.test_laws import artworks

CLOTH = Colour.from_hex("#f8f4ea")


@settings(max_examples=examples(25))  # each charts a drawing twice
@given(artworks())
def test_it_is_the_energy_that_descent_made_least(artwork: Artwork) -> None:
    grid = Grid.fit(artwork, square=1, extent=Extent.PAGE)
    laid = lay_on_grid(artwork, grid)
    seen = visible_areas(laid.shapes, groups=artwork.groups, rows=grid.rows, columns=grid.columns)
    colours = [CLOTH, *(Colour(*colour[:3]) for colour in seen.colours[1:])]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(keeping, "LEAST_KEPT", np.inf)  # nothing is given back or mended after descent
        patch.setattr(mending, "find_gaps", lambda *_: [])
        worked = work_stitches(seen, colours, fractions=Fractions.ALL)
    areas = seen.without_traces(1 / (2 * AREA_UNIT))
    candidates = find_candidates(areas, differences=differences(colours), fractions=Fractions.ALL)
    solid = np.where(areas.solid == MIXED, 0, areas.solid).astype(np.int64)
    settled = settle(candidates, solid, edge_lengths(areas))
    assert energy_of(worked, seen, colours).total == pytest.approx(settled.energy / COST_UNIT, abs=1e-6)


def measured(artwork: Artwork, fractions: Fractions = Fractions.ALL) -> stitches.Energy:
    grid = Grid.fit(artwork, square=1, extent=Extent.PAGE)
    return convert_and_measure(artwork, grid, Settings(fractions=fractions)).energy


def test_squares_of_their_own_fit_without_work() -> None:
    energy = measured(drawing(shape(RED, box(1, 1, 4, 3)), wide=6, high=5))
    assert (energy.misfit, energy.work, energy.edge_length) == (0.0, 0.0, 10.0)


def test_a_diamond_costs_its_fractions() -> None:
    """Twelve three-quarter stitches along its edges fit; as full stitches half a square of each is wrong."""
    artwork = drawing(shape(RED, diamond(4, 4, 3)), wide=8, high=8)
    whole = measured(artwork)
    assert (whole.misfit, whole.work) == (0.0, pytest.approx(12 * 0.10, abs=1e-6))
    assert whole.edge_length == pytest.approx(12 * 2**0.5, abs=1e-5)
    full = measured(artwork, Fractions.NONE)
    assert full.work == 0.0
    assert full.misfit == pytest.approx(12 * 0.5, abs=1e-6)
