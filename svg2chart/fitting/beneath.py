"""Which shapes lie over outlines that go on beneath them: they may be moved without these."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.carrying import as_numbers
from svg2chart.geometry.polygon import Polygon

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Layers:
    """Contours and the shapes that they are of.

    points: (n, 2) the corners of all contours, in squares. starts: where each contour starts, and the end of
    the last.
    lowest, highest: (contours,) in paint order the first and the last shape that has a corner of it.
    hides: (contours,) whether nothing shows through those shapes.
    """

    points: Floats
    starts: Ints
    lowest: Ints
    highest: Ints
    hides: Bools

    @staticmethod
    def of(contours: tuple[Floats, Ints], polygons: Sequence[Polygon], looks: Ints) -> "Layers":
        """Return contours with the shapes that they are of.

        Args:
            contours: corners of polygons, and where each contour starts; seams may be left out.
            polygons: in paint order.
            looks: (polygons,) negative for those that let something through.
        """
        points, starts = contours
        owner = np.repeat(np.arange(len(polygons)), [len(polygon.points) for polygon in polygons])
        places = as_numbers(np.concatenate([np.zeros((0, 2)), *(polygon.points for polygon in polygons)]))
        order = np.argsort(places, kind="stable")
        places, owner = places[order], owner[order]
        first, last = (np.searchsorted(places, as_numbers(points), side=side) for side in ("left", "right"))
        # of equal places the owners ascend
        own = np.flatnonzero(np.diff(starts))
        lowest, highest = np.full((2, len(starts) - 1), -1)
        hides = np.zeros(len(starts) - 1, np.bool_)
        if len(own):
            lowest[own] = np.minimum.reduceat(owner[first], starts[own])
            highest[own] = np.maximum.reduceat(owner[last - 1], starts[own])
            veiled = np.append(0, np.cumsum(looks[owner] < 0))
            hides[own] = np.maximum.reduceat(veiled[last] - veiled[first], starts[own]) == 0
        return Layers(points=points, starts=starts, lowest=lowest, highest=highest, hides=hides)

    def lie_beneath(self, upper: Ints, lower: Ints) -> Bools:
        """Return which contours are painted before others that hide what is beneath them.

        Args:
            upper: (pairs,) those that hide.
            lower: (pairs,) others; what has no inside is not beneath.
        """
        is_under = self.hides[upper] & (self.highest[lower] < self.lowest[upper])
        return np.asarray(is_under & (np.diff(self.starts)[lower] > 2))
