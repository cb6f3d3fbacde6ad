"""Patterns: the mean colour of their tile, in closed form; faces of regions against shapely."""

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.geometry.box import Box
from svg2chart.geometry.faces import faces
from svg2chart.geometry.polygon import FillRule, Polygon
from tests.geometry.regions import Points, lattice
from tests.svg.inline import only, read, said

STEP = 0.5 / 255 + 1e-9  # means are rounded to eight bits
TILE = '<pattern id="sail" width="4" height="2" patternUnits="userSpaceOnUse" {more}>{content}</pattern>'
SHAPE = '<rect id="boat" width="80" height="50" fill="url(#sail)"/>'
BLUE = '<rect width="1" height="2" fill="blue"/>'


@given(triangles=st.lists(st.lists(lattice, min_size=3, max_size=3), min_size=1, max_size=4))
def test_faces_share_out_the_box_and_each_region(triangles: list[Points]) -> None:
    regions = [Polygon.of_contours([triangle], rule=FillRule.EVENODD) for triangle in triangles]
    found = faces(regions, Box(2, 2, 7, 7))
    assert sum(area for area, _ in found) == pytest.approx(25)
    for k, triangle in enumerate(triangles):
        held = sum(area for area, covers in found if covers[k])
        expected = shapely.Polygon(triangle).buffer(0).intersection(shapely.box(2, 2, 7, 7)).area
        assert held == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(
    ("content", "blue", "opacity"),
    [
        (BLUE, 1, 1 / 4),  # a quarter of the tile, the rest lets through
        (BLUE + '<rect x="1" width="3" height="2" fill="black"/>', 1 / 4, 1),
        ('<rect width="4" height="2"/>' + BLUE, 1 / 4, 1),  # what lies below is not seen
        ('<rect width="4" height="2"/><g opacity=".5">' + BLUE + "</g>", 1 / 8, 1),
        ('<rect x="3" width="4" height="9" fill="blue"/>', 1, 1 / 4),  # cut at the tile
        ('<path d="M0 1H4" stroke="blue" stroke-width="1"/>', 1, 1 / 2),
        ('<path d="M0 1H4" stroke="blue" stroke-width="1" stroke-dasharray="1"/>', 1, 1 / 4),
        (
            f'<clipPath id="c"><rect width="1" height="1"/></clipPath><g clip-path="url(#c)">{BLUE}</g>',
            1,
            1 / 8,
        ),
        (f'<svg width="2" height="2" viewBox="0 0 1 2">{BLUE}</svg>', 1, 1 / 4),
    ],
)
def test_a_pattern_is_the_mean_of_its_tile(content: str, blue: float, opacity: float) -> None:
    artwork = read(TILE.format(more="", content=content) + SHAPE)
    mark = only(artwork)
    assert (mark.colour.blue, mark.opacity) == pytest.approx((blue, opacity), abs=STEP)
    assert said(artwork) == [("boat", "simplified")]


@pytest.mark.parametrize(
    ("more", "opacity"),
    [
        ('viewBox="0 0 2 1"', 1 / 2),
        ('viewBox="0 0 1 4" preserveAspectRatio="none"', 1 / 2),
        ('patternTransform="scale(9)"', 1 / 4),
        ('patternTransform="scale(0)"', 1 / 4),  # not followed
        ('x="2"', 1 / 4),  # the tile begins where the content does
    ],
)
def test_the_view_box_of_a_pattern_scales_its_content(more: str, opacity: float) -> None:
    assert only(read(TILE.format(more=more, content=BLUE) + SHAPE)).opacity == pytest.approx(
        opacity, abs=STEP
    )


def test_tiles_are_told_in_parts_of_the_shape() -> None:
    # tiles of 8 by 25 on the box of the shape, content in parts of that box too
    content = '<rect width=".05" height="1" fill="blue"/>'
    units = 'width=".1" height=".5" patternContentUnits="objectBoundingBox"'
    assert only(read(f'<pattern id="sail" {units}>{content}</pattern>' + SHAPE)).opacity == pytest.approx(
        0.5, abs=STEP
    )


def test_a_pattern_takes_over_what_it_does_not_say() -> None:
    lent = TILE.format(more="", content=BLUE)
    mark = only(read(lent + '<pattern id="flag" href="#sail" width="2"/>' + SHAPE.replace("#sail", "#flag")))
    assert mark.opacity == pytest.approx(0.5, abs=STEP)


@pytest.mark.parametrize(
    "tile",
    [
        '<pattern id="sail" width="4"/>',
        TILE.format(more="", content=""),
        TILE.format(more="", content='<rect width="4" height="2" fill="url(#sail)"/>'),
    ],
)
def test_patterns_that_show_nothing_leave_the_shape_out(tile: str) -> None:
    artwork = read(tile + SHAPE)
    assert (artwork.marks, said(artwork)) == ((), [("boat", "left out")])
