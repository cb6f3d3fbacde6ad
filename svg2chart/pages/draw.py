"""Marks to PDF: each kind of mark by one drawing, none with a decision about stitches."""

import hashlib
import io
from collections.abc import Callable, Mapping, Sequence
from functools import cache, lru_cache

from reportlab import rl_config
from reportlab.lib.colors import HexColor
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from svg2chart.pages.letters import FONT_NAME, body_font, symbol_font
from svg2chart.pages.plan import BOX_HEIGHT_MM, BOX_WIDTH_MM, Paper
from svg2chart.pages.sheet import Align, Box, Dot, Face, Lines, Link, Mark, Page, Point, Region, Text, Trail
from svg2chart.symbol_drawing import Symbol
from svg2chart.units import POINTS_PER_MM

# reportlab takes this from the environment; plain bytes are a fifth smaller, and the same everywhere
rl_config.useA85 = 0


def draw_pages(
    pages: Sequence[Page],
    *,
    title: str,
    paper: Paper,
    symbols: Mapping[str, Symbol],
    on_page: Callable[[int, int], None] | None = None,
) -> bytes:
    """Return the pages as a PDF.

    Args:
        pages: in order; the common box of A4 and Letter is centred on the sheet.
        title: for the document's properties.
        paper: the sheet.
        symbols: what each letter of the symbol face looks like.
        on_page: called before each page is drawn with its number, from 1, and how many there are.
    """
    written = io.BytesIO()
    fonts = {
        Face.BODY: _body(Face.BODY),
        Face.BOLD: _body(Face.BOLD),
        Face.SYMBOLS: _symbols(tuple(symbols.items())),
    }
    canvas = Canvas(
        written,
        pagesize=(paper.width_mm * POINTS_PER_MM, paper.height_mm * POINTS_PER_MM),
        invariant=1,
        pageCompression=1,
        initialFontName=fonts[Face.BODY],
        lang="en",
    )
    canvas.setTitle(title)
    canvas.setAuthor("")
    canvas.setCreator("svg2chart")
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    sheet = _Sheet(canvas, paper, fonts)
    for number, page in enumerate(pages):
        if on_page is not None:
            on_page(number + 1, len(pages))
        if number == 0 or page.chapter != pages[number - 1].chapter:
            canvas.addOutlineEntry(page.chapter, page.label, level=0)
        canvas.bookmarkPage(page.label)
        canvas.addPageLabel(number, prefix=page.label)
        for mark in page.marks:
            sheet.draw(mark)
        canvas.showPage()
    canvas.save()
    return written.getvalue()


@cache
def _body(face: Face) -> str:
    name = f"svg2chart-{face.value}"
    pdfmetrics.registerFont(TTFont(name, io.BytesIO(body_font(face)), asciiReadable=True))
    return name


@lru_cache(maxsize=64)
def _symbols(symbols: tuple[tuple[str, Symbol], ...]) -> str:
    """Register the symbol font under a name of its own: charts may use letters differently."""
    font = symbol_font(dict(symbols))
    name = f"{FONT_NAME}-{hashlib.sha256(font).hexdigest()[:16]}"
    pdfmetrics.registerFont(TTFont(name, io.BytesIO(font), asciiReadable=True))
    return name


class _Sheet:
    """A canvas with millimetres of the common box, y down."""

    def __init__(self, canvas: Canvas, paper: Paper, fonts: Mapping[Face, str]) -> None:
        self._canvas = canvas
        self._left = (paper.width_mm - BOX_WIDTH_MM) / 2
        self._bottom = paper.height_mm - (paper.height_mm - BOX_HEIGHT_MM) / 2
        self._fonts = fonts

    def _at(self, point: Point) -> Point:
        # a thousandth of a point is finer than any printer and keeps the file small
        return (
            round((self._left + point[0]) * POINTS_PER_MM, 3),
            round((self._bottom - point[1]) * POINTS_PER_MM, 3),
        )

    def draw(self, mark: Mark) -> None:
        """Draw one mark."""
        match mark:
            case Text():
                self._text(mark)
            case Box():
                self._box(mark)
            case Region():
                self._region(mark)
            case Lines():
                self._lines(mark)
            case Trail():
                self._trail(mark)
            case Dot():
                self._dot(mark)
            case Link():
                self._link(mark)

    def _text(self, text: Text) -> None:
        x, y = self._at((text.x, text.y))
        self._canvas.setFillColor(HexColor(text.ink))
        self._canvas.setFont(self._fonts[text.face], text.size * POINTS_PER_MM)
        put = {
            Align.LEFT: self._canvas.drawString,
            Align.MIDDLE: self._canvas.drawCentredString,
            Align.RIGHT: self._canvas.drawRightString,
        }
        put[text.align](x, y, text.text)

    def _box(self, box: Box) -> None:
        x, y = self._at((box.x, box.y + box.height))
        if box.fill:
            self._canvas.setFillColor(HexColor(box.fill))
        if box.edge:
            self._pen(box.edge_width, box.edge, ())
        self._canvas.rect(
            x,
            y,
            box.width * POINTS_PER_MM,
            box.height * POINTS_PER_MM,
            stroke=int(bool(box.edge)),
            fill=int(bool(box.fill)),
        )

    def _region(self, region: Region) -> None:
        path = self._canvas.beginPath()
        for polygon in region.polygons:
            path.moveTo(*self._at(polygon[0]))
            for point in polygon[1:]:
                path.lineTo(*self._at(point))
            path.close()
        self._canvas.setFillColor(HexColor(region.fill))
        self._canvas.drawPath(path, stroke=0, fill=1, fillMode=1)

    def _lines(self, lines: Lines) -> None:
        self._pen(lines.width, lines.ink, ())
        self._canvas.lines([(*self._at(start), *self._at(end)) for start, end in lines.segments])

    def _trail(self, trail: Trail) -> None:
        path = self._canvas.beginPath()
        path.moveTo(*self._at(trail.points[0]))
        for point in trail.points[1:]:
            path.lineTo(*self._at(point))
        self._pen(trail.width, trail.ink, trail.dashes)
        self._canvas.drawPath(path, stroke=1, fill=0)

    def _pen(self, width: float, ink: str, dashes: tuple[float, ...]) -> None:
        self._canvas.setLineWidth(width * POINTS_PER_MM)
        self._canvas.setStrokeColor(HexColor(ink))
        self._canvas.setDash([dash * POINTS_PER_MM for dash in dashes])
        # dashes with round ends would close their gaps
        self._canvas.setLineCap(0 if dashes else 1)
        self._canvas.setLineJoin(1)

    def _dot(self, dot: Dot) -> None:
        x, y = self._at((dot.x, dot.y))
        self._pen(dot.edge_width, dot.edge, ())
        self._canvas.setFillColor(HexColor(dot.fill))
        self._canvas.circle(x, y, dot.radius * POINTS_PER_MM, stroke=int(dot.edge_width > 0), fill=1)

    def _link(self, link: Link) -> None:
        left, bottom = self._at((link.x, link.y + link.height))
        right, top = self._at((link.x + link.width, link.y))
        self._canvas.linkRect("", link.target, Rect=(left, bottom, right, top), relative=0, Border="[0 0 0]")
