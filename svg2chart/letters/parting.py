"""The parts of a letter told apart: each part of its outline becomes one part of the stitches."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.coverage import octants
from svg2chart.geometry.polygon import Polygon
from svg2chart.letters.changes import (
    TRACE_OF_INK,
    Changes,
    best_change,
    changed_energies,
    changes_at,
    with_changes,
)
from svg2chart.letters.connections import between_parts, parts_of_owners, touches
from svg2chart.letters.judging import PART_COST, TOPOLOGY_COST, Found, Wanted

Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

_TOUCH_COST = 1.0
"""What it costs a square to touch a neighbour of another part while parts are taken apart; each touch counts
from both sides. Our own choice, no source."""


@dataclass(frozen=True, slots=True, eq=False)
class _Outlined:
    """What a letter is stitched from: ink (parts, rows, columns) of each part, owners (rows, columns).

    The part of a square is the one with most ink in it.
    """

    ink: NDArray[np.float64]
    owners: Ints
    wanted: Wanted

    def stitched(self, shown: Bools) -> Ints:
        """Return (letters, parts) in how many parts the squares of each part are stitched."""
        return parts_of_owners(shown, self.owners, len(self.ink))

    def touching(self, shown: Bools) -> int:
        """Return how often squares of a letter touch others of another part."""
        return int(touches(shown[None], self.owners).sum())

    def judged(self, found: Found) -> Found:
        """Return a letter with the faults of its parts counted part by part.

        The dot of an i that is lost and a serif that breaks off are two faults, though their number is right.
        """
        (stitched,) = self.stitched(found.shown[None])
        wrong = int(abs(stitched - 1).sum() + stitched.sum()) - found.parts
        more = PART_COST * wrong - TOPOLOGY_COST * abs(found.parts - self.wanted.parts)
        return replace(found, cost=found.cost + more, faults=found.faults + more)


def parted(found: Found, drawn: Sequence[Polygon], wanted: Wanted) -> Found:
    """Return a letter whose parts are each stitched as one: the dot of an i beside a loop.

    Parts that are not stitched at all get a square; where parts touch they are taken apart, square by square;
    what has come apart itself is joined again.

    Args:
        found: the letter.
        drawn: the parts of the outline that it is stitched from, with strokes as they are drawn.
        wanted: what it has to have.
    """
    if wanted.parts == 1:
        return found
    outlined = _outlined(drawn, found, wanted)
    judged, better = outlined.judged(found), found
    for step in (_given, _taken_apart, _held_together):
        better = step(better, outlined)
    better = outlined.judged(better)
    return better if better.faults < judged.faults else judged


def _outlined(parts: Sequence[Polygon], found: Found, wanted: Wanted) -> _Outlined:
    """Return the part that has most ink in each square, or beside it where none has; each has one."""
    rows, columns = found.shown.shape[:2]
    moved = [replace(part, points=part.points - (found.left, found.top)) for part in parts]
    ink = np.array([octants(part, rows, columns).sum(axis=-1) for part in moved])
    padded = np.pad(ink, ((0, 0), (1, 1), (1, 1)))
    around = np.lib.stride_tricks.sliding_window_view(padded, (3, 3), axis=(1, 2)).sum(axis=(-2, -1))
    owners = np.asarray((ink + TRACE_OF_INK * around).argmax(axis=0))
    for part, own in enumerate(ink):
        if not (owners == part).any():
            owners.flat[own.argmax()] = part
    return _Outlined(ink=ink, owners=owners, wanted=wanted)


def _given(found: Found, outlined: _Outlined) -> Found:
    """Return a letter of which each part has a stitch, one that shows it well and touches others least."""
    for part in np.flatnonzero(outlined.stitched(found.shown[None])[0] == 0).tolist():
        changes = changes_at(found, outlined.owners == part, outlined.wanted)
        found = _best(found, changes.at(np.flatnonzero(changes.patterns.any(axis=(1, 2)))), outlined)
    return found


def _taken_apart(found: Found, outlined: _Outlined) -> Found:
    """Return a letter whose parts do not touch, as far as none is lost by it."""
    while now := outlined.touching(found.shown):
        inked = found.shown.any(axis=-1)
        lone = np.bincount(outlined.owners[inked], minlength=len(outlined.ink))[outlined.owners] == 1
        places = touches(found.shown[None], outlined.owners)[0] > 0
        changes = changes_at(found, places, outlined.wanted)
        loses_none = np.flatnonzero(
            changes.patterns.any(axis=(1, 2)) | ~lone[changes.rows, changes.columns][:, 0]
        )
        better = _best(found, changes.at(loses_none), outlined, touching=now - 1)
        if better is found:
            break
        found = better
    return found


def _held_together(found: Found, outlined: _Outlined) -> Found:
    """Return a letter whose parts are each in one piece, as far as one square joins it."""
    while (broken := np.flatnonzero(outlined.stitched(found.shown[None])[0] > 1)).size:
        places = np.zeros(outlined.owners.shape, np.bool_)
        for part in broken.tolist():
            own = outlined.owners == part
            places |= own & between_parts(found.shown & own[..., None])
        changes = changes_at(found, places, outlined.wanted)
        pieces = int(outlined.stitched(found.shown[None]).sum())
        stitched = outlined.stitched(with_changes(found, changes, outlined.wanted))
        joins = np.flatnonzero((stitched.min(axis=1) > 0) & (stitched.sum(axis=1) < pieces))
        better = _best(found, changes.at(joins), outlined, touching=outlined.touching(found.shown))
        if better is found:
            break
        found = better
    return found


def _best(found: Found, changes: Changes, outlined: _Outlined, *, touching: float = np.inf) -> Found:
    """Return a letter with the best of the changes after which parts touch so often at the most."""
    if not len(changes):
        return found
    touch = touches(with_changes(found, changes, outlined.wanted), outlined.owners).sum(axis=(1, 2))
    kept = np.flatnonzero(touch <= touching)
    if not kept.size:
        return found
    changes = changes.at(kept)
    energy = changed_energies(found, changes, outlined.wanted)
    return best_change(found, changes, energy, outlined.wanted, _TOUCH_COST * touch[kept])
