"""The contact sheets of a library, each drawn again only where a chart of it has changed."""

import hashlib
from collections.abc import Sequence
from pathlib import Path

from svg2chart.chart import Chart
from svg2chart.chartfile import read_chart
from svg2chart.files import CHART_ENDING
from svg2chart.library.rows import Row
from svg2chart.library.work import marked_pdf
from svg2chart.pages.contact import ACROSS, DOWN, Entry, contact_pdf
from svg2chart.pages.plan import Paper

PICTURES = 20 * ACROSS * DOWN
"""Pictures of one sheet, twenty pages: a library of any size is drawn piece by piece."""

MOST_SHEETS = 1000

_MARK = b"% contact sheet of charts "


def sheets_of(rows: Sequence[Row]) -> list[list[Row]]:
    """Return the rows that have a chart, for each sheet."""
    shown = [row for row in rows if row.chart_sha256]
    return [shown[first : first + PICTURES] for first in range(0, len(shown), PICTURES)]


def sheet_stem(index: int) -> str:
    """Return what a sheet is called, without its ending.

    >>> sheet_stem(0), sheet_stem(1)
    ('library', 'library-2')
    """
    return "library" if index == 0 else f"library-{index + 1}"


def is_sheet_of(pdf: bytes, rows: Sequence[Row], paper: Paper) -> bool:
    """Return whether a PDF is what drawing the sheet would give again."""
    return _mark(rows, paper) in pdf[-1024:]


def draw_sheet(rows: Sequence[Row], results: Path, *, title: str, paper: Paper) -> bytes:
    """Return a contact sheet. Raises ChartFileError if a chart can no longer be read."""

    def entry(row: Row) -> Entry:
        def chart() -> Chart:
            return read_chart(results / f"{row.stem}{CHART_ENDING}")

        return Entry(name=row.name, chart=chart)

    pdf = contact_pdf([entry(row) for row in rows], title=title, paper=paper)
    return marked_pdf(pdf, _mark(rows, paper))


def _mark(rows: Sequence[Row], paper: Paper) -> bytes:
    """Return the line by which a sheet says which charts it shows, by name and bytes."""
    told = "".join(f"{row.name!a} {row.chart_sha256}\n" for row in rows)
    return _MARK + hashlib.sha256(f"{paper.name}\n{told}".encode()).hexdigest().encode() + b"\n"
