"""Ink against what lies under it: 4.5 to 1 for symbols and words. Source: WCAG 2.1, success criterion 1.4.3.

Colours are not read from the marks but from the printed page: pdfium draws it, and in each square the darkest
dot, a symbol's, is held against the commonest of the others.
"""

import dataclasses
import io
from collections import Counter

import numpy as np
import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.chart import Chart, Stitch, StitchKind
from svg2chart.colour import Colour, contrast
from svg2chart.pages.charting import chart_pages
from svg2chart.pages.draw import draw_pages
from svg2chart.pages.edition import Edition
from svg2chart.pages.plan import BOTH, plan_chart
from svg2chart.pages.sheet import Dot, Face, Text
from svg2chart.pages.squares import Ground, knot_marks
from svg2chart.pages.style import LARGE, USUAL, Style
from svg2chart.pages.write import chart_symbols, lay_out
from tests.pages.samples import harbour, threads

COLOURS = st.integers(0, 0xFFFFFF).map(lambda n: f"#{n:06x}")
DOTS_PER_MM = 8


def coloured(colours: list[str]) -> Chart:
    """Return squares of each colour in turn, over two pages: the second repeats the last of the first."""
    made = [dataclasses.replace(t, colour=c) for t, c in zip(threads(len(colours)), colours, strict=True)]
    squares = np.arange(80 * len(colours)).reshape(len(colours), 80) % len(colours) + 1
    return Chart(
        threads=tuple(made),
        arrangements=((), *((Stitch(kind=StitchKind.FULL, thread=i),) for i in range(len(made)))),
        squares=squares.astype(np.int32),
    )


@pytest.mark.parametrize("ground", [Ground.TINTED, Ground.PLAIN])
def test_symbols_stand_out_in_every_square(ground: Ground) -> None:
    """In tints of the darkest and the lightest colours, on paper, and on the grey of repeated squares."""
    chart = coloured(["#000000", "#ffffff", "#ff0000", "#0000ff", "#003300", "#777777", "#ffff00"])
    plan = plan_chart(chart, USUAL)
    pages = chart_pages(chart, plan, Edition(), grounds=[ground])
    pdf = draw_pages(pages, title="", paper=BOTH, symbols=chart_symbols(chart))
    side = plan.square_mm * DOTS_PER_MM
    assert len(plan.windows) == 2
    for number, window in enumerate(plan.windows):
        with pypdfium2.PdfDocument(io.BytesIO(pdf)) as document:
            image = np.asarray(document[number].render(scale=DOTS_PER_MM * 25.4 / 72).to_pil())
        left, top = (place * DOTS_PER_MM for place in plan.origin(window))
        for row in range(window.end_row - window.shown_row):
            for column in range(window.end_column - window.shown_column):
                x, y = round(left + column * side), round(top + row * side)
                square = image[y + 3 : y + round(side) - 3, x + 3 : x + round(side) - 3].reshape(-1, 3)
                paint = Counter(map(tuple, square.tolist()))
                ink = min(paint, key=sum)
                under = max((shade for shade in paint if shade != ink), key=paint.__getitem__)
                assert contrast(shade_of(ink), shade_of(under)) >= 4.5


def shade_of(channels: tuple[int, ...]) -> Colour:
    red, green, blue = (channel / 255 for channel in channels)
    return Colour(red, green, blue)


@given(COLOURS)
def test_symbols_stand_out_in_knots(colour: str) -> None:
    *_, dot, symbol = knot_marks(coloured([colour]), 0, at=(10.0, 10.0), side=3.0, fill=colour)
    assert isinstance(dot, Dot)
    assert isinstance(symbol, Text)
    assert contrast(Colour.from_hex(symbol.ink), Colour.from_hex(dot.fill)) >= 4.5


def leaves(marks: tuple) -> list:
    return [leaf for mark in marks for leaf in (leaves(mark.marks) if hasattr(mark, "marks") else [mark])]


@pytest.mark.parametrize("style", [USUAL, LARGE], ids=["usual", "large"])
def test_words_stand_out_on_paper(style: Style) -> None:
    chart = harbour(30, 72, colours=9, remarks=2)
    texts = [
        leaf
        for page in lay_out(chart, Edition(style=style))
        for leaf in leaves(page.marks)
        if isinstance(leaf, Text) and leaf.face in (Face.BODY, Face.BOLD)
    ]
    inks = {text.ink for text in texts}
    assert all(contrast(Colour.from_hex(ink), Colour(1, 1, 1)) >= 4.5 for ink in inks)
    if style is LARGE:
        # 18 point: guidelines of the American Council of the Blind for large print
        assert min(text.size for text in texts) * 72 / 25.4 >= 18
