"""Squares of a stitched letter changed, and their images: what each change costs, and the best of some."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from svg2chart.letters.choices import choices
from svg2chart.letters.holes import bytes_of
from svg2chart.letters.judging import Found, Wanted, faults_of, lean_of
from svg2chart.letters.mirrors import allowed_with, put_mirrored
from svg2chart.letters.settling import REACH
from svg2chart.letters.squares import Outlines, energies

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
T = TypeVar("T", bound=np.generic)

TRACE_OF_INK = 0.02  # of a square, for it to be one that is changed
_MOST = 200
_AT_ONCE = 200_000
"""So many squares are looked at in one go: more need much memory."""


@dataclass(frozen=True, slots=True, eq=False)
class Changes:
    """Each changes one square, or more at once that lie within two rows and columns.

    rows, columns: (n, squares) where these are. patterns: (n, squares, 8) what they are to show.
    """

    rows: Ints
    columns: Ints
    patterns: Bools

    def __len__(self) -> int:
        return len(self.rows)

    @classmethod
    def of(cls, parts: Sequence["Changes"]) -> "Changes":
        """Return all of some."""
        return cls(
            *(
                np.concatenate([getattr(part, name) for part in parts])
                for name in ("rows", "columns", "patterns")
            )
        )

    def at(self, which: Ints | slice) -> "Changes":
        """Return some of them."""
        return Changes(self.rows[which], self.columns[which], self.patterns[which])


def changes_at(found: Found, places: Bools, wanted: Wanted) -> Changes:
    """Return all that squares at some places may hold instead, square by square."""
    rows, columns = np.nonzero(places)
    held = bytes_of(found.shown)[rows, columns]
    allowed = allowed_with(places.shape[0], places.shape[1], wanted.mirrors)[rows, columns]
    square, choice = np.nonzero(allowed & (bytes_of(choices().shown) != held[:, None]))
    return Changes(rows[square, None], columns[square, None], choices().shown[choice, None])


def with_changes(found: Found, changes: Changes, wanted: Wanted) -> Bools:
    """Return what a letter shows with each change of a square, and its images."""
    shown = np.repeat(found.shown[None], len(changes), axis=0)
    _put(shown, changes.rows, changes.columns, changes.patterns, wanted)
    return shown


def _put(shown: Bools, rows: Ints, columns: Ints, patterns: Bools, wanted: Wanted) -> None:
    for row, column, pattern in zip(rows.T, columns.T, patterns.swapaxes(0, 1), strict=True):
        put_mirrored(shown, row, column, pattern, wanted.mirrors)


def with_stitches(found: Found, shown: Bools, wanted: Wanted) -> Found:
    """Return a letter with other stitches, and what these cost."""
    faults = float(faults_of(found.areas[None], shown[None], wanted)[0])
    energy = energies(Outlines.of(found.areas[None]), shown[None], wanted.costs.weights)
    cost = found.move + float((energy + lean_of(shown[None], wanted))[0]) + faults
    return replace(found, cost=cost, faults=faults, shown=shown)


def best_change(found: Found, changes: Changes, energy: Floats, wanted: Wanted, more: Floats) -> Found:
    """Return a letter with the best of some changes, with what each costs more only to be chosen by."""
    order = np.argsort(np.rint((energy + more) * 1e6), kind="stable")[:_MOST]
    shown = with_changes(found, changes.at(order), wanted)
    faults = faults_of(found.areas[None], shown, wanted)
    best = int(np.argmin(np.rint((energy[order] + faults + more[order]) * 1e6)))
    cost = found.move + float(energy[order][best] + faults[best])
    return replace(found, cost=cost, faults=float(faults[best]), shown=shown[best])


def changed_energies(found: Found, changes: Changes, wanted: Wanted) -> Floats:
    """Return the energy of a letter with each change of a square, and its images, and what its ink costs.

    Only what lies around a square is looked at; of a letter with mirrors, and of a small one, all of it.
    """
    rows, columns, _ = found.shown.shape
    around = 2 * REACH + 2
    is_whole = any(wanted.mirrors) or rows * columns <= around * around
    size, margin = ((rows, columns), 0) if is_whole else ((around, around), REACH)
    lot = max(1, _AT_ONCE // (size[0] * size[1]))
    energy = []
    for part in (changes.at(slice(first, first + lot)) for first in range(0, len(changes), lot)):
        at = np.stack([part.rows, part.columns], axis=-1)
        first = 0 * at[:, 0] if is_whole else at.min(axis=1)
        within = at - first[:, None] + margin
        places, of = np.unique(first, axis=0, return_inverse=True)  # most squares are there with many choices
        before = _windows(found.shown, places, size, margin)
        outlines = Outlines.of(_windows(found.areas, places, size, margin))
        after = before[of]
        _put(after, within[..., 0], within[..., 1], part.patterns, wanted)
        weights = wanted.costs.weights
        apart = energies(outlines.at(of), after, weights) - energies(outlines, before, weights)[of]
        ink = found.ink + (after.sum(axis=(1, 2, 3)) - before.sum(axis=(1, 2, 3))[of]) / 8
        lean = wanted.costs.lean * (abs(ink - wanted.ink) - abs(found.ink - wanted.ink))
        energy.append(found.cost - found.move - found.faults + apart + lean)
    return np.concatenate(energy)


def _windows(values: NDArray[T], at: Ints, size: tuple[int, int], margin: int) -> NDArray[T]:
    """Return (places, rows, columns, 8) what squares hold that begin so many before some places."""
    beyond = (margin, margin + bool(margin))
    padded = np.pad(values, (beyond, beyond, (0, 0)))
    views = np.lib.stride_tricks.sliding_window_view(padded, size, axis=(0, 1))
    return np.moveaxis(views[tuple(at.T)], 1, 3)
