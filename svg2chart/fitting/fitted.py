"""What fits a drawing to the grid: a warp of all of it, and then slanted sides moved by themselves."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.carrying import carried_on, ending_twice, points_on, slid
from svg2chart.fitting.forms import NO_FORMS, Forms
from svg2chart.fitting.frames import NO_FRAMES, Frames
from svg2chart.fitting.hanging import Tied, with_hanging, within_own
from svg2chart.fitting.leaning import Lean
from svg2chart.fitting.mirrored import NONE_MIRRORED, Mirrored
from svg2chart.fitting.placing import no_knots
from svg2chart.fitting.seams import contours_of
from svg2chart.fitting.slants import corners
from svg2chart.fitting.warp import Warp, on_lattice
from svg2chart.fitting.widths import Unequal
from svg2chart.geometry.box import Box
from svg2chart.geometry.boxes import boxes_around, boxes_of
from svg2chart.geometry.cut import cut_polygon_to_box
from svg2chart.geometry.polygon import Polygon, Polylines
from svg2chart.runs import in_old_order, spread

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Fit:
    """Where points of a drawing move to, in squares.

    unequal: equal widths that become unequal.
    straight: (n, 4) slanted straight sides as drawn, which stay straight. ends: (n, 4) how far the warp moves
        their ends. level: (m, 4) those along the grid.
    room: (2, 2) the least and the greatest x and y of the squares that all comes to lie in.
    frames: motifs that are fitted by themselves, and motifs: (kinds,) the fit in each frame.
    twins: the corners of outlines that are as wide and as high as another, and where each starts.
    outlines: (edges, 4) of all that is seen.
    """

    unequal: tuple[Unequal, ...]
    warp: Warp
    mirrored: Mirrored
    forms: Forms
    straight: Floats
    ends: Floats
    level: Floats
    lean: Lean
    room: Floats
    frames: Frames
    motifs: tuple["Fit", ...]
    twins: tuple[Floats, Ints] = (np.zeros((0, 2)), np.zeros(1, np.int64))
    outlines: Floats = field(default_factory=lambda: np.zeros((0, 4)))

    @property
    def largest_movement(self) -> float:
        """The farthest that any point moves in either direction, in squares; not what the page cuts."""
        ends = np.concatenate([self.straight, self.level]).reshape(-1, 2)
        ends = ends[self.frames.around(ends) < 0]
        ways = self._moved(ends, self.forms.at(ends)) - ends
        inner = (np.minimum(ends - self.lean.room[0], self.lean.room[1] - ends) >= 0).all(axis=1)
        inner &= ~self.lean.on_cut(ends).any(axis=1)
        # the page's edge cuts slanted sides one by one: where two end one was drawn so
        inner |= ending_twice(len(ends), points_on(ends, self.straight), self.straight)
        return max(
            self.warp.largest_movement,
            self.forms.largest_movement,
            float(np.abs(ways[inner]).max(initial=0.0)),
            float(self.ways_of_motifs().max(initial=0.0)),
        )

    def ways_of_motifs(self) -> Floats:
        """Return (motifs,) how far any corner of each moves, in squares."""
        corners = self.frames.corners
        result = np.zeros(len(self.frames.box))
        np.maximum.at(result, self.frames.owner, np.abs(self.points(corners) - corners).max(axis=1))
        return result

    def boxes_of_motifs(self) -> Floats:
        """Return (motifs, 4) the boxes around motifs where they come to lie."""
        now = self.points(self.frames.corners)
        return boxes_around(now, now, self.frames.owner, len(self.frames.box))

    def boxes_apart(self) -> Floats:
        """Return (n, 4) the boxes around motifs, and outlines that have twins, where they come to lie."""
        return np.concatenate([self.boxes_of_motifs(), boxes_of(*self._contours(*self.twins))])

    def every_unequal(self) -> tuple[Unequal, ...]:
        """Return the equal widths that become unequal, those of motifs where the first of a kind lies."""
        found = list(self.unequal)
        for fit, motif in zip(self.motifs, self.frames.first.tolist(), strict=True):
            for unequal in fit.every_unequal():
                between = tuple(self.frames.placed_along(*each, motif) for each in unequal.between)
                found.append(replace(unequal, between=between))
        return tuple(found)

    def polygons(self, polygons: Sequence[Polygon]) -> list[Polygon]:
        """Return polygons moved, all in one go."""
        points, starts = self._contours(*contours_of(polygons))
        leave = bool((points < self.room[0]).any() or (points > self.room[1]).any())
        result, first = [], 0
        for polygon in polygons:
            last = first + len(polygon.starts) - 1
            own = starts[first : last + 1]
            moved = replace(polygon, points=points[own[0] : own[-1]], starts=own - own[0])
            result.append(self._cut_off(polygon, moved) if leave else moved)
            first = last
        return result

    def _contours(self, points: Floats, starts: Ints) -> tuple[Floats, Ints]:
        """Return contours moved, those of motifs in their frames."""
        motif = self.frames.of_chains(points, starts)
        if (motif < 0).all():
            return self._warped_contours(points, starts)
        found = []
        for kind in range(-1, len(self.motifs)):
            own = np.flatnonzero(self.frames.kind_of(motif) == kind)
            counts = np.diff(starts)[own]
            chains = points[spread(starts[own], counts)], np.concatenate([[0], np.cumsum(counts)])
            if kind < 0:
                moved, new = self._warped_contours(*chains)
            else:
                framed = self.frames.framed(chains[0], np.repeat(motif[own], counts))
                moved, new = self.motifs[kind]._contours(framed, chains[1])
                moved = self.frames.placed(moved, np.repeat(motif[own], np.diff(new)))
            found.append((own, moved, np.diff(new)))
        owns, moves, counts_now = (np.concatenate(parts) for parts in zip(*found, strict=True))
        return in_old_order(owns, moves, np.concatenate([[0], np.cumsum(counts_now)]))

    def _warped_contours(self, points: Floats, starts: Ints) -> tuple[Floats, Ints]:
        form = self.forms.of_chains(points, starts)
        # forms are stretched evenly, and what is even has straight sides: they need no points more
        whole, along = (
            (form >= 0) | self.mirrored.have_all(points, starts),
            self.mirrored.are_along(points, starts),
        )
        points, starts = self.warp.cut(points, starts, np.ones(len(form), np.bool_), whole)
        form, goes = np.repeat(form, np.diff(starts)), np.repeat(along, np.diff(starts))
        ways = self._warped(points, form, goes)
        # what was cut and is straight again may not come to lie on what it only crosses
        kept, starts = corners(points + ways, starts)
        return self._leant(points[kept], ways[kept], form[kept]), starts

    def _cut_off(self, before: Polygon, moved: Polygon) -> Polygon:
        """Return a moved polygon without what has left the squares that the drawing touches."""
        room = self.room
        if not len(before.points) or (before.points < room[0]).any() or (before.points > room[1]).any():
            return moved
        cut = cut_polygon_to_box(moved, Box(*room.ravel().tolist()))
        return moved if cut is moved else replace(cut, points=on_lattice(cut.points))

    def lines(self, lines: Sequence[Polylines]) -> list[Polylines]:
        """Return chains of points moved, all in one go."""
        counts = [np.diff(each.starts) for each in lines]
        points = np.concatenate([np.zeros((0, 2)), *(each.points for each in lines)])
        starts = np.concatenate([np.zeros(1, np.int64), *counts]).cumsum()
        closed = np.concatenate([np.zeros(0, np.bool_), *(each.closed for each in lines)])
        points, starts = self.warp.cut(points, starts, closed, np.zeros(len(closed), np.bool_))
        line = np.repeat(np.arange(len(lines)), [len(count) for count in counts])
        points = self._with_hanging(points, starts, line, self._chains(points, starts))
        result, first = [], 0
        for each in lines:
            own = starts[first : first + len(each.starts)]
            result.append(replace(each, points=points[own[0] : own[-1]], starts=own - own[0]))
            first += len(each.starts) - 1
        return result

    def _with_hanging(self, points: Floats, starts: Ints, line: Ints, moved: Floats) -> Floats:
        """Return (n, 2) points of thin lines moved, those that hang on motifs or forms with these."""
        if not len(points) or not (len(self.frames.box) or len(self.forms.box)):
            return moved
        ends = np.stack([starts[:-1], starts[1:] - 1], axis=1).ravel()
        there = points[ends]
        motif = within_own(there, self.frames.around(there), self.frames.sides, self.frames.of_side)
        form = self.forms.of_chains(there, np.arange(len(ends) + 1))
        form = within_own(there, form, self.forms.edges, self.forms.form)
        owner = self._owners(self.frames.along(points, starts), self.forms.around(points))
        is_on = owner[ends] >= 0
        of_ends = np.where(is_on, owner[ends], self._owners(motif, form))
        within = np.where((motif >= 0)[:, None], self.points(there), self._moved(there, form))
        goals = np.where(is_on[:, None], moved[ends], within)
        tied = Tied(
            points=points,
            starts=starts,
            line=line,
            owner=owner,
            of_ends=of_ends.reshape(-1, 2),
            outlines=self.outlines,
        )
        return on_lattice(with_hanging(tied, moved, goals.reshape(-1, 2, 2), self.lean.cut))

    def _owners(self, motif: Ints, form: Ints) -> Ints:
        """Return one number for motifs, and after them for forms that are of none; -1 for neither."""
        return np.where(motif >= 0, motif, np.where(form >= 0, form + len(self.frames.box), -1))

    def _chains(self, points: Floats, starts: Ints) -> Floats:
        """Return (n, 2) points of thin lines moved."""
        result, motif = self._moved(points, self.forms.around(points)), self.frames.along(points, starts)
        chain = np.repeat(np.arange(len(starts) - 1), np.diff(starts))
        for kind, fit in enumerate(self.motifs):
            own = self.frames.kind_of(motif) == kind
            counts = np.bincount(chain[own], minlength=len(starts) - 1)
            framed = self.frames.framed(points[own], motif[own])
            moved = fit._chains(framed, np.concatenate([[0], np.cumsum(counts)]))
            result[own] = self.frames.placed(moved, motif[own])
        return result

    def points(self, points: Floats) -> Floats:
        """Return (n, 2) points moved."""
        result, motif = self._moved(points, self.forms.around(points)), self.frames.around(points)
        for kind, fit in enumerate(self.motifs):
            own = self.frames.kind_of(motif) == kind
            framed = self.frames.framed(points[own], motif[own])
            result[own] = self.frames.placed(fit.points(framed), motif[own])
        return result

    def _moved(self, points: Floats, form: Ints) -> Floats:
        return self._leant(points, self._warped(points, form, np.ones(len(points), np.bool_)), form)

    def _leant(self, points: Floats, ways: Floats, form: Ints) -> Floats:
        """Return points that go these ways, and with slanted sides but for those of forms."""
        result, free = points + ways, np.flatnonzero(form < 0)
        result[free] = self.lean.moved(result[free], ways[free])
        return result

    def _warped(self, points: Floats, form: Ints, goes: Bools) -> Floats:
        """Return the ways of points, those that go with corners of what stays even as these."""
        warped = self.mirrored.kept(points, self.warp.ways(points), goes)
        on = points_on(points, self.straight)
        ways = slid(
            points,
            on,
            carried_on(on, warped, self.straight, self.ends),
            warped,
            level=self.level,
            sides=self.straight,
            ends=self.ends,
            farthest=self.lean.farthest,
        )
        return on_lattice(self.forms.kept(points, ways, form))


def nothing_moves(room: Floats, farthest: float) -> Fit:
    """Return the fit that moves nothing.

    Args:
        room: (2, 2) the least and the greatest x and y of the squares that all lies in.
        farthest: as far as sides could move, in squares.
    """
    none = np.zeros((0, 4))
    return Fit(
        unequal=(),
        warp=Warp(across=no_knots(), down=no_knots()),
        mirrored=NONE_MIRRORED,
        forms=NO_FORMS,
        straight=none,
        ends=none,
        level=none,
        lean=Lean(
            at=none,
            normal=none[:, :2],
            goal=none[:, 0],
            most=none[:, 0],
            level=none[:, 0] > 0,
            shift=none,
            farthest=farthest,
            room=room,
            cut=np.full((2, 2), np.nan),
        ),
        room=room,
        frames=NO_FRAMES,
        motifs=(),
    )
