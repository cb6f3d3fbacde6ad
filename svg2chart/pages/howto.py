"""How to read this chart: what stands in a square, what lines and numbers mean, an example cut from it."""

from collections.abc import Sequence

from svg2chart.chart import Arrangement, Chart, Corner, Stitch, StitchKind, occurring
from svg2chart.pages.areas import is_shared
from svg2chart.pages.edition import Edition
from svg2chart.pages.example import Picture, beside, example_blocks, square_marks
from svg2chart.pages.flowing import Section, flow
from svg2chart.pages.frame import Block, heading, paragraph
from svg2chart.pages.lines import back_threads, line_style
from svg2chart.pages.plan import ChartPlan
from svg2chart.pages.sheet import Mark, Page, Point, Trail
from svg2chart.pages.squares import knot_marks
from svg2chart.pages.style import Style

_SIDE_MM = 9.0
_STITCHED = "Each square is one stitch. A square without a symbol is bare cloth: nothing is stitched there."
_BARE = "Squares are counted to find the holes of the cloth: no stitch fills one."


def howto_pages(chart: Chart, plan: ChartPlan, edition: Edition) -> tuple[Page, ...]:
    """Return how to read this chart; only what occurs in it."""
    style = edition.style
    is_stitched = any(occurring(chart))  # else there is nothing to say of squares
    blocks = _grid_words(plan, style, _STITCHED if is_stitched else _BARE)
    if is_stitched:
        blocks += heading("In a square", style, keep=20)
        blocks += _squares(chart, style)
    if chart.backstitch or chart.knots:
        blocks += heading("On the lines", style, keep=20)
        blocks += _lines(chart, style)
    if is_stitched:
        blocks += example_blocks(chart, plan, style)
    return flow(
        (Section(blocks=tuple(blocks)),),
        chapter="How to read this chart",
        prefix="Reading",
        footer=edition.footer(chart),
        style=style,
    )


def _grid_words(plan: ChartPlan, style: Style, meaning: str) -> list[Block]:
    """Return what squares mean, and how their lines and numbers are read."""
    words = [
        meaning,
        "Numbers count squares: 10 stands at the heavy line after ten squares, counted from the left and "
        "from the top of the whole chart. Arrowheads mark its middle column and row.",
    ]
    if len(plan.windows) > 1:
        words.append(
            "Grey squares repeat the last squares of a neighbouring page and are not counted again. Arrows "
            "at the edges name the page that goes on there."
        )
    return [block for line in words for block in paragraph(line, style)]


def _squares(chart: Chart, style: Style) -> list[Block]:
    blocks: list[Block] = []
    kinds = {stitch.kind for a in occurring(chart) for stitch in a}
    full = [a for a in occurring(chart) if a and a[0].corner is None]
    if full:
        words = "Full stitch: the whole symbol, in the colour that the key gives for it."
        blocks.append(_sample(chart, full[0], words, style))
    fractions = [a for a in occurring(chart) if a and a[0].corner is not None]
    if not fractions:
        return blocks
    first, second = _example_threads(chart)
    corner = Corner.TOP_LEFT
    three = Stitch(kind=StitchKind.THREE_QUARTER, corner=corner, thread=first)
    quarter = Stitch(kind=StitchKind.QUARTER, corner=corner, thread=first)
    other = Stitch(kind=StitchKind.QUARTER, corner=corner.opposite, thread=second)
    if StitchKind.THREE_QUARTER in kinds:
        words = "Three-quarter stitch: a diagonal line, and the small symbol in the corner of its quarter."
        blocks.append(_sample(chart, (three,), words, style))
    if any(StitchKind.QUARTER in {s.kind for s in a} and not is_shared(a) for a in fractions):
        words = "Quarter stitch: the small symbol in its corner, boxed in by two short lines."
        blocks.append(_sample(chart, (quarter,), words, style))
    if second != first:
        words = (
            "Shared square: the symbol without a box is the three-quarter stitch, in the colour of the upper "
            "layer; the symbol in the box is the quarter stitch of the colour under it."
        )
        blocks.append(_sample(chart, (three, other), words, style))
    return blocks


def _example_threads(chart: Chart) -> tuple[int, int]:
    """Return two threads for the samples, those of the first shared square where there is one."""
    shared = [a for a in occurring(chart) if is_shared(a)]
    if shared:
        return shared[0][0].thread, shared[0][1].thread
    used = next(a for a in occurring(chart) if a and a[0].corner is not None)
    return used[0].thread, used[0].thread


def _sample(chart: Chart, arrangement: Arrangement, words: str, style: Style) -> Block:
    def picture(at: Point) -> Sequence[Mark]:
        return square_marks(chart, arrangement, at, _SIDE_MM)

    return beside(words, style, picture, wide=_SIDE_MM, high=_SIDE_MM)


def _lines(chart: Chart, style: Style) -> list[Block]:
    blocks: list[Block] = []
    if chart.backstitch:
        words = "Backstitch: a line over any symbols. A stitch ends at every hole that the line meets."
        many = " Dashes tell threads apart:" if len(back_threads(chart)) > 1 else ""
        blocks += paragraph(words + many, style)
    for place, number in enumerate(back_threads(chart)):
        thread = chart.threads[number]
        name = " ".join(f"{thread.code} {thread.name}".split())
        blocks.append(beside(f"{name} ({thread.letter})", style, _line(place), wide=18.0, high=4.0))
    if chart.knots:
        thread_number = chart.knots[0].thread

        def knot(at: Point) -> Sequence[Mark]:
            middle = (at[0] + _SIDE_MM / 2, at[1] + 4)
            colour = chart.threads[thread_number].colour
            return knot_marks(chart, thread_number, at=middle, side=6.0, fill=colour)

        words = "French knot: a dot at its hole, with the symbol of its thread inside."
        blocks.append(beside(words, style, knot, wide=_SIDE_MM, high=8.0))
    return blocks


def _line(place: int) -> Picture:
    width, dashes = line_style(place)

    def picture(at: Point) -> Sequence[Mark]:
        y = at[1] + 2.4
        return [Trail(points=((at[0], y), (at[0] + 18.0, y)), width=width, dashes=dashes)]

    return picture
