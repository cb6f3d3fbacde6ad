"""The picture of the stitched piece, counted square by square against the chart."""

import io
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from PIL import Image

import svg2chart
from svg2chart.chart import Backstitch, Chart, Corner, Knot, Stitch, StitchKind, Thread
from svg2chart.picture.raster import picture_png
from svg2chart.picture.shapes import margin_squares
from svg2chart.picture.vector import picture_svg
from tests.pages.samples import harbour

COLOURS = {"red": "#c03028", "blue": "#2050a0", "green": "#208040"}
THREADS = tuple(
    Thread(letter=letter, code=letter, name=name, colour=colour, symbol=letter)
    for letter, (name, colour) in zip("ABC", COLOURS.items(), strict=True)
)
CORNERS = list(Corner)


def sample() -> Chart:
    """Return squares of every kind in three threads that are easily told apart."""
    arrangements: list[tuple[Stitch, ...]] = [()]
    arrangements += [(Stitch(kind=StitchKind.FULL, thread=n),) for n in range(3)]
    for corner in CORNERS:
        three = Stitch(kind=StitchKind.THREE_QUARTER, thread=0, corner=corner)
        quarter = Stitch(kind=StitchKind.QUARTER, thread=1, corner=corner.opposite)
        arrangements += [(three,), (three, quarter)]
    squares = np.random.default_rng(4).integers(0, len(arrangements), (13, 17)).astype(np.int32)
    return Chart(title="Boats & lamps", threads=THREADS, arrangements=tuple(arrangements), squares=squares)


def nearest(chart: Chart, colour: np.ndarray) -> int:
    """Return which thread has the most alike hue, -1 for the cloth, which is the only light one."""
    if colour.min() > 170:
        return -1
    threads = [[int(t.colour[i : i + 2], 16) for i in (1, 3, 5)] for t in chart.threads]
    hues = np.array(threads) / np.linalg.norm(threads, axis=1, keepdims=True)
    return int((hues @ (colour / np.linalg.norm(colour))).argmax())


def corner_colours(picture: np.ndarray, chart: Chart, row: int, column: int) -> list[np.ndarray]:
    """Return the mean colour near each corner of a square, clockwise from the top left."""
    margin = margin_squares(chart)
    side = picture.shape[1] / (chart.columns + 2 * margin)
    found = []
    for corner in CORNERS:
        x, y = corner.place
        left, top = ((place + margin + 0.1 + 0.5 * far) * side for place, far in ((column, x), (row, y)))
        part = picture[round(top) : round(top + 0.3 * side), round(left) : round(left + 0.3 * side)]
        found.append(part.reshape(-1, 3).mean(axis=0))
    return found


def expected(chart: Chart, row: int, column: int) -> list[int | None]:
    """Return the thread at each corner: None where the legs of two stitches meet."""
    found: list[int | None] = [-1] * 4
    for stitch in chart.arrangement_at(row, column):
        if stitch.corner is None:
            return [stitch.thread] * 4
        at = CORNERS.index(stitch.corner)
        found[at] = stitch.thread
        found[at - 1] = found[(at + 1) % 4] = None
    return found


def test_squares_of_the_png_are_those_of_the_chart() -> None:
    chart = sample()
    picture = np.asarray(Image.open(io.BytesIO(picture_png(chart))).convert("RGB")).astype(float)
    for row in range(chart.rows):
        for column in range(chart.columns):
            colours = corner_colours(picture, chart, row, column)
            for wanted, colour in zip(expected(chart, row, column), colours, strict=True):
                assert wanted is None or nearest(chart, colour) == wanted, (row, column)


def test_squares_of_the_svg_are_those_of_the_chart(tmp_path) -> None:
    """By the mean colour of each square, as the drawing is read for charting."""
    chart = sample()
    path = tmp_path / "picture.svg"
    path.write_bytes(picture_svg(chart))
    margin = margin_squares(chart)
    rows, columns = chart.rows + 2 * margin, chart.columns + 2 * margin
    colours = svg2chart.square_colours(svg2chart.read_artwork(path), rows, columns)[..., :3] * 255
    for row in range(chart.rows):
        for column in range(chart.columns):
            arrangement = chart.arrangement_at(row, column)
            if len(arrangement) < 2:
                wanted = arrangement[0].thread if arrangement else -1
                colour = colours[row + margin, column + margin]
                if not arrangement or arrangement[0].corner is None:
                    assert nearest(chart, colour) == wanted, (row, column)
    assert all(nearest(chart, colour) == -1 for colour in colours[0])


def test_the_svg_measures_in_squares_and_has_the_title() -> None:
    chart = harbour(10, 12, colours=3)
    root = ET.fromstring(picture_svg(chart))
    margin = margin_squares(chart)
    assert root.get("viewBox") == f"{-margin} {-margin} {12 + 2 * margin} {10 + 2 * margin}"
    title = root.find("{http://www.w3.org/2000/svg}title")
    assert title is not None
    assert title.text == chart.title


@pytest.mark.parametrize("place", [(3.0, 4.0), (2.5, 1.5)])
def test_knots_and_lines_lie_at_their_holes(place: tuple[float, float]) -> None:
    """On bare cloth the only thread is there: a knot of its radius, a line of its length."""
    bare = Chart(
        threads=THREADS,
        arrangements=((),),
        squares=np.zeros((8, 8), dtype=np.int32),
        knots=(Knot(thread=0, at=place),),
        backstitch=(Backstitch(thread=1, start=(5, 6), end=(7, 6)),),
    )
    picture = np.asarray(Image.open(io.BytesIO(picture_png(bare))).convert("RGB")).astype(int)
    side, margin = picture.shape[1] / 10, margin_squares(bare)
    for channel, other, middle, wide, high in ((0, 2, place, 0.6, 0.6), (2, 0, (6.0, 6.0), 2.16, 0.24)):
        rows, columns = np.nonzero(picture[..., channel] > picture[..., other] + 40)
        for found, centre, size in ((columns, middle[0], wide), (rows, middle[1], high)):
            low, end = found.min() / side - margin, (found.max() + 1) / side - margin
            assert (low + end) / 2 == pytest.approx(centre, abs=0.06)
            assert end - low == pytest.approx(size, abs=0.1)


def test_the_same_bytes_twice() -> None:
    chart = harbour(12, 12, colours=4)
    assert picture_png(chart) == picture_png(chart)
    assert picture_svg(chart) == picture_svg(chart)
