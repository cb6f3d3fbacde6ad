"""Gaps closed by the stitches that cost least.

Through each square a way leads from point to point of its rim wherever a candidate ties the two. The cheapest
way from the stitches on one side of a gap to those on the other tells which squares have to tie which points;
then all squares settle again, these with nothing but candidates that do so. What lies above is never parted
for what lies below: where a way would do so the gap stays, and is told.
"""

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.boards import Boards
from svg2chart.arranging.borders import as_bits
from svg2chart.arranging.candidates import Candidates, best_rows
from svg2chart.arranging.descent import descend
from svg2chart.arranging.gaps import Gap, find_gaps
from svg2chart.arranging.patterns import COST_UNIT
from svg2chart.arranging.rims import Rims, ties_of
from svg2chart.octants.areas import VisibleAreas
from svg2chart.runs import distinct

Ints = NDArray[np.int64]

ROUNDS = 3
"""So often gaps are looked for: what settles again may leave others. Our choice, no source."""

MOST_SQUARES, MOST_ENDS = 300, 6
"""Gaps of more are told of and not closed, as a whole net of thin lines is: ways lead between all ends. Our
choice, no source."""

CORNER_COST = 3 * COST_UNIT // 2
"""What it costs a way to pass a corner of squares, where stitches touch at no more than a hole. Our choice,
no source."""

STEP_COST = COST_UNIT >> 20
"""What each step of a way costs besides: of ways that cost nothing the shortest."""

_NEVER = 1 << 60

Ties = Mapping[int, tuple[int, frozenset[int]]]
"""By square, an index into those of the candidates: a colour, and the points that it ties."""


def mend_gaps(
    areas: VisibleAreas, candidates: Candidates, solid: Ints, allowance: Ints, chosen: Ints, fixed: Ints
) -> Ints:
    """Return the arrangement with its gaps closed, as far as candidates can.

    Args:
        areas: what is seen of each colour; the first is bare.
        candidates: of the undecided squares.
        solid: (rows, columns) the colour of the decided squares.
        allowance: (rows + 2, columns + 2) the drawing's own edge around each square, in LENGTH_UNIT.
        chosen: a candidate for each undecided square.
        fixed: which of these squares keep theirs.
    """
    gaps = find_gaps(areas, candidates, solid, chosen)
    problem = (areas, candidates, solid, allowance)
    held = dict(zip(fixed.tolist(), chosen[fixed, None], strict=True))
    stay: set[tuple[int, int]] = set()
    while True:
        mended, parting = _mended(problem, chosen, held, gaps, stay)
        if not parting:
            return mended
        stay |= parting


def _mended(
    problem: tuple[VisibleAreas, Candidates, Ints, Ints],
    chosen: Ints,
    held: dict[int, Ints],
    gaps: list[Gap],
    stay: Set[tuple[int, int]],
) -> tuple[Ints, set[tuple[int, int]]]:
    """Return the arrangement with gaps closed, and colour and square of those that parted what lies above.

    Args:
        problem: areas, candidates, decided squares and edges as for `mend_gaps`.
        chosen: a candidate for each undecided square.
        held: by square, the candidates of those that keep theirs.
        gaps: those of the arrangement.
        stay: colour and square of gaps that stay.
    """
    areas, candidates, solid, allowance = problem
    rims, now = Rims(columns=solid.shape[1]), gaps
    ties: Ties = {}
    tried: list[Gap] = []
    for _ in range(ROUNDS):
        small = [gap for gap in now if _is_small(gap) and stay.isdisjoint(_places(gap))]
        if not small:
            break
        boards = Boards(candidates, solid, allowance, (chosen,))
        before, ties = ties, _with_ways(ties, small, boards, rims, held.keys())
        if ties == before:
            break
        tried += small
        tying = _tying(candidates, ties, rims)
        new = [square for square in tying if ties[square] != before.get(square)]
        _settle_around(boards, new, held | tying)
        moved = np.flatnonzero(boards.chosen != chosen)
        chosen = boards.chosen
        found = find_gaps(areas, candidates, solid, chosen, near=moved)
        seen = {square for gap in found for square in gap.squares} | set(moved.tolist())
        now = [*(gap for gap in now if seen.isdisjoint(gap.squares)), *found]
    were = {place for gap in gaps for place in _places(gap)}
    opened = [gap for gap in now if were.isdisjoint(_places(gap))]
    tied = {(colour, square) for square, (colour, _) in ties.items()}
    return chosen, {
        place
        for gap in tried
        if any(
            above.order > gap.order and tied & _places(gap) & _places(replace(above, colour=gap.colour))
            for above in opened
        )
        for place in _places(gap)
    }


def _places(gap: Gap) -> set[tuple[int, int]]:
    """Return the colour of a gap with each of its squares."""
    return {(gap.colour, square) for square in gap.squares}


def _is_small(gap: Gap) -> bool:
    return len(gap.squares) <= MOST_SQUARES and len(gap.ends) <= MOST_ENDS


def _settle_around(boards: Boards, new: Sequence[int], tying: Mapping[int, Ints]) -> None:
    """Show on a board what ties, and move what lies around until no move pays; what ties goes on doing so."""
    c = boards.candidates
    for square in new:
        entries = tying[square]
        if boards.chosen[square] not in entries:
            best = best_rows(c.owner[entries], c.standing(entries, c.cost[entries]))
            boards.show(np.array([square]), entries[best] if len(best) else entries[:1])
    around = boards.places_near(boards.places_near(np.array(sorted(new), np.int64)))
    is_open = np.zeros(len(c.owner), np.bool_)
    is_open[c.of(around)] = True
    for square, entries in tying.items():
        is_open[c.starts[square] : c.starts[square + 1]] = False
        is_open[entries] = True
    descend(boards, np.flatnonzero(is_open))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Step:
    """What a square costs more than it does now if it ties a point to this one."""

    square: int
    to: int
    length: int


def _with_ways(before: Ties, gaps: list[Gap], boards: Boards, rims: Rims, fixed: Set[int]) -> Ties:
    """Return what squares have to tie to close gaps, too.

    Of colours that want one the uppermost has it, of two that one shape shows that of which more is seen in
    its gap; of two of which as much is seen neither has.
    """
    ties, candidates = dict(before), boards.candidates
    prices = _prices(gaps, boards)
    wanted = _wanted(gaps)
    for gap in sorted(gaps, key=_standing):
        squares = [
            square
            for square in gap.squares
            if square not in fixed
            and ties.get(square, (gap.colour,))[0] == gap.colour
            and wanted[square, _standing(gap)] == {gap.colour}
        ]
        steps = _steps(gap.colour, squares, candidates, prices, rims)
        ends = set(gap.ends)
        while len(ends) > 1:
            ways = _shortest(ends, steps)
            if not ways:
                break  # no candidate ties what would have to be tied
            for (one, other), way in ways.items():
                joined = {end for end in ends if end >= one or end >= other}
                reached = frozenset().union(*way.values(), *joined)
                ends = (ends - joined) | {reached}
                for square, points in way.items():
                    ties[square] = (gap.colour, ties.get(square, (gap.colour, frozenset()))[1] | points)
    return ties


def _standing(gap: Gap) -> tuple[int, int]:
    """Return what is low for gaps that have squares before others."""
    return -gap.order, -gap.area


def _wanted(gaps: list[Gap]) -> Mapping[tuple[int, tuple[int, int]], set[int]]:
    """Return the colours that gaps of one standing have in a square, by square and standing."""
    wanted: dict[tuple[int, tuple[int, int]], set[int]] = {}
    for gap in gaps:
        for square in gap.squares:
            wanted.setdefault((square, _standing(gap)), set()).add(gap.colour)
    return wanted


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Prices:
    """What candidates of some squares would cost more than what is shown there.

    squares: (m,) which, ascending. starts: (m + 1,) where the candidates of each start. shown: (8, n) what
    the octants of each show. more: (n,) what it costs more, at least nothing.
    """

    squares: Ints
    starts: Ints
    shown: Ints
    more: Ints


def _prices(gaps: list[Gap], boards: Boards) -> _Prices:
    candidates = boards.candidates
    squares = distinct([square for gap in gaps for square in gap.squares])
    entries = candidates.of(squares)
    owner = np.searchsorted(squares, candidates.owner[entries])
    around = boards.around(squares)
    now = boards.costs(around, np.arange(len(squares)), boards.chosen[squares])
    return _Prices(
        squares=squares,
        starts=np.searchsorted(owner, np.arange(len(squares) + 1)),
        shown=candidates.shown(entries).T,
        more=np.maximum(boards.costs(around, owner, entries) - now[owner], 0),
    )


def _steps(
    colour: int, squares: list[int], candidates: Candidates, prices: _Prices, rims: Rims
) -> Mapping[int, list[_Step]]:
    """Return the cheapest steps through squares, by the point that they begin at."""
    steps: dict[int, list[_Step]] = {}
    points = rims.around(candidates.squares[squares])
    # each corner counts half for either side
    halves = np.where(np.arange(8) % 2 == 0, CORNER_COST // 2, 0)
    for square, own, at in zip(squares, points, np.searchsorted(prices.squares, squares), strict=True):
        entries = slice(prices.starts[at], prices.starts[at + 1])
        octants = as_bits(np.asarray(prices.shown[:, entries] == colour))
        cost = np.where(ties_of(octants), prices.more[entries, None, None], _NEVER).min(axis=0)
        for one, other in np.argwhere(cost < _NEVER).tolist():
            length = int(cost[one, other] + halves[one] + halves[other]) + STEP_COST
            step = _Step(square=square, to=int(own[other]), length=length)
            steps.setdefault(int(own[one]), []).append(step)
    return steps


def _shortest(
    ends: Set[frozenset[int]], steps: Mapping[int, list[_Step]]
) -> dict[tuple[frozenset[int], frozenset[int]], dict[int, frozenset[int]]]:
    """Return the points that squares tie on the shortest ways between ends, by pair; none where no way leads.

    Of ways of the same length all are taken: a drawing turned or mirrored has its ways so, too.
    """
    distances = {end: _distances(end, steps) for end in ends}
    lengths = {
        (one, other): min(distances[one].get(point, _NEVER) for point in other)
        for one, other in combinations(sorted(ends, key=sorted), 2)
    }
    least = min(lengths.values())
    return {
        (one, other): _between(distances[one], distances[other], least, steps)
        for (one, other), length in lengths.items()
        if length == least < _NEVER
    }


def _between(
    there: Mapping[int, int], back: Mapping[int, int], length: int, steps: Mapping[int, list[_Step]]
) -> dict[int, frozenset[int]]:
    """Return the points that squares tie on all ways of this length."""
    way: dict[int, frozenset[int]] = {}
    for point in there.keys() & back.keys():
        for step in steps.get(point, ()):
            if there[point] + step.length + back.get(step.to, _NEVER) == length:
                way[step.square] = way.get(step.square, frozenset()) | {point, step.to}
    return way


def _distances(ends: frozenset[int], steps: Mapping[int, list[_Step]]) -> dict[int, int]:
    """Return how far each point is from the nearest of the ends.

    Source: E. W. Dijkstra, "A note on two problems in connexion with graphs", 1959.
    """
    heap = [(0, point) for point in sorted(ends)]
    distance = dict.fromkeys(ends, 0)
    while heap:
        so_far, point = heappop(heap)
        if so_far > distance[point]:
            continue
        for step in steps.get(point, ()):
            further = so_far + step.length
            if further < distance.get(step.to, _NEVER):
                distance[step.to] = further
                heappush(heap, (further, step.to))
    return distance


def _tying(candidates: Candidates, ties: Ties, rims: Rims) -> dict[int, Ints]:
    """Return for each square that ties points the candidates that do so."""
    result = {}
    for square, (colour, points) in ties.items():
        entries = candidates.of(np.array([square]))
        shown = candidates.shown(entries).T
        tied = ties_of(as_bits(np.asarray(shown == colour)))
        around = rims.around(candidates.squares[[square]])[0].tolist()
        first, *others = (around.index(point) for point in points)
        those = entries[tied[:, first, others].all(axis=1)]
        if len(those):
            result[square] = those
    return result
