"""Letters made with strokes of another width: what areas and joins say, in shapes checked by eye."""

import numpy as np
import pytest
import shapely

from svg2chart.geometry.growing import parts_and_hollows, thickened
from tests.geometry.shapes import polygon_of, region, shapely_of

ARCH = shapely.union(  # a stem, and an arch of the same width that runs into it from below
    region((0, 0, 2, 12)),
    shapely.difference(
        shapely.intersection(shapely.Point(5, 5).buffer(5), region((0, 0, 10, 5))),
        shapely.Point(5, 5).buffer(3),
    ),
)


def test_thinner_letters_lie_within_the_letter_and_each_stroke_loses_the_same() -> None:
    found = shapely_of(thickened(polygon_of(ARCH), stem=-0.8, bar=-0.8, least=0.9, hair=1.0, flare=np.inf))
    assert shapely.covers(shapely.buffer(ARCH, 1e-6), found)
    assert not shapely.intersects(found, shapely.buffer(shapely.boundary(ARCH), 0.39))


@pytest.mark.parametrize("neck", [0.3, 0.5, 0.7])
def test_what_is_joined_stays_joined_when_strokes_become_thinner(neck: float) -> None:
    letter = region((0, 0, 2, 10), (2, 3, 2.3, 3 + neck), (2.3, 0, 4.3, 10))
    assert parts_and_hollows(
        thickened(polygon_of(letter), stem=-0.9, bar=-0.9, least=0.9, hair=1.5, flare=np.inf), least=0.0
    ) == (
        1,
        0,
    )


@pytest.mark.parametrize("stem", [-0.4, 0.0, 0.4])
def test_hairlines_become_as_wide_as_is_asked_and_stems_change_by_as_much(stem: float) -> None:
    letter = region((0, 0, 2, 10), (2, 4, 6, 4.2))
    found = shapely_of(thickened(polygon_of(letter), stem=stem, bar=stem, least=0.9, hair=1.0, flare=np.inf))
    assert shapely.length(
        shapely.intersection(found, shapely.LineString([(4, -5), (4, 15)]))
    ) == pytest.approx(
        0.9,
        abs=0.01,  # the strip that its width is taken from has the same area and outline
    )
    across = shapely.intersection(found, shapely.LineString([(-5, 8), (15, 8)]))
    assert shapely.length(across) == pytest.approx(2 + stem)


@pytest.mark.parametrize(("stem", "bar"), [(0.5, -0.4), (-0.5, 0.4), (0.5, 0.2), (-0.2, -0.5), (0.5, 0.0)])
def test_strokes_change_across_and_down_by_as_much_as_is_asked(stem: float, bar: float) -> None:
    letter = region((0, 0, 2, 10), (2, 4, 8, 5.8))
    found = shapely_of(thickened(polygon_of(letter), stem=stem, bar=bar, least=0.9, hair=1.0, flare=np.inf))
    across = shapely.intersection(found, shapely.LineString([(-5, 8), (15, 8)]))
    down = shapely.intersection(found, shapely.LineString([(5, -5), (5, 15)]))
    assert shapely.length(across) == pytest.approx(
        2 + stem, abs=0.002
    )  # it is stretched 1000 times at the most
    assert shapely.length(down) == pytest.approx(1.8 + bar, abs=0.002)


@pytest.mark.parametrize("stem", [-0.5, -0.3, 0.0, 0.3])
def test_a_letter_that_is_nothing_but_a_hairline_becomes_as_wide_as_hairlines_do(stem: float) -> None:
    found = shapely_of(
        thickened(polygon_of(region((0, 0, 4, 0.6))), stem=stem, bar=stem, least=0.9, hair=0.7, flare=np.inf)
    )
    down = shapely.intersection(found, shapely.LineString([(2, -5), (2, 15)]))
    assert shapely.length(down) == pytest.approx(0.9, abs=0.01)


@pytest.mark.parametrize(("stem", "bar"), [(-0.44, -0.44), (-0.3, 0.2)])
def test_a_stem_is_as_thin_right_beside_what_joins_it_as_elsewhere_without_flare(
    stem: float, bar: float
) -> None:
    """The arm becomes thicker by 0.7; the stem beside it is not widened by that."""
    letter = region((0, 0, 1.5, 10), (1.5, 9.8, 5, 10))
    found = shapely_of(thickened(polygon_of(letter), stem=stem, bar=bar, least=0.9, hair=0.75, flare=0.0))
    across = shapely.intersection(found, shapely.LineString([(-1, 9.3), (1.6, 9.3)]))
    assert shapely.length(across) == pytest.approx(1.5 + stem, abs=0.002)
