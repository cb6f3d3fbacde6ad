"""Marks to the operators of one PDF page: each kind of mark by one drawing, none with a decision.

Lengths become points, counted from the lower left corner of the sheet. Whatever is drawn stands in marked
content: that of an element of the structure tree, or an artifact. Source: ISO 32000-1, 8 (graphics),
9.4 (text), 14.6 to 14.8 (marked content).
"""

import math
from collections.abc import Callable, Iterable
from functools import lru_cache

from svg2chart.pages.sheet import (
    Align,
    Box,
    Dot,
    Element,
    Face,
    Layer,
    Layered,
    Lines,
    Link,
    Mark,
    Point,
    Region,
    Role,
    Symbols,
    Tagged,
    Text,
    Trail,
)
from svg2chart.units import POINTS_PER_MM

_ARC = 4 / 3 * (math.sqrt(2) - 1)  # handle of a quarter circle as a Bézier curve, in radii

Measure = Callable[[str, float, Face], float]
Rectangle = tuple[float, float, float, float]


class Content:
    """The operators of a page, gathered mark by mark.

    `elements` holds, for each piece of marked content by its number, the element that it belongs to, and
    `links` each link with its rectangle in points, in the order of the page.
    """

    def __init__(self, *, left_mm: float, top_mm: float, measure: Measure) -> None:
        """Start a page.

        Args:
            left_mm: where the marks' x = 0 lies, from the left of the sheet.
            top_mm: where their y = 0 lies, from its foot.
            measure: the width of a text in the unit of its size.
        """
        self._left, self._top = left_mm, top_mm
        self._measure = measure
        self._parts: list[bytes] = []
        # places in mm as they are written: rows and columns come again and again
        self._xs: dict[float, str] = {}
        self._ys: dict[float, str] = {}
        self._state: dict[str, bytes] = {}
        self._open: Element | None = None
        self._is_open = False
        self.elements: list[Element] = []
        self.links: list[tuple[Link, Rectangle]] = []
        self.layers: list[Layer] = []
        self.characters: dict[Face, set[str]] = {face: set() for face in Face}

    def stream(self) -> bytes:
        """Return the content stream."""
        self._close()
        return b"\n".join(self._parts)

    def draw(self, marks: Iterable[Mark], element: Element | None = None) -> None:
        """Draw marks that belong to an element, or to none: then they are artifacts."""
        for mark in marks:
            match mark:
                case Tagged():
                    self.draw(mark.marks, mark.element)
                case Link():
                    self.draw(mark.marks, mark.element)
                    left, bottom = self._at((mark.x, mark.y + mark.height))
                    right, top = self._at((mark.x + mark.width, mark.y))
                    self.links.append((mark, (left, bottom, right, top)))
                case Layered():
                    self._enter(element)
                    self._layered(mark)
                case _:
                    self._enter(element)
                    self._leaf(mark)

    def _enter(self, element: Element | None) -> None:
        """See that what follows is marked content of this element."""
        if self._is_open and self._open is element:
            return
        self._close()
        if element is None:
            self._add("/Artifact BMC")
        elif element.role is Role.RUNNING:
            self._add("/Artifact <</Type /Pagination>> BDC")
        else:
            self._add(f"/{element.role.value} <</MCID {len(self.elements)}>> BDC")
            self.elements.append(element)
        self._open, self._is_open = element, True

    def _close(self) -> None:
        if self._is_open:
            self._add("EMC")
        self._is_open = False

    def _layered(self, layered: Layered) -> None:
        if layered.marks:
            if layered.layer not in self.layers:
                self.layers.append(layered.layer)
            self._add(f"/OC /{layered.layer.name} BDC")
            for mark in layered.marks:
                self._leaf(mark)
            self._add("EMC")

    def _leaf(self, mark: Mark) -> None:
        match mark:
            case Text():
                self._text(mark)
            case Symbols():
                self._symbols(mark)
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
            case _:
                raise TypeError(f"{type(mark).__name__} holds marks and is none itself")

    def _add(self, operators: str) -> None:
        self._parts.append(operators.encode("ascii"))

    def _set(self, name: str, operators: bytes) -> None:
        """Set a part of the graphics state, unless it is as wanted already."""
        if self._state.get(name) != operators:
            self._state[name] = operators
            self._parts.append(operators)

    def _at(self, point: Point) -> Point:
        return (self._left + point[0]) * POINTS_PER_MM, (self._top - point[1]) * POINTS_PER_MM

    def _place(self, point: Point) -> str:
        x, y = point
        across, down = self._xs.get(x), self._ys.get(y)
        if across is None:
            across = self._xs[x] = number((self._left + x) * POINTS_PER_MM)
        if down is None:
            down = self._ys[y] = number((self._top - y) * POINTS_PER_MM)
        return f"{across} {down}"

    def _fill(self, ink: str) -> None:
        self._set("fill", f"{_channels(ink)} rg".encode())

    def _pen(self, width: float, ink: str, dashes: tuple[float, ...] = ()) -> None:
        self._set("ink", f"{_channels(ink)} RG".encode())
        self._set("width", f"{number(width * POINTS_PER_MM)} w".encode())
        pattern = " ".join(number(dash * POINTS_PER_MM) for dash in dashes)
        self._set("dash", f"[{pattern}] 0 d".encode())
        # dashes with round ends would close their gaps
        self._set("cap", b"0 J 1 j" if dashes else b"1 J 1 j")

    def _text(self, text: Text) -> None:
        if not text.text:
            return
        self.characters[text.face].update(text.text)
        share = {Align.LEFT: 0.0, Align.MIDDLE: 0.5, Align.RIGHT: 1.0}[text.align]
        wide = self._measure(text.text, text.size, text.face) if share else 0.0
        self._fill(text.ink)
        self._set("font", f"/{text.face.name} {number(text.size * POINTS_PER_MM)} Tf".encode())
        place = self._place((text.x - share * wide, text.y)).encode()
        self._parts.append(b"BT " + place + b" Td (" + _string(text.text) + b") Tj ET")

    def _symbols(self, symbols: Symbols) -> None:
        self._fill(symbols.ink)
        self._set("font", f"/{symbols.face.name} {number(symbols.size * POINTS_PER_MM)} Tf".encode())
        parts, x, y = [b"BT"], 0, 0
        for text, (left, down) in symbols.texts:
            # each start is told from the one before, in whole hundredths of a point
            x_next = round((self._left + left) * POINTS_PER_MM * _FINE)
            y_next = round((self._top - down) * POINTS_PER_MM * _FINE)
            step = f"{_hundredths(x_next - x)} {_hundredths(y_next - y)} Td (".encode()
            parts.append(step + _string(text) + b") Tj")
            x, y = x_next, y_next
        self.characters[symbols.face].update(*(text for text, _ in symbols.texts))
        self._parts += [*parts, b"ET"]

    def _box(self, box: Box) -> None:
        if box.fill:
            self._fill(box.fill)
        if box.edge:
            self._pen(box.edge_width, box.edge)
        paint = {(True, True): "B", (True, False): "f", (False, True): "S"}[bool(box.fill), bool(box.edge)]
        self._add(f"{self._rectangle(box.x, box.y, box.width, box.height)} {paint}")

    def _rectangle(self, x: float, y: float, width: float, height: float) -> str:
        left, bottom = self._at((x, y + height))
        right, top = self._at((x + width, y))
        # from rounded edges, so that rectangles that touch have no gap between them
        left, bottom, right, top = (round(value, _DIGITS) for value in (left, bottom, right, top))
        return f"{number(left)} {number(bottom)} {number(right - left)} {number(top - bottom)} re"

    def _region(self, region: Region) -> None:
        self._fill(region.fill)
        for polygon in region.polygons:
            (x1, y1), (x2, y2), (x3, y3), *rest = polygon
            if len(rest) == 1 and (y1, x2, y3, rest[0]) == (y2, x3, rest[0][1], (x1, y3)):
                self._add(self._rectangle(x1, y1, x2 - x1, y3 - y1))
            else:
                self._add(f"{self._path(polygon)} h")
        self._add("f")

    def _path(self, points: tuple[Point, ...]) -> str:
        first, *others = points
        return " ".join([f"{self._place(first)} m", *(f"{self._place(point)} l" for point in others)])

    def _lines(self, lines: Lines) -> None:
        self._pen(lines.width, lines.ink)
        self._add("\n".join(self._path(segment) for segment in lines.segments) + " S")

    def _trail(self, trail: Trail) -> None:
        self._pen(trail.width, trail.ink, trail.dashes)
        self._add(f"{self._path(trail.points)} S")

    def _dot(self, dot: Dot) -> None:
        self._fill(dot.fill)
        if dot.edge_width > 0:
            self._pen(dot.edge_width, dot.edge)
        x, y, r = dot.x, dot.y, dot.radius
        path = [f"{self._place((x + r, y))} m"]
        for c, s in ((1, 0), (0, 1), (-1, 0), (0, -1)):
            # from (c, s) a quarter turn on, to (-s, c)
            ends = ((c - _ARC * s, s + _ARC * c), (-s + _ARC * c, c + _ARC * s), (-s, c))
            path.append(" ".join(self._place((x + r * a, y + r * b)) for a, b in ends) + " c")
        self._add(f"{' '.join(path)} h {'B' if dot.edge_width > 0 else 'f'}")


_DIGITS, _FINE = 2, 100  # a hundredth of a point is finer than any printer


@lru_cache(maxsize=20_000)
def number(value: float) -> str:
    """Return a number as PDF writes it.

    >>> number(12.3), number(-0.001), number(7.0)
    ('12.3', '0', '7')
    """
    text = f"{value:.{_DIGITS}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


@lru_cache(maxsize=20_000)
def _hundredths(value: int) -> str:
    return number(value / _FINE)


@lru_cache(maxsize=20_000)
def _string(text: str) -> bytes:
    """Return a text as it stands between the brackets of a string."""
    written = text.encode("utf-16-be")
    for byte in (b"\\", b"(", b")"):
        written = written.replace(byte, b"\\" + byte)
    return written.replace(b"\r", b"\\r")


@lru_cache(maxsize=1024)
def _channels(colour: str) -> str:
    return " ".join(f"{int(colour[i : i + 2], 16) / 255:.4g}" for i in (1, 3, 5))
