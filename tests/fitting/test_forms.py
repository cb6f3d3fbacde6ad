"""Small shapes that stand by themselves keep their form; those that touch another stay in touch."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import assume, example, given
from hypothesis import strategies as st

from svg2chart.fitting.sightlines import AT_HOLE
from tests.drawings import (
    BLUE,
    RED,
    YELLOW,
    box,
    chart_of,
    contours_path,
    diamond,
    drawing,
    drawn,
    shape,
    stroke,
)
from tests.fitting.test_fitted import around, laid

TWENTIETHS = st.integers(0, 20).map(lambda n: n / 20)
EIGHTHS = st.integers(0, 7).map(lambda n: n / 8)


def off_ellipse(points: np.ndarray) -> float:
    """Return by how much of its radius a point lies off the ellipse in the box of all, at most."""
    low, high = points.min(axis=0), points.max(axis=0)
    return float(np.abs(np.hypot(*(2 * (points - low) / (high - low) - 1).T) - 1).max())


@given(TWENTIETHS, TWENTIETHS, st.integers(30, 60).map(lambda n: n / 20), TWENTIETHS, st.integers(1, 4))
@example(0.3, 0.8, 2.3, 0.5, 2)
def test_a_disc_stays_an_ellipse_beside_what_moves_at_its_height(
    x: float, y: float, radius: float, off: float, high: int
) -> None:
    disc = shape(RED, around(4 + x, 4 + y, 2 * radius, 2 * radius))
    beside = shape(BLUE, box(9 + x, 3 + off, 11 + off, 3.4 + off + high))
    artwork = drawing(disc, beside, wide=12, high=12)
    # sixty points on the disc: their chords lie off it by up to 1 - cos 3 degrees
    assert off_ellipse(laid(artwork, 0.5).shapes[0].polygon.points) <= 0.002


@given(
    st.integers(0, 19).filter(lambda n: n != 10).map(lambda n: n / 20),
    st.integers(2, 5),
    st.integers(10, 60).map(lambda n: n / 20),
    st.integers(20, 60).map(lambda n: n / 20),
)
@example(0.75, 2, 0.5, 3.5)
def test_a_disc_of_whole_squares_lies_on_hole_lines_whatever_stands_above(
    x: float, wide: int, left: float, bar: float
) -> None:
    # the same on both sides all stays so, and the middle may have to lie half way between hole lines
    assume(abs(left + bar + 0.85 - (4 + x + wide / 2)) > AT_HOLE)
    disc = shape(RED, around(4 + x + wide / 2, 9, wide, 2))
    above = [shape(BLUE, box(at, 0, at + bar, 7)) for at in (left, left + bar + 1.7)]
    found = laid(drawing(*above, disc, wide=12, high=12), 0.5).shapes[2].polygon.points
    low, high = found[:, 0].min(), found[:, 0].max()
    # an eighth of a square off is still a whole square
    assert max(abs(low - round(low)), abs(high - round(high))) <= 1 / 8


@given(TWENTIETHS, TWENTIETHS, TWENTIETHS)
def test_an_outline_moves_with_its_disc(x: float, y: float, off: float) -> None:
    disc = around(4 + x, 4 + y, 5, 5)
    outline = stroke(BLUE, [*disc, disc[0]], width=0.2)
    beside = shape(BLUE, box(9, 3 + off, 11, 5.3 + off))
    found = laid(drawing(shape(RED, disc), outline, beside, wide=12, high=12), 0.5)
    line, of_disc = found.lines[0].lines.points, found.shapes[0].polygon.points
    assert off_ellipse(line) <= 0.002
    assert np.array_equal(line.min(axis=0), of_disc.min(axis=0))
    assert np.array_equal(line.max(axis=0), of_disc.max(axis=0))


@given(st.integers(3, 5), EIGHTHS, EIGHTHS, st.integers(16, 39).map(lambda n: n / 4))
@example(3, 0.5, 0.875, 9.25)
def test_what_was_drawn_on_holes_within_a_disc_stays_there(
    radius: int, x: float, y: float, wide: float
) -> None:
    disc, inner = around(9.5 + x, 9.5 + y, wide, wide), diamond(10, 10, radius)
    found = laid(drawing(shape(RED, disc), shape(BLUE, inner), wide=20, high=20), 0.5)
    assert np.array_equal(np.sort(found.shapes[1].polygon.points, axis=0), np.sort(inner, axis=0))


@given(TWENTIETHS, TWENTIETHS, TWENTIETHS)
def test_a_shape_that_stands_on_another_stays_on_it(x: float, y: float, off: float) -> None:
    half = around(4 + x, 5 + y, 4.6, 4.6, turn=np.pi)
    ground = shape(BLUE, box(0, 5 + y, 12, 9 + off))
    found = laid(drawing(shape(RED, half), ground, wide=12, high=12), 0.5)
    one, other = (each.polygon.points for each in found.shapes)
    assert one[:, 1].max() == other[:, 1].min()


@given(st.integers(2, 8).map(lambda n: n / 20))
def test_shapes_that_overlap_go_on_overlapping(over: float) -> None:
    """A disc that keeps its form would leave the box whose corner it covers."""
    corner = 3.2 / np.sqrt(2) - over / 2
    ends = (5 + corner, 5.4 + corner)
    disc = shape(RED, around(5, 5.4, 6.4, 6.4))
    corner_box = shape(BLUE, box(*ends, ends[0] + 4.1, ends[1] + 4.1))
    found = [each.polygon for each in laid(drawing(disc, corner_box, wide=14, high=14), 0.5).shapes]
    one, other = (shapely.Polygon(polygon.points) for polygon in found)
    assert one.distance(other) == 0


@given(TWENTIETHS, st.integers(5, 20).map(lambda n: n / 20), TWENTIETHS)
def test_a_ring_goes_on_being_one(y: float, wide: float, off: float) -> None:
    """Its outline and its hollow are not moved by themselves: a quarter of its width stays at the least."""
    least = wide / 4 - 2.0**-20  # places are rounded
    ring = replace(
        shape(RED, around(5, 5 + y, 5, 5)),
        path=contours_path([around(5, 5 + y, 5, 5), around(5, 5 + y, 5 - 2 * wide, 5 - 2 * wide)[::-1]]),
    )
    beside = shape(BLUE, box(11, 3 + off, 14, 8 + off))
    found = laid(drawing(ring, beside, wide=16, high=14), 0.5).shapes[0].polygon
    outer, inner = found.points[: found.starts[1]], found.points[found.starts[1] :]
    assert (inner.min(axis=0) - outer.min(axis=0)).min() >= least
    assert (outer.max(axis=0) - inner.max(axis=0)).min() >= least


@pytest.mark.parametrize(("left", "right"), [(4.6, 4.9), (4.55, 4.95), (4.7, 4.98), (5.05, 5.45)])
@pytest.mark.parametrize("roofs", [0, 1])
def test_a_strip_beside_a_place_that_stays_keeps_its_row(left: float, right: float, roofs: int) -> None:
    """The foot of the roof stays in its hole, and the strip is not pressed against it."""
    roof = shape(RED, [(5, 6), (9, 2), (13, 6)])
    wall = shape(YELLOW, box(1, 7, left, 19))
    strip = shape(BLUE, box(left, 8, right, 18))
    chart = chart_of(drawing(*[roof] * roofs, wall, strip, wide=20, high=20))
    assert sum("b" in square for row in drawn(chart) for square in row) == 10


@given(TWENTIETHS, TWENTIETHS, TWENTIETHS, TWENTIETHS, st.integers(16, 60).map(lambda n: n / 20), TWENTIETHS)
def test_equal_discs_lie_alike_on_the_squares(
    x: float, y: float, other_x: float, other_y: float, radius: float, off: float
) -> None:
    """Two eyes of one face have one size, and lie equally far from hole lines, if there is room."""
    middles = [(6 + x, 6 + y), (17 + other_x, 6 + other_y)]
    eyes = [shape(RED, around(*middle, 2 * radius, 2 * radius)) for middle in middles]
    beside = shape(BLUE, box(24, 3 + off, 26 + off, 6.4 + off))
    room = shape(BLUE, box(0, 0, 1, 14), box(28, 0, 29, 14))
    found = laid(drawing(*eyes, beside, room, wide=30, high=14), 0.5).shapes
    one, other = (np.stack([f.polygon.points.min(axis=0), f.polygon.points.max(axis=0)]) for f in found[:2])
    assert np.abs(np.ptp(one, axis=0) - np.ptp(other, axis=0)).max() <= 1 / 64
    apart = other - one
    assert np.abs(apart - np.rint(apart)).max() <= 1 / 64


@pytest.mark.parametrize("step", [0.01, 0.02, 0.03])
@pytest.mark.parametrize("corners", [8, 64])
def test_shapes_of_sizes_in_small_steps_keep_these_and_do_the_same_in_a_mirror(
    step: float, corners: int
) -> None:
    """Each differs from the next by no more than what is rounded, and the last by almost two squares."""
    sizes = 3 + step * np.arange(round(1.8 / step))
    wide, high = 100, 8 * (len(sizes) // 12 + 1) + 2
    turn = (np.arange(corners) + 0.5) * 2 * np.pi / corners
    outlines = []
    for number, size in enumerate(sizes):
        middle = 4.5 + 8 * np.array(divmod(number, 12)[::-1]) + np.array([0.37, 0.59]) * number % 1
        outlines.append(np.round(middle + size / 2 * np.stack([np.cos(turn), np.sin(turn)], axis=1), 2))
    here, there = (
        [each.polygon.points for each in laid(drawing(*marks, wide=wide, high=high), 0.5).shapes]
        for marks in (
            [shape(RED, [(x, y) for x, y in outline.tolist()]) for outline in outlines],
            [shape(RED, [(wide - x, y) for x, y in outline.tolist()]) for outline in outlines],
        )
    )
    for outline, one, other in zip(outlines, here, there, strict=True):
        assert np.abs(np.ptp(one, axis=0) - np.ptp(outline, axis=0)).max() < 1
        mirrored = other * [-1, 1] + [wide, 0]
        for end in (np.min, np.max):
            assert np.abs(end(mirrored, axis=0) - end(one, axis=0)).max() <= 2.0**-12


@given(
    TWENTIETHS,
    TWENTIETHS,
    st.integers(6, 40).map(lambda n: n / 20),
    st.tuples(*[st.integers(-10, 10).map(lambda n: n / 10)] * 2),
)
@example(0.0, 0.2, 0.3, (0.1, -0.2))
def test_diamonds_that_overlap_go_together(
    x: float, y: float, radius: float, off: tuple[float, float]
) -> None:
    """Of one colour, one is not seen where it lies over the other: what is seen of it may lie farther off."""
    assume(0.2 < abs(off[0]) + abs(off[1]) < 1.8)
    across, down = (radius * part for part in off)
    stars = [shape(RED, diamond(5 + x + a, 5 + y + b, radius)) for a, b in ((0, 0), (across, down))]
    others = [shape(RED, diamond(15, 5 + 8 * k, radius)) for k in (0, 1)]
    found = [each.polygon.points for each in laid(drawing(*stars, *others, wide=20, high=20), 0.5).shapes]
    one, other = (shapely.Polygon(each) for each in found[:2])
    assert one.intersection(other).area > 0
