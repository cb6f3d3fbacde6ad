"""Backstitch and knots that a drawing gives by hand: at the holes where they are drawn."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from svg2chart.artwork import StitchAs
from svg2chart.backstitch import COVERS, Outlined
from svg2chart.chart import Backstitch, Knot
from svg2chart.colour import Colour
from svg2chart.dots import Dot
from svg2chart.fit import ThinLine
from svg2chart.offsquares import told_off, told_scattered
from svg2chart.remarks import Remark, Severity, Square, at_places, square_at, square_between

NEAR_MIDDLE = 0.125
"""Within so many squares, in both directions, of a square's centre or a side's middle it is meant."""

_SEVERAL = 2
_SAME_WAY = 1 / 64
"""Points lie off the holes by the same if they differ by no more squares: editors round what they save."""

Hole = tuple[float, float]


def hole_at(x: float, y: float) -> Hole:
    """Return the hole meant by a point: the nearest, or the centre or side middle that is as good as there.

    >>> hole_at(2.3, 4.8), hole_at(2.45, 4.9)
    ((2.0, 5.0), (2.5, 5.0))
    """
    halves = round(2 * x) / 2 + 0.0, round(2 * y) / 2 + 0.0
    if abs(halves[0] - x) <= NEAR_MIDDLE and abs(halves[1] - y) <= NEAR_MIDDLE:
        return halves
    return round(x) + 0.0, round(y) + 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Knotted:
    """The knots of a chart, by thread and place, and what could not be worked."""

    knots: tuple[Knot, ...]
    remarks: tuple[Remark, ...]


def with_lines_as_drawn(
    outlined: Outlined, lines: Sequence[ThinLine], thread_of: Mapping[Colour, int]
) -> Outlined:
    """Return the backstitch with one more for each straight piece of the lines that are told to be as drawn.

    They win the holes that other backstitch would run between, and later ones those of earlier ones.
    """
    worked = {(line.start, line.end): line.thread for line in outlined.backstitch}
    remarks = []
    for line in lines:
        short, covered = set[Square](), set[Square]()
        for start, end in _pieces(line):
            if start == end:
                short.add(square_at(*start))
                continue
            ends = (start, end) if start[::-1] < end[::-1] else (end, start)
            thread = thread_of[line.colour]
            if worked.get(ends, thread) != thread:
                covered.add(square_between(*ends))
            worked[ends] = thread
        if covered:
            remarks.append(_remark(line, at_places(COVERS, covered), Severity.SIMPLIFIED))
        if short:
            what = at_places("too short to run from one hole to another", short)
            remarks.append(_remark(line, what, Severity.LEFT_OUT))
        off = _off_holes(line)
        if off:
            remarks.append(_remark(line, off, Severity.GUESSED))
    ordered = sorted((thread, ends) for ends, thread in worked.items())
    return Outlined(
        backstitch=tuple(Backstitch(thread=thread, start=start, end=end) for thread, (start, end) in ordered),
        remarks=tuple(dict.fromkeys((*outlined.remarks, *remarks))),
    )


def _pieces(line: ThinLine) -> Iterator[tuple[Hole, Hole]]:
    """Yield the ends of each straight piece of a line that is told to be as drawn."""
    if line.stitch_as is StitchAs.BACKSTITCH_AS_DRAWN:
        for points, closed in line.lines.chains():
            holes = [hole_at(float(x), float(y)) for x, y in points]
            yield from pairwise([*holes, holes[0]] if closed else holes)


def _off_holes(line: ThinLine) -> str:
    """Return what is said of several lines in one element that lie off the holes; else "".

    A letter of backstitch is such. One line by itself may be meant to run between the middles of squares.
    """
    pieces = list(_pieces(line))
    if len(pieces) < _SEVERAL:
        return ""
    points = np.concatenate([held for held, _ in line.lines.chains()])
    apart = points - points[0]
    if np.abs(apart - np.round(apart)).max() > _SAME_WAY:
        far = max(
            abs(at - to) for point in points.tolist() for at, to in zip(point, hole_at(*point), strict=True)
        )
        return told_scattered(far) if far > NEAR_MIDDLE else ""
    way = (np.round(points[0]) - points[0]).tolist()
    if all(abs(far) <= NEAR_MIDDLE for far in way):
        return ""
    is_between = any(at % 1 for at in pieces[0][0])
    how = "between the middles of squares or of their sides" if is_between else "at the nearest holes"
    return told_off(way, of="holes", how=how, near=NEAR_MIDDLE)


def knots_as_drawn(dots: Sequence[Dot], thread_of: Mapping[Colour, int]) -> Knotted:
    """Return the knots of the dots, at the holes that they mean; of several at one hole the last stays.

    Args:
        dots: in paint order, in squares.
        thread_of: the thread of each of their colours.
    """
    worked: dict[Hole, Dot] = {}
    remarks = []
    for dot in dots:
        at = hole_at(*dot.middle)
        if at in worked and worked[at].colour != dot.colour:
            what = at_places("its knot would share a hole with a later one", [square_at(*at)])
            remarks.append(_remark(worked[at], what, Severity.LEFT_OUT))
        worked[at] = dot
    ordered = sorted((thread_of[dot.colour], at) for at, dot in worked.items())
    return Knotted(
        knots=tuple(Knot(thread=thread, at=at) for thread, at in ordered),
        remarks=tuple(dict.fromkeys(remarks)),
    )


def _remark(mark: ThinLine | Dot, what: str, severity: Severity) -> Remark:
    return Remark(element=mark.element, layer=mark.layer, what=what, severity=severity)
