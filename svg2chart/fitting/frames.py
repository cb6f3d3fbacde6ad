"""Where motifs come to lie before they are fitted to the squares, each in a frame of its own.

What is the same on both sides of a line comes to lie with that line on a hole line, or half way between two:
only then can its stitches be the same on both sides. Copies come to lie alike on the squares, so that they
are fitted once. In a direction in which a motif is neither, it stays where it is beside all else, and goes
with that.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.carrying import places_among, points_on
from svg2chart.fitting.sightlines import AT_HOLE
from svg2chart.fitting.warp import ROUNDED, finely, on_lattice
from svg2chart.geometry.boxes import boxes_of, grown, middles_of
from svg2chart.geometry.meetings import boxes_in_boxes, near_edges, nearest_points

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Frames:
    """Motifs, (n,) each, and the frames that they are fitted in, (kinds,) each.

    box: (n, 4) left, top, right, bottom, in squares. now: (n, 2) where the middle comes to lie.
    sign: (n, 2) -1 in the direction in which it is a copy seen in a mirror. kind: its frame.
    first: (kinds,) the motif that each frame was made for. middle: (kinds, 2) of the motif in its frame.
    is_free: (kinds, 2) whether it lies in its frame as suits it, not as it lies beside all else.
    is_fine: (kinds, 2) whether its points are rounded.
    places: x + y i of points of motifs, ascending, own: (points, 2) where they lie in the
        frames, and owner: the motif of each.
    sides: (sides, 4) the edges of motifs, and of_side: the motif of each.
    """

    box: Floats
    now: Floats
    sign: Ints
    kind: Ints
    first: Ints
    middle: Floats
    is_free: Bools
    is_fine: Bools
    places: NDArray[np.complex128]
    own: Floats
    owner: Ints
    sides: Floats
    of_side: Ints

    @property
    def corners(self) -> Floats:
        """(points, 2) the points of motifs as drawn."""
        return np.stack([self.places.real, self.places.imag], axis=1)

    def kind_of(self, motif: Ints) -> Ints:
        """Return the frame of each motif, -1 for none."""
        return np.append(self.kind, -1)[motif]

    def of_chains(self, points: Floats, starts: Ints) -> Ints:
        """Return the motif in whose box each chain lies, -1 for none."""
        result = np.full(len(starts) - 1, -1, np.int64)
        chain, motif = boxes_in_boxes(boxes_of(points, starts), grown(self.box, ROUNDED)).T
        result[chain] = motif  # none lies within another, or over it
        return result

    def around(self, points: Floats) -> Ints:
        """Return the motif in whose box each of (n, 2) points lies, -1 for none."""
        return self.of_chains(points, np.arange(len(points) + 1))

    def along(self, points: Floats, starts: Ints) -> Ints:
        """Return the motif that each point of thin lines goes with, -1 for none.

        Of a line that reaches out of the box of a motif only points on its outline go along, which it is tied
        to: others pass behind it. What comes to it from the ground that it stands on does not.

        Args:
            points: (n, 2) of all lines.
            starts: where each line starts, and the end of the last.
        """
        result = np.repeat(self.of_chains(points, starts), np.diff(starts))
        own = np.flatnonzero(result < 0)
        if not len(own) or not len(self.owner):
            return result
        point, side = near_edges(points[own], self.sides, reach=AT_HOLE).T
        point, motif = own[point], self.of_side[side]
        ends = self.box[motif].reshape(-1, 2, 2) - points[point, None]
        on_ground = (np.abs(ends).min(axis=1) <= AT_HOLE) & ~self.is_free[self.kind[motif]]
        is_tied = ~on_ground.any(axis=1)
        result[point[is_tied]] = motif[is_tied]
        corner = nearest_points(points[own], self.corners, reach=AT_HOLE)
        result[own[corner >= 0]] = self.owner[corner[corner >= 0]]
        return result

    def only(self, kept: Bools) -> "Frames":
        """Return some of the frames, (kinds,), and the motifs in them."""
        own = kept[self.kind]
        left = own[self.owner]
        kind = (np.cumsum(kept) - 1)[self.kind[own]]
        return replace(
            self,
            box=self.box[own],
            now=self.now[own],
            sign=self.sign[own],
            kind=kind,
            first=np.searchsorted(kind, np.arange(int(kept.sum()))),
            middle=self.middle[kept],
            is_free=self.is_free[kept],
            is_fine=self.is_fine[kept],
            places=self.places[left],
            own=self.own[left],
            owner=(np.cumsum(own) - 1)[self.owner[left]],
            sides=self.sides[own[self.of_side]],
            of_side=(np.cumsum(own) - 1)[self.of_side[own[self.of_side]]],
        )

    def framed(self, points: Floats, motif: Ints) -> Floats:
        """Return (n, 2) points of motifs in the frames of these, those on sides as the ends of these."""
        off = (points - middles_of(self.box[motif])) * self.sign[motif]
        result = self.middle[self.kind[motif]] + np.where(self.is_fine[self.kind[motif]], finely(off), off)
        if not len(self.places):
            return np.asarray(result)
        corner = places_among(points, self.places)
        result = np.where((corner >= 0)[:, None], self.own[corner], result)
        rest = np.flatnonzero(corner < 0)
        point, side, part = points_on(points[rest], self.sides)
        point = rest[point]
        is_own = self.of_side[side] == motif[point]
        point, side, part = point[is_own], side[is_own], part[is_own, None]
        first, last = (
            self.own[places_among(self.sides[side, ends], self.places)] for ends in (slice(2), slice(2, 4))
        )
        result[point] = on_lattice(first + part * (last - first))
        return np.asarray(result)

    def placed(self, points: Floats, motif: Ints) -> Floats:
        """Return (n, 2) points in frames where the motifs come to lie."""
        return np.asarray(self.now[motif] + (points - self.middle[self.kind[motif]]) * self.sign[motif])

    def placed_along(self, axis: int, low: float, high: float, motif: int) -> tuple[int, float, float]:
        """Return an axis and two places along it, ascending, where those in the frame of a motif lie."""
        points = np.zeros((2, 2))
        points[:, axis] = low, high
        one, other = self.placed(points, np.full(2, motif))[:, axis].tolist()
        return axis, min(one, other), max(one, other)


NO_FRAMES = Frames(
    box=np.zeros((0, 4)),
    now=np.zeros((0, 2)),
    sign=np.zeros((0, 2), np.int64),
    kind=np.zeros(0, np.int64),
    first=np.zeros(0, np.int64),
    middle=np.zeros((0, 2)),
    is_free=np.zeros((0, 2), np.bool_),
    is_fine=np.zeros((0, 2), np.bool_),
    places=np.zeros(0, np.complex128),
    own=np.zeros((0, 2)),
    owner=np.zeros(0, np.int64),
    sides=np.zeros((0, 4)),
    of_side=np.zeros(0, np.int64),
)
