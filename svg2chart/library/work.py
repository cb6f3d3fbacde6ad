"""One file's work, whole: the bytes of a drawing to the bytes of its results. No file is opened but fonts."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from svg2chart.chart import Chart
from svg2chart.chartfile import chart_bytes, parse_chart
from svg2chart.errors import ChartError
from svg2chart.files import CHART_ENDING, PDF_ENDING, PICTURE_ENDINGS
from svg2chart.lettering.fonts import Fonts, read_fonts
from svg2chart.library.rows import Counts, counts_of
from svg2chart.pages.edition import Edition
from svg2chart.pages.plan import Paper
from svg2chart.remarks import there_are
from svg2chart.request import Request, grid_of, make_chart
from svg2chart.svg.read import parse_artwork

PAGES_MARK = b"% pages made by "


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is to be made of every drawing of a library.

    paper: of the PDF, None for no PDF. edition: what else its pages are to be like.
    has_pictures: whether the stitched piece is drawn as files of its own.
    is_strict: a drawing with a remark fails.
    version: of svg2chart. fonts_found: font files of the system.
    """

    request: Request
    paper: Paper | None
    edition: Edition = field(default_factory=Edition)
    has_pictures: bool = False
    is_strict: bool = False
    version: str = ""
    fonts_found: tuple[str, ...] = ()

    @property
    def endings(self) -> tuple[str, ...]:
        """What the names of the results end in, in the order in which they are put in place.

        The chart file comes last: where it is, and is of this drawing, the others are there.
        """
        pictures = PICTURE_ENDINGS if self.has_pictures else ()
        return (*pictures, *((PDF_ENDING,) if self.paper else ()), CHART_ENDING)


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One file to work on: a drawing, or the chart file that was made of it where that one still stands."""

    name: str
    wanted: Wanted
    drawing: bytes = b""
    chart_file: bytes = b""


@dataclass(frozen=True, slots=True, kw_only=True)
class Results:
    """What was made: files by the ending of their names, in the order of `Wanted.endings`."""

    counts: Counts
    files: Mapping[str, bytes]


def results_of(job: Job) -> Results:
    """Return the results of a job.

    Raises:
        ChartError: the drawing cannot be charted, or has remarks where none are wanted.
    """
    wanted = job.wanted
    if job.chart_file:
        chart, chart_file = parse_chart(job.chart_file), job.chart_file
    else:
        chart = _chart_of(job)
        chart_file = chart_bytes(chart)
    refuse_remarks(chart, wanted)
    made = {CHART_ENDING: chart_file}
    if wanted.has_pictures:
        from svg2chart.picture.raster import picture_png  # loaded only where it is wanted, as are the pages
        from svg2chart.picture.vector import picture_svg

        made |= dict(zip(PICTURE_ENDINGS, (picture_svg(chart), picture_png(chart)), strict=True))
    if wanted.paper:
        from svg2chart.pages.write import pages_pdf

        pdf = pages_pdf(chart, paper=wanted.paper, edition=wanted.edition)
        made[PDF_ENDING] = marked_pdf(pdf, pages_mark(chart_file, wanted))
    return Results(counts=counts_of(chart), files={ending: made[ending] for ending in wanted.endings})


def refuse_remarks(chart: Chart, wanted: Wanted) -> None:
    """Raise ChartError for a chart with remarks where none are wanted."""
    if wanted.is_strict and chart.remarks:
        raise ChartError(
            f"{there_are(chart.remarks)}: {chart.remarks[0]}",
            way_out="Repair the drawing, or leave out --strict",
        )


def pages_mark(chart_file: bytes, wanted: Wanted) -> bytes:
    """Return the line by which a PDF says what it was made from: if that is the same, so is the PDF."""
    assert wanted.paper is not None
    edition = hashlib.sha256(repr(wanted.edition).encode("utf-8", "surrogateescape")).hexdigest()
    told = f"svg2chart {wanted.version}, paper {wanted.paper.name}, edition {edition}"
    return b"%s%s, chart file %s\n" % (
        PAGES_MARK,
        told.encode(),
        hashlib.sha256(chart_file).hexdigest().encode(),
    )


def marked_pdf(pdf: bytes, mark: bytes) -> bytes:
    """Return a PDF with a comment before its last two lines, where no object moves (ISO 32000-1, 7.5.5)."""
    before, end, after = pdf.rpartition(b"startxref")
    return before + mark + end + after


@lru_cache(maxsize=4)
def fonts_of(files: tuple[str, ...], found: tuple[str, ...]) -> Fonts:
    """Return the fonts, read once in each process."""
    return read_fonts(files, found=found)


def _chart_of(job: Job) -> Chart:
    wanted = job.wanted
    fonts = fonts_of(wanted.request.fonts, wanted.fonts_found)
    artwork = parse_artwork(job.drawing, fonts=fonts, bands=wanted.request.bands)
    grid = grid_of(artwork, wanted.request)
    file_name = job.name.rpartition("/")[2]
    return make_chart(artwork, grid, wanted.request, file_name=file_name, version=wanted.version).chart
