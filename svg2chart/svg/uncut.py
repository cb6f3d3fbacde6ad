"""What a clip shows wholly, as the frame of a picture does that holds the words in it."""

from collections.abc import Sequence

import numpy as np

from svg2chart.artwork import Clip, ClipPart
from svg2chart.geometry.box import Box
from svg2chart.geometry.path import Path


def shows_whole(clips: Sequence[Clip], clip: int | None, box: Box) -> bool:
    """Whether all that lies in a box is seen in a clip, None for none.

    Only upright rectangles are looked at: a box that another shape holds counts as cut.
    """
    while clip is not None:
        if not any(_holds(part, box) for part in clips[clip].parts):
            return False
        clip = clips[clip].within
    return True


def _holds(part: ClipPart, box: Box) -> bool:
    frame = None if part.clip is not None else _upright_rectangle(part.path)
    return frame is not None and frame.within(box) == box


def _upright_rectangle(path: Path) -> Box | None:
    """Return the box of a path that is an upright rectangle, None for any other."""
    box = path.box()
    starts, ends = path.segments[:, 0], path.segments[:, 3]
    if box is None or len(starts) != 4:
        return None
    steps = ends - starts
    are_sides = np.count_nonzero(steps, axis=1) == 1
    are_straight = np.all((path.segments - starts[:, None]) * (steps == 0)[:, None] == 0)
    area = abs(np.sum(starts[:, 0] * ends[:, 1] - starts[:, 1] * ends[:, 0])) / 2
    is_whole = bool(np.isclose(area, box.width * box.height, rtol=1e-9, atol=0.0))  # rounding of the products
    return box if are_sides.all() and are_straight and is_whole else None
