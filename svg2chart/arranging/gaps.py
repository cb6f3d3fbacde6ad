"""Where the stitches of one colour come apart though the drawing holds together there.

An octant is unmade where the drawing shows a colour in more than a third of it, over all others that do, and
the stitches show another.
Unmade octants of a colour that are tied together, and touch its stitches in two places that are not tied
in the squares up to two away, are a gap: a rope of .9 squares that runs half in one row and half in the
next. So is an end of at least a square that lies away from all its stitches: they stop short of it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import FACES, Bytes, as_bits, facing_steps, window_steps
from svg2chart.arranging.candidates import Candidates
from svg2chart.arranging.rims import POINTS_OF, RIM, Rims, as_flags, at_corners
from svg2chart.octants.areas import VisibleAreas
from svg2chart.octants.stacks import BARE
from svg2chart.runs import begins, distinct, in_order, lengths, linked, numbered

Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

LEAST_SEEN = 0.34 / 8
"""An octant shows a colour that covers more than this of a square, a third of the octant. Like the next value
it is no round number: what art on a lattice shows lies well on one side. Our choice, no source."""

LEAST_END = 0.99
"""An end of a shape that shows so many squares away from its stitches is a gap. Our choice, no source."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Gap:
    """Where stitches of a colour come apart, or stop short.

    colour: an index into the areas' colours. order: paint order of the uppermost shape that shows it there.
    squares: the squares between, as indices into those of the candidates, in order.
    ends: what is to be tied together, each a set of points by number (see `Rims`): first what stitches reach.
    """

    colour: int
    order: int
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
    place = np.searchsorted(candidates.squares, areas.square[among])
    is_made = candidates.shown(chosen[place]) == areas.colour[among, None]
    is_seen = _uppermost(areas.square[among], areas.order[among], areas.octants[among] > LEAST_SEEN)
    is_unmade = is_seen & ~is_made & (areas.colour[among] != BARE)[:, None]
    shown = _padded(candidates, solid, chosen)
    some = np.flatnonzero(is_unmade.any(axis=1))
    some = some[_are_doubtful(areas, shown, among[some], is_unmade[some], is_made[some], rims)]
    if not len(some):
        return []
    entries, is_unmade = among[some], is_unmade[some]
    made_near, is_far = _stitches_near(areas, shown, entries, rims)
    entry, octant = np.nonzero(is_unmade)
    entry = entries[entry]
    colours = len(areas.colours)
    unmade = rims.tied(areas.square[entry], octant) * colours + areas.colour[entry]
    made = rims.tied(made_near.square, made_near.octant) * colours + made_near.colour
    keys, index = numbered(np.concatenate([unmade, made], axis=1).ravel())
    index = index.reshape(2, -1)
    tied = _tied(keys // colours, index[:, : len(entry)], index[:, len(entry) :])
    tails = _tails(areas, tied, entry, is_far, rims)
    gaps = []
    for part in distinct(np.concatenate([tied.parted(), list(tails)])).tolist():
        those = distinct(entry[tied.part[tied.unmade[0]] == part])
        squares = np.searchsorted(candidates.squares, areas.square[those])
        gaps.append(
            Gap(
                colour=int(areas.colour[those[0]]),
                order=int(areas.order[those].max()),
                squares=tuple(squares.tolist()),
                ends=(*tied.ends(part), *tails.get(part, ())),
            )
        )
    return sorted(gaps, key=lambda gap: gap.squares)


def _uppermost(square: Ints, order: Ints, is_seen: Bools) -> Bools:
    """Return (n, 8) which octants each entry shows as the uppermost of those that are seen there.

    A thin strip has the octants that it shares with what lies under it, or that would reach across it.
    """
    standing = np.where(is_seen, order[:, None] + 2, 0)
    starts = np.flatnonzero(begins(square))
    if not len(starts):
        return is_seen
    highest = np.maximum.reduceat(standing, starts)
    return np.asarray(is_seen & (standing == np.repeat(highest, lengths(starts, len(square)), axis=0)))


def _around(areas: VisibleAreas, candidates: Candidates, near: Ints, rims: Rims) -> Ints:
    """Return the entries in squares that lie no farther from some than gaps reach."""
    is_near = np.zeros((candidates.squares.max() // rims.columns + 1 + 2 * RIM) * rims.row, np.bool_)
    is_near[rims.padded(candidates.squares[near]) + window_steps(rims.row, -RIM, RIM)[:, None]] = True
    return np.flatnonzero(is_near[rims.padded(areas.square)])


def _padded(candidates: Candidates, solid: Ints, chosen: Ints) -> Ints:
    """Return (8, squares) what octants show, with a rim of bare squares around the chart."""
    rows, columns = solid.shape
    shown = np.full((8, rows + 2 * RIM, columns + 2 * RIM), BARE, np.int32)
    shown[:, RIM:-RIM, RIM:-RIM] = solid
    row, column = np.divmod(candidates.squares, columns)
    shown[:, row + RIM, column + RIM] = candidates.shown(chosen).T
    return shown.reshape(8, -1)


def _are_doubtful(
    areas: VisibleAreas, shown: Ints, entries: Ints, is_unmade: Bools, is_made: Bools, rims: Rims
) -> Ints:
    """Return which entries with unmade octants may be part of a gap, by what lies right at their rims.

    Where stitches of the colour, in one run along the rim, reach all that unmade octants reach, these part
    nothing. The others are linked to each other, and kept where they meet several runs, or none.
    """
    square, colour = rims.padded(areas.square[entries]), areas.colour[entries]
    beside = square + facing_steps(rims.row)[:, None]
    tied = as_bits(is_made.T | (shown[FACES[:, None], beside] == colour))
    unmade, met = as_bits(is_unmade.T), POINTS_OF[tied]
    loose = np.flatnonzero(~_is_closed(unmade, tied, met))
    for corner, octant, step in at_corners(rims.row):
        is_same = shown[octant].take(square[loose] + step) == colour[loose]
        met[loose] |= is_same * np.uint8(1 << corner)
    loose = loose[~_is_closed(unmade[loose], tied[loose], met[loose])]
    points = rims.around(areas.square[entries[loose]]) * len(areas.colours) + colour[loose, None]
    numbers, index = numbered(points.ravel())
    index = index.reshape(-1, 8)
    # what meets one run, and goes on to nothing, parts nothing
    goes_on = POINTS_OF[unmade] & ~met
    is_shared = np.bincount(index[as_flags(goes_on[loose])], minlength=len(numbers)) > 1
    kept = (as_flags(goes_on[loose]) & is_shared[index]).any(axis=1) | (_runs(tied, met)[loose] != 1)
    loose, index = loose[kept], index[kept]
    if not len(loose):
        return np.asarray(loose)
    return np.asarray(loose[_are_linked(index, unmade[loose], tied[loose], met[loose], len(numbers))])


def _runs(tied: Bytes, met: Bytes) -> NDArray[np.integer]:
    """Return in how many runs octants tie points of a rim, those that nothing ties counted as one each."""
    return np.where(tied == 255, 1, np.bitwise_count(met) - np.bitwise_count(tied))


def _is_closed(unmade: Bytes, tied: Bytes, met: Bytes) -> Bools:
    """Return where stitches meet, in one run, all points that unmade octants reach."""
    return np.asarray(((POINTS_OF[unmade] & ~met) == 0) & (_runs(tied, met) == 1))


def _are_linked(index: Ints, unmade: Bytes, tied: Bytes, met: Bytes, count: int) -> Bools:
    """Return which rims belong to parts that meet several ends, or have a rim that meets none.

    Points of rims have the numbers (n, 8) of `index`, below `count`; octants and met points are bits.
    """
    one, other = np.roll(index, -1, axis=1), np.roll(index, -2, axis=1)
    part, end = (linked(one[each], other[each], count) for each in (as_flags(unmade), as_flags(tied)))
    both = distinct(index[as_flags(np.bitwise_and(POINTS_OF[unmade], met))])
    both = both[in_order(part[both], end[both])]
    ends = np.bincount(part[both][begins(part[both], end[both])], minlength=count)
    reached = as_flags(POINTS_OF[unmade])
    is_gap = ends > 1
    is_gap[part[index[reached & (met == 0)[:, None]]]] = True
    return np.asarray((reached & is_gap[part[index]]).any(axis=1))


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
    steps = window_steps(rims.row, -RIM, RIM)
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
    square = (row - RIM) * rims.columns + column - RIM
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
