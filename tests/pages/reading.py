"""Reads a chart back from its PDF with readers that share no code with the writer.

pdfium gives every character with its place, size and font; pypdf gives the lines
with their widths. Nothing here knows the plan of the pages.
"""

import ctypes
import io
import re
from collections import defaultdict
from dataclasses import dataclass

import pypdfium2
import pypdfium2.raw as pdfium
from pypdf import PdfReader
from pypdf.generic import ContentStream

MM = 72 / 25.4
Point = tuple[float, float]
CORNERS = {
    (False, False): "top-left",
    (True, False): "top-right",
    (True, True): "bottom-right",
    (False, True): "bottom-left",
}


@dataclass(frozen=True)
class Glyph:
    """A character of the symbol font: its letter, the middle of its ink in mm (y down), its size in mm."""

    letter: str
    x: float
    y: float
    size: float


@dataclass(frozen=True)
class Stroke:
    """A stroked line: its points in mm (y down), its width in mm and its dashes."""

    points: tuple[Point, ...]
    width: float
    dashes: tuple[float, ...]


@dataclass(frozen=True)
class ChartPage:
    """What a stitcher reads from one chart page; squares by (row, column), counted from 0."""

    side: float
    rows: tuple[int, int]
    columns: tuple[int, int]
    squares: dict[tuple[int, int], set[tuple[str, str, str]]]
    lines: list[tuple[tuple[Point, ...], float, tuple[float, ...]]]
    knots: list[tuple[str, Point]]
    heavy_columns: list[float]
    heavy_rows: list[float]
    own_rows: tuple[int, int]
    own_columns: tuple[int, int]


def symbol_glyphs(pdf: bytes, number: int) -> list[Glyph]:
    """Return the characters of a page that are set in the symbol font, in the order of the text."""
    document = pypdfium2.PdfDocument(pdf)
    page = document[number]
    text = page.get_textpage()
    high = page.get_height()
    glyphs = []
    for i in range(text.count_chars()):
        name = ctypes.create_string_buffer(100)
        pdfium.FPDFText_GetFontInfo(text, i, name, 100, None)
        letter = chr(pdfium.FPDFText_GetUnicode(text, i))
        if b"svg2chart-symbols" not in name.value or letter == " ":
            continue
        left, bottom, right, top = text.get_charbox(i)
        size = pdfium.FPDFText_GetFontSize(text, i)
        glyphs.append(Glyph(letter, (left + right) / 2 / MM, (high - (bottom + top) / 2) / MM, size / MM))
    document.close()
    return glyphs


def strokes(pdf: bytes, number: int) -> list[Stroke]:
    """Return the stroked lines of a page, in paint order. Curves (dots) and rectangles are left out."""
    reader = PdfReader(io.BytesIO(pdf))
    page = reader.pages[number]
    high = float(page.mediabox.height)
    found: list[Stroke] = []
    path: list[list[Point]] = []
    width, dashes, is_curved = 1.0, (), False
    for operands, operator in ContentStream(page.get_contents(), reader).operations:
        if operator == b"w":
            width = float(operands[0]) / MM
        elif operator == b"d":
            dashes = tuple(round(float(value) / MM, 2) for value in operands[0])
        elif operator in (b"m", b"l"):
            point = (float(operands[0]) / MM, (high - float(operands[1])) / MM)
            path = [*path, [point]] if operator == b"m" else [*path[:-1], [*path[-1], point]]
        elif operator in (b"c", b"re"):
            is_curved = True
        elif operator in (b"S", b"f", b"B", b"n"):
            if operator == b"S" and not is_curved:
                found += [Stroke(tuple(points), width, dashes) for points in path if len(points) > 1]
            path, is_curved = [], False
    return found


def header(pdf: bytes, number: int) -> tuple[tuple[int, int], tuple[int, int]]:
    """Return the own rows and columns that a chart page's heading names, first and last counted from 1."""
    text = PdfReader(io.BytesIO(pdf)).pages[number].extract_text()
    found = re.search(r"columns (\d+) to (\d+) of \d+, rows (\d+) to (\d+) of \d+", text)
    assert found is not None
    first_column, last_column, first_row, last_row = map(int, found.groups())
    return (first_row, last_row), (first_column, last_column)


def read_chart_page(pdf: bytes, number: int) -> ChartPage:
    """Read one chart page."""
    lines = strokes(pdf, number)
    (first_row, last_row), (first_column, last_column) = header(pdf, number)
    thin = [line for line in lines if abs(line.width - 0.1) < 0.005]
    xs = sorted(line.points[0][0] for line in thin if abs(line.points[0][0] - line.points[1][0]) < 0.01)
    ys = sorted(line.points[0][1] for line in thin if abs(line.points[0][1] - line.points[1][1]) < 0.01)
    side = (xs[-1] - xs[0]) / (len(xs) - 1)
    shown_column, shown_row = last_column - (len(xs) - 1), last_row - (len(ys) - 1)

    def hole(point: Point) -> Point:
        """Where a point lies in squares of the whole chart."""
        return (point[0] - xs[0]) / side + shown_column, (point[1] - ys[0]) / side + shown_row

    boxes = defaultdict(set)  # square -> middles of the lines that box quarters off, in quarters of its side
    for line in lines:
        if abs(line.width - 0.13) < 0.005:
            (x1, y1), (x2, y2) = (hole(point) for point in line.points)
            x, y = (x1 + x2) / 2, (y1 + y2) / 2
            boxes[int(y), int(x)].add((round(4 * (x % 1)), round(4 * (y % 1))))
    slants = {}  # square -> whether its diagonal falls to the right
    for line in lines:
        if abs(line.width - 0.16) < 0.005:
            (x1, y1), (x2, y2) = (hole(point) for point in line.points)
            slants[int((y1 + y2) / 2), int((x1 + x2) / 2)] = (x2 - x1) * (y2 - y1) > 0
    squares: dict[tuple[int, int], set[tuple[str, str, str]]] = defaultdict(set)
    knots = []
    for glyph in symbol_glyphs(pdf, number):
        x, y = hole((glyph.x, glyph.y))
        at = int(y), int(x)
        share = glyph.size / side
        if abs(share - 1) < 0.02:
            squares[at].add(("full", glyph.letter, ""))
        elif abs(share - 0.62) < 0.005:
            knots.append((glyph.letter, (round(2 * x) / 2, round(2 * y) / 2)))
        else:
            right, low = x % 1 > 0.5, y % 1 > 0.5
            box = {(2, 3 if low else 1), (3 if right else 1, 2)}
            cut_off = "three-quarter" if slants.get(at) == (right != low) else "neither"
            kind = "quarter" if box <= boxes[at] else cut_off
            squares[at].add((kind, glyph.letter, CORNERS[right, low]))
    back = [line for line in lines if any(abs(line.width - w) < 0.005 for w in (0.56, 0.96))]
    heavy = [line for line in lines if abs(line.width - 0.4) < 0.005]
    columns = [hole(line.points[0])[0] for line in heavy if abs(line.points[0][0] - line.points[1][0]) < 0.01]
    rows = [hole(line.points[0])[1] for line in heavy if abs(line.points[0][1] - line.points[1][1]) < 0.01]
    return ChartPage(
        side=side,
        rows=(shown_row, last_row),
        columns=(shown_column, last_column),
        squares=dict(squares),
        lines=[(tuple(hole(p) for p in line.points), line.width, line.dashes) for line in back],
        knots=knots,
        heavy_columns=columns,
        heavy_rows=rows,
        own_rows=(first_row - 1, last_row),
        own_columns=(first_column - 1, last_column),
    )
