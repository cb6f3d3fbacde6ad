"""Letters without serifs, in shapes checked by eye: capitals are ten units high."""

import numpy as np
import pytest
import shapely

from svg2chart.geometry.serifs import without_serifs
from tests.geometry.shapes import polygon_of, region, shapely_of

STEM = region((2, -10, 4, 0))
FEET = region((0.5, -1, 5.5, 0), (0.5, -10, 5.5, -9))


def bared(letter: shapely.Geometry) -> shapely.Geometry:
    return shapely_of(without_serifs(polygon_of(letter), capital=10.0))


def assert_same(found: shapely.Geometry, wanted: shapely.Geometry) -> None:
    """Of letters that are some units wide an area of 0.01 is nothing but rounding and cut corners."""
    assert shapely.area(shapely.symmetric_difference(found, wanted)) < 0.01


def test_a_stem_on_serifs_is_a_stem() -> None:
    assert_same(bared(shapely.union(STEM, FEET)), STEM)


def test_a_serif_on_one_side_goes_and_the_arm_on_the_other_stays() -> None:
    arm = region((4, -1, 8, 0))
    assert_same(bared(shapely.union_all([STEM, FEET, arm])), shapely.union(STEM, arm))


def test_a_serif_across_the_end_of_an_arm_goes() -> None:
    level, hanging = region((0, -10, 8, -9)), region((7, -9, 8, -7))
    stem = region((0, -10, 2, 0))
    assert_same(bared(shapely.union_all([stem, level, hanging])), shapely.union(stem, level))


@pytest.mark.parametrize("lean", [-4.0, 0.0, 3.0])
def test_slants_run_straight_on_to_their_ends(lean: float) -> None:
    slant = shapely.Polygon([(0, 0), (2, 0), (2 + lean, -10), (lean, -10)])
    foot, head = region((-1.5, -1, 3.5, 0)), region((lean - 1.5, -10, lean + 3.5, -9))
    assert_same(bared(shapely.union_all([slant, foot, head])), slant)


def test_the_curve_that_leads_to_a_serif_goes_with_it() -> None:
    corners = shapely.difference(
        region((1, -2, 5, -1)), shapely.union(*(shapely.Point(x, -2).buffer(1.0) for x in (1, 5)))
    )
    assert_same(bared(shapely.union_all([STEM, FEET, corners])), STEM)


BAR = region((0.5, -7, 5.5, -6))
VERTEX = shapely.Polygon([(0, -10), (2, -10), (4, -3), (6, -10), (8, -10), (5, 0), (3, 0)])
ARCH = shapely.union_all([STEM, region((4, -10, 8, -8)), region((6, -10, 8, 0))])


@pytest.mark.parametrize(
    "letter",
    [
        STEM,
        VERTEX,
        ARCH,
        shapely.union(STEM, BAR),
        shapely.union(STEM, region((-2, -10, 8, -9))),
        shapely.Point(5, -5).buffer(5.0),
    ],
    ids=[
        "stem",
        "two slants that meet",
        "stems joined at the top",
        "bar across a stem",
        "arms at the top",
        "disc",
    ],
)
def test_what_is_no_serif_stays(letter: shapely.Geometry) -> None:
    drawn = polygon_of(letter)
    assert without_serifs(drawn, capital=10.0) is drawn


def test_a_mirrored_letter_is_bared_as_its_image() -> None:
    letter = shapely.union_all([STEM, FEET, region((4, -1, 8, 0)), region((7, -3, 8, 0))])
    image = shapely.transform(letter, lambda points: points * np.array((-1.0, 1.0)))
    wanted = shapely.transform(bared(letter), lambda points: points * np.array((-1.0, 1.0)))
    assert_same(bared(image), wanted)
