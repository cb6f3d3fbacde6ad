"""What is seen of a stitch: its threads as polygons in the unit square, y down, by how light they are.

The polygons are convex and all run clockwise, so that where two of one shade overlap a fill by the nonzero
rule has both. `DEEP` lies under the others: what is seen between the legs of a stitch. How wide a leg is,
and how light falls on it, is what looks right; no source.
"""

import math
from dataclasses import dataclass
from enum import Enum
from functools import cache

from svg2chart.chart import Arrangement, Chart, Corner, Stitch, StitchKind
from svg2chart.colour import Colour

Point = tuple[float, float]
Polygon = tuple[Point, ...]

LEG = 0.40  # width of a leg, in squares
RIM = 0.06  # of shade on either side of a leg that lies over another
LINE = 0.24  # width of backstitch: one strand where a leg has two
KNOT = 0.30  # radius of a French knot
HOLE_RADIUS, HOLE_SHARE = 0.09, 0.16  # of bare cloth: how large its holes are, and how much darker
MARGIN = 0.03  # of bare cloth round the stitches, as a share of the longer side
_TIP, _END = 0.05, 0.20  # from a hole to where a leg begins, and to where it has its full width
_LIT, _LIT_WIDE = -0.24, 0.24  # middle and width of the strip that catches the light, in widths of a leg


class Shade(Enum):
    """How much light falls on a part of a thread: mixed with black (below 0) or white by that share."""

    DEEP = -0.24
    BODY = 0.0
    LIGHT = 0.30


def shaded(colour: str, shade: Shade) -> str:
    """Return a thread's colour in light or shade.

    >>> shaded("#808080", Shade.DEEP), shaded("#808080", Shade.BODY)
    ('#616161', '#808080')
    """
    thread = Colour.from_hex(colour)
    goal, share = float(shade.value > 0), abs(shade.value)
    return Colour(*(c + (goal - c) * share for c in (thread.red, thread.green, thread.blue))).hex


@dataclass(frozen=True, slots=True)
class Seen:
    """What is seen of one stitch, by shade."""

    deep: tuple[Polygon, ...]
    body: tuple[Polygon, ...]
    light: tuple[Polygon, ...]

    def of(self, shade: Shade) -> tuple[Polygon, ...]:
        """Return the polygons of a shade."""
        return {Shade.DEEP: self.deep, Shade.BODY: self.body, Shade.LIGHT: self.light}[shade]


def stitch_seen(stitch: Stitch, arrangement: Arrangement) -> Seen:
    """Return what is seen of a stitch in a square that holds an arrangement.

    The upper leg of a full stitch falls to the right, as the guide works it; the half of a three-quarter
    stitch lies over its quarter. A quarter that shares a square closes the half that the other leaves.
    """
    return _seen_of(stitch.kind, stitch.corner, len(arrangement) == 2 and arrangement[0].kind is _THREE)


_THREE = StitchKind.THREE_QUARTER


@cache
def _seen_of(kind: StitchKind, corner: Corner | None, is_shared: bool) -> Seen:  # noqa: FBT001
    middle = (0.5, 0.5)
    if corner is None:
        legs = [
            _leg((0.0, 1.0), middle, is_under=True),
            _leg((1.0, 0.0), middle, is_under=True),
            _leg((0.0, 0.0), (1.0, 1.0)),
        ]
        return _seen((((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)),), legs)
    x, y = (float(place) for place in corner.place)
    triangle: Polygon = ((x, y), (1 - x, y), (x, 1 - y))
    if kind is StitchKind.QUARTER:
        under = triangle if is_shared else _strip((x, y), middle, LEG)
        return _seen((under,), [_leg((x, y), middle, is_under=is_shared)])
    half = sorted([(1 - x, y), (x, 1 - y)])
    legs = [_leg((x, y), middle, is_under=True), _leg(half[0], half[1])]
    return _seen((triangle, _strip(half[0], half[1], LEG)), legs)


def _seen(deep: tuple[Polygon, ...], legs: list[tuple[Polygon, Polygon]]) -> Seen:
    bodies, lights = zip(*legs, strict=True)
    return Seen(*(tuple(_clockwise(polygon) for polygon in shade) for shade in (deep, bodies, lights)))


def _clockwise(polygon: Polygon) -> Polygon:
    pairs = zip(polygon, (*polygon[1:], polygon[0]), strict=True)
    return polygon if sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs) > 0 else polygon[::-1]


def _leg(start: Point, end: Point, *, is_under: bool = False) -> tuple[Polygon, Polygon]:
    """Return a leg and the strip of light on it; one that lies under another ends at the other's rim."""
    cut = LEG / 2 + RIM if is_under else 0.0
    return _strip(start, end, LEG, cut=cut), _strip(start, end, LEG * _LIT_WIDE, LEG * _LIT, cut=cut)


def _strip(start: Point, end: Point, width: float, aside: float = 0.0, *, cut: float = 0.0) -> Polygon:
    """Return a strip along a line, pointed at its ends or cut off square before the second.

    `aside` moves it to the upper side of the line, or the left one, where it is below 0.
    """
    length = math.dist(start, end)
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    across = (-along[1], along[0]) if along[0] >= 0 else (along[1], -along[0])

    def at(far: float, side: float) -> Point:
        return (
            start[0] + along[0] * far + across[0] * (side + aside),
            start[1] + along[1] * far + across[1] * (side + aside),
        )

    half = width / 2
    head = [at(_END, half), at(_TIP, half / 3), at(_TIP, -half / 3), at(_END, -half)]
    if cut:
        return *head, at(length - cut, -half), at(length - cut, half)
    far = length - _END, length - _TIP
    return *head, at(far[0], -half), at(far[1], -half / 3), at(far[1], half / 3), at(far[0], half)


def in_paint_order(arrangement: Arrangement) -> tuple[Stitch, ...]:
    """Return the stitches of a square, the lower first."""
    return arrangement[::-1]


def margin_squares(chart: Chart) -> int:
    """Return how many squares of bare cloth the picture has on each side."""
    return max(1, round(max(chart.rows, chart.columns) * MARGIN))


def line_ends(start: Point, end: Point) -> tuple[Point, Point]:
    """Return where the thread of a backstitch is seen: from hole to hole, less what goes down at its ends."""
    share = 0.04 / math.dist(start, end)
    return (
        (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share),
        (end[0] + (start[0] - end[0]) * share, end[1] + (start[1] - end[1]) * share),
    )


def knot_discs() -> tuple[tuple[Shade, float, float], ...]:
    """Return the discs of a French knot: shade, radius, and how far up and left of its hole, in squares."""
    return (Shade.DEEP, KNOT, 0.0), (Shade.BODY, KNOT * 0.85, 0.02), (Shade.LIGHT, KNOT * 0.32, 0.09)
