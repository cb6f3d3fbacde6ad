"""Who is seen where: the exact area of each colour in each octant, by paint order and opacity.

Band by band of rows, so that memory stays small:
 1. outlines are cut into pieces, the uppermost shapes first, and what lies under an opaque
    shape is dropped at once (`topdown`);
 2. each quadrant shows one stack of shapes, or the areas of several (`quadrants`);
 3. each stack shows one flat colour (`stacks`), and squares gather their quadrants (`squares`).
No polygon is ever built from others, so there are no slivers and nothing to repair.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import Group
from svg2chart.geometry.boxes import boxes_of
from svg2chart.geometry.polygon import FillRule, Polygon, edges_of_all
from svg2chart.octants.areas import VisibleAreas
from svg2chart.octants.crossings import Places, in_half_squares
from svg2chart.octants.quadrants import Areas, quadrant_stacks
from svg2chart.octants.squares import square_areas
from svg2chart.octants.stacks import Paint, Stacks
from svg2chart.octants.topdown import Outlines, look_down

QUADRANTS_AT_ONCE = 1 << 17
"""About how many quadrants a band holds: it bounds the memory, not the result."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A painted polygon in squares from the grid's top-left hole."""

    polygon: Polygon
    paint: Paint


def boxes_of_shapes(shapes: Sequence[Shape]) -> NDArray[np.float64]:
    """Return (shapes, 4) left, top, right and bottom of each, in squares."""
    points = [shape.polygon.points for shape in shapes]
    starts = np.cumsum([0, *(len(each) for each in points)])
    return boxes_of(np.concatenate([np.zeros((0, 2)), *points]), starts)


def paint_numbers(shapes: Sequence[Shape]) -> NDArray[np.int64]:
    """Return (shapes,) equal numbers for equal paints, from 0."""
    numbers: dict[Paint, int] = {}
    return np.array([numbers.setdefault(shape.paint, len(numbers)) for shape in shapes], np.int64)


def visible_areas(
    shapes: Sequence[Shape], *, groups: tuple[Group, ...] = (), rows: int, columns: int
) -> VisibleAreas:
    """Return how much of each octant every colour shows.

    Args:
        shapes: in paint order, the lowest first.
        groups: the groups that the paints name.
        rows: rows of squares.
        columns: columns of squares.

    A shape shows where it is painted and no later opaque shape covers it; where later shapes let it
    through, their common flat colour shows. Exact for polygons but for rounding (1e-12 of a square).

    Raises:
        ValueError: a coordinate is not finite.
    """
    if not all(np.isfinite(shape.polygon.points).all() for shape in shapes):
        raise ValueError("a polygon has finite coordinates")
    stacks = Stacks([shape.paint for shape in shapes], groups)
    bands = [
        square_areas(dense, areas, stacks, columns=columns)
        for dense, areas in stacks_of_bands(shapes, stacks, rows=rows, columns=columns)
    ]
    return _below_each_other(bands)


def stacks_of_bands(
    shapes: Sequence[Shape], stacks: Stacks, *, rows: int, columns: int
) -> Iterator[tuple[NDArray[np.int32], Areas]]:
    """Yield for each band of rows what `quadrant_stacks` returns.

    Args:
        shapes: in paint order, the lowest first.
        stacks: of their paints.
        rows: rows of squares.
        columns: columns of squares.
    """
    even_odd = np.array([shape.polygon.rule is FillRule.EVENODD for shape in shapes], dtype=np.bool_)
    edges, owner = edges_of_all([shape.polygon for shape in shapes])
    outlines = Outlines.of(in_half_squares(edges), owner)
    height = max(1, QUADRANTS_AT_ONCE // (4 * columns))
    for top in range(0, rows, height):
        bottom = min(top + height, rows)
        places = Places(rows=2 * (bottom - top), columns=2 * columns)
        seen = look_down(outlines, places, 2 * top, even_odd=even_odd, opaque=stacks.opaque)
        yield quadrant_stacks(seen, stacks, even_odd, columns=2 * columns)


def _below_each_other(bands: list[VisibleAreas]) -> VisibleAreas:
    """Return the areas of all bands."""
    if len(bands) == 1:  # as in most charts
        return bands[0]
    first = np.cumsum([0, *(band.solid.size for band in bands)]).tolist()
    return VisibleAreas(
        colours=bands[-1].colours,  # of the bands before as well
        solid=np.concatenate([band.solid for band in bands]),
        filled_by=np.concatenate([band.filled_by for band in bands]),
        square=np.concatenate([band.square + n for n, band in zip(first, bands, strict=False)]),
        colour=np.concatenate([band.colour for band in bands]),
        order=np.concatenate([band.order for band in bands]),
        level=np.concatenate([band.level for band in bands]),
        octants=np.concatenate([band.octants for band in bands]),
        shapes=np.stack([band.shapes for band in bands]).sum(axis=0),
    )
