"""Polygons of any winding, and polylines."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from svg2chart.runs import within_groups

Array = NDArray[np.float64]


class FillRule(Enum):
    """Which points are inside: those of any winding but nought, or those of odd winding."""

    NONZERO = "nonzero"
    EVENODD = "evenodd"


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Polylines:
    """Several chains of points.

    points: (n, 2) float64.
    starts: (m + 1,) int64, chain k owns points[starts[k]:starts[k + 1]], at least one point each.
    closed: (m,) bool, whether the last point is joined to the first (which is not repeated).
    """

    points: Array
    starts: NDArray[np.int64]
    closed: NDArray[np.bool_]

    def __post_init__(self) -> None:
        for array in (self.points, self.starts, self.closed):
            array.setflags(write=False)

    @staticmethod
    def of_chains(chains: Sequence[tuple[Array, bool]]) -> "Polylines":
        """Return the lines of chains: their points, and whether each is closed."""
        return Polylines(
            points=np.concatenate([np.zeros((0, 2)), *(points for points, _ in chains)]),
            starts=np.concatenate([[0], np.cumsum([len(points) for points, _ in chains])]).astype(np.int64),
            closed=np.array([closed for _, closed in chains], dtype=np.bool_),
        )

    @property
    def length(self) -> float:
        """How long the chains are together, the last pieces of closed ones included."""
        return sum(float(np.hypot(*np.diff(walk, axis=0).T).sum()) for walk in self._walks())

    def spaced(self, step: float) -> Array:
        """Return (n, 2) points along all chains: their own, and between them so many that steps are short."""
        found = [np.zeros((0, 2))]
        for walk in self._walks():
            pieces = np.diff(walk, axis=0)
            counts = np.maximum(np.ceil(np.hypot(*pieces.T) / step), 1).astype(np.int64)
            shares = within_groups(counts) / np.repeat(counts, counts)
            found += [
                np.repeat(walk[:-1], counts, axis=0) + shares[:, None] * np.repeat(pieces, counts, axis=0)
            ]
            found += [walk[-1:]]
        return np.concatenate(found)

    def _walks(self) -> list[Array]:
        """Return the points of each chain, at the end of closed ones the first again."""
        return [np.vstack([points, points[:1]]) if closed else points for points, closed in self.chains()]

    def chains(self) -> list[tuple[Array, bool]]:
        """Return each chain's points and whether it is closed."""
        bounds = zip(self.starts[:-1], self.starts[1:], self.closed, strict=True)
        return [(self.points[start:end], bool(closed)) for start, end, closed in bounds]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Polygon:
    """A region bounded by closed contours; they may cross themselves and each other.

    points: (n, 2) float64; a contour's last point is joined to its first.
    starts: (m + 1,) int64, contour k owns points[starts[k]:starts[k + 1]].
    """

    points: Array
    starts: NDArray[np.int64]
    rule: FillRule

    def __post_init__(self) -> None:
        for array in (self.points, self.starts):
            array.setflags(write=False)

    @staticmethod
    def of_contours(contours: Iterable[ArrayLike], *, rule: FillRule = FillRule.NONZERO) -> "Polygon":
        """Return the polygon of contours, each (k, 2) points."""
        arrays = [np.asarray(contour, dtype=np.float64).reshape(-1, 2) for contour in contours]
        return Polygon(
            points=np.concatenate(arrays) if arrays else np.zeros((0, 2)),
            starts=np.concatenate([[0], np.cumsum([len(a) for a in arrays])]).astype(np.int64),
            rule=rule,
        )

    def contours(self) -> list[Array]:
        """Return the points of each contour."""
        return [self.points[s:e] for s, e in zip(self.starts[:-1], self.starts[1:], strict=True)]

    def edges(self) -> Array:
        """Return the edges as (n, 4): x and y of the start, x and y of the end."""
        edges = np.empty((4, len(self.points)))  # each of the four in one run: that is how they are read
        edges[:2] = self.points.T
        edges[2:, :-1] = edges[:2, 1:]
        filled = np.flatnonzero(self.starts[:-1] < self.starts[1:])
        edges[2:, self.starts[filled + 1] - 1] = edges[:2, self.starts[filled]]
        return edges.T

    def area(self) -> float:
        """Return the area of a region whose contours do not cross, hollows turned the other way around."""
        x0, y0, x1, y1 = self.edges().T
        return abs(float((x0 * y1 - x1 * y0).sum())) / 2


def edges_of(points: Array, starts: NDArray[np.int64]) -> Array:
    """Return the edges of contours, as `Polygon.edges` does.

    Args:
        points: (n, 2) of all contours.
        starts: (contours + 1,) where each contour starts, and the end of the last.
    """
    return Polygon(points=points, starts=starts, rule=FillRule.NONZERO).edges()


def ways_of(edges: Array) -> Array:
    """Return (n, 2) how far edges go across and down; they are (n, 4): start and end."""
    return np.asarray(np.abs(edges[:, 2:] - edges[:, :2]))


def edges_of_all(polygons: Sequence[Polygon]) -> tuple[Array, NDArray[np.int64]]:
    """Return the edges of all polygons, as `Polygon.edges` gives them, and which polygon each bounds."""
    if not polygons:
        return np.zeros((0, 4)), np.zeros(0, np.int64)
    sizes = np.array([len(polygon.points) for polygon in polygons])
    counts = [len(polygon.starts) for polygon in polygons]
    starts = np.concatenate([polygon.starts for polygon in polygons])
    whole = Polygon(
        points=np.concatenate([polygon.points for polygon in polygons]),
        # from the last start of one polygon to the first of the next there is a contour without points
        starts=starts + np.repeat(np.cumsum(sizes) - sizes, counts),
        rule=FillRule.NONZERO,
    )
    return whole.edges(), np.repeat(np.arange(len(polygons)), sizes)
