"""Small discs of the drawing as French knots, each at the hole nearest to it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.chart import Knot
from svg2chart.colour import Colour
from svg2chart.dots import Dot
from svg2chart.lines.as_drawn import Knotted
from svg2chart.remarks import Remark, Severity, at_places, square_at

Hole = tuple[float, float]

REACH_SQUARES = 0.75
"""A knot whose nearest holes are taken goes to one no farther from its disc than this. Our choice."""


def with_discs(
    knotted: Knotted, dots: Sequence[Dot], thread_of: Mapping[Colour, int], *, rows: int, columns: int
) -> Knotted:
    """Return the knots with one more for each disc, none at a hole that has one.

    The nearest pairs of disc and hole come first; of two alike that whose hole is nearer to the middle of
    all discs, so that a mirrored drawing decides alike, then the upper disc. Of discs on each other the
    largest is worked.

    Args:
        knotted: the knots that are put by hand.
        dots: in paint order, in squares.
        thread_of: the thread of each of their colours.
        rows: of the chart.
        columns: of the chart.
    """
    remarks = []
    kept = _uppermost(dots)
    for dot, cover in zip(dots, kept, strict=True):
        if cover is not None and cover.colour != dot.colour:
            remarks.append(_remark(dot, "its knot would lie on another one"))
    alone = [dot for dot, cover in zip(dots, kept, strict=True) if cover is None]
    held = _held(alone, {knot.at for knot in knotted.knots}, rows=rows, columns=columns)
    for index, dot in enumerate(alone):
        if index not in held:
            remarks.append(_remark(dot, "no hole is free for its knot"))
    knots = [*knotted.knots, *(Knot(thread=thread_of[alone[i].colour], at=at) for i, at in held.items())]
    return Knotted(
        knots=tuple(sorted(knots, key=lambda knot: (knot.thread, knot.at))),
        remarks=tuple(dict.fromkeys((*knotted.remarks, *remarks))),
    )


def _uppermost(dots: Sequence[Dot]) -> list[Dot | None]:
    """Return for each disc the larger one that its middle lies on, of equals the upper, None for none."""
    order = sorted(range(len(dots)), key=lambda i: (-dots[i].across, -i))
    kept: list[int] = []
    covers: list[Dot | None] = [None] * len(dots)
    for index in order:
        x, y = dots[index].middle
        for other in kept:
            left, top = dots[other].middle
            if (x - left) ** 2 + (y - top) ** 2 < (dots[other].across / 2) ** 2:
                covers[index] = dots[other]
                break
        else:
            kept.append(index)
    return covers


@dataclass(frozen=True, slots=True, order=True)
class _Pair:
    """A disc and a hole near it, in the order in which they are chosen."""

    squared: float
    inwards: float
    above: int
    hole: Hole


def _held(dots: Sequence[Dot], taken: set[Hole], *, rows: int, columns: int) -> dict[int, Hole]:
    """Return the hole of each disc that gets one."""
    if not dots:
        return {}
    places = np.array([dot.middle for dot in dots])
    middle = (places.min(axis=0) + places.max(axis=0)) / 2
    pairs = sorted(
        _Pair(_squared(place, hole), _squared(middle, hole), -index, hole)
        for index, place in enumerate(places)
        for hole in _around(place, rows=rows, columns=columns)
    )
    found: dict[int, Hole] = {}
    used = set(taken)
    for pair in pairs:
        if -pair.above not in found and pair.hole not in used:
            found[-pair.above] = pair.hole
            used.add(pair.hole)
    return dict(sorted(found.items()))


def _around(place: NDArray[np.float64], *, rows: int, columns: int) -> list[Hole]:
    x, y = (int(position) for position in np.floor(place))
    corners = [(float(x + i), float(y + j)) for i in (0, 1) for j in (0, 1)]
    return [
        hole
        for hole in corners
        if 0 <= hole[0] <= columns and 0 <= hole[1] <= rows and _squared(place, hole) < REACH_SQUARES**2
    ]


def _squared(place: NDArray[np.float64], hole: Hole) -> float:
    """Return the squared distance, exact for places on a lattice of 2^-20 within a square."""
    return float((place[0] - hole[0]) ** 2 + (place[1] - hole[1]) ** 2)


def _remark(dot: Dot, what: str) -> Remark:
    what = at_places(what, [square_at(*dot.middle)])
    return Remark(element=dot.element, layer=dot.layer, what=what, severity=Severity.LEFT_OUT)
