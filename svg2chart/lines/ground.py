"""The cloth under thin lines: which points a needle may use, and which edges the stitches show there."""

from dataclasses import dataclass
from math import gcd

import numpy as np
from numpy.typing import NDArray

from svg2chart.lines.edges import HALVES, StitchedEdges

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]
Point = tuple[int, int]

COST_UNIT = 1 << 20
"""Costs are whole multiples of 2^-20 square cubed (squared distance times length)."""

NEAR_SQUARES = 0.75
"""Only points so near the line are tried: no stitch strays farther from it."""

INWARDS = COST_UNIT >> 10
"""What a point costs for each square that it lies from the middle of all lines: next to nothing, but
of two that are alike otherwise the inner one is taken, and a mirrored drawing decides alike. Lines that look
the same after half a turn are led so (halfturn.py)."""

PIERCE = round(0.15 * COST_UNIT)
"""What a point between holes costs: it is pierced, not found. Our choice, no source."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Ground:
    """What a line is worked on; points are x, y in half squares.

    usable: (2 rows + 1, 2 columns + 1), whether a needle may go in at a point.
    middle: of all lines, (x, y) in half squares.
    longest: how far a segment may reach in either direction, in squares.
    """

    edges: StitchedEdges
    usable: Flags
    middle: Floats
    longest: int

    @staticmethod
    def of(edges: StitchedEdges, points: Floats, *, longest: int, pierced: Flags | None = None) -> "Ground":
        """Return the ground for lines through these points, in squares.

        Args:
            edges: what the stitches show.
            points: (n, 2) all points of all lines, in squares.
            longest: how far a segment may reach in either direction, in squares.
            pierced: which points besides the holes may be used, as `usable`.
        """
        columns, rows = edges.last + 1
        usable = np.zeros((rows, columns), np.bool_) if pierced is None else pierced.copy()
        usable[::HALVES, ::HALVES] = True
        middle = np.zeros(2)
        if len(points):
            middle = points.min(axis=0) + points.max(axis=0)  # the middle of both, in half squares
        return Ground(edges=edges, usable=usable, middle=middle, longest=longest)

    def around(self, places: Floats, *, near: float = NEAR_SQUARES) -> tuple[Ints, Ints, Floats]:
        """Return the usable points nearer than `near` to each of the places, (n, 2) in squares.

        Three arrays: the number of the place, the point (x, y), the squared distance in squares, which is
        exact for places on a lattice of 2^-20.
        """
        reach = int(np.ceil(near * HALVES))
        span = np.arange(-reach, reach + 2)
        low = np.floor(places * HALVES).astype(np.int64)
        offsets = np.stack(np.meshgrid(span, span, indexing="ij"), axis=-1).reshape(-1, 2)
        points = (low[:, None] + offsets).reshape(-1, 2)
        place = np.repeat(np.arange(len(places)), len(offsets))
        inside = ((points >= 0) & (points <= self.edges.last)).all(axis=1)
        points, place = points[inside], place[inside]
        free = self.usable[points[:, 1], points[:, 0]]
        points, place = points[free], place[free]
        squared = ((points / HALVES - places[place]) ** 2).sum(axis=1)
        taken = squared < near * near
        return place[taken], points[taken], squared[taken]

    def upkeep(self, points: Ints) -> Ints:
        """Return what it costs to use each point: little for holes, more for those between them."""
        apart = (points - self.middle) / HALVES
        inwards = np.rint(np.hypot(apart[:, 0], apart[:, 1]) * INWARDS).astype(np.int64)
        between = (points % HALVES).any(axis=1)
        return np.asarray(inwards + between * PIERCE)


def passes_hole(across: int, down: int, x: int, y: int) -> bool:
    """Return whether a segment of so many half squares from the point x, y passes over a hole on its way."""
    parts = gcd(across, down)
    inner = ((x + across * i // parts, y + down * i // parts) for i in range(1, parts))
    return any(px % HALVES == 0 and py % HALVES == 0 for px, py in inner)
