"""A stitched letter repaired where it is in too many parts or too few, or has other counters than drawn."""

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from svg2chart.coverage import octants
from svg2chart.geometry.growing import parts_of
from svg2chart.geometry.polygon import Polygon
from svg2chart.letters.choices import choices
from svg2chart.letters.connections import between_parts, touches
from svg2chart.letters.judging import TOPOLOGY_COST, Found, Wanted, faults_of
from svg2chart.letters.mirrors import allowed_with, put_mirrored
from svg2chart.letters.squares import REACH, energies

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
T = TypeVar("T", bound=np.generic)
_Change = tuple[int, int, Bools]
"""A square and what it is to hold."""

_TOUCH_COST = 1.0
"""What it costs a square to touch a neighbour of another part while parts are taken apart; each touch counts
from both sides. Our own choice, no source."""
_TRACE_OF_INK = 0.02  # of a square, for it to be one that a repair may change
_CHANGES = 200
_MOST_TRIED = 4_000_000
"""So many squares are looked at where a letter with mirrors is repaired, all changes together."""
_AROUND = 2 * REACH + 1
_AT_ONCE = 200_000
"""So many squares are looked at in one go: more need much memory."""


def joined(found: Found, wanted: Wanted) -> Found:
    """Return a letter repaired until it is in no more parts than wanted: a joined word may break often."""
    while found.parts > wanted.parts:
        better = repaired(found, wanted)
        if better is found:
            break
        found = better
    return found


def parted(found: Found, drawn: Polygon, wanted: Wanted) -> Found:
    """Return a letter whose parts are taken apart where they touch: the dot of an i beside a loop.

    Square by square what is stitched there is changed, until squares of one part touch none of another.
    """
    if found.parts >= wanted.parts or any(wanted.mirrors):
        return found
    parts = parts_of(replace(drawn, points=drawn.points - (found.left, found.top)), least=_TRACE_OF_INK)
    if len(parts) < wanted.parts:
        return found
    owners = _owners(parts, *found.shown.shape[:2])
    better = found
    while better.parts < wanted.parts and touches(better.shown[None], owners).any():
        better = _touching_less(better, owners, wanted)
    return better if better.faults < found.faults else found


def _touching_less(found: Found, owners: Ints, wanted: Wanted) -> Found:
    """Return a letter with the one square changed that best lessens how often squares touch other parts."""
    now = touches(found.shown[None], owners)[0]
    changes = [
        (row, column, choice) for row, column in np.argwhere(now).tolist() for choice in choices().shown
    ]
    touching = touches(_with_changes(found, changes, wanted), owners).sum(axis=(1, 2))
    # a bare square touches none, so that there always is one
    less = np.flatnonzero(touching < now.sum())
    changes = [changes[index] for index in less.tolist()]
    energy = _changed_energies(found, changes, wanted)
    return _best(found, changes, energy, wanted, _TOUCH_COST * touching[less])


def _owners(parts: Sequence[Polygon], rows: int, columns: int) -> Ints:
    """Return (rows, columns) the part that has most ink in each square, or beside it where none has."""
    ink = np.array([octants(part, rows, columns).sum(axis=-1) for part in parts])
    padded = np.pad(ink, ((0, 0), (1, 1), (1, 1)))
    around = np.lib.stride_tricks.sliding_window_view(padded, (3, 3), axis=(1, 2)).sum(axis=(-2, -1))
    return np.asarray((ink + _TRACE_OF_INK * around).argmax(axis=0))


def repaired(found: Found, wanted: Wanted) -> Found:
    """Return a letter with the one square changed, and its images, that rights its parts and counters.

    Where a letter is in too many parts, that is a square between two of them.
    """
    if found.faults < TOPOLOGY_COST:
        return found
    table = choices()
    rows, columns = found.shown.shape[:2]
    places = found.areas.sum(axis=-1) > _TRACE_OF_INK
    if found.parts > wanted.parts:
        places &= between_parts(found.shown)
    allowed = allowed_with(rows, columns, wanted.mirrors)
    changes: list[_Change] = []
    for row, column in np.argwhere(places).tolist():
        for choice in table.shown[allowed[row, column]]:
            if not np.array_equal(choice, found.shown[row, column]):
                changes.append((row, column, choice))
    if not changes or (any(wanted.mirrors) and len(changes) * rows * columns > _MOST_TRIED):
        return found
    energy = _changed_energies(found, changes, wanted)
    best = _best(found, changes, energy, wanted, np.zeros(len(changes)))
    return best if best.cost < found.cost - 1e-9 else found


def _with_changes(found: Found, changes: Sequence[_Change], wanted: Wanted) -> Bools:
    """Return what a letter shows with each change of a square, and its images."""
    shown = np.repeat(found.shown[None], len(changes), axis=0)
    for k, (row, column, pattern) in enumerate(changes):
        put_mirrored(shown[k], row, column, pattern, wanted.mirrors)
    return shown


def _best(found: Found, changes: Sequence[_Change], energy: Floats, wanted: Wanted, more: Floats) -> Found:
    """Return a letter with the best of some changes, with what each costs more only to be chosen by."""
    order = np.argsort(np.rint((energy + more) * 1e6), kind="stable")[:_CHANGES]
    shown = _with_changes(found, [changes[index] for index in order.tolist()], wanted)
    faults = faults_of(found.areas[None], shown, wanted)
    best = int(np.argmin(np.rint((energy[order] + faults + more[order]) * 1e6)))
    cost = found.move + float(energy[order][best] + faults[best])
    return replace(found, cost=cost, faults=float(faults[best]), shown=shown[best])


def _changed_energies(found: Found, changes: Sequence[_Change], wanted: Wanted) -> Floats:
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
        before, areas = _windows(found.shown, at, size, margin), _windows(found.areas, at, size, margin)
        after = before.copy()
        for k, (row, column, pattern) in enumerate(part):
            place = (row, column) if is_whole else (REACH, REACH)
            put_mirrored(after[k], place[0], place[1], pattern, wanted.mirrors)
        apart = energies(areas, after, wanted.costs.weights) - energies(areas, before, wanted.costs.weights)
        ink = found.ink + (after.sum(axis=(1, 2, 3)) - before.sum(axis=(1, 2, 3))) / 8
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
