"""Short chapters on one page: nothing of them is lost or moved apart, and none lies over another."""

import io
from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from svg2chart.chart import Chart, Stitch, StitchKind
from svg2chart.pages.frame import BOTTOM_MM, TOP_MM
from svg2chart.pages.joining import joined
from svg2chart.pages.sheet import Box, Element, Link, Mark, Page, Role, Tagged, Text
from svg2chart.pages.write import pages_pdf
from tests.pages.reading import page_of
from tests.pages.samples import threads

ENDS = st.lists(st.none() | st.floats(TOP_MM + 8, BOTTOM_MM), max_size=8)


def chapter(number: int, end: float | None) -> Page:
    """Return a page with marks of every kind of nesting, the lowest one at its end."""
    low = BOTTOM_MM if end is None else end
    inner = Text(x=9, y=low, text=f"end of {number}", size=3)
    link = Link(x=9, y=low - 3, width=9, height=3, target="P0", element=Element(Role.LINK), marks=(inner,))
    box = Box(x=9, y=TOP_MM, width=5, height=5)
    marks = (box, Tagged(Element(Role.PARAGRAPH), (link,)))
    return Page(label=f"P{number}", chapter=f"Chapter {number}", marks=marks, end_mm=end)


def flat(marks: tuple[Mark, ...]) -> Iterator[Mark]:
    for mark in marks:
        yield mark
        if isinstance(mark, Tagged | Link):
            yield from flat(mark.marks)


@given(ENDS)
def test_chapters_stand_below_each_other_in_their_order(ends: list[float | None]) -> None:
    pages = [chapter(number, end) for number, end in enumerate(ends)]
    done = joined(pages)
    assert [one for page in done for one in page.named] == [one for page in pages for one in page.named]
    for page in done:
        tops = [mark.y for mark in flat(page.marks) if isinstance(mark, Box)]
        lows = [mark.y for mark in flat(page.marks) if isinstance(mark, Text)]
        links = [mark.y for mark in flat(page.marks) if isinstance(mark, Link)]
        assert links == pytest.approx([low - 3 for low in lows])
        assert all(low < top for low, top in zip(lows[:-1], tops[1:], strict=True))
        assert max(lows) <= BOTTOM_MM
    for upper, lower in pairwise(done):  # none that has room stands on a page of its own
        if upper.end_mm is not None and lower.end_mm is not None:
            first = ends[int(lower.label[1:])]
            assert first is not None
            assert upper.end_mm + first - TOP_MM > BOTTOM_MM - 10


def test_a_small_chart_has_its_key_where_it_tells_what_is_needed() -> None:
    chart = Chart(
        threads=threads(1),
        arrangements=((), (Stitch(kind=StitchKind.FULL, thread=0),)),
        squares=np.eye(5, 9, dtype=np.int32),
    )
    reader = PdfReader(io.BytesIO(pages_pdf(chart)))
    number = page_of(reader, "What you need")
    assert page_of(reader, "Key") == number
    text = reader.pages[number].extract_text()
    assert text.index("On other cloth") < text.index("Key")
