"""The contact sheet of a library: a small flat picture of every chart, with its name and size."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from svg2chart.chart import Chart
from svg2chart.pages.areas import thread_areas
from svg2chart.pages.draw import draw_pages
from svg2chart.pages.letters import fitted
from svg2chart.pages.plan import BOX_HEIGHT_MM, BOX_WIDTH_MM, MARGIN_MM, Paper
from svg2chart.pages.sheet import Align, Box, Dot, Mark, Page, Point, Region, Text, Trail
from svg2chart.symbols import LETTERS, SYMBOLS

ACROSS, DOWN = 4, 6
_STEP_MM = (BOX_WIDTH_MM - 2 * MARGIN_MM) / ACROSS
_HIGH_MM = 41.0
_PICTURE_WIDE_MM, _PICTURE_HIGH_MM = _STEP_MM - 4, 31.0
_TEXT_MM, _LINE_MM = 2.8, 3.6
_INK = "#505050"
_LINE_WIDTH, _KNOT_RADIUS = (
    0.3,
    0.3,
)  # squares: about as a line of thread; common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A chart of the sheet, which is read when it is drawn."""

    name: str
    chart: Callable[[], Chart]


def contact_pdf(entries: Sequence[Entry], *, title: str, paper: Paper) -> bytes:
    """Return the contact sheet as a PDF, a page for each 24 charts, in their order."""
    each = ACROSS * DOWN
    pages = [
        _page(entries[first : first + each], title, number)
        for number, first in enumerate(range(0, len(entries), each), start=1)
    ]
    symbols = dict(zip(LETTERS, SYMBOLS, strict=True))  # none is used, but the face must have some
    return draw_pages(pages, title=title, paper=paper, symbols=symbols)


def _page(entries: Sequence[Entry], title: str, number: int) -> Page:
    marks: list[Mark] = []
    for place, entry in enumerate(entries):
        down, across = divmod(place, ACROSS)
        middle, top = MARGIN_MM + (across + 0.5) * _STEP_MM, MARGIN_MM + down * _HIGH_MM
        marks += _entry(entry, middle, top)
    foot = BOX_HEIGHT_MM - MARGIN_MM
    label = f"Page {number}"
    title = fitted(title, _TEXT_MM, width=BOX_WIDTH_MM / 2)
    marks.append(Text(x=MARGIN_MM, y=foot, text=title, size=_TEXT_MM, ink=_INK))
    right = BOX_WIDTH_MM - MARGIN_MM
    marks.append(Text(x=right, y=foot, text=label, size=_TEXT_MM, align=Align.RIGHT, ink=_INK))
    return Page(label=label, chapter=label, marks=tuple(marks))


def _entry(entry: Entry, middle: float, top: float) -> list[Mark]:
    """Return a picture with the two lines of text below it."""
    chart = entry.chart()
    picture, bottom = _picture(chart, middle, top)
    lines = (
        fitted(entry.name, _TEXT_MM, width=_STEP_MM - 2),
        f"{chart.columns} \N{MULTIPLICATION SIGN} {chart.rows}",
    )
    texts = [
        Text(x=middle, y=bottom + _LINE_MM * k, text=text, size=_TEXT_MM, align=Align.MIDDLE)
        for k, text in enumerate(lines, start=1)
    ]
    return [*picture, *texts]


def _picture(chart: Chart, middle: float, top: float) -> tuple[list[Mark], float]:
    """Return a picture of a chart, and where it ends, in mm."""
    side = min(_PICTURE_WIDE_MM / chart.columns, _PICTURE_HIGH_MM / chart.rows)
    wide, high = chart.columns * side, chart.rows * side
    left = middle - wide / 2
    every = range(chart.rows), range(chart.columns)
    areas = thread_areas(chart, rows=every[0], columns=every[1], origin=(left, top), square_mm=side)
    colours = [thread.colour for thread in chart.threads]

    def at(hole: Point) -> Point:
        return left + hole[0] * side, top + hole[1] * side

    lines = (
        Trail(points=(at(line.start), at(line.end)), width=_LINE_WIDTH * side, ink=colours[line.thread])
        for line in chart.backstitch
    )
    knots = (
        Dot(
            x=at(knot.at)[0],
            y=at(knot.at)[1],
            radius=_KNOT_RADIUS * side,
            fill=colours[knot.thread],
            edge=colours[knot.thread],
            edge_width=0.0,
        )
        for knot in chart.knots
    )
    cloth = Box(x=left, y=top, width=wide, height=high, fill=chart.fabric.colour)
    stitches = (Region(fill=colours[thread], polygons=polygons) for thread, polygons in areas)
    return [cloth, *stitches, *lines, *knots], top + high
