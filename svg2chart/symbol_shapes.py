"""Candidate marks for the symbols: plain geometry in a unit square, drawn for this package.

Coordinates are shares of the square's side, x to the right and y down. The ink
keeps to the middle three quarters of the square, so that four small marks
(scale 0.6) fit into the four corners of one square. Marks that a chart already
uses for something else are not among them: corner triangles, quarter and half
blocks and half-diagonal squares (fractions), single bars and slashes (backstitch).
Nor are marks that read as a Latin letter, which would be taken for the thread's own.
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
_MIDDLE = 0.5


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


def _signed_area(points: Iterable[Point]) -> float:
    ring = list(points)
    return sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(ring, ring[1:] + ring[:1], strict=True)) / 2


def _solid(points: Iterable[Point]) -> Contour:
    ring = tuple(points)
    return ring if _signed_area(ring) > 0 else ring[::-1]


def _hollow(points: Iterable[Point]) -> Contour:
    return _solid(points)[::-1]


def _regular(corners: int, radius: float, *, turn: float = 0.0, at: Point = (_MIDDLE, _MIDDLE)) -> Contour:
    """Return a regular polygon; `turn` in degrees, 0 puts a corner at the top."""
    angles = [math.radians(turn - 90 + 360 * i / corners) for i in range(corners)]
    return _solid((at[0] + radius * math.cos(a), at[1] + radius * math.sin(a)) for a in angles)


def _disc(radius: float, *, at: Point = (_MIDDLE, _MIDDLE)) -> Contour:
    return _regular(_ROUND, radius, at=at)


def _block(left: float, top: float, right: float, bottom: float) -> Contour:
    return _solid(((left, top), (right, top), (right, bottom), (left, bottom)))


def _bar(start: Point, end: Point, width: float = LINE) -> Contour:
    """Return a straight line with square ends."""
    length = math.dist(start, end)
    across = ((start[1] - end[1]) / length * width / 2, (end[0] - start[0]) / length * width / 2)
    return _solid(
        (
            (start[0] + across[0], start[1] + across[1]),
            (end[0] + across[0], end[1] + across[1]),
            (end[0] - across[0], end[1] - across[1]),
            (start[0] - across[0], start[1] - across[1]),
        )
    )


def _line(*points: Point, width: float = LINE) -> tuple[Contour, ...]:
    """Return a bent line with round joins."""
    bars = tuple(_bar(a, b, width) for a, b in pairwise(points))
    return bars + tuple(_disc(width / 2, at=p) for p in points[1:-1])


def _star(points: int, outer: float, inner: float, *, turn: float = 0.0) -> Contour:
    corners = []
    for i in range(2 * points):
        radius = outer if i % 2 == 0 else inner
        angle = math.radians(turn - 90 + 180 * i / points)
        corners.append((_MIDDLE + radius * math.cos(angle), _MIDDLE + radius * math.sin(angle)))
    return _solid(corners)


def _arc(radius: float, start: float, end: float, *, at: Point = (_MIDDLE, _MIDDLE)) -> tuple[Point, ...]:
    """Return points on a circle from one bearing to another, in degrees clockwise from the top."""
    steps = max(2, round(abs(end - start) / 12))
    angles = [math.radians(start - 90 + (end - start) * i / steps) for i in range(steps + 1)]
    return tuple((at[0] + radius * math.cos(a), at[1] + radius * math.sin(a)) for a in angles)


def _turned(contours: tuple[Contour, ...], quarters: int) -> tuple[Contour, ...]:
    """Turn clockwise about the middle by quarter turns."""
    for _ in range(quarters):
        contours = tuple(tuple((1 - y, x) for x, y in contour) for contour in contours)
    return contours


_DIRECTIONS = ("up", "right", "down", "left")


def _four_ways(name: str, contours: tuple[Contour, ...]) -> list[Symbol]:
    return [Symbol(f"{name}-{way}", _turned(contours, i)) for i, way in enumerate(_DIRECTIONS)]


def _two_ways(name: str, contours: tuple[Contour, ...]) -> list[Symbol]:
    return [Symbol(f"{name}-{way}", _turned(contours, i)) for i, way in enumerate(("upright", "level"))]


_LOW, _HIGH = _MIDDLE - REACH, _MIDDLE + REACH
_EDGE = 0.32  # half the side of a square mark
_PLUS = (_bar((_LOW, 0.5), (_HIGH, 0.5)), _bar((0.5, _LOW), (0.5, _HIGH)))
_TIMES = (_bar((0.19, 0.19), (0.81, 0.81)), _bar((0.19, 0.81), (0.81, 0.19)))


def _frames() -> list[tuple[str, Contour, tuple[Contour, ...]]]:
    """Return name, filled contour and outline of each closed figure."""

    def box(half: float) -> Contour:
        return _block(0.5 - half, 0.5 - half, 0.5 + half, 0.5 + half)

    thin = 0.09
    return [
        ("disc", _disc(REACH), (_disc(REACH), _hollow(_disc(REACH - thin)))),
        ("square", box(_EDGE), (box(_EDGE), _hollow(box(_EDGE - thin)))),
        ("diamond", _regular(4, REACH), (_regular(4, REACH), _hollow(_regular(4, REACH - thin * 1.414)))),
        (
            "hexagon",
            _regular(6, REACH),
            (_regular(6, REACH), _hollow(_regular(6, REACH - thin * 1.155))),
        ),
    ]


def _framed() -> list[Symbol]:
    """Return closed figures: filled, empty, and with a mark inside."""
    short = 0.24
    marks: dict[str, tuple[Contour, ...]] = {
        "dot": (_disc(0.12),),
        "post": (_bar((0.5, 0.5 - short), (0.5, 0.5 + short), 0.1),),
        "beam": (_bar((0.5 - short, 0.5), (0.5 + short, 0.5), 0.1),),
        "plus": (_bar((0.5 - short, 0.5), (0.5 + short, 0.5), 0.09), _bar((0.5, 0.26), (0.5, 0.74), 0.09)),
    }
    symbols = []
    for name, filled, outline in _frames():
        symbols += [Symbol(name, (filled,)), Symbol(f"{name}-outline", outline)]
        symbols += [Symbol(f"{name}-{mark}", outline + inner) for mark, inner in marks.items()]
        hole = _hollow(_disc(0.15))
        symbols.append(Symbol(f"{name}-pierced", (filled, hole)))
    times = (_bar((0.27, 0.27), (0.73, 0.73), 0.09), _bar((0.27, 0.73), (0.73, 0.27), 0.09))
    symbols.append(Symbol("square-times", _frames()[1][2] + times))
    symbols.append(Symbol("disc-times", _frames()[0][2] + times))
    half = (*_arc(REACH, 0, 180),)
    symbols += _four_ways("disc-half", _turned((*_frames()[0][2], _solid(half)), 3))
    return symbols


def _pointed() -> list[Symbol]:
    """Triangles, chevrons, arrows, hourglasses, stars."""
    triangle = ((0.5, 0.15), (0.87, 0.82), (0.13, 0.82))
    inner = ((0.5, 0.35), (0.725, 0.73), (0.275, 0.73))
    chevron = _line((0.18, 0.66), (0.5, 0.34), (0.82, 0.66), width=0.14)
    double = _line((0.17, 0.55), (0.5, 0.22), (0.83, 0.55), width=0.1) + _line(
        (0.17, 0.82), (0.5, 0.49), (0.83, 0.82), width=0.1
    )
    arrow = (_solid(((0.5, 0.13), (0.84, 0.5), (0.16, 0.5))), _block(0.42, 0.45, 0.58, 0.87))
    kite = (_solid(((0.5, 0.13), (0.82, 0.84), (0.5, 0.66), (0.18, 0.84))),)
    hourglass = (
        _solid(((0.18, 0.15), (0.82, 0.15), (0.5, 0.5))),
        _solid(((0.5, 0.5), (0.82, 0.85), (0.18, 0.85))),
    )
    house = (
        _solid(
            ((0.5, 0.13), (0.85, 0.46), (0.74, 0.46), (0.74, 0.85), (0.26, 0.85), (0.26, 0.46), (0.15, 0.46))
        ),
    )
    symbols = _four_ways("triangle", (_solid(triangle),))
    symbols += _four_ways("triangle-outline", (_solid(triangle), _hollow(inner)))
    symbols += _four_ways("chevron", chevron)
    symbols += _four_ways("double-chevron", double)
    symbols += _four_ways("arrow", arrow)
    symbols += _four_ways("kite", kite)
    symbols += _two_ways("hourglass", hourglass)
    symbols += _four_ways("house", house)
    symbols += [
        Symbol("star-four", (_star(4, REACH, 0.12),)),
        Symbol("star-four-turned", (_star(4, REACH, 0.12, turn=45),)),
        Symbol("star-five", (_star(5, REACH, 0.155),)),
        Symbol("star-six", (_star(6, REACH, 0.19),)),
        Symbol("star-three", (_star(3, REACH, 0.1),)),
        Symbol("star-eight", (_star(8, REACH, 0.22),)),
        Symbol("star-four-pierced", (_star(4, REACH, 0.2), _hollow(_disc(0.11)))),
    ]
    return symbols


def _lined() -> list[Symbol]:
    """Return marks made of straight lines."""
    tee = (_bar((0.15, 0.21), (0.85, 0.21), 0.14), _bar((0.5, 0.2), (0.5, 0.87), 0.14))
    cup = _line((0.2, 0.13), (0.2, 0.8), (0.8, 0.8), (0.8, 0.13), width=0.13)
    comb = (
        *(_bar((x, 0.15), (x, 0.85), 0.11) for x in (0.2, 0.5, 0.8)),
        _bar((0.15, 0.8), (0.85, 0.8), 0.11),
    )
    fork = (*_line((0.19, 0.18), (0.5, 0.5), (0.81, 0.18), width=0.13), _bar((0.5, 0.48), (0.5, 0.87), 0.13))
    pair = (_bar((0.3, 0.14), (0.3, 0.86), 0.15), _bar((0.7, 0.14), (0.7, 0.86), 0.15))
    trio = tuple(_bar((x, 0.14), (x, 0.86), 0.11) for x in (0.2, 0.5, 0.8))
    turns = [math.radians(angle) for angle in (0, 60, 120)]
    ends = [(REACH * math.sin(turn), REACH * math.cos(turn)) for turn in turns]
    spokes = tuple(_bar((0.5 - x, 0.5 + y), (0.5 + x, 0.5 - y), 0.1) for x, y in ends)
    fat_plus = (_block(_LOW, 0.385, _HIGH, 0.615), _block(0.385, _LOW, 0.615, _HIGH))
    fat_times = (_bar((0.21, 0.21), (0.79, 0.79), 0.21), _bar((0.21, 0.79), (0.79, 0.21), 0.21))
    flag = (_bar((0.3, 0.13), (0.3, 0.87)), _solid(((0.3, 0.13), (0.84, 0.34), (0.3, 0.55))))
    bolt = ((0.6, 0.13), (0.2, 0.55), (0.46, 0.55), (0.38, 0.87), (0.8, 0.42), (0.54, 0.42))
    gate = (
        *_two_ways("pair", pair)[0].contours,
        _bar((0.14, 0.32), (0.86, 0.32), 0.1),
        _bar((0.14, 0.68), (0.86, 0.68), 0.1),
    )
    return [
        Symbol("plus", _PLUS),
        Symbol("times", _TIMES),
        Symbol("broad-plus", fat_plus),
        Symbol("broad-times", fat_times),
        Symbol("spokes", spokes),
        Symbol("plus-and-times", _PLUS + _TIMES),
        Symbol("gate", gate),
        *_four_ways("tee", tee)[1:],
        *_four_ways("cup-dot", (*cup, _disc(0.13, at=(0.5, 0.36)))),
        *_four_ways("comb", comb)[::2],
        *_four_ways("fork", fork)[1:],
        Symbol("flag", flag),
        Symbol("bolt", (_solid(bolt),)),
        *_two_ways("pair", pair),
        *_two_ways("trio", trio),
    ]


def _rounded() -> list[Symbol]:
    """Return marks made of discs and arcs."""
    dome = (_solid((*_arc(REACH, -90, 90, at=(0.5, 0.68)),)),)
    bow = (_solid((*_arc(REACH, -90, 90, at=(0.5, 0.66)), *_arc(REACH - 0.14, 90, -90, at=(0.5, 0.66)))),)
    open_ring = (_solid((*_arc(REACH, 50, 310), *_arc(REACH - 0.14, 310, 50))),)
    moon = (_solid((*_arc(REACH, 20, 160), *_arc(0.3, 150, 30, at=(0.36, 0.5)))),)
    drop = (_solid(((0.5, 0.13), *_arc(0.25, 65, 295, at=(0.5, 0.61)))),)
    heart = (
        _solid(((0.5, 0.86), *_arc(0.19, -125, 50, at=(0.32, 0.35)), *_arc(0.19, -50, 125, at=(0.68, 0.35)))),
    )
    corners = [(0.26, 0.26), (0.74, 0.26), (0.26, 0.74), (0.74, 0.74)]
    sides = [(0.5, 0.25), (0.75, 0.5), (0.5, 0.75), (0.25, 0.5)]
    trefoil = (_disc(0.17, at=(0.5, 0.3)), _disc(0.17, at=(0.3, 0.66)), _disc(0.17, at=(0.7, 0.66)))
    bubbles = (_disc(0.15, at=(0.5, 0.28)), _disc(0.15, at=(0.28, 0.7)), _disc(0.15, at=(0.72, 0.7)))
    ring = (_disc(REACH), _hollow(_disc(0.21)))
    return [
        Symbol("ring", ring),
        Symbol("four-dots", tuple(_disc(0.13, at=p) for p in corners)),
        Symbol("four-dots-turned", tuple(_disc(0.12, at=p) for p in sides)),
        Symbol("five-dots", (*(_disc(0.115, at=p) for p in corners), _disc(0.115))),
        Symbol(
            "flower", (*(_disc(0.14, at=(0.5 + (x - 0.5) * 0.9, 0.5 + (y - 0.5) * 0.9)) for x, y in sides),)
        ),
        Symbol("heart", heart),
        Symbol("trefoil", trefoil),
        *_four_ways("dome", dome),
        *_four_ways("bow", bow),
        *_four_ways("open-ring", open_ring)[::2],
        *_four_ways("eye", (*bow, _disc(0.14, at=(0.5, 0.7)))),
        Symbol("target", (*_frames()[0][2], _disc(0.19))),
        Symbol("double-ring", (*_frames()[0][2], _disc(0.2), _hollow(_disc(0.11)))),
        *_four_ways("moon", _turned(moon, 3)),
        *_four_ways("drop", drop),
        *_four_ways("bubbles", bubbles),
    ]


def _pictured() -> list[Symbol]:
    """Return marks put together from two or more figures."""
    boat = (
        _solid(((0.14, 0.62), (0.86, 0.62), (0.7, 0.85), (0.3, 0.85))),
        _solid(((0.52, 0.14), (0.8, 0.54), (0.52, 0.54))),
    )
    third = (0.14, 0.38, 0.62)
    checks = tuple(
        _block(x, y, x + 0.24, y + 0.24)
        for i, y in enumerate(third)
        for j, x in enumerate(third)
        if (i + j) % 2 == 0
    )
    angle = _line((0.2, 0.42), (0.2, 0.2), (0.42, 0.2), width=0.12)
    quarter = ((0.5, 0.5), (0.5, 0.14), (0.8, 0.26))
    lollipop = (_disc(0.21, at=(0.5, 0.34)), _bar((0.5, 0.4), (0.5, 0.87), 0.13))
    mushroom = (_solid(_arc(0.36, -90, 90, at=(0.5, 0.5))), _bar((0.5, 0.48), (0.5, 0.86), 0.18))
    fish = (
        _solid((*_arc(0.34, -50, 50, at=(0.44, 0.68)), *_arc(0.34, 130, 230, at=(0.44, 0.24)))),
        _solid(((0.6, 0.46), (0.86, 0.24), (0.86, 0.68))),
    )
    twin = (
        _solid(((0.5, 0.14), (0.74, 0.46), (0.26, 0.46))),
        _solid(((0.5, 0.54), (0.74, 0.86), (0.26, 0.86))),
    )
    bell = (_solid(((0.4, 0.15), (0.6, 0.15), (0.85, 0.66), (0.15, 0.66))), _disc(0.1, at=(0.5, 0.77)))
    window = tuple(_block(x, y, x + 0.29, y + 0.29) for x in (0.16, 0.55) for y in (0.16, 0.55))
    return [
        Symbol("boat", boat),
        Symbol("checks", checks),
        Symbol("window", window),
        Symbol("corners", tuple(c for i in range(4) for c in _turned(angle, i))),
        Symbol("pinwheel", tuple(c for i in range(4) for c in _turned((_solid(quarter),), i))),
        Symbol("bell", bell),
        *_four_ways("lollipop", lollipop)[1::2],
        *_four_ways("mushroom", mushroom),
        *_two_ways("twin-triangles", twin),
        Symbol("fish", fish),
    ]


CANDIDATES: tuple[Symbol, ...] = (*_framed(), *_lined(), *_pointed(), *_rounded(), *_pictured())
"""Every mark the symbols are chosen from; the order of a thread's symbol is decided in `symbols`."""
