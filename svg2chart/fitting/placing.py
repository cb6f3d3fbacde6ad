"""Where the sides of a drawing come to lie: on hole lines, moved as little as can be.

Each side may go to the hole line before it or to the one after it. What is asked of the
whole, each weighed by how long it is seen:

- little movement: the square of the way of each side;
- whole widths: what two sides bound becomes a whole number of squares, at least one where it is
  half a square wide; equal widths become equal numbers, across and down;
- no side overtakes another.

Such a choice of two for each side is found exactly (`choice`). No side moves by more than
the movement allowed: where a whole width cannot be had within that, it stops on the way.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import floor

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.choice import Choice, Pull
from svg2chart.fitting.ordering import kept_apart
from svg2chart.fitting.sides import SAME_PLACE, Sides, on_hole_lines
from svg2chart.fitting.sightlines import UNIT
from svg2chart.fitting.widths import FINE, HAIR, WidthClasses, width_classes
from svg2chart.runs import distinct

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Chosen = list[int | None]

FARTHEST = 3 * UNIT // 4
"""No side goes to a hole line farther off, even if it stops on the way."""

LEAST_AT_ENDS = 1 / 2
"""Strips at the ends of a drawing that has no room keep so much of their width."""

LOST = 2 * FINE * FINE
"""What it costs, for each line that it is seen on, if what wants to be wide is left no width: as much as for
a side to move by a square."""

NEVER = 1 << 50
"""More than all that can be asked costs together."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Knots:
    """Places along one direction and where they move to, both ascending, in UNIT; evenly between them."""

    at: Ints
    to: Ints

    @property
    def largest_movement(self) -> float:
        """The farthest that any of them moves, in squares."""
        return float(np.abs(self.to - self.at).max(initial=0)) / UNIT

    def moved(self, at: Ints) -> Floats:
        """Return where places move to, in UNIT."""
        return at + (np.interp(at, self.at, self.to - self.at) if len(self.at) else 0.0)


def no_knots() -> Knots:
    """Return what moves nothing."""
    none = np.zeros(0, np.int64)
    return Knots(at=none, to=none)


def find_room(reach: Floats, *, columns: int, rows: int, movement: float) -> Ints:
    """Return (2, 2) the first and the last hole lines that a drawing may reach, across and down.

    These lie round the squares that it touches. An end that lies farther off the grid than may be moved
    belongs to a part that the grid leaves out.

    Args:
        reach: (2, 2) its least and its greatest x and y, in squares.
        columns: columns of squares.
        rows: rows of squares.
        movement: no place moves by more than so many squares in either direction.
    """
    least, most = reach
    size = np.array([columns, rows])
    first = np.where((-movement <= least) & (least < 0), 0, np.floor(least))
    last = np.where((size < most) & (most <= size + movement), size, np.ceil(most))
    return np.stack([first, np.maximum(last, first + 1)]).astype(np.int64)


def place_sides(
    across: Sides, down: Sides, *, room: Ints, reach: Floats, held: tuple[Ints, Ints], movement: float
) -> tuple[Knots, Knots]:
    """Return where places along rows and along columns move to.

    Args:
        across: sides of what is seen along rows, places are x.
        down: the same along columns, places are y.
        room: (2, 2) the first and the last hole lines across and down that all must stay between.
        reach: (2, 2) the least and the greatest x and y of all that moves along, in squares.
        held: places that stay, across and down, in UNIT.
        movement: no place moves by more than so many squares in either direction.
    """
    farthest, ends = floor(movement * UNIT), np.rint(reach * UNIT).astype(np.int64)
    classes = width_classes(across, down)
    count = len(across.first)
    tasks = (
        _Task.of(across, room[:, 0], classes, slice(None, count)),
        _Task.of(down, room[:, 1], classes, slice(count, None)),
    )
    one, other = (
        _within(*_placed(task, chosen, distinct(held[axis]), farthest), ends[:, axis], task.room)
        for axis, (task, chosen) in enumerate(zip(tasks, _best_choices(tasks, classes), strict=True))
    )
    return one, other


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Task:
    """The sides of one direction, the hole lines that they must stay between, and what their pairs want.

    low: the hole line before each side. of_pair: the class of each pair. strength: how strongly it wants its
    width.
    """

    sides: Sides
    room: Ints
    low: Ints
    of_pair: Ints
    strength: Ints

    @staticmethod
    def of(sides: Sides, room: Ints, classes: WidthClasses, pairs: slice) -> "_Task":
        return _Task(
            sides=sides,
            room=room,
            low=np.floor_divide(sides.at, UNIT),
            of_pair=classes.of_pair[pairs],
            strength=classes.strength[pairs],
        )

    def best(self, widths: Ints) -> Choice:
        """Return the best choice for each side at these widths of the classes."""
        pulls = [self._pull(pair, int(widths[number])) for pair, number in enumerate(self.of_pair.tolist())]
        return Choice(_side_costs(self.sides, self.low, self.room), [*pulls, *_order_pulls(self.low)])

    def changed(self, choice: Choice, widths: Mapping[int, int]) -> Choice:
        """Return the best choice where some classes get other widths."""
        pulls = {
            pair: self._pull(pair, width)
            for number, width in widths.items()
            for pair in np.flatnonzero(self.of_pair == number).tolist()
        }
        return choice.changed(pulls) if pulls else choice

    def missed(self, choice: Choice, widths: Ints) -> NDArray[np.bool_]:
        """Return which pairs miss their width."""
        wanted, values = widths[self.of_pair], choice.values()
        missed = np.zeros(len(wanted), np.bool_)
        for undecided in (0, 1):
            taken = [undecided if value is None else value for value in values]
            line = self.low + np.array(taken, np.int64)
            missed |= (wanted > 0) & (line[self.sides.second] - line[self.sides.first] != wanted)
        return missed

    def beside(self, pair: int) -> list[int]:
        """Return the classes of the pairs that share a side with one."""
        sides = self.sides.first[pair], self.sides.second[pair]
        shares = np.isin(self.sides.first, sides) | np.isin(self.sides.second, sides)
        return [int(number) for number in distinct(self.of_pair[shares])]

    def _pull(self, pair: int, width: int) -> Pull:
        """Return what it costs a pair of sides to miss a width; nothing if it wants none, and is no hair."""
        first, second = int(self.sides.first[pair]), int(self.sides.second[pair])
        is_hair = int(self.sides.at[second] - self.sides.at[first]) <= HAIR
        if not width and not is_hair:
            return Pull(first=first, second=second, low=0, second_high=0, first_high=0, high=0)
        between = int(self.low[second] - self.low[first])
        seen = int(self.sides.shared[pair])
        less, same, more = (
            seen * (int(self.strength[pair]) * abs(at - width) + LOST * (at <= 0) * (not is_hair))
            for at in (between - 1, between, between + 1)
        )
        if between == 0:
            less = NEVER  # the second would come before the first
        return Pull(first=first, second=second, low=same, second_high=more, first_high=less, high=same)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Trial:
    """The best choices of both directions at some widths of the classes."""

    tasks: tuple[_Task, _Task]
    classes: WidthClasses
    widths: Ints
    choices: tuple[Choice, Choice]

    @property
    def cost(self) -> int:
        return self.choices[0].cost + self.choices[1].cost

    def toggled(self, numbers: Sequence[int]) -> "_Trial":
        """Return the trial in which these classes have their other width, or again the nearest."""
        widths, index = self.widths.copy(), np.array(numbers, np.int64)
        near, other = self.classes.whole[index], self.classes.other[index]
        widths[index] = np.where(widths[index] == near, other, near)
        new = dict(zip(numbers, widths[index].tolist(), strict=True))
        one, other_one = (
            task.changed(choice, new) for task, choice in zip(self.tasks, self.choices, strict=True)
        )
        return replace(self, widths=widths, choices=(one, other_one))

    def missing(self) -> list[tuple[int, ...]]:
        """Return what may help where a width that others have is missed: its class, one beside, or both."""
        found: set[tuple[int, ...]] = set()
        for task, choice in zip(self.tasks, self.choices, strict=True):
            shared = np.bincount(self.classes.of_pair)[task.of_pair] > 1
            for pair in np.flatnonzero(
                task.missed(choice, self.widths) & shared & ~task.sides.is_gap
            ).tolist():
                number = int(task.of_pair[pair])
                change = [n for n in task.beside(pair) if self.classes.other[n] and n != number]
                found |= {(n,) for n in change}
                if self.classes.other[number]:
                    found |= {(number,), *((number, n) for n in change)}
        return sorted(found)


def _best_choices(tasks: tuple[_Task, _Task], classes: WidthClasses) -> list[Chosen]:
    """Return the choices at the nearest whole widths, or the second nearest wherever those cost less."""
    best = _Trial(
        tasks=tasks,
        classes=classes,
        widths=classes.whole,
        choices=(tasks[0].best(classes.whole), tasks[1].best(classes.whole)),
    )
    for number in np.flatnonzero(classes.other).tolist():
        best = min(best, best.toggled([number]), key=lambda trial: trial.cost)
    # what is still missed may need two classes to change together
    for numbers in best.missing():
        best = min(best, best.toggled(numbers), key=lambda trial: trial.cost)
    return [choice.values() for choice in best.choices]


def _placed(task: _Task, chosen: Chosen, held: Ints, farthest: int) -> tuple[Ints, Ints]:
    """Return the places of sides and where they move to; those that nothing decides are left out.

    Held places stay among them: no side passes one, and what lies between two keeps its room.
    """
    sides = task.sides
    # where both are as good, in the very middle of all, the upper shape grows, if that does not go too far
    beyond = sides.at - task.low * UNIT
    too_far = np.where(sides.growing > 0, UNIT - beyond, beyond) > farthest + SAME_PLACE
    taken = [
        int((growing > 0) != is_too_far) if line is None else line
        for line, growing, is_too_far in zip(chosen, sides.growing.tolist(), too_far.tolist(), strict=True)
    ]
    line = task.low + np.array(taken, np.int64)
    way = np.clip(line * UNIT - sides.at, -farthest, farthest)
    way[on_hole_lines(sides.at)] = 0
    decided = np.array([choice is not None for choice in chosen], np.bool_) | (sides.growing != 0)
    own = np.flatnonzero(decided)
    held = held[~np.isin(held, sides.at[own])]
    between = np.searchsorted(sides.at[own], held)
    at = np.insert(sides.at[own], between, held)
    to = np.insert((sides.at + way)[own], between, held)
    line = np.insert(line[own], between, np.rint(held / UNIT).astype(np.int64))
    weight = np.insert(sides.weight[own], between, 0)
    number = np.full(len(sides.at), -1, np.int64)
    number[own] = np.arange(len(own)) + np.searchsorted(held, sides.at[own])
    to = kept_apart(at, to, line, weight, _facing(sides, number))
    return at, np.clip(to, at - farthest, at + farthest)


def _within(at: Ints, to: Ints, ends: Ints, room: Ints) -> Knots:
    """Return the knots with all between the ends in the room; what lies beside an end keeps a distance."""
    least, most = room[0] * UNIT, room[1] * UNIT
    # beyond the outermost knots all moves as they do
    moved = ends + (np.interp(ends, at, to - at).astype(np.int64) if len(at) else 0)
    if moved[0] < least:
        distance = np.rint((at - ends[0]) * LEAST_AT_ENDS).astype(np.int64)
        at, to = np.append(ends[0], at), np.append(least, np.maximum(to, least + distance))
    if moved[1] > most:
        distance = np.rint((ends[1] - at) * LEAST_AT_ENDS).astype(np.int64)
        at, to = np.append(at, ends[1]), np.append(np.minimum(to, most - distance), most)
    # where all around moves alike no knot is needed
    way = to - at
    needed = np.append(way[1:] != way[:-1], False) | np.append(False, way[1:] != way[:-1])
    if len(at) and not needed.any() and way[0]:
        needed[0] = True
    return Knots(at=at[needed[: len(at)]], to=to[needed[: len(at)]])


def _side_costs(sides: Sides, low: Ints, room: Ints) -> list[tuple[int, int]]:
    """Return what it costs each side to go to the hole line before it and to the one after it."""
    costs = []
    middle = (int(sides.at[0]) + int(sides.at[-1])) / 2 if len(sides.at) else 0.0
    columns = (sides.at, low, sides.weight, sides.growing, on_hole_lines(sides.at))
    for at, line, weight, growing, is_still in zip(*(column.tolist() for column in columns), strict=True):
        before = at - line * UNIT
        pair = []
        for way, leaning in ((before, -1), (UNIT - before, 1)):
            fine = -(-way * FINE // UNIT)
            # among equals the upper shape grows, and if that leaves a choice all goes towards the middle
            tie = 2 * (growing * leaning < 0) + ((at - middle) * leaning > 0)
            pair.append(2 * weight * fine * fine + tie if way <= FARTHEST else NEVER)
        if is_still:
            pair[0 if 2 * before > UNIT else 1] = NEVER
        if not room[0] <= line < room[1]:
            pair[0 if line < room[0] else 1] = NEVER
        costs.append((pair[0], pair[1]))
    return costs


def _order_pulls(low: Ints) -> list[Pull]:
    """Return the rule that of two neighbours between the same hole lines the first does not go farther."""
    return [
        Pull(first=int(i), second=int(i) + 1, low=0, second_high=0, first_high=NEVER, high=0)
        for i in np.flatnonzero(np.diff(low) == 0)
    ]


def _facing(sides: Sides, number: Ints) -> list[tuple[int, int]]:
    """Return the pairs between sides that have a number, by these; the others have -1."""
    both = (number[sides.first] >= 0) & (number[sides.second] >= 0)
    first, second = number[sides.first[both]], number[sides.second[both]]
    return list(zip(first.tolist(), second.tolist(), strict=True))
