"""Small shapes that stand by themselves keep their form; those that touch another stay in touch."""

import numpy as np
from hypothesis import example, given
from hypothesis import strategies as st

from tests.drawings import BLUE, RED, box, drawing, shape, stroke
from tests.fitting.test_fitted import around, laid

TWENTIETHS = st.integers(0, 20).map(lambda n: n / 20)


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


@given(TWENTIETHS, TWENTIETHS, TWENTIETHS)
def test_a_shape_that_stands_on_another_stays_on_it(x: float, y: float, off: float) -> None:
    half = around(4 + x, 5 + y, 4.6, 4.6, turn=np.pi)
    ground = shape(BLUE, box(0, 5 + y, 12, 9 + off))
    found = laid(drawing(shape(RED, half), ground, wide=12, high=12), 0.5)
    one, other = (each.polygon.points for each in found.shapes)
    assert one[:, 1].max() == other[:, 1].min()
