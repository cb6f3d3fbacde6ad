"""Path data to `Path`: everything up to the first error is drawn (SVG 2, 9.5.4)."""

import re
from dataclasses import dataclass, field
from itertools import pairwise
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.path import Path
from svg2chart.svg.curves import Point, Segment, arc, raised
from svg2chart.svg.lengths import NUMBER

_COMMAND = re.compile(r"([MmZzLlHhVvCcSsQqTtAa])([^MmZzLlHhVvCcSsQqTtAa]*)")
# always matches something, so that the search never runs on
_ARGUMENT = re.compile(rf"\s*+(?:(,)\s*+)?({NUMBER})|(.)", re.DOTALL)
_FLAG = re.compile(r"\s*+(?:(,)\s*+)?([01])")
_COUNTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}


@dataclass(frozen=True, slots=True)
class PathData:
    """A path as far as its data could be read, and what was wrong then ("" for nothing).

    is_vertex: (n,) bool, whether each segment ends at a point that was drawn
        through, rather than inside an arc.
    """

    path: Path
    error: str = ""
    is_vertex: NDArray[np.bool_] = field(default_factory=lambda: np.zeros(0, dtype=np.bool_))


def whole_path(path: Path, error: str = "") -> PathData:
    """Return a path with a vertex at the end of every segment."""
    return PathData(path, error, np.ones(len(path.segments), dtype=np.bool_))


def path_data(text: str) -> PathData:
    """Return the path of a `d` attribute."""
    pen = _Pen()
    error = ""
    first = len(text) - len(text.lstrip())
    if text[first : first + 1] not in ("M", "m", "") and text.strip() != "none":
        return whole_path(Path.of_contours([]), "the path data does not start with M")
    for match in _COMMAND.finditer(text):
        values, error = _arguments(match[1].upper(), match[2])
        if error:
            error = f"{error} in {_shortened(match[0])}"
        pen.draw(match[1], values)
        if error:
            break
    path = pen.path()
    is_vertex = np.ones(len(path.segments), dtype=np.bool_)
    is_vertex[pen.inside_arcs] = False
    return PathData(path, error, is_vertex)


def points_path(text: str, *, closed: bool) -> PathData:
    """Return the path of a `points` attribute; a last number without a partner is an error."""
    values, error = _numbers(text)
    if len(values) % 2 and not error:
        error = "a point has no y"
    points = list(zip(values[::2], values[1::2], strict=False))
    if len(points) < 2:
        return whole_path(Path.of_contours([]), error)
    segments: list[Segment] = [(a, a, b, b) for a, b in pairwise(points)]
    if closed and points[-1] != points[0]:
        segments.append((points[-1], points[-1], points[0], points[0]))
    return whole_path(Path.of_contours([(np.array(segments), closed)]), error)


def _shortened(text: str) -> str:
    words = " ".join(text.split())
    return f'"{words}"' if len(words) <= 30 else f'"{words[:27]}..."'


def _arguments(command: str, text: str) -> tuple[list[float], str]:
    """Return the arguments of whole repeats of a command, and what is wrong."""
    count = _COUNTS[command]
    values, error = _numbers(text) if command != "A" else _arc_numbers(text)
    if count == 0:
        return [], "a number after Z" if values else error
    missing = -len(values) % count
    if not error and (missing or not values):
        error = "too few numbers"
    return values[: len(values) - len(values) % count], error


def _numbers(text: str) -> tuple[list[float], str]:
    """Return the numbers of a list up to the first error, and that error."""
    values: list[float] = []
    for match in _ARGUMENT.finditer(text.rstrip()):
        if not match[2] or (match[1] and not values):
            return values, "something that is no number"
        value = float(match[2])
        if not isfinite(value):
            return values, "a number is too large"
        values.append(value)
    return values, ""


def _arc_numbers(text: str) -> tuple[list[float], str]:
    """Return the arguments of arcs, whose flags need no separators."""
    values: list[float] = []
    text = text.rstrip()
    position = 0
    while position < len(text):
        form = _FLAG if len(values) % 7 in (3, 4) else _ARGUMENT
        match = form.match(text, position)
        if not match or not match[2] or (match[1] and not values):
            return values, "something that is no number"
        value = float(match[2])
        if not isfinite(value):
            return values, "a number is too large"
        values.append(value)
        position = match.end()
    return values, ""


@dataclass(slots=True)
class _Pen:
    """The drawing of one path: where the pen is and what it has drawn."""

    contours: list[tuple[list[Segment], bool]] = field(default_factory=list)
    segments: list[Segment] = field(default_factory=list)
    here: Point = (0.0, 0.0)
    start: Point = (0.0, 0.0)
    control: Point = (0.0, 0.0)  # last control of a curve, for the smooth commands
    last: str = ""
    inside_arcs: list[int] = field(default_factory=list)  # segments that end inside an arc
    done: int = 0  # segments in the contours

    def path(self) -> Path:
        """Return what was drawn."""
        self._lift()
        return Path.of_contours((np.array(segments), closed) for segments, closed in self.contours)

    def draw(self, command: str, values: list[float]) -> None:
        """Draw the repeats of a command."""
        upper = command.upper()
        is_relative = command != upper
        count = _COUNTS[upper]
        if upper == "Z":
            self._close()
            self.last = upper
            return
        for k in range(0, len(values), count):
            ox, oy = self.here if is_relative else (0.0, 0.0)
            part = values[k : k + count]
            kind = "L" if upper == "M" and k else upper
            if kind in ("H", "V"):
                self._line_along(kind, part[0], (ox, oy))
            elif kind == "A":
                self._arc(part, (part[5] + ox, part[6] + oy))
            else:
                points = [(part[i] + ox, part[i + 1] + oy) for i in range(0, count, 2)]
                self._points(kind, points)
            self.last = kind

    def _points(self, kind: str, points: list[Point]) -> None:
        here, end = self.here, points[-1]
        if kind == "M":
            self._lift()
            self.start = end
        elif kind == "L":
            self.segments.append((here, here, end, end))
        elif kind in ("C", "S"):
            first = points[0] if kind == "C" else self._reflected("CS")
            self.control = points[-2]
            self.segments.append((here, first, self.control, end))
        else:
            self.control = points[0] if kind == "Q" else self._reflected("QT")
            self.segments.append(raised(here, self.control, end))
        self.here = end

    def _line_along(self, kind: str, value: float, origin: Point) -> None:
        x = value + origin[0] if kind == "H" else self.here[0]
        y = value + origin[1] if kind == "V" else self.here[1]
        self.segments.append((self.here, self.here, (x, y), (x, y)))
        self.here = (x, y)

    def _arc(self, part: list[float], end: Point) -> None:
        pieces = arc(
            self.here,
            (part[0], part[1]),
            turn=part[2],
            is_large=part[3] != 0,
            is_clockwise=part[4] != 0,
            end=end,
        )
        first = self.done + len(self.segments)
        self.inside_arcs += range(first, first + len(pieces) - 1)
        self.segments += pieces
        self.here = end

    def _reflected(self, family: str) -> Point:
        if not self.last or self.last not in family:
            return self.here
        return 2 * self.here[0] - self.control[0], 2 * self.here[1] - self.control[1]

    def _close(self) -> None:
        if self.last in ("", "Z"):
            return
        if self.here != self.start or not self.segments:
            self.segments.append((self.here, self.here, self.start, self.start))
        self.contours.append((self.segments, True))
        self.done += len(self.segments)
        self.segments = []
        self.here = self.start

    def _lift(self) -> None:
        if self.segments:
            self.contours.append((self.segments, False))
            self.done += len(self.segments)
        self.segments = []
