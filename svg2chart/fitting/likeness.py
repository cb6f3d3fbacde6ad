"""Which motifs are the same on both sides of a line, and which are copies of each other."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.sightlines import AT_HOLE
from svg2chart.geometry.boxes import middles_of
from svg2chart.geometry.meetings import nearest_points

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

ALIKE = AT_HOLE
"""Points that lie so near to each other's place, in squares, are meant to be there: drawings are rounded."""

MOST_LEFT_OUT = 1 / 8
"""A copy may lack such a part of the points: as these were rounded they lie on straight lines, and are none.
Our own choice."""

ROUNDED = 2.0**-12
"""By so much rounding may move points on their mean, in squares."""

SIGNS = np.array([[1, 1], [-1, 1], [1, -1], [-1, -1]])
"""As drawn, and seen in mirrors that turn x, y and both."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Figure:
    """The points of a motif, from the middle of its box.

    size: (2,) how wide and high the box is, in squares. points: (n, 2) each place once, by x and then by y.
    drawn: (n, 2) where they lie in the drawing, exactly.
    even: (n, 2) where they lie if what is the same on both sides is made exactly so.
    is_even: (2,) whether it is the same left and right, and above and below.
    """

    size: Floats
    points: Floats
    drawn: Floats
    even: Floats
    is_even: Bools

    @staticmethod
    def of(points: Floats) -> "Figure":
        """Return the figure of points of a motif, (n, 2) in squares."""
        box = _box(points)
        own, first = np.unique(points - middles_of(box), axis=0, return_index=True)
        even, is_even = _even(own)
        size = (box[:, 2:] - box[:, :2])[0]
        return Figure(size=size, points=own, drawn=points[first], even=even, is_even=is_even)

    def leans(self) -> Ints:
        """Return (2,) to which side of its middle more of it lies: -1, 1, or 0 if it is the same on both."""
        return np.where(self.is_even, 0, leans(self.points, np.zeros(2)))

    def turned_to(self, other: "Figure", sign: Ints) -> Ints | None:
        """Return which point of another each lies on, turned by one of SIGNS; None if it is no copy.

        It may lack a few of the other's points. Either side of its box may be off.
        """
        lacks = len(other.points) - len(self.points)
        if not 0 <= lacks <= MOST_LEFT_OUT * len(other.points):
            return None
        if (np.abs(self.size - other.size) > 2 * ALIKE).any():
            return None
        return _partners(self.points * sign, other.points)


def leans(points: Floats, middle: Floats) -> Ints:
    """Return (2,) on which side of a middle points lie on the mean, -1 or 1, or 0 for neither."""
    # summed in whole steps: in any order the same
    mean = np.rint((points - middle) / ROUNDED).sum(axis=0) * ROUNDED / len(points)
    return np.where(np.abs(mean) > ROUNDED, np.sign(mean), 0).astype(np.int64)


def evened(points: Floats) -> Floats:
    """Return the points of an outline, (n, 2), exactly the same on both sides if they are about so."""
    middle = middles_of(_box(points))
    own, place = np.unique(points - middle, axis=0, return_inverse=True)
    return np.asarray(middle + _even(own)[0][place.ravel()])


def partners_in_mirror(points: Floats, axis: int) -> Ints | None:
    """Return for each corner of an outline, (n, 2), the one on the other side along an axis; None without."""
    own = points - middles_of(_box(points))
    return _partners(own, own * np.where(np.arange(2) == axis, -1, 1))


def _box(points: Floats) -> Floats:
    """Return (1, 4) the box around points."""
    return np.concatenate([points.min(axis=0), points.max(axis=0)])[None]


def _even(points: Floats) -> tuple[Floats, Bools]:
    """Return different points made exactly the same on both sides if they are about so, and (2,) if they are.

    Args:
        points: (n, 2) from the middle of their box.
    """
    even, is_even = points, np.zeros(2, np.bool_)
    for axis in (0, 1):
        sign = np.where(np.arange(2) == axis, -1, 1)
        partner = _partners(points, points * sign)
        if partner is not None:
            # of both, and of both for each of these: in any order the same
            even, is_even[axis] = (even + even[partner] * sign) / 2, True
    return even, is_even


def have_twins(boxes: Floats) -> Bools:
    """Return which boxes, (n, 4), are as wide and as high as another."""
    size = sizes_of(boxes)
    return np.asarray(np.bincount(size, minlength=1)[size] > 1)


def sizes_of(boxes: Floats) -> Ints:
    """Return a number for each of the boxes, (n, 4): the same for those that are as wide and as high."""
    return in_steps(boxes[:, 2:] - boxes[:, :2], ALIKE)


def in_steps(values: Floats, step: float) -> Ints:
    """Return a number for each of (n, columns) values: another after more than a step in a column."""
    group = np.zeros(len(values), np.int64)
    for column in values.T:
        order = np.lexsort((column, group))
        another = (np.diff(group[order]) > 0) | (np.diff(column[order]) > step)
        group[order] = np.concatenate([np.zeros(1, np.int64), np.cumsum(another)])[: len(order)]
    return group


def in_groups(values: Floats, step: float) -> Ints:
    """Return a group for each of (n, columns) values: in none of them a column differs by more than a step.

    They are parted where gaps are widest, in whatever order they come: what was meant to be equal, and is
    written in rounded numbers, is of one group if nothing else lies so near that nobody could tell.
    """
    result, count = np.zeros(len(values), np.int64), 0
    rest = [np.arange(len(values))]
    while rest:
        own = rest.pop()
        part = _parted(values[own], step)
        if part.any():
            rest += [own[part == number] for number in range(int(part.max()) + 1)]
        else:
            result[own] = count
            count += 1
    return result


def _parted(values: Floats, step: float) -> Ints:
    """Return which part each of values is of, parted at gaps of more than a step, or else the widest ones.

    These are looked for where a column differs by more than a step; all 0 if none does.
    """
    columns = values[:, np.ptp(values, axis=0) > step] if len(values) else values[:, :0]
    order = np.argsort(columns, axis=0, kind="stable")
    gaps = np.diff(np.take_along_axis(columns, order, axis=0), axis=0)
    widest = min(gaps.max(initial=0.0), np.nextafter(step, np.inf))
    place = np.zeros(columns.shape, np.int64)
    np.put_along_axis(place, order[1:], np.cumsum(gaps >= widest, axis=0), axis=0)
    return np.unique(place, axis=0, return_inverse=True)[1].ravel().astype(np.int64)


def _partners(points: Floats, others: Floats) -> Ints | None:
    """Return for each point the one of the others at its place; None if any has none for itself alone."""
    # how the outermost points were rounded moves all of them, and some lie near each other
    off = _off(points, others)
    if (np.abs(off) > ALIKE).any():
        return None
    found = nearest_points(points + off, others, reach=ALIKE)
    if (found < 0).any() or (np.bincount(found, minlength=len(others)) > 1).any():
        return None
    return found


def _off(points: Floats, others: Floats) -> Floats:
    """Return (2,) how far others lie from points on the mean, those that are near them if there are more.

    Infinite where none is.
    """
    if len(points) < len(others):
        found = nearest_points(points, others, reach=2 * ALIKE)
        if (found < 0).all():
            return np.full(2, np.inf)
        points, others = points[found >= 0], others[found[found >= 0]]
    return np.asarray(others.mean(axis=0) - points.mean(axis=0))
