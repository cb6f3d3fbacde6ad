"""Outlines of slanted sides that are the same on both sides stay so, whatever lies beside them."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from svg2chart.artwork import Artwork
from svg2chart.fit import lay_on_grid
from svg2chart.grid import Extent, Grid
from tests.breadth import examples
from tests.drawings import BLUE, GREEN, RED, YELLOW, box, drawing, shape

WHITE, BROWN = "#fffaf0", "#5b3a1e"


def hundredths(least: float, most: float) -> st.SearchStrategy[float]:
    return st.integers(round(100 * least), round(100 * most)).map(lambda number: number / 100)


@st.composite
def boats(draw: st.DrawFn, below: float = 1.5) -> Artwork:
    """Draw a hull, its deck and a mast, a pennant so far below its top, a sail, a house, a lamp."""
    x, y = draw(hundredths(12, 15)), draw(hundredths(24, 26))
    top, bottom, deep = draw(hundredths(7, 10)), draw(hundredths(3, 6)), draw(hundredths(3, 5))
    mast, wide = x + draw(hundredths(-2, 2)), draw(hundredths(0.6, 1.4))
    head = y - 1.2 - draw(hundredths(14, 17))
    flag, top_of_flag = draw(hundredths(2, 4)), head + below
    house, half, tall = draw(hundredths(32, 34)), draw(hundredths(4, 6)), draw(hundredths(3, 6))
    sun = draw(hundredths(26, 30)), draw(hundredths(2, 6))
    return drawing(
        shape(WHITE, box(0, 0, 44, 36), element="sky"),
        shape(
            RED, [(x - top, y), (x + top, y), (x + bottom, y + deep), (x - bottom, y + deep)], element="hull"
        ),
        shape(YELLOW, box(x - top - 1.6, y - 1.2, x + top + 1.6, y), element="deck"),
        shape(BROWN, box(mast - wide / 2, head, mast + wide / 2, y - 1.2), element="mast"),
        shape(BLUE, [(mast + 1.3, head + 1), (mast + 7, y - 2.3), (mast + 1.3, y - 2.3)], element="sail"),
        shape(
            GREEN,
            [
                (mast - wide / 2, top_of_flag),
                (mast - wide / 2 - 5, top_of_flag + flag / 2),
                (mast - wide / 2, top_of_flag + flag),
            ],
            element="pennant",
        ),
        shape(YELLOW, box(house - half + 1.6, 18, house + half - 1.6, 30), element="wall"),
        shape(RED, [(house - half, 18), (house, 18 - tall), (house + half, 18)], element="gable"),
        shape(GREEN, box(house - half + 2.5, 24, house - half + 4.2, 30), element="door"),
        shape(YELLOW, box(*sun, sun[0] + 2.4, sun[1] + 2.4), element="lamp"),
        wide=44,
        high=36,
    )


def laid(artwork: Artwork, *, movement: float = 0.5) -> dict[str, np.ndarray]:
    """Return the corners of each element on the grid."""
    grid = Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=movement)
    found = lay_on_grid(artwork, grid)
    return {mark.element: each.polygon.points for mark, each in zip(found.marks, found.shapes, strict=True)}


def unevenness(points: np.ndarray, axis: int) -> float:
    """Return how far any corner lies from where it would be seen in a mirror, in squares."""
    mirrored = points.copy()
    mirrored[:, axis] = points[:, axis].min() + points[:, axis].max() - points[:, axis]
    return float(max(np.abs(mirrored - point).max(axis=1).min() for point in points))


def middle(points: np.ndarray, axis: int) -> float:
    return float(points[:, axis].min() + points[:, axis].max()) / 2


@given(boats())
@settings(max_examples=examples(60))
def test_hull_gable_and_pennant_stay_the_same_on_both_sides(artwork: Artwork) -> None:
    corners = laid(artwork)
    for element, axis in (("hull", 0), ("gable", 0), ("pennant", 1)):
        assert unevenness(corners[element], axis) < 1 / 64, element


@given(boats())
@settings(max_examples=examples(60))
def test_only_then_can_their_stitches_be_that_their_middles_lie_so(artwork: Artwork) -> None:
    """On a hole line or half way between two; where a tip lies on it, on a hole line."""
    corners = laid(artwork)
    for element, axis, step in (("hull", 0, 0.5), ("gable", 0, 1.0), ("pennant", 1, 1.0)):
        place = middle(corners[element], axis) / step
        assert abs(place - round(place)) < 1 / 64, element


@given(boats(below=0.0))
@settings(max_examples=examples(60))
def test_a_mast_that_shares_a_corner_with_a_pennant_stays_a_box(artwork: Artwork) -> None:
    corners = laid(artwork)["mast"]
    assert len(np.unique(corners[:, 0])) == len(np.unique(corners[:, 1])) == 2


@given(boats())
@settings(max_examples=examples(60))
def test_to_lie_so_no_corner_goes_farther_than_forms_do(artwork: Artwork) -> None:
    corners, drawn = laid(artwork), laid(artwork, movement=0.0)
    for element in ("hull", "gable", "pennant"):
        if len(corners[element]) == len(drawn[element]):
            assert np.abs(corners[element] - drawn[element]).max() <= 1.0 + 2.0**-20, element


def test_a_side_that_the_warp_cuts_next_to_a_corner_stays_straight() -> None:
    """A box ends a hair above the corner that two flags share; one of them stays even, one does not."""
    x, low, wide = 9.8976, 18.5245, 2.125
    corners = laid(
        drawing(
            shape(BLUE, box(5, 15.25, 7.6142, 18.5), element="box"),
            shape(RED, [(x - wide, low), (x + wide, low), (x, low - 2.25)], element="one"),
            shape(YELLOW, [(x, low - 2.25), (x + 2 * wide, low - 2.25), (x + wide, low)], element="other"),
            wide=32,
            high=32,
        )
    )
    assert corners["one"][:, 0].max() <= corners["other"][:, 0].max() - wide
