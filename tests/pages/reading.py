"""Reads a chart back from its PDF as a stitcher would, sharing no code with the writer.

pypdf takes the file apart into streams, fontTools opens the fonts in it; the operators on the pages are read
here. Nothing here knows how pages are planned: what lines and sizes mean is told on the pages themselves.
"""

import io
import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache

from fontTools.ttLib import TTFont
from pypdf import PdfReader
from pypdf.generic import DictionaryObject

MM = 72 / 25.4
Point = tuple[float, float]
CORNERS = {
    (False, False): "top-left",
    (True, False): "top-right",
    (True, True): "bottom-right",
    (False, True): "bottom-left",
}
THIN, HEAVY, DIAGONAL, BOXED, BACK = 0.1, 0.3, 0.16, 0.11, (0.5, 0.75)  # widths of lines in mm
SMALL, KNOT = 0.6, 0.62  # sizes of symbols in squares: of fractions, in knots

TOKEN = re.compile(
    rb"\((?:\\.|[^\\()])*\)|<<|>>|<[0-9A-Fa-f\s]*>|\[|\]|/[^\s/\[\]()<>]+|[-+.\d]+|[A-Za-z'\"]+[0-9*]?",
    re.DOTALL,
)
ESCAPES = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f"}


@dataclass(frozen=True)
class Glyph:
    """A character: its text, the middle of its ink and the start of its baseline in mm (y down), its size."""

    letter: str
    x: float
    y: float
    size: float
    font: str
    start: Point
    layer: str


@dataclass(frozen=True)
class Stroke:
    """A stroked line: its points in mm (y down), its width in mm, its dashes and its layer."""

    points: tuple[Point, ...]
    width: float
    dashes: tuple[float, ...]
    layer: str
    ink: tuple[float, ...]


@dataclass
class Drawn:
    """What a page shows, in paint order; `rectangles` are filled: left, top, right, bottom and colour."""

    glyphs: list[Glyph] = field(default_factory=list)
    strokes: list[Stroke] = field(default_factory=list)
    rectangles: list[tuple[tuple[float, float, float, float], tuple[float, ...]]] = field(
        default_factory=list
    )
    curved: list[tuple[Point, ...]] = field(default_factory=list)
    words: list[tuple[Point, str]] = field(default_factory=list)


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
    numbers: list[tuple[int, Point]]
    """Each number round the grid, and where its middle stands in squares of the whole chart."""


class Font:
    """A font of the file: what its codes are in text, and where the ink of their glyphs lies, in ems."""

    def __init__(self, font: DictionaryObject) -> None:
        descendant = font["/DescendantFonts"][0].get_object()
        descriptor = descendant["/FontDescriptor"].get_object()
        self.name = str(descriptor["/FontName"]).split("+")[-1]
        pairs = re.findall(rb"<(\w{4})> <(\w{4})>", font["/ToUnicode"].get_object().get_data())
        self.texts = {int(code, 16): chr(int(text, 16)) for code, text in pairs if code != b"0000"}
        table = descendant["/CIDToGIDMap"].get_object().get_data()
        self.glyphs = {code: int.from_bytes(table[2 * code : 2 * code + 2], "big") for code in self.texts}
        file = TTFont(io.BytesIO(descriptor["/FontFile2"].get_object().get_data()))
        em = file["head"].unitsPerEm
        order, outlines = file.getGlyphOrder(), file["glyf"]
        self.boxes = {}
        for code, glyph in self.glyphs.items():
            outline = outlines[order[glyph]]
            if outline.numberOfContours:
                box = (outline.xMin, outline.yMin, outline.xMax, outline.yMax)
                self.boxes[code] = tuple(value / em for value in box)
        self.widths = {}
        for code, widths in zip(descendant["/W"][::2], descendant["/W"][1::2], strict=True):
            self.widths[int(code)] = float(widths[0]) / 1000


class File:
    """A PDF taken apart."""

    def __init__(self, pdf: bytes) -> None:
        self.reader = PdfReader(io.BytesIO(pdf))
        self.labels = self.reader.page_labels
        self._fonts: dict[int, Font] = {}

    @lru_cache(maxsize=256)  # noqa: B019
    def drawn(self, number: int) -> Drawn:
        """Return what a page shows."""
        page = self.reader.pages[number]
        resources = page["/Resources"]
        fonts = {name: self._font(font) for name, font in resources["/Font"].items()}
        layers = {
            name: str(layer.get_object()["/Name"]) for name, layer in resources.get("/Properties", {}).items()
        }
        return _Page(float(page.mediabox.height), fonts, layers).run(page.get_contents().get_data())

    def _font(self, font: object) -> Font:
        found = font.get_object()
        if id(found) not in self._fonts:
            self._fonts[id(found)] = Font(found)
        return self._fonts[id(found)]


def _unescaped(token: bytes) -> bytes:
    return re.sub(rb"\\(.)", lambda m: ESCAPES.get(m[1], m[1]), token[1:-1], flags=re.DOTALL)


class _Page:
    """Runs the operators of a page."""

    def __init__(self, high: float, fonts: dict[str, Font], layers: dict[str, str]) -> None:
        self.high, self.fonts, self.layers = high, fonts, layers
        self.found = Drawn()
        self.font, self.size, self.at = None, 0.0, (0.0, 0.0)
        self.width, self.dashes, self.ink, self.fill = 1.0, (), (0.0,), (0.0,)
        self.path: list[list[Point]] = []
        self.boxes: list[tuple[float, float, float, float]] = []
        self.is_curved = False
        self.nested: list[str] = []

    def run(self, stream: bytes) -> Drawn:
        operands: list[object] = []
        array: list[float] | None = None
        for token in TOKEN.findall(stream):
            first = token[:1]
            if first == b"(":
                operands.append(_unescaped(token))
            elif first == b"[":
                array = []
            elif first == b"]":
                operands.append(array)
                array = None
            elif first in b"-+.0123456789":
                (operands if array is None else array).append(float(token))
            elif first == b"/":
                operands.append(token.decode())
            elif first != b"<" and first != b">":
                self.do(token, operands)
                operands = []
        assert not self.nested
        return self.found

    def point(self, x: float, y: float) -> Point:
        return x / MM, (self.high - y) / MM

    def do(self, operator: bytes, given: list) -> None:
        match operator:
            case b"w":
                self.width = given[0] / MM
            case b"d":
                self.dashes = tuple(round(value / MM, 2) for value in given[0])
            case b"RG":
                self.ink = tuple(given)
            case b"rg":
                self.fill = tuple(given)
            case b"m":
                self.path.append([self.point(*given)])
            case b"l":
                self.path[-1].append(self.point(*given))
            case b"c":
                self.is_curved = True
                self.path[-1].append(self.point(*given[-2:]))
            case b"re":
                (left, low), (right, top) = (
                    self.point(*given[:2]),
                    self.point(given[0] + given[2], given[1] + given[3]),
                )
                self.boxes.append((left, top, right, low))
            case b"S" | b"f" | b"B":
                self.paint(operator)
            case b"Tf":
                self.font, self.size = self.fonts[given[0]], given[1]
            case b"Td":
                self.at = (self.at[0] + given[0], self.at[1] + given[1])
            case b"BT":
                self.at = (0.0, 0.0)
            case b"Tj":
                self.show(given[0])
            case b"BDC" | b"BMC":
                self.nested.append(self.layers[given[1]] if given[0] == "/OC" else "")
            case b"EMC":
                self.nested.pop()
            case b"ET" | b"h" | b"J" | b"j":
                pass
            case _:
                raise AssertionError(f"unexpected operator {operator!r}")

    @property
    def layer(self) -> str:
        return next((name for name in reversed(self.nested) if name), "")

    def paint(self, operator: bytes) -> None:
        if operator != b"S":
            self.found.rectangles += [(box, self.fill) for box in self.boxes]
        if self.is_curved:
            self.found.curved += [tuple(points) for points in self.path]
        elif operator == b"S":
            self.found.strokes += [
                Stroke(tuple(points), self.width, self.dashes, self.layer, self.ink)
                for points in self.path
                if len(points) > 1
            ]
        self.path, self.boxes, self.is_curved = [], [], False

    def show(self, text: bytes) -> None:
        x, y = self.at
        if self.font.name.startswith("SourceSans"):
            words = "".join(self.font.texts[256 * a + b] for a, b in zip(text[::2], text[1::2], strict=True))
            self.found.words.append((self.point(x, y), words))
        for high, low in zip(text[::2], text[1::2], strict=True):
            code = 256 * high + low
            if code in self.font.boxes:
                left, bottom, right, top = self.font.boxes[code]
                middle = self.point(x + (left + right) / 2 * self.size, y + (bottom + top) / 2 * self.size)
                glyph = Glyph(
                    self.font.texts[code],
                    *middle,
                    self.size / MM,
                    self.font.name,
                    self.point(x, y),
                    self.layer,
                )
                self.found.glyphs.append(glyph)
            x += self.font.widths[code] * self.size


def page_of(reader: PdfReader, chapter: str) -> int:
    """Return the number of the page, from 0, that the bookmark of a chapter leads to."""
    (item,) = [one for one in reader.outline if not isinstance(one, list) and one.title == chapter]
    number = reader.get_destination_page_number(item)
    assert number is not None
    return number


def symbol_glyphs(pdf: bytes, number: int) -> list[Glyph]:
    """Return the characters of a page that are set in the symbol font, in the order of the text."""
    return [glyph for glyph in _file(pdf).drawn(number).glyphs if glyph.font == "svg2chart-symbols"]


def strokes(pdf: bytes, number: int) -> list[Stroke]:
    """Return the stroked lines of a page, in paint order. Curves (dots) and rectangles are left out."""
    return _file(pdf).drawn(number).strokes


@lru_cache(maxsize=4)
def _file(pdf: bytes) -> File:
    return File(pdf)


def lines_of_text(pdf: bytes, number: int) -> list[list[str]]:
    """Return the words of a page, line by line from the top; pieces set apart are apart."""
    rows: dict[float, list[tuple[float, str]]] = defaultdict(list)
    for (x, y), text in _file(pdf).drawn(number).words:
        rows[round(y, 1)].append((x, text))
    return [[text for _, text in sorted(pieces)] for _, pieces in sorted(rows.items())]


def header(pdf: bytes, number: int) -> tuple[tuple[int, int], tuple[int, int]]:
    """Return the own rows and columns that a chart page's heading names, first and last counted from 1."""
    text = _file(pdf).reader.pages[number].extract_text()
    found = re.search(r"columns (\d+) to (\d+) of \d+, rows (\d+) to (\d+) of \d+", text)
    assert found is not None
    first_column, last_column, first_row, last_row = map(int, found.groups())
    return (first_row, last_row), (first_column, last_column)


def _is(width: float, wanted: float) -> bool:
    return abs(width - wanted) < 0.005


def read_chart_page(pdf: bytes, number: int) -> ChartPage:
    """Read one chart page."""
    drawn = _file(pdf).drawn(number)
    lines = drawn.strokes
    (first_row, last_row), (first_column, last_column) = header(pdf, number)
    thin = [line for line in lines if _is(line.width, THIN)]
    xs = sorted(line.points[0][0] for line in thin if abs(line.points[0][0] - line.points[1][0]) < 0.01)
    ys = sorted(line.points[0][1] for line in thin if abs(line.points[0][1] - line.points[1][1]) < 0.01)
    side = (xs[-1] - xs[0]) / (len(xs) - 1)
    shown_column, shown_row = last_column - (len(xs) - 1), last_row - (len(ys) - 1)

    def hole(point: Point) -> Point:
        """Where a point lies in squares of the whole chart."""
        return (point[0] - xs[0]) / side + shown_column, (point[1] - ys[0]) / side + shown_row

    glyphs = symbol_glyphs(pdf, number)
    heavy = [line for line in lines if _is(line.width, HEAVY)]
    return ChartPage(
        side=side,
        rows=(shown_row, last_row),
        columns=(shown_column, last_column),
        squares=_squares(glyphs, lines, side, hole),
        lines=[
            (tuple(hole(p) for p in line.points), line.width, line.dashes)
            for line in lines
            if any(_is(line.width, w) for w in BACK)
        ],
        knots=[
            (glyph.letter, (round(2 * x) / 2, round(2 * y) / 2))
            for glyph, (x, y) in _knots(glyphs, side, hole)
        ],
        heavy_columns=[hole(s.points[0])[0] for s in heavy if abs(s.points[0][0] - s.points[1][0]) < 0.01],
        heavy_rows=[hole(s.points[0])[1] for s in heavy if abs(s.points[0][1] - s.points[1][1]) < 0.01],
        own_rows=(first_row - 1, last_row),
        own_columns=(first_column - 1, last_column),
        numbers=[(value, hole(at)) for value, at in _numbers(drawn)],
    )


def _knots(glyphs: list[Glyph], side: float, hole) -> Iterator[tuple[Glyph, Point]]:
    for glyph in glyphs:
        if _is(glyph.size / side, KNOT):
            # the symbol's square stands round its hole
            yield glyph, hole((glyph.start[0] + glyph.size / 2, glyph.start[1] - glyph.size / 2))


def _squares(glyphs: list[Glyph], lines: list[Stroke], side: float, hole) -> dict:
    boxes = defaultdict(set)  # square -> middles of the lines that box quarters off, in quarters of its side
    slants = {}  # square -> whether its diagonal falls to the right
    for line in lines:
        (x1, y1), (x2, y2) = (hole(point) for point in line.points[:2])
        x, y = (x1 + x2) / 2, (y1 + y2) / 2
        if _is(line.width, BOXED):
            boxes[int(y), int(x)].add((round(4 * (x % 1)), round(4 * (y % 1))))
        elif _is(line.width, DIAGONAL):
            slants[int(y), int(x)] = (x2 - x1) * (y2 - y1) > 0
    squares: dict[tuple[int, int], set[tuple[str, str, str]]] = defaultdict(set)
    for glyph in glyphs:
        x, y = hole((glyph.x, glyph.y))
        at = int(y), int(x)
        share = glyph.size / side
        if abs(share - 1) < 0.02:
            squares[at].add(("full", glyph.letter, ""))
        elif _is(share, SMALL):
            right, low = x % 1 > 0.5, y % 1 > 0.5
            box = {(2, 3 if low else 1), (3 if right else 1, 2)}
            cut_off = "three-quarter" if slants.get(at) == (right != low) else "neither"
            kind = "quarter" if box <= boxes[at] else cut_off
            squares[at].add((kind, glyph.letter, CORNERS[right, low]))
    return dict(squares)


def _numbers(drawn: Drawn) -> Iterator[tuple[int, Point]]:
    """Yield the numbers of a page, digits that stand together, and the middles of their ink."""
    digits = [g for g in drawn.glyphs if g.letter.isdigit() and g.font == "SourceSansPro-Regular"]
    place = 0
    while place < len(digits):
        end = place + 1
        while end < len(digits) and (
            digits[end].start[1] == digits[place].start[1]
            and 0 < digits[end].start[0] - digits[end - 1].start[0] < digits[place].size
        ):
            end += 1
        group = digits[place:end]
        yield (
            int("".join(g.letter for g in group)),
            ((group[0].x + group[-1].x) / 2, sum(g.y for g in group) / len(group)),
        )
        place = end
