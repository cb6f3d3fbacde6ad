"""One square of a stitched letter changed, and its images: what each change costs, and the best of some."""

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from svg2chart.letters.judging import Found, Wanted, faults_of, lean_of
from svg2chart.letters.mirrors import put_mirrored
from svg2chart.letters.settling import REACH
from svg2chart.letters.squares import Outlines, energies

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
T = TypeVar("T", bound=np.generic)
Change = tuple[int, int, Bools]
"""A square and what it is to hold."""

TRACE_OF_INK = 0.02  # of a square, for it to be one that is changed
_MOST = 200
_AROUND = 2 * REACH + 1
_AT_ONCE = 200_000
"""So many squares are looked at in one go: more need much memory."""


def with_changes(found: Found, changes: Sequence[Change], wanted: Wanted) -> Bools:
    """Return what a letter shows with each change of a square, and its images."""
    shown = np.repeat(found.shown[None], len(changes), axis=0)
    for k, (row, column, pattern) in enumerate(changes):
        put_mirrored(shown[k], row, column, pattern, wanted.mirrors)
    return shown


def with_stitches(found: Found, shown: Bools, wanted: Wanted) -> Found:
    """Return a letter with other stitches, and what these cost."""
    faults = float(faults_of(found.areas[None], shown[None], wanted)[0])
    energy = energies(Outlines.of(found.areas[None]), shown[None], wanted.costs.weights)
    cost = found.move + float((energy + lean_of(shown[None], wanted))[0]) + faults
    return replace(found, cost=cost, faults=faults, shown=shown)


def best_change(
    found: Found, changes: Sequence[Change], energy: Floats, wanted: Wanted, more: Floats
) -> Found:
    """Return a letter with the best of some changes, with what each costs more only to be chosen by."""
    order = np.argsort(np.rint((energy + more) * 1e6), kind="stable")[:_MOST]
    shown = with_changes(found, [changes[index] for index in order.tolist()], wanted)
    faults = faults_of(found.areas[None], shown, wanted)
    best = int(np.argmin(np.rint((energy[order] + faults + more[order]) * 1e6)))
    cost = found.move + float(energy[order][best] + faults[best])
    return replace(found, cost=cost, faults=float(faults[best]), shown=shown[best])


def changed_energies(found: Found, changes: Sequence[Change], wanted: Wanted) -> Floats:
    """Return the energy of a letter with each change of a square, and its images, and what its ink costs.

    Only what lies around a square is looked at; of a letter with mirrors, and of a small one, all of it.
    """
    rows, columns, _ = found.shown.shape
    is_whole = any(wanted.mirrors) or rows * columns <= _AROUND * _AROUND
    size, margin = ((rows, columns), 0) if is_whole else ((_AROUND, _AROUND), REACH)
    lot = max(1, _AT_ONCE // (size[0] * size[1]))
    energy = []
    for part in (changes[first : first + lot] for first in range(0, len(changes), lot)):
        at = [(0, 0) if is_whole else (row, column) for row, column, _ in part]
        places = list(dict.fromkeys(at))  # most squares are there with many choices
        numbers = {place: number for number, place in enumerate(places)}
        of = np.array([numbers[place] for place in at])
        before = _windows(found.shown, places, size, margin)
        outlines = Outlines.of(_windows(found.areas, places, size, margin))
        after = before[of]
        for k, (row, column, pattern) in enumerate(part):
            place = (row, column) if is_whole else (REACH, REACH)
            put_mirrored(after[k], place[0], place[1], pattern, wanted.mirrors)
        weights = wanted.costs.weights
        apart = energies(outlines.at(of), after, weights) - energies(outlines, before, weights)[of]
        ink = found.ink + (after.sum(axis=(1, 2, 3)) - before.sum(axis=(1, 2, 3))[of]) / 8
        lean = wanted.costs.lean * (abs(ink - wanted.ink) - abs(found.ink - wanted.ink))
        energy.append(found.cost - found.move - found.faults + apart + lean)
    return np.concatenate(energy)


def _windows(
    values: NDArray[T], at: Sequence[tuple[int, int]], size: tuple[int, int], margin: int
) -> NDArray[T]:
    """Return (places, rows, columns, 8) what squares hold that begin so many before some places."""
    padded = np.pad(values, ((margin, margin), (margin, margin), (0, 0)))
    views = np.lib.stride_tricks.sliding_window_view(padded, size, axis=(0, 1))
    return np.moveaxis(views[tuple(np.array(at).T)], 1, 3)
