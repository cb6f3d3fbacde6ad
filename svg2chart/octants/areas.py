"""What is seen of each colour in each octant: the value between geometry and stitches."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.octants.stacks import BARE, Rgba

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MIXED = -1
"""Stands for a square that shows several colours."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class VisibleAreas:
    """What is seen of each colour.

    colours: red, green, blue, opacity, 0 to 1 each, not premultiplied; the first is bare, all nought.
    solid: (rows, columns) int32, the colour of squares that show one, MIXED for the others.
    square, colour, order: (n,) for each colour of each mixed square, by square (row * columns + column)
        and colour: the paint order of the uppermost shape that shows it there, -1 for bare.
    octants: (n, 8) the areas, in squares; those of one square add up to 1/8 each.
    shapes: (shapes,) how much of each shape is seen, in squares.
    """

    colours: tuple[Rgba, ...]
    solid: NDArray[np.int32]
    square: Ints
    colour: Ints
    order: Ints
    octants: Floats
    shapes: Floats

    def recoloured(self, mapping: Ints, colours: tuple[Rgba, ...]) -> "VisibleAreas":
        """Return the areas with colour i become colour mapping[i], of which the first is bare again."""
        count = len(colours)
        keys, inverse = np.unique(self.square * count + mapping[self.colour], return_inverse=True)
        octants = np.zeros((len(keys), 8))
        np.add.at(octants, inverse, self.octants)
        order = np.full(len(keys), -1, np.int64)
        np.maximum.at(order, inverse, self.order)
        square, colour = keys // count, keys % count
        order[colour == BARE] = -1
        solid = np.where(self.solid == MIXED, MIXED, mapping[self.solid]).astype(np.int32)
        # a square whose colours have become one is solid after all
        single = np.bincount(square, minlength=solid.size)[square] == 1
        solid.ravel()[square[single]] = colour[single]
        mixed = ~single
        return VisibleAreas(
            colours=colours,
            solid=solid,
            square=square[mixed],
            colour=colour[mixed],
            order=order[mixed],
            octants=octants[mixed],
            shapes=self.shapes,
        )

    def without_traces(self, least: float) -> "VisibleAreas":
        """Return the areas without colours that show at most `least` squares in every octant of a square."""
        kept = (self.octants > least).any(axis=1)
        return replace(
            self,
            square=self.square[kept],
            colour=self.colour[kept],
            order=self.order[kept],
            octants=self.octants[kept],
        )
