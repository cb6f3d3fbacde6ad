"""The energy of finished stitches, whoever chose them: what a chart is compared by.

It is the energy that `descent` makes least, measured on what each octant of the chart shows in the end.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.boards import BORDER_LENGTHS, EDGE_COST
from svg2chart.arranging.borders import borders
from svg2chart.arranging.candidates import AREA_UNIT
from svg2chart.arranging.patterns import (
    COST_UNIT,
    FURTHER_QUARTER_COST,
    HALF_OCTANTS,
    LENGTH_UNIT,
    LINE_BETWEEN,
    LONE_QUARTER_COST,
    QUADRANT_OCTANTS,
    SAME_QUARTER_COST,
    THREE_QUARTER_COST,
)
from svg2chart.arranging.saws import count_saws
from svg2chart.chart import Arrangement, StitchKind
from svg2chart.octants.areas import MIXED, VisibleAreas

Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Energy:
    """The energy of a chart's stitches and its parts, in wholly wrong squares.

    misfit: area shown in a wrong colour, weighted by how wrong. work: what fractions cost. edge: what the
    lines between colours cost, as far as they are longer than the drawing's own. saw: what saws cost.
    edge_length: how long all these lines are, in squares.
    """

    misfit: float
    work: float
    edge: float
    saw: float
    edge_length: float

    @property
    def total(self) -> float:
        """The energy."""
        return self.misfit + self.work + self.edge + self.saw


def measure(
    squares: NDArray[np.int32],
    arrangements: Sequence[Arrangement],
    areas: VisibleAreas,
    *,
    differences: Ints,
    allowance: Ints,
    saw_cost: int,
) -> Energy:
    """Return the energy of a chart's stitches.

    Args:
        squares: (rows, columns), index into `arrangements`; threads are numbered as the areas' colours
            without bare.
        arrangements: what squares can hold.
        areas: what is seen of each colour; the first is bare.
        differences: (colours, colours) what a wrong square costs, in COST_UNIT / AREA_UNIT.
        allowance: (rows + 2, columns + 2) the drawing's own edge around each square, in LENGTH_UNIT.
        saw_cost: what each saw costs, in COST_UNIT.
    """
    table = np.array([octants_shown(arrangement) for arrangement in arrangements], dtype=np.int64)
    shown = np.zeros((*np.add(squares.shape, 2), 8), np.int64)
    shown[1:-1, 1:-1] = table[squares]
    lengths = line_lengths(shown)
    work = np.array([work_cost(arrangement) for arrangement in arrangements], dtype=np.int64)
    return Energy(
        misfit=float(_misfits(table[squares], areas, differences).sum()) / COST_UNIT,
        work=float(work[squares].sum()) / COST_UNIT,
        edge=float(EDGE_COST * np.maximum(lengths - allowance, 0).sum()) / COST_UNIT,
        saw=float(saw_cost * count_saws(shown)) / COST_UNIT,
        edge_length=float(lengths.sum()) / LENGTH_UNIT,
    )


def octants_shown(arrangement: Arrangement) -> tuple[int, ...]:
    """Return what each octant of a square shows: the thread + 1, or 0 for bare cloth.

    The quarter in a shared square shows in all of its half.
    """
    shown = [0] * 8
    is_shared = any(stitch.kind is StitchKind.THREE_QUARTER for stitch in arrangement)
    for stitch in arrangement:
        octants: Sequence[int] = range(8)
        if stitch.corner is not None:
            octants = (HALF_OCTANTS if is_shared else QUADRANT_OCTANTS)[stitch.corner]
        for octant in octants:
            shown[octant] = stitch.thread + 1
    return tuple(shown)


def work_cost(arrangement: Arrangement) -> int:
    """Return what an arrangement costs as work, in COST_UNIT."""
    kinds = {stitch.kind for stitch in arrangement}
    if StitchKind.THREE_QUARTER in kinds:
        return THREE_QUARTER_COST
    if StitchKind.QUARTER not in kinds:
        return 0
    different = len({stitch.thread for stitch in arrangement})
    further = FURTHER_QUARTER_COST * (different - 1)
    return LONE_QUARTER_COST + further + SAME_QUARTER_COST * (len(arrangement) - different)


def line_lengths(shown: Ints) -> Ints:
    """Return the lines between colours of each square, (rows, columns), half of each side's, in LENGTH_UNIT.

    Args:
        shown: (rows, columns, 8) the colour that each octant shows.
    """
    inside = (shown != np.roll(shown, -1, axis=2)) @ LINE_BETWEEN
    return np.asarray(inside + BORDER_LENGTHS.take(borders(np.moveaxis(shown, 2, 0))))


def _misfits(shown: Ints, areas: VisibleAreas, differences: Ints) -> Ints:
    """Return what is shown in a wrong colour in each square, (rows, columns), in COST_UNIT."""
    solid = np.where(areas.solid == MIXED, 0, areas.solid)
    wrong = differences[solid[..., None], shown].sum(axis=2) * (AREA_UNIT // 8)
    misfit = np.where(areas.solid == MIXED, 0, wrong).ravel()
    amount = np.rint(areas.octants * AREA_UNIT).astype(np.int64)
    here = shown.reshape(-1, 8)[areas.square]
    np.add.at(misfit, areas.square, (amount * differences[areas.colour[:, None], here]).sum(axis=1))
    return misfit.reshape(areas.solid.shape)
