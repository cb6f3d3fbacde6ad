"""Backstitch and knots on paper: inks, dash patterns, lines joined end to end and cut at the page's edge."""

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from svg2chart.chart import Backstitch, Chart
from svg2chart.colour import Colour, contrast
from svg2chart.pages.sheet import BLACK, Point

LINE_MM = 0.5  # hides so little of a symbol that it crosses that the symbol is known again
BROAD_MM = 0.75  # of more than eight threads: broader, the line would hide too much
HALO_MM = 0.1  # white on either side of a line, so that symbols under it stay readable
_LONG, _SHORT, _POINT, _GAP = 2.4, 1.2, 0.35, 0.6

# every pattern repeats within two squares of 3 mm, so that a single stitch shows most of it
_PATTERNS: tuple[tuple[float, ...], ...] = (
    (),
    (_SHORT, _GAP),
    (_POINT, _GAP),
    (_LONG, _GAP, _POINT, _GAP),
    (_LONG, 1.1),
    (_SHORT, _GAP, _POINT, _GAP, _POINT, _GAP),
    (_LONG, _GAP, _SHORT, _GAP),
    (_POINT, 1.3),
)
_WHITE = Colour(1.0, 1.0, 1.0)
_LEAST_CONTRAST = 3.0  # of graphics against what is beside them; WCAG 2.1, success criterion 1.4.11


def back_threads(chart: Chart) -> tuple[int, ...]:
    """Return the threads that are used for backstitch, in the order of the key."""
    return tuple(sorted({stitch.thread for stitch in chart.backstitch}))


def line_style(place: int) -> tuple[float, tuple[float, ...]]:
    """Return width and dashes in mm of the backstitch thread at that place among those of the chart.

    Sixteen styles, all different in black and white; then they repeat.
    """
    width = (LINE_MM, BROAD_MM)[place // len(_PATTERNS) % 2]
    return width, _PATTERNS[place % len(_PATTERNS)]


def line_styles(chart: Chart) -> dict[int, tuple[float, tuple[float, ...]]]:
    """Return the style of each thread that is used for backstitch."""
    return {thread: line_style(place) for place, thread in enumerate(back_threads(chart))}


@lru_cache(maxsize=1024)
def line_ink(colour: str) -> str:
    """Return a thread's colour, darkened as far as a line needs to be seen on white."""
    thread = Colour.from_hex(colour)
    for step in range(21):
        share = 1 - step / 20
        ink = Colour.from_hex(Colour(thread.red * share, thread.green * share, thread.blue * share).hex)
        if contrast(ink, _WHITE) >= _LEAST_CONTRAST:
            return ink.hex
    return BLACK


def clipped(start: Point, end: Point, *, low: Point, high: Point) -> tuple[Point, Point] | None:
    """Return the part of a line that lies in a box, None where none does. Source: Liang and Barsky, 1984."""
    first, last = 0.0, 1.0
    for axis in (0, 1):
        step = end[axis] - start[axis]
        for edge, sign in ((low[axis], -1), (high[axis], 1)):
            room = sign * (edge - start[axis])
            if step == 0:
                if room < 0:
                    return None
            elif sign * step > 0:
                last = min(last, room / (sign * step))
            else:
                first = max(first, room / (sign * step))
    if first >= last:
        return None
    return _between(start, end, first), _between(start, end, last)


def _between(start: Point, end: Point, share: float) -> Point:
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def trails(
    stitches: Sequence[Backstitch], *, low: Point, high: Point
) -> tuple[tuple[int, tuple[Point, ...]], ...]:
    """Return the backstitch within a box as bent lines, each with its thread.

    Stitches that follow each other in the chart and share a hole and a thread
    are one line, so that its dashes run on.
    """
    joined: list[tuple[int, list[Point]]] = []
    for stitch in _near(stitches, low, high):
        piece = clipped(stitch.start, stitch.end, low=low, high=high)
        if piece is None:
            continue
        if joined and joined[-1][0] == stitch.thread and joined[-1][1][-1] == piece[0]:
            joined[-1][1].append(piece[1])
        else:
            joined.append((stitch.thread, list(piece)))
    return tuple((thread, tuple(points)) for thread, points in joined)


def _near(stitches: Sequence[Backstitch], low: Point, high: Point) -> list[Backstitch]:
    """Return the stitches whose own box touches a box, most of a large chart left out at once."""
    if not stitches:
        return []
    ends = np.array([(stitch.start, stitch.end) for stitch in stitches])
    reaches = (ends.max(axis=1) >= low).all(axis=1) & (ends.min(axis=1) <= high).all(axis=1)
    return [stitches[place] for place in np.flatnonzero(reaches).tolist()]


def is_within(point: Point, *, low: Point, high: Point) -> bool:
    """Whether a hole lies in a box or on its edge."""
    return all(math.isfinite(p) and a <= p <= b for p, a, b in zip(point, low, high, strict=True))
