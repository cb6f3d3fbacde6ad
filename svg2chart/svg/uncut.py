"""What a clip shows wholly, as the frame of a picture does that holds the words in it."""

from collections.abc import Sequence
from functools import lru_cache
from math import hypot

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import Clip, ClipPart
from svg2chart.geometry.box import Box
from svg2chart.geometry.cut import is_inside, windings
from svg2chart.geometry.flatten import flatten_paths
from svg2chart.geometry.path import Path
from svg2chart.geometry.polygon import edges_of

Array = NDArray[np.float64]

_PARTS = 100_000  # curves are flattened within the diagonal of their box over this, finer than any grid shows


def shows_whole(clips: Sequence[Clip], clip: int | None, box: Box) -> bool:
    """Whether all that lies in a box is seen in a clip, None for none.

    A box that one shape of a clip holds only together with others counts as cut, and so does one in a
    shape that has a clip of its own.
    """
    while clip is not None:
        if not any(_holds(part, box) for part in clips[clip].parts):
            return False
        clip = clips[clip].within
    return True


def _holds(part: ClipPart, box: Box) -> bool:
    """Whether the middle of a box is in a shape of a clip whose outline stays out of the box."""
    around = part.path.box()
    if part.clip is not None or around is None or around.within(box) != box:
        return False
    edges = _edges(part.path, hypot(around.width, around.height))
    middle = np.array([[(box.left + box.right) / 2, (box.top + box.bottom) / 2]])
    return bool(is_inside(windings(middle, edges), part.rule)[0]) and not _meet(edges, box)


@lru_cache(maxsize=16)  # many words stand in one frame
def _edges(path: Path, diagonal: float) -> Array:
    """Return the (n, 4) edges of a path that is so large across, of one that is a point none."""
    if diagonal == 0:
        return np.zeros((0, 4))
    (outline,) = flatten_paths([path], tolerance=diagonal / _PARTS)
    return edges_of(outline.points, outline.starts)


def _meet(edges: Array, box: Box) -> bool:
    """Whether any of (n, 4) edges comes into a box, its own sides left out.

    One that stays out lies beside the box, or has all corners of it on one side.
    """
    starts, ends = edges[:, :2], edges[:, 2:]
    is_before = np.maximum(starts, ends) <= (box.left, box.top)
    is_after = np.minimum(starts, ends) >= (box.right, box.bottom)
    corners = np.array([(x, y) for x in (box.left, box.right) for y in (box.top, box.bottom)])
    along, across = (ends - starts)[:, None], corners - starts[:, None]
    turns = along[..., 0] * across[..., 1] - along[..., 1] * across[..., 0]
    is_on_one_side = (turns >= 0).all(axis=1) | (turns <= 0).all(axis=1)
    return not (np.any(is_before | is_after, axis=1) | is_on_one_side).all()
