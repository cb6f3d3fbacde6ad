"""Which motifs are the same on both sides of a line, and which are copies of each other."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.sightlines import AT_HOLE
from svg2chart.fitting.warp import on_lattice
from svg2chart.geometry.boxes import boxes_of, middles_of
from svg2chart.geometry.meetings import feet, near_edges, nearest_points
from svg2chart.runs import begins, distinct

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

ALIKE = AT_HOLE
"""Points that lie so near to each other's place, in squares, are meant to be there: drawings are rounded."""

ROUNDED = 2.0**-12
"""By so much rounding may move points on their mean, in squares."""

SIGNS = np.array([[1, 1], [-1, 1], [1, -1], [-1, -1]])
"""As drawn, and seen in mirrors that turn x, y and both."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Figure:
    """The points of a motif, from the middle of its box.

    size: (2,) how wide and high the box is, in squares. points: (n, 2) each place once, by x and then by y.
    even: (n, 2) where they lie if what is the same on both sides is made exactly so.
    is_even: (2,) whether it is the same left and right, and above and below.
    """

    size: Floats
    points: Floats
    even: Floats
    is_even: Bools

    @staticmethod
    def of(points: Floats) -> "Figure":
        """Return the figure of points of a motif, (n, 2) in squares."""
        low, high = points.min(axis=0), points.max(axis=0)
        own = np.unique(points - (low + high) / 2, axis=0)
        even, is_even = own, np.zeros(2, np.bool_)
        for axis in (0, 1):
            sign = np.where(np.arange(2) == axis, -1, 1)
            partner = _partners(own, own * sign)
            if partner is not None:
                # of both, and of both for each of these: in any order the same
                even, is_even[axis] = (even + even[partner] * sign) / 2, True
        return Figure(size=high - low, points=own, even=even, is_even=is_even)

    def leans(self) -> Ints:
        """Return (2,) to which side of its middle more of it lies: -1, 1, or 0 if it is the same on both."""
        mean = self.points.mean(axis=0)
        tells = ~self.is_even & (np.abs(mean) > ROUNDED)
        return np.where(tells, np.sign(mean), 0).astype(np.int64)

    def turned_to(self, other: "Figure", sign: Ints) -> Ints | None:
        """Return which point of another each lies on, turned by one of SIGNS; None if it is no copy."""
        if len(self.points) != len(other.points) or (np.abs(self.size - other.size) > ALIKE).any():
            return None
        return _partners(self.points * sign, other.points)


def evened(points: Floats) -> Floats:
    """Return the points of an outline, (n, 2), exactly the same on both sides if they are about so."""
    middle = middles_of(np.concatenate([points.min(axis=0), points.max(axis=0)])[None])[0]
    place = np.unique(points - middle, axis=0, return_inverse=True)[1].ravel()
    return np.asarray(middle + Figure.of(points).even[place])


def completed(outlines: Sequence[Floats]) -> list[Floats]:
    """Return the corners of outlines, and places on their sides where a copy or their other half has one.

    Drawings are rounded: of corners that hardly turn some come to lie on a straight line, and are none.

    Args:
        outlines: the edges of each, (n, 4) in squares, of one contour or several.
    """
    edges = np.concatenate([np.zeros((0, 4)), *outlines])
    boxes = boxes_of(edges[:, :2], np.cumsum([0, *(len(own) for own in outlines)]))
    kinds: dict[int, list[_Whole]] = {}
    turned = []
    for number, middle, own in zip(sizes_of(boxes).tolist(), middles_of(boxes), outlines, strict=True):
        outline, found = _Outline.of(own - np.tile(middle, 2)), kinds.setdefault(number, [])
        off = np.array([kind.outline.off for kind in found]).reshape(-1, 2) - outline.off
        near = np.flatnonzero((np.abs(off) <= ALIKE).all(axis=1)).tolist()
        ways = ((found[k], sign) for k in near for sign in SIGNS)
        way = next((way for way in ways if way[0].takes(outline, way[1])), None)
        if way is None:
            way = _Whole.of(outline), SIGNS[0]
            found.append(way[0])
        turned.append((middle, outline, *way))
    result = []
    for middle, outline, kind, sign in turned:
        # its own are among those of its kind
        is_whole = len(outline.edges) == len(kind.points)
        corners = outline.corners
        result.append(middle + (corners if is_whole else outline.with_places(corners, kind.points * sign)))
    return result


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Outline:
    """An outline from the middle of its box: its edges, (n, 4), and the middle of all their length."""

    edges: Floats
    middle: Floats

    @staticmethod
    def of(edges: Floats) -> "_Outline":
        length = np.hypot(*(edges[:, 2:] - edges[:, :2]).T)[:, None]
        middle = ((edges[:, :2] + edges[:, 2:]) * length).sum(axis=0) / (2 * length.sum() or 1.0)
        return _Outline(edges=edges, middle=middle)

    @property
    def off(self) -> Floats:
        """(2,) how far that is off the middle of its box, in all mirrors the same: it tells most apart."""
        return np.abs(self.middle)

    @property
    def corners(self) -> Floats:
        """(n, 2) where its edges start."""
        return self.edges[:, :2]

    def beyond(self, other: "_Outline", sign: Ints) -> Floats | None:
        """Return its corners, turned by one of SIGNS, if a copy lacks some of them; None if there is no copy.

        All corners of copies lie on each other.
        """
        if (np.abs(self.middle * sign - other.middle) > ALIKE).any():
            return None
        edges = self.edges * np.tile(sign, 2)
        if _partners(edges[:, :2], other.corners) is not None:
            return edges[:0, :2]
        are_on = (
            len(distinct(near_edges(corners, sides, reach=ALIKE)[:, 0])) == len(corners)
            for corners, sides in ((edges[:, :2], other.edges), (other.corners, edges))
        )
        return edges[:, :2] if all(are_on) else None

    def with_places(self, corners: Floats, places: Floats) -> Floats:
        """Return corners, and of places near edges those that are at none of them, on these edges."""
        more = places[nearest_points(places, corners, reach=ALIKE) < 0]
        point, edge = near_edges(more, self.edges, reach=ALIKE).T
        sides = self.edges[edge]
        on = sides[:, :2] + feet(more[point], sides)[:, None] * (sides[:, 2:] - sides[:, :2])
        order = np.lexsort((np.hypot(*(on - more[point]).T), point))
        return np.concatenate([corners, on_lattice(on[order[begins(point[order])]])])


@dataclass(slots=True, eq=False, kw_only=True)
class _Whole:
    """An outline, in which mirrors of SIGNS it is the same, and all corners of it and its copies."""

    outline: _Outline
    mirrors: list[Ints]
    points: Floats

    @staticmethod
    def of(outline: _Outline) -> "_Whole":
        """Return an outline with the corners of its other halves."""
        found = [(sign, outline.beyond(outline, sign)) for sign in SIGNS[1:]]
        mirrors = [sign for sign, more in found if more is not None]
        result = _Whole(outline=outline, mirrors=mirrors, points=outline.corners)
        result._take(np.concatenate([outline.corners[:0], *(more for _, more in found if more is not None)]))
        return result

    def takes(self, outline: _Outline, sign: Ints) -> bool:
        """Return whether an outline is a copy, turned by one of SIGNS, and take its corners if it is."""
        more = outline.beyond(self.outline, sign)
        if more is not None:
            self._take(more)
        return more is not None

    def _take(self, corners: Floats) -> None:
        for mirror in [SIGNS[0], *self.mirrors] if len(corners) else []:
            self.points = self.outline.with_places(self.points, corners * mirror)


def have_twins(boxes: Floats) -> Bools:
    """Return which boxes, (n, 4), are as wide and as high as another."""
    size = sizes_of(boxes)
    return np.asarray(np.bincount(size, minlength=1)[size] > 1)


def sizes_of(boxes: Floats) -> Ints:
    """Return a number for each of the boxes, (n, 4): the same for those that are as wide and as high."""
    size, group = boxes[:, 2:] - boxes[:, :2], np.zeros(len(boxes), np.int64)
    for side in size.T:
        order = np.lexsort((side, group))
        another = (np.diff(group[order]) > 0) | (np.diff(side[order]) > ALIKE)
        group[order] = np.concatenate([np.zeros(1, np.int64), np.cumsum(another)])[: len(order)]
    return group


def _partners(points: Floats, others: Floats) -> Ints | None:
    """Return for each point the one of the others at its place; None if any has none for itself alone."""
    # how the outermost points were rounded moves all of them, and some lie near each other
    off = others.mean(axis=0) - points.mean(axis=0)
    if (np.abs(off) > ALIKE).any():
        return None
    found = nearest_points(points + off, others, reach=ALIKE)
    if (found < 0).any() or (np.bincount(found, minlength=len(others)) != 1).any():
        return None
    return found
