"""Saws in stitched letters: counted as those of drawings, and none where the outline is round."""

from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from svg2chart.arranging.saws import count_saws
from svg2chart.coverage import octants
from svg2chart.geometry.polygon import Polygon
from svg2chart.letters.choices import choices
from svg2chart.letters.half_steps import quarter_steps
from svg2chart.letters.holes import beside, bytes_of, rings
from svg2chart.letters.judging import LARGE, SMALL, Costs
from svg2chart.letters.squares import Outlines, choose
from svg2chart.letters.steps import codes_of, corners_of, kinds_of, saws, saws_with
from tests.breadth import examples

ROWS, COLUMNS = 4, 5
letters = st.lists(
    st.integers(0, len(choices().shown) - 1), min_size=ROWS * COLUMNS, max_size=ROWS * COLUMNS
).map(lambda chosen: choices().shown[np.reshape(chosen, (1, ROWS, COLUMNS))])
ROUND = np.zeros((1, ROWS + 1, COLUMNS + 1), np.bool_)  # an outline without corners


def circle(radius: float, middle: float) -> np.ndarray:
    angles = np.linspace(0, 2 * np.pi, 240, endpoint=False)
    return middle + radius * np.stack([np.cos(angles), np.sin(angles)], axis=1)


def stitched(outline: Polygon, rows: int, columns: int, costs: Costs) -> np.ndarray:
    """Return the octants that are stitched of an outline, (rows, columns, 8)."""
    allowed = np.ones((rows, columns, len(choices().shown)), np.bool_)
    outlines = Outlines.of(octants(outline, rows, columns)[None])
    (shown,), _ = choose(outlines, np.zeros(1), allowed, costs.weights)
    return np.asarray(shown)


def region(shown: np.ndarray) -> shapely.Geometry:
    rim = ((1, 0), (2, 0), (2, 1), (2, 2), (1, 2), (0, 2), (0, 1), (0, 0), (1, 0))
    corners = [((1, 1), first, then) for first, then in pairwise(rim)]
    return shapely.union_all(
        shapely.polygons(
            [
                [(column + x / 2, row + y / 2) for x, y in corners[octant]]
                for row, column, octant in np.argwhere(shown).tolist()
            ]
        )
    ).simplify(0)


def sharp_steps(ring: shapely.LinearRing) -> int:
    """Return how many sides, of a square at the most, turn by right angles to either side at their ends."""
    points = np.array(ring.coords)[:-1]
    sides = np.roll(points, -1, axis=0) - points
    before = np.roll(sides, 1, axis=0)
    cross, dot = before[:, 0] * sides[:, 1] - before[:, 1] * sides[:, 0], (before * sides).sum(axis=1)
    turns = np.degrees(np.arctan2(cross, dot))
    sharp = np.where(abs(turns) > 89, np.sign(turns), 0)
    return int(((sharp * np.roll(sharp, -1) < 0) & (np.hypot(*sides.T) < 1.01)).sum())


def saws_of(shown: np.ndarray) -> np.ndarray:
    """Return how many saws letters have whose outline has no corners, but for those of quarters."""
    return saws(rings(bytes_of(shown)), np.repeat(ROUND, len(shown), axis=0))


@given(letters)
def test_letters_have_the_saws_that_drawings_have(shown: np.ndarray) -> None:
    within = np.pad(shown[0].astype(np.int64), ((2, 2), (2, 2), (0, 0)))
    held = bytes_of(shown)
    assert saws_of(shown)[0] + quarter_steps(held, beside(held))[0] == count_saws(within)


@settings(max_examples=examples(50))
@given(letters, st.integers(0, ROWS - 1), st.integers(0, COLUMNS - 1))
def test_a_choice_adds_the_saws_that_are_there_afterwards(shown: np.ndarray, row: int, column: int) -> None:
    wide = COLUMNS + 4  # two bare squares around
    around = np.pad(rings(bytes_of(shown))[0], ((2, 1), (2, 1))).ravel()
    at, round_holes = np.array([(row + 2) * wide + column + 2]), np.zeros(len(around), np.bool_)
    kinds, codes = kinds_of(around, round_holes), codes_of(around, round_holes)
    counted = saws_with(kinds, codes, at, wide)[0].astype(int)
    tried = np.repeat(shown, len(choices().shown), axis=0)
    tried[:, row, column] = choices().shown
    after = saws_of(tried)
    assert (counted - counted[0] == after - after[0]).all()


@pytest.mark.parametrize("costs", [LARGE, SMALL])
@pytest.mark.parametrize("wide", [5, 6, 7, 8, 9])
def test_a_round_stroke_has_no_steps_inside_or_outside(wide: int, costs: Costs) -> None:
    ring = Polygon.of_contours([circle(wide / 2, wide / 2), circle(wide / 2 - 1, wide / 2)[::-1]])
    found = region(stitched(ring, wide, wide, costs))
    assert found.geom_type == "Polygon"
    assert len(found.interiors) == 1
    assert sharp_steps(found.exterior) == 0
    assert sharp_steps(found.interiors[0]) == 0


@pytest.mark.parametrize("costs", [LARGE, SMALL])
def test_the_ends_of_bars_and_serifs_stay(costs: Costs) -> None:
    """A slab: its steps are the outline's own."""
    points = [(0, 0), (3, 0), (3, 1), (2, 1), (2, 3), (3, 3), (3, 4), (2, 4), (2, 6), (3, 6), (3, 7), (0, 7)]
    points += [(0, 6), (1, 6), (1, 4), (0, 4), (0, 3), (1, 3), (1, 1), (0, 1)]
    outline = Polygon.of_contours([np.array(points, float)])
    assert region(stitched(outline, 7, 3, costs)).equals(shapely.Polygon(points))


def test_corners_of_an_outline_are_those_of_its_right_angles() -> None:
    box = octants(Polygon.of_contours([np.array([(1, 1), (4, 1), (4, 3), (1, 3)], float)]), 4, 5)
    assert np.argwhere(corners_of(box[None])[0]).tolist() == [[1, 1], [1, 4], [3, 1], [3, 4]]
    disc = octants(Polygon.of_contours([circle(3, 3)]), 6, 6)
    assert not corners_of(disc[None]).any()
