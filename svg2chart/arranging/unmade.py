"""What is seen of a colour and not stitched, and where stitches may part it.

Most of it lies along the edges of what is stitched, in one run with the stitches beside it, and parts
nothing: all further looking is for the few squares where that is not so.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import FACES, Bytes, as_bits, facing_steps, rows_as_bits
from svg2chart.arranging.candidates import Candidates
from svg2chart.arranging.rims import BEYOND, POINTS_OF, Rims, as_flags, at_corners
from svg2chart.octants.areas import VisibleAreas
from svg2chart.octants.stacks import BARE
from svg2chart.runs import begins, distinct, in_order, linked, numbered

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

LEAST_TRACE = 2.0**-10
"""An octant that shows so much of a square, a hundredth of itself, may be part of a strip."""

LEAST_SIZE, LEAST_FAR = 0.19, 1 / 16
"""What is seen and not stitched may be a part left out where it shows so many squares, a little less than is
told of, and so many of these half a square or more away from stitches. Our choice, no source."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Unmade:
    """Entries of the areas that show octants which are not stitched in their colour; (n,) each.

    In bits, unmade: which octants. made: which are stitched. crossing: the points that hold together through
    the middle of the square, too.
    """

    entries: Ints
    unmade: Bytes
    made: Bytes
    crossing: Bytes

    def at(self, some: Ints) -> "Unmade":
        """Return some of these."""
        return Unmade(
            entries=self.entries[some],
            unmade=self.unmade[some],
            made=self.made[some],
            crossing=self.crossing[some],
        )


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Loose:
    """Entries whose unmade octants stitches do not close; (n,) each.

    index: which of those that were looked at. In bits follow for each, unmade: its octants. reached: the
    points that these tie. tied: octants in and beside the square that are stitched. met: points that
    stitches reach.
    """

    index: Ints
    unmade: Bytes
    reached: Bytes
    tied: Bytes
    met: Bytes

    @property
    def runs(self) -> NDArray[np.integer]:
        """In how many runs stitches reach the points that they meet, single ones counted as one each."""
        return _runs(self.tied, self.met)


def find_doubtful(areas: VisibleAreas, shown: Ints) -> Ints:
    """Return the entries of the areas that stitches may part or leave out in their squares.

    Whatever is seen of a colour counts here: only a closer look can tell.

    Args:
        areas: what is seen of each colour; the first is bare.
        shown: (rows, columns, 8) the colour that each octant shows.
    """
    made = rows_as_bits(shown.reshape(-1, 8).take(areas.square, axis=0) == areas.colour[:, None])
    # of a strip no wider than a fifth of a square its octants may show little
    bits = rows_as_bits(areas.octants > LEAST_TRACE) & ~made
    some = np.flatnonzero(bits)
    crossing = np.zeros(len(some), np.uint8)
    unmade = Unmade(entries=some, unmade=bits[some], made=made[some], crossing=crossing)
    around = np.pad(shown, ((BEYOND, BEYOND), (BEYOND, BEYOND), (0, 0)), constant_values=BARE)
    octants = np.moveaxis(around, 2, 0).reshape(8, -1)
    rims = Rims(columns=shown.shape[1])
    return np.asarray(some[may_part(areas, octants, unmade, rims, least=LEAST_FAR)])


def shown_octants(candidates: Candidates, solid: Ints, chosen: Ints) -> Ints:
    """Return (8, squares) what octants show, with bare squares around the chart."""
    rows, columns = solid.shape
    shown = np.full((8, rows + 2 * BEYOND, columns + 2 * BEYOND), BARE, np.int32)
    shown[:, BEYOND:-BEYOND, BEYOND:-BEYOND] = solid
    row, column = np.divmod(candidates.squares, columns)
    shown[:, row + BEYOND, column + BEYOND] = candidates.shown(chosen).T
    return shown.reshape(8, -1)


def _loose(areas: VisibleAreas, shown: Ints, unmade: Unmade, rims: Rims) -> _Loose:
    """Return the entries whose unmade octants reach points that stitches do not reach in one run."""
    square, colour = rims.padded(areas.square[unmade.entries]), areas.colour[unmade.entries]
    beside = square + facing_steps(rims.row)[:, None]
    tied = unmade.made | as_bits(shown[FACES[:, None], beside] == colour)
    met = POINTS_OF[tied]
    reached = POINTS_OF[unmade.unmade] | unmade.crossing
    loose = np.flatnonzero(~_is_closed(reached, tied, met))
    met = met[loose]
    for corner, octant, step in at_corners(rims.row):
        is_same = shown[octant].take(square[loose] + step) == colour[loose]
        met |= is_same * np.uint8(1 << corner)
    kept = ~_is_closed(reached[loose], tied[loose], met)
    loose = loose[kept]
    return _Loose(
        index=loose, unmade=unmade.unmade[loose], reached=reached[loose], tied=tied[loose], met=met[kept]
    )


def may_part(areas: VisibleAreas, shown: Ints, unmade: Unmade, rims: Rims, *, least: float) -> Ints:
    """Return the indices of entries with octants that may part stitches, by what lies right at their rims.

    Entries are linked to each other, and kept where together they meet several runs of stitches, or show
    `least` squares half a square or more away from all stitches.
    """
    loose = _loose(areas, shown, unmade, rims)
    entries = unmade.entries[loose.index]
    points = rims.around(areas.square[entries]) * len(areas.colours) + areas.colour[entries, None]
    numbers, index = numbered(points.ravel())
    index = index.reshape(-1, 8)
    # what meets one run, and goes on to nothing, parts nothing
    goes_on = as_flags(loose.reached & ~loose.met)
    is_shared = np.bincount(index[goes_on], minlength=len(numbers)) > 1
    is_far = as_flags(~_NEAR[loose.met]) & (unmade.made[loose.index] == 0)[:, None]
    far = (areas.octants[entries] * is_far).sum(axis=1)
    size = (areas.octants[entries] * as_flags(loose.unmade)).sum(axis=1)
    kept = np.flatnonzero((goes_on & is_shared[index]).any(axis=1) | (loose.runs != 1) | (far >= least))
    crossing = unmade.crossing[loose.index]
    return loose.index[kept[_are_linked(index, loose, crossing, np.stack([far, size]), kept, least)]]


def _are_linked(
    index: Ints, loose: _Loose, crossing: Bytes, areas: Floats, kept: Ints, least: float
) -> Bools:
    """Return which of the entries that are kept belong to parts as `may_part` keeps them.

    Args:
        index: (n, 8) numbers for the points of rims.
        loose: the entries.
        crossing: points that hold together through the middle.
        areas: (2, entries) how much each shows away from stitches, and how much that they do not.
        kept: the indices of those that are kept.
        least: see `may_part`.
    """
    index, count = index[kept], int(index.max(initial=-1)) + 1
    one, other = np.roll(index, -1, axis=1), np.roll(index, -2, axis=1)
    is_unmade, is_tied, through = (as_flags(bits[kept]) for bits in (loose.unmade, loose.tied, crossing))
    first = np.broadcast_to(index[np.arange(len(index)), through.argmax(axis=1), None], index.shape)
    part = linked(
        np.concatenate([one[is_unmade], first[through]]),
        np.concatenate([other[is_unmade], index[through]]),
        count,
    )
    end = linked(one[is_tied], other[is_tied], count)
    reached, met = as_flags(loose.reached[kept]), loose.met[kept]
    both = distinct(index[reached & as_flags(met)])
    both = both[in_order(part[both], end[both])]
    ends = np.bincount(part[both][begins(part[both], end[both])], minlength=count)
    is_gap = ends > 1
    entry, point = np.nonzero(reached)
    # each part once for each entry
    of_entry = distinct(entry * count + part[index[entry, point]])
    far, size = (np.bincount(of_entry % count, each[kept][of_entry // count], count) for each in areas)
    is_gap |= (far >= least) & (size >= LEAST_SIZE)
    return np.asarray((reached & is_gap[part[index]]).any(axis=1))


def _near() -> Bytes:
    """Return (256,) the octants, in bits, half a square or less from stitches that meet points, in bits."""
    result = np.zeros(256, np.uint8)
    for point in range(8):
        # the half square at a side, or the quarter at a corner
        around = range(point - 3, point + 1) if point % 2 else range(point - 2, point)
        octants = sum(1 << octant % 8 for octant in around)
        result |= (np.arange(256, dtype=np.uint8) >> point & 1) * np.uint8(octants)
    return result


_NEAR = _near()


def _runs(tied: Bytes, met: Bytes) -> NDArray[np.integer]:
    return np.where(tied == 255, 1, np.bitwise_count(met) - np.bitwise_count(tied))


def _is_closed(reached: Bytes, tied: Bytes, met: Bytes) -> Bools:
    """Return where stitches meet, in one run, all points that unmade octants reach."""
    return np.asarray(((reached & ~met) == 0) & (_runs(tied, met) == 1))
