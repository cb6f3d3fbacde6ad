"""The chart in words on pages: every row, and backstitch and knots that no guide tells, to read or hear."""

from collections.abc import Sequence

from svg2chart.chart import Chart
from svg2chart.guiding.telling import ToldBlock
from svg2chart.guiding.words import rows_in_words
from svg2chart.pages.edition import Edition
from svg2chart.pages.flowing import ALIKE_MM, Section, flow
from svg2chart.pages.frame import Block, heading, paragraph
from svg2chart.pages.guide import tells_steps
from svg2chart.pages.sheet import Page

_IN_GUIDE = (
    "The work guide tells {}, hole by hole. Where a shape comes again, as a letter does, it names the block"
    " in which the first one is told."
)
MOST_WORDS = 25_000  # beyond that the words would fill more pages than the chart: they are left out


def worded_pages(chart: Chart, told: Sequence[ToldBlock], edition: Edition) -> tuple[Page, ...]:
    """Return the chart in words; no page where it is very long.

    Lines and knots are not told again that the work guide to these blocks tells hole by hole, or as others.
    """
    style = edition.style
    opening, *sections = rows_in_words(chart)
    blocks: list[Block] = [line for words in opening[1:] for line in paragraph(words, style, after=0.6)]
    if tells_steps(told) and len(sections) > 1:
        held = (("backstitch", chart.backstitch), ("French knots", chart.knots))
        told_there = " and ".join(name for name, marks in held if marks)
        blocks += paragraph(_IN_GUIDE.format(told_there), style, after=0.6)
        sections = sections[:1]
    if sum(len(line.split()) for section in sections for line in section) > MOST_WORDS:
        return ()
    worded: list[Block] = []
    for name, *lines in sections:
        worded += heading(name, style, columns=style.columns, size=style.text)
        for line in lines:
            worded += paragraph(line, style, size=style.small, after=0.8, columns=style.columns)
    return flow(
        (Section(blocks=tuple(blocks)), Section(blocks=tuple(worded), columns=style.columns)),
        chapter="Chart in words",
        prefix="In words",
        footer=edition.footer(chart),
        style=style,
        between=ALIKE_MM,
    )
