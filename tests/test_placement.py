"""Where squares lie on real drawings, against pictures of them that another renderer made."""

from dataclasses import dataclass
from math import ceil

import pytest
from PIL import Image

from svg2chart.artwork import Artwork
from svg2chart.geometry.box import Box
from svg2chart.grid import Extent, Grid
from svg2chart.svg.read import read_artwork
from tests import outside

HERE = outside.DATA.exists()
pytestmark = pytest.mark.skipif(not HERE, reason="the outside drawings are not beside the repo")
NAMES = [picture.path for picture in outside.pictures("art-open")][::6] if HERE else []


@dataclass(frozen=True)
class Seen:
    """A drawing, the box around what another renderer shows of it, and the size of a pixel, in user units."""

    artwork: Artwork
    box: Box
    pixel: float


@pytest.fixture(params=NAMES, ids=lambda path: path.stem)
def seen(request: pytest.FixtureRequest) -> Seen:
    artwork = read_artwork(request.param)
    with Image.open(request.param.with_suffix(".png")) as picture:
        around = picture.convert("RGBA").getchannel("A").getbbox()
        pixel = artwork.viewport.width / picture.width
    assert around is not None
    left, top = artwork.viewport.left, artwork.viewport.top
    corners = [start + place * pixel for start, place in zip((left, top) * 2, around, strict=True)]
    return Seen(artwork, Box(*corners), pixel)


def fit(seen: Seen, **size: float | Extent) -> Grid:
    """Return a grid for which all strokes have the width that the other renderer draws them in."""
    return Grid.fit(seen.artwork, thin=0.0, **size)


@pytest.mark.parametrize("squares", [30, 80, 200])
def test_wide_and_high_fit_the_drawing_between_the_edges(seen: Seen, squares: int) -> None:
    """To a pixel of the picture: so many squares are the drawing, the other way half of one is over at most.

    The fit then moves the drawing's edges onto the grid.
    """
    wide, high = fit(seen, wide=squares), fit(seen, high=squares)
    assert (wide.columns, high.rows) == (squares, squares)
    assert wide.left == pytest.approx(seen.box.left, abs=seen.pixel)
    assert wide.square * squares == pytest.approx(seen.box.width, abs=2 * seen.pixel)
    assert high.top == pytest.approx(seen.box.top, abs=seen.pixel)
    assert high.square * squares == pytest.approx(seen.box.height, abs=2 * seen.pixel)
    for over, square in (
        (wide.rows * wide.square - seen.box.height, wide.square),
        (high.columns * high.square - seen.box.width, high.square),
    ):
        assert abs(over) <= square / 2 + 2 * seen.pixel


@pytest.mark.parametrize("parts", [17, 36, 100])
def test_squares_are_counted_from_the_corner_of_the_page_and_trimmed_to_the_drawing(
    seen: Seen, parts: int
) -> None:
    page, box = seen.artwork.viewport, seen.box
    side = page.width / parts
    grid = fit(seen, square=side)
    for start, corner in ((grid.left, page.left), (grid.top, page.top)):
        assert (start - corner) / side == pytest.approx(round((start - corner) / side), abs=1e-9)
    # the first and the last row and column hold a part of the drawing, and nothing lies outside
    right, bottom = grid.left + grid.columns * side, grid.top + grid.rows * side
    sides = ((grid.left, box.left), (grid.top, box.top), (-right, -box.right), (-bottom, -box.bottom))
    assert all(-seen.pixel <= within - out < side + seen.pixel for out, within in sides)


@pytest.mark.parametrize("count", [11, 14, 28])
def test_count_keeps_the_inches_of_the_document(seen: Seen, count: int) -> None:
    grid = fit(seen, count=count, extent=Extent.PAGE)
    page = seen.artwork.viewport
    assert grid.square * seen.artwork.unit_mm * count == pytest.approx(25.4)
    inches = page.width * seen.artwork.unit_mm / 25.4
    assert grid.columns == max(1, ceil(inches * count - 1e-3))


def test_the_whole_page_is_charted_where_it_is_asked_for(seen: Seen) -> None:
    page = seen.artwork.viewport
    for size in ("wide", "high", "square"):
        grid = fit(seen, extent=Extent.PAGE, **{size: 47})
        for start, number, low, high in (
            (grid.left, grid.columns, page.left, page.right),
            (grid.top, grid.rows, page.top, page.bottom),
        ):
            # nothing of the page is outside, and of squares beyond it less than one in all
            end = start + number * grid.square
            assert start <= low + 1e-9
            assert end >= high - 1e-3 * grid.square
            assert low - start + end - high < grid.square
