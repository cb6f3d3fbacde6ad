"""How surely a symbol is known again where a chart uses it: small in a corner of a square, and under a line.

The surplus of a symbol over another: how much more it looks like itself than like the other, when it was
copied twice and both are known as they were printed. Below 0 the one is taken for the other.
"""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from svg2chart.chart import Corner
from svg2chart.pages.fractions import DIAGONAL_MM, INK_GAP, QUARTER_MM, SMALL
from svg2chart.pages.lines import HALO_MM, LINE_MM
from svg2chart.pages.ruling import THIN_MM
from svg2chart.symbol_drawing import Contour, Symbol, bar
from svg2chart.symbols import DOTS_PER_INCH, Array, as_seen, render
from svg2chart.units import MM_PER_INCH

Mask = NDArray[np.bool_]

SIDE_MM = 3.0  # the smallest square with fractions
COPIES = ((0.3, 0.3), (0.62, 0.62))  # dark, faint
MARGIN = 3  # dots round the square
RIM = 2  # dots at the edge of a square that are the grid's
SMEAR_MM = 0.05  # so far a copy blurs the edge of a line
HALF = 0.54  # a fraction with what it sends over the middle, in squares
SHIFTS = [(down, right) for down in (-1, 0, 1) for right in (-1, 0, 1)]


def in_corners(symbols: Sequence[Symbol]) -> Array:
    """Return the least surplus of each symbol over each other one as a fraction, in each of the corners."""
    least = np.full((len(symbols), len(symbols)), np.inf)
    diagonal = np.sqrt(2) * (DIAGONAL_MM / 2 + SMEAR_MM) / SIDE_MM
    for corner in Corner:
        beside = np.abs(_places() - np.array(corner.place)[:, None, None])
        rim = RIM / _dots()
        part = (beside > rim).all(0) & (beside < HALF - rim).all(0) & (beside.sum(0) < 1 - diagonal)
        for lines in (_diagonal(corner), _diagonal(corner) + _box(corner)):
            ruled = render(Symbol("lines", _grid() + lines), SIDE_MM) >= 0.5
            printed = [(render(_small(symbol, corner), SIDE_MM) >= 0.5) | ruled for symbol in symbols]
            least = np.minimum(least, surplus(np.stack(printed).astype(np.float64), part))
    return least


def under_lines(symbols: Sequence[Symbol]) -> Array:
    """Return the same for whole symbols, what a line across the square hides left out."""
    printed = np.stack([render(symbol, SIDE_MM) >= 0.5 for symbol in symbols]).astype(np.float64)
    least = np.full((len(symbols), len(symbols)), np.inf)
    for part in _beside_lines():
        least = np.minimum(least, surplus(printed, part))
    return least


def surplus(printed: Array, part: Mask) -> Array:
    """Return the least surplus over dark and faint copies, (symbol, symbol), seen in a part of the square."""
    known = _normalised(as_seen(printed)[:, part])
    least = np.full((len(printed), len(printed)), np.inf)
    for copies in COPIES:
        seen = as_seen(printed, copies)
        likeness = np.max(
            [_normalised(np.roll(seen, shift, axis=(1, 2))[:, part]) @ known.T for shift in SHIFTS], axis=0
        )
        least = np.minimum(least, np.diag(likeness)[:, None] - likeness)
    np.fill_diagonal(least, np.inf)
    return np.asarray(np.minimum(least, least.T))


def _normalised(images: Array) -> Array:
    apart = images - images.mean(axis=1, keepdims=True)
    length = np.linalg.norm(apart, axis=1, keepdims=True)
    return np.asarray(apart / np.where(length == 0, 1.0, length))


def _dots() -> int:
    return round(SIDE_MM / MM_PER_INCH * DOTS_PER_INCH)


def _places() -> Array:
    """Return (x and y, row, column) where the dots of a rendered square lie, in squares."""
    steps = (np.arange(_dots() + 2 * MARGIN) + 0.5 - MARGIN) / _dots()
    return np.stack(np.meshgrid(steps, steps))


def _beside_lines() -> Iterator[Mask]:
    """Yield what is seen of a square beside a line along each diagonal and through the middle."""
    x, y = _places()
    for a, b in ((1, -1), (1, 1), (1, 0), (0, 1)):
        away = np.abs(a * (x - 0.5) + b * (y - 0.5)) / np.hypot(a, b)
        yield away > (LINE_MM / 2 + HALO_MM + SMEAR_MM) / SIDE_MM


def _small(symbol: Symbol, corner: Corner) -> Symbol:
    """Return a symbol as `pages.fractions` puts it into a corner."""
    x, y = corner.place
    left, top, right, bottom = symbol.ink_box
    across = 1 - INK_GAP - right * SMALL if x else INK_GAP - left * SMALL
    down = 1 - INK_GAP - bottom * SMALL if y else INK_GAP - top * SMALL
    placed = (tuple((across + a * SMALL, down + b * SMALL) for a, b in c) for c in symbol.contours)
    return Symbol(symbol.name, tuple(placed))


def _grid() -> tuple[Contour, ...]:
    ends = (((-1, 0), (2, 0)), ((-1, 1), (2, 1)), ((0, -1), (0, 2)), ((1, -1), (1, 2)))
    return tuple(bar(start, end, THIN_MM / SIDE_MM) for start, end in ends)


def _diagonal(corner: Corner) -> tuple[Contour, ...]:
    x, y = corner.place
    return (bar((1 - x, y), (x, 1 - y), DIAGONAL_MM / SIDE_MM),)


def _box(corner: Corner) -> tuple[Contour, ...]:
    x, y = corner.place
    return tuple(bar(end, (0.5, 0.5), QUARTER_MM / SIDE_MM) for end in ((0.5, y), (x, 0.5)))
