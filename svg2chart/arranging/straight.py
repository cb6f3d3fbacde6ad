r"""Squares in which a straight side, as it is drawn, leaves stitches no choice.

Square by square a stitch that blunts a corner may cost less than one that keeps it. So of the candidates of a
square only those are looked at that follow what is drawn there:
 - a half square beside two colours or more: what lies beside it is shown wrong in part, its own side is not;
 - a level or upright side right through the square: no stitch slants there, and a box keeps the corner that
   it has on a hole line;
 - the corner of a box whose sides run on so in the squares next to it: it is full where these are.

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
from svg2chart.octants.areas import VisibleAreas
from svg2chart.runs import begins

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

ROUNDING = 2.0**-18
"""Areas of octants that differ by less, in squares, are the same; outlines are rounded to a lattice."""

SAME_PLACE = 2.0**-14
"""Sides that differ by less, in squares, lie on one line."""

HALF_WAY = 1 / 64
"""A side so near to the middle of a square, in squares, is half way: stitches may end on either side. Our
choice, no source."""

ON_A_LINE = 1 / 64
"""A side so near to a hole line, in squares, lies on it: what it bounds fills its square anyway. Our choice,
no source."""

STANDS_OVER = 1 / 8
"""So much of a colour beside a half square that it fills, in squares, is no more than where the fit lets
tips stop on their way. Our choice, no source."""

_HALVES = [sum(1 << octant for octant in octants) for octants in HALF_OCTANTS.values()]

_FULL = np.uint8(255)

_MIRRORS = np.array([7 - np.arange(8), (3 - np.arange(8)) % 8])
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
        mirrored = np.take_along_axis(shown, _MIRRORS[self.mirror[index]], axis=1)
        wanted = self.bits[index]
        is_same = (shown == mirrored).all(axis=1)
        return np.asarray(np.where(wanted > 0, rows_as_bits(shown) == wanted, is_same))


def follow_sides(areas: VisibleAreas) -> Straight:
    """Return what follows the straight sides of a drawing."""
    halves, turns = _halves(areas), _bands(areas.octants)
    bands = np.flatnonzero(turns >= 0)
    corners = _corners(areas, turns)
    entries = np.concatenate([np.flatnonzero(halves), corners, bands])
    bits = np.zeros(len(areas.square), np.uint8)
    bits[halves > 0], bits[corners] = halves[halves > 0], _FULL
    return Straight(
        square=areas.square[entries],
        colour=areas.colour[entries],
        bits=bits[entries],
        mirror=np.maximum(turns[entries], 0) % 2,
    )


def _halves(areas: VisibleAreas) -> Bytes:
    """Return for each entry the half square that it fills, in bits, if two colours or more lie beside it.

    Of these there may be a little of its own.
    """
    filled = rows_as_bits(areas.octants > 1 / 8 - ROUNDING)
    number = np.cumsum(begins(areas.square)) - 1
    beside = np.bincount(number, (areas.octants > ROUNDING).any(axis=1))
    little = areas.octants.sum(axis=1) <= 1 / 2 + STANDS_OVER
    return np.where(np.isin(filled, _HALVES) & little & (beside[number] > 2), filled, 0).astype(np.uint8)


def _bands(octants: Floats) -> Ints:
    """Return after how many quarter turns each entry is a band along the bottom of a square; -1 for none.

    Hardly any of a square, or nearly all of it, is a band on each of its sides, and so on none.
    """
    result = np.full(len(octants), -1)
    # a band looks the same in one of the mirrors, and hardly anything else does
    is_mirrored = [(np.abs(octants - octants[:, mirror]) < 2 * ROUNDING).all(axis=1) for mirror in _MIRRORS]
    some = np.flatnonzero(is_mirrored[0] | is_mirrored[1])
    likeness = _band(octants[some].sum(axis=1))
    turned = np.stack([np.roll(likeness, 2 * turn, axis=1) for turn in range(4)])
    is_alike = (np.abs(octants[some] - turned) < ROUNDING).all(axis=2)
    result[some] = np.where(is_alike.sum(axis=0) == 1, is_alike.argmax(axis=0), -1)
    return result


def _band(high: Floats) -> Floats:
    """Return (n, 8) what octants show of a band so high along the bottom of a square."""
    high = np.clip(high, 0.0, 1.0)
    low, more = np.minimum(high, 0.5), np.maximum(high - 0.5, 0.0)
    # below the middle: the octants at the sides, and those at the bottom; above it in reverse
    side, bottom = low**2 / 2, (low - low**2) / 2
    top, upper = more**2 / 2, (more - more**2) / 2
    return np.stack([top, upper, side, bottom, bottom, side, upper, top], axis=1)


def _corners(areas: VisibleAreas, turns: Ints) -> Ints:
    """Return the entries that are the corner of a box that covers the middle, and goes on beside and below.

    Args:
        areas: what is seen of each colour.
        turns: for each entry, as `_bands` has them.
    """
    found, size = [], areas.octants.sum(axis=1)
    for turn in range(4):
        turned = np.roll(areas.octants, -2 * turn, axis=1)
        high, wide = (0.5 + 2 * turned[:, [one, one + 1]].sum(axis=1) for one in (0, 4))
        some = np.flatnonzero(
            (np.minimum(high, wide) > 0.5 + HALF_WAY) & (np.maximum(high, wide) < 1.0 - ON_A_LINE)
        )
        is_corner = (np.abs(turned[some] - _corner(high[some], wide[some])) < ROUNDING).all(axis=1)
        some = some[is_corner]
        beside, below = (_entries_at(areas, some, *steps[turn]) for steps in (_ON, _DOWN))
        goes_on = (beside >= 0) & (turns[beside] == turn) & (np.abs(size[beside] - high[some]) < SAME_PLACE)
        goes_on &= (below >= 0) & (turns[below] == (turn + 3) % 4)
        goes_on &= np.abs(size[below] - wide[some]) < SAME_PLACE
        found.append(some[goes_on])
    return np.concatenate(found)


def _corner(high: Floats, wide: Floats) -> Floats:
    """Return (n, 8) what octants show of a box in the bottom right corner of a square, over its middle."""
    rows, columns = _band(high), _band(wide)[:, [5, 4, 3, 2, 1, 0, 7, 6]]
    up, left = high - 0.5, wide - 0.5
    upper = np.where(up <= left, up**2 / 2, up * left - left**2 / 2)
    result = np.full((len(high), 8), 1 / 8)
    result[:, :2], result[:, 4:6] = rows[:, :2], columns[:, 4:6]
    result[:, 6], result[:, 7] = up * left - upper, upper
    return result


def _entries_at(areas: VisibleAreas, entries: Ints, down: int, right: int) -> Ints:
    """Return the entries of the same colours in the squares so far from theirs, -1 where there are none."""
    columns, colours = areas.solid.shape[1], len(areas.colours)
    keys = areas.square * colours + areas.colour
    wanted = keys[entries] + (down * columns + right) * colours
    at = np.minimum(np.searchsorted(keys, wanted), len(keys) - 1)
    column = areas.square[entries] % columns + right
    return np.where((keys[at] == wanted) & (column >= 0) & (column < columns), at, -1)
