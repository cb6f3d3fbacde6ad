"""The stitches of slanted strokes, looked at as regions by shapely."""

from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.coverage import octants
from svg2chart.geometry.polygon import Polygon
from svg2chart.letters.choices import choices
from svg2chart.letters.judging import LARGE, SMALL, Costs
from svg2chart.letters.settling import REACH
from svg2chart.letters.squares import Outlines, choose, energies

# the corners of each octant, in half squares
RIM = ((1, 0), (2, 0), (2, 1), (2, 2), (1, 2), (0, 2), (0, 1), (0, 0), (1, 0))
CORNERS = [((1, 1), first, then) for first, then in pairwise(RIM)]


def stitched(outline: Polygon, rows: int, columns: int, *, costs: Costs) -> shapely.Geometry:
    """Return what is stitched of an outline."""
    allowed = np.ones((rows, columns, len(choices().shown)), np.bool_)
    outlines = Outlines.of(octants(outline, rows, columns)[None])
    (shown,), _ = choose(outlines, np.zeros(1), allowed, costs.weights)
    triangles = [
        [(column + x / 2, row + y / 2) for x, y in CORNERS[octant]]
        for row, column, octant in np.argwhere(shown).tolist()
    ]
    return shapely.union_all(shapely.polygons(triangles))


@pytest.mark.parametrize("steep", [1.0, 1.3, 1.7, 2.0, 2.5, 3.0, 4.0])
@pytest.mark.parametrize("shift", [0.0, 0.25, 0.5, 0.75])
def test_a_slanted_stroke_does_not_hang_together_by_points(steep: float, shift: float) -> None:
    rows, columns, wide = 12, 16, 1.2
    high = np.array([1.0, 11.0])
    left = 1.5 + shift + (high - 1.0) / steep
    outline = Polygon.of_contours(
        [np.array([(left[0], 1), (left[0] + wide, 1), (left[1] + wide, 11), (left[1], 11)])]
    )
    assert len(shapely.get_parts(shapely.buffer(stitched(outline, rows, columns, costs=LARGE), -0.05))) == 1


@pytest.mark.parametrize("wide", [3, 4, 5])
def test_bars_and_openings_of_half_a_square_stay_in_small_letters(wide: int) -> None:
    ring = [(0, 0), (wide, 0), (wide, 2.5), (1, 2.5), (1, 3), (wide, 3), (wide, 4), (0, 4)]
    counter = [(1, 1), (1, 2), (wide - 1, 2), (wide - 1, 1)]
    letter = shapely.Polygon(ring, [counter])  # with a bar and an opening of half a square
    outline = Polygon.of_contours([np.array(ring, float), np.array(counter, float)])
    assert stitched(outline, 4, wide, costs=SMALL).equals(letter)


@pytest.mark.parametrize("steep", [1.0, 1.3, 1.7, 2.0, 2.5, 3.0, 4.0])
@pytest.mark.parametrize("shift", [0.0, 0.25, 0.5, 0.75])
def test_a_slant_has_about_its_ink_around_every_hole(steep: float, shift: float) -> None:
    rows, columns, wide = 12, 16, 1.2
    high = np.array([1.0, 11.0])
    left = 1.5 + shift + (high - 1.0) / steep
    corners = np.array([(left[0], 1), (left[0] + wide, 1), (left[1] + wide, 11), (left[1], 11)])
    drawn = shapely.Polygon(corners)
    found = stitched(Polygon.of_contours([corners]), rows, columns, costs=LARGE)
    for x in range(1, columns):
        for y in range(2, rows - 1):
            around = shapely.Polygon([(x - 1, y), (x, y - 1), (x + 1, y), (x, y + 1)])
            assert (
                abs(found.intersection(around).area - drawn.intersection(around).area) <= 0.5
            )  # a quarter of it


@given(st.integers(0, 2**32 - 1), st.sampled_from([LARGE, SMALL]))
def test_a_square_changes_energy_only_within_reach(seed: int, costs: Costs) -> None:
    rng = np.random.default_rng(seed)
    side, middle = 2 * REACH + 5, REACH + 2
    table = choices().shown
    # whole squares mostly: edges run on, and make saws
    held = np.where(rng.random((side, side)) < 0.6, rng.integers(0, 2, (side, side)), 0)
    held = np.where(rng.random((side, side)) < 0.3, rng.integers(0, len(table), (side, side)), held)
    before = table[held][None]
    after = before.copy()
    after[0, middle, middle] = table[rng.integers(0, len(table))]
    areas = np.clip(before / 8 + rng.normal(0, 0.02, before.shape), 0, 0.125)
    near = (slice(None), slice(2, side - 2), slice(2, side - 2))
    outlines, there = Outlines.of(areas), Outlines.of(areas[near])
    whole = energies(outlines, after, costs.weights) - energies(outlines, before, costs.weights)
    part = energies(there, after[near], costs.weights) - energies(there, before[near], costs.weights)
    assert abs(whole[0] - part[0]) < 1e-9
