"""Where the stitches of one colour come apart though the drawing holds together there.

An octant is unmade where the drawing shows a colour in more than a third of it, over all others that do, and
the stitches show another.
Unmade octants of a colour that are tied together, and touch its stitches in two places that are not tied
in the squares up to two away, are a gap: a rope of .9 squares that runs half in one row and half in the
next. So is an end of at least a square that lies away from all its stitches: they stop short of it.
A strip of half a square along the middle of a row shows too little in the octants above and below the middles
of its squares: what runs through the middle of a square holds together there, too.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import BESIDE, FACES, Bytes, as_bits, rows_as_bits, window_steps
from svg2chart.arranging.candidates import AREA_UNIT, Candidates
from svg2chart.arranging.rims import BEYOND, POINTS_OF, Rims, as_flags
from svg2chart.arranging.unmade import Unmade, may_part, shown_octants
from svg2chart.octants.areas import VisibleAreas
from svg2chart.octants.stacks import BARE
from svg2chart.runs import begins, distinct, in_order, linked, numbered

Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

LEAST_SHOWN = 0.34 / 8
"""An octant shows a colour that covers more than this of a square, a third of the octant. Like the next value
it is no round number: what art on a lattice shows lies well on one side. Our choice, no source."""

LEAST_CROSSING = 0.005
"""What runs through the middle of a square covers so much of it in each octant. Our choice, no source."""

LEAST_END = 0.99
"""An end of a shape that shows so many squares away from its stitches is a gap. Our choice, no source."""

LEAST_SLIT = 0.45
"""What shows in a narrower strip, in squares, between things that lie over it may come apart: one sees that
those are two by their colours, and a stitcher cuts no column off either. Our choice, no source."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Gap:
    """Where stitches of a colour come apart, or stop short.

    colour: an index into the areas' colours. order: paint order of the uppermost shape that shows it there.
    area: how much of it is seen in the squares between, in AREA_UNIT.
    squares: the squares between, as indices into those of the candidates, in order.
    ends: what is to be tied together, each a set of points by number (see `Rims`): first what stitches reach.
    """

    colour: int
    order: int
    area: int
    squares: tuple[int, ...]
    ends: tuple[frozenset[int], ...]


def find_gaps(
    areas: VisibleAreas, candidates: Candidates, solid: Ints, chosen: Ints, *, near: Ints | None = None
) -> list[Gap]:
    """Return where stitches of one colour come apart or stop short, by square.

    Args:
        areas: what is seen of each colour; the first is bare.
        candidates: of the undecided squares.
        solid: (rows, columns) the colour of the decided squares.
        chosen: a candidate for each undecided square.
        near: looks around these of the undecided squares, or everywhere.
    """
    rims = Rims(columns=solid.shape[1])
    among = np.arange(len(areas.square)) if near is None else _around(areas, candidates, near, rims)
    made = candidates.made(areas, chosen, among)
    seen = rows_as_bits(areas.octants > LEAST_SHOWN)[among]
    bits = _uppermost(areas.square[among], areas.order[among], seen) & ~made
    bits[areas.colour[among] == BARE] = 0
    some = np.flatnonzero(bits)
    crossing = _crossing(areas, among[some], as_flags(seen[some]))
    unmade = Unmade(entries=among[some], unmade=bits[some], made=made[some], crossing=crossing)
    shown = shown_octants(candidates, solid, chosen)
    unmade = unmade.at(may_part(areas, shown, unmade, rims, least=LEAST_END))
    if not len(unmade.entries):
        return []
    made_near, is_far = _stitches_near(areas, shown, unmade.entries, rims)
    colours = len(areas.colours)
    index, ties = _ties(areas, unmade, rims)
    entry = unmade.entries[index]
    held = rims.tied(made_near.square, made_near.octant) * colours + made_near.colour
    keys, index = numbered(np.concatenate([ties, held], axis=1).ravel())
    index = index.reshape(2, -1)
    tied = _tied(keys // colours, index[:, : len(entry)], index[:, len(entry) :])
    tails = _tails(areas, tied, entry, is_far, rims)
    is_lowest = _are_lowest(areas)
    gaps = []
    for part in distinct(np.concatenate([tied.parted(), list(tails)])).tolist():
        those = distinct(entry[tied.part[tied.unmade[0]] == part])
        if not is_lowest[those].all() or _wide(areas, those, rims) >= LEAST_SLIT:
            gaps.append(_gap(areas, candidates, those, (*tied.ends(part), *tails.get(part, ()))))
    return sorted(gaps, key=lambda gap: gap.squares)


def _gap(areas: VisibleAreas, candidates: Candidates, entries: Ints, ends: tuple[frozenset[int], ...]) -> Gap:
    """Return the gap of entries of one colour between some ends."""
    squares = np.searchsorted(candidates.squares, areas.square[entries])
    return Gap(
        colour=int(areas.colour[entries[0]]),
        order=int(areas.order[entries].max()),
        area=int(np.rint(areas.octants[entries] * AREA_UNIT).sum()),
        squares=tuple(squares.tolist()),
        ends=ends,
    )


def _are_lowest(areas: VisibleAreas) -> Bools:
    """Return which entries lie below all others of their square."""
    first = begins(areas.square)
    least = np.minimum.reduceat(areas.level, np.flatnonzero(first)) if len(first) else areas.level
    return np.asarray(areas.level == least[np.cumsum(first) - 1])


def _wide(areas: VisibleAreas, entries: Ints, rims: Rims) -> float:
    """Return how wide a strip is by how much of it is seen in the rows, or columns, that it runs through."""
    places = np.divmod(areas.square[entries], rims.columns)
    return float(areas.octants[entries].sum()) / max(len(distinct(place)) for place in places)


def _ties(areas: VisibleAreas, unmade: Unmade, rims: Rims) -> tuple[Ints, Ints]:
    """Return (n,) indices of entries, and (2, n) the points with colours that these tie there."""
    square, colour = areas.square[unmade.entries], areas.colour[unmade.entries]
    entry, octant = np.nonzero(as_flags(unmade.unmade))
    tied = rims.tied(square[entry], octant)
    through = np.flatnonzero(unmade.crossing)
    points, is_tied = rims.around(square[through]), as_flags(unmade.crossing[through])
    row, point = np.nonzero(is_tied)
    first = points[row, is_tied.argmax(axis=1)[row]]
    tied = np.concatenate([tied, [first, points[row, point]]], axis=1)
    index = np.concatenate([entry, through[row]])
    return index, tied * len(areas.colours) + colour[index]


def _around(areas: VisibleAreas, candidates: Candidates, near: Ints, rims: Rims) -> Ints:
    """Return the entries in squares that lie no farther from some than gaps reach."""
    is_near = np.zeros((candidates.squares.max() // rims.columns + 1 + 2 * BEYOND) * rims.row, np.bool_)
    is_near[rims.padded(candidates.squares[near]) + window_steps(rims.row, -BEYOND, BEYOND)[:, None]] = True
    return np.flatnonzero(is_near[rims.padded(areas.square)])


def _crossing(areas: VisibleAreas, entries: Ints, is_seen: Bools) -> Bytes:
    """Return the points, in bits, that what runs through the middle of a square ties there; else none.

    It shows in each octant, in some of them little, and there nothing of it lies across the side: what
    reaches into a square from above and below leaves its middle free.
    """
    own = areas.octants[entries]
    some = np.flatnonzero((own > LEAST_CROSSING).all(axis=1) & ~is_seen.all(axis=1) & is_seen.any(axis=1))
    is_beside = np.zeros((len(some), 8), np.bool_)
    for step in dict.fromkeys(BESIDE):
        octants = [octant for octant in range(8) if BESIDE[octant] == step]
        beside = areas.seen_beside(entries[some], *step)
        is_beside[:, octants] = beside[:, FACES[octants]] > LEAST_CROSSING
    crosses = (is_seen[some] | ~is_beside).all(axis=1)
    result = np.zeros(len(entries), np.uint8)
    result[some[crosses]] = POINTS_OF[as_bits(is_seen[some[crosses]].T)]
    return result


def _uppermost(square: Ints, order: Ints, seen: Bytes) -> Bytes:
    """Return which octants each entry shows as the uppermost of those that are seen there; in bits.

    A thin strip has the octants that it shares with what lies under it, or that would reach across it.
    """
    result = seen.copy()
    for step in range(1, len(square)):
        one = np.flatnonzero(square[step:] == square[:-step])
        if not len(one):
            break
        other = one + step
        rise = order[one] - order[other]
        result[one] &= ~np.where(rise < 0, seen[other], np.uint8(0))
        result[other] &= ~np.where(rise > 0, seen[one], np.uint8(0))
    return result


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Octants:
    """Octants of squares (row * columns + column), and the colour that is stitched there; (n,) each."""

    square: Ints
    octant: Ints
    colour: Ints


def _stitches_near(areas: VisibleAreas, shown: Ints, entries: Ints, rims: Rims) -> tuple[_Octants, Bools]:
    """Return the octants in the squares of entries and up to two away that show their colour, by stitches.

    Returns:
        The octants, and (entries of the areas,) which of these have none in the squares next to theirs.
    """
    steps = window_steps(rims.row, -BEYOND, BEYOND)
    beside = rims.padded(areas.square[entries]) + steps[:, None]
    is_same = shown.take(beside, axis=1) == areas.colour[entries]
    is_next = np.isin(steps, window_steps(rims.row, -1, 1))
    is_far = np.zeros(len(areas.square), np.bool_)
    is_far[entries] = ~is_same[:, is_next].any(axis=(0, 1))
    is_near = np.zeros(shown.shape, np.bool_)
    octant, step, which = np.nonzero(is_same)
    is_near[octant, beside[step, which]] = True
    octant, at = np.nonzero(is_near)
    row, column = np.divmod(at, rims.row)
    square = (row - BEYOND) * rims.columns + column - BEYOND
    return _Octants(square=square, octant=octant, colour=shown[octant, at]), is_far


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Tied:
    """Points of colours, and how octants tie them.

    points: (n,) their numbers. unmade: (2, k) the points of each unmade octant, made: (2, m) of each that is
    stitched, as indices. part: (n,) the first point that each is tied to by unmade octants, end: by made.
    met: points of both.
    """

    points: Ints
    unmade: Ints
    made: Ints
    part: Ints
    end: Ints
    met: Ints

    def parted(self) -> Ints:
        """Return the parts that meet several ends."""
        part, end = self.part[self.met], self.end[self.met]
        order = in_order(part, end)
        several = part[order][begins(part[order], end[order])]
        return distinct(several[1:][several[1:] == several[:-1]])

    def ends(self, part: int) -> list[frozenset[int]]:
        """Return the points of each end that a part meets."""
        is_made = np.zeros(len(self.points), np.bool_)
        is_made[self.made] = True
        met = distinct(self.end[self.met[self.part[self.met] == part]])
        return [frozenset(self.points[is_made & (self.end == end)].tolist()) for end in met.tolist()]


def _tied(points: Ints, unmade: Ints, made: Ints) -> _Tied:
    is_met = np.zeros((2, len(points)), np.bool_)
    is_met[0, unmade] = True
    is_met[1, made] = True
    return _Tied(
        points=points,
        unmade=unmade,
        made=made,
        part=linked(unmade[0], unmade[1], len(points)),
        end=linked(made[0], made[1], len(points)),
        met=np.flatnonzero(is_met.all(axis=0)),
    )


def _tails(
    areas: VisibleAreas, tied: _Tied, entry: Ints, is_far: Bools, rims: Rims
) -> dict[int, tuple[frozenset[int], ...]]:
    """Return for each part that stitches meet at one end the points where it ends, if far enough away."""
    far = np.flatnonzero(is_far[entry])
    part = tied.part[tied.unmade[0, far]]
    tails: dict[int, tuple[frozenset[int], ...]] = {}
    for one in distinct(part).tolist():
        those = far[part == one]
        ends = tied.ends(one)
        if len(ends) == 1 and areas.octants[distinct(entry[those])].sum() >= LEAST_END:
            points = distinct(tied.points[tied.unmade[:, those]])
            apart = rims.apart(points, np.array(sorted(ends[0]))).min(axis=1)
            tails[one] = (frozenset(points[apart > apart.max() - 1].tolist()),)
    return tails
