"""Lone stitches merged into what lies around them, where that costs little.

A lone stitch is all that a square holds of a thread that none of the eight squares around it holds. It
is replaced by the cheapest of: the square without it; a full stitch of another thread of the square, or of a
thread around that is not lone there. What it costs is what the energy of the chart grows by: little for
a sliver or a near colour, much for an eye. All lone stitches are decided on the chart as it is, and then
replaced at once, so that nothing depends on an order of work.
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.boards import EDGE_COST
from svg2chart.arranging.candidates import AREA_UNIT
from svg2chart.arranging.measure import line_lengths, octants_shown, work_cost
from svg2chart.arranging.patterns import COST_UNIT
from svg2chart.arranging.saws import count_saws
from svg2chart.chart import Arrangement, Stitch, StitchKind
from svg2chart.colour import Colour
from svg2chart.octants.areas import MIXED, VisibleAreas
from svg2chart.stitches import Worked, differences, only_used

Ints = NDArray[np.int64]

CALM_COST = 0.3
"""What merging one lone stitch may cost, in wholly wrong squares. Our choice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Calmed:
    """A lone stitch that was merged.

    order: the paint order of the shape that it showed, -1 where the square shows nothing else. row, column:
    from 0. thread: its own. becomes: what its square holds now. cost: in wholly wrong squares.
    """

    order: int
    row: int
    column: int
    thread: int
    becomes: Arrangement
    cost: float


def calm_stitches(
    worked: Worked,
    areas: VisibleAreas,
    colours: list[Colour],
    *,
    most: float,
    fixed: Collection[tuple[int, int]] = (),
) -> tuple[Worked, tuple[Calmed, ...]]:
    """Return the stitches without lone ones that cost little, and what was merged, by row and column.

    Args:
        worked: the stitches.
        areas: what is seen of each colour; the first is bare.
        colours: the flat colours as they look on the cloth, the cloth's own first.
        most: what merging one may cost, in wholly wrong squares; 0 merges none.
        fixed: squares (row, column) that stay as they are.
    """
    if most <= 0:
        return worked, ()
    scene = _Scene.of(worked, areas.without_traces(1 / (2 * AREA_UNIT)), differences(colours))
    lone = _lone(worked, len(colours) - 1)
    merged = []
    for row, column, thread in np.argwhere(lone.transpose(1, 2, 0)).tolist():
        if (row, column) in fixed:
            continue
        options = list(_options(worked, lone, row, column, thread))
        costs = [scene.cost(row, column, option) for option in options]
        least = min(costs, default=COST_UNIT * AREA_UNIT)
        if least <= most * COST_UNIT:
            becomes = options[costs.index(least)]
            order = scene.order(row, column, thread)
            cost = least / COST_UNIT
            merged.append(
                Calmed(order=order, row=row, column=column, thread=thread, becomes=becomes, cost=cost)
            )
    squares = worked.squares.copy()
    kinds = {arrangement: index for index, arrangement in enumerate(worked.arrangements)}
    for one in merged:
        squares[one.row, one.column] = kinds.setdefault(one.becomes, len(kinds))
    squares, arrangements = only_used(squares, list(kinds))
    return replace(worked, squares=squares, arrangements=arrangements), tuple(merged)


def _lone(worked: Worked, threads: int) -> NDArray[np.bool_]:
    """Return which threads are lone in which squares, (threads, rows, columns)."""
    rows, columns = worked.squares.shape
    holds = np.zeros((len(worked.arrangements), threads), np.bool_)
    for index, arrangement in enumerate(worked.arrangements):
        holds[index, [stitch.thread for stitch in arrangement]] = True
    lone = np.zeros((threads, rows, columns), np.bool_)
    for thread in range(threads):
        held = holds[worked.squares, thread]
        padded = np.pad(held, 1).astype(np.int64)
        around = sum(padded[i : i + rows, j : j + columns] for i in range(3) for j in range(3))
        lone[thread] = held & (around == 1)
    return lone


def _options(
    worked: Worked, lone: NDArray[np.bool_], row: int, column: int, thread: int
) -> Iterator[Arrangement]:
    """Yield what a square may hold instead of a lone stitch, by thread: of equals the first is taken."""
    here = worked.arrangements[worked.squares[row, column]]
    left = tuple(stitch for stitch in here if stitch.thread != thread)
    # a quarter that shared its square is no lone quarter, which may not be wanted
    if not left or left[0].kind is here[0].kind:
        yield left
    others = {stitch.thread for stitch in here}
    rows, columns = worked.squares.shape
    for r in range(max(row - 1, 0), min(row + 2, rows)):
        for c in range(max(column - 1, 0), min(column + 2, columns)):
            held = worked.arrangements[worked.squares[r, c]]
            others |= {stitch.thread for stitch in held if not lone[stitch.thread, r, c]}
    for other in sorted(others - {thread}):
        yield (Stitch(kind=StitchKind.FULL, thread=other),)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Scene:
    """What one square's stitches cost among the others.

    shown: (rows + 6, columns + 6, 8) what each octant shows, bare around the chart. allowance: (rows + 2,
    columns + 2) as `edge_lengths` gives it. work: of each square, and saw_cost: of each saw, in COST_UNIT.
    """

    areas: VisibleAreas
    wrong: Ints
    shown: Ints
    allowance: Ints
    work: Ints
    saw_cost: int

    @staticmethod
    def of(worked: Worked, areas: VisibleAreas, wrong: Ints) -> "_Scene":
        table = np.array([octants_shown(arrangement) for arrangement in worked.arrangements], dtype=np.int64)
        shown = np.zeros((*np.add(worked.squares.shape, 6), 8), np.int64)
        shown[3:-3, 3:-3] = table[worked.squares]
        work = np.array([work_cost(arrangement) for arrangement in worked.arrangements], dtype=np.int64)
        return _Scene(
            areas=areas,
            wrong=wrong,
            shown=shown,
            allowance=worked.allowance,
            work=work[worked.squares],
            saw_cost=worked.saw_cost,
        )

    def cost(self, row: int, column: int, arrangement: Arrangement) -> int:
        """Return by how much the energy grows if the square holds the arrangement, in COST_UNIT."""
        before = self.shown[row : row + 7, column : column + 7]
        after = before.copy()
        after[3, 3] = octants_shown(arrangement)
        work = work_cost(arrangement) - int(self.work[row, column])
        misfit = self._misfit(row, column, after[3, 3]) - self._misfit(row, column, before[3, 3])
        edge = self._edge(row, column, after) - self._edge(row, column, before)
        return work + misfit + edge + self.saw_cost * (count_saws(after) - count_saws(before))

    def order(self, row: int, column: int, thread: int) -> int:
        """Return the paint order of the shape that shows a thread in a square, -1 where it fills it."""
        first, last = self._entries(row, column)
        found = self.areas.order[first:last][self.areas.colour[first:last] == thread + 1]
        return int(found[0]) if len(found) else -1

    def _entries(self, row: int, column: int) -> tuple[int, int]:
        square = row * self.areas.solid.shape[1] + column
        first, last = np.searchsorted(self.areas.square, [square, square + 1])
        return int(first), int(last)

    def _misfit(self, row: int, column: int, shown: Ints) -> int:
        solid = int(self.areas.solid[row, column])
        if solid != MIXED:
            return int(self.wrong[solid, shown].sum()) * (AREA_UNIT // 8)
        first, last = self._entries(row, column)
        amount = np.rint(self.areas.octants[first:last] * AREA_UNIT).astype(np.int64)
        return int((amount * self.wrong[self.areas.colour[first:last, None], shown]).sum())

    def _edge(self, row: int, column: int, shown: Ints) -> int:
        lengths = line_lengths(shown)[2:-2, 2:-2]
        allowed = self.allowance[row : row + 3, column : column + 3]
        return EDGE_COST * int(np.maximum(lengths - allowed, 0).sum())
