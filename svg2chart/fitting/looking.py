"""What is seen of a drawing before it is fitted."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import compress

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import Group
from svg2chart.fitting.sightlines import Outlines, Sights, look_along_lines
from svg2chart.geometry.polygon import FillRule, edges_of_all
from svg2chart.octants.stacks import SEEN_OPACITY, hides, opacity_in_all
from svg2chart.visible import Shape

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Looked:
    """What is seen of shapes along lines across the drawing.

    shapes: in paint order, in squares, those that are too faint to be seen left out.
    is_clear: (all shapes,) which of them are not too faint.
    looks: (shapes,) which of them look alike and let nothing through; -1 for those that do not hide.
    along_rows, along_columns: what is seen of them.
    areas: (all shapes,) how much of each is seen at the most, about, in squares.
    groups: that the paints of shapes name.
    """

    shapes: tuple[Shape, ...]
    is_clear: Bools
    looks: Ints
    along_rows: Sights
    along_columns: Sights
    areas: Floats
    groups: tuple[Group, ...]

    def without(self, unseen: Bools) -> "Looked":
        """Return the same without shapes of which lines see nothing.

        Args:
            unseen: (all shapes,) which these are.
        """
        kept = ~unseen[self.is_clear]
        return Looked(
            shapes=tuple(compress(self.shapes, kept)),
            is_clear=self.is_clear[~unseen],
            looks=self.looks[kept],
            along_rows=replace(self.along_rows, areas=self.along_rows.areas[kept]),
            along_columns=replace(self.along_columns, areas=self.along_columns.areas[kept]),
            areas=self.areas[~unseen],
            groups=self.groups,
        )


def look(shapes: Sequence[Shape], groups: tuple[Group, ...], *, rows: int, columns: int) -> Looked:
    """Return what is seen of shapes.

    Args:
        shapes: in paint order, in squares.
        groups: the groups that the paints name.
        rows: rows of squares.
        columns: columns of squares.
    """
    is_clear = np.array([opacity_in_all(shape.paint, groups) >= SEEN_OPACITY for shape in shapes], np.bool_)
    seen = tuple(compress(shapes, is_clear))
    outlines = _outlines(seen, groups)
    along_rows = look_along_lines(outlines, lines=rows, length=columns)
    along_columns = look_along_lines(outlines.turned(), lines=columns, length=rows)
    areas = np.zeros(len(is_clear))
    # few lines may cross a strip, or many
    areas[is_clear] = np.maximum(along_rows.areas, along_columns.areas)
    looks = np.where(outlines.hides, outlines.look, -1)
    return Looked(
        shapes=seen,
        is_clear=is_clear,
        looks=looks,
        along_rows=along_rows,
        along_columns=along_columns,
        areas=areas,
        groups=groups,
    )


def _outlines(shapes: Sequence[Shape], groups: tuple[Group, ...]) -> Outlines:
    edges, owner = edges_of_all([shape.polygon for shape in shapes])
    looks: dict[object, int] = {}
    return Outlines(
        edges=edges,
        owner=owner,
        even_odd=np.array([shape.polygon.rule is FillRule.EVENODD for shape in shapes], np.bool_),
        hides=np.array([hides(shape.paint, groups) for shape in shapes], np.bool_),
        look=np.array([looks.setdefault(shape.paint.colour, len(looks) + 1) for shape in shapes], np.int64),
    )
