"""Stacks of shapes as one would look down on them, and the flat colour that each stack shows."""

from dataclasses import dataclass
from itertools import takewhile

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import Blend, Group, masking_groups
from svg2chart.colour import Colour
from svg2chart.octants.blending import Rgba, faded, mask_share, over
from svg2chart.runs import distinct

Ints = NDArray[np.int64]

BARE = 0
"""The stack of no shape."""

CLEAR: Rgba = (0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Paint:
    """What a shape is painted with; `group` is an index into the groups, None for none."""

    colour: Colour
    opacity: float = 1.0
    group: int | None = None

    @property
    def rgba(self) -> Rgba:
        """Red, green and blue times the opacity, and the opacity."""
        return faded((self.colour.red, self.colour.green, self.colour.blue, 1.0), self.opacity)


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
    """Return the opacity of a paint within all its groups, where no mask takes from it."""
    opacity = paint.opacity
    for group in chain_of(paint, groups):
        opacity *= groups[group].opacity
    return opacity


def hides(paint: Paint, groups: tuple[Group, ...], *, opacity: float = 1.0 - SEEN_OPACITY) -> bool:
    """Return whether what is below never counts: a paint of at least an opacity, without mask or blend mode.

    By default nothing that could be seen shows through.
    """
    plain = all(groups[g].mask is None and groups[g].blend is Blend.NORMAL for g in chain_of(paint, groups))
    return plain and opacity_in_all(paint, groups) >= opacity


class Stacks:
    """A growing list of stacks, each a lower stack with one more shape on it.

    0 is bare, and 1 + n the shape n by itself. A shape that lets nothing through makes the same stack on
    whatever it lies.
    """

    def __init__(self, paints: list[Paint], groups: tuple[Group, ...]) -> None:
        self._paints = paints
        self._groups = groups
        self._below = [-1, *([BARE] * len(paints))]
        self._top = list(range(-1, len(paints)))
        self._seen_tops: list[int] = []  # as far as somebody asked
        self._index: dict[tuple[int, int], int] = {}
        self._colours: dict[Rgba, int] = {CLEAR: 0}
        self._colour_of = [
            0,
            *([-1] * len(paints)),
        ]  # the place of each stack's colour, -1 while nobody asked
        self.opaque = np.array([hides(p, groups, opacity=1.0) for p in paints], dtype=np.bool_)

    def lay(self, below: Ints, shape: Ints) -> Ints:
        """Return the stacks that the shapes make, each laid on the stack below it."""
        result = shape + 1
        through = np.flatnonzero(~self.opaque.take(shape) & (below != BARE))
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
        """Return the uppermost shape that is seen of each stack, -1 where none is."""
        if all(group.mask is None for group in self._groups):
            return np.array(self._top, dtype=np.int64)
        masking = masking_groups(self._groups)
        for stack in range(len(self._seen_tops), len(self._top)):
            shapes = self.shapes(stack)
            seen = (shape for shape in reversed(shapes) if self._shows(shape, shapes, masking))
            self._seen_tops.append(next(seen, -1))
        return np.array(self._seen_tops, dtype=np.int64)

    def levels(self, some: Ints) -> Ints:
        """Return for each of some stacks how high it lies among them; nought for bare.

        It goes by the uppermost shape that is seen, of equal ones by the next below, and so on.
        """
        if len(self._top) == len(self._paints) + 1:  # nothing lets through
            return some
        tops, seen = self.tops(), distinct(some[some != BARE]).tolist()
        level = np.zeros(len(tops), np.int64)
        level[sorted(seen, key=lambda stack: (tops[stack], self.shapes(stack)[::-1]))] = (
            np.arange(len(seen)) + 1
        )
        return level.take(some)

    def _shows(self, shape: int, shapes: list[int], masking: frozenset[int]) -> bool:
        """Whether a shape of a stack is no part of a mask, and not masked out whole there."""
        group = self._paints[shape].group
        if group is None or group in masking:
            return group is None
        chain = chain_of(self._paints[shape], self._groups)
        shares = (self._mask_share(group, shapes, depth=depth + 1) for depth, group in enumerate(chain))
        return all(share > 0.0 for share in shares)

    def colours(self) -> tuple[Rgba, ...]:
        """Return the different colours of all stacks that were seen; the first is bare."""
        return tuple(self._colours)

    def colours_of(self, seen: NDArray[np.bool_]) -> Ints:
        """Return the place of each stack's colour among `colours`, nought for those that are not seen."""
        for stack in np.flatnonzero(seen).tolist():
            if self._colour_of[stack] < 0:
                self._colour_of[stack] = self._colours.setdefault(self.colour(stack), len(self._colours))
        return np.where(seen, self._colour_of, 0)

    def shapes(self, stack: int) -> list[int]:
        """Return the shapes of a stack, the lowest first."""
        shapes = []
        while stack != BARE:
            shapes.append(self._top[stack])
            stack = self._below[stack]
        return shapes[::-1]

    def colour(self, stack: int) -> Rgba:
        """Return what a stack shows: red, green, blue (not premultiplied) and opacity.

        A group is composed by itself and then laid over what is below at its opacity, as its mask and its
        blend mode have it.
        """
        shapes = self.shapes(stack)
        if len(shapes) == 1 and self._paints[shapes[0]].group is None:
            colour, opacity = self._paints[shapes[0]].colour, self._paints[shapes[0]].opacity
            return (colour.red, colour.green, colour.blue, opacity) if opacity else CLEAR
        red, green, blue, alpha = self._compose(shapes, depth=0)
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
                members = self._within(chain[depth], shapes[position:])
                position += len(members)
                layer = self._layer(chain[depth], members, depth=depth + 1)
                result = over(layer, result, self._groups[chain[depth]].blend)
            else:
                position += 1
                result = over(paint.rgba, result)
        return result

    def _within(self, group: int, shapes: list[int]) -> list[int]:
        """Return the shapes at the start of a list that lie in a group."""
        inside = (group in chain_of(self._paints[shape], self._groups) for shape in shapes)
        return [shape for shape, _ in zip(shapes, takewhile(bool, inside), strict=False)]

    def _layer(self, group: int, shapes: list[int], *, depth: int) -> Rgba:
        """Return the premultiplied colour of a group by itself, `depth` is that of what it holds."""
        mask, share = self._groups[group].mask, self._groups[group].opacity
        if mask is not None:
            share *= self._mask_share(group, shapes, depth=depth)
            shapes = [s for s in shapes if mask.group not in chain_of(self._paints[s], self._groups)]
        return faded(self._compose(shapes, depth=depth), share)

    def _mask_share(self, group: int, shapes: list[int], *, depth: int) -> float:
        """Return how much the mask of a group, among the shapes, lets be seen of it."""
        mask = self._groups[group].mask
        if mask is None:
            return 1.0
        masking = [s for s in shapes if mask.group in chain_of(self._paints[s], self._groups)]
        return mask_share(self._compose(masking, depth=depth), mask.kind)
