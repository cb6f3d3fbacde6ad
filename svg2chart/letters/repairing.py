"""A stitched letter repaired where it is in too many parts or too few, or has other counters than drawn."""

import numpy as np

from svg2chart.letters.bridging import bridged
from svg2chart.letters.changes import TRACE_OF_INK, Changes, best_change, changed_energies, changes_at
from svg2chart.letters.connections import between_parts
from svg2chart.letters.judging import TOPOLOGY_COST, Found, Wanted
from svg2chart.letters.pairs import across

_MOST_TRIED = 4_000_000
"""So many squares are looked at where a letter with mirrors is repaired, all changes together."""
_FEW = 24
"""So many squares between parts are changed by twos as well: an arch that begins beside its stem needs it."""


def joined(found: Found, wanted: Wanted) -> Found:
    """Return a letter repaired until it is in no more parts than wanted: a joined word may break often."""
    while found.parts > wanted.parts:
        better = repaired(found, wanted)
        if better.parts >= found.parts:
            better = bridged(found, wanted)
        if better.parts >= found.parts:
            break
        found = better
    return found


def repaired(found: Found, wanted: Wanted) -> Found:
    """Return a letter with the one square changed, and its images, that rights its parts and counters.

    Where a letter is in too many parts, that is a square between two of them.
    """
    if found.faults < TOPOLOGY_COST:
        return found
    rows, columns = found.shown.shape[:2]
    places = found.areas.sum(axis=-1) > TRACE_OF_INK
    is_apart = found.parts > wanted.parts
    if is_apart:
        places &= between_parts(found.shown)
    changes = changes_at(found, places, wanted)
    if not len(changes) or (any(wanted.mirrors) and len(changes) * rows * columns > _MOST_TRIED):
        return found
    best = _changed(found, changes, wanted)
    if is_apart and places.sum() <= _FEW:
        both = [_changed(found, pairs, wanted) for pairs in across(found, places, wanted)]
        best = min([best, *both], key=lambda one: round(one.cost, 6))
    return best if best.cost < found.cost - 1e-9 else found


def _changed(found: Found, changes: Changes, wanted: Wanted) -> Found:
    energy = changed_energies(found, changes, wanted)
    return best_change(found, changes, energy, wanted, np.zeros(len(changes)))
