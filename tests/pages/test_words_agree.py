"""What the words of different pages say: they agree with each other, and name nothing of the workshop."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import pytest

from svg2chart.chart import Backstitch, Chart, Corner, Fabric, Stitch, StitchKind
from svg2chart.guiding.order import plan_work
from svg2chart.guiding.telling import tell_rules
from svg2chart.pages.edition import Edition
from svg2chart.pages.key import key_pages
from svg2chart.pages.need import need_pages
from svg2chart.pages.notes import caution_page
from svg2chart.pages.sheet import Link, Mark, Page, Tagged, Text
from svg2chart.pages.style import LARGE, USUAL, Style
from svg2chart.pages.working import working_pages
from svg2chart.pages.write import lay_out
from svg2chart.quantity import thread_uses
from tests.pages.samples import harbour, threads


@pytest.mark.parametrize("kits", [1, 12])
@pytest.mark.parametrize(
    ("count", "over", "has_fractions"), [(14, 1, True), (14, 1, False), (28, 2, True), (28, 2, False)]
)
def test_all_pages_agree_whether_squares_are_pierced(
    count: int, over: int, kits: int, *, has_fractions: bool
) -> None:
    """Blocks of cloth are closed, evenweave has a hole between two threads, full stitches need none."""
    chart = harbour(20, 20, colours=4)
    full = np.flatnonzero([bool(a) and a[0].corner is None for a in chart.arrangements])
    squares = chart.squares if has_fractions else np.full_like(chart.squares, full[0])
    chart = replace(chart, squares=squares, fabric=Fabric(count=count, over=over))
    edition = Edition(kits=kits)
    told = {"What you need": "a sharp needle", "How to work the stitches": "pierce", "Take care": "Pierce on"}
    uses = thread_uses(chart, plan_work(chart))
    pages = [*need_pages(chart, uses, edition), *working_pages(chart, edition), *caution_page(chart, edition)]
    for chapter, words in told.items():
        text = " ".join(spoken(page) for page in pages if page.chapter == chapter)
        assert "needle" in text
        assert (words in text) == (has_fractions and over == 1), chapter
    assert ("a sharp needle" in " ".join(tell_rules(chart))) == (has_fractions and over == 1)
    assert "Never park a needle" in text
    assert "Carry scissors closed" in text


def spoken(page: Page) -> str:
    """Return the words of a page in their order, and those for who cannot see its pictures."""
    return " ".join(
        mark.text if isinstance(mark, Text) else mark.element.words or "" for mark in _flat(page.marks)
    )


def _flat(marks: Sequence[Mark]) -> Iterator[Text | Tagged]:
    for mark in marks:
        if isinstance(mark, Tagged):
            yield mark
        if isinstance(mark, Tagged | Link):
            yield from _flat(mark.marks)
        elif isinstance(mark, Text):
            yield mark


def test_rows_that_are_not_printed_are_not_in_the_contents() -> None:
    """Who buys the PDF has no use for the name of a command, nor for a page that tells of another text."""
    full = [(Stitch(kind=StitchKind.FULL, thread=number),) for number in range(2)]
    rows, columns = np.indices((120, 120))
    chart = Chart(
        threads=threads(2),
        arrangements=((), *full),
        squares=(1 + (rows + columns) % 2).astype(np.int32),
        backstitch=(Backstitch(thread=0, start=(0.0, 0.0), end=(1.0, 0.0)),),
    )
    pages = lay_out(chart)
    text = " ".join(spoken(page) for page in pages)
    assert "Work guide" in text
    assert "chart in words" not in text.lower()
    assert "svg2chart" not in text


@pytest.mark.parametrize(("style", "words"), [(USUAL, "< 0.1"), (LARGE, "less than 0.1 m of thread")])
def test_no_thread_that_is_stitched_takes_nothing(style: Style, words: str) -> None:
    """A quarter stitch takes the ends of a needleful, some centimetres: more than 0.0 m."""
    quarter = (Stitch(kind=StitchKind.QUARTER, corner=Corner.TOP_LEFT, thread=0),)
    chart = Chart(threads=threads(1), arrangements=((), quarter), squares=np.ones((1, 1), np.int32))
    edition = Edition(style=style)
    text = " ".join(spoken(page) for page in key_pages(chart, thread_uses(chart, plan_work(chart)), edition))
    assert words in text
    assert "0.0 m" not in text
