r"""Squares in which a straight side, as it is drawn, leaves stitches no choice.

Square by square a stitch that blunts a corner may cost less than one that keeps it. So of the candidates of a
square only those are looked at that follow what is drawn there:
 - a half square beside two colours or more: what lies beside it is shown wrong in part, its own side is not;
 - a level or upright side right through the square: no stitch slants there, and a box keeps the corner that
   it has on a hole line;
 - the corner of a box, one of whose sides runs on so in the next square: it is full, or none of it is. Where
   both do and it covers the middle, it is full as these are.

         .---.---.        .---.---.
         |   |   |        | / |   |
         | +-----|        |/+-----|   full, and not
         | |xxxxx|        | |xxxxx|
         '---'---'        '---'---'
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import Bytes, rows_as_bits
from svg2chart.arranging.patterns import HALF_OCTANTS
from svg2chart.arranging.turnedcorners import halved_at_corners
from svg2chart.octants.areas import VisibleAreas
from svg2chart.runs import begins

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

ROUNDING = 2.0**-18
"""Areas of octants that differ by less, in squares, are the same; outlines are rounded to a lattice."""

ROUNDED = 1 / 500
"""Areas of octants beside a slanted side that differ by less, in squares, are the same: its ends are rounded
to the decimals that a drawing gives. Our choice, no source."""

SAME_PLACE = 2.0**-14
"""Sides that differ by less, in squares, lie on one line."""

STANDS_OVER = 1 / 8
"""So much of a colour beside a half square that it fills, in squares, is no more than where the fit lets
tips stop on their way. Our choice, no source."""

_HALVES = [sum(1 << octant for octant in octants) for octants in HALF_OCTANTS.values()]

_FULL = np.uint8(255)

MIRRORS = np.array([7 - np.arange(8), (3 - np.arange(8)) % 8])
"""The octant that each is in a mirror from left to right, and in one from top to bottom."""

# by quarter turn, clockwise, from where a colour shows at the bottom, or in the bottom right corner
_ON, _DOWN = np.array([(0, 1), (1, 0), (0, -1), (-1, 0)]), np.array([(1, 0), (0, -1), (-1, 0), (0, 1)])


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Straight:
    """What stitches of a colour have to show in squares; (n,) each.

    square, colour: where, and which. bits: the octants that are to show it; where none are named, those that
    do look the same in a mirror. mirror: which of the two.
    """

    square: Ints
    colour: Ints
    bits: Bytes
    mirror: Ints

    def followed(self, index: Ints, shown: Bools) -> Bools:
        """Return which candidates do as they have to.

        Args:
            index: (k,) which of these they are for.
            shown: (k, 8) which octants show the colour.
        """
        mirrored = np.take_along_axis(shown, MIRRORS[self.mirror[index]], axis=1)
        wanted = self.bits[index]
        is_same = (shown == mirrored).all(axis=1)
        return np.asarray(np.where(wanted > 0, rows_as_bits(shown) == wanted, is_same))


def follow_sides(areas: VisibleAreas) -> Straight:
    """Return what follows the straight sides of a drawing."""
    filled, turns = _halves(areas), _bands(areas.octants)
    bands, halves = np.flatnonzero(turns >= 0), np.flatnonzero(filled)
    corners, full = _corners(areas, turns)
    turned, cut = halved_at_corners(areas, same=ROUNDED)
    # what looks the same in both mirrors is all of a square, or nothing
    entries = np.concatenate([halves, turned, full, bands, corners, corners])
    bits, mirror = np.zeros(len(entries), np.uint8), np.zeros(len(entries), np.int64)
    named = np.concatenate([filled[halves], cut, np.full(len(full), _FULL)])
    bits[: len(named)] = named
    mirror[len(named) :] = np.concatenate([turns[bands] % 2, np.repeat([0, 1], len(corners))])
    return Straight(square=areas.square[entries], colour=areas.colour[entries], bits=bits, mirror=mirror)


def _halves(areas: VisibleAreas) -> Bytes:
    """Return for each entry the half square that it fills, in bits, if two colours or more lie beside it.

    Of these there may be a little of its own.
    """
    filled = rows_as_bits(areas.octants > 1 / 8 - ROUNDING)
    number = np.cumsum(begins(areas.square)) - 1
    beside = np.bincount(number, (areas.octants > ROUNDING).any(axis=1))
    little = areas.octants.sum(axis=1) < 1 / 2 + STANDS_OVER + ROUNDING
    return np.where(np.isin(filled, _HALVES) & little & (beside[number] > 2), filled, 0).astype(np.uint8)


def _bands(octants: Floats) -> Ints:
    """Return after how many quarter turns each entry is a band along the bottom of a square; -1 for none.

    Hardly any of a square, or nearly all of it, is a band on each of its sides, and so on none.
    """
    result = np.full(len(octants), -1)
    # a band looks the same in one of the mirrors, and hardly anything else does
    is_mirrored = [(np.abs(octants - octants[:, mirror]) < 2 * ROUNDING).all(axis=1) for mirror in MIRRORS]
    some = np.flatnonzero(is_mirrored[0] | is_mirrored[1])
    likeness = _box(octants[some].sum(axis=1), np.ones(len(some)))
    turned = np.stack([np.roll(likeness, 2 * turn, axis=1) for turn in range(4)])
    is_alike = (np.abs(octants[some] - turned) < ROUNDING).all(axis=2)
    result[some] = np.where(is_alike.sum(axis=0) == 1, is_alike.argmax(axis=0), -1)
    return result


def _corners(areas: VisibleAreas, turns: Ints) -> tuple[Ints, Ints]:
    """Return the entries that are the corner of a box, of which a side runs on, and those to be full.

    The latter cover the middle. Of a corner that covers half of neither side of its square nothing is asked.

    Args:
        areas: what is seen of each colour.
        turns: for each entry, as `_bands` has them.
    """
    found, full, size = [], [], areas.octants.sum(axis=1)
    # of a box, what two opposite quadrants show and what the others do have one product; few else have
    quadrants = areas.octants.T[::2] + areas.octants.T[1::2]
    is_even = np.abs(quadrants[0] * quadrants[2] - quadrants[1] * quadrants[3]) < ROUNDING
    is_large = ((quadrants > ROUNDING).sum(axis=0) > 1) | (quadrants.max(axis=0) > 1 / 4 - ROUNDING)
    some = np.flatnonzero(is_even & is_large & (turns < 0))
    is_above = _is_uppermost(areas)
    for turn in range(4):
        turned = np.roll(areas.octants[some], -2 * turn, axis=1)
        # at the right there is all that is high, at the bottom all that is wide, unless both are small
        above, right, below = (quadrants[(turn + quadrant) % 4, some] for quadrant in range(3))
        high, wide = 2 * (above + right), 2 * (right + below)
        least = np.minimum(high, wide)
        most = size[some] / np.where(least > 0, least, 1.0)
        high, wide = np.where(high <= wide, (least, most), (most, least))
        is_corner = (least > 0) & (np.abs(turned - _box(high, wide)) < ROUNDING).all(axis=1)
        own, high, wide = some[is_corner], high[is_corner], wide[is_corner]
        runs_on = _runs_on(areas, turns, size, own, _ON[turn], turn, high)
        runs_on |= _runs_on(areas, turns, size, own, _DOWN[turn], (turn + 3) % 4, wide)
        found.append(own[runs_on])
        # half of a square goes to what lies above
        half = np.where(is_above[own], 0.5 - ROUNDING, 0.5 + ROUNDING)
        full.append(own[runs_on & (np.minimum(high, wide) > half)])
    return np.concatenate(found), np.concatenate(full)


def _is_uppermost(areas: VisibleAreas) -> Bools:
    """Return for each entry whether it is the uppermost in its square."""
    is_first = begins(areas.square)
    most = np.maximum.reduceat(areas.level, np.flatnonzero(is_first)) if len(is_first) else areas.level
    return np.asarray(areas.level == most[np.cumsum(is_first) - 1])


def _box(high: Floats, wide: Floats) -> Floats:
    """Return (n, 8) what octants show of a box in the bottom right corner of a square."""
    low, near = np.clip(high, 0.0, 0.5), np.clip(wide, 0.0, 0.5)
    up, far = np.clip(high - 0.5, 0.0, 0.5), np.clip(wide - 0.5, 0.0, 0.5)
    top, left = np.maximum(up + near - 0.5, 0.0) ** 2 / 2, np.maximum(far + low - 0.5, 0.0) ** 2 / 2
    bottom, upper = _below_diagonal(near, low), _below_diagonal(up, far)
    octants = [
        *(top, up * near - top),
        *(low * near - bottom, bottom),
        *(low * far - left, left),
        *(up * far - upper, upper),
    ]
    return np.stack(octants, axis=1)


def _below_diagonal(wide: Floats, high: Floats) -> Floats:
    """Return how much of a box lies below the diagonal through one of its lower corners."""
    return np.where(wide <= high, wide**2 / 2, wide * high - high**2 / 2)


def _runs_on(
    areas: VisibleAreas, turns: Ints, size: Floats, entries: Ints, step: Ints, turn: int, high: Floats
) -> Bools:
    """Return for which entries the square one step on is a band of that turn, as high, or as good as full."""
    at = areas.beside(entries, *step)
    is_band = (at >= 0) & (np.abs(size[at] - high) < SAME_PLACE)
    is_full = (is_band | areas.is_filled_beside(entries, *step)) & (high > 1 - SAME_PLACE)
    return np.asarray(is_full | (is_band & (turns[at] == turn)))
