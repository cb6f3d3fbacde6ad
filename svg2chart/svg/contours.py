"""Contours drawn command by command, as path data has it (SVG 2, 9.3)."""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from svg2chart.geometry.path import Path
from svg2chart.svg.curves import Point, arc

_SIZE = 8  # coordinates of a segment


@dataclass(slots=True)
class Contours:
    """What has been drawn, and where the next command starts.

    Each command takes the numbers of one or more repeats. With `relative` they are counted from where the
    pen is.

    drawn: the coordinates of all segments: start, two controls, end, each x and y.
    ends: how many segments there are up to the end of each contour, from 0.
    closed: whether each contour is closed.
    inside_arcs: the segments that end inside an arc.
    last: the last command in upper case; control: the last control of a curve. Both for smooth commands.
    """

    drawn: list[float] = field(default_factory=list)
    ends: list[int] = field(default_factory=lambda: [0])
    closed: list[bool] = field(default_factory=list)
    inside_arcs: list[int] = field(default_factory=list)
    here: Point = (0.0, 0.0)
    start: Point = (0.0, 0.0)
    control: Point = (0.0, 0.0)
    last: str = ""

    def path(self) -> Path:
        """Return what was drawn."""
        self._lift(closed=False)
        return Path(
            segments=np.array(self.drawn, dtype=np.float64).reshape(-1, 4, 2),
            starts=np.array(self.ends, dtype=np.int64),
            closed=np.array(self.closed, dtype=np.bool_),
        )

    def close(self) -> None:
        """Draw back to the start of the contour and end it; a lone point becomes a dot."""
        if self.last == "Z":
            return
        if self.here != self.start or len(self.drawn) == _SIZE * self.ends[-1]:
            self.drawn += (*self.here, *self.here, *self.start, *self.start)
            self.here = self.start
        self._lift(closed=True)
        self.last = "Z"

    def move(self, values: list[float], *, relative: bool) -> None:
        """Begin a contour; further points are ends of lines."""
        self._lift(closed=False)
        x, y = values[:2]
        self.here = self.start = (x + self.here[0], y + self.here[1]) if relative else (x, y)
        self.lines(values[2:], relative=relative)

    def lines(self, values: list[float], *, relative: bool) -> None:
        """Draw straight lines."""
        x, y = self.here
        for end_x, end_y in zip(values[::2], values[1::2], strict=True):
            to_x, to_y = (end_x + x, end_y + y) if relative else (end_x, end_y)
            self.drawn += (x, y, x, y, to_x, to_y, to_x, to_y)
            x, y = to_x, to_y
        self.here = x, y

    def level_lines(self, values: list[float], *, relative: bool) -> None:
        """Draw lines along x."""
        x, y = self.here
        for end in values:
            to_x = end + x if relative else end
            self.drawn += (x, y, x, y, to_x, y, to_x, y)
            x = to_x
        self.here = x, y

    def upright_lines(self, values: list[float], *, relative: bool) -> None:
        """Draw lines along y."""
        x, y = self.here
        for end in values:
            to_y = end + y if relative else end
            self.drawn += (x, y, x, y, x, to_y, x, to_y)
            y = to_y
        self.here = x, y

    def curves(self, values: list[float], *, relative: bool) -> None:
        """Draw cubic curves."""
        x, y = self.here
        for k in range(0, len(values), 6):
            a, b, c, d, e, f = values[k : k + 6]
            if relative:
                a, b, c, d, e, f = a + x, b + y, c + x, d + y, e + x, f + y
            self.drawn += (x, y, a, b, c, d, e, f)
            self.control = c, d
            x, y = e, f
        self.here = x, y

    def smooth_curves(self, values: list[float], *, relative: bool) -> None:
        """Draw cubic curves that go on as the one before ended."""
        x, y = self.here
        held_x, held_y = self.control if self.last in ("C", "S") else self.here
        for k in range(0, len(values), 4):
            c, d, e, f = values[k : k + 4]
            if relative:
                c, d, e, f = c + x, d + y, e + x, f + y
            self.drawn += (x, y, 2 * x - held_x, 2 * y - held_y, c, d, e, f)
            held_x, held_y = c, d
            x, y = e, f
        self.here, self.control = (x, y), (held_x, held_y)

    def quadratics(self, values: list[float], *, relative: bool) -> None:
        """Draw quadratic curves, raised to cubic ones."""
        for k in range(0, len(values), 4):
            a, b, e, f = values[k : k + 4]
            x, y = self.here if relative else (0.0, 0.0)
            self._quadratic((a + x, b + y), (e + x, f + y))

    def smooth_quadratics(self, values: list[float], *, relative: bool) -> None:
        """Draw quadratic curves that go on as the one before ended."""
        if self.last not in ("Q", "T"):
            self.control = self.here
        for e, f in zip(values[::2], values[1::2], strict=True):
            here_x, here_y = self.here
            x, y = self.here if relative else (0.0, 0.0)
            self._quadratic((2 * here_x - self.control[0], 2 * here_y - self.control[1]), (e + x, f + y))

    def arcs(self, values: list[float], *, relative: bool) -> None:
        """Draw elliptical arcs."""
        for k in range(0, len(values), 7):
            radius_x, radius_y, turn, is_large, is_clockwise, e, f = values[k : k + 7]
            x, y = self.here if relative else (0.0, 0.0)
            pieces = arc(
                self.here,
                (radius_x, radius_y),
                turn=turn,
                is_large=is_large != 0,
                is_clockwise=is_clockwise != 0,
                end=(e + x, f + y),
            )
            first = len(self.drawn) // _SIZE
            self.inside_arcs += range(first, first + len(pieces) // _SIZE - 1)
            self.drawn += pieces
            self.here = e + x, f + y

    def _quadratic(self, control: Point, end: Point) -> None:
        (x, y), (a, b), (e, f) = self.here, control, end
        self.drawn += (x, y, (x + 2 * a) / 3, (y + 2 * b) / 3, (e + 2 * a) / 3, (f + 2 * b) / 3, e, f)
        self.here, self.control = end, control

    def _lift(self, *, closed: bool) -> None:
        """End the contour, where it has a segment."""
        number = len(self.drawn) // _SIZE
        if number > self.ends[-1]:
            self.ends.append(number)
            self.closed.append(closed)


DRAWN: dict[str, Callable[..., None]] = {
    "M": Contours.move,
    "L": Contours.lines,
    "H": Contours.level_lines,
    "V": Contours.upright_lines,
    "C": Contours.curves,
    "S": Contours.smooth_curves,
    "Q": Contours.quadratics,
    "T": Contours.smooth_quadratics,
    "A": Contours.arcs,
}
"""What draws the repeats of each command but Z."""
