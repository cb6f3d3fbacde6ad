"""Lone stitches that cost little are merged, each with a remark; what the drawing means stays."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from svg2chart.arranging.patterns import Fractions
from svg2chart.artwork import Artwork, StitchAs
from svg2chart.calm import CALM_COST, Calmed, calm_stitches
from svg2chart.chart import StitchKind
from svg2chart.colour import Colour
from svg2chart.convert import convert
from svg2chart.fit import lay_on_grid
from svg2chart.geometry.affine import Affine
from svg2chart.grid import Extent, Grid
from svg2chart.octants.areas import VisibleAreas
from svg2chart.remarks import Severity
from svg2chart.stitches import Worked, energy_of, work_stitches
from svg2chart.visible import visible_areas
from tests.breadth import examples
from tests.drawings import BLUE, GREEN, RED, YELLOW, box, chart_of, drawing, drawn, shape
from tests.test_laws import MIRROR_WEDGES, SIDE, mapped, with_wedges

CLOTH = Colour.from_hex("#f8f4ea")
NEAR_RED = "#cc2f2c"  # 2.5 (CIEDE2000) from red


@st.composite
def confetti(draw: st.DrawFn) -> Artwork:
    """Draw a field with specks of one to four quarters of a square and of colours near and far."""
    marks = [shape(RED, box(0, 0, SIDE, SIDE), element="field")]
    place = st.integers(0, 2 * SIDE - 2).map(lambda n: n / 2)
    for number in range(draw(st.integers(1, 6))):
        x, y = draw(place), draw(place)
        wide, high = draw(st.sampled_from([0.5, 1.0])), draw(st.sampled_from([0.5, 1.0]))
        colour = draw(st.sampled_from([NEAR_RED, "#a83030", "#e05040", BLUE, YELLOW, GREEN]))
        marks.append(shape(colour, box(x, y, x + wide, y + high), element=f"speck{number}"))
    return drawing(*marks, wide=SIDE, high=SIDE)


def worked_of(artwork: Artwork) -> tuple[Worked, VisibleAreas, list[Colour]]:
    laid = lay_on_grid(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE))
    areas = visible_areas(laid.shapes, groups=artwork.groups, rows=SIDE, columns=SIDE)
    colours = [CLOTH, *(Colour(*colour[:3]) for colour in areas.colours[1:])]
    return work_stitches(areas, colours, fractions=Fractions.ALL), areas, colours


def apart(one: Calmed, other: Calmed) -> int:
    return max(abs(one.row - other.row), abs(one.column - other.column))


@settings(max_examples=examples(30))  # each charts a drawing
@given(confetti(), st.sampled_from([0.05, CALM_COST, 1.0]))
def test_the_energy_grows_by_what_each_merge_costs(artwork: Artwork, most: float) -> None:
    worked, areas, colours = worked_of(artwork)
    calm, merged = calm_stitches(worked, areas, colours, most=most)
    changed = {tuple(place) for place in np.argwhere(_shown(worked) != _shown(calm)).tolist()}
    assert changed == {(one.row, one.column) for one in merged}
    assert all(one.cost <= most for one in merged)
    if all(apart(one, other) > 2 for one in merged for other in merged if one is not other):
        grown = energy_of(calm, areas, colours).total - energy_of(worked, areas, colours).total
        assert grown == pytest.approx(sum(one.cost for one in merged), abs=1e-6)


def _shown(worked: Worked) -> np.ndarray:
    """Return the arrangement of each square, for comparison."""
    held = [str(arrangement) for arrangement in worked.arrangements]
    return np.array(held, dtype=object)[worked.squares]


@settings(max_examples=examples(20))  # each charts two drawings
@given(confetti())
def test_without_calm_nothing_is_merged_and_with_it_the_mirror_law_holds(artwork: Artwork) -> None:
    worked, areas, colours = worked_of(artwork)
    assert calm_stitches(worked, areas, colours, most=0.0) == (worked, ())
    grid = Grid.fit(artwork, square=1, extent=Extent.PAGE)
    chart = convert(artwork, grid, calm=CALM_COST)
    calm, lone = drawn(chart), [remark for remark in chart.remarks if "lone stitch" in remark.what]
    assert {remark.element for remark in lone} <= {mark.element for mark in artwork.marks}
    mirrored = drawn(convert(mapped(artwork, Affine(-1, 0, 0, 1, SIDE, 0)), grid, calm=CALM_COST))
    assert mirrored == [[with_wedges(square, MIRROR_WEDGES) for square in row[::-1]] for row in calm]


def test_a_speck_of_a_near_colour_is_merged_an_eye_stays() -> None:
    field = shape(RED, box(0, 0, 7, 3))
    speck = shape(NEAR_RED, box(1, 1, 2, 2), element="speck")
    eye = shape(BLUE, box(4, 1, 5, 2), element="eye")
    artwork = drawing(field, speck, eye, wide=7, high=3)
    assert drawn(chart_of(artwork))[1] == ["r", "?", "r", "r", "b", "r", "r"]
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE), calm=CALM_COST)
    assert drawn(chart)[1] == ["r", "r", "r", "r", "b", "r", "r"]
    (remark,) = chart.remarks
    assert (remark.element, remark.severity) == ("speck", Severity.SIMPLIFIED)
    assert remark.what == f"lone stitch of {NEAR_RED} in row 2, column 2 is merged into {RED}"


def test_a_speck_within_the_corner_of_a_frame_of_its_colour_is_named_itself() -> None:
    field = shape(RED, box(0, 0, 12, 12))
    speck = shape(NEAR_RED, box(5, 5, 6, 6), element="speck")
    frame = shape(NEAR_RED, [(1, 1), (2, 1), (2, 10), (10, 10), (10, 11), (1, 11)], element="frame")
    artwork = drawing(field, speck, frame, wide=12, high=12)
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE), calm=CALM_COST)
    assert [remark.element for remark in chart.remarks if "lone" in remark.what] == ["speck"]


def test_two_beside_each_other_are_not_lone() -> None:
    field = shape(RED, box(0, 0, 6, 4))
    pair = shape(NEAR_RED, box(1, 1, 2, 2)), shape(NEAR_RED, box(2, 2, 3, 3))
    artwork = drawing(field, *pair, wide=6, high=4)
    grid = Grid.fit(artwork, square=1, extent=Extent.PAGE)
    assert convert(artwork, grid, calm=1.0) == convert(artwork, grid)


def test_stitches_given_by_hand_stay_however_calm() -> None:
    field = shape(RED, box(0, 0, 6, 4))
    given_one = replace(shape(NEAR_RED, box(2, 1, 3, 2)), stitch_as=StitchAs.FULL)
    artwork = drawing(field, given_one, wide=6, high=4)
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE), calm=1.0)
    (held,) = chart.arrangement_at(1, 2)
    assert (held.kind, chart.threads[held.thread].colour) == (StitchKind.FULL, NEAR_RED)
    # the two reds meet and are close, which is told; nothing is merged
    assert ["meet in the picture" in remark.what for remark in chart.remarks] == [True]
