"""Widths that are equal in the drawing and not on the squares are told, by the elements that are so wide."""

import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from shapely import Polygon, unary_union

from svg2chart.artwork import Fill, Group, Mask
from svg2chart.chart import Chart
from svg2chart.convert import convert
from svg2chart.geometry.polygon import FillRule
from svg2chart.grid import Extent, Grid
from svg2chart.remarks import gathered
from tests.drawings import BLUE, GREEN, RED, YELLOW, Points, box, chart_of, drawing, shape, stitched

WIDE, HIGH = 36, 28


def told(chart: Chart) -> set[str]:
    """Return the elements of which it is told that widths come out unequal."""
    return {remark.element for remark in chart.remarks if "equal widths" in remark.what}


def test_what_only_ends_at_the_same_places_is_not_named() -> None:
    """A pennant and a wave reach from one side of a stripe to the other, the wave also below the pennant."""
    third = 40 / 3
    stripes = [
        shape(colour, box(number * third, 0, (number + 1) * third, 12), element=f"stripe {number}")
        for number, colour in enumerate([GREEN, BLUE, RED])
    ]
    pennant = [(third, 14), (2 * third, 17), (third, 17.5)]
    wave = [(third, 22), (20, 20), (2 * third, 24), (2 * third, 26), (20, 22.5), (third, 25)]
    others = [shape(YELLOW, pennant, element="pennant"), shape(YELLOW, wave, element="wave")]
    named = told(chart_of(drawing(*stripes, *others, wide=40, high=30)))
    assert named
    assert named <= {stripe.element for stripe in stripes}


def disc(x: float, y: float, radius: float) -> Points:
    turn = np.arange(64) * np.pi / 32
    return [(x + radius * float(np.cos(a)), y + radius * float(np.sin(a))) for a in turn]


def test_what_comes_out_equal_by_a_way_of_its_own_is_not_told() -> None:
    """Hubs of a cart are laid by themselves: where the rest of the drawing goes makes none of them wider."""
    body, places, y = box(0, 14.667, 40, 22.444), (11.111, 30), 21.333
    wheels = [shape(BLUE, disc(x, y, 4.444), element=f"wheel at {x}") for x in places]
    hubs = [shape(YELLOW, disc(x, y, 2.222), element=f"hub at {x}") for x in places]
    cart = shape(RED, body, element="cart")
    chart = chart_of(drawing(cart, wheels[0], hubs[0], wheels[1], hubs[1], wide=40, high=27))
    shown = stitched(chart, YELLOW)
    left, right = (
        np.ptp(np.concatenate([outline for outline in shown if (outline[0, 0] < 20) == is_left]), axis=0)
        for is_left in (True, False)
    )
    assert left.tolist() == right.tolist()
    assert left[0] == left[1]
    assert abs(left[0] - 4.444) < 1
    assert not told(chart) & {hub.element for hub in hubs}


hundredths = st.integers(0, 99).map(lambda n: n / 100)


@given(st.tuples(*[st.tuples(hundredths, hundredths)] * 3), st.sampled_from([0.0, 0.5]))
@example(((0.0, 0.0), (0.4, 0.3), (0.6, 0.5)), 0.0)
def test_unequal_copies_share_one_short_line(
    places: tuple[tuple[float, float], ...], movement: float
) -> None:
    """Of boats now the hull and now the cabin is wider: it says of which, how wide, where, and what helps."""
    marks = []
    for number, (x, y) in enumerate(places):
        left, top = x + 3 + 12 * number, y + 6
        hull = [(left, top), (left + 6.4, top), (left + 5.2, top + 2.4), (left + 1.2, top + 2.4)]
        cabin = box(left + 2, top - 2.5, left + 4.5, top)
        marks += [
            shape(colour, form, element=f"boat {number}") for colour, form in ((RED, hull), (BLUE, cabin))
        ]
    artwork = drawing(*marks, wide=40, high=16)
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=movement))
    lines = [line for line in gathered(chart.remarks) if "equal widths" in line]
    assert len(lines) <= 1
    for line in lines:
        assert len(line) <= 200 + len('elements "boat 0", "boat 1", "boat 2": ')
        assert re.search(r"unequal, [\d.]+ squares .*as [\d.]+ .*, at row \d+, column \d+", line)
        assert "another size may keep them (" in line.replace("size,", "size")


@given(st.tuples(hundredths, hundredths, hundredths, hundredths))
@example((0.0, 0.3, 0.0, 0.3))
def test_a_width_that_is_told_of_an_element_is_its_own(at: tuple[float, float, float, float]) -> None:
    """Lamps and posts of two widths, and a buoy that has both: it does not make one of lamps and posts."""
    forms = [("lamp", 3.4, RED), ("buoy", 3.4, RED), ("buoy", 2.3, BLUE), ("post", 2.3, BLUE)]
    marks = [
        shape(colour, box(2 + 8 * k + x, 2, 2 + 8 * k + x + wide, 6), element=element)
        for k, ((element, wide, colour), x) in enumerate(zip(forms, at, strict=True))
    ]
    artwork = drawing(*marks, wide=40, high=10)
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=0.0))
    for remark in chart.remarks:
        if "equal widths" in remark.what:
            own = [wide for element, wide, _ in forms if element == remark.element]
            assert any(f"unequal, {wide} squares" in remark.what for wide in own)


def slanted(middle: tuple[float, float], long: float, wide: float, angle: float) -> Points:
    way = np.array([np.cos(angle), np.sin(angle)])
    along, across = way * long / 2, np.array([-way[1], way[0]]) * wide / 2
    corners = (along + across, along - across, -along - across, across - along)
    return [(float(middle[0] + x), float(middle[1] + y)) for x, y in corners]


@st.composite
def bars(draw: st.DrawFn) -> tuple[list[Fill], list[Points], float]:
    """Draw parallel bars of one width beside each other, over boxes that lie anywhere."""
    hundredth = st.integers(0, 99).map(lambda n: n / 100)
    ground = st.tuples(st.integers(3, 28), st.integers(3, 20), st.integers(2, 9), st.integers(2, 9))
    angle, wide = np.radians(draw(st.integers(5, 85))), 0.7 + draw(st.integers(0, 20)) / 10
    behind = [
        shape(YELLOW, box(x + 0.3, y + 0.6, x + w + 0.8, y + h + 0.1), element=f"ground {k}")
        for k, (x, y, w, h) in enumerate(draw(st.lists(ground, max_size=3)))
    ]
    across = np.array([-np.sin(angle), np.cos(angle)]) * (wide + 1.5 + draw(hundredth))
    outlines = [
        slanted(tuple(np.array([18, 14]) + k * across + [draw(hundredth), 0]), 10, wide, angle)
        for k in (-1, 0, 1)
    ]
    colours = (RED, BLUE, GREEN)
    marks = [shape(c, outline, element=c) for c, outline in zip(colours, outlines, strict=True)]
    return [*behind, *marks], outlines, wide


def width_in_stitches(chart: Chart, colour: str, outline: Points, wide: float) -> float:
    """Return the width of a bar along the grid: the area of its stitches by its length, but for its ends."""
    points = np.array(outline)
    middle, along = points.mean(axis=0), (points[0] + points[1] - points[2] - points[3]) / 2
    way = along / np.hypot(*along)
    across = np.array([-way[1], way[0]]) * (wide / 2 + 2)
    half = way * 3.5
    strip = Polygon(
        [middle + half + across, middle + half - across, middle - half - across, middle - half + across]
    )
    stitches = unary_union([Polygon(one) for one in stitched(chart, colour)])
    return float(stitches.intersection(strip).area / 7 / np.abs(way).max())


@given(bars(), st.sampled_from([0.0, 0.5]))
def test_slanted_bars_that_come_out_unequally_wide_are_told(
    scene: tuple[list[Fill], list[Points], float], movement: float
) -> None:
    marks, outlines, wide = scene
    artwork = drawing(*marks, wide=WIDE, high=HIGH)
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=movement))
    colours = [mark.element for mark in marks[-3:]]
    widths = [width_in_stitches(chart, c, o, wide) for c, o in zip(colours, outlines, strict=True)]
    named = told(chart) & set(colours)
    if np.ptp(widths) > 0.75:
        assert named
    if np.ptp(widths) < 0.25:
        assert not named


@given(
    st.integers(0, 99).map(lambda n: n / 100),
    st.integers(20, 60).map(lambda n: n / 10),
    st.integers(50, 200).map(lambda n: n / 100),
    st.sampled_from([0.0, 0.5]),
)
def test_flags_of_a_row_that_come_out_unequally_wide_are_told(
    x: float, size: float, gap: float, movement: float
) -> None:
    colours = (RED, BLUE, GREEN, YELLOW)
    marks = [
        shape(colour, [(left, 3.4), (left + size, 3.4), (left + size / 2, 3.4 + 1.4 * size)], element=colour)
        for colour, left in zip(colours, [2 + x + n * (size + gap) for n in range(4)], strict=True)
    ]
    artwork = drawing(*marks, wide=WIDE, high=HIGH)
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=movement))
    boxes = [np.array(unary_union([Polygon(one) for one in stitched(chart, c)]).bounds) for c in colours]
    sizes = np.array([box[2:] - box[:2] for box in boxes])
    assert bool(told(chart)) == bool((np.ptp(sizes, axis=0) > 0.5).any())
    for axis in (0, 1):
        if np.ptp(sizes[:, axis]) > 0.5:
            ends = sizes[:, axis].min(), sizes[:, axis].max()
            assert told(chart) >= {c for c, size in zip(colours, sizes[:, axis], strict=True) if size in ends}


HALF, MASKED = (Group(opacity=0.5),), (Group(mask=Mask(group=1)), Group(parent=0))


@pytest.mark.parametrize(
    ("how", "groups"), [({"opacity": 0.5}, ()), ({"group": 0}, HALF), ({"group": 0}, MASKED)]
)
@pytest.mark.parametrize("kind", ["flags", "bars"])
def test_what_lets_through_or_is_masked_is_told_as_what_is_not(
    kind: str, how: dict[str, Any], groups: tuple[Group, ...]
) -> None:
    """The stitches are the same, only their colours are not; a mask that shows all lies over it."""
    outlines = {
        "flags": [[(x, 3.4), (x + 3.3, 3.4), (x + 1.65, 8)] for x in (2.3, 6.9, 11.7, 16.2)],
        "bars": [slanted((18 - 2.92 * k + 0.37 * k, 14 + 2.92 * k), 10, 2.3, np.pi / 4) for k in (-1, 0, 1)],
    }[kind]
    plain = [
        shape(colour, points, element=colour)
        for colour, points in zip((RED, BLUE, GREEN, YELLOW), outlines, strict=False)
    ]
    white = [replace(shape("#ffffff", box(0, 0, WIDE, HIGH)), group=1)] if len(groups) > 1 else []
    charts = []
    for marks, own in ((plain, ()), ([*(replace(mark, **how) for mark in plain), *white], groups)):
        artwork = drawing(*marks, wide=WIDE, high=HIGH, groups=own)
        charts.append(convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=0.0)))
    assert len({chart.squares.tobytes() for chart in charts}) == 1
    # nothing was moved: it is not for want of way
    assert not any("move far enough" in remark.what for remark in charts[0].remarks)
    assert told(charts[0]) == told(charts[1]) == {mark.element for mark in plain}


@pytest.mark.parametrize("rule", FillRule)
@pytest.mark.parametrize("way", [1, -1])
def test_rings_that_come_out_unequally_wide_are_told_however_their_hollows_are_drawn(
    rule: FillRule, way: int
) -> None:
    """Around a hollow that is drawn the same way as its outline the nonzero rule fills all."""
    marks = []
    for colour, x in zip((RED, BLUE, GREEN, YELLOW), (2.3, 9.1, 16.2, 23.0), strict=True):
        outer = [(x, 3.4), (x + 5.3, 3.4), (x + 2.65, 11)]
        inner = [(x + 2, 4.6), (x + 3.3, 4.6), (x + 2.65, 6.5)]
        marks.append(shape(colour, outer, inner[::way], element=colour, rule=rule))
    artwork = drawing(*marks, wide=WIDE, high=HIGH)
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=0.0))
    wide = [np.ptp(np.concatenate(stitched(chart, mark.element))[:, 0]) for mark in marks]
    assert np.ptp(wide) > 0.5
    assert told(chart) == {
        mark.element for mark, size in zip(marks, wide, strict=True) if size in (min(wide), max(wide))
    }
