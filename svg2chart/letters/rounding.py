"""Round corners that the outline has alike are stitched alike: of what they can be the cheapest for all."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.patterns import HALF_OCTANTS
from svg2chart.chart import Corner
from svg2chart.letters.changes import with_stitches
from svg2chart.letters.choices import HALF_COST, Weights, choices
from svg2chart.letters.connections import parts_and_counters
from svg2chart.letters.holes import bytes_of, ink_around, rings
from svg2chart.letters.judging import Found, Wanted, faults_of, lean_of
from svg2chart.letters.mirrors import evened
from svg2chart.letters.round_corners import Alike, alike_corners, swapped
from svg2chart.letters.squares import Outlines, energies
from svg2chart.letters.steps import corners_of

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_TRACE = 1e-6
"""So much of an octant, either way, counts for none."""
_HALF = 0.5
"""Where the outline turns outwards less ink lies around a hole: a quarter of four squares, not three."""
_ONE_SQUARE = [3 << 2 * place for place in range(4)]
"""The rings of holes at which just one of four squares is stitched."""
_WHOLE_OR_CUT = choices().shown[choices().work <= HALF_COST]
"""Corners are made of full stitches and three-quarter stitches, of no quarters."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Trials:
    """What a letter costs with each of some patterns at corners that are alike, infinite where none can be.

    None of them changes how many parts and counters it has. counted: what counts at these corners.
    known: the costs of patterns that were tried, by their bytes.
    """

    found: Found
    alike: Alike
    wanted: Wanted
    counted: Weights
    known: dict[bytes, float] = field(default_factory=dict)

    def costs(self, patterns: Sequence[Bools]) -> Floats:
        """Return what some patterns cost."""
        new = {one.tobytes(): one for one in patterns if one.tobytes() not in self.known}
        self.known.update(zip(new, self._tried(list(new.values())).tolist(), strict=True))
        return np.array([self.known[one.tobytes()] for one in patterns])

    def stitched(self, pattern: Bools) -> Found:
        """Return the letter with a pattern at all corners."""
        return with_stitches(self.found, _put(self.found.shown, self.alike, [pattern])[0], self.wanted)

    def _tried(self, patterns: Sequence[Bools]) -> Floats:
        costs = np.full(len(patterns), np.inf)
        if not patterns:
            return costs
        put = _put(self.found.shown, self.alike, patterns)
        # where corners lie over each other they may differ
        holds = [self._holds(letter, one) for letter, one in zip(put, patterns, strict=True)]
        places = np.flatnonzero(holds)
        parts, counters = parts_and_counters(np.concatenate([self.found.shown[None], put[places]]))
        places = places[(parts[1:] == parts[0]) & (counters[1:] == counters[0])]
        if len(places):
            shown, drawn = put[places], Outlines.of(self.found.areas[None])
            drawn = replace(drawn, corners=_without(drawn.corners[0], self.alike)[None])
            costs[places] = energies(drawn.at(np.zeros(len(shown), np.int64)), shown, self.counted)
            costs[places] += lean_of(shown, self.wanted)
            costs[places] += faults_of(self.found.areas[None], shown, self.wanted)
            notches = _notches(np.array(patterns)[places])
            costs[places] += self.wanted.costs.notch * len(self.alike.corners) * notches
        return costs

    def _holds(self, shown: Bools, pattern: Bools) -> bool:
        """Whether a letter has a pattern at all corners."""
        return all(np.array_equal(one.of(shown, self.alike.wide), pattern) for one in self.alike.corners)


def rounded(found: Found, wanted: Wanted) -> Found:
    """Return a letter whose round corners are stitched alike where the outline has them alike."""
    saw = wanted.costs.round_saw
    if saw is None:
        return found
    counted = replace(wanted.costs.weights, saw=saw)
    areas = evened(found.areas[None], wanted.mirrors)
    for alike in alike_corners(areas[0]):
        is_repeated = len(alike.corners) > 1 or alike.is_even
        if is_repeated or (wanted.costs.notch and not _is_stroke_end(areas, alike)):
            found = _with_alike(found, alike, wanted, counted)
    return found


def _is_stroke_end(areas: Floats, alike: Alike) -> bool:
    """Whether the outline turns outwards by a right angle twice at some corners, as where a stroke ends."""
    outwards = corners_of(areas)[0] & (ink_around(areas)[0] < _HALF)
    return int((outwards & ~_without(outwards, alike)).sum()) > len(alike.corners)


def _with_alike(found: Found, alike: Alike, wanted: Wanted, counted: Weights) -> Found:
    """Return a letter with the same stitches at some corners.

    They are the best that come of those that are there, as they are or cut off slantwise, if their squares
    are changed one by one.
    """
    first = [corner.of(found.shown, alike.wide) for corner in alike.corners]
    if any(pattern.shape[:2] != (alike.wide, alike.wide) for pattern in first):
        first = []
    if alike.is_even:
        first = [half for pattern in first for half in _halves(pattern)]
    first += [_cut(pattern, steps) for pattern in first for steps in range(1, alike.wide)]
    trials = _Trials(found=found, alike=alike, wanted=wanted, counted=counted)
    ends = [
        _settled(pattern, cost, trials)
        for pattern, cost in zip(first, trials.costs(first).tolist(), strict=True)
        if cost < np.inf
    ]
    if ends:
        return trials.stitched(min(ends, key=lambda end: round(end[1], 6))[0])
    # where corners lie over each other, or beyond the letter, less of them is alike
    return (
        _with_alike(found, replace(alike, wide=alike.wide - 1), wanted, counted) if alike.wide > 1 else found
    )


def _settled(pattern: Bools, cost: float, trials: _Trials) -> tuple[Bools, float]:
    """Return a pattern of which no other square makes a cheaper one, and what it costs."""
    while True:
        changed = list(_changed(pattern, trials.found.areas, trials.alike))
        costs = trials.costs(changed)
        best = int(np.argmin(np.rint(costs * 1e6))) if changed else 0
        if not changed or costs[best] >= cost - 1e-9:
            return pattern, cost
        pattern, cost = changed[best], float(costs[best])


def _put(shown: Bools, alike: Alike, patterns: Sequence[Bools]) -> Bools:
    """Return stitches with each of some patterns at all corners."""
    put = np.repeat(shown[None], len(patterns), axis=0)
    for corner in alike.corners:
        put = corner.put(put, np.array(patterns))
    return put


def _notches(patterns: Bools) -> Ints:
    """Return at how many holes corners turn outwards by a right angle, as a whole step does.

    Where nothing is cut off, the outermost is the corner itself, and no notch.
    """
    turns = np.isin(rings(bytes_of(patterns))[:, :-1, :-1], _ONE_SQUARE)
    return np.asarray(turns.sum(axis=(1, 2)) - turns[:, 0, 0])


def _without(holes: Bools, alike: Alike) -> Bools:
    """Return at which holes the outline turns by a right angle: not at those of round corners."""
    for corner in alike.corners:
        holes = holes & ~corner.holes(holes.shape, alike.wide)
    return holes


def _changed(pattern: Bools, areas: Floats, alike: Alike) -> Iterator[Bools]:
    """Yield what a corner may be with one of its squares changed, and its image if it has one."""
    areas = alike.corners[0].of(areas, alike.wide)
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
