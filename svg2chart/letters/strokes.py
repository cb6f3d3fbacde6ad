"""How many strokes a letter shows beside each other: where it has gaps they are not to run together."""

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.polygon import Polygon

Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

_STEP = 1 / 16  # squares from one line across an outline to the next
_GAP = 0.3
"""A gap of an outline counts from so many squares on."""
_LASTING = 0.6
"""Strokes beside each other count where they are so over so many squares."""
# the octants that a line meets, at a quarter and at three quarters of a square
_ACROSS = ((6, 7, 0, 1), (5, 4, 3, 2))
_DOWN = ((7, 6, 5, 4), (0, 1, 2, 3))


def strokes_of(outline: Polygon) -> tuple[int, int]:
    """Return how many strokes lie beside each other at the most, on level lines and on upright ones.

    Args:
        outline: without overlaps, in squares.
    """
    edges = outline.edges()
    return _most(edges), _most(edges[:, [1, 0, 3, 2]])


def stitched_strokes(shown: Bools) -> tuple[Ints, Ints]:
    """Return the same for each of several stitched letters.

    Args:
        shown: (letters, rows, columns, 8) which octants are stitched.
    """
    level = [_runs(shown[..., list(line)].reshape(*shown.shape[:2], -1)) for line in _ACROSS]
    turned = shown.swapaxes(1, 2)
    upright = [_runs(turned[..., list(line)].reshape(*turned.shape[:2], -1)) for line in _DOWN]
    return np.maximum(*level), np.maximum(*upright)


def _runs(lines: Bools) -> Ints:
    """Return the most stretches of ink on any line of each letter; `lines`: (letters, lines, places)."""
    before = np.zeros_like(lines)
    before[..., 1:] = lines[..., :-1]
    return np.asarray((lines & ~before).sum(axis=-1).max(axis=-1, initial=0))


def _most(edges: NDArray[np.float64]) -> int:
    """Return how many stretches of ink level lines meet, over enough of the height."""
    x0, y0, x1, y1 = edges.T
    counts = []
    for y in np.arange(float(y0.min()) + _STEP / 2, float(y0.max()), _STEP):
        met = (y0 <= y) != (y1 <= y)
        xs = np.sort(x0[met] + (y - y0[met]) / (y1[met] - y0[met]) * (x1[met] - x0[met]))
        counts.append(1 + int((xs[2::2] - xs[1:-1:2] >= _GAP).sum()) if len(xs) else 0)
    counts.sort(reverse=True)
    lasting = round(_LASTING / _STEP)
    return counts[min(lasting, len(counts) - 1)] if counts else 0
