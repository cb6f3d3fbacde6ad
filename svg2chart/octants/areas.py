"""What is seen of each colour in each octant: the value between geometry and stitches."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.octants.blending import Rgba
from svg2chart.octants.stacks import BARE
from svg2chart.runs import begins, ends, in_order, totals

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MIXED = -1
"""Stands for a square that shows several colours."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class VisibleAreas:
    """What is seen of each colour.

    colours: red, green, blue, opacity, 0 to 1 each, not premultiplied; the first is bare, all nought.
    solid: (rows, columns) int32, the colour of squares that show one, MIXED for the others.
    filled_by: (rows, columns) int32, the paint order of the uppermost shape of these, -1 for bare and others.
    square, colour, order: (n,) for each colour of each mixed square, by square (row * columns + column)
        and colour: the paint order of the uppermost shape that shows it there, -1 for bare.
    level: (n,) greater for what lies over others of its square: by the uppermost shape that shows each, of
        one that lets through by what lies below it; nought for bare.
    octants: (n, 8) the areas, in squares; those of one square add up to 1/8 each.
    shapes: (shapes,) how much of each shape is seen, in squares.
    """

    colours: tuple[Rgba, ...]
    solid: NDArray[np.int32]
    filled_by: NDArray[np.int32]
    square: Ints
    colour: Ints
    order: Ints
    level: Ints
    octants: Floats
    shapes: Floats

    def recoloured(self, mapping: Ints, colours: tuple[Rgba, ...]) -> "VisibleAreas":
        """Return the areas with colour i become colour mapping[i], of which the first is bare again."""
        colour = mapping[self.colour]
        place, upper = in_groups(self.square, colour, self.level)
        octants = totals((8 * place[:, None] + np.arange(8)).ravel(), self.octants.ravel(), 8 * len(upper))
        solid = np.where(self.solid == MIXED, MIXED, mapping[self.solid]).astype(np.int32)
        return replace(
            self,
            colours=colours,
            solid=solid,
            filled_by=np.where(solid == BARE, np.int32(-1), self.filled_by),
            square=self.square[upper],
            colour=colour[upper],
            order=np.where(colour[upper] == BARE, -1, self.order[upper]),
            level=np.where(colour[upper] == BARE, 0, self.level[upper]),
            octants=octants.reshape(-1, 8),
        ).settled()

    def uppermost(self) -> tuple[Ints, Ints, Ints]:
        """Return square, colour and paint order of what is seen: of entries, then of squares of one."""
        solid, filled_by = self.solid.ravel(), self.filled_by.ravel()
        plain = np.flatnonzero(solid != MIXED)
        return (
            np.concatenate([self.square, plain]),
            np.concatenate([self.colour, solid[plain]]),
            np.concatenate([self.order, filled_by[plain]]),
        )

    def entries(self, squares: Ints, colours: Ints) -> Ints:
        """Return the entry of each colour in its square, -1 for none."""
        if not len(self.square):
            return np.full(len(squares), -1)
        keys = self.square * len(self.colours) + self.colour
        wanted = squares * len(self.colours) + colours
        at = np.minimum(np.searchsorted(keys, wanted), len(keys) - 1)
        return np.where(keys[at] == wanted, at, -1)

    def beside(self, entries: Ints, down: int, right: int) -> Ints:
        """Return the entries of the same colours in the squares so far from theirs, -1 for none."""
        columns = self.solid.shape[1]
        square, colour = self.square[entries], self.colour[entries]
        column = square % columns + right
        at = self.entries(square + down * columns + right, colour)
        return np.where((column >= 0) & (column < columns), at, -1)

    def is_filled_beside(self, entries: Ints, down: int, right: int) -> NDArray[np.bool_]:
        """Return for which entries the square one step on shows their colour alone."""
        rows, columns = self.solid.shape
        row, column = np.divmod(self.square[entries], columns)
        row, column = row + down, column + right
        is_on = (row >= 0) & (row < rows) & (column >= 0) & (column < columns)
        return np.asarray(is_on & (self.solid[row % rows, column % columns] == self.colour[entries]))

    def seen_beside(self, entries: Ints, down: int, right: int) -> Floats:
        """Return (n, 8) what is seen of the colours of entries in the squares so far from theirs."""
        at = self.beside(entries, down, right)
        seen = np.where(at[:, None] >= 0, self.octants[at], 0.0)
        return np.asarray(np.where(self.is_filled_beside(entries, down, right)[:, None], 1 / 8, seen))

    def settled(self) -> "VisibleAreas":
        """Return the areas with the mixed squares that show one colour made solid."""
        begin = begins(self.square)
        single = begin & ends(begin)
        solid, filled_by = self.solid.copy(), self.filled_by.copy()
        solid.ravel()[self.square[single]] = self.colour[single]
        filled_by.ravel()[self.square[single]] = self.order[single]
        return replace(self, solid=solid, filled_by=filled_by)._kept(np.flatnonzero(~single))

    def without_traces(self, least: float) -> "VisibleAreas":
        """Return the areas without colours that show at most `least` squares in every octant of a square."""
        return self._kept(np.flatnonzero((self.octants > least).any(axis=1)))

    def _kept(self, entries: Ints) -> "VisibleAreas":
        """Return the areas with these colours of mixed squares alone."""
        return replace(
            self,
            square=self.square.take(entries),
            colour=self.colour.take(entries),
            order=self.order.take(entries),
            level=self.level.take(entries),
            octants=self.octants.take(entries, axis=0),
        )


def in_groups(square: Ints, colour: Ints, level: Ints) -> tuple[Ints, Ints]:
    """Return for each entry the group of its square and colour, and for each group its uppermost entry.

    The groups are in the order of squares and colours; the higher `level`, the higher an entry lies.
    """
    sorting = in_order(square, colour, level)
    begin = begins(square.take(sorting), colour.take(sorting))
    group = np.empty(len(sorting), np.int64)
    group[sorting] = np.cumsum(begin) - 1
    return group, sorting[ends(begin)]
