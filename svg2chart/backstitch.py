"""Thin lines to backstitch from hole to hole."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from svg2chart.chart import Backstitch
from svg2chart.fit import ThinLine
from svg2chart.lines.holes import Hole, Pinned, pin_chains
from svg2chart.lines.tracing import trace
from svg2chart.remarks import Remark, Severity

LONGEST = 2
"""How far one backstitch may reach in either direction, in squares; longer ones snag. Sources: how-to pages
give one square, with one or two holes skipped at most."""

Segment = tuple[Hole, Hole]


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlined:
    """The backstitch of a chart, by thread and place, and what could not be worked."""

    backstitch: tuple[Backstitch, ...]
    remarks: tuple[Remark, ...]


def work_backstitch(lines: Sequence[ThinLine], threads: Sequence[int]) -> Outlined:
    """Return the backstitch for thin lines; a later line wins the holes that two threads claim.

    Args:
        lines: in paint order, in squares.
        threads: the thread of each line.
    """
    chains = [chain for line in lines for chain in line.lines.chains()]
    owner = np.repeat(np.arange(len(lines)), [len(line.lines.closed) for line in lines])
    pinned = pin_chains(chains)
    worked: dict[Segment, int] = {}
    remarks: list[Remark] = []
    for index, line in enumerate(lines):
        own = [chain_segments(pinned[i]) for i in np.flatnonzero(owner == index)]
        segments = sorted({segment for chain in own for segment in chain})
        short = sum(not chain for chain in own)
        if short:
            verb = "is" if short == 1 else "are"
            pieces = "" if len(own) == 1 else f"{short} of its {len(own)} pieces {verb} "
            what = f"{pieces}too short to run from one hole to another"
            remarks.append(_remark(line, what, Severity.LEFT_OUT))
        if line.opacity < 1.0 and segments:
            what = "half-transparent thin line, worked in its own colour"
            remarks.append(_remark(line, what, Severity.SIMPLIFIED))
        for segment in segments:
            if worked.get(segment, threads[index]) != threads[index]:
                what = "covers a backstitch of another colour between the same holes"
                remarks.append(_remark(line, what, Severity.SIMPLIFIED))
            worked[segment] = threads[index]
    ordered = sorted((thread, segment) for segment, thread in worked.items())
    return Outlined(
        backstitch=tuple(Backstitch(thread=thread, start=start, end=end) for thread, (start, end) in ordered),
        remarks=tuple(dict.fromkeys(remarks)),
    )


def chain_segments(chain: Pinned) -> list[Segment]:
    """Return the segments of one chain, each from its upper or left end; several may be the same."""
    segments: list[Segment] = []
    for (first, last), (start, end) in zip(pairwise(chain.at), pairwise(chain.holes), strict=True):
        segments += _stretch(chain.points[first : last + 1], start, end)
    if chain.at and (chain.at[0], chain.at[-1]) != (0, len(chain.points) - 1):
        # a closed line goes on over the point where it was drawn from
        rest = np.vstack([chain.points[chain.at[-1] :], chain.points[1 : chain.at[0] + 1]])
        segments += _stretch(rest, chain.holes[-1], chain.holes[0])
    return segments


def _stretch(points: NDArray[np.float64], start: Hole, end: Hole) -> list[Segment]:
    """Return the segments along a stretch; the same whichever way it was drawn."""
    onwards = (start[1], start[0], *points[:2].ravel())
    backwards = (end[1], end[0], *points[:-3:-1].ravel())
    if backwards < onwards:
        points, start, end = points[::-1], end, start
    if start == end and np.hypot(*(points - start).T).max() < 1.0:
        return []  # it does not get as far as the next hole
    holes = trace(points, start, end, longest=LONGEST)
    return [_upright(a, b) for a, b in pairwise(holes)]


def _upright(start: Hole, end: Hole) -> Segment:
    return (start, end) if (start[1], start[0]) < (end[1], end[0]) else (end, start)


def _remark(line: ThinLine, what: str, severity: Severity) -> Remark:
    return Remark(element=line.element, layer=line.layer, what=what, severity=severity)
