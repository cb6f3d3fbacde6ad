"""Gaps: found where stitches come apart though the drawing holds together, and closed there alone."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from svg2chart.arranging.candidates import AREA_UNIT, find_candidates
from svg2chart.arranging.descent import settle
from svg2chart.arranging.gaps import find_gaps
from svg2chart.arranging.mending import mend_gaps
from svg2chart.arranging.patterns import Fractions
from svg2chart.arranging.perimeter import edge_lengths
from svg2chart.arranging.rims import Rims, across, ties_of
from svg2chart.artwork import Artwork
from svg2chart.colour import Colour
from svg2chart.fit import lay_on_grid
from svg2chart.grid import Extent, Grid
from svg2chart.octants.areas import MIXED
from svg2chart.stitches import differences
from svg2chart.visible import visible_areas
from tests.breadth import examples
from tests.drawings import BLUE, GREEN, RED, YELLOW, box, drawing, shape

CLOTH = Colour.from_hex("#f8f4ea")
NONE = np.zeros(0, np.int64)
# .7 squares high, it runs in one row, then half in this and half in the next, then in the next
SINKING = [(1, 2.2), (4, 2.2), (14, 3.2), (17, 3.2), (17, 3.9), (14, 3.9), (4, 2.9), (1, 2.9)]
WIDE = 18


class Board:
    """A drawing as it is seen, and its arrangement of least energy."""

    def __init__(self, artwork: Artwork, *, fractions: Fractions = Fractions.ALL) -> None:
        grid = Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=0.0)
        laid = lay_on_grid(artwork, grid)
        seen = visible_areas(laid.shapes, groups=artwork.groups, rows=grid.rows, columns=grid.columns)
        colours = [CLOTH, *(Colour(*colour[:3]) for colour in seen.colours[1:])]
        self.areas = seen.without_traces(1 / (2 * AREA_UNIT))
        self.allowance = edge_lengths(self.areas)
        self.candidates = find_candidates(self.areas, differences=differences(colours), fractions=fractions)
        self.solid = np.where(self.areas.solid == MIXED, 0, self.areas.solid).astype(np.int64)
        self.settled = settle(self.candidates, self.solid, self.allowance).chosen

    def gaps(self, chosen: np.ndarray) -> list[set[int]]:
        """Return the columns that each gap covers."""
        gaps = find_gaps(self.areas, self.candidates, self.solid, chosen)
        squares = self.candidates.squares
        return [{int(squares[square]) % self.solid.shape[1] for square in gap.squares} for gap in gaps]

    def mended(self, fixed: np.ndarray = NONE) -> np.ndarray:
        problem = (self.areas, self.candidates, self.solid, self.allowance)
        return mend_gaps(*problem, self.settled, fixed=fixed)


@pytest.mark.parametrize("fractions", list(Fractions))
@pytest.mark.parametrize("under", [[], [shape(BLUE, box(0, 0, WIDE, 6))]], ids=["on cloth", "on blue"])
def test_a_strip_that_sinks_by_a_row_has_a_gap_and_loses_it(under: list, fractions: Fractions) -> None:
    board = Board(drawing(*under, shape(RED, SINKING), wide=WIDE, high=6), fractions=fractions)
    (columns,) = board.gaps(board.settled)
    assert columns <= set(range(4, 14))
    mended = board.mended()
    assert board.gaps(mended) == []
    moved = board.candidates.squares[mended != board.settled] % WIDE
    assert set(moved.tolist()) <= set(range(2, 16))


MAST = [(13.08, 31.92), (13.88, 32.09), (19.75, 0.86), (18.99, 0.7)]
SAIL, JIB = [(20.1, 2.82), (16, 29), (34, 28)], [(17.88, 5.87), (12.47, 29), (1.43, 29)]


def test_a_mast_is_not_parted_for_the_strips_of_sky_beside_it() -> None:
    """Mast and strips come apart: what lies above goes before what lies below."""
    sky, mast = shape(BLUE, box(0, 0, 36, 33)), shape(RED, MAST)
    board = Board(drawing(sky, mast, shape(YELLOW, SAIL), shape(GREEN, JIB), wide=36, high=33))
    assert len(board.gaps(board.settled)) > 1
    left = find_gaps(board.areas, board.candidates, board.solid, board.mended())
    assert all(gap.order == 0 for gap in left)


@pytest.mark.parametrize(("wide", "kept"), [(0.3, False), (0.4, False), (0.6, True), (0.8, True)])
def test_a_slit_of_sky_between_two_things_is_kept_from_half_a_square_on(*, wide: float, kept: bool) -> None:
    """A sail does not lose a column of stitches for less."""
    sky, mast = shape(BLUE, box(0, 0, 12, 10)), shape(RED, box(3, 1, 4, 8))
    board = Board(drawing(sky, mast, shape(YELLOW, box(4 + wide, 1, 9, 8)), wide=12, high=10))
    octants = np.repeat(board.solid.reshape(-1, 1), 8, axis=1)
    octants[board.candidates.squares] = board.candidates.shown(board.mended())
    blue = int(board.solid[0, 0])
    assert (octants.reshape(10, 12, 8)[1:8, 4] == blue).any() == kept


def test_squares_that_are_fixed_stay() -> None:
    board = Board(drawing(shape(RED, SINKING), wide=WIDE, high=6))
    fixed = np.flatnonzero(board.mended() != board.settled)
    assert len(fixed)
    assert np.array_equal(board.mended(fixed)[fixed], board.settled[fixed])


@pytest.mark.parametrize("apart", [0.8, 1.0, 1.5])
def test_what_is_drawn_apart_by_most_of_a_square_is_no_gap(apart: float) -> None:
    bars = [shape(RED, box(1, 1, 5, 4)), shape(RED, box(5 + apart, 1, 10, 4))]
    board = Board(drawing(*bars, wide=12, high=6))
    assert board.gaps(board.settled) == []


@given(st.integers(0, 255))
def test_octants_tie_points_in_runs_around_the_rim(octants: int) -> None:
    """Two points are tied where all octants between them, one way or the other, are there."""
    (tied,) = ties_of(np.array([octants], np.uint8)).tolist()
    for one in range(8):
        for other in range(8):
            ways = (
                [(one - 1 + n) % 8 for n in range((other - one) % 8)],
                [(other - 1 + n) % 8 for n in range((one - other) % 8)],
            )
            is_tied = any(all(octants >> octant & 1 for octant in way) for way in ways)
            assert tied[one][other] == (is_tied and one != other)


@given(st.integers(2, 9), st.integers(2, 9), st.integers(0, 2), st.integers(0, 2))
@settings(max_examples=examples(30))
def test_squares_that_touch_give_one_number_to_the_points_that_they_share(
    columns: int, rows: int, down: int, right: int
) -> None:
    """Two squares side by side share three points, two that meet at a hole share one."""
    if (down, right) == (1, 1):
        return
    rims, here = Rims(columns=columns + 2), (rows + 1) * (columns + 2) + columns
    there = here + (down - 1) * (columns + 2) + right - 1
    mine, other = rims.around(np.array([here, there])).tolist()
    table = across(down - 1, right - 1)
    shared = [(n, m) for n, point in enumerate(mine) for m, same in enumerate(other) if point == same]
    assert len(shared) == (3 if 1 in (down, right) else 1)
    assert all(table[1 << n] == 1 << m for n, m in shared)
