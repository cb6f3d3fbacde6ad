"""Candidate marks for the symbols: plain geometry in a unit square, drawn for this package.

Marks that a chart already
uses for something else are not among them: corner triangles, quarter and half
blocks and half-diagonal squares (fractions), single bars and slashes (backstitch).
Nor are marks that read as a Latin letter, which would be taken for the thread's own.
"""

import math

from svg2chart.symbol_drawing import (
    REACH,
    Contour,
    Symbol,
    arc,
    bar,
    block,
    disc,
    four_ways,
    hollow,
    line,
    regular,
    solid,
    star,
    turned,
    two_ways,
)
from svg2chart.symbol_figures import FIGURES

_LOW, _HIGH = 0.5 - REACH, 0.5 + REACH
_EDGE = 0.32  # half the side of a square mark
_PLUS = (bar((_LOW, 0.5), (_HIGH, 0.5)), bar((0.5, _LOW), (0.5, _HIGH)))
_TIMES = (bar((0.19, 0.19), (0.81, 0.81)), bar((0.19, 0.81), (0.81, 0.19)))


def _frames() -> list[tuple[str, Contour, tuple[Contour, ...]]]:
    """Return name, filled contour and outline of each closed figure."""

    def box(half: float) -> Contour:
        return block(0.5 - half, 0.5 - half, 0.5 + half, 0.5 + half)

    thin = 0.09
    return [
        ("disc", disc(REACH), (disc(REACH), hollow(disc(REACH - thin)))),
        ("square", box(_EDGE), (box(_EDGE), hollow(box(_EDGE - thin)))),
        ("diamond", regular(4, REACH), (regular(4, REACH), hollow(regular(4, REACH - thin * 1.414)))),
        (
            "hexagon",
            regular(6, REACH),
            (regular(6, REACH), hollow(regular(6, REACH - thin * 1.155))),
        ),
    ]


def _framed() -> list[Symbol]:
    """Return closed figures: filled, empty, and with a mark inside."""
    short = 0.24
    marks: dict[str, tuple[Contour, ...]] = {
        "dot": (disc(0.12),),
        "post": (bar((0.5, 0.5 - short), (0.5, 0.5 + short), 0.1),),
        "beam": (bar((0.5 - short, 0.5), (0.5 + short, 0.5), 0.1),),
        "plus": (bar((0.5 - short, 0.5), (0.5 + short, 0.5), 0.09), bar((0.5, 0.26), (0.5, 0.74), 0.09)),
    }
    symbols = []
    for name, filled, outline in _frames():
        symbols += [Symbol(name, (filled,)), Symbol(f"{name}-outline", outline)]
        symbols += [Symbol(f"{name}-{mark}", outline + inner) for mark, inner in marks.items()]
        hole = hollow(disc(0.15))
        symbols.append(Symbol(f"{name}-pierced", (filled, hole)))
    times = (bar((0.27, 0.27), (0.73, 0.73), 0.09), bar((0.27, 0.73), (0.73, 0.27), 0.09))
    symbols.append(Symbol("square-times", _frames()[1][2] + times))
    symbols.append(Symbol("disc-times", _frames()[0][2] + times))
    half = (*arc(REACH, 0, 180),)
    symbols += four_ways("disc-half", turned((*_frames()[0][2], solid(half)), 3))
    return symbols


def _pointed() -> list[Symbol]:
    """Triangles, chevrons, arrows, hourglasses, stars."""
    triangle = ((0.5, 0.15), (0.87, 0.82), (0.13, 0.82))
    inner = ((0.5, 0.35), (0.725, 0.73), (0.275, 0.73))
    chevron = line((0.18, 0.66), (0.5, 0.34), (0.82, 0.66), width=0.14)
    double = line((0.17, 0.55), (0.5, 0.22), (0.83, 0.55), width=0.1) + line(
        (0.17, 0.82), (0.5, 0.49), (0.83, 0.82), width=0.1
    )
    arrow = (solid(((0.5, 0.13), (0.84, 0.5), (0.16, 0.5))), block(0.42, 0.45, 0.58, 0.87))
    kite = (solid(((0.5, 0.13), (0.82, 0.84), (0.5, 0.66), (0.18, 0.84))),)
    hourglass = (
        solid(((0.18, 0.15), (0.82, 0.15), (0.5, 0.5))),
        solid(((0.5, 0.5), (0.82, 0.85), (0.18, 0.85))),
    )
    house = (
        solid(
            ((0.5, 0.13), (0.85, 0.46), (0.74, 0.46), (0.74, 0.85), (0.26, 0.85), (0.26, 0.46), (0.15, 0.46))
        ),
    )
    symbols = four_ways("triangle", (solid(triangle),))
    symbols += four_ways("triangle-outline", (solid(triangle), hollow(inner)))
    symbols += four_ways("chevron", chevron)
    symbols += four_ways("double-chevron", double)
    symbols += four_ways("arrow", arrow)
    symbols += four_ways("kite", kite)
    symbols += two_ways("hourglass", hourglass)
    symbols += four_ways("house", house)
    symbols += [
        Symbol("star-four", (star(4, REACH, 0.12),)),
        Symbol("star-four-turned", (star(4, REACH, 0.12, turn=45),)),
        Symbol("star-five", (star(5, REACH, 0.155),)),
        Symbol("star-six", (star(6, REACH, 0.19),)),
        Symbol("star-three", (star(3, REACH, 0.1),)),
        Symbol("star-eight", (star(8, REACH, 0.22),)),
        Symbol("star-four-pierced", (star(4, REACH, 0.2), hollow(disc(0.11)))),
    ]
    return symbols


def _lined() -> list[Symbol]:
    """Return marks made of straight lines."""
    tee = (bar((0.15, 0.21), (0.85, 0.21), 0.14), bar((0.5, 0.2), (0.5, 0.87), 0.14))
    cup = line((0.2, 0.13), (0.2, 0.8), (0.8, 0.8), (0.8, 0.13), width=0.13)
    comb = (
        *(bar((x, 0.15), (x, 0.85), 0.11) for x in (0.2, 0.5, 0.8)),
        bar((0.15, 0.8), (0.85, 0.8), 0.11),
    )
    fork = (*line((0.19, 0.18), (0.5, 0.5), (0.81, 0.18), width=0.13), bar((0.5, 0.48), (0.5, 0.87), 0.13))
    pair = (bar((0.3, 0.14), (0.3, 0.86), 0.15), bar((0.7, 0.14), (0.7, 0.86), 0.15))
    trio = tuple(bar((x, 0.14), (x, 0.86), 0.11) for x in (0.2, 0.5, 0.8))
    turns = [math.radians(angle) for angle in (0, 60, 120)]
    ends = [(REACH * math.sin(turn), REACH * math.cos(turn)) for turn in turns]
    spokes = tuple(bar((0.5 - x, 0.5 + y), (0.5 + x, 0.5 - y), 0.1) for x, y in ends)
    fat_plus = (block(_LOW, 0.385, _HIGH, 0.615), block(0.385, _LOW, 0.615, _HIGH))
    fat_times = (bar((0.21, 0.21), (0.79, 0.79), 0.21), bar((0.21, 0.79), (0.79, 0.21), 0.21))
    flag = (bar((0.3, 0.13), (0.3, 0.87)), solid(((0.3, 0.13), (0.84, 0.34), (0.3, 0.55))))
    bolt = ((0.6, 0.13), (0.2, 0.55), (0.46, 0.55), (0.38, 0.87), (0.8, 0.42), (0.54, 0.42))
    gate = (
        *two_ways("pair", pair)[0].contours,
        bar((0.14, 0.32), (0.86, 0.32), 0.1),
        bar((0.14, 0.68), (0.86, 0.68), 0.1),
    )
    return [
        Symbol("plus", _PLUS),
        Symbol("times", _TIMES),
        Symbol("broad-plus", fat_plus),
        Symbol("broad-times", fat_times),
        Symbol("spokes", spokes),
        Symbol("plus-and-times", _PLUS + _TIMES),
        Symbol("gate", gate),
        *four_ways("tee", tee)[1:],
        *four_ways("cup-dot", (*cup, disc(0.13, at=(0.5, 0.36)))),
        *four_ways("comb", comb)[::2],
        *four_ways("fork", fork)[1:],
        Symbol("flag", flag),
        Symbol("bolt", (solid(bolt),)),
        *two_ways("pair", pair),
        *two_ways("trio", trio),
    ]


def _rounded() -> list[Symbol]:
    """Return marks made of discs and arcs."""
    dome = (solid((*arc(REACH, -90, 90, at=(0.5, 0.68)),)),)
    bow = (solid((*arc(REACH, -90, 90, at=(0.5, 0.66)), *arc(REACH - 0.14, 90, -90, at=(0.5, 0.66)))),)
    open_ring = (solid((*arc(REACH, 50, 310), *arc(REACH - 0.14, 310, 50))),)
    moon = (solid((*arc(REACH, 20, 160), *arc(0.3, 150, 30, at=(0.36, 0.5)))),)
    drop = (solid(((0.5, 0.13), *arc(0.25, 65, 295, at=(0.5, 0.61)))),)
    heart = (
        solid(((0.5, 0.86), *arc(0.19, -125, 50, at=(0.32, 0.35)), *arc(0.19, -50, 125, at=(0.68, 0.35)))),
    )
    corners = [(0.26, 0.26), (0.74, 0.26), (0.26, 0.74), (0.74, 0.74)]
    sides = [(0.5, 0.25), (0.75, 0.5), (0.5, 0.75), (0.25, 0.5)]
    trefoil = (disc(0.17, at=(0.5, 0.3)), disc(0.17, at=(0.3, 0.66)), disc(0.17, at=(0.7, 0.66)))
    bubbles = (disc(0.15, at=(0.5, 0.28)), disc(0.15, at=(0.28, 0.7)), disc(0.15, at=(0.72, 0.7)))
    ring = (disc(REACH), hollow(disc(0.21)))
    return [
        Symbol("ring", ring),
        Symbol("four-dots", tuple(disc(0.13, at=p) for p in corners)),
        Symbol("four-dots-turned", tuple(disc(0.12, at=p) for p in sides)),
        Symbol("five-dots", (*(disc(0.115, at=p) for p in corners), disc(0.115))),
        Symbol(
            "flower", (*(disc(0.14, at=(0.5 + (x - 0.5) * 0.9, 0.5 + (y - 0.5) * 0.9)) for x, y in sides),)
        ),
        Symbol("heart", heart),
        Symbol("trefoil", trefoil),
        *four_ways("dome", dome),
        *four_ways("bow", bow),
        *four_ways("open-ring", open_ring)[::2],
        *four_ways("eye", (*bow, disc(0.14, at=(0.5, 0.7)))),
        Symbol("target", (*_frames()[0][2], disc(0.19))),
        Symbol("double-ring", (*_frames()[0][2], disc(0.2), hollow(disc(0.11)))),
        *four_ways("moon", turned(moon, 3)),
        *four_ways("drop", drop),
        *four_ways("bubbles", bubbles),
    ]


def _pictured() -> list[Symbol]:
    """Return marks put together from two or more figures."""
    boat = (
        solid(((0.14, 0.62), (0.86, 0.62), (0.7, 0.85), (0.3, 0.85))),
        solid(((0.52, 0.14), (0.8, 0.54), (0.52, 0.54))),
    )
    third = (0.14, 0.38, 0.62)
    checks = tuple(
        block(x, y, x + 0.24, y + 0.24)
        for i, y in enumerate(third)
        for j, x in enumerate(third)
        if (i + j) % 2 == 0
    )
    angle = line((0.2, 0.42), (0.2, 0.2), (0.42, 0.2), width=0.12)
    quarter = ((0.5, 0.5), (0.5, 0.14), (0.8, 0.26))
    lollipop = (disc(0.21, at=(0.5, 0.34)), bar((0.5, 0.4), (0.5, 0.87), 0.13))
    mushroom = (solid(arc(0.36, -90, 90, at=(0.5, 0.5))), bar((0.5, 0.48), (0.5, 0.86), 0.18))
    fish = (
        solid((*arc(0.34, -50, 50, at=(0.44, 0.68)), *arc(0.34, 130, 230, at=(0.44, 0.24)))),
        solid(((0.6, 0.46), (0.86, 0.24), (0.86, 0.68))),
    )
    twin = (
        solid(((0.5, 0.14), (0.74, 0.46), (0.26, 0.46))),
        solid(((0.5, 0.54), (0.74, 0.86), (0.26, 0.86))),
    )
    bell = (solid(((0.4, 0.15), (0.6, 0.15), (0.85, 0.66), (0.15, 0.66))), disc(0.1, at=(0.5, 0.77)))
    window = tuple(block(x, y, x + 0.29, y + 0.29) for x in (0.16, 0.55) for y in (0.16, 0.55))
    return [
        Symbol("boat", boat),
        Symbol("checks", checks),
        Symbol("window", window),
        Symbol("corners", tuple(c for i in range(4) for c in turned(angle, i))),
        Symbol("pinwheel", tuple(c for i in range(4) for c in turned((solid(quarter),), i))),
        Symbol("bell", bell),
        *four_ways("lollipop", lollipop)[1::2],
        *four_ways("mushroom", mushroom),
        *two_ways("twin-triangles", twin),
        Symbol("fish", fish),
    ]


CANDIDATES: tuple[Symbol, ...] = (
    *_framed(),
    *_lined(),
    *_pointed(),
    *_rounded(),
    *_pictured(),
    *FIGURES,
)
"""Every mark the symbols are chosen from; the order of a thread's symbol is decided in `symbols`."""
