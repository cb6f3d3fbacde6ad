"""Two squares of a stitched letter changed at once: squares that settle one by one stay in some dead ends.

Such are stitches that meet at a hole only, where either of two strokes would have to be led another way with
the square before it, and quarters for which a slant through this square and the next would do.
"""

from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from svg2chart.letters.changes import Changes, best_change, changed_energies
from svg2chart.letters.choices import HALF_COST, choices
from svg2chart.letters.holes import AROUND, bytes_of, is_loose, rings, rings_with
from svg2chart.letters.judging import Found, Wanted
from svg2chart.letters.mirrors import allowed_with

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_NEIGHBOURS = np.array([(-1, -1), (-1, 0), (-1, 1), (0, -1), (0, 1), (1, -1), (1, 0), (1, 1)])
_AFTER = _NEIGHBOURS[4:]
_MOST = 120
"""So many changes are looked at with all that lies around them."""


def fastened(found: Found, wanted: Wanted) -> Found:
    """Return a letter led out of dead ends by changes of two squares at once, and their images."""
    while True:
        allowed = allowed_with(found.shown.shape[0], found.shown.shape[1], wanted.mirrors)
        parts = [*_at_joints(found, allowed), *_at_quarters(found, allowed)]
        if not parts:
            return found
        changes = _likeliest(found, Changes.of(parts), wanted)
        energy = changed_energies(found, changes, wanted)
        best = best_change(found, changes, energy, wanted, np.zeros(len(changes)))
        if best.cost >= found.cost - 1e-9:
            return found
        found = best


def across(found: Found, places: Bools, wanted: Wanted) -> list[Changes]:
    """Return what two of some squares that touch may hold, the likeliest of that: where parts lie apart."""
    allowed = allowed_with(found.shown.shape[0], found.shown.shape[1], wanted.mirrors)
    parts = []
    for square in np.argwhere(places):
        for beside in square + _AFTER:
            if ((beside >= 0) & (beside < places.shape)).all() and places[tuple(beside)]:
                one, other = _both(allowed[tuple(square)], allowed[tuple(beside)])
                parts.append(_changes(square, beside, one, other))
    return [_likeliest(found, Changes.of(parts), wanted)] if parts else []


def _likeliest(found: Found, changes: Changes, wanted: Wanted) -> Changes:
    """Return the changes that show areas best by themselves, for what they cost in work."""
    costs = np.zeros(256)
    costs[bytes_of(choices().shown)] = choices().costs(wanted.costs.weights.work)
    areas = found.areas[changes.rows, changes.columns]

    def cost(shown: Bools) -> Floats:
        wrong = np.where(shown, 1 / 8 - areas, areas).sum(axis=-1)
        return np.asarray((wrong + costs[bytes_of(shown)]).sum(axis=1))

    more = cost(changes.patterns) - cost(found.shown[changes.rows, changes.columns])
    return changes.at(np.argsort(np.rint(more * 1e6), kind="stable")[:_MOST])


def _at_joints(found: Found, allowed: Bools) -> list[Changes]:
    """Return what two of the squares may hold around holes at which stitches meet, for these to be joined."""
    around = rings(bytes_of(found.shown[None]))[0]
    parts = []
    for hole in np.argwhere(is_loose(around)):
        places = hole - [(down, across) for down, across, _ in AROUND]
        inside = ((places >= 0) & (places < found.shown.shape[:2])).all(axis=1)
        for first, then in combinations(np.flatnonzero(inside).tolist(), 2):
            one, other = _both(allowed[tuple(places[first])], allowed[tuple(places[then])])
            ring = rings_with()[then][rings_with()[first][around[tuple(hole)], one], other]
            kept = ~is_loose(ring)
            parts.append(_changes(places[first], places[then], one[kept], other[kept]))
    return parts


def _at_quarters(found: Found, allowed: Bools) -> list[Changes]:
    """Return what squares with quarters may hold without any, each with one of its neighbours."""
    fiddly = choices().work > HALF_COST
    fiddly_held = np.zeros(256, np.bool_)
    fiddly_held[bytes_of(choices().shown[fiddly])] = True
    parts = []
    for square in np.argwhere(fiddly_held[bytes_of(found.shown)]):
        around = square + _NEIGHBOURS
        for beside in around[((around >= 0) & (around < found.shown.shape[:2])).all(axis=1)]:
            one, other = _both(allowed[tuple(square)] & ~fiddly, allowed[tuple(beside)])
            parts.append(_changes(square, beside, one, other))
    return parts


def _both(one: Bools, other: Bools) -> tuple[Ints, Ints]:
    """Return all pairs of what two squares may hold."""
    first, then = np.meshgrid(np.flatnonzero(one), np.flatnonzero(other), indexing="ij")
    return first.ravel(), then.ravel()


def _changes(first: Ints, then: Ints, one: Ints, other: Ints) -> Changes:
    """Return changes of two squares, by what each of them is to hold."""
    squares = np.broadcast_to(np.stack([first, then]), (len(one), 2, 2))
    return Changes(squares[..., 0], squares[..., 1], choices().shown[np.stack([one, other], axis=1)])
