"""Glyphs on the squares, as values; and several put together to one."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class FittedGlyph:
    """A glyph on the squares.

    shown: (rows, columns, 8) which octants are stitched. top: row of its first row, 0 below the baseline is
    the first row under it. left: column of its first column from where the glyph starts.
    """

    shown: Bools
    top: int
    left: int

    @property
    def bottom(self) -> int:
        """The row after its last one."""
        return self.top + int(self.shown.shape[0])

    @property
    def right(self) -> int:
        """The column after its last one."""
        return self.left + int(self.shown.shape[1])


def put_together(glyphs: Sequence[FittedGlyph]) -> FittedGlyph:
    """Return glyphs, one or more, as one."""
    left, top = min(one.left for one in glyphs), min(one.top for one in glyphs)
    right, bottom = max(one.right for one in glyphs), max(one.bottom for one in glyphs)
    shown = np.zeros((bottom - top, right - left, 8), np.bool_)
    for one in glyphs:
        shown[one.top - top : one.bottom - top, one.left - left : one.right - left] |= one.shown
    return FittedGlyph(shown=shown, top=top, left=left)
