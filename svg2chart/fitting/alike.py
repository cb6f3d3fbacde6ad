"""How boxes of one size come to lie alike on the squares: two eyes of one face, the flags of one line.

Best for what is round is a box of whole squares. Where some of them cannot have that, all stay as large as
they are. What has straight slanted sides takes the size in which these are stitched cleanly.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.holding import are_at_holes
from svg2chart.fitting.likeness import ALIKE, in_groups
from svg2chart.fitting.rows import row_neighbours, spaced, touching
from svg2chart.fitting.sizing import lies_of
from svg2chart.fitting.tips import FULL_FIT
from svg2chart.fitting.widths import OTHER_WIDTH

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

BESIDE = 1 / 8
"""A side so far from the nearest hole line, in squares, does not fit to it."""

AS_IT_IS = 0.1
"""What it costs, in squares moved, if a round shape is not whole squares wide and high; our own choice."""

BESIDE_ROWS = 0.5
"""The same for one that has its middle where whole squares would not: it crosses the rows of squares that it
lies in; our own choice."""

FARTHER, FAR_OFF = 1.5, 0.05
"""So many times as far as anything may a form go to be whole squares wide, or stitched cleanly, and what that
costs: where all may move by half a square each can then be so. Our own choice."""

FINE = 2.0**20
"""Ways are weighed in steps of 2^-20 of a square."""

LEAST_ROOM = 0.75
"""So much of the way that anything may move is left free around forms and motifs: few fill their boxes."""

SAME = 1 / 64
"""Places and widths that differ by less, in squares, are the same."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Boxes:
    """Boxes around shapes; (n,) each.

    at: (n, 4) left, top, right, bottom, in squares.
    is_round: whether the shape has no straight slanted sides, or is the same on all four sides, about.
    heavy: (n, 2) on which side of its middle most of its outline is, across and down: -1, 1, 0 for neither.
    outlines: the corners of each, in squares.
    """

    at: Floats
    is_round: Bools
    heavy: Ints
    outlines: tuple[Floats, ...]

    def only(self, kept: Ints) -> "Boxes":
        """Return some of them."""
        return Boxes(
            at=self.at[kept],
            is_round=self.is_round[kept],
            heavy=self.heavy[kept],
            outlines=tuple(self.outlines[each] for each in kept.tolist()),
        )

    def usual(self) -> Floats:
        """Return the corners of the smallest, all turned so that they have more of it on the first side.

        It is the same whatever order they come in, and if all are seen in a mirror.
        """
        found = []
        for at, heavy, outline in zip(self.at, self.heavy, self.outlines, strict=True):
            off = (outline - (at[:2] + at[2:]) / 2) * np.where(heavy > 0, -1, 1)
            places = np.rint(np.sort(off.view(np.complex128).ravel()) / SAME).tolist()
            wide, high = (at[2:] - at[:2]).tolist()
            key = (wide + high, wide), [(place.real, place.imag) for place in places]
            found.append((key, off))
        return np.asarray(min(found, key=lambda each: each[0])[1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """How boxes can lie: how far their middles lie off holes, (n, axes), and what that costs.

    wide: (axes,) of all, or (n, axes) of each.
    goes_farther: whether their sides may go farther than anything else.
    """

    wide: Floats
    off: Floats
    cost: float
    goes_farther: bool = False


def farthest_whole(farthest: float) -> float:
    """Return how far sides may move to be whole squares apart where others may move so far, in squares."""
    return FARTHER * farthest if farthest >= FULL_FIT else farthest


def ways_alike(
    boxes: Boxes, warped: Floats, between: Floats, middle: Floats, near: Ints, farthest: float
) -> Floats:
    """Return the ways of boxes: those of one size lie alike on the squares and stay one size.

    Of all that they can do alike that is done which takes their middles least far from where the warp takes
    them. Those that cannot do as the others, or have no heavier side and lie as near on either of the very
    middle, go with the warp. What was drawn on the grid stays there.

    Args:
        boxes: as drawn.
        warped: (n, 4) how far the warp moves their sides.
        between: (2, n, 2) the least and the greatest x and y that each must stay between.
        middle: (2,) of two places that are as near they lie in the one nearer to this.
        near: (pairs, 2) boxes that lie near each other.
        farthest: no side moves by more, or by FARTHER times as much to make all whole or clean, in squares.
    """
    ways = warped.copy()
    of_size = in_groups(boxes.at[:, 2:] - boxes.at[:, :2], ALIKE)
    kinds = np.column_stack([of_size, boxes.is_round, np.abs(boxes.heavy)])
    alike = np.unique(kinds, axis=0, return_inverse=True)[1].ravel()
    for number in range(int(alike.max(initial=-1)) + 1):
        own = np.flatnonzero(alike == number)
        at, goal = boxes.at[own], (boxes.at + warped)[own]
        size, wide = (each[:, 2:] - each[:, :2] for each in (at, goal))
        manners = _of_round(size, wide) if boxes.is_round[own[0]] else _of_straight(boxes.only(own))
        pairs = _among(near, own)
        rows = [row_neighbours(at, pairs, axis) for axis in (0, 1)]
        moved, is_placed = best_ways(
            at, goal, manners, between[:, own], middle, boxes.heavy[own], rows, farthest
        )
        ways[own] = np.where(is_placed[:, None], moved, warped[own])
    return np.where(are_at_holes(boxes.at)[:, None], np.rint(boxes.at) - boxes.at, ways)


def _among(pairs: Ints, own: Ints) -> Ints:
    """Return the pairs of which both are among these, ascending, as their places there."""
    place = np.minimum(np.searchsorted(own, pairs), len(own) - 1)
    return np.asarray(place[(own[place] == pairs).all(axis=1)])


def best_ways(
    at: Floats,
    goal: Floats,
    manners: Iterable[Manner],
    between: Floats,
    middle: Floats,
    leans: Ints,
    rows: Sequence[Ints],
    farthest: float,
) -> tuple[Floats, Bools]:
    """Return the ways of boxes in the manner that most can have, of equals at the least cost.

    Second comes which of them can have it.

    Args:
        at: (n, 2 axes) as drawn, what comes first along each axis and then what comes last.
        goal: the same where the warp takes them.
        manners: how they can lie; where all are placed, none that costs more is looked at.
        between: (2, n, axes) the least and the greatest places that each must stay between.
        middle: (axes,) of two places that are as near they lie in the one nearer to this.
        leans: (n, axes) those that lie at this go to this side, -1 or 1; 0 where they lie as near on either.
        rows: neighbours in rows along each axis, which keep apart.
        farthest: no side moves by more, or by FARTHER times as much in some manners, in squares.
    """
    best: tuple[Floats, Bools] = np.zeros(at.shape), np.zeros(len(at), np.bool_)
    least = len(at), 0.0
    for manner in manners:
        if not least[0] and manner.cost >= least[1]:
            continue
        most = farthest_whole(farthest) if manner.goes_farther else farthest
        places, apart = _nearest(at, goal, manner, between, middle, leans, rows, most)
        is_placed = np.asarray(np.isfinite(apart).all(axis=1))
        if is_placed.any():
            # summed in whole numbers: in any order the same
            far = float(np.rint(apart[is_placed] * FINE).sum()) / FINE / int(is_placed.sum())
            cost = (int((~is_placed).sum()), far / apart.shape[1] + manner.cost)
            if cost < least:
                best, least = (places - at, is_placed), cost
    return best


def _whole(size: Floats, wide: Floats) -> Floats:
    """Return the nearest whole widths, those that the warp has made where these are nearly whole for all."""
    made, nearest = np.rint(wide[0]), np.floor(size + 0.5 + SAME)
    is_whole = (np.abs(wide - made) <= BESIDE).all(axis=0)
    whole = np.where(is_whole, made, nearest)
    # what the warp has pressed may be as wide as it is high
    return np.asarray(np.maximum(nearest if np.ptp(size) <= SAME < np.ptp(whole) else whole, 1.0))


def _of_round(sizes: Floats, wide: Floats) -> Iterator[Manner]:
    """Yield whole squares, and as they are, best with their middles where those would have theirs."""
    size = sizes.min(axis=0)
    whole = _whole(size, wide)
    off = np.broadcast_to(whole / 2 % 1, sizes.shape)
    yield Manner(wide=whole, off=off, cost=0.0)
    yield Manner(wide=whole, off=off, cost=FAR_OFF, goes_farther=True)
    yield from _of_second(size, whole, len(sizes))
    yield Manner(wide=size, off=off, cost=AS_IT_IS)
    # last with a middle half way along the side of a square: it is not the same when turned
    for beside in ([0.5, 0.5], [0.5, 0.0], [0.0, 0.5]):
        cost = BESIDE_ROWS if beside[0] == beside[1] else 2 * BESIDE_ROWS
        yield Manner(wide=size, off=(off + beside) % 1, cost=cost)


def _of_second(size: Floats, whole: Floats, count: int) -> Iterator[Manner]:
    """Yield for so many boxes the second whole width, if that is near."""
    other = np.where(size > whole, whole + 1, whole - 1)
    worse = np.abs(other - size) - np.abs(whole - size)
    if other.min() >= 1 and np.abs(other - size).max() <= OTHER_WIDTH:
        off = np.broadcast_to(other / 2 % 1, (count, len(size)))
        yield Manner(wide=other, off=off, cost=float(worse.mean()))


def _of_straight(boxes: Boxes) -> Iterator[Manner]:
    """Yield how a shape with straight sides is stitched cleanly, as near as may be and farther off."""
    signs = np.where(boxes.heavy > 0, -1, 1)
    for lie in lies_of(boxes.usual(), (boxes.heavy[0] != 0).tolist()):
        wide, off = np.array(lie.size), signs * np.array(lie.off) % 1
        yield Manner(wide=wide, off=off, cost=lie.cost)
        yield Manner(wide=wide, off=off, cost=lie.cost + FAR_OFF, goes_farther=True)


def _nearest(
    at: Floats,
    goal: Floats,
    manner: Manner,
    between: Floats,
    middle: Floats,
    leans: Ints,
    rows: Sequence[Ints],
    farthest: float,
) -> tuple[Floats, Floats]:
    """Return the boxes of a manner that are nearest to the goals; arguments as for `best_ways`.

    Second comes how far they are off, (n, axes), infinite where there is none within reach, or neither is
    nearer.
    """
    axes = at.shape[1] // 2
    half = manner.wide / 2
    wanted = (goal[:, :axes] + goal[:, axes:]) / 2
    low = np.floor(wanted - manner.off) + manner.off
    inwards = np.sign(np.rint((middle - wanted) / SAME))
    inwards = np.where(inwards == 0, leans, inwards)
    middles = np.stack([low, low + 1])
    first, last = middles - half, middles + half
    moved = np.maximum(np.abs(first - at[:, :axes]), np.abs(last - at[:, axes:]))
    is_near = (np.rint(moved * FINE) / FINE <= farthest) & (first >= between[0]) & (last <= between[1])
    apart = np.abs(middles - wanted)
    is_tied = is_near.all(axis=0) & (np.abs(apart[1] - apart[0]) <= SAME)
    is_second = is_near[1] & np.where(is_tied, inwards > 0, ~is_near[0] | (apart[1] < apart[0]))
    is_none = ~is_near.any(axis=0) | (is_tied & (inwards == 0))
    for axis, neighbours in enumerate(rows):
        cost = np.where(is_near & ~is_none, np.rint(apart * FINE), -1).astype(np.int64)[..., axis]
        least = float(manner.wide[..., axis].max()) + LEAST_ROOM * farthest
        second = spaced(is_second[:, axis], middles[..., axis], cost, neighbours, least=least)
        is_second[:, axis] = second
        # what lies nowhere is in the way of none
        placed = neighbours[~is_none[neighbours, axis].any(axis=1)]
        is_none[touching(second, middles[..., axis], placed, least=least), axis] = True
    place, far = (np.where(is_second, each[1], each[0]) for each in (middles, apart))
    return np.concatenate([place - half, place + half], axis=1), np.where(is_none, np.inf, far)
