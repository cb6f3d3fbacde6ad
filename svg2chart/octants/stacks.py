"""Stacks of shapes as one would look down on them, and the flat colour that each stack shows."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import Group
from svg2chart.colour import Colour

Ints = NDArray[np.int64]
Rgba = tuple[float, float, float, float]

BARE = 0
"""The stack of no shape."""

CLEAR: Rgba = (0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Paint:
    """What a shape is painted with; `group` is an index into the groups, None for none."""

    colour: Colour
    opacity: float = 1.0
    group: int | None = None


SEEN_OPACITY = 1 / 512
"""Less than half a step of an 8-bit picture cannot be seen."""


def chain_of(paint: Paint, groups: tuple[Group, ...]) -> list[int]:
    """Return the groups that hold a paint, the outermost first."""
    chain = []
    group = paint.group
    while group is not None:
        chain.append(group)
        group = groups[group].parent
    return chain[::-1]


def opacity_in_all(paint: Paint, groups: tuple[Group, ...]) -> float:
    """Return the opacity of a paint within all its groups."""
    opacity = paint.opacity
    for group in chain_of(paint, groups):
        opacity *= groups[group].opacity
    return opacity


def hides(paint: Paint, groups: tuple[Group, ...]) -> bool:
    """Return whether nothing that could be seen shows through."""
    return opacity_in_all(paint, groups) > 1.0 - SEEN_OPACITY


class Stacks:
    """A growing list of stacks, each a lower stack with one more shape on it; 0 is bare.

    A shape that lets nothing through makes the same stack on whatever it lies.
    """

    def __init__(self, paints: list[Paint], groups: tuple[Group, ...]) -> None:
        self._paints = paints
        self._groups = groups
        self._below = [-1]
        self._top = [-1]
        self._index: dict[tuple[int, int], int] = {}
        self._colours: dict[Rgba, int] = {CLEAR: 0}
        self._colour_of = [0]  # the place of each stack's colour, -1 while nobody asked
        self._alone = np.full(len(paints), -1)  # the stack of each shape by itself, once made
        self.opaque = np.array([opacity_in_all(p, groups) >= 1.0 for p in paints], dtype=np.bool_)

    def lay(self, below: Ints, shape: Ints) -> Ints:
        """Return the stacks that the shapes make, each laid on the stack below it."""
        for new in np.unique(shape[self._alone[shape] < 0]).tolist():
            self._alone[new] = self._find(BARE, new)
        result = self._alone[shape]
        through = np.flatnonzero(~self.opaque[shape] & (below != BARE))
        if len(through):
            count = len(self._paints)
            keys, inverse = np.unique(below[through] * count + shape[through], return_inverse=True)
            made = [self._find(*divmod(key, count)) for key in keys.tolist()]
            result[through] = np.array(made, dtype=np.int64)[inverse]
        return result

    def _find(self, below: int, shape: int) -> int:
        found = self._index.setdefault((below, shape), len(self._top))
        if found == len(self._top):
            self._below.append(below)
            self._top.append(shape)
            self._colour_of.append(-1)
        return found

    def tops(self) -> Ints:
        """Return the uppermost shape of each stack, -1 for the bare one."""
        return np.array(self._top, dtype=np.int64)

    def colours(self) -> tuple[Rgba, ...]:
        """Return the different colours of all stacks that were seen; the first is bare."""
        return tuple(self._colours)

    def colours_of(self, seen: NDArray[np.bool_]) -> Ints:
        """Return the place of each stack's colour among `colours`, nought for those that are not seen."""
        for stack in np.flatnonzero(seen).tolist():
            if self._colour_of[stack] < 0:
                self._colour_of[stack] = self._colours.setdefault(self.colour(stack), len(self._colours))
        return np.where(seen, self._colour_of, 0)

    def colour(self, stack: int) -> Rgba:
        """Return what a stack shows: red, green, blue (not premultiplied) and opacity.

        Source: Porter and Duff, Compositing Digital Images, 1984 (over), on gamma-encoded sRGB as SVG does;
        a group is composed by itself and then laid over what is below at its opacity.
        """
        shapes = []
        while stack != BARE:
            shapes.append(self._top[stack])
            stack = self._below[stack]
        if len(shapes) == 1 and self._paints[shapes[0]].group is None:
            colour, opacity = self._paints[shapes[0]].colour, self._paints[shapes[0]].opacity
            return (colour.red, colour.green, colour.blue, opacity) if opacity else CLEAR
        red, green, blue, alpha = self._compose(shapes[::-1], depth=0)
        if alpha == 0.0:
            return CLEAR
        return (red / alpha, green / alpha, blue / alpha, alpha)

    def _compose(self, shapes: list[int], *, depth: int) -> Rgba:
        """Return the premultiplied colour of shapes of one group, the lowest first."""
        result = CLEAR
        position = 0
        while position < len(shapes):
            paint = self._paints[shapes[position]]
            chain = chain_of(paint, self._groups)
            if len(chain) > depth:
                group = chain[depth]
                member = position
                while member < len(shapes) and group in chain_of(self._paints[shapes[member]], self._groups):
                    member += 1
                inner = self._compose(shapes[position:member], depth=depth + 1)
                opacity = self._groups[group].opacity
                layer = (inner[0] * opacity, inner[1] * opacity, inner[2] * opacity, inner[3] * opacity)
                position = member
            else:
                a, c = paint.opacity, paint.colour
                layer = (c.red * a, c.green * a, c.blue * a, a)
                position += 1
            result = _over(layer, result)
        return result


def _over(upper: Rgba, lower: Rgba) -> Rgba:
    through = 1.0 - upper[3]
    red, green, blue, alpha = (u + through * b for u, b in zip(upper, lower, strict=True))
    return red, green, blue, alpha
