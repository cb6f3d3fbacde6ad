"""Pages of words: the remarks on the whole chart, and what to be careful with."""

import re

from svg2chart.chart import Chart, is_pierced
from svg2chart.pages.edition import Edition
from svg2chart.pages.flowing import Section, flow
from svg2chart.pages.frame import Block, heading, paragraph
from svg2chart.pages.sheet import Page
from svg2chart.remarks import gathered

_NEEDLES = (
    # craft class health and safety pages
    "Count your needles before and after. Never park a needle in clothes or chairs.",
    "A blunt tapestry needle is enough for whole stitches and is the one to give to learners.",
)
_PIERCING = (
    # common practice, no source
    "Quarter and three-quarter stitches go through the middle of a block: "
    "pierce it with a sharp needle first. Pierce on a pad, fingers clear.",
)
_SCISSORS = (
    # craft class health and safety pages
    "Carry scissors closed, by the blades. Children use round tips, and an adult watches.",
    # 16 CFR 1501.4: a part that fits the small-parts cylinder
    "Needles, thread ends and other small parts are not for children under 3. "
    "Keep long threads and plastic bags away from infants.",
)
_MAGNETS = (
    # poison centre and magnet safety pages
    "A strong magnet that holds needles: keep it from children. If one is swallowed, go to hospital now.",
    # patients' association; Heart Rhythm 2007
    "Keep magnets 15 cm or more from a pacemaker or implanted defibrillator, strong ones 30 cm.",
)
_COMFORT = (
    # an eye doctor's page; shop advice; guild notes
    "Every 20 minutes, look 6 m away for 20 seconds. Stand up once an hour.",
    "Light comes over the shoulder opposite the stitching hand.",
)


# what a command line is told in brackets
_OPTIONS = re.compile(r" \(--[^()]*\)")


def remark_pages(chart: Chart, edition: Edition) -> tuple[Page, ...]:
    """Return what is left out, simplified or guessed of the whole chart; no page without such remarks.

    Who stitches has not drawn it: what became of single elements, and which options there are, is of no use.
    """
    remarks = [remark for remark in chart.remarks if not remark.element]
    if not remarks:
        return ()
    blocks = paragraph(
        "What was left out, simplified or guessed for the chart as a whole:",
        edition.style,
    )
    for line in gathered(remarks):
        blocks += paragraph(f"{_OPTIONS.sub('', line)}.", edition.style, indent=4.0)
    section = Section(blocks=tuple(blocks))
    return flow(
        (section,),
        chapter="Remarks on this chart",
        prefix="Remarks",
        footer=edition.footer(chart),
        style=edition.style,
    )


def caution_page(chart: Chart, edition: Edition) -> tuple[Page, ...]:
    """Return the cautions; piercing is among them only where fractions have no hole to go into."""
    sections = [
        ("Needles", _NEEDLES + (_PIERCING if is_pierced(chart) else ())),
        ("Scissors and small parts", _SCISSORS),
        ("Magnets", _MAGNETS),
        ("Eyes and back", _COMFORT),
    ]
    blocks: list[Block] = []
    for name, lines in sections:
        blocks += heading(name, edition.style)
        for line in lines:
            blocks += paragraph(line, edition.style)
    return flow(
        (Section(blocks=tuple(blocks)),),
        chapter="Take care",
        prefix="Take care",
        footer=edition.footer(chart),
        style=edition.style,
    )
