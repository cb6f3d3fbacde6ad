"""How the points of a drawing move when slanted sides move across themselves."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.carrying import (
    SLIDE,
    carried_on,
    ending_twice,
    meeting,
    off_lines,
    on_long,
    points_on,
    sliding,
    slipped,
    within,
)
from svg2chart.fitting.mirrored import Mirrored
from svg2chart.fitting.slack import STEP, Bench
from svg2chart.fitting.slants import StraightSides, find_slants
from svg2chart.fitting.stepping import ways_of_slants
from svg2chart.fitting.tips import FULL_FIT, STANDS_OVER, tips_inward
from svg2chart.fitting.warp import on_lattice
from svg2chart.runs import numbered

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

BESIDE = 1 / 16
"""What was drawn farther off a side, in squares, does not lie on it. Our choice, no source."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Lean:
    """How points move when slanted sides do.

    at: (n, 4) straight sides, in squares. normal: (n, 2) across the line that each goes to, of length one.
    goal: (n,) how far along that from the first hole the line lies, not a number for sides that stay.
    most: (n,) how far its ends may move in all. level: (n,) whether it runs along the grid: on such a side
        points stay.
    shift: (n, 4) how far their ends have moved already. farthest: no point moves by more in all, but for
        tips, those that slide along a long side, and those that lie within one that moves.
    room: (2, 2) the least and the greatest x and y of the squares that the drawing touches.
    cut: (2, 2) those of its edges that the page cuts at, not a number for the others.
    off: (n,) whether both ends could stop on their way: then all of the side would lie off its diagonal.
    ends: (n, 4) how far the ends of the sides go.
    """

    at: Floats
    normal: Floats
    goal: Floats
    most: Floats
    level: Bools
    shift: Floats
    farthest: float
    room: Floats
    cut: Floats
    off: Bools = field(init=False)
    ends: Floats = field(init=False)

    def __post_init__(self) -> None:
        ends, shift = self.at.reshape(-1, 2), self.shift.reshape(-1, 2)
        own, on = self._on_sides(ends, shift)
        most = self._most(ends[own], shift[own], on)
        moved = self._on_moving(ends[own], shift[own], on, most)[0]
        object.__setattr__(self, "off", self._stop_twice(on, shift[own], moved, most))
        most = self._most_of_tips(on, shift[own], moved, most)
        ways = np.zeros_like(ends)
        ways[own] = np.clip(shift[own] + moved, -most, most) - shift[own]
        object.__setattr__(self, "ends", ways.reshape(-1, 4))

    def moved(self, points: Floats, shift: Floats) -> Floats:
        """Return points moved: those on sides that move, and those that these take along.

        What the page cut slides along its edge as far as it must.

        Args:
            points: (n, 2) in squares.
            shift: (n, 2) how far they have moved already.
        """
        if not (len(points) and np.isfinite(self.goal).any()):
            return on_lattice(points)
        # few points of a drawing lie on straight sides
        own, on = self._on_sides(points, shift)
        there, been = points[own], shift[own]
        most = self._most(there, been, on)
        ways, moving = self._on_moving(there, been, on, most)
        row, side, part = on
        leans = ~self.level[side]
        taken = carried_on((row[leans], side[leans], part[leans]), ways, self.at, self.ends)
        drawn = side < len(self.at) - 4  # the last four are the edges of the room
        stays = on_long(len(there), (row[drawn], side[drawn], part[drawn]), self.at).all(axis=1)
        taken[stays] = ways[stays]  # corners of long sides along the grid
        most = self._most_of_tips(on, been, ways, most)
        goal = there + (np.clip(been + np.where(moving[:, None], ways, taken), -most, most) - been)
        result = points.copy()
        result[own] = self._between_ends(goal, on)
        return on_lattice(result)

    def on_cut(self, points: Floats) -> Bools:
        """Return (n, 2) in which direction points lie on an edge that the page cuts at."""
        return np.asarray((points == self.cut[0]) | (points == self.cut[1]))

    def _between_ends(self, goal: Floats, on: tuple[Ints, Ints, Floats]) -> Floats:
        """Return where points go, those within one side alone not past its ends, which slide.

        Args:
            goal: (n, 2) where they would go.
            on: which of them lie on which sides.
        """
        drawn = on[1] < len(self.at) - 4  # the last four are the edges of the room
        point, side, part = on[0][drawn], on[1][drawn], on[2][drawn]
        length = np.hypot(*(self.at[side, 2:] - self.at[side, :2]).T)
        slides = (self.ends[side] != 0).any(axis=1) & (np.bincount(point)[point] == 1)
        kept = slides & within(part, length)
        point, now = point[kept], (self.at + self.ends)[side[kept]]
        start, way = now[:, :2], now[:, 2:] - now[:, :2]
        square = (way**2).sum(axis=1)
        along = ((goal[point] - start) * way).sum(axis=1) / np.where(square > 0, square, 1.0)
        result = goal.copy()
        result[point] = start + np.clip(along, 0.0, 1.0)[:, None] * way
        return result

    def _on_sides(self, points: Floats, shift: Floats) -> tuple[Ints, tuple[Ints, Ints, Floats]]:
        """Return the points that lie on sides, and as `points_on` which of these on which sides.

        What only the warp has brought there, beside it as drawn, does not go with a side.
        """
        point, side, part = points_on(points, self.at)
        off = off_lines((points - shift)[point], (self.at - self.shift)[side])
        kept = (off <= BESIDE) | (side >= len(self.at) - 4)
        own, row = numbered(point[kept])
        return own, (row, side[kept], part[kept])

    def _most(self, points: Floats, shift: Floats, on: tuple[Ints, Ints, Floats]) -> Floats:
        """Return (n, 2) how far points may move in all; what lies within a side that moves goes with it.

        What has gone farther already stays.
        """
        on_edge = self.on_cut(points)
        point, side, part = on
        length = np.hypot(*(self.at[side, 2:] - self.at[side, :2]).T)
        # the page's edge cuts slanted sides one by one: where two end one was drawn so
        slants = ~self.level[side]
        drawn_there = ending_twice(len(points), (point[slants], side[slants], part[slants]), self.at)
        on_edge &= ~drawn_there[:, None]
        taken = np.zeros((len(points), 1), np.bool_)
        taken[point[within(part, length) & np.isfinite(self.goal[side])]] = True
        drawn = side < len(self.at) - 4
        slides = sliding(len(points), (point[drawn], side[drawn], part[drawn]), self.at)
        limit = np.full((len(points), 1), self.farthest)
        np.maximum.at(limit[:, 0], point, self.most[side])
        most = np.where(slides, SLIDE * self.farthest, np.maximum(limit, np.abs(shift)))
        return np.where(on_edge[:, ::-1] | taken, np.inf, most)

    def _most_of_tips(
        self, on: tuple[Ints, Ints, Floats], shift: Floats, ways: Floats, most: Floats
    ) -> Floats:
        """Return how far points may move in all, tips that would come out blunt by more."""
        if self.farthest < FULL_FIT:
            return most
        point, side, _ = on
        inward, stops = self._tips(on, shift, ways, most)
        stops[point[self.off[side]]] = False
        goes = inward.any(axis=1, keepdims=True) & ~stops
        return np.where(goes, np.maximum(most, SLIDE * self.farthest), most)

    def _stop_twice(self, on: tuple[Ints, Ints, Floats], shift: Floats, ways: Floats, most: Floats) -> Bools:
        """Return (n,) which sides have a tip at both ends that may not go all its way, and may stop on it."""
        point, side, part = on
        result = np.zeros((len(self.at), 2), np.bool_)
        _, stops = self._tips(on, shift, ways, most)
        short = (stops & (np.abs(shift + ways) > most)).any(axis=1)
        own = np.asarray(short)[point] & self._are_ends(on)
        result[side[own], (part[own] > 0.5).astype(np.int64)] = True
        return np.asarray(result.all(axis=1))

    def _are_ends(self, on: tuple[Ints, Ints, Floats]) -> Bools:
        """Return which points lie at the ends of sides that move."""
        _, side, part = on
        length = np.hypot(*(self.at[side, 2:] - self.at[side, :2]).T)
        return ~within(part, length) & np.isfinite(self.goal[side])

    def _tips(
        self, on: tuple[Ints, Ints, Floats], shift: Floats, ways: Floats, most: Floats
    ) -> tuple[Floats, Bools]:
        """Return (n, 2) whither points that are tips point, and along which axis they may stop on the way."""
        point, side, part = on
        way = self.at[side, 2:] - self.at[side, :2]
        ends = self._are_ends(on)
        # the warp may have turned the side: it goes to a line as drawn
        along = np.stack([-self.normal[side, 1], self.normal[side, 0]], axis=1)
        way = along * np.where((along * way).sum(axis=1) * (part - 0.5) < 0, 1.0, -1.0)[:, None]
        inward = tips_inward(point[ends], way[ends], len(ways))
        stops = (inward * ways > 0) & (np.abs(shift + ways) <= most + STANDS_OVER)
        return inward, np.asarray(stops)

    def _on_moving(
        self, points: Floats, shift: Floats, on: tuple[Ints, Ints, Floats], most: Floats
    ) -> tuple[Floats, Bools]:
        """Return the ways of points on sides that move, and which these are.

        Those on sides along the grid stay on these; so do those on an edge of the room, if nothing else tells
        where to go, and those within slanted sides that do not move, if that does not take them too far.
        """
        point, side, part = on
        length = np.hypot(*(self.at[side, 2:] - self.at[side, :2]).T)
        moves = np.isfinite(self.goal[side])
        way = np.where(moves, self.goal[side] - (points[point] * self.normal[side]).sum(axis=1), 0.0)
        moving = np.zeros(len(points), np.bool_)
        moving[point[moves]] = True
        is_edge = side >= len(self.at) - 4
        level = (moves | (self.level[side] & ~is_edge)) & moving[point]
        on_others = within(part, length) & ~is_edge & moving[point]
        slanted = ~self.level[side]
        (free, is_told), (edged, is_held), (tied, is_tied), (_, is_corner) = (
            meeting(point[some], self.normal[side[some]], way[some], len(points))
            for some in (level, level | (is_edge & moving[point]), level | on_others, slanted)
        )
        near = (np.abs(shift + tied) - most).max(axis=1) <= STEP
        normal = np.zeros((len(points), 2))
        normal[point[moves]] = self.normal[side[moves]]
        stays = (is_held | is_corner)[:, None]
        edged = np.where(stays, edged, slipped(edged, shift, normal, most))
        ways = np.where(is_told[:, None], free, edged)
        return np.where((is_tied & near)[:, None], tied, ways), moving


def lean(
    sides: StraightSides, shift: Floats, mirrored: Mirrored, *, farthest: float, room: Floats, cut: Floats
) -> Lean:
    """Return how slanted sides move.

    Args:
        sides: straight sides as drawn and seen.
        shift: (n, 4) how far the warp has moved their ends.
        mirrored: which of them move alike.
        farthest: as for `Lean`, in squares.
        room: (2, 2) the least and the greatest x and y of the squares that the drawing touches.
        cut: (2, 2) those of its edges that the page cuts at, not a number for the others.
    """
    at = sides.at + shift
    goal, most, normal = np.full(len(at), np.nan), np.full(len(at), farthest), _normals(at)
    slants = find_slants(sides, shift)
    if len(slants.weight):
        bench = Bench.of(sides, slants, shift, mirrored, farthest=farthest, room=room)
        ways, far = ways_of_slants(bench)
        goals = (slants.at * slants.normal).sum(axis=1) + ways
        goal[slants.side], most[slants.side] = goals[slants.slant], far[slants.slant]
        normal[slants.side] = slants.normal[slants.slant]
    # on the edges of the room all stays as on a side along them
    (left, top), (right, bottom) = room.tolist()
    edges = np.array(
        [
            [left, top, right, top],
            [left, top, left, bottom],
            [left, bottom, right, bottom],
            [right, top, right, bottom],
        ]
    )
    return Lean(
        at=np.concatenate([at, edges]),
        normal=np.concatenate([normal, _normals(edges)]),
        goal=np.append(goal, np.full(4, np.nan)),
        most=np.append(most, np.full(4, farthest)),
        level=np.append(~sides.slanted, np.ones(4, np.bool_)),
        shift=np.concatenate([shift, np.zeros((4, 4))]),
        farthest=farthest,
        room=room,
        cut=cut,
    )


def _normals(ends: Floats) -> Floats:
    way = ends[:, 2:] - ends[:, :2]
    length = np.hypot(way[:, 0], way[:, 1])
    # the warp may have pressed a side to a point, which has no direction
    return np.asarray(np.stack([way[:, 1], -way[:, 0]], axis=1) / np.where(length > 0, length, 1.0)[:, None])
