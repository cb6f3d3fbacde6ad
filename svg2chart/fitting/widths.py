"""Which widths become equal, and how many whole squares they could become."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.sides import Sides
from svg2chart.fitting.sightlines import UNIT

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

ONE_WIDTH = UNIT // 8
"""Widths that differ by less become equal."""

OTHER_WIDTH = 0.75
"""How far, in squares, the second whole number may be from a width that can become it."""

LEAST_WHOLE = 0.5
"""What is so many squares wide becomes at least one square wide."""

HAIR = UNIT // 8
"""What is no wider is no stripe: where two outlines were meant to be one, they stay so."""

THIN = 4 * UNIT
"""Narrower widths are kept strictly whole, even those that nothing shares."""

SEEN = 0.5
"""Widths that differ by more, in squares, look unequal when they are stitched; our own choice."""

FINE = 1 << 10
"""Ways are weighed in steps of a 1024th of a square."""

EQUAL_PULL = 8 * FINE * FINE
WIDTH_PULL = 4 * FINE * FINE
WEAK_PULL = FINE * FINE
"""What it costs to miss a width by a square, for each line that it is seen on; that a side moves by a square
costs 2 FINE^2. The first is for a width that others have, the last for one that nothing shares and that is
not thin. Gaps cost half as much."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class WidthClasses:
    """Widths that become equal; (pairs,) for the pairs across and then those down, or (classes,).

    of_pair: the class of each pair.
    strength: how strongly each pair wants the width of its class, on each line that it is seen on.
    whole: (classes,) the nearest whole width, nought for what is too thin and stays as it is.
    other: (classes,) the second nearest, nought where there is none.
    """

    of_pair: Ints
    strength: Ints
    whole: Ints
    other: Ints


@dataclass(frozen=True, slots=True, kw_only=True)
class Unequal:
    """Equal widths that become unequal: how wide as drawn, and the least and the most then, in squares.

    between: for the least and the most the axis, 0 for x and 1 for y, and the places of both sides then.
    """

    drawn: float
    least: float
    most: float
    between: tuple[tuple[int, float, float], ...]


def unequal_widths(across: Sides, down: Sides, *, moved: tuple[Floats, Floats]) -> tuple[Unequal, ...]:
    """Return the equal widths that differ once their sides are moved, the widest first; gaps are none.

    Args:
        across: sides of what is seen along rows.
        down: the same along columns.
        moved: where both go to, in UNIT.
    """
    both = ((across, moved[0]), (down, moved[1]))
    drawn = np.concatenate([sides.at[sides.second] - sides.at[sides.first] for sides, _ in both]) / UNIT
    low, high = (
        np.concatenate([to[ends] for to, ends in zip(moved, pairs, strict=True)]) / UNIT
        for pairs in ((across.first, down.first), (across.second, down.second))
    )
    now, axis = high - low, np.repeat([0, 1], [len(across.first), len(down.first)])
    classes = width_classes(across, down)
    gap = np.concatenate([across.is_gap, down.is_gap])
    found = []
    for number in np.flatnonzero(classes.whole):
        own = np.flatnonzero((classes.of_pair == number) & ~gap)
        if len(own) and np.ptp(now[own]) > SEEN:
            width = drawn[own].mean()
            ends = own[[now[own].argmin(), now[own].argmax()]]
            between = tuple((int(axis[k]), float(low[k]), float(high[k])) for k in ends)
            least, most = now[ends].tolist()
            found.append(Unequal(drawn=float(width), least=least, most=most, between=between))
    return tuple(sorted(found, key=lambda unequal: -unequal.drawn))


def width_classes(across: Sides, down: Sides) -> WidthClasses:
    """Return which widths become equal, and what they could become."""
    width = np.concatenate([sides.at[sides.second] - sides.at[sides.first] for sides in (across, down)])
    gap = np.concatenate([across.is_gap, down.is_gap])
    of_pair = np.zeros(len(width), np.int64)
    whole, other = [], []
    for number, members in enumerate(_equals(width, gap)):
        of_pair[members] = number
        mean = int(width[members].sum()) / len(members) / UNIT
        # half squares go to what lies above
        near = int(np.ceil(mean - 0.5)) if gap[members[0]] else int(np.floor(mean + 0.5))
        second = near + 1 if mean > near else near - 1
        whole.append(max(near, 1) if mean >= LEAST_WHOLE else 0)
        other.append(second if whole[-1] == near and abs(second - mean) <= OTHER_WIDTH else 0)
    alone = (np.bincount(of_pair) == 1)[of_pair] if len(width) else np.zeros(0, np.bool_)
    strength = np.where(alone & (width >= THIN), WEAK_PULL, WIDTH_PULL)
    return WidthClasses(
        of_pair=of_pair,
        strength=np.where(gap, strength // 2, np.where(alone, strength, EQUAL_PULL)),
        whole=np.array(whole, np.int64),
        other=np.array(other, np.int64),
    )


def _equals(width: Ints, gap: NDArray[np.bool_]) -> Iterator[Ints]:
    """Yield the pairs of each class: those that are gaps and those that are not, by ascending width."""
    order = np.lexsort((width, gap))
    start = 0
    for end in range(1, len(order) + 1):
        if end < len(order):
            first, here = order[start], order[end]
            if gap[here] == gap[first] and width[here] - width[first] <= ONE_WIDTH:
                continue
        yield order[start:end]
        start = end
