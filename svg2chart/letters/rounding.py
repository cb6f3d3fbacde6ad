"""Round corners that the outline has alike are stitched alike: of what they can be the cheapest for all."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.patterns import HALF_OCTANTS
from svg2chart.chart import Corner
from svg2chart.letters.changes import with_stitches
from svg2chart.letters.choices import HALF_COST, Weights, choices
from svg2chart.letters.connections import parts_and_counters
from svg2chart.letters.judging import Found, Wanted, faults_of, lean_of
from svg2chart.letters.mirrors import evened
from svg2chart.letters.round_corners import Alike, alike_corners, swapped
from svg2chart.letters.squares import Outlines, energies

Bools = NDArray[np.bool_]

_TRACE = 1e-6
"""So much of an octant, either way, counts for none."""
_WHOLE_OR_CUT = choices().shown[choices().work <= HALF_COST]
"""Corners are made of full stitches and three-quarter stitches, of no quarters."""


@dataclass(frozen=True, slots=True, eq=False)
class _Rounded:
    """A letter with its round corners alike, and what it costs by what counts there."""

    found: Found
    cost: float


def rounded(found: Found, wanted: Wanted) -> Found:
    """Return a letter whose round corners are stitched alike where the outline has them alike."""
    saw = wanted.costs.round_saw
    if saw is None:
        return found
    counted = replace(wanted.costs.weights, saw=saw)
    for alike in alike_corners(evened(found.areas[None], wanted.mirrors)[0]):
        found = _with_alike(found, alike, wanted, counted)
    return found


def _with_alike(found: Found, alike: Alike, wanted: Wanted, counted: Weights) -> Found:
    """Return a letter with the same stitches at some corners.

    They are the best that come of those that are there, as they are or cut off slantwise, if their squares
    are changed one by one.
    """
    first = [corner.of(found.shown, alike.wide) for corner in alike.corners]
    if alike.is_even:
        first = [half for pattern in first for half in _halves(pattern)]
    first += [_cut(pattern, steps) for pattern in first for steps in range(1, alike.wide)]
    ends = [
        _settled(start, alike, wanted, counted)
        for pattern in {one.tobytes(): one for one in first}.values()
        if (start := _best(found, alike, [pattern], wanted, counted)) is not None
    ]
    if ends:
        return min(ends, key=lambda one: round(one.cost, 6)).found
    # where corners lie over each other less of them is alike
    return (
        _with_alike(found, replace(alike, wide=alike.wide - 1), wanted, counted) if alike.wide > 1 else found
    )


def _settled(best: _Rounded, alike: Alike, wanted: Wanted, counted: Weights) -> _Rounded:
    while True:
        better = _best(best.found, alike, list(_changed(best.found, alike)), wanted, counted)
        if better is None or better.cost >= best.cost - 1e-9:
            return best
        best = better


def _best(
    found: Found, alike: Alike, patterns: Sequence[Bools], wanted: Wanted, counted: Weights
) -> _Rounded | None:
    """Return a letter with the best of some patterns at all corners; None where none can be.

    None of them changes how many parts and counters it has.
    """
    tried = [_put(found.shown, alike, one) for one in patterns]
    shown = np.array([found.shown, *(one for one in tried if one is not None)])
    parts, counters = parts_and_counters(shown)
    shown = shown[1:][(parts == parts[0])[1:] & (counters == counters[0])[1:]]
    if not len(shown):
        return None
    faults = faults_of(found.areas[None], shown, wanted)
    drawn = Outlines.of(found.areas[None])
    tried_on = replace(drawn, corners=_without(drawn.corners[0], alike)[None])
    same = np.zeros(len(shown), np.int64)
    costs = energies(tried_on.at(same), shown, counted)
    costs += lean_of(shown, wanted) + faults
    best = int(np.argmin(np.rint(costs * 1e6)))
    return _Rounded(with_stitches(found, shown[best], wanted), float(costs[best]))


def _put(shown: Bools, alike: Alike, pattern: Bools) -> Bools | None:
    """Return stitches with a pattern at all corners, None where these lie over each other and differ."""
    for corner in alike.corners:
        shown = corner.put(shown, pattern)
    if all(np.array_equal(corner.of(shown, alike.wide), pattern) for corner in alike.corners):
        return shown
    return None


def _without(holes: Bools, alike: Alike) -> Bools:
    """Return at which holes the outline turns by a right angle: not at those of round corners."""
    for corner in alike.corners:
        holes = holes & ~corner.holes(holes.shape, alike.wide)
    return holes


def _changed(found: Found, alike: Alike) -> Iterator[Bools]:
    """Yield what a corner may be with one of its squares changed, and its image if it has one."""
    corner = alike.corners[0]
    pattern, areas = corner.of(found.shown, alike.wide), corner.of(found.areas, alike.wide)
    partly = (areas > _TRACE).any(axis=-1) & (areas < 1 / 8 - _TRACE).any(axis=-1)
    for row, column in np.argwhere(partly).tolist():
        for choice in _WHOLE_OR_CUT:
            image = swapped(choice[None, None])[0, 0]
            changed = pattern.copy()
            changed[row, column] = choice
            if alike.is_even:
                changed[column, row] = image
            if not alike.is_even or row != column or np.array_equal(choice, image):
                yield changed


def _cut(pattern: Bools, steps: int) -> Bools:
    """Return a corner cut off by three-quarter stitches across so many squares."""
    squares = np.add.outer(*(np.arange(len(pattern)),) * 2)[..., None]
    slant = np.isin(np.arange(8), HALF_OCTANTS[Corner.BOTTOM_RIGHT])
    return np.where(squares < steps - 1, np.False_, np.where(squares == steps - 1, slant, pattern))


def _halves(pattern: Bools) -> Iterator[Bools]:
    """Yield patterns that are the same across the diagonal: either half with its image."""
    image = swapped(pattern)
    across = np.subtract.outer(*(np.arange(len(pattern)),) * 2)[..., None]
    if np.array_equal(pattern[across[..., 0] == 0], image[across[..., 0] == 0]):
        yield np.where(across >= 0, pattern, image)
        yield np.where(across <= 0, pattern, image)
