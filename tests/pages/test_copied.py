"""Black-and-white pages printed at 300 dots to the inch and copied twice, read by template matching.

pdfium prints, Pillow copies: a Gaussian blur of 0.06 mm, as far as toner spreads, and a threshold, 0.3 for
dark copies and 0.62 for faint ones; the eye then joins what lies within 0.10 mm. A template is a mark alone
on a page, printed once; each is seen at several places, as dots fall otherwise at each. What is read is the
template that correlates best, over shifts of one dot. The reader knows what the key tells: which marks there
are, that a diagonal or a line of backstitch is no part of a symbol, and so it looks beside them.
"""

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache

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
from tests.breadth import crossed
from tests.pages.samples import threads

DOTS_PER_MM = 300 / 25.4
SPREAD, SEEN = 0.06 * DOTS_PER_MM, 0.10 * DOTS_PER_MM
COPIES = [(0.3, 0.3), (0.62, 0.62)]
RIM = 2  # dots at the edge of a square that are the grid's
PLACES = 4  # at which each template is seen
SHIFTS = [(down, right) for down in (-1, 0, 1) for right in (-1, 0, 1)]
SMEAR_MM = 0.05  # what a copy adds to the edge of a line

Point = tuple[float, float]
Look = Callable[[np.ndarray, np.ndarray], np.ndarray]
"""Which places of a square are looked at; x and y are those of its dots, in squares."""


@dataclass(frozen=True)
class Seen:
    """A page as it is seen, 1 for ink; where its squares begin and how large they are, in dots."""

    ink: np.ndarray
    left: float
    top: float
    side: float

    def square(self, row: int, column: int, shift: tuple[int, int] = (0, 0)) -> np.ndarray:
        """Return a square without its rim."""
        first_x = round(self.left + column * self.side) + RIM + shift[1]
        first_y = round(self.top + row * self.side) + RIM + shift[0]
        wide = round(self.side) - 2 * RIM
        return self.ink[first_y : first_y + wide, first_x : first_x + wide]

    def part(self, look: Look) -> np.ndarray:
        """Return which dots of a square are looked at."""
        steps = (np.arange(round(self.side) - 2 * RIM) + 0.5 + RIM) / self.side
        return look(*np.meshgrid(steps, steps))


def printed(chart: Chart, square_mm: float, copies: tuple[float, ...]) -> Seen:
    """Return a chart of one page as it is seen after some copies."""
    plan = replace(plan_chart(chart, USUAL), square_mm=square_mm)
    [window] = plan.windows
    pages = chart_pages(chart, plan, Edition(), grounds=[Ground.PLAIN])
    pdf = draw_pages(pages, title="", paper=BOTH, symbols=chart_symbols(chart))
    with pypdfium2.PdfDocument(io.BytesIO(pdf)) as document:
        page = document[0].render(scale=300 / 72, grayscale=True).to_pil()
    ink = page.point(lambda value: 255 if value < 128 else 0)
    for threshold in copies:
        blurred = ink.filter(ImageFilter.GaussianBlur(SPREAD))
        ink = blurred.point(lambda value, least=255 * threshold: 255 if value > least else 0)
    seen = np.asarray(ink.filter(ImageFilter.GaussianBlur(SEEN)), dtype=np.float32) / 255
    left, top = plan.origin(window)
    return Seen(seen, left * DOTS_PER_MM, top * DOTS_PER_MM, square_mm * DOTS_PER_MM)


def normalised(images: np.ndarray) -> np.ndarray:
    images = images - images.mean(axis=-1, keepdims=True)
    return images / np.maximum(np.linalg.norm(images, axis=-1, keepdims=True), 1e-6)


def full(thread: int) -> Arrangement:
    return (Stitch(kind=StitchKind.FULL, thread=thread),)


def chart_of(
    arrangements: Sequence[Arrangement], squares: np.ndarray, number: int, lines: tuple[Backstitch, ...] = ()
) -> Chart:
    return Chart(
        threads=threads(number),
        arrangements=((), *arrangements),
        squares=squares.astype(np.int32),
        backstitch=lines,
    )


@dataclass(frozen=True)
class Reader:
    """Knows marks by sight: each alone among bare squares, once printed, at several places of the page."""

    squares: np.ndarray
    marks: np.ndarray

    @staticmethod
    def of(arrangements: Sequence[Arrangement], number: int, square_mm: float) -> "Reader":
        across = 16
        marks = np.random.default_rng(8).permutation(np.repeat(np.arange(len(arrangements)), PLACES))
        squares = np.zeros((2 * -(-len(marks) // across) + 1, 2 * across + 1))
        places = [(2 * (i // across) + 1, 2 * (i % across) + 1) for i in range(len(marks))]
        for mark, place in zip(marks, places, strict=True):
            squares[place] = mark + 1
        page = printed(chart_of(arrangements, squares, number), square_mm, ())
        return Reader(np.stack([page.square(*place) for place in places]), marks)

    def misread(self, page: Seen, told: np.ndarray, look: Look) -> int:
        """Return how many squares are read as another mark than the one told, numbered from 1."""
        part = page.part(look)
        known = normalised(self.squares[:, part])
        places = np.argwhere(told)
        images = np.stack([page.square(*place, shift)[part] for place in places for shift in SHIFTS])
        likeness = (normalised(images) @ known.T).reshape(len(places), len(SHIFTS), -1).max(axis=1)
        return int((self.marks[likeness.argmax(axis=1)] != told[*places.T] - 1).sum())


def everywhere(x: np.ndarray, _y: np.ndarray) -> np.ndarray:
    return np.ones_like(x, dtype=bool)


def beside(start: Point, end: Point, reach_mm: float, square_mm: float) -> Look:
    """Look at what is farther from a line than half its width."""
    along = np.array(end) - np.array(start)

    def look(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        away = np.abs((x - start[0]) * along[1] - (y - start[1]) * along[0]) / np.hypot(*along)
        return away * square_mm > reach_mm + SMEAR_MM

    return look


def half(corner: Corner, square_mm: float) -> Look:
    """Look at the half of a square at a corner: this side of the diagonal, and not far past the middle."""
    left, top = corner.place
    clear = beside((1 - left, top), (left, 1 - top), 0.08, square_mm)

    def look(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        across, down = np.abs(x - left), np.abs(y - top)
        return (across + down < 1) & (across < 0.54) & (down < 0.54) & clear(x, y)

    return look


@pytest.fixture(scope="module")
def sixty() -> Reader:
    return Reader.of([full(thread) for thread in range(60)], 60, 3.0)


@pytest.mark.parametrize("copies", COPIES, ids=["dark", "faint"])
def test_no_full_square_is_misread_among_sixty_symbols(sixty: Reader, copies: tuple[float, float]) -> None:
    told = np.random.default_rng(2).integers(1, 61, (50, 50))
    page = printed(chart_of([full(thread) for thread in range(60)], told, 60), 3.0, copies)
    assert sixty.misread(page, told, everywhere) == 0


# where a line runs, in its square, and how many squares a stitch of it takes across
COURSES = {
    "above": ((0.0, 0.0), (1.0, 0.0)),
    "below": ((0.0, 1.0), (1.0, 1.0)),
    "falling": ((0.0, 0.0), (1.0, 1.0)),
    "rising": ((0.0, 1.0), (1.0, 0.0)),
    "two across, first": ((0.0, 0.0), (2.0, 1.0)),
    "two across, second": ((-1.0, 0.0), (1.0, 1.0)),
    "two down, first": ((0.0, 0.0), (1.0, 2.0)),
    "two down, second": ((0.0, -1.0), (1.0, 1.0)),
    "level through the middle": ((0.0, 0.5), (1.0, 0.5)),
    "upright through the middle": ((0.5, 0.0), (0.5, 1.0)),
}
LINE_REACH_MM = 0.35  # half of what a line and its halo hide


@cache
def under_backstitch() -> dict[str, Chart]:
    """Return for each course 625 squares, each with one line along it or across it."""
    rng = np.random.default_rng(3)
    found = {}
    for course, (start, end) in COURSES.items():
        # every second row and column, so that no square is crossed by the line of another
        told = np.zeros((51, 51), dtype=int)
        told[1::2, 1::2] = rng.integers(1, 61, (25, 25))
        lines = tuple(
            Backstitch(
                thread=int(rng.integers(8)),
                start=(column + start[0], row + start[1]),
                end=(column + end[0], row + end[1]),
            )
            for row in range(1, 50, 2)
            for column in range(1, 50, 2)
        )
        found[course] = chart_of([full(thread) for thread in range(60)], told, 60, lines)
    return found


@pytest.mark.parametrize(("course", "copies"), crossed(COURSES, COPIES))
def test_no_square_is_misread_under_backstitch(
    sixty: Reader, course: str, copies: tuple[float, float]
) -> None:
    """None of 6250 squares, in all ways that lines run."""
    chart = under_backstitch()[course]
    look = beside(*COURSES[course], LINE_REACH_MM, 3.0)
    assert sixty.misread(printed(chart, 3.0, copies), chart.squares, look) == 0


@pytest.mark.parametrize(
    ("corner", "size", "copies"), crossed(Corner, [(3.0, 20), (3.0, 30), (3.6, 30)], COPIES)
)
def test_no_fraction_is_misread(corner: Corner, size: tuple[float, int], copies: tuple[float, float]) -> None:
    """All squares that two of the symbols can share: three-quarters at the corner, quarters opposite."""
    square_mm, number = size
    pairs = [(i, j) for i in range(number) for j in range(number) if i != j]
    np.random.default_rng(4).shuffle(pairs)
    three = [Stitch(kind=StitchKind.THREE_QUARTER, thread=i, corner=corner) for i in range(number)]
    quarter = [Stitch(kind=StitchKind.QUARTER, thread=i, corner=corner.opposite) for i in range(number)]
    wide = 30
    squares = np.zeros((-(-len(pairs) // wide), wide), dtype=int)
    squares.ravel()[: len(pairs)] = np.arange(1, len(pairs) + 1)
    page = printed(chart_of([(three[i], quarter[j]) for i, j in pairs], squares, number), square_mm, copies)
    for stitches, at, place in ((three, corner, 0), (quarter, corner.opposite, 1)):
        told = np.zeros_like(squares)
        told.ravel()[: len(pairs)] = [pair[place] + 1 for pair in pairs]
        reader = Reader.of([(stitch,) for stitch in stitches], number, square_mm)
        assert reader.misread(page, told, half(at, square_mm)) == 0
