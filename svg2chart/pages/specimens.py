"""A sheet of alphabets: their letters on ruled squares, to look at and to count from, line by line."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.chart import Chart
from svg2chart.pages.areas import thread_areas
from svg2chart.pages.draw import draw_pages
from svg2chart.pages.frame import BOTTOM_MM, LEFT_MM, TOP_MM, WIDE_MM, foot, numbered, tagged
from svg2chart.pages.lines import line_ink
from svg2chart.pages.plan import BOTH, Paper, Window
from svg2chart.pages.ruling import heavy_lines, thin_lines
from svg2chart.pages.sheet import Dot, Face, Mark, Page, Point, Region, Role, Text, Trail
from svg2chart.pages.squares import KNOT_RADIUS
from svg2chart.pages.style import USUAL
from svg2chart.symbols import LETTERS, SYMBOLS

SIDE_MM = 1.6
"""Of a square: small, but letters can be counted from it."""
MOST_WIDE = int(WIDE_MM / SIDE_MM + 1e-9)
"""So many squares fit a page across; of a chart that is wider they are smaller."""
_TOP_MM = TOP_MM + USUAL.heading * 1.25 + USUAL.text * 1.35
_THIN_INK, _HEAVY_MM, _HEAVY_INK = "#c4c4c4", 0.2, "#8c8c8c"
"""Of the lines between squares: light, for squares are small and nothing but letters is to be seen."""
_LINE_WIDTH = 0.3
"""Of backstitch, in squares: about as a line of thread; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Specimen:
    """An alphabet: its name, what is told of it, and its letters as a chart."""

    name: str
    told: str
    chart: Chart


def specimens_pdf(specimens: Sequence[Specimen], *, title: str, paper: Paper = BOTH) -> bytes:
    """Return a sheet of alphabets as a PDF, each on pages of its own."""
    pages = [page for specimen in specimens for page in _pages(specimen, title)]
    return draw_pages(
        [numbered(page, number, style=USUAL) for number, page in enumerate(pages, start=1)],
        title=title,
        paper=paper,
        symbols=dict(zip(LETTERS, SYMBOLS, strict=True)),  # none is used, but the face must have some
    )


def _pages(specimen: Specimen, title: str) -> Iterator[Page]:
    side = min(SIDE_MM, WIDE_MM / specimen.chart.columns)
    windows = _windows(specimen.chart, int((BOTTOM_MM - _TOP_MM) / side + 1e-9))
    for window in windows:
        label = specimen.name if len(windows) == 1 else f"{specimen.name}, {window.number} of {len(windows)}"
        heading = Text(
            x=LEFT_MM, y=TOP_MM + USUAL.heading * 0.75, text=label, size=USUAL.heading, face=Face.BOLD
        )
        aside = Text(
            x=LEFT_MM,
            y=TOP_MM + USUAL.heading * 0.75 + USUAL.text * 1.35,
            text=specimen.told,
            size=USUAL.text,
        )
        yield Page(
            label=label,
            chapter=specimen.name,
            marks=(
                tagged(Role.CHAPTER if window.number == 1 else Role.RUNNING, heading),
                tagged(Role.PARAGRAPH if window.number == 1 else Role.RUNNING, aside),
                tagged(
                    Role.FIGURE, *_letters(specimen.chart, window, side), words=f"Letters of {specimen.name}"
                ),
            ),
            foot=foot(title, style=USUAL),
        )


def _windows(chart: Chart, most_high: int) -> list[Window]:
    """Return the rows of each page: pages break where a row of squares is bare and no line crosses it."""
    taken: NDArray[np.bool_] = np.asarray(chart.squares.any(axis=1))
    for line in chart.backstitch:
        low, high = sorted((line.start[1], line.end[1]))
        taken[int(low) : int(np.ceil(high))] = True
    for knot in chart.knots:
        taken[max(0, int(np.ceil(knot.at[1])) - 1) : int(knot.at[1]) + 1] = True
    cuts = [0]
    while chart.rows - cuts[-1] > most_high:
        bare = np.flatnonzero(~taken[: cuts[-1] + most_high])
        last = int(bare[-1]) if len(bare) else 0
        cuts.append(last + 1 if last > cuts[-1] else cuts[-1] + most_high)
    ends = [*cuts[1:], chart.rows]
    return [
        Window(
            number=number,
            first_row=first,
            end_row=end,
            first_column=0,
            end_column=chart.columns,
            shown_row=first,
            shown_column=0,
            above=None,
            left=None,
            right=None,
            below=None,
        )
        for number, (first, end) in enumerate(zip(cuts, ends, strict=True), start=1)
    ]


def _letters(chart: Chart, window: Window, side: float) -> list[Mark]:
    """Return the rows of a page: areas, the lines between squares over them, then backstitch and knots."""
    zero = (LEFT_MM, _TOP_MM - window.first_row * side)
    rows = range(window.first_row, window.end_row)
    areas = thread_areas(chart, rows=rows, columns=range(chart.columns), origin=zero, square_mm=side)
    return [
        *(Region(fill=chart.threads[thread].colour, polygons=polygons) for thread, polygons in areas),
        *(replace(line, ink=_THIN_INK) for line in thin_lines(window, zero, side)),
        *(replace(line, width=_HEAVY_MM, ink=_HEAVY_INK) for line in heavy_lines(chart, window, zero, side)),
        *_backstitch(chart, rows, zero, side),
    ]


def _backstitch(chart: Chart, rows: range, zero: Point, side: float) -> Iterator[Mark]:
    colours = [thread.colour for thread in chart.threads]

    def at(hole: Point) -> Point:
        return zero[0] + hole[0] * side, zero[1] + hole[1] * side

    # what lies on the hole line between two pages is on the second; that below all squares on the last
    end = rows.stop if rows.stop < chart.rows else chart.rows + 1
    for line in chart.backstitch:
        if rows.start <= min(line.start[1], line.end[1]) < end:
            ends = (at(line.start), at(line.end))
            yield Trail(points=ends, width=_LINE_WIDTH * side, ink=line_ink(colours[line.thread]))
    for knot in chart.knots:
        if rows.start <= knot.at[1] < end:
            (x, y), colour, radius = at(knot.at), colours[knot.thread], KNOT_RADIUS * side
            yield Dot(x=x, y=y, radius=radius, fill=colour, edge=colour, edge_width=0.0)
