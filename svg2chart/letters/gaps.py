"""The white between two letters, in the font and on the squares, and how far apart that puts them."""

from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.polygon import Polygon

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]

_BANDS = 4
"""A row is looked at in so many bands where letters are measured as they are drawn."""
_DEEPEST = 0.4
"""White is counted to so many heights of a capital: what lies deeper in a letter is not between letters."""
_LEAST = 1
"""So many squares stay bare between letters that do not touch in the font."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Profile:
    """How far a letter reaches left and right in each band from the top of the line to its bottom.

    left, right: (bands,) in squares from where the letter starts; inf and -inf where a band is bare.
    top: the row of the first band.
    """

    left: Array
    right: Array
    top: int


def outline_profile(outline: Polygon, *, top: int, bottom: int) -> Profile:
    """Return the profile of an outline with points close to each other, from one row to before another."""
    bands = (bottom - top) * _BANDS
    x0, y0, x1, y1 = outline.edges().T if len(outline.points) else np.zeros((4, 0))
    left, right = np.full(bands, np.inf), np.full(bands, -np.inf)
    for y, x in ((y0, x0), (y1, x1)):
        band = np.floor((y - top) * _BANDS).astype(int)
        inside = (band >= 0) & (band < bands)
        np.minimum.at(left, band[inside], x[inside])
        np.maximum.at(right, band[inside], x[inside])
    return Profile(left=left, right=right, top=top)


def stitched_profile(shown: Bools, *, first: int, column: int, top: int, bottom: int) -> Profile:
    """Return the profile of stitches whose first row and column are given, in the same bands.

    A slanted side counts from its middle.
    """
    left, right = np.full(bottom - top, np.inf), np.full(bottom - top, -np.inf)
    for index, row in enumerate(shown):
        places = np.flatnonzero(row.any(axis=1))
        if len(places) and 0 <= first + index - top < bottom - top:
            at = first + index - top
            left[at] = column + places[0] + 1 - row[places[0]].sum() / 8
            right[at] = column + places[-1] + row[places[-1]].sum() / 8
    return Profile(left=np.repeat(left, _BANDS), right=np.repeat(right, _BANDS), top=top)


def white(before: Profile, after: Profile, apart: float, *, rows: range, high: int) -> float:
    """Return the mean white between two letters that start so far apart, in squares.

    Args:
        before: of the letter before.
        after: of the letter after.
        apart: how far apart they start.
        rows: those in which it is taken: from the cap line to the baseline, where they have the same.
        high: of capitals.
    """
    deepest = _DEEPEST * high
    between = after.left + apart - before.right
    between = between[(rows.start - before.top) * _BANDS : (rows.stop - before.top) * _BANDS]
    return float(np.minimum(np.maximum(between, 0.0), deepest).mean())


def nearest(before: Profile, after: Profile, apart: float) -> float:
    """Return the least distance in any band; 0 or less where letters touch."""
    return float((after.left + apart - before.right).min())


def whole_apart(
    before: Profile, after: Profile, wanted: float, *, least: int, around: float, rows: range, high: int
) -> int:
    """Return how many squares apart two stitched letters start so that the white is nearest to a wanted one.

    Args:
        before: of the letter before, stitched.
        after: of the letter after, stitched.
        wanted: the white, in squares.
        least: they cannot start nearer.
        around: how far apart they start about.
        rows: those in which the white is taken.
        high: of capitals.
    """
    places = range(max(least, ceil(around) - 4), max(least, ceil(around) - 4) + 9)

    def wrong(apart: int) -> tuple[float, float, int]:
        off = round(abs(white(before, after, apart, rows=rows, high=high) - wanted), 6)
        return off, abs(apart - around), apart  # the white beside a high yod and a comma is as deep anywhere

    return min(places, key=wrong)


def least_apart(before: Bools, after: Bools, *, rows: tuple[int, int], columns: tuple[int, int]) -> int:
    """Return how far apart letters have to start so that a bare square stays between them, corners included.

    Args:
        before: which squares the letter before stitches, (rows, columns).
        after: those of the letter after.
        rows: the row of the first of each.
        columns: the column of the first of each, from where the letter starts.
    """
    least = -10_000
    ends = {rows[0] + index: np.flatnonzero(row) for index, row in enumerate(before)}
    for index, row in enumerate(after):
        starts = np.flatnonzero(row)
        if not len(starts):
            continue
        for near in (-1, 0, 1):
            places = ends.get(rows[1] + index + near)
            if places is not None and len(places):
                end = columns[0] + int(places[-1]) + 1
                least = max(least, end + _LEAST - columns[1] - int(starts[0]))
    return least
