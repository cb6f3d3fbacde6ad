"""Black-and-white pages printed at 300 dots to the inch and copied twice, read by template matching.

pdfium prints, Pillow copies: a Gaussian blur of 0.06 mm, as far as toner spreads, and a threshold, 0.3 for
dark copies and 0.62 for faint ones; the eye then joins what lies within 0.10 mm. A template is the same mark
alone on a page, printed once. What is read is the template that correlates best, over shifts of one dot.
"""

import io
from dataclasses import replace

import numpy as np
import pypdfium2
import pytest
from PIL import ImageFilter

from svg2chart.chart import Arrangement, Backstitch, Chart, Corner, Stitch, StitchKind
from svg2chart.pages.charting import chart_pages
from svg2chart.pages.draw import draw_pages
from svg2chart.pages.edition import Edition
from svg2chart.pages.plan import BOTH, plan_chart
from svg2chart.pages.squares import Ground
from svg2chart.pages.style import USUAL
from svg2chart.pages.write import chart_symbols
from tests.pages.samples import threads

DOTS_PER_MM = 300 / 25.4
SPREAD, SEEN = 0.06 * DOTS_PER_MM, 0.10 * DOTS_PER_MM
COPIES = [(0.3, 0.3), (0.62, 0.62)]
RIM = 2  # dots at the edge of a square that are the grid's


def printed(
    chart: Chart, square_mm: float, copies: tuple[float, ...]
) -> tuple[np.ndarray, float, float, float]:
    """Return a chart of one page as it is seen, where its squares begin and how large they are, in dots."""
    plan = replace(plan_chart(chart, USUAL), square_mm=square_mm)
    [window] = plan.windows
    pages = chart_pages(chart, plan, Edition(), ground=Ground.PLAIN)
    pdf = draw_pages(pages, title="", paper=BOTH, symbols=chart_symbols(chart))
    with pypdfium2.PdfDocument(io.BytesIO(pdf)) as document:
        page = document[0].render(scale=300 / 72, grayscale=True).to_pil()
    ink = page.point(lambda value: 255 if value < 128 else 0)
    for threshold in copies:
        blurred = ink.filter(ImageFilter.GaussianBlur(SPREAD))
        ink = blurred.point(lambda value, least=255 * threshold: 255 if value > least else 0)
    seen = np.asarray(ink.filter(ImageFilter.GaussianBlur(SEEN)), dtype=np.float32) / 255
    left, top = plan.origin(window)
    return seen, left * DOTS_PER_MM, top * DOTS_PER_MM, square_mm * DOTS_PER_MM


def cut(
    page: tuple[np.ndarray, float, float, float],
    row: int,
    column: int,
    *,
    part: tuple[float, float, float, float],
) -> np.ndarray:
    """Return a part of a square (left, top, right, bottom as shares), at nine shifts of a dot, normalised."""
    seen, left, top, side = page
    x, y = left + column * side, top + row * side
    wide, high = round((part[2] - part[0]) * side) - 2 * RIM, round((part[3] - part[1]) * side) - 2 * RIM
    first_x, first_y = round(x + part[0] * side) + RIM, round(y + part[1] * side) + RIM
    found = [
        seen[first_y + down : first_y + down + high, first_x + right : first_x + right + wide].ravel()
        for down in (-1, 0, 1)
        for right in (-1, 0, 1)
    ]
    images = np.stack(found)
    images = images - images.mean(axis=1, keepdims=True)
    return images / np.maximum(np.linalg.norm(images, axis=1, keepdims=True), 1e-6)


def full(thread: int) -> Arrangement:
    return (Stitch(kind=StitchKind.FULL, thread=thread),)


def chart_of(arrangements: list[Arrangement], squares: np.ndarray, number: int, lines: tuple = ()) -> Chart:
    return Chart(
        threads=threads(number),
        arrangements=((), *arrangements),
        squares=squares.astype(np.int32),
        backstitch=lines,
    )


def templates(arrangements: list[Arrangement], number: int, square_mm: float, part) -> np.ndarray:
    """Return each arrangement alone among bare squares, once printed."""
    across = 12
    squares = np.zeros((2 * -(-len(arrangements) // across) + 1, 2 * across + 1))
    places = [(2 * (i // across) + 1, 2 * (i % across) + 1) for i in range(len(arrangements))]
    for i, place in enumerate(places):
        squares[place] = i + 1
    page = printed(chart_of(arrangements, squares, number), square_mm, ())
    return np.stack([cut(page, *place, part=part)[4] for place in places])


def wrong(page, told: np.ndarray, known: np.ndarray, part) -> int:
    """Return how many squares are read as another than the one that is there."""
    count = 0
    for (row, column), wanted in np.ndenumerate(told):
        if wanted:
            likeness = cut(page, row, column, part=part) @ known.T
            count += int(likeness.max(axis=0).argmax()) != wanted - 1
    return count


WHOLE = (0.0, 0.0, 1.0, 1.0)


@pytest.mark.parametrize("copies", COPIES, ids=["dark", "faint"])
def test_no_full_square_is_misread_among_sixty_symbols(copies: tuple[float, float]) -> None:
    arrangements = [full(thread) for thread in range(60)]
    told = np.random.default_rng(2).integers(1, 61, (50, 50))
    page = printed(chart_of(arrangements, told, 60), 3.0, copies)
    assert wrong(page, told, templates(arrangements, 60, 3.0, WHOLE), WHOLE) == 0


@pytest.mark.parametrize("copies", COPIES, ids=["dark", "faint"])
def test_hardly_any_square_is_misread_under_backstitch(copies: tuple[float, float]) -> None:
    """At most 0.1 %: 2 of 2500 squares, each with a line along its upper or its lower side."""
    arrangements = [full(thread) for thread in range(60)]
    told = np.random.default_rng(3).integers(1, 61, (50, 50))
    lines = tuple(
        Backstitch(thread=0, start=(column, row), end=(column + 1, row))
        for row in range(0, 50, 2)
        for column in range(50)
    )
    page = printed(chart_of(arrangements, told, 60, lines), 3.0, copies)
    assert wrong(page, told, templates(arrangements, 60, 3.0, WHOLE), WHOLE) <= 2


@pytest.mark.parametrize(("square_mm", "number"), [(3.0, 20), (3.6, 30)])
@pytest.mark.parametrize("copies", COPIES, ids=["dark", "faint"])
def test_hardly_any_fraction_is_misread(square_mm: float, number: int, copies: tuple[float, float]) -> None:
    """Shared squares, three-quarter at the top left, quarter at the bottom right: 1 % of the halves."""
    corner = Corner.TOP_LEFT
    rng = np.random.default_rng(4)
    pairs = [(i, int(j)) for i in range(number) for j in rng.permutation(number)[:12] if i != j]
    three = [Stitch(kind=StitchKind.THREE_QUARTER, thread=i, corner=corner) for i in range(number)]
    quarter = [Stitch(kind=StitchKind.QUARTER, thread=i, corner=corner.opposite) for i in range(number)]
    shared: list[Arrangement] = [(three[i], quarter[j]) for i, j in pairs]
    wide = 18
    squares = np.zeros((-(-len(shared) // wide), wide))
    squares.ravel()[: len(shared)] = np.arange(1, len(shared) + 1)
    page = printed(chart_of(shared, squares, number), square_mm, copies)
    misread = 0
    for alone, part, place in (
        ([(stitch,) for stitch in three], (0.0, 0.0, 0.54, 0.54), 0),
        ([(stitch,) for stitch in quarter], (0.46, 0.46, 1.0, 1.0), 1),
    ):
        told = np.zeros(squares.shape, dtype=int)
        told.ravel()[: len(pairs)] = [pair[place] + 1 for pair in pairs]
        misread += wrong(page, told, templates(alone, number, square_mm, part), part)
    assert misread <= 0.01 * 2 * len(pairs)
