r"""How far slants may move, and where that takes the ends of their sides.

An end may move as far as anything may. Where it is the corner of a long side along the grid it slides along
that, up to twice as far, for it is where two sides meet that moves, not what is seen of either:

      |\           |\        the sail moves to a diagonal of holes, its corners
      | \    -->   | \       slide along mast and boom
      |__\         |___\
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.carrying import SLIDE, as_numbers, meeting, points_on, sliding, slipped, within
from svg2chart.fitting.mirrored import Mirrored
from svg2chart.fitting.sightlines import AT_HOLE
from svg2chart.fitting.slants import Slants, StraightSides
from svg2chart.fitting.tips import tips_inward
from svg2chart.runs import linked, spread

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

STEP = 2.0**-20
"""Widths are decided on, and movements limited, in steps of 2^-20 of a square."""

AT_EDGE = 2.0**-13
"""What comes to lie so little beyond the squares of a drawing, in squares, lies on their edge: rounding."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Bench:
    """Slants and what tells how they may move.

    ends, shift: (sides, 4) of their sides, in squares; how far these have moved already. farthest: they may
        in all. room: (2, 2) the least and the greatest x and y of the squares that the drawing touches.
    inward: (n,) how far from each slant, along its normal, the middle of the drawing's sides lies.
    is_corner: (sides, 2) whether another slant, not parallel, ends where the side does.
    slides: (sides, 2, 2) whether each end slides along a side along the grid, in x and in y.
    is_tip: (sides, 2) whether each end is one between two sides at 45 degrees.
    follows: (sides, 2) whether each end lies within another side of its slant.
    alike: (n,) the same for slants that lie on both sides of an outline, or -1; outwards: (n,) 1 where the
        normal points out of that, and -1.
    """

    slants: Slants
    ends: Floats
    shift: Floats
    inward: Floats
    is_corner: Bools
    slides: Bools
    is_tip: Bools
    follows: Bools
    alike: Ints
    outwards: Floats
    farthest: float
    room: Floats

    @staticmethod
    def of(
        sides: StraightSides,
        slants: Slants,
        shift: Floats,
        mirrored: Mirrored,
        *,
        farthest: float,
        room: Floats,
    ) -> "Bench":
        """Return the bench of the slants of sides."""
        now = sides.at + shift
        points, ends = now.reshape(-1, 2), now[slants.side]
        middle = (points.min(axis=0) + points.max(axis=0)) / 2
        at, row = np.unique(as_numbers(ends.reshape(-1, 2)), return_inverse=True)
        normal = np.repeat(slants.normal[slants.slant], 2, axis=0)
        _, crossing = meeting(row, normal, np.zeros(len(row)), len(at))
        drawn = sides.at[slants.side].reshape(-1, 2)
        level = now[~sides.slanted]
        ways = np.stack([drawn[1::2] - drawn[::2], drawn[::2] - drawn[1::2]], axis=1).reshape(-1, 2)
        slides = sliding(2 * len(ends), points_on(ends.reshape(-1, 2), level), level)
        # the page's edge is no side to slide along
        slides &= ~(np.minimum(drawn - room[0], room[1] - drawn) <= 0)[:, ::-1]
        alike, outwards = _alike(sides, slants, mirrored)
        return Bench(
            slants=slants,
            ends=ends,
            shift=shift[slants.side],
            inward=((middle - slants.at) * slants.normal).sum(axis=1),
            is_corner=crossing[row].reshape(-1, 2),
            slides=slides.reshape(-1, 2, 2),
            is_tip=(np.abs(tips_inward(row, ways, len(at))).sum(axis=1) > 0)[row].reshape(-1, 2),
            follows=_follow(sides.at[slants.side], slants.slant),
            alike=alike,
            outwards=outwards,
            farthest=farthest,
            room=room,
        )

    def on_holes(self) -> Bools:
        """Return which slants have a side drawn from hole to hole; where the page cuts it, exactly."""
        still = np.zeros(len(self.slants.weight), np.bool_)
        points = (self.ends - self.shift).reshape(-1, 2)
        is_cut = np.minimum(points - self.room[0], self.room[1] - points).min(axis=1) <= 0
        off = np.abs(points - np.rint(points)).max(axis=1)
        at_holes = (off <= np.where(is_cut, STEP, AT_HOLE)).reshape(-1, 2).all(axis=1)
        still[self.slants.slant[at_holes]] = True
        return still

    def corners(self) -> tuple[Ints, Ints]:
        """Return the pairs of ends of sides of two slants that lie in one point, each both ways round."""
        _, at = np.unique(as_numbers(self.ends.reshape(-1, 2)), return_inverse=True)
        order = np.argsort(at, kind="stable")
        first, count = np.searchsorted(at[order], at), np.bincount(at)[at]
        one, other = np.repeat(np.arange(len(at)), count), order[spread(first, count)]
        slant = self.slants.slant
        apart = slant[one // 2] != slant[other // 2]
        return one[apart], other[apart]

    def spans(self) -> Ints:
        """Return (n, 2) pairs of slants with a side between them from corner to corner; each once."""
        end, other = self.corners()
        slant = self.slants.slant[other // 2]
        lower, upper = np.flatnonzero(end % 2 == 0), np.flatnonzero(end % 2 == 1)
        side = end[upper] // 2
        first, last = (np.searchsorted(side, end[lower] // 2, where) for where in ("left", "right"))
        pairs = np.stack(
            [np.repeat(slant[lower], last - first), slant[upper[spread(first, last - first)]]], axis=1
        )
        pairs = np.unique(np.sort(pairs, axis=1), axis=0)
        return np.asarray(pairs[pairs[:, 0] != pairs[:, 1]])

    def tried(self, members: Ints, ways: Sequence[Floats], most: Floats | float) -> tuple[Bools, Floats]:
        """Return for each of several ways of slants whether they may go so, and how far their ends go in all.

        No end may move by more than `most`, (sides, 2) or one for all, or by twice as much along a side
        along the grid; one by itself may slip a little. Those that lie within another side of their slant
        go with it.

        Returns:
            The second is the sum of squares, by the length of sides.
        """
        of_side = np.minimum(np.searchsorted(members, self.slants.slant), len(members) - 1)
        found = np.flatnonzero(members[of_side] == self.slants.slant)
        count = len(ways)
        before, shift = (np.tile(part[found].reshape(-1, 2), (count, 1)) for part in (self.ends, self.shift))
        slides = np.tile(self.slides[found].reshape(-1, 2), (count, 1))
        most = np.tile(np.broadcast_to(most, self.is_tip.shape)[found].reshape(-1, 1), (count, 1))
        limit = np.where(slides, SLIDE * most, most)
        moved = self._moved(found, members[of_side[found]], np.stack(ways)[:, of_side[found]], limit)
        fits = (np.abs(shift + moved) <= limit + STEP).all(axis=1)
        # what leaves the squares that the drawing touches is cut off
        there = before + moved
        inside = ((there >= self.room[0] - AT_EDGE) & (there <= self.room[1] + AT_EDGE)).all(axis=1)
        fits &= inside | ~slides.any(axis=1)
        follows = self.follows[found].ravel()
        length = np.repeat(np.hypot(*(self.ends[found, 2:] - self.ends[found, :2]).T), 2) * ~follows
        far = ((shift + moved) ** 2).sum(axis=1).reshape(count, -1) @ length
        return (fits.reshape(count, -1) | follows).all(axis=1), far

    def _moved(self, sides: Ints, slant: Ints, ways: Floats, limit: Floats) -> Floats:
        """Return where the ends of sides go, for all ways in one go, as if each moved points of its own.

        Args:
            sides: (n,) which of the ends.
            slant: (n,) the slant of each.
            ways: (ways, n) how far it moves along its normal.
            limit: (ways * n * 2, 2) how far ends may move in all.
        """
        before, slides = self.ends[sides].reshape(-1, 2), self.slides[sides].reshape(-1, 2)
        at, row = np.unique(as_numbers(before), return_inverse=True)
        normal = np.repeat(self.slants.normal[slant], 2, axis=0)
        # ends go to the line as drawn, even if the warp has turned their side
        off = ((np.repeat(self.slants.at[slant], 2, axis=0) - before) * normal).sum(axis=1)
        # ends that slide stay on their level
        held, along = np.nonzero(slides)
        count = len(ways)
        many = np.arange(count)[:, None] * len(at)
        rows, normals = (row + many).ravel(), np.tile(normal, (count, 1))
        moved, _ = meeting(
            np.concatenate([rows, (row[held] + many).ravel()]),
            np.concatenate([normals, np.tile(1.0 - np.eye(2)[along], (count, 1))]),
            np.concatenate([(np.repeat(ways, 2, axis=1) + off).ravel(), np.zeros(count * len(held))]),
            count * len(at),
        )
        stays = np.tile(self.is_corner[sides].ravel() | slides.any(axis=1), count)[:, None]
        shift = np.tile(self.shift[sides].reshape(-1, 2), (count, 1))
        return np.where(stays, moved[rows], slipped(moved[rows], shift, normals, limit))


def _follow(sides: Floats, slant: Ints) -> Bools:
    """Return (n, 2) which ends of sides as drawn, (n, 4), lie within another side of their slant."""
    point, side, part = points_on(sides.reshape(-1, 2), sides)
    length = np.hypot(*(sides[side, 2:] - sides[side, :2]).T)
    inner = within(part, length) & (slant[point // 2] == slant[side])
    result = np.zeros(2 * len(sides), np.bool_)
    result[point[inner]] = True
    return result.reshape(-1, 2)


def _alike(sides: StraightSides, slants: Slants, mirrored: Mirrored) -> tuple[Ints, Floats]:
    """Return which slants lie on both sides of an outline, and whether normals point out; as for `Bench`.

    Not those that other sides on the same line are of, too.
    """
    count = len(slants.weight)
    of_side = np.full(len(sides.at), -1)
    of_side[slants.side] = slants.slant
    one, other, middle = mirrored.pairs_of(sides.at)
    is_paired = np.zeros(len(sides.at), np.bool_)
    is_paired[one] = True
    is_whole = np.ones(count + 1, np.bool_)
    is_whole[slants.slant[~is_paired[slants.side]]] = False
    is_whole[-1] = False
    kept = is_whole[of_side[one]] & is_whole[of_side[other]]
    one, middle = one[kept], middle[kept]
    first, second = of_side[one], of_side[other[kept]]
    group = linked(first, second, count)
    result = np.where(np.bincount(group, minlength=count)[group] > 1, group, -1)
    way = (sides.at[one, :2] + sides.at[one, 2:]) / 2 - middle
    outwards = np.ones(count)
    outwards[first] = np.where((way * slants.normal[first]).sum(axis=1) < 0, -1.0, 1.0)
    return result, outwards
