"""Lines under, over and through words."""

from collections.abc import Sequence
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import Run, Words
from svg2chart.geometry.path import sides
from svg2chart.lettering.fonts import Face
from svg2chart.lettering.layout import Placed
from svg2chart.lettering.metrics import metrics_of

Array = NDArray[np.float64]


def line_contours(
    words: Words, placed: Sequence[Placed], faces: Sequence[Face], *, kind: str
) -> list[list[Array]]:
    """Return what the lines of a kind cover, for each run, as contours in the space of the words.

    A line is unbroken along letters that stand in a row; where they turn or follow a path it has a piece for
    each. `kind` is "underline", "overline" or "line-through"; its height and width are those that the run's
    font gives, in columns those of the edges and the middle of its letters.
    """
    contours: list[list[Array]] = [[] for _ in words.runs]
    for (index, _), stretch in groupby(enumerate(placed), key=lambda item: _row(words, *item)):
        row = [one for _, one in stretch]
        run = words.runs[index]
        height, width = _height_and_width(run, faces[index], kind, is_vertical=words.is_vertical)
        end = sum(one.cluster.advance for one in row)
        corners = np.array([(0.0, -width / 2), (end, -width / 2), (end, width / 2), (0.0, width / 2)])
        contours[index].append(sides(row[0].place.apply(corners - (0.0, height))))
    return contours


def _row(words: Words, position: int, one: Placed) -> tuple[int, int]:
    """Return what tells one piece of a line from the next: the run, and the letter where each has its own."""
    run = words.runs[one.cluster.run]
    return one.cluster.run, position if run.turn or run.track is not None else -1


def _height_and_width(run: Run, face: Face, kind: str, *, is_vertical: bool) -> tuple[float, float]:
    """Return how high above the baseline the middle of a line lies, and its width."""
    metrics = metrics_of(face)
    half = (metrics.ascent - metrics.descent) / 2
    heights = {"underline": metrics.underline, "overline": metrics.ascent, "line-through": metrics.strike}
    if is_vertical:
        heights = {"underline": -half, "overline": half, "line-through": 0.0}
    return heights[kind] * run.size, metrics.line_width * run.size
