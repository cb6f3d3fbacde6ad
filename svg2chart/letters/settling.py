"""Squares of letters settled by turns, many letters in one go: each holds what costs least beside the others.

Looked at are only squares that may change: first those near edges, then those near squares that changed.
"""

from functools import cache
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.borders import window_steps
from svg2chart.letters.choices import EDGE_COST, Weights, choices
from svg2chart.letters.half_steps import half_steps_with
from svg2chart.letters.holes import (
    at_corners,
    beside_at,
    bytes_of,
    hole_steps,
    ink_around,
    ink_at,
    loose_with,
    rings,
    rings_at,
    slivers_with,
    uneven_with,
)
from svg2chart.letters.steps import codes_of, kinds_of, saws_with

Bools = NDArray[np.bool_]
Bytes = NDArray[np.uint8]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
T = TypeVar("T", bound=np.generic)

LOOSE_COST = 0.3
"""What it costs where stitches meet at a hole only, so that a stroke hangs together by a point. Our own
choice, no source."""
UNEVEN_COST = 0.6
"""What it costs, by the square of how much more or less ink lies around a hole than in the outline: squares
shown a little wrong, each on the same side, make a slant that steps unevenly. Our own choice, no source."""

REACH = 3
"""What a square holds changes the energy of no square that is more squares away."""
_MARGIN = 2
"""So many bare squares lie around each letter: what choices cost depends on no square farther away."""
_SWEEPS = 12
"""So often all four turns are taken at the most. Our own choice, no source."""
_TURNS = ((0, 0), (1, 1), (0, 1), (1, 0))
"""Squares are chosen by turns, those that share no hole in one."""
_TRACE = 1e-6
"""So much of an octant, either way, counts for none."""


class Board:
    """What the squares of some letters hold, and what follows from that; it changes as they are settled.

    Squares lie in flat arrays, and so do holes, each with the number of the square below and right of it.
    """

    def __init__(self, areas: Floats, corners: Bools, local: Floats, chosen: Ints) -> None:
        """Lay out letters.

        Args:
            areas: (letters, rows, columns, 8) of their octants.
            corners: (letters, rows + 1, columns + 1) where their outlines have some.
            local: (letters, rows, columns, choices) what each choice costs by itself.
            chosen: (ways, rows, columns) which one each square holds, of all letters in one or more ways.
        """
        ways, rows, columns = chosen.shape
        self._shape = ways, rows + 2 * _MARGIN, columns + 2 * _MARGIN
        self._wide = self._shape[2]
        self._areas, self._local, self.chosen = areas, local, chosen.copy()
        shown = choices().shown[chosen]
        off = shown / 8 - np.tile(areas, (ways // len(areas), 1, 1, 1))
        held = bytes_of(shown)
        self._held = self._flat(held)
        self._rings, self._ink = self._flat(rings(held)), self._flat(ink_around(off))
        self._pairs = np.stack([self._flat(pair) for pair in at_corners(off)])
        self._corners = self._flat(np.tile(corners, (ways // len(areas), 1, 1)))
        self._kinds = kinds_of(self._rings, self._corners)
        self._codes = codes_of(self._rings, self._corners)
        none, every = (areas < _TRACE).all(axis=-1), (areas > 1 / 8 - _TRACE).all(axis=-1)
        self._bare, self._full = (
            self._flat(np.tile(one, (ways // len(areas), 1, 1)), rim=rim)
            for one, rim in ((none, True), (every, False))
        )

    def settle(self, weights: Weights, *, part: float) -> None:
        """Give squares the choices that cost least, by turns, until none changes.

        `part`: how much of what joints, saws, half steps and slivers cost counts.
        """
        waiting = self._undecided()
        for _ in range(_SWEEPS):
            changes = 0
            for row, column in _TURNS:
                turn = (slice(None), *(slice(_MARGIN + at, -_MARGIN, 2) for at in (row, column)))
                letter, down, across = np.nonzero(waiting[turn])
                if not len(letter):
                    continue
                waiting[turn] = False
                places = letter, 2 * down + row, 2 * across + column
                changed = self._choose(places, weights, part)
                changes += len(changed)
                steps = window_steps(self._wide, -_MARGIN, _MARGIN)
                waiting.reshape(-1)[changed[:, None] + steps] = True
            if not changes:
                break

    def _flat(self, values: NDArray[T], *, rim: bool = False) -> NDArray[T]:
        """Return what is said of squares or holes as a flat array, with the margin around each letter."""
        framed = np.full(self._shape, rim, values.dtype)
        _, high, wide = values.shape
        framed[:, _MARGIN : _MARGIN + high, _MARGIN : _MARGIN + wide] = values
        return framed.reshape(-1)

    def _undecided(self) -> Bools:
        """Return which squares may change: not those that hold all or nothing, as drawn, amid such squares.

        Any other choice there is shown wrong by an octant at least, and edge, work, joints and saws come on
        top: more than stitching is ever favoured by.
        """
        decided = np.zeros(self._shape, np.bool_)
        for alike in (self._bare & (self._held == 0), self._full & (self._held == 255)):
            squares = alike.reshape(self._shape)
            rows = squares[:, :-2] & squares[:, 1:-1] & squares[:, 2:]
            decided[:, 1:-1, 1:-1] |= rows[:, :, :-2] & rows[:, :, 1:-1] & rows[:, :, 2:]
        return ~decided

    def _choose(self, places: tuple[Ints, Ints, Ints], weights: Weights, part: float) -> Ints:
        """Give squares that share no hole what costs them least; return those that change."""
        letter, row, column = places
        at = (letter * self._shape[1] + row + _MARGIN) * self._wide + column + _MARGIN
        local = self._local[letter % len(self._local), row, column]
        total = local + _own_edges() - _shared_edges()[beside_at(self._held, at, self._wide)]
        total += UNEVEN_COST * uneven_with(self._held, self._ink, at, self._wide)
        if part:
            total += part * LOOSE_COST * loose_with(self._rings, at, self._wide)
            total += part * weights.saw * saws_with(self._kinds, self._codes, at, self._wide)
            total += part * weights.half_step * half_steps_with(self._held, self._kinds, at, self._wide)
            if weights.sliver:
                total += part * weights.sliver * slivers_with(self._rings, at, self._wide)
        each, now = np.arange(len(at)), self.chosen[places]
        least = total.argmin(axis=-1)
        better = np.flatnonzero(total[each, least] < total[each, now] - 1e-9)
        if len(better):
            self._change(at[better], (letter[better], row[better], column[better]), least[better])
        return np.asarray(at[better])

    def _change(self, at: Ints, places: tuple[Ints, Ints, Ints], chosen: Ints) -> None:
        self.chosen[places] = chosen
        shown = choices().shown[chosen]
        self._held[at] = bytes_of(shown)
        letter, row, column = places
        areas = self._areas[letter % len(self._areas), row, column]
        self._pairs[:, at] = at_corners(shown / 8 - areas)
        holes = (at[:, None] + np.array(hole_steps(self._wide))).ravel()
        around = rings_at(self._held, holes, self._wide)
        self._rings[holes] = around
        self._kinds[holes] = kinds_of(around, self._corners[holes])
        self._codes[holes] = codes_of(around, self._corners[holes])
        self._ink[holes] = ink_at(self._pairs, holes, self._wide)


@cache
def _edges_by_octant() -> Floats:
    """Return (8, choices) what the sides of octants cost that are stitched and face bare ones."""
    return np.asarray((EDGE_COST / 2) * choices().shown.astype(np.float64).T)


@cache
def _own_edges() -> Floats:
    """Return (choices,) what the sides of a square cost with each choice if all that faces it is bare."""
    return np.asarray(_edges_by_octant().sum(axis=0))


@cache
def _shared_edges() -> Floats:
    """Return (256, choices) how much less they cost, by what faces the square.

    Octants that differ from those beside them are edge: |b - p| = b + p - 2 b p.
    """
    facing = (np.arange(256)[:, None] >> np.arange(8) & 1).astype(np.float64)
    return np.asarray(2 * (facing @ _edges_by_octant()))
