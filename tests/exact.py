"""A slow second opinion: areas of polygons in exact rational numbers."""

from fractions import Fraction
from itertools import combinations, pairwise

Point = tuple[Fraction, Fraction]
Edge = tuple[Point, Point, int]  # upper end, lower end, 1 if drawn downwards else -1
CENTRE = (Fraction(1, 2), Fraction(1, 2))
RIM = [
    (Fraction(x, 2), Fraction(y, 2))
    for x, y in ((1, 0), (2, 0), (2, 1), (2, 2), (1, 2), (0, 2), (0, 1), (0, 0))
]


def octant(number: int, *, row: int, column: int) -> list[Point]:
    """Return the triangle of an octant; the eight are counted clockwise from the top."""
    corners = [CENTRE, RIM[number], RIM[(number + 1) % 8]]
    return [(x + column, y + row) for x, y in corners]


def edges(contours: list[list[Point]]) -> list[Edge]:
    """Return the edges of closed contours, level ones left out."""
    found = []
    for contour in contours:
        for start, end in zip(contour, [*contour[1:], *contour[:1]], strict=True):
            if start[1] != end[1]:
                down = start[1] < end[1]
                found.append((start, end, 1) if down else (end, start, -1))
    return found


def x_at(edge: tuple, y: Fraction) -> Fraction:
    (x0, y0), (x1, y1) = edge[:2]
    return x0 + (x1 - x0) * (y - y0) / (y1 - y0)


def crossing(one: tuple, other: tuple) -> list[Fraction]:
    """Return the height at which two edges cross inside both, if they do."""
    top, low = max(one[0][1], other[0][1]), min(one[1][1], other[1][1])
    if top >= low:
        return []
    above, below = x_at(one, top) - x_at(other, top), x_at(one, low) - x_at(other, low)
    return [top + (low - top) * above / (above - below)] if above * below < 0 else []


def shared_area(contours: list[list[Point]], window: list[Point], *, even_odd: bool) -> Fraction:
    """Return the area that a polygon and a convex window share, by strips between all events."""
    ours, frame = edges(contours), edges([window])
    both = [(*edge, False) for edge in ours] + [(*edge, True) for edge in frame]
    heights = {end[1] for edge in both for end in edge[:2]}
    heights |= {y for one, other in combinations(both, 2) for y in crossing(one, other)}
    total = Fraction(0)
    ordered = sorted(heights)
    for top, low in pairwise(ordered):
        middle = (top + low) / 2
        here = sorted((x_at(e, middle), e[3], e[2]) for e in both if e[0][1] <= top and e[1][1] >= low)
        winding, framed = 0, 0
        for (x, in_frame, sign), (following, _, _) in pairwise(here):
            framed += sign if in_frame else 0
            winding += 0 if in_frame else sign
            inside = winding % 2 == 1 if even_odd else winding != 0
            total += (following - x) * (low - top) if inside and framed else 0
    return total
