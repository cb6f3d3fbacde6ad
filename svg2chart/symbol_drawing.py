"""What symbols are drawn with: plain geometry in a unit square.

Coordinates are shares of the square's side, x to the right and y down. The ink keeps to the middle three
quarters of the square, so that four small marks (scale 0.6) fit into the four corners of one square.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

Point = tuple[float, float]
Contour = tuple[Point, ...]

REACH = 0.37  # from the middle to the farthest ink
LINE = 0.12  # the usual width of a line: 0.36 mm in squares of 3 mm
_ROUND = 32  # corners of a disc: at most 0.005 of its radius from the circle
MIDDLE = 0.5


@dataclass(frozen=True, slots=True)
class Symbol:
    """A drawn mark: closed contours in a unit square, filled by the nonzero rule.

    Solid contours run clockwise on the screen, hollows the other way.
    """

    name: str
    contours: tuple[Contour, ...]

    @property
    def ink_box(self) -> tuple[float, float, float, float]:
        """The left, top, right and bottom of the ink."""
        xs = [x for contour in self.contours for x, _ in contour]
        ys = [y for contour in self.contours for _, y in contour]
        return min(xs), min(ys), max(xs), max(ys)


def signed_area(points: Iterable[Point]) -> float:
    """Return the area of a closed contour, positive where it runs clockwise on the screen."""
    ring = list(points)
    return sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(ring, ring[1:] + ring[:1], strict=True)) / 2


def solid(points: Iterable[Point]) -> Contour:
    """Return a contour of ink, clockwise."""
    ring = tuple(points)
    return ring if signed_area(ring) > 0 else ring[::-1]


def hollow(points: Iterable[Point]) -> Contour:
    """Return a contour that takes ink away, counterclockwise."""
    return solid(points)[::-1]


def regular(corners: int, radius: float, *, turn: float = 0.0, at: Point = (MIDDLE, MIDDLE)) -> Contour:
    """Return a regular polygon; `turn` in degrees, 0 puts a corner at the top."""
    angles = [math.radians(turn - 90 + 360 * i / corners) for i in range(corners)]
    return solid((at[0] + radius * math.cos(a), at[1] + radius * math.sin(a)) for a in angles)


def disc(radius: float, *, at: Point = (MIDDLE, MIDDLE)) -> Contour:
    """Return a disc."""
    return regular(_ROUND, radius, at=at)


def block(left: float, top: float, right: float, bottom: float) -> Contour:
    """Return a rectangle along the square."""
    return solid(((left, top), (right, top), (right, bottom), (left, bottom)))


def bar(start: Point, end: Point, width: float = LINE) -> Contour:
    """Return a straight line with square ends."""
    length = math.dist(start, end)
    across = ((start[1] - end[1]) / length * width / 2, (end[0] - start[0]) / length * width / 2)
    return solid(
        (
            (start[0] + across[0], start[1] + across[1]),
            (end[0] + across[0], end[1] + across[1]),
            (end[0] - across[0], end[1] - across[1]),
            (start[0] - across[0], start[1] - across[1]),
        )
    )


def line(*points: Point, width: float = LINE) -> tuple[Contour, ...]:
    """Return a bent line with round joins."""
    bars = tuple(bar(a, b, width) for a, b in pairwise(points))
    return bars + tuple(disc(width / 2, at=p) for p in points[1:-1])


def star(points: int, outer: float, inner: float, *, turn: float = 0.0) -> Contour:
    """Return a star; `turn` in degrees, 0 puts a point at the top."""
    corners = []
    for i in range(2 * points):
        radius = outer if i % 2 == 0 else inner
        angle = math.radians(turn - 90 + 180 * i / points)
        corners.append((MIDDLE + radius * math.cos(angle), MIDDLE + radius * math.sin(angle)))
    return solid(corners)


def arc(radius: float, start: float, end: float, *, at: Point = (MIDDLE, MIDDLE)) -> tuple[Point, ...]:
    """Return points on a circle from one bearing to another, in degrees clockwise from the top."""
    steps = max(2, round(abs(end - start) / 12))
    angles = [math.radians(start - 90 + (end - start) * i / steps) for i in range(steps + 1)]
    return tuple((at[0] + radius * math.cos(a), at[1] + radius * math.sin(a)) for a in angles)


def turned(contours: tuple[Contour, ...], quarters: int) -> tuple[Contour, ...]:
    """Turn clockwise about the middle by quarter turns."""
    for _ in range(quarters):
        contours = tuple(tuple((1 - y, x) for x, y in contour) for contour in contours)
    return contours


_DIRECTIONS = ("up", "right", "down", "left")


def four_ways(name: str, contours: tuple[Contour, ...]) -> list[Symbol]:
    """Return a figure in its four quarter turns."""
    return [Symbol(f"{name}-{way}", turned(contours, i)) for i, way in enumerate(_DIRECTIONS)]


def two_ways(name: str, contours: tuple[Contour, ...]) -> list[Symbol]:
    """Return a figure as it is and turned by a quarter."""
    return [Symbol(f"{name}-{way}", turned(contours, i)) for i, way in enumerate(("upright", "level"))]


def leaning(symbol: Symbol) -> Symbol:
    """Return a figure turned clockwise by an eighth, in the middle and no larger than others."""
    share = math.sqrt(0.5)
    turned_by = [[((x - y) * share, (x + y - 1) * share) for x, y in contour] for contour in symbol.contours]
    xs, ys = zip(*(point for contour in turned_by for point in contour), strict=True)
    scale = min(1.12, 2 * REACH / max(max(xs) - min(xs), max(ys) - min(ys)))
    left, top = (max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2
    contours = (
        tuple((MIDDLE + (x - left) * scale, MIDDLE + (y - top) * scale) for x, y in contour)
        for contour in turned_by
    )
    return Symbol(f"{symbol.name}-leaning", tuple(contours))
