"""Saws: pieces of edge from hole to hole that turn sharply one way at one end and the other way at the other.

    ---.          a step of one square: two turns of 90 degrees in one square,
       |          where a three-quarter stitch would make two of 45 degrees
       '---

At each hole up to eight pieces of edge begin, along sides and diagonals of squares. Where just two meet, an
edge passes, and may turn. Steps are saws, and so is each tooth of a row of triangles; the corner of a box is
none, for both its turns go the same way. A quarter stitch that goes on in the square beside it makes a
small step there, and is a saw on each such side.
"""

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Bytes = NDArray[np.uint8]

SHARP = 2
"""A turn of so many eighths of a full turn is sharp: 90 degrees."""

# directions from a hole, clockwise from up: bit d of a code says that a piece of edge leaves that way
_STEPS = ((-1, 0), (-1, 1), (0, 1), (1, 1), (1, 0), (1, -1), (0, -1), (-1, -1))

# for each corner of a square, clockwise from the top left: where its hole lies; for its own pieces of edge
# the direction, the square's octant, where the square across lies and its octant
_CORNERS = (
    ((0, 0), ((2, 7, (-1, 0), 4), (4, 6, (0, -1), 1), (3, 6, (0, 0), 7))),
    ((0, 1), ((6, 0, (-1, 0), 3), (4, 1, (0, 1), 6), (5, 0, (0, 0), 1))),
    ((1, 1), ((0, 2, (0, 1), 5), (6, 3, (1, 0), 0), (7, 2, (0, 0), 3))),
    ((1, 0), ((2, 4, (1, 0), 7), (0, 5, (0, -1), 2), (1, 4, (0, 0), 5))),
)
_OWN = [sum(1 << piece[0] for piece in pieces) for _, pieces in _CORNERS]
# pieces between corners of one square: one corner, the direction, the other corner
_INNER = ((0, 2, 1), (1, 4, 2), (3, 2, 2), (0, 4, 3), (0, 3, 2), (1, 5, 3))
# for each side of a square, clockwise from the top: where the square beside it lies, its octants facing it
_FACING = ((-1, 0, 3, 4), (0, 1, 5, 6), (1, 0, 7, 0), (0, -1, 1, 2))
_NO_COLOUR = -1


def _turns() -> tuple[Bytes, Bytes]:
    """Return for each code in which directions an edge leaves after a sharp turn to the right, or left."""
    right, left = np.zeros(256, np.uint8), np.zeros(256, np.uint8)
    for one in range(8):
        for other in range(8):
            turn = (one - other - 4 + 4) % 8 - 4
            code = 1 << one | 1 << other
            if SHARP <= turn < 4:
                right[code] |= 1 << one
            if -4 < turn <= -SHARP:
                left[code] |= 1 << one
    return right, left


_RIGHT, _LEFT = _turns()


def _both(direction: int) -> Bytes:
    """Return for the codes of two holes, the first times 256, whether the piece between them is a saw."""
    out = [(turns >> direction) & 1 for turns in (_RIGHT, _LEFT)]
    back = [(turns >> ((direction + 4) % 8)) & 1 for turns in (_RIGHT, _LEFT)]
    return np.asarray((out[0][:, None] & back[0]) | (out[1][:, None] & back[1])).ravel()


_BOTH = [_both(direction) for direction in range(8)]
_BITS = np.array([bin(code).count("1") for code in range(256)], np.uint8)


class Saws:
    """The saws of what a chart shows, and those there would be with another candidate in a square.

    shown: (rows, columns, 8) the colour of each octant, with a rim of bare squares; kept, and looked at anew
        wherever `update` says so.
    """

    def __init__(self, shown: Ints) -> None:
        rows, columns = shown.shape[:2]
        self.shown = shown
        self.codes = np.zeros((rows + 1, columns + 1), np.uint8)
        self.notches = np.full((rows, columns, 4), _NO_COLOUR)
        row, column = (part.ravel() + 1 for part in np.indices((rows - 2, columns - 2)))
        self.update(row, column)

    def update(self, row: Ints, column: Ints) -> None:
        """Look anew at squares that show something else than before."""
        shown = self.shown[row, column]
        for corner, ((down, right), _) in enumerate(_CORNERS):
            code = self._code(row, column, np.arange(len(row)), shown, corner)
            self.codes[row + down, column + right] = code
        self.notches[row, column] = _notches(shown)
        self.far_right, self.far_left = _far(_RIGHT[self.codes]), _far(_LEFT[self.codes])

    def count(self) -> int:
        """Return how many saws there are."""
        right, left = _RIGHT[self.codes], _LEFT[self.codes]
        whole = int(_BITS[(right & self.far_right) | (left & self.far_left)].sum()) // 2
        row, column = np.nonzero((self.notches != _NO_COLOUR).any(axis=2))
        return whole + int(self._at_notches(row, column, self.notches[row, column]).sum())

    def around(self, row: Ints, column: Ints, owner: Ints, shown: Ints) -> Ints:
        """Return the saws that touch squares if they show this and all others what they show now.

        Args:
            row: of each square.
            column: of each square.
            owner: (n,) which of the squares is meant.
            shown: (n, 8) what it would show.
        """
        notches = _notches(shown)
        total = np.zeros(len(owner), np.int64)
        odd = np.flatnonzero((notches != _NO_COLOUR).any(axis=1))
        total[odd] = self._at_notches(row[owner[odd]], column[owner[odd]], notches[odd])
        codes = []
        for corner, ((down, right), _) in enumerate(_CORNERS):
            code = self._code(row, column, owner, shown, corner)
            at = (row + down, column + right)
            others = np.uint8(255 - _OWN[corner])
            to_right, to_left = (self.far_right[at] & others)[owner], (self.far_left[at] & others)[owner]
            total += _BITS[(_RIGHT[code] & to_right) | (_LEFT[code] & to_left)]
            codes.append(code)
        for one, direction, other in _INNER:
            total += _BOTH[direction][codes[one].astype(np.int64) << 8 | codes[other]]
        return total + self._beside_notches(row, column, owner, shown)

    def _code(self, row: Ints, column: Ints, owner: Ints, shown: Ints, corner: int) -> Bytes:
        """Return which pieces of edge would leave the holes at one corner of squares."""
        (down, right), pieces = _CORNERS[corner]
        code = (self.codes[row + down, column + right] & np.uint8(255 - _OWN[corner]))[owner]
        for direction, own, (beside_down, beside_right), other in pieces:
            if beside_down or beside_right:
                facing = self.shown[row + beside_down, column + beside_right, other][owner]
            else:
                facing = shown[:, other]
            code |= (shown[:, own] != facing).view(np.uint8) << direction
        return code

    def _at_notches(self, row: Ints, column: Ints, notches: Ints) -> Ints:
        """Return on how many sides the odd quarter of each square goes on beside it."""
        total = np.zeros(len(row), np.int64)
        for side, (down, right, one, other) in enumerate(_FACING):
            notch = notches[:, side]
            beside = self.shown[row + down, column + right]
            total += (beside[:, one] == notch) & (beside[:, other] == notch)
        return total

    def _beside_notches(self, row: Ints, column: Ints, owner: Ints, shown: Ints) -> Ints:
        """Return on how many sides each square goes on with the odd quarter of the square beside it."""
        total = np.zeros(len(owner), np.int64)
        for side, (down, right, _, _) in enumerate(_FACING):
            back = (side + 2) % 4
            _, _, one, other = _FACING[back]
            notch = self.notches[row + down, column + right, back][owner]
            odd = np.flatnonzero(notch != _NO_COLOUR)
            total[odd] += (shown[odd, one] == notch[odd]) & (shown[odd, other] == notch[odd])
        return total


def count_saws(shown: Ints) -> int:
    """Return how many saws a chart shows, (rows, columns, 8) with a rim of bare squares."""
    return Saws(shown).count()


def _notches(shown: Ints) -> Ints:
    """Return (n, 4) for each side the colour of the one odd quarter of a square that touches it."""
    result = np.full((len(shown), 4), _NO_COLOUR)
    # quarters clockwise from the top right: octants 0 and 1, 2 and 3, and so on
    quarters = shown[:, ::2]
    mixed = np.flatnonzero(
        (quarters == shown[:, 1::2]).all(axis=1) & (quarters != quarters[:, :1]).any(axis=1)
    )
    quarters = quarters[mixed]
    for odd in range(4):
        rest = quarters[:, [k for k in range(4) if k != odd]]
        found = (rest == rest[:, :1]).all(axis=1) & (quarters[:, odd] != rest[:, 0])
        for side in (odd, (odd + 1) % 4):
            result[mixed[found], side] = quarters[found, odd]
    return result


def _far(turns: Bytes) -> Bytes:
    """Return for each hole in which directions the next hole has such a turn, seen from there."""
    rows, columns = turns.shape
    padded = np.pad(turns, 1)
    far = np.zeros_like(turns)
    for direction, (down, right) in enumerate(_STEPS):
        beyond = padded[1 + down : 1 + down + rows, 1 + right : 1 + right + columns]
        far |= ((beyond >> ((direction + 4) % 8)) & np.uint8(1)) << direction
    return far
