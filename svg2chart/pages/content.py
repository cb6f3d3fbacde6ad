"""Marks to the operators of one PDF page: each kind of mark by one drawing, none with a decision.

Lengths become points, counted from the lower left corner of the sheet. Whatever is drawn stands in marked
content: that of an element of the structure tree, or an artifact. Source: ISO 32000-1, 8 (graphics),
9.4 (text), 14.6 to 14.8 (marked content).
"""

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Generic, TypeVar

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
_T = TypeVar("_T")


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """Operators that set all of the graphics state that they need, and the characters that they show."""

    operators: bytes
    characters: Mapping[Face, set[str]]


class Content:
    """The operators of a page, gathered mark by mark.

    `elements` holds, for each piece of marked content by its number, the element that it belongs to, and
    `links` each link with its rectangle in points, in the order of the page.
    """

    def __init__(
        self, *, left_mm: float, top_mm: float, measure: Measure, drawn: dict[Layered, Piece]
    ) -> None:
        """Start a page.

        Args:
            left_mm: where the marks' x = 0 lies, from the left of the sheet.
            top_mm: where their y = 0 lies, from its foot.
            measure: the width of a text in the unit of its size.
            drawn: what stands on pages before this one, by the marks that were drawn; new pieces are added.
        """
        self._left, self._top = left_mm, top_mm
        self._measure = measure
        self._drawn = drawn
        self._parts: list[str] = []
        self._finished: list[bytes | Piece] = []
        # places in mm as they are written: rows and columns come again and again
        self._xs = _Worked(lambda x: number(self._across(x)))
        self._ys = _Worked(lambda y: number(self._up(y)))
        self._edges = (
            _Worked(lambda x: round(self._across(x), _DIGITS)),
            _Worked(lambda y: round(self._up(y), _DIGITS)),
        )
        self._state: dict[str, str] = {}
        self._open: Element | None = None
        self._is_open = False
        self.elements: list[Element] = []
        self.links: list[tuple[Link, Rectangle]] = []
        self.layers: list[Layer] = []
        self.characters: dict[Face, set[str]] = {face: set() for face in Face}

    def parts(self) -> tuple[bytes | Piece, ...]:
        """Return the content in order: operators of this page alone, and pieces that others may show too."""
        self._close()
        self._break_off()
        return tuple(self._finished)

    def _break_off(self) -> None:
        """End what is this page's own; what follows knows nothing of the graphics state."""
        if self._parts:
            self._finished.append(_written(self._parts))
        self._parts, self._state = [], {}

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
        if not layered.marks:
            return
        if layered.layer not in self.layers:
            self.layers.append(layered.layer)
        self._break_off()
        piece = self._drawn.get(layered)
        if piece is None:
            piece = self._drawn[layered] = self._piece(layered)
        for face, characters in piece.characters.items():
            self.characters[face] |= characters
        self._finished.append(piece)

    def _piece(self, layered: Layered) -> Piece:
        """Draw the marks of a layer by themselves."""
        outside, self.characters = self.characters, {face: set() for face in Face}
        self._add(f"/OC /{layered.layer.name} BDC")
        for mark in layered.marks:
            self._leaf(mark)
        self._add("EMC")
        piece = Piece(_written(self._parts), self.characters)
        self._parts, self._state, self.characters = [], {}, outside
        return piece

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
        self._parts.append(operators)

    def _set(self, name: str, operators: str) -> None:
        """Set a part of the graphics state, unless it is as wanted already."""
        if self._state.get(name) != operators:
            self._state[name] = operators
            self._parts.append(operators)

    def _across(self, x: float) -> float:
        return (self._left + x) * POINTS_PER_MM

    def _up(self, y: float) -> float:
        return (self._top - y) * POINTS_PER_MM

    def _at(self, point: Point) -> Point:
        return self._across(point[0]), self._up(point[1])

    def _place(self, point: Point) -> str:
        return f"{self._xs[point[0]]} {self._ys[point[1]]}"

    def _fill(self, ink: str) -> None:
        self._set("fill", f"{_channels(ink)} rg")

    def _pen(self, width: float, ink: str, dashes: tuple[float, ...] = ()) -> None:
        self._set("ink", f"{_channels(ink)} RG")
        self._set("width", f"{number(width * POINTS_PER_MM)} w")
        pattern = " ".join(number(dash * POINTS_PER_MM) for dash in dashes)
        self._set("dash", f"[{pattern}] 0 d")
        # dashes with round ends would close their gaps
        self._set("cap", "0 J 1 j" if dashes else "1 J 1 j")

    def _text(self, text: Text) -> None:
        if not text.text:
            return
        self.characters[text.face].update(text.text)
        share = {Align.LEFT: 0.0, Align.MIDDLE: 0.5, Align.RIGHT: 1.0}[text.align]
        wide = self._measure(text.text, text.size, text.face) if share else 0.0
        self._fill(text.ink)
        self._set("font", f"/{text.face.name} {number(text.size * POINTS_PER_MM)} Tf")
        self._add(f"BT {self._place((text.x - share * wide, text.y))} Td ({_string(text.text)}) Tj ET")

    def _symbols(self, symbols: Symbols) -> None:
        self._fill(symbols.ink)
        self._set("font", f"/{symbols.face.name} {number(symbols.size * POINTS_PER_MM)} Tf")
        parts, x, y = ["BT"], 0, 0
        for text, (left, down) in symbols.texts:
            # each start is told from the one before, in whole hundredths of a point
            x_next, y_next = round(self._across(left) * _FINE), round(self._up(down) * _FINE)
            parts.append(f"{_hundredths(x_next - x)} {_hundredths(y_next - y)} Td ({_string(text)}) Tj")
            x, y = x_next, y_next
        self.characters[symbols.face].update(*(text for text, _ in symbols.texts))
        self._parts += [*parts, "ET"]

    def _box(self, box: Box) -> None:
        if box.fill:
            self._fill(box.fill)
        if box.edge:
            self._pen(box.edge_width, box.edge)
        paint = {(True, True): "B", (True, False): "f", (False, True): "S"}[bool(box.fill), bool(box.edge)]
        self._add(f"{self._rectangle(box.x, box.y, box.x + box.width, box.y + box.height)} {paint}")

    def _rectangle(self, x: float, y: float, right: float, foot: float) -> str:
        # from rounded edges, so that rectangles that touch have no gap between them
        across, up = self._edges
        left, low = across[x], up[foot]
        return f"{self._xs[x]} {self._ys[foot]} {number(across[right] - left)} {number(up[y] - low)} re"

    def _region(self, region: Region) -> None:
        self._fill(region.fill)
        for polygon in region.polygons:
            (x1, y1), (x2, y2), (x3, y3), *rest = polygon
            if len(rest) == 1 and (y1, x2, y3, rest[0]) == (y2, x3, rest[0][1], (x1, y3)):
                self._add(self._rectangle(x1, y1, x2, y3))
            else:
                self._add(f"{self._path(polygon)} h")
        self._add("f")

    def _path(self, points: tuple[Point, ...]) -> str:
        xs, ys = self._xs, self._ys
        first, *others = [f"{xs[x]} {ys[y]}" for x, y in points]
        return f"{first} m {' l '.join(others)} l"

    def _lines(self, lines: Lines) -> None:
        self._pen(lines.width, lines.ink)
        xs, ys = self._xs, self._ys
        self._parts += [f"{xs[x]} {ys[y]} m {xs[a]} {ys[b]} l" for (x, y), (a, b) in lines.segments]
        self._add("S")

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


class _Worked(dict[float, _T], Generic[_T]):
    """What a function gives for numbers, worked out once for each."""

    def __init__(self, work: Callable[[float], _T]) -> None:
        """Start with none worked out."""
        super().__init__()
        self._work = work

    def __missing__(self, value: float) -> _T:
        """Work one out."""
        self[value] = found = self._work(value)
        return found


def _written(operators: Iterable[str]) -> bytes:
    """Return operators as they are written: each character of a string in them is one byte."""
    return "\n".join(operators).encode("latin-1")


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
def _string(text: str) -> str:
    """Return a text as it stands between the brackets of a string, a character for each byte."""
    written = text.encode("utf-16-be").decode("latin-1")
    for character in "\\()":
        written = written.replace(character, "\\" + character)
    return written.replace("\r", "\\r")


@lru_cache(maxsize=1024)
def _channels(colour: str) -> str:
    return " ".join(f"{int(colour[i : i + 2], 16) / 255:.4g}" for i in (1, 3, 5))
