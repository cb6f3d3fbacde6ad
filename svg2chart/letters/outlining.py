"""Stitched letters as outlines along the sides of their octants."""

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import BESIDE, FACES

Bools = NDArray[np.bool_]
Point = tuple[int, int]

# the corners of octants clockwise from the top, in half squares: 7 | 0 is at the top
_RIM = ((1, 0), (2, 0), (2, 1), (2, 2), (1, 2), (0, 2), (0, 1), (0, 0))
_TURNS = ((0, -1), (1, -1), (1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1))


def outlines_of(shown: Bools) -> list[list[Point]]:
    """Return the closed outlines of stitched octants, corners in half squares, stitches on the right hand.

    At a point where stitches only touch, outlines turn right, so that what touches is apart.

    Args:
        shown: (rows, columns, 8).
    """
    ways: dict[Point, list[Point]] = {}
    for start, end in _sides(shown):
        ways.setdefault(start, []).append(end)
    outlines = []
    while ways:
        start = min(ways)
        outline, at, before = [start], start, None
        while True:
            after = _next(ways, at, before)
            before, at = at, after
            if at == start:
                break
            outline.append(at)
        outlines.append(_without_straights(outline))
    return outlines


def _sides(shown: Bools) -> list[tuple[Point, Point]]:
    """Return the sides of octants that have stitches on one hand only, these on the right, in order."""
    rows, columns, _ = shown.shape
    framed = np.zeros((rows + 2, columns + 2, 8), np.bool_)
    framed[1:-1, 1:-1] = shown
    rim = np.array(_RIM)
    sides = []
    for octant, (down, right) in enumerate(BESIDE):
        there = framed[1 + down : 1 + down + rows, 1 + right : 1 + right + columns, FACES[octant]]
        one, other, middle = rim[octant], rim[(octant + 1) % 8], np.array((1, 1))
        for start, end, facing in (
            (middle, one, shown[..., octant - 1]),
            (one, other, there),
            (other, middle, shown[..., (octant + 1) % 8]),
        ):
            corners = 2 * np.argwhere(shown[..., octant] & ~facing)[:, ::-1]
            sides.append(np.concatenate([corners + start, corners + end], axis=1))
    return sorted(((x0, y0), (x1, y1)) for x0, y0, x1, y1 in np.concatenate(sides).tolist())


def _next(ways: dict[Point, list[Point]], at: Point, before: Point | None) -> Point:
    """Return where an outline goes on, and take that way: of several the one farthest to the right."""
    ends = ways[at]
    if before is None or len(ends) == 1:
        chosen = ends[0]
    else:
        came = _turn(before, at)
        chosen = max(ends, key=lambda end: (_turn(at, end) - came + 4) % 8)
    ends.remove(chosen)
    if not ends:
        del ways[at]
    return chosen


def _turn(start: Point, end: Point) -> int:
    step = tuple(int(np.sign(b - a)) for a, b in zip(start, end, strict=True))
    return _TURNS.index(step)


def _without_straights(outline: list[Point]) -> list[Point]:
    """Return the corners of an outline at which it turns."""
    return [
        point
        for k, point in enumerate(outline)
        if _turn(outline[k - 1], point) != _turn(point, outline[(k + 1) % len(outline)])
    ]
