"""The upright and level edges of a letter: where its strokes begin and end across the page and down it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.polygon import Polygon

Array = NDArray[np.float64]

_NEAR = float(np.tan(np.radians(15.0)))
"""Around the outermost point of a curve its edge counts as upright up to this slope."""
_END = 0.5
"""How far a stroke is taken to go on straight from where it ends, in squares."""
_STRAIGHT = float(np.tan(np.radians(4.0)))
"""A slanted edge is upright up to this slope."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """An edge along the other axis: its place, whether the ink begins there, from where to where it runs.

    is_end: whether it is one straight line and the outline turns towards the ink on both sides of it, as
    where a stroke ends.
    """

    at: float
    begins: bool
    low: float
    high: float
    is_end: bool = False

    @property
    def length(self) -> float:
        """How long it is."""
        return self.high - self.low

    def shares(self, other: "Edge") -> float:
        """Return how much of its length lies beside another edge."""
        return min(self.high, other.high) - max(self.low, other.low)


def upright_edges(polygon: Polygon) -> list[Edge]:
    """Return the upright edges of a region without overlaps whose outer contours run clockwise."""
    return [edge for contour in polygon.contours() for edge in _edges(contour, rises=True)]


def level_edges(polygon: Polygon) -> list[Edge]:
    """Return the level edges, the top ones as those where the ink begins."""
    return [edge for contour in polygon.contours() for edge in _edges(contour[:, ::-1], rises=False)]


def _edges(contour: Array, *, rises: bool) -> Iterator[Edge]:
    """Yield the edges along y of a contour; the ink is where x is larger if it rises (y gets smaller)."""
    steps = np.roll(contour, -1, axis=0) - contour
    kept = np.hypot(*steps.T) > 0
    points, steps = contour[kept], steps[kept]
    if len(points) < 3:
        return
    near = np.abs(steps[:, 0]) <= _NEAR * np.abs(steps[:, 1])
    way = np.where(near, np.sign(steps[:, 1]), 0.0)
    changes = np.flatnonzero(way != np.roll(way, 1))
    if not len(changes):
        return
    for first, last in zip(changes, np.roll(changes, -1), strict=True):
        count = (last - first) % len(points) or len(points)
        if not way[first]:
            continue
        indices = (first + np.arange(count + 1)) % len(points)
        xs, ys = points[indices].T
        at = _place(xs, ys, before=points[first - 1], after=points[(last + 1) % len(points)])
        if at is not None:
            begins = bool((way[first] < 0) == rises)
            beside = np.array([points[first - 1, 0], points[(last + 1) % len(points), 0]])
            is_straight = np.ptp(xs) <= 0.03 * np.ptp(ys)
            is_end = is_straight and bool(((beside > at) if begins else (beside < at)).all())
            yield Edge(at=at, begins=begins, low=float(ys.min()), high=float(ys.max()), is_end=is_end)


def _place(xs: Array, ys: Array, *, before: Array, after: Array) -> float | None:
    """Return where an edge is: at its outermost point, or in the middle of a straight one; else None."""
    drift = xs[-1] - xs[0]
    if abs(drift) <= _STRAIGHT * abs(ys[-1] - ys[0]) and np.ptp(xs) <= 1.05 * abs(drift) + 1e-9:
        return float((xs[0] + xs[-1]) / 2)
    turns = np.diff(xs)
    if (turns > 0).any() and (turns < 0).any():
        return float(xs.max() if xs.max() > max(xs[0], xs[-1]) else xs.min())
    return _outermost_end(xs, before=float(before[0]), after=float(after[0]))


def _outermost_end(xs: Array, *, before: float, after: float) -> float | None:
    """Return the end of an edge beyond which the contour turns back, None where it goes on."""
    way = np.sign(xs[-1] - xs[0])
    if way == 0:
        return float(xs[0])
    if np.sign(after - xs[-1]) == -way:
        return float(xs[-1])
    if np.sign(xs[0] - before) == -way:
        return float(xs[0])
    return None


def hollow_floors(polygon: Polygon) -> list[float]:
    """Return how far down the page each hollow of a region reaches, whose hollows are drawn backwards."""
    floors = []
    for contour in polygon.contours():
        x, y = contour.T
        if float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum()) < 0:  # counter-clockwise
            floors.append(float(y.max()))
    return floors


def waist_edges(polygon: Polygon) -> list[Edge]:
    """Return level edges of the strokes that cross the middle of a region between others above and below.

    The waist of an 8 is a slant, yet where left and right are alike it is a bar: as high as in the middle.
    """
    middle = float(polygon.points[:, 0].min() + polygon.points[:, 0].max()) / 2
    x0, y0, x1, y1 = polygon.edges().T
    met = (x0 <= middle) != (x1 <= middle)
    x0, y0, x1, y1 = x0[met], y0[met], x1[met], y1[met]
    places = np.sort(y0 + (middle - x0) / (x1 - x0) * (y1 - y0))[2:-2]
    return [
        Edge(at=float(at), begins=index % 2 == 0, low=middle - _END, high=middle + _END)
        for index, at in enumerate(places)
    ]


def stroke_ends(level: Sequence[Edge], *, most: float, more: float) -> list[Edge]:
    """Return the upright edges of strokes that end level, as slanted ones do: their corners.

    Args:
        level: the level edges of a letter.
        most: how wide a stroke may be there.
        more: how much wider strokes become before they are moved.
    """
    found = []
    for edge in level:
        if edge.is_end and edge.length <= most:
            low, high = sorted((edge.at, edge.at + (_END if edge.begins else -_END)))
            found.append(Edge(at=edge.low - more / 2, begins=True, low=low, high=high))
            found.append(Edge(at=edge.high + more / 2, begins=False, low=low, high=high))
    return found
