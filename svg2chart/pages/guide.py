"""The pages of the work guide: how difficult the chart is, what one needs to know, every block in order."""

from collections.abc import Sequence

from svg2chart.chart import Chart
from svg2chart.guiding.difficulty import difficulty_lines
from svg2chart.guiding.telling import ToldBlock, tell_rules
from svg2chart.pages.edition import Edition
from svg2chart.pages.flowing import ALIKE_MM, Section, flow
from svg2chart.pages.frame import Block, heading, paragraph
from svg2chart.pages.sheet import Face, Page
from svg2chart.pages.style import Style

_KEEP_MM = 25.0  # a long title, where to begin, and the first step
MOST_STEPS = 4000  # told step by step; beyond that the pages would outnumber those of the chart


def tells_steps(told: Sequence[ToldBlock]) -> bool:
    """Whether the guide tells every step of these blocks: where there are very many it does not."""
    return sum(len(block.steps) for block in told) <= MOST_STEPS


def guide_pages(chart: Chart, told: Sequence[ToldBlock], edition: Edition) -> tuple[Page, ...]:
    """Return the guide to these blocks; where there are very many steps, only how each block is begun."""
    style = edition.style
    is_short = tells_steps(told)
    before: list[Block] = [line for words in difficulty_lines(chart) for line in paragraph(words, style)]
    before += heading("Before the first block", style)
    for rule in tell_rules(chart):
        before += paragraph(rule, style)
    if not is_short:
        before += paragraph("Of each block only its start is told: there are too many steps to print.", style)
    blocks: list[Block] = []
    for block in told:
        blocks += _block(block, block.steps if is_short else (), style)
    return flow(
        (Section(blocks=tuple(before)), Section(blocks=tuple(blocks), columns=style.columns)),
        chapter="Work guide",
        prefix="Guide",
        footer=edition.footer(chart),
        style=style,
        between=ALIKE_MM,
    )


def _block(block: ToldBlock, steps: Sequence[str], style: Style) -> list[Block]:
    columns = style.columns
    title = f"{block.title[0].upper()}{block.title[1:]}"
    blocks = heading(title, style, columns=columns, size=style.text, keep=_KEEP_MM)
    blocks += paragraph(block.start, style, size=style.small, face=Face.BOLD, columns=columns)
    after = 0.3 if block.first == block.last else 1.0  # each of several blocks is a step
    for step in steps:
        blocks += paragraph(f"{step}.", style, size=style.small, indent=2.0, after=after, columns=columns)
    return blocks
