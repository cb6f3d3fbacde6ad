"""What fits a drawing to the grid: a warp of all of it, and then slanted sides moved by themselves."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import compress

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import Group
from svg2chart.fitting.carrying import carried_on, points_on, slid
from svg2chart.fitting.forms import Forms, find_forms
from svg2chart.fitting.holding import find_held
from svg2chart.fitting.leaning import Lean, lean
from svg2chart.fitting.placing import find_room, place_sides
from svg2chart.fitting.seams import contours_of, seamless_contours
from svg2chart.fitting.sides import find_sides
from svg2chart.fitting.sightlines import Outlines, Sights, look_along_lines
from svg2chart.fitting.slants import corners, find_straight
from svg2chart.fitting.warp import Warp, on_lattice
from svg2chart.fitting.widths import Unequal, unequal_widths
from svg2chart.geometry.box import Box
from svg2chart.geometry.cut import cut_polygon_to_box
from svg2chart.geometry.polygon import FillRule, Polygon, Polylines, edges_of_all
from svg2chart.octants.stacks import SEEN_OPACITY, hides, opacity_in_all
from svg2chart.visible import Shape

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Fit:
    """Where points of a drawing move to, in squares.

    unequal: equal widths that become unequal.
    straight: (n, 4) slanted straight sides as drawn, which stay straight. ends: (n, 4) how far the warp moves
        their ends. level: (m, 4) those along the grid.
    """

    unequal: tuple[Unequal, ...]
    warp: Warp
    forms: Forms
    straight: Floats
    ends: Floats
    level: Floats
    lean: Lean

    @property
    def largest_movement(self) -> float:
        """The farthest that any point moves in either direction, in squares; not what the page cuts."""
        ends = np.concatenate([self.straight, self.level]).reshape(-1, 2)
        ways = self._moved(ends, self.forms.at(ends)) - ends
        inner = (np.minimum(ends - self.lean.room[0], self.lean.room[1] - ends) > 0).all(axis=1)
        return max(
            self.warp.largest_movement,
            self.forms.largest_movement,
            float(np.abs(ways[inner]).max(initial=0.0)),
        )

    def polygons(self, polygons: Sequence[Polygon]) -> list[Polygon]:
        """Return polygons moved, all in one go."""
        points, starts = contours_of(polygons)
        form = self.forms.of_chains(points, starts)
        # forms are stretched evenly, and need no points more
        points, starts = self.warp.cut(points, starts, np.ones(len(form), np.bool_), form >= 0)
        form = np.repeat(form, np.diff(starts))
        ways = self._warped(points, form)
        # what was cut and is straight again may not come to lie on what it only crosses
        kept, starts = corners(points + ways, starts)
        points = self._leant(points[kept], ways[kept], form[kept])
        leave = bool((points < self.lean.room[0]).any() or (points > self.lean.room[1]).any())
        result, first = [], 0
        for polygon in polygons:
            last = first + len(polygon.starts) - 1
            own = starts[first : last + 1]
            moved = replace(polygon, points=points[own[0] : own[-1]], starts=own - own[0])
            result.append(self._cut_off(polygon, moved) if leave else moved)
            first = last
        return result

    def _cut_off(self, before: Polygon, moved: Polygon) -> Polygon:
        """Return a moved polygon without what has left the squares that the drawing touches."""
        room = self.lean.room
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
        points = self.points(points)
        result, first = [], 0
        for each in lines:
            own = starts[first : first + len(each.starts)]
            result.append(replace(each, points=points[own[0] : own[-1]], starts=own - own[0]))
            first += len(each.starts) - 1
        return result

    def points(self, points: Floats) -> Floats:
        """Return (n, 2) points moved."""
        return self._moved(points, self.forms.around(points))

    def _moved(self, points: Floats, form: Ints) -> Floats:
        return self._leant(points, self._warped(points, form), form)

    def _leant(self, points: Floats, ways: Floats, form: Ints) -> Floats:
        """Return points that go these ways, and with slanted sides but for those of forms."""
        result, free = points + ways, np.flatnonzero(form < 0)
        result[free] = self.lean.moved(result[free], ways[free])
        return result

    def _warped(self, points: Floats, form: Ints) -> Floats:
        warped = self.warp.ways(points)
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


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Looked:
    """What is seen of shapes along lines across the drawing.

    shapes: in paint order, in squares, those that are too faint to be seen left out.
    is_clear: (all shapes,) which of them are not too faint.
    looks: (shapes,) which of them look alike and let nothing through; -1 for those that do not hide.
    along_rows, along_columns: what is seen of them.
    areas: (all shapes,) how much of each is seen at the most, about, in squares.
    """

    shapes: tuple[Shape, ...]
    is_clear: Bools
    looks: Ints
    along_rows: Sights
    along_columns: Sights
    areas: Floats

    def without(self, unseen: Bools) -> "Looked":
        """Return the same without shapes of which lines see nothing.

        Args:
            unseen: (all shapes,) which these are.
        """
        kept = ~unseen[self.is_clear]
        return Looked(
            shapes=tuple(compress(self.shapes, kept)),
            is_clear=self.is_clear[~unseen],
            looks=self.looks[kept],
            along_rows=replace(self.along_rows, areas=self.along_rows.areas[kept]),
            along_columns=replace(self.along_columns, areas=self.along_columns.areas[kept]),
            areas=self.areas[~unseen],
        )


def look(shapes: Sequence[Shape], groups: tuple[Group, ...], *, rows: int, columns: int) -> Looked:
    """Return what is seen of shapes.

    Args:
        shapes: in paint order, in squares.
        groups: the groups that the paints name.
        rows: rows of squares.
        columns: columns of squares.
    """
    is_clear = np.array([opacity_in_all(shape.paint, groups) >= SEEN_OPACITY for shape in shapes], np.bool_)
    seen = tuple(compress(shapes, is_clear))
    outlines = _outlines(seen, groups)
    along_rows = look_along_lines(outlines, lines=rows, length=columns)
    along_columns = look_along_lines(outlines.turned(), lines=columns, length=rows)
    areas = np.zeros(len(is_clear))
    # few lines may cross a strip, or many
    areas[is_clear] = np.maximum(along_rows.areas, along_columns.areas)
    looks = np.where(outlines.hides, outlines.look, -1)
    return Looked(
        shapes=seen,
        is_clear=is_clear,
        looks=looks,
        along_rows=along_rows,
        along_columns=along_columns,
        areas=areas,
    )


def find_fit(
    looked: Looked, lines: Sequence[Polylines], *, rows: int, columns: int, movement: float
) -> Fit | None:
    """Return what brings that which is seen of shapes onto the grid, None if nothing is.

    Nothing leaves the grid.

    Args:
        looked: what is seen of the shapes.
        lines: thin lines, which move along.
        rows: rows of squares.
        columns: columns of squares.
        movement: no side moves farther in either direction, in squares; tips, forms and what slides along
            sides go by up to twice as far, which `Fit.largest_movement` tells.
    """
    seen, along_rows, along_columns = looked.shapes, looked.along_rows, looked.along_columns
    if not seen:
        return None
    points = np.concatenate([*(shape.polygon.points for shape in seen), *(chain.points for chain in lines)])
    reach = np.stack([points.min(axis=0), points.max(axis=0)])
    contours = seamless_contours([shape.polygon for shape in seen], looked.looks)
    straight = find_straight(*contours, along_rows, along_columns)
    one, other = find_held(find_sides(along_rows), find_sides(along_columns), straight, *contours)
    room = find_room(reach, columns=columns, rows=rows, movement=movement)
    still = (one.places, other.places)
    across, down = place_sides(one.sides, other.sides, room=room, reach=reach, held=still, movement=movement)
    warp = Warp(across=across, down=down)
    forms = find_forms(
        *contours, warp, (along_rows, along_columns), room=room.astype(np.float64), farthest=movement
    )
    ends = straight.at.reshape(-1, 2)
    form = forms.at(ends)
    ends = on_lattice(forms.kept(ends, warp.ways(ends), form).reshape(-1, 4))
    # sides that go with their form are moved no more
    leaning = replace(straight, slanted=straight.slanted & (form.reshape(-1, 2) < 0).any(axis=1))
    leaned = lean(leaning, ends, farthest=movement, room=room.astype(np.float64))
    return Fit(
        unequal=unequal_widths(
            one.sides, other.sides, moved=(across.moved(one.sides.at), down.moved(other.sides.at))
        ),
        warp=warp,
        forms=forms,
        straight=straight.at[straight.slanted],
        level=straight.at[~straight.slanted],
        ends=ends[straight.slanted],
        lean=leaned,
    )


def _outlines(shapes: Sequence[Shape], groups: tuple[Group, ...]) -> Outlines:
    edges, owner = edges_of_all([shape.polygon for shape in shapes])
    looks: dict[object, int] = {}
    return Outlines(
        edges=edges,
        owner=owner,
        even_odd=np.array([shape.polygon.rule is FillRule.EVENODD for shape in shapes], np.bool_),
        hides=np.array([hides(shape.paint, groups) for shape in shapes], np.bool_),
        look=np.array([looks.setdefault(shape.paint.colour, len(looks) + 1) for shape in shapes], np.int64),
    )
