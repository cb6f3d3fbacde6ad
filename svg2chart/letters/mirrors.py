"""Letters that are symmetric: which are, and their stitches made exactly so."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.straight import MIRRORS
from svg2chart.geometry.growing import symmetric_share
from svg2chart.geometry.polygon import Polygon
from svg2chart.letters.choices import Weights, choices
from svg2chart.letters.squares import Outlines, energies

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Mirrors = tuple[bool, bool, bool]
"""Whether a letter is the same mirrored left to right, top to bottom, and turned half round."""

NO_MIRRORS: Mirrors = (False, False, False)
_SYMMETRIC = 0.93
"""A letter that shares so much of its area with its mirror image is meant to be symmetric."""
_SURELY_SYMMETRIC = 0.8
"""From so much on, a letter that is symmetric in writing is never stitched otherwise."""
_MEANT_SYMMETRIC, _ALL_THIN = 0.78, 0.62
"""The same for letters that are symmetric in writing; and for those where all strokes become one square, so
that thick and thin ones are alike."""
SYMMETRIC_LETTERS = frozenset("AHIMOTUVWXYovwxil08")

_FLIP, _TURN = MIRRORS


def find_mirrors(polygon: Polygon, text: str, *, is_thin: bool) -> list[Mirrors]:
    """Return how a letter may be symmetric, what it is meant to be first.

    A letter that is symmetric in writing but hardly in its outline, as one with a serif on one side only,
    may also be stitched as it is drawn. So may one that is symmetric from top to bottom: the bar of an E
    of even height has no middle row to lie in.

    Args:
        polygon: its outline.
        text: the letter that it is.
        is_thin: all its strokes become one square wide.
    """
    centre = polygon.points.min(axis=0) + polygon.points.max(axis=0)
    meant = _ALL_THIN if is_thin else _MEANT_SYMMETRIC
    least = (meant if text in SYMMETRIC_LETTERS else _SYMMETRIC, _SYMMETRIC, _SYMMETRIC)
    shares = []
    for flip in ((-1, 1), (1, -1), (-1, -1)):
        image = replace(polygon, points=np.where(np.array(flip) < 0, centre - polygon.points, polygon.points))
        shares.append(symmetric_share(polygon, image))
    across, down, turned = (share >= needed for share, needed in zip(shares, least, strict=True))
    every = across + down + turned > 1  # two of the three make the third
    found = [(across or every, down or every, turned or every)]
    if down or turned:
        found.append((across, False, False))
    if across and shares[0] < _SURELY_SYMMETRIC:
        found.append(NO_MIRRORS)
    return list(dict.fromkeys(found))


def put_mirrored(shown: Bools, rows: Ints, columns: Ints, patterns: Bools, mirrors: Mirrors) -> None:
    """Put a pattern in one square of each letter, (letters, rows, columns, 8), and its images in others."""
    each = np.arange(len(shown))
    down, across = shown.shape[1] - 1 - rows, shown.shape[2] - 1 - columns
    shown[each, rows, columns] = patterns
    if mirrors[0]:
        shown[each, rows, across] = patterns[:, _FLIP]
    if mirrors[1]:
        shown[each, down, columns] = patterns[:, _TURN]
    if mirrors[2] or (mirrors[0] and mirrors[1]):
        shown[each, down, across] = patterns[:, _FLIP][:, _TURN]


def _images(values: Floats, mirrors: Mirrors) -> list[Floats]:
    images = [values]
    if mirrors[0]:
        images.append(values[:, :, ::-1][..., _FLIP])
    if mirrors[1]:
        images.append(values[:, ::-1][..., _TURN])
    if mirrors[2] or (mirrors[0] and mirrors[1]):
        images.append(values[:, ::-1, ::-1][..., _FLIP][..., _TURN])
    return images


def evened(areas: Floats, mirrors: Mirrors) -> Floats:
    """Return areas, (letters, rows, columns, 8), as symmetric as the letter: the mean of their images."""
    return np.asarray(np.mean(_images(areas, mirrors), axis=0))


def allowed_with(rows: int, columns: int, mirrors: Mirrors) -> Bools:
    """Return what each square may hold, (rows, columns, choices): what lies on a mirror is its own image."""
    shown = choices().shown
    allowed = np.ones((rows, columns, len(shown)), np.bool_)
    if mirrors[0] and columns % 2:
        allowed[:, columns // 2] &= (shown == shown[:, _FLIP]).all(axis=1)
    if mirrors[1] and rows % 2:
        allowed[rows // 2] &= (shown == shown[:, _TURN]).all(axis=1)
    if mirrors[2] and rows % 2 and columns % 2:
        allowed[rows // 2, columns // 2] &= (shown == shown[:, _FLIP][:, _TURN]).all(axis=1)
    return allowed


def mirrored(
    outlines: Outlines, shown: Bools, energy: Floats, mirrors: Mirrors, weights: Weights
) -> tuple[Bools, Floats]:
    """Return stitches as symmetric as the letter: of the ways to mirror one half the cheapest."""
    rows, columns = shown.shape[1:3]
    down, across = np.arange(rows) - (rows - 1) / 2, np.arange(columns) - (columns - 1) / 2
    if mirrors[0]:
        shown, energy = _best_half(
            outlines, shown, shown[:, :, ::-1][..., _FLIP], np.broadcast_to(across, (rows, columns)), weights
        )
    if mirrors[1]:
        shown, energy = _best_half(
            outlines,
            shown,
            shown[:, ::-1][..., _TURN],
            np.broadcast_to(down[:, None], (rows, columns)),
            weights,
        )
    if mirrors[2] and not (mirrors[0] and mirrors[1]):
        image = shown[:, ::-1, ::-1][..., _FLIP][..., _TURN]
        shown, energy = _best_half(outlines, shown, image, down[:, None] * 2 * columns + across, weights)
    return shown, energy


def _best_half(
    outlines: Outlines, shown: Bools, image: Bools, side: Floats, weights: Weights
) -> tuple[Bools, Floats]:
    """Return the cheaper of both halves with its image; `side` is above, below or at nought."""
    tries = [np.where((side * sign >= 0)[..., None], shown, image) for sign in (-1, 1)]
    costs = [energies(outlines, one, weights) for one in tries]
    lower = costs[1] < costs[0] - 1e-9
    return np.where(lower[:, None, None, None], tries[1], tries[0]), np.where(lower, costs[1], costs[0])
