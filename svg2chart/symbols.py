"""Symbols for threads: which marks, in which order, and how alike two of them print.

Two symbols are compared as they would be read: small, on paper, after copying.
The order is nested: a chart of n threads takes the first n, and the first n are
chosen to be as unlike as this set allows. Which thread takes which is decided in
`symbol_assignment`.
"""

from collections.abc import Collection, Sequence

import numpy as np
from numpy.typing import NDArray

from svg2chart.errors import PageError
from svg2chart.symbol_drawing import Symbol
from svg2chart.symbol_shapes import CANDIDATES
from svg2chart.units import MM_PER_INCH

Array = NDArray[np.float64]

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789"
"""The characters that stand for the symbols of threads in text, in the order of the key."""

DOTS_PER_INCH = 300  # common practice for office printers, no source
WHOLE_MM = 2.2  # the smallest whole square
SMALL_MM = 1.5  # half a square of 3 mm: less than a small mark there (scale 0.6) has
_BLUR_MM = 0.10  # what the eye still joins at reading distance
_SPREAD_MM = 0.06  # how far toner spreads or breaks away in one copy
_COPIES = ((), (0.3, 0.3), (0.62, 0.62))  # the print itself, two dark copies, two faint copies
_TURNED_WEIGHT = (
    0.85  # readers take a mark for its mirror image or quarter turn; at 0.75 they crowd the first twenty
)


def _winding(points: Array, contour: Array) -> NDArray[np.int64]:
    """Return how often a contour runs round each point, clockwise on the screen counted positive."""
    x, y = points[:, 0], points[:, 1]
    total = np.zeros(len(points), dtype=np.int64)
    for (x1, y1), (x2, y2) in zip(contour, np.roll(contour, -1, axis=0), strict=True):
        if y1 == y2:
            continue
        crossed = (y >= min(y1, y2)) & (y < max(y1, y2))
        right = x1 + (y - y1) * (x2 - x1) / (y2 - y1) > x
        total += np.where(crossed & right, 1 if y2 > y1 else -1, 0)
    return total


def render(symbol: Symbol, size_mm: float, *, margin: int = 3, samples: int = 3) -> Array:
    """Return the share of ink in each dot of a square printed at `DOTS_PER_INCH`, (rows, columns), 0 to 1.

    Args:
        symbol: the mark.
        size_mm: side of the square.
        margin: blank dots round the square.
        samples: points tested per dot in each direction.
    """
    dots = round(size_mm / MM_PER_INCH * DOTS_PER_INCH)
    steps = (np.arange((dots + 2 * margin) * samples) + 0.5) / samples - margin
    x, y = np.meshgrid(steps / dots, steps / dots)
    points = np.stack([x.ravel(), y.ravel()], axis=1)
    winding = sum(
        (_winding(points, np.array(c)) for c in symbol.contours), np.zeros(len(points), dtype=np.int64)
    )
    side = dots + 2 * margin
    return np.asarray((winding != 0).reshape(side, samples, side, samples).mean(axis=(1, 3)))


def _blurred(images: Array, sigma_dots: float) -> Array:
    """Return a Gaussian blur of images (symbol, row, column)."""
    reach = int(np.ceil(3 * sigma_dots))
    weights = np.exp(-(np.arange(-reach, reach + 1) ** 2) / (2 * sigma_dots**2))
    weights /= weights.sum()
    for axis in (1, 2):
        widths = [(0, 0), (0, 0), (0, 0)]
        widths[axis] = (reach, reach)
        padded = np.pad(images, widths)
        length = images.shape[axis]
        images = sum(
            (w * np.take(padded, range(i, i + length), axis=axis) for i, w in enumerate(weights)),
            np.zeros_like(images),
        )
    return images


def _normalised(images: Array) -> Array:
    """Return images as rows of zero mean and unit length; an empty image stays zero."""
    flat = images.reshape(len(images), -1)
    flat = flat - flat.mean(axis=1, keepdims=True)
    length = np.linalg.norm(flat, axis=1, keepdims=True)
    return np.asarray(flat / np.where(length == 0, 1.0, length))


def _likeness(images: Array, others: Array) -> Array:
    """Return the largest correlation of each image with each other one over shifts of one dot."""
    first = _normalised(images)
    best = np.full((len(images), len(others)), -1.0)
    for down in (-1, 0, 1):
        for right in (-1, 0, 1):
            best = np.maximum(best, first @ _normalised(np.roll(others, (down, right), axis=(1, 2))).T)
    return best


def distances(symbols: Sequence[Symbol], *, size_mm: float = WHOLE_MM) -> Array:
    """Return how unlike each two symbols look in print, (symbol, symbol): 0 the same, 1 unrelated.

    Args:
        symbols: the marks.
        size_mm: side of the square that they are printed in.

    1 - the largest zero-mean normalised cross-correlation over shifts of one
    dot, the least over print, dark and faint copies. A mirror image or quarter
    turn counts `_TURNED_WEIGHT` of its likeness.
    Rounded to 1e-6, so that an order made from it does not hang on the last bit.
    """
    likeness = np.zeros((len(symbols), len(symbols)))  # less alike than unrelated is no farther apart
    printed: Array = (np.stack([render(symbol, size_mm) for symbol in symbols]) >= 0.5).astype(np.float64)
    for thresholds in _COPIES:
        seen = as_seen(printed, thresholds)
        likeness = np.maximum(likeness, _likeness(seen, seen))
        for turned in _relatives(seen):
            likeness = np.maximum(likeness, _TURNED_WEIGHT * _likeness(seen, turned))
    apart = np.round(1 - np.maximum(likeness, likeness.T), 6)
    np.fill_diagonal(apart, 0.0)
    return np.asarray(apart)


def as_seen(printed: Array, thresholds: Sequence[float] = ()) -> Array:
    """Return one-bit images (symbol, row, column) as the eye sees them after a copy for each threshold."""
    dots_per_mm = DOTS_PER_INCH / MM_PER_INCH
    seen = printed
    for threshold in thresholds:
        seen = (_blurred(seen, _SPREAD_MM * dots_per_mm) > threshold).astype(np.float64)
    return _blurred(seen, _BLUR_MM * dots_per_mm)


def _relatives(images: Array) -> list[Array]:
    """Return the images turned by quarter turns, and mirrored and turned."""
    mirrored = images[:, :, ::-1]
    return [np.rot90(base, turns, axes=(1, 2)) for base in (images, mirrored) for turns in range(4)][1:]


def least_alike_order(apart: Array) -> list[int]:
    """Return indices so that each next one is as far as can be from all before it.

    Starts with the two that are farthest apart; ties go to the lower index.
    """
    size = len(apart)
    if size < 2:
        return list(range(size))
    start = divmod(int(np.argmax(apart)), size)
    order = list(start)
    nearest = np.minimum(apart[start[0]], apart[start[1]])
    while len(order) < size:
        masked = nearest.copy()
        masked[order] = -1.0
        chosen = int(np.argmax(masked))
        order.append(chosen)
        nearest = np.minimum(nearest, apart[chosen])
    return order


_ORDER = (
    "brackets-upright knot-leaning pair-level four-dots-turned moon-left tee-down propeller bow-up "
    "five-dots angles-upright cup-dot-right angle-dot-down open-ring-down post-block-up "
    "umbrella-up-leaning bubbles-down fork-right disc-half-down broad-trio-upright ell-right star-three "
    "umbrella-right triangle-outline-up chevron-down notched-disc-up box-in-box beam-disc-left heart "
    "lollipop-left sun-up sails-left tee-right-leaning boat-leaning ell-down angle-dot-right "
    "triangle-outline-left cup-dot-down triangle-outline-right sails-right angles-level "
    "twin-triangles-upright pinwheel kite-down-leaning twin-triangles-level sun-right "
    "umbrella-left-leaning angle-dot-left ell-left sails-up post-block-right angle-dot-up "
    "kite-right-leaning nine-dots moon-right double-chevron-right double-chevron-up kite-up-leaning "
    "umbrella-up umbrella-right-leaning umbrella-down-leaning sails-down flag-leaning "
)
"""What `tests/bench/symbols.py --pick` gives: groups of 20, 30, 40 and all that keep apart."""

_BY_NAME = {symbol.name: symbol for symbol in CANDIDATES}
SYMBOLS: tuple[Symbol, ...] = tuple(_BY_NAME[name] for name in _ORDER.split())
"""The symbols, the least alike first; as many as `LETTERS`."""


def symbols_for(threads: int, *, taken: Collection[str] = ()) -> tuple[Symbol, ...]:
    """Return symbols for so many threads: the first of `SYMBOLS` whose name is not taken.

    Raises:
        PageError: there are fewer symbols than threads.
    """
    free = tuple(s for s in SYMBOLS if s.name not in taken)
    if threads > len(free):
        raise PageError(
            f"{threads} threads of the chart need a symbol, and there are symbols for {len(free)}",
            way_out=f"Use at most {len(SYMBOLS)} threads",
        )
    return free[:threads]


def symbol_named(name: str) -> Symbol:
    """Return the symbol of that name.

    Raises:
        PageError: there is no such symbol.
    """
    symbol = _BY_NAME.get(name)
    if symbol is None:
        raise PageError(f'there is no symbol "{name}"', way_out="Name a symbol of this package in the thread")
    return symbol
