"""The pages of the work guide: how difficult the chart is, what one needs to know, every block in order."""

from collections.abc import Sequence

from svg2chart.chart import Chart
from svg2chart.guiding import order
from svg2chart.guiding.difficulty import difficulty_lines
from svg2chart.guiding.telling import ToldBlock, tell_rules, tell_work
from svg2chart.pages.frame import Block, Section, flow, heading, paragraph
from svg2chart.pages.sheet import Face, Page

MOST_STEPS = 1500  # told step by step; beyond that the pages would outnumber those of the chart


def guide_pages(chart: Chart, work: Sequence[order.Block]) -> tuple[Page, ...]:
    """Return the guide to these blocks; where there are very many steps, the chart in words has them."""
    told = tell_work(chart, work)
    is_short = sum(len(block.steps) for block in told) <= MOST_STEPS
    blocks: list[Block] = [line for words in difficulty_lines(chart) for line in paragraph(words)]
    blocks += heading("Before the first block")
    for rule in tell_rules(chart):
        blocks += paragraph(rule)
    if not is_short:
        blocks += paragraph("The steps of each block stand in the chart in words: svg2chart words.")
    for block in told:
        blocks += _block(block, block.steps if is_short else ())
    return flow((Section(blocks=tuple(blocks)),), chapter="Work guide", prefix="Guide", title=chart.title)


def _block(block: ToldBlock, steps: Sequence[str]) -> list[Block]:
    title = f"{block.title[0].upper()}{block.title[1:]}"
    blocks = [*heading(title), *paragraph(block.start, face=Face.BOLD)]
    return blocks + [line for step in steps for line in paragraph(f"{step}.", indent=4.0, after=0.4)]
