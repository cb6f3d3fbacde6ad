"""Any small chart, with any mix of stitches, reads back from paper as it is."""

import io

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from svg2chart.chart import Arrangement, Chart, Corner, Stitch, StitchKind
from svg2chart.pages.write import pages_pdf
from tests.breadth import examples
from tests.pages.reading import read_chart_page
from tests.pages.samples import threads

THREADS = threads(30)
NUMBERS = st.integers(0, len(THREADS) - 1)
CORNERS = st.sampled_from(list(Corner))


def full(thread: int) -> Arrangement:
    return (Stitch(kind=StitchKind.FULL, thread=thread),)


def three_quarter(thread: int, corner: Corner) -> Arrangement:
    return (Stitch(kind=StitchKind.THREE_QUARTER, thread=thread, corner=corner),)


def shared(upper_and_lower: list[int], corner: Corner) -> Arrangement:
    upper, lower = upper_and_lower
    return (
        *three_quarter(upper, corner),
        Stitch(kind=StitchKind.QUARTER, thread=lower, corner=corner.opposite),
    )


def quarters(corners: list[Corner], numbers: list[int]) -> Arrangement:
    return tuple(
        Stitch(kind=StitchKind.QUARTER, thread=number, corner=corner)
        for corner, number in zip(corners, numbers, strict=False)
    )


ARRANGEMENTS = st.one_of(
    NUMBERS.map(full),
    st.builds(three_quarter, NUMBERS, CORNERS),
    st.builds(shared, st.lists(NUMBERS, min_size=2, max_size=2, unique=True), CORNERS),
    st.builds(
        quarters,
        st.lists(CORNERS, min_size=1, max_size=4, unique=True),
        st.lists(NUMBERS, min_size=4, max_size=4),
    ),
)


@st.composite
def charts(draw: st.DrawFn) -> Chart:
    arrangements = ((), *draw(st.lists(ARRANGEMENTS, max_size=12)))
    rows, columns = draw(st.integers(1, 12)), draw(st.integers(1, 12))
    indices = st.integers(0, len(arrangements) - 1)
    squares = draw(st.lists(indices, min_size=rows * columns, max_size=rows * columns))
    return Chart(
        threads=THREADS,
        arrangements=arrangements,
        squares=np.array(squares, dtype=np.int32).reshape(rows, columns),
    )


@settings(max_examples=examples(25), deadline=None)
@given(charts())
def test_any_chart_reads_back(chart: Chart) -> None:
    pdf = pages_pdf(chart)
    page = read_chart_page(pdf, PdfReader(io.BytesIO(pdf)).page_labels.index("B1"))
    for row in range(chart.rows):
        for column in range(chart.columns):
            wanted = {
                (s.kind.value, THREADS[s.thread].letter, s.corner.value if s.corner else "")
                for s in chart.arrangement_at(row, column)
            }
            assert page.squares.get((row, column), set()) == wanted


@pytest.mark.parametrize(("rows", "columns"), [(1, 1), (1, 400), (400, 1)])
def test_bare_charts_of_any_shape_have_pages(rows: int, columns: int) -> None:
    chart = Chart(threads=(), arrangements=((),), squares=np.zeros((rows, columns), dtype=np.int32))
    reader = PdfReader(io.BytesIO(pages_pdf(chart)))
    assert "Untitled chart" in reader.pages[0].extract_text()
    assert "none" in reader.pages[0].extract_text()
