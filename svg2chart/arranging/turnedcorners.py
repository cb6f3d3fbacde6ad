r"""Squares in which right-angled corners turned by 45 degrees leave stitches no choice.

Both of its sides lie near to diagonals of holes. Where these meet at a hole, the two squares beside it are to
be cut in half, or the corner is blunt, and so are all along its sides: there is no notch between two corners.
Where they meet in the middle of a square there is no such corner.

         .---.---.        .---.---.
         |   | /x|        |   | /x|
         |   |/xx|        |   |/xx|
         .--/.xxx.        .---o---.
         |  \|xxx|        |   |\xx|
         |   |\xx|        |   | \x|
         '---'---'        '---'---'
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from svg2chart.octants.areas import VisibleAreas

Bools = NDArray[np.bool_]
Bytes = NDArray[np.uint8]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAST_FILLED = 1.7
"""So much is seen of the two squares behind a corner, in squares; less of those behind the end of a bar."""

_TOP_DOWN = (3 - np.arange(8)) % 8
"""The octant that each is in a mirror from top to bottom."""

# of a corner that opens to the right: the octants that show it in the squares at the right of its hole
_UPPER, _LOWER = [1, 2, 3, 4], [7, 0, 1, 2]
# and those in the squares at the left, in which it may begin
_UPPER_LEFT, _LOWER_LEFT = [2, 3], [0, 1]

# by quarter turn, clockwise, from a corner that opens to the right
_DOWN, _LEFT = np.array([(1, 0), (0, -1), (-1, 0), (0, 1)]), np.array([(0, -1), (-1, 0), (0, 1), (1, 0)])
# and the ways of its sides
_UPWARDS, _DOWNWARDS = -_DOWN - _LEFT, _DOWN - _LEFT


def halved_at_corners(areas: VisibleAreas, *, same: float) -> tuple[Ints, Bytes]:
    """Return the entries of half squares that make up such corners, and which octants show them, in bits.

    Args:
        areas: what is seen of each colour.
        same: areas that differ by less, in squares, are the same.
    """
    found, bits = [np.zeros(0, np.int64)], [np.zeros(0, np.uint8)]
    some = _perhaps_cut(areas.octants, same)
    for turn in range(4):
        turned = np.roll(areas.octants[some], -2 * turn, axis=1)
        is_upper, is_lower = np.zeros((2, len(areas.square)), np.bool_)
        is_upper[some], is_lower[some] = _is_cut(turned, same), _is_cut(turned[:, _TOP_DOWN], same)
        upper = np.flatnonzero(is_upper)
        lower = areas.beside(upper, *_DOWN[turn])
        is_corner = (lower >= 0) & is_lower[lower]
        for own, octants in ((upper, _UPPER_LEFT), (lower, _LOWER_LEFT)):
            may_show = [(octant + 2 * turn) % 8 for octant in octants]
            is_corner &= _ends(areas, own, _LEFT[turn], may_show, same)
        filled = (areas.seen_beside(own, *-_LEFT[turn]).sum(axis=1) for own in (upper, lower))
        is_corner &= sum(filled) >= LEAST_FILLED
        sides = (
            (upper, is_upper, _UPWARDS, _UPPER),
            (lower, is_lower, _DOWNWARDS, _LOWER),
        )
        for own, is_cut, way, octants in sides:
            shown = sum(1 << (octant + 2 * turn) % 8 for octant in octants)
            for side in _along(areas, own[is_corner], is_cut, way[turn]):
                found.append(side)
                bits.append(np.full(len(side), shown, np.uint8))
    return np.concatenate(found), np.concatenate(bits)


def _perhaps_cut(octants: Floats, same: float) -> Ints:
    """Return what may be cut so, whichever way: far fewer than there are.

    The octants at two opposite corners show as much each, one pair of them half of what it can or more, and
    those at one of the other corners neither nothing nor all.
    """
    one, other = octants.T[::2], octants.T[1::2]
    share = 4 * (one + other)
    is_even = np.abs(one - other) < same
    is_cut = (share > same) & (share < 1 - same)
    is_large = np.maximum(one, other) > 1 / 16 - same
    is_even, is_cut, is_large = (
        is_even[:2] & is_even[2:],
        is_cut[:2] | is_cut[2:],
        is_large[:2] | is_large[2:],
    )
    return np.flatnonzero((is_even & is_large & is_cut[::-1]).any(axis=0))


def _is_cut(octants: Floats, same: float) -> Bools:
    """Return which squares a line from the bottom left to the top right cuts nearest to their diagonal.

    What lies to the bottom right is seen; in the bottom left corner, where the line may end, less may be.

    Args:
        octants: (n, 8) what is seen.
        same: areas that differ by less, in squares, are the same.
    """
    # of the two octants at the top right, which lie on both sides of the diagonal
    share = 4 * (octants[:, 0] + octants[:, 1])
    less, more = (np.sqrt(np.clip(2 * part, 0.0, 1.0)) for part in (share, 1 - share))
    above, beyond = (1 - more) / 2, (1 - less) / 2  # how far the line lies off the diagonal, on either side
    is_above = share > 0.5
    top = np.where(is_above, (1 - more**2) / 8, 0.0)
    right = np.where(is_above, 1 / 8, less**2 / 8)
    left = np.where(is_above, above**2 / 4, 0.0)
    bottom = np.where(is_above, 1 / 8, 1 / 8 - beyond**2 / 4)
    over = octants - np.stack([top, right, bottom, bottom, right, top, left, left], axis=1)
    is_line = (np.abs(over[:, [0, 1, 2, 3, 6, 7]]) < same).all(axis=1) & (over[:, [4, 5]] < same).all(axis=1)
    return np.asarray(is_line & (share > same) & (share < 1 - same))


def _along(areas: VisibleAreas, entries: Ints, is_cut: Bools, way: Ints) -> Iterator[Ints]:
    """Yield entries, and those that follow on their sides, step by step."""
    while len(entries):
        yield entries
        entries = areas.beside(entries, *way)
        entries = entries[(entries >= 0) & is_cut[entries]]


def _ends(areas: VisibleAreas, entries: Ints, step: Ints, octants: list[int], same: float) -> Bools:
    """Return for which entries their colour is seen one step on in no other octants than these."""
    others = [octant for octant in range(8) if octant not in octants]
    return np.asarray((areas.seen_beside(entries, *step)[:, others] < same).all(axis=1))
