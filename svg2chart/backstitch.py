"""Thin lines to backstitch from hole to hole."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from svg2chart.arranging.patterns import Fractions
from svg2chart.chart import Backstitch
from svg2chart.fit import ThinLine
from svg2chart.lines.edges import HALVES, StitchedEdges
from svg2chart.lines.ground import Ground, Point
from svg2chart.lines.leading import lead_paths
from svg2chart.lines.network import Network, find_network
from svg2chart.lines.walks import Walk, join_walks
from svg2chart.remarks import Remark, Severity, Square, at_places, square_at, square_between

LONGEST = 2
"""How far one backstitch may reach in either direction, in squares; longer ones snag. Sources: how-to pages
give one square, with one or two holes skipped at most."""

COVERS = "covers a backstitch of another colour between the same holes"
"""What is said of a line where it does."""

TOGETHER = "runs between the same holes as another line of its colour: both are one line of stitches"
PIECES_TOGETHER = "pieces of it run between the same holes: they are one line of stitches"
"""What is said of a line, and of one drawn in pieces."""

Segment = tuple[Point, Point]
Led = tuple[int, int, Sequence[Segment]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlined:
    """The backstitch of a chart, by thread and place, and what could not be worked."""

    backstitch: tuple[Backstitch, ...]
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Traced:
    """The network of all thin lines and, for each of its paths, the points (x, y) in half squares."""

    network: Network
    chains: tuple[tuple[Point, ...], ...]


def work_backstitch(
    lines: Sequence[ThinLine],
    threads: Sequence[int],
    *,
    edges: StitchedEdges,
    fractions: Fractions = Fractions.ALL,
    longest: int = LONGEST,
) -> Outlined:
    """Return the backstitch for thin lines; a later line wins the holes that two threads claim.

    Args:
        lines: in paint order, in squares.
        threads: the thread of each line.
        edges: what the stitches show: outlines lie on their edges.
        fractions: where all are used, centres and side middles may be pierced at which edges bend.
        longest: how far one backstitch may reach in either direction, in squares.
    """
    traced = trace_lines(lines, threads, edges=edges, fractions=fractions, longest=longest)
    worked, remarks = _settle(lines, threads, traced)
    ordered = sorted((thread, segment) for segment, thread in worked.items())
    return Outlined(
        backstitch=tuple(
            Backstitch(thread=thread, start=_hole(start), end=_hole(end)) for thread, (start, end) in ordered
        ),
        remarks=tuple(dict.fromkeys((*_too_short(lines, traced), *remarks, *_faint(lines, traced)))),
    )


def trace_lines(
    lines: Sequence[ThinLine],
    threads: Sequence[int],
    *,
    edges: StitchedEdges,
    fractions: Fractions = Fractions.ALL,
    longest: int = LONGEST,
) -> Traced:
    """Return the thin lines as a network and the way that each of its paths takes."""
    chains = [chain for line in lines for chain in line.lines.chains()]
    owner = _owners(lines)
    walks = [
        Walk(points=points, closed=closed, thread=threads[line], order=line, pieces=(piece,))
        for piece, ((points, closed), line) in enumerate(zip(chains, owner, strict=True))
    ]
    network = find_network(join_walks(walks))
    ground = Ground.of(
        edges,
        np.concatenate([np.zeros((0, 2)), *(points for points, _ in chains)]),
        longest=longest,
        pierced=edges.bent() if fractions is Fractions.ALL else None,
    )
    return Traced(network=network, chains=tuple(map(tuple, lead_paths(network, ground))))


def _owners(lines: Sequence[ThinLine]) -> list[int]:
    """Return the line of each piece of line."""
    return [index for index, line in enumerate(lines) for _ in line.lines.closed]


def _settle(
    lines: Sequence[ThinLine], threads: Sequence[int], traced: Traced
) -> tuple[dict[Segment, int], list[Remark]]:
    """Return the thread of each segment, and remarks on lines that cover another colour, or fall together."""
    paths = sorted(zip(traced.network.paths, traced.chains, strict=True), key=lambda led: led[0].order)
    pierced = {point for _, chain in paths for point in chain if point[0] % HALVES or point[1] % HALVES}
    worked: dict[Segment, int] = {}
    covering: dict[int, set[Square]] = {}
    for each in traced.network.doubled:
        if each.thread != each.upper_thread:
            covering.setdefault(each.upper, set()).add(square_at(*each.at))
    led = [(path.order, path.thread, _segments(chain, pierced)) for path, chain in paths]
    for line, thread, segments in led:
        for segment in segments:
            if worked.get(segment, thread) != thread:
                covering.setdefault(line, set()).add(square_between(*map(_hole, segment)))
            worked[segment] = thread
    remarks = [
        _remark(lines[line], at_places(COVERS, covering[line]), Severity.SIMPLIFIED)
        for line in sorted(covering)
    ]
    return worked, remarks + _fallen_together(lines, led, [path.pieces[0] for path, _ in paths])


def _fallen_together(lines: Sequence[ThinLine], led: Sequence[Led], pieces: Sequence[int]) -> list[Remark]:
    """Return a remark for each line that falls together with another one, or of which pieces do.

    Args:
        lines: all lines.
        led: the line that each path belongs to, its thread and its segments.
        pieces: the piece of a line that each path belongs to.
    """
    owners, of_lines = _owners(lines), {line: {at} for line, at in _together(led).items()}
    of_pieces = dict[int, set[Square]]()
    for piece, at in _together([(piece, *each[1:]) for piece, each in zip(pieces, led, strict=True)]).items():
        if owners[piece] not in of_lines:
            of_pieces.setdefault(owners[piece], set()).add(at)
    told = ((of_lines, TOGETHER), (of_pieces, PIECES_TOGETHER))
    return [
        _remark(lines[line], at_places(what, places), Severity.SIMPLIFIED)
        for found, what in told
        for line, places in sorted(found.items())
    ]


def _together(led: Sequence[Led]) -> dict[int, Square]:
    """Return the lines of which more than half falls together with others of their thread, and where."""
    lines_at: dict[tuple[int, Segment], set[int]] = {}
    for line, thread, segments in led:
        for segment in segments:
            lines_at.setdefault((thread, segment), set()).add(line)
    own, shared = Counter[int](), dict[int, list[Segment]]()
    for (_, segment), at in lines_at.items():
        own.update(at)
        for line in at if len(at) > 1 else ():
            shared.setdefault(line, []).append(segment)
    return {
        line: min(square_between(*map(_hole, segment)) for segment in segments)
        for line, segments in shared.items()
        if 2 * len(segments) > own[line]
    }


def _segments(chain: Sequence[Point], pierced: set[Point]) -> list[Segment]:
    return [segment for start, end in pairwise(chain) for segment in _parts(start, end, pierced)]


def _parts(start: Point, end: Point, pierced: set[Point]) -> list[Segment]:
    """Return a segment from its upper or left end, in two where its middle is pierced by another."""
    middle = ((start[0] + end[0]) // 2, (start[1] + end[1]) // 2)
    is_point = (start[0] + end[0]) % 2 == 0 == (start[1] + end[1]) % 2
    ends = [start, middle, end] if is_point and middle in pierced else [start, end]
    return [(a, b) if (a[1], a[0]) < (b[1], b[0]) else (b, a) for a, b in pairwise(ends)]


def _too_short(lines: Sequence[ThinLine], traced: Traced) -> list[Remark]:
    """Return a remark for each line of which some piece gets no stitch."""
    shown = {piece for each in traced.network.doubled for piece in each.pieces}
    for path, chain in zip(traced.network.paths, traced.chains, strict=True):
        shown |= set(path.pieces) if len(chain) > 1 else set()
    places = [square_at(*points.mean(axis=0)) for line in lines for points, _ in line.lines.chains()]
    owners = _owners(lines)
    remarks = []
    for index, line in enumerate(lines):
        own = [piece for piece, owner in enumerate(owners) if owner == index]
        short = [piece for piece in own if piece not in shown]
        if short:
            verb = "is" if len(short) == 1 else "are"
            pieces = "" if len(own) == 1 else f"{len(short)} of its {len(own)} pieces {verb} "
            what = f"{pieces}too short to run from one hole to another"
            remarks.append(_remark(line, at_places(what, map(places.__getitem__, short)), Severity.LEFT_OUT))
    return remarks


def _faint(lines: Sequence[ThinLine], traced: Traced) -> list[Remark]:
    """Return a remark for each half-transparent line that is worked."""
    owners = _owners(lines)
    led = zip(traced.network.paths, traced.chains, strict=True)
    worked = {owners[piece] for path, chain in led for piece in path.pieces if len(chain) > 1}
    what = "half-transparent thin line, worked in its own colour"
    return [
        _remark(line, what, Severity.SIMPLIFIED)
        for index, line in enumerate(lines)
        if index in worked and line.opacity < 1.0
    ]


def _hole(point: Point) -> tuple[float, float]:
    return point[0] / HALVES, point[1] / HALVES


def _remark(line: ThinLine, what: str, severity: Severity) -> Remark:
    return Remark(element=line.element, layer=line.layer, what=what, severity=severity)
