"""What a stitched letter is judged by: what it has to have, and what its faults cost."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.letters.choices import Weights
from svg2chart.letters.connections import parts_and_counters
from svg2chart.letters.half_steps import enclosed_parts, enclosed_quarters
from svg2chart.letters.holes import beside, bytes_of, loose, rings
from svg2chart.letters.mirrors import Mirrors
from svg2chart.letters.strokes import stitched_strokes

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]

TOPOLOGY_COST = 3.0
PART_COST = 12.0
"""What it costs that a part is lost, has come apart or touches another: more than a few counters, for dots
and accents make other words of it. Our own choice, no source."""
_LEAST_INK = 0.4  # of a square
_INK_FREE = 0.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Costs:
    """What counts how much against a letter; our own choice, no source.

    weights: of its fractions and its saws. round_saw: of a saw where round corners are stitched alike, None
    where they need not be. notch: of each right angle in one; 0 where there is no room for less, or so much
    that a step is part of the curve, and those that are like no other stay as they are. joint: of strokes
    that hang together by a hole alone, a fault beside what that costs in energy; 0 where no room is to join
    them otherwise. ink: of a letter's worth of ink lost or added, in squares shown wrong. clogged: a stroke
    that runs together with the one beside it is so much of a wrong counter. lean: of a square of ink more or
    less, which is no fault. near: ink that is off by this part at the most is near enough, nothing else is
    tried for it. thinner: so much less a thinner outline costs where it is taken, in squares shown wrong.
    """

    weights: Weights
    round_saw: float | None
    ink: float
    notch: float = 0.0
    joint: float = 1.5
    clogged: float = 0.25
    lean: float = 0.3
    near: float = 0.06
    thinner: float = 0.2


_SAW_COST = 0.1
"""As much as one side of edge: an o that steps where it is to be round is read as an e or an a. If it were
more, thin slants would run together with their own steps. Our own choice, no source."""

_HALF_STEP_COST = 0.3
"""Quarters that are shifted against the squares beside them make crumbs of a slant: these are dearer than a
slant by three-quarter stitches that is somewhat steeper. Our own choice, no source."""

_ROUND_SAW_COST = 4 * _SAW_COST
"""At round corners there are no slants: a whole step is a notch in a bowl."""

LARGE = Costs(
    weights=Weights(work=1.0, saw=_SAW_COST, half_step=_HALF_STEP_COST),
    round_saw=_ROUND_SAW_COST,
    ink=14.0,
)
MEDIUM = replace(LARGE, notch=_ROUND_SAW_COST)
SMALL = Costs(
    weights=Weights(work=0.35, saw=3 * _SAW_COST, half_step=_HALF_STEP_COST),
    round_saw=_ROUND_SAW_COST,
    ink=20.0,
)
"""In small letters a corner, an opening or a waist for which whole squares have no room is what they are read
by, and there are few squares to be as dark as the others by. Their fractions cost little and their slants are
short, so that steps have to cost more for these to be even."""
LOWEST = Costs(
    weights=Weights(work=0.35, saw=0.05, half_step=0.1, sliver=0.06),
    round_saw=None,
    ink=SMALL.ink,
    joint=0.0,
    clogged=0.35,
    lean=0.0,
    near=np.inf,
    thinner=0.0,
)
"""In the lowest letters a square of ink is a stroke: what their ink is off is a fault or is left as it is. A
step may be a stroke too and costs less; were it free, slants would have lone quarters along them. Their
corners are single squares, by which letters are told apart. Where white ends in a sliver beside a stem, a
square that is all bare keeps the two apart better: were it much dearer, bowls would lose their openings."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a fitted letter has to have.

    parts, counters: how many separate parts and counters. small: how many counters are so small that a
    quarter of a square may be one; slight: that any part of one may be. strokes: how many lie beside each
    other at the most, on level lines and on upright ones. mirrors: its symmetries. ink: its area in squares
    with strokes as wide as they become, before it is moved. costs: of fractions and of ink.
    """

    parts: int
    counters: int
    small: int
    slight: int
    strokes: tuple[int, int]
    mirrors: Mirrors
    ink: float
    costs: Costs


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Found:
    """A way to stitch a letter: its cost, what of that is for faults and for moving, areas, stitches.

    outline: which of those it is tried with.
    """

    cost: float
    faults: float
    move: float
    outline: int
    areas: Floats
    shown: Bools
    top: int
    left: int

    @property
    def ink(self) -> float:
        """How many squares are stitched."""
        return float(self.shown.sum()) / 8

    @property
    def pieces(self) -> tuple[int, int]:
        """In how many parts it is stitched, and with how many counters."""
        parts, counters = parts_and_counters(self.shown[None])
        return int(parts[0]), int(counters[0])

    @property
    def parts(self) -> int:
        """In how many parts it is stitched."""
        return self.pieces[0]


def faults_of(areas: Floats, shown: Bools, wanted: Wanted) -> Floats:
    """Return what wrong numbers of parts and counters, bare sides, and ink lost or added, cost.

    There is a stitch in the first and the last row, and in the first and last column if the outline has
    enough for one there.
    """
    parts, counters = parts_and_counters(shown)
    held = bytes_of(shown)
    facing = beside(held)
    false = np.maximum(enclosed_quarters(held, facing) - wanted.small, 0)
    false = np.maximum(false, enclosed_parts(held, facing) - wanted.slight)
    wrong = abs(parts - wanted.parts) + abs(counters - false - wanted.counters) + false
    wrong = wrong + _bare_sides(areas, shown, least=0.0)  # the top and the foot lie on their lines
    wrong = wrong + _bare_sides(areas.swapaxes(1, 2), shown.swapaxes(1, 2), least=_LEAST_INK)
    inks = np.maximum(areas.sum(axis=(1, 2, 3)), 1e-6)
    off = abs(shown.sum(axis=(1, 2, 3)) / 8 / inks - 1)
    off = np.maximum(off, abs(shown.sum(axis=(1, 2, 3)) / 8 / wanted.ink - 1))
    missing = wrong + wanted.costs.clogged * sum(run_together(shown, wanted))
    joints = loose(rings(held))
    return np.asarray(
        TOPOLOGY_COST * missing
        + wanted.costs.joint * joints
        + wanted.costs.ink * np.maximum(off - _INK_FREE, 0)
    )


def run_together(shown: Bools, wanted: Wanted) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return how many strokes of each letter run together with the one beside them: stems; and bars."""
    stems, bars = stitched_strokes(shown)
    return np.maximum(wanted.strokes[0] - stems, 0), np.maximum(wanted.strokes[1] - bars, 0)


def lean_of(shown: Bools, wanted: Wanted) -> Floats:
    """Return what it costs that letters have more or less ink than they are to have."""
    return np.asarray(wanted.costs.lean * abs(shown.sum(axis=(1, 2, 3)) / 8 - wanted.ink))


def _bare_sides(areas: Floats, shown: Bools, *, least: float) -> NDArray[np.int64]:
    """Return how many of the first and last rows of each letter are bare, of those that have so much ink."""
    ink = areas[:, [0, -1]].sum(axis=(2, 3)) >= least
    return np.asarray((ink & ~shown[:, [0, -1]].any(axis=(2, 3))).sum(axis=1))
