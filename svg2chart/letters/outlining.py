"""Stitched letters as outlines along the sides of their octants."""

import numpy as np
from numpy.typing import NDArray

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
    for start, end in sorted(_sides(shown)):
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


def _sides(shown: Bools) -> set[tuple[Point, Point]]:
    """Return the sides of octants that have stitches on one hand only, these on the right."""
    sides: set[tuple[Point, Point]] = set()
    for row, column, octant in np.argwhere(shown).tolist():
        left, top = 2 * column, 2 * row
        middle = (left + 1, top + 1)
        one, other = ((left + x, top + y) for x, y in (_RIM[octant], _RIM[(octant + 1) % 8]))
        for side in ((middle, one), (one, other), (other, middle)):
            if side[::-1] in sides:
                sides.remove(side[::-1])
            else:
                sides.add(side)
    return sides


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
