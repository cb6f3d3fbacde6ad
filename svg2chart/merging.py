"""Colours that share a thread: those that nobody can tell apart, and the fewest-losses choice of so many.

The loss of a choice is the area that each colour covers times its CIEDE2000 difference from the chosen thread
that it goes to, the nearest. From the nearest threads of all colours the one whose loss adds least is given
up, again and again; then a chosen thread is exchanged for another one, or two for two, as long as that lowers
the loss. This is the exchange of partitioning around medoids (Kaufman and Rousseeuw, Finding Groups in
Data, 1990, chapter 2, from memory). Losses are whole numbers, so that equal is equal.
"""

from collections.abc import Collection, Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from svg2chart.colour import Colour, ciede2000, lab
from svg2chart.runs import distinct

Ints = NDArray[np.int64]

ALIKE = 1.0
"""Colours that differ less (CIEDE2000) share a thread: no observer notices one between 0 and 1. Source:
Mokrzycki and Tatol, Colour difference: a survey, 2011 (title from memory), whose scale the documentation of
the library colour-science gives; it is told for CIELAB differences, whose unit CIEDE2000 keeps."""

DIFFERENCE_UNIT = 1000
"""Differences are whole multiples of 1/1000."""

AREA_UNIT = 1000
"""Areas are whole multiples of 1/1000 of a square."""


MOST_LIGHTNESS_SCALE = 1.75
"""CIEDE2000 differences are at least the difference in lightness over this: its weight S_L is at most
1 + 0.015 x 50^2 / sqrt(20 + 50^2) = 1.747, and the other terms never fall below nought together, for the
rotation term is at most 2 sin 60 degrees = 1.73 < 2 in amount."""

MOST_COMPARED = 300
"""More colours than this are not all compared with each other."""

MOST_PAIRED = 64
"""Of more colours or threads than this two are not exchanged at once: that takes the fourth power of their
number."""

WIDENED = 1.5
"""By which factor the difference of colours that are merged first grows, until they are few enough."""


def differences(colours: Sequence[Colour], others: Sequence[Colour]) -> Ints:
    """Return (colours, others) the CIEDE2000 differences in 1 / DIFFERENCE_UNIT."""
    apart = ciede2000(lab(list(colours))[:, None], lab(list(others))[None])
    return np.asarray(np.rint(apart * DIFFERENCE_UNIT), dtype=np.int64)


def merge_alike(
    colours: Sequence[Colour], *, kept: Collection[Colour] = (), alike: float = ALIKE
) -> list[int]:
    """Return for each colour the index of the one that it becomes, mostly its own.

    Args:
        colours: the one that covers most first. Each goes to the nearest one before it that stays,
            where that differs by less than `alike`.
        kept: colours that stay, whatever they look like.
        alike: CIEDE2000.
    """
    coordinates = lab(list(colours))
    goes_to = np.arange(len(colours))
    stays = np.array([colour in kept for colour in colours], dtype=np.bool_)
    for index in np.flatnonzero(~stays):
        level = np.abs(coordinates[:, 0] - coordinates[index, 0]) < MOST_LIGHTNESS_SCALE * alike
        near = np.flatnonzero(stays & level)
        apart = np.rint(ciede2000(coordinates[index], coordinates[near]) * DIFFERENCE_UNIT)
        if len(near) and apart.min() < alike * DIFFERENCE_UNIT:
            goes_to[index] = near[apart.argmin()]
        else:
            stays[index] = True
    return [int(target) for target in goes_to]


def choose_most(
    colours: Sequence[Colour], areas: Sequence[float], most: int, *, card: Sequence[Colour] = ()
) -> list[Colour]:
    """Return the threads for the colours with the least loss, at most `most` different ones.

    Args:
        colours: in an order that decides between equal losses: the earlier stays.
        areas: what each covers, in squares.
        most: at least 1.
        card: the threads to choose from; where empty, the colours themselves.

    No exchange of one chosen thread for another one lowers the loss, nor of two where there are no more than
    MOST_PAIRED. Time grows with the cube of the number of colours, so those of more than MOST_COMPARED are
    merged with near ones first.
    """
    first, alike = list(range(len(colours))), ALIKE
    while len(set(first)) > max(MOST_COMPARED, most):
        alike *= WIDENED
        first = merge_alike(colours, alike=alike)
    left = sorted(set(first))
    weights = np.bincount(np.searchsorted(left, first), np.rint(np.array(areas) * AREA_UNIT), len(left))
    threads = list(card) or [colours[index] for index in left]
    apart = differences([colours[index] for index in left], threads)
    loss = apart * weights.astype(np.int64)[:, None]
    chosen = _thinned(loss, distinct(apart.argmin(axis=1)), most)
    while len(chosen) == most and (better := _exchange(loss, chosen)):
        chosen = better
    return [threads[index] for index in chosen]


def _thinned(loss: Ints, wanted: Ints, most: int) -> list[int]:
    """Return the `most` threads that are left after those whose loss adds least are given up one by one."""
    chosen = wanted
    two = _nearest_two(loss, chosen)
    while len(chosen) > most:
        costs = np.take_along_axis(loss, two, axis=1)
        grown = np.zeros(loss.shape[1], np.int64)
        np.add.at(grown, two[:, 0], costs[:, 1] - costs[:, 0])
        out = chosen[len(chosen) - 1 - int(grown[chosen][::-1].argmin())]
        chosen = chosen[chosen != out]
        if len(chosen) > 1:
            stale = (two == out).any(axis=1)
            two[stale] = _nearest_two(loss[stale], chosen)
    return [int(index) for index in chosen]


def _nearest_two(loss: Ints, chosen: Ints) -> Ints:
    """Return for each colour the two chosen threads at which it loses least, the nearest first."""
    return np.asarray(chosen[np.argsort(loss[:, chosen], axis=1, kind="stable")[:, :2]])


def _exchange(loss: Ints, chosen: Sequence[int]) -> list[int]:
    """Return the chosen threads after the exchange that lowers the loss most, none where none does.

    One thread for another; two for two others only where no one helps, and of not too many.
    """
    best = _best_exchange(loss, chosen, out=1)
    if best or max(loss.shape) > MOST_PAIRED:
        return best
    return _best_exchange(loss, chosen, out=2)


def _best_exchange(loss: Ints, chosen: Sequence[int], *, out: int) -> list[int]:
    """Return the chosen threads after the best exchange of one or two, none where none lowers the loss."""
    least = int(loss[:, chosen].min(axis=1).sum())
    others = [index for index in range(loss.shape[1]) if index not in set(chosen)]
    best: list[int] = []
    for given_up in combinations(chosen, out):
        rest = [index for index in chosen if index not in given_up]
        left = loss[:, rest].min(axis=1) if rest else np.full(len(loss), np.iinfo(np.int64).max)
        for first in combinations(others, out - 1):
            with_first = np.minimum(left, loss[:, first].min(axis=1)) if first else left
            sums = np.minimum(with_first[:, None], loss[:, others]).sum(axis=0)
            if int(sums.min(initial=least)) < least:
                least, place = int(sums.min()), int(sums.argmin())
                best = sorted({*rest, *first, others[place]})
    return best
