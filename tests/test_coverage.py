from fractions import Fraction
from math import cos, pi, sin

import numpy as np
import pytest
import shapely
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.coverage import octants
from svg2chart.geometry.polygon import FillRule, Polygon
from svg2chart.octants.crossings import Places, cut_edges, in_half_squares
from svg2chart.octants.windings import main_diagonal
from tests import exact

# whole, half and quarter numbers put points on holes, side middles and centres; 256ths come near them
lattices = st.sampled_from([1, 2, 4, 256])


@st.composite
def lattice_contours(draw: st.DrawFn) -> list[list[tuple[Fraction, Fraction]]]:
    """Draw up to three contours of any winding that may cross, repeat points and leave the 3 by 3 grid."""
    lattice = draw(lattices)
    number = st.integers(-1 * lattice, 4 * lattice).map(lambda n: Fraction(n, lattice))
    contour = st.lists(st.tuples(number, number), min_size=1, max_size=6)
    return draw(st.lists(contour, min_size=1, max_size=3))


def as_polygon(contours: list[list[tuple[Fraction, Fraction]]], rule: FillRule) -> Polygon:
    return Polygon.of_contours([[(float(x), float(y)) for x, y in c] for c in contours], rule=rule)


BOW_TIE = [
    [
        (Fraction(0), Fraction(0)),
        (Fraction(3), Fraction(3)),
        (Fraction(3), Fraction(0)),
        (Fraction(0), Fraction(3)),
    ]
]
TWICE_ROUND = [[(Fraction(x, 2), Fraction(y, 2)) for x, y in [(1, 1), (5, 1), (5, 5), (1, 5)] * 2]]
ON_A_MIDLINE = [[(Fraction(x, 2), Fraction(y, 2)) for x, y in [(1, 0), (1, 6), (5, 6), (5, 0)]]]
THROUGH_CENTRES = [[(Fraction(x, 2), Fraction(y, 2)) for x, y in [(1, 1), (5, 5), (5, 1)]]]


@given(lattice_contours(), st.sampled_from(FillRule), st.integers(0, 2), st.integers(0, 2))
@example(BOW_TIE, FillRule.NONZERO, 1, 1)
@example(TWICE_ROUND, FillRule.NONZERO, 0, 0)
@example(TWICE_ROUND, FillRule.EVENODD, 0, 0)
@example(ON_A_MIDLINE, FillRule.NONZERO, 2, 0)
@example(THROUGH_CENTRES, FillRule.NONZERO, 1, 1)
def test_octants_equal_exact_rationals(contours: list, rule: FillRule, row: int, column: int) -> None:
    found = octants(as_polygon(contours, rule), 3, 3)[row, column]
    for number in range(8):
        window = exact.octant(number, row=row, column=column)
        wanted = exact.shared_area(contours, window, even_odd=rule is FillRule.EVENODD)
        # 1e-12 of a square: heights of crossings are rounded to 2^-44, about 6e-14
        assert abs(found[number] - float(wanted)) < 1e-12


@given(lattice_contours())
def test_pieces_stay_in_their_quadrants_and_rows_come_back_to_nought(contours: list) -> None:
    edges = in_half_squares(as_polygon(contours, FillRule.NONZERO).edges())
    places = Places(rows=6, columns=6)
    pieces = cut_edges(edges, np.full(edges.shape[1], 5), places)
    line, column = places.apart(pieces.place)
    shape, row = np.divmod(line, places.rows)
    assert (shape == 5).all()
    assert ((column >= -1) & (column <= 6)).all()
    assert ((pieces.place % 2 == 1) == main_diagonal(row, column)).all()
    on_grid = (column >= 0) & (column < 6)
    for across in (pieces.u0[on_grid], pieces.u1[on_grid]):
        assert ((across >= 0) & (across <= 1)).all()
    assert ((pieces.v0 >= 0) & (pieces.v0 <= pieces.v1) & (pieces.v1 <= 1)).all()
    # whole contours: as much runs down through each row as runs up, to the last bit
    assert not np.bincount(row, pieces.sign * (pieces.v1 - pieces.v0), 6).any()


def decided(areas: np.ndarray) -> np.ndarray:
    """Areas as stitches are decided on: rounded to 2^-20 of a square."""
    return np.rint(areas * 2.0**20)


@given(lattice_contours(), st.sampled_from(FillRule), st.integers(0, 20), st.integers(0, 20))
def test_whole_squares_shift_to_the_last_bit(contours: list, rule: FillRule, down: int, right: int) -> None:
    moved = [[(x + right, y + down) for x, y in contour] for contour in contours]
    here = octants(as_polygon(contours, rule), 3, 3)
    there = octants(as_polygon(moved, rule), 3 + down, 3 + right)[down:, right:]
    assert np.array_equal(decided(here), decided(there))


@given(lattice_contours(), st.sampled_from(FillRule))
def test_twice_as_fine_a_grid_refines_each_quadrant(contours: list, rule: FillRule) -> None:
    coarse = octants(as_polygon(contours, rule), 3, 3)
    doubled = [[(2 * x, 2 * y) for x, y in contour] for contour in contours]
    fine = octants(as_polygon(doubled, rule), 6, 6).sum(axis=2) / 4
    for (down, right), pair in {(0, 0): (6, 7), (0, 1): (0, 1), (1, 1): (2, 3), (1, 0): (4, 5)}.items():
        assert np.allclose(coarse[..., pair].sum(axis=2), fine[down::2, right::2], rtol=0, atol=1e-12)


@given(lattice_contours(), st.sampled_from(FillRule))
def test_a_mirror_swaps_left_and_right_octants(contours: list, rule: FillRule) -> None:
    mirrored = [[(3 - x, y) for x, y in contour] for contour in contours]
    swapped = octants(as_polygon(mirrored, rule), 3, 3)[:, ::-1, [7, 6, 5, 4, 3, 2, 1, 0]]
    assert np.allclose(octants(as_polygon(contours, rule), 3, 3), swapped, rtol=0, atol=1e-12)


@given(st.lists(st.integers(4, 40), min_size=3, max_size=12), st.integers(0, 2), st.integers(0, 2))
def test_octants_equal_shapely(reaches: list[int], row: int, column: int) -> None:
    count = len(reaches)
    ring = [
        (1.5 + r / 16 * cos(2 * pi * i / count), 1.5 + r / 16 * sin(2 * pi * i / count))
        for i, r in enumerate(reaches)
    ]
    found = octants(Polygon.of_contours([ring]), 3, 3)[row, column]
    region = shapely.Polygon(ring)
    for number in range(8):
        corners = [(float(x), float(y)) for x, y in exact.octant(number, row=row, column=column)]
        wanted = shapely.area(shapely.intersection(region, shapely.Polygon(corners)))
        assert abs(found[number] - wanted) < 1e-12


def disc(x: float, y: float, radius: float, corners: int = 1 << 15) -> Polygon:
    angles = [2 * pi * i / corners for i in range(corners)]
    return Polygon.of_contours([[(x + radius * cos(a), y + radius * sin(a)) for a in angles]])


def whole(areas: np.ndarray) -> int:
    return int((areas.sum(axis=2) > 1 - 1e-9).sum())


@pytest.mark.parametrize(
    ("radius", "inside", "crossed", "half_covered"),
    # squares fully inside: OEIS A119677; crossed by the circle: OEIS A242118; half covered: OEIS A124623
    [(1, 0, 4, 4), (2, 4, 12, 12), (5, 60, 28, 80), (7, 120, 52, 156), (10, 276, 68, 316)],
)
def test_disc_on_a_hole(radius: int, inside: int, crossed: int, half_covered: int) -> None:
    areas = octants(disc(12, 12, radius), 24, 24)
    share = areas.sum(axis=2)
    assert whole(areas) == inside
    assert int(((share > 1e-9) & (share < 1 - 1e-9)).sum()) == crossed
    assert int((share >= 0.5).sum()) == half_covered
    # a polygon of n corners in a circle has sin(2 pi / n) n / (2 pi) of its area
    assert share.sum() == pytest.approx(pi * radius**2, rel=1e-8)


# OEIS A373193
@pytest.mark.parametrize(("radius", "inside"), [(1, 1), (2, 5), (3, 21), (5, 61), (10, 277)])
def test_disc_in_the_middle_of_a_square(radius: int, inside: int) -> None:
    # the circle of integer radius through square corners touches them: a corner on it may round either way
    areas = octants(disc(12.5, 12.5, radius * (1 + 1e-9)), 25, 25)
    assert whole(areas) == inside


@pytest.mark.parametrize("size", [5, 8, 10])
def test_diamond_on_holes(size: int) -> None:
    around = size + 1
    corners = [(around, 1), (2 * size + 1, around), (around, 2 * size + 1), (1, around)]
    share = octants(Polygon.of_contours([corners]), 2 * around, 2 * around).sum(axis=2)
    # |x| + |y| <= n: 2 n (n - 1) squares inside, 4 n cut along their diagonal, by counting
    assert int((share == 1.0).sum()) == 2 * size * (size - 1)
    assert int((share == 0.5).sum()) == 4 * size
    assert share.sum() == 2 * size**2


def test_half_plane_at_45_degrees_half_a_square_off() -> None:
    share = octants(Polygon.of_contours([[(0.5, 0), (9, 0), (9, 8.5)]]), 9, 9).sum(axis=2)
    cut = share[(share > 0) & (share < 1)]
    # pairs of 7/8 and 1/8, by geometry
    assert set(np.round(cut, 12)) == {0.125, 0.875}


def test_half_plane_of_slope_one_half_repeats_every_two_columns() -> None:
    share = octants(Polygon.of_contours([[(0, 0), (8, 4), (8, 8), (0, 8)]]), 8, 8).sum(axis=2)
    assert np.array_equal(np.sort(share[(share > 0) & (share < 1)]), [0.25] * 4 + [0.75] * 4)
    assert np.array_equal(share[1:, 2:], share[:-1, :-2])


def test_fill_rules_of_a_star() -> None:
    # areas of this five-pointed star: nonzero 2792.2983, even-odd 1929.5965 (MDN, fill-rule example)
    star = [(50, 0), (21, 90), (98, 35), (2, 35), (79, 90)]
    for rule, area in ((FillRule.NONZERO, 2792.2983), (FillRule.EVENODD, 1929.5965)):
        assert octants(Polygon.of_contours([star], rule=rule), 90, 100).sum() == pytest.approx(area, abs=1e-4)


@given(st.integers(2, 40), st.floats(0, 1))
def test_a_regular_polygon_has_its_closed_area(corners: int, turn: float) -> None:
    corners += 1
    ring = [
        (6 + 5 * cos(2 * pi * (i + turn) / corners), 6 + 5 * sin(2 * pi * (i + turn) / corners))
        for i in range(corners)
    ]
    wanted = 25 * corners * sin(2 * pi / corners) / 2
    assert octants(Polygon.of_contours([ring]), 12, 12).sum() == pytest.approx(wanted, abs=1e-9)


@pytest.mark.parametrize("far", [1e3, 1e9, 1e18, 1e30])
def test_shapes_reach_far_beyond_the_grid(far: float) -> None:
    around = [(-far, -far), (far, -far), (far, far), (-far, far)]
    beyond = [(far, 0), (2 * far, 0), (2 * far, 3), (far, 3)]
    to_the_right = [(1, 1), (far, 1), (far, 2), (1, 2)]
    to_the_left = [(-far, 1), (1, 1), (1, 2), (-far, 2)]
    upwards = [(1, 1), (1, -far), (2, -far), (2, 1)]
    for ring, squares in ((around, 9), (beyond, 0), (to_the_right, 2), (to_the_left, 1), (upwards, 1)):
        for drawn in (ring, ring[::-1]):
            assert octants(Polygon.of_contours([drawn]), 3, 3).sum() == squares


def test_what_is_not_a_polygon_is_refused() -> None:
    with pytest.raises(ValueError, match="finite"):
        octants(Polygon.of_contours([[(0, 0), (1, float("nan")), (1, 1)]]), 2, 2)
    with pytest.raises(ValueError, match="at least one"):
        octants(Polygon.of_contours([[(0, 0), (1, 0), (1, 1)]]), 0, 2)
    assert octants(Polygon.of_contours([]), 2, 2).sum() == 0.0
