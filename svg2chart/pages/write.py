"""A chart to its printed pages: the list of pages, the PDF, the file."""

from collections.abc import Callable
from pathlib import Path

from svg2chart.chart import Chart
from svg2chart.errors import PageError
from svg2chart.files import write_files
from svg2chart.guiding.order import plan_work
from svg2chart.guiding.telling import tell_work
from svg2chart.pages.charting import chart_pages, grounds, map_page
from svg2chart.pages.contents import list_chapters
from svg2chart.pages.cover import cover_page, own_pages
from svg2chart.pages.draw import draw_pages
from svg2chart.pages.edition import Edition
from svg2chart.pages.frame import numbered
from svg2chart.pages.guide import guide_pages
from svg2chart.pages.howto import howto_pages
from svg2chart.pages.joining import joined
from svg2chart.pages.key import key_pages
from svg2chart.pages.letters import printable
from svg2chart.pages.need import need_pages
from svg2chart.pages.notes import caution_page, remark_pages
from svg2chart.pages.plan import BOTH, Paper, plan_chart
from svg2chart.pages.sheet import Page
from svg2chart.pages.worded import worded_pages
from svg2chart.pages.working import working_pages
from svg2chart.quantity import thread_uses
from svg2chart.symbol_drawing import Symbol
from svg2chart.symbols import LETTERS, SYMBOLS, symbol_named


def lay_out(chart: Chart, edition: Edition | None = None) -> tuple[Page, ...]:
    """Return every page of a chart, each mark at its place; the usual edition if none is given.

    Raises:
        PageError: too many pages, or symbols that are not there or not told apart.
    """
    edition = edition or Edition()
    chart_symbols(chart)
    plan, work = plan_chart(chart, edition.style), plan_work(chart)
    uses, told = thread_uses(chart, work), tell_work(chart, work)
    chapters = (
        *own_pages(chart, edition),
        *need_pages(chart, uses, edition),
        *key_pages(chart, uses, edition),
        *howto_pages(chart, plan, edition),
        *working_pages(chart, edition),
        *map_page(chart, plan, edition),
        *chart_pages(chart, plan, edition, grounds=grounds(chart)),
        *guide_pages(chart, told, edition),
        *worded_pages(chart, told, edition),
        *remark_pages(chart, edition),
        *caution_page(chart, edition),
    )
    pages = joined(chapters)
    whole = (cover_page(chart, edition, list_chapters(pages, first=2)), *pages)
    return tuple(numbered(page, number, style=edition.style) for number, page in enumerate(whole, start=1))


def chart_symbols(chart: Chart) -> dict[str, Symbol]:
    """Return the mark of every letter: the chart's threads', and the usual ones for letters it does not use.

    Raises:
        PageError: a letter cannot be printed, or a symbol is not there or stands for two threads.
    """
    shown: set[str] = set()
    for thread in chart.threads:
        if printable(thread.letter) != thread.letter:
            raise PageError(
                f'the letter "{thread.letter}" cannot be printed', way_out="Use one of A-Z, a-z, 0-9"
            )
        if thread.symbol in shown:
            raise PageError(
                f'two threads have the symbol "{thread.symbol}"',
                way_out="Give each thread a symbol of its own",
            )
        shown.add(thread.symbol)
    usual = dict(zip(LETTERS, SYMBOLS, strict=True))
    return usual | {thread.letter: symbol_named(thread.symbol) for thread in chart.threads}


def pages_pdf(
    chart: Chart,
    *,
    paper: Paper = BOTH,
    edition: Edition | None = None,
    on_page: Callable[[int, int], None] | None = None,
) -> bytes:
    """Return the chart's pages as a PDF: the same bytes for the same chart, paper and edition.

    Args:
        chart: the chart.
        paper: the sheet.
        edition: sizes of type, the designer's words, number of kits; the usual one if none is given.
        on_page: called before each page is drawn with its number, from 1, and how many there are.

    Raises:
        PageError: as `lay_out`.
    """
    edition = edition or Edition()
    return draw_pages(
        lay_out(chart, edition),
        title=edition.title(chart),
        author=edition.info.author.strip(),
        paper=paper,
        symbols=chart_symbols(chart),
        on_page=on_page,
    )


def write_pages(
    chart: Chart, path: str | Path, *, paper: Paper = BOTH, edition: Edition | None = None
) -> None:
    """Write the chart's pages to a PDF file, which appears whole or not at all and replaces one of that name.

    Raises:
        PageError: as `lay_out`, or the file cannot be written.
    """
    pdf = pages_pdf(chart, paper=paper, edition=edition)
    try:
        write_files([(Path(path), pdf)])
    except OSError as error:
        raise PageError(
            f"the pages cannot be written: {error.strerror}", way_out="Choose another place", file=str(path)
        ) from error
