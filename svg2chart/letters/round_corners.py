"""Round corners of a letter, where a level stroke goes over into an upright one, and which are alike.

All are looked at as if they were at the top left, with their bowl to the right and below.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.straight import MIRRORS

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
T = TypeVar("T", bound=np.generic)

_LEAST, _MOST = 2, 6
"""From so many to so many squares high and wide round corners are; larger ones have room for their curves."""
_STRAIGHT = 0.85
"""What holds so much ink belongs to a stroke on either side of a corner."""
_ROUND = 0.75
"""The outer square of a round corner holds less."""
_OUTSIDE = 0.1
"""Beyond a corner no square holds more."""
_GOING_ON = 0.25
"""The squares after these hold as much: else it is a step of a slant."""
_ALIKE, _EVEN = 0.35, 0.2
"""Corners are alike if their ink differs by no more, for each square that they are wide; and one is the same
across the diagonal. All of these are our own choice, no source."""
_DIGITS = 9
_FLIP, _TURN = MIRRORS
# octants after a mirror across the diagonal from the top left
_SWAP = [5, 4, 3, 2, 1, 0, 7, 6]


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """A round corner of a letter.

    is_right, is_low: on which sides it is. row, column: where its outer square lies, from those sides on.
    """

    is_right: bool
    is_low: bool
    row: int
    column: int

    def of(self, values: NDArray[T], wide: int) -> NDArray[T]:
        """Return (..., wide, wide, 8) what lies at the corner of letters; less where they end."""
        seen = self._seen(values)
        return seen[..., self.row : self.row + wide, self.column : self.column + wide, :]

    def put(self, shown: Bools, patterns: Bools) -> Bools:
        """Return stitches of letters, each with a pattern at the corner."""
        seen = self._seen(shown).copy()
        rows, columns, _ = patterns.shape[-3:]
        seen[..., self.row : self.row + rows, self.column : self.column + columns, :] = patterns
        return self._seen(seen)

    def holes(self, shape: tuple[int, ...], wide: int) -> Bools:
        """Return which holes of a letter, (rows + 1, columns + 1), are those of the corner."""
        at = np.zeros(shape, np.bool_)
        at[self.row : self.row + wide, self.column : self.column + wide] = True
        return at[:: -1 if self.is_low else 1, :: -1 if self.is_right else 1]

    def _seen(self, values: NDArray[T]) -> NDArray[T]:
        """Return a letter so that the corner is at the top left; twice is as it was."""
        return _mirrored(values, is_right=self.is_right, is_low=self.is_low)


@dataclass(frozen=True, slots=True, kw_only=True)
class Alike:
    """Round corners that are alike: how wide they are, and whether they are so across the diagonal, too."""

    corners: tuple[Corner, ...]
    wide: int
    is_even: bool


def swapped(values: NDArray[T]) -> NDArray[T]:
    """Return what lies at a corner mirrored across the diagonal."""
    return values.swapaxes(0, 1)[..., _SWAP]


def alike_corners(areas: Floats) -> list[Alike]:
    """Return the round corners of a letter, by which are to be stitched alike; some are like no other.

    Args:
        areas: (rows, columns, 8) of its outline, as symmetric as the letter is to be.
    """
    areas = np.round(areas, _DIGITS)
    groups: list[list[tuple[Corner, int]]] = []
    for one in _corners(areas):
        near = [group for group in groups if any(_is_alike(areas, one, other) for other in group)]
        groups = [group for group in groups if group not in near]
        groups.append([*(other for group in near for other in group), one])
    found = []
    for group in groups:
        wide, corners = max(wide for _, wide in group), tuple(corner for corner, _ in group)
        parts = [corner.of(areas, wide) for corner in corners]
        is_even = all(_differ(part, swapped(part)) <= _EVEN * wide for part in parts)
        found.append(Alike(corners=corners, wide=wide, is_even=is_even))
    return found


def _is_alike(areas: Floats, one: tuple[Corner, int], other: tuple[Corner, int]) -> bool:
    wide = max(one[1], other[1])
    return _differ(one[0].of(areas, wide), other[0].of(areas, wide)) <= _ALIKE * wide


def _differ(one: Floats, other: Floats) -> float:
    return float(abs(one - other).sum()) if one.shape == other.shape else np.inf


def _corners(areas: Floats) -> Iterator[tuple[Corner, int]]:
    """Yield the round corners, and how many squares wide and high each is."""
    for is_right in (False, True):
        for is_low in (False, True):
            ink = _mirrored(areas, is_right=is_right, is_low=is_low).sum(axis=-1)
            around = np.pad(ink, ((1, 0), (1, 0)))
            for row, column in np.argwhere(ink < _ROUND).tolist():
                wide = _width(around[row:, column:])
                if wide:
                    yield Corner(is_right=is_right, is_low=is_low, row=row, column=column), wide


def _width(around: Floats) -> int:
    """Return how wide a round corner is, 0 where there is none: how much ink lies from before it on."""
    for wide in range(_LEAST, min(_MOST + 2, *around.shape) - 1):
        if max(around[0, : wide + 1].max(), around[: wide + 1, 0].max()) > _OUTSIDE:
            break
        is_straight = min(around[1, wide], around[wide, 1]) >= _STRAIGHT
        if is_straight and min(around[1, wide + 1], around[wide + 1, 1]) >= _GOING_ON:
            return wide
    return 0


def _mirrored(values: NDArray[T], *, is_right: bool, is_low: bool) -> NDArray[T]:
    if is_right:
        values = values[..., ::-1, :][..., _FLIP]
    if is_low:
        values = values[..., ::-1, :, :][..., _TURN]
    return values
