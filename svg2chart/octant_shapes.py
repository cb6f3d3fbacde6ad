"""Shapes made of whole octants: taken apart into the single stitches that cover just them."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.patterns import HALF_OCTANTS, QUADRANT_OCTANTS
from svg2chart.artwork import Fill, StitchAs, Stroke
from svg2chart.chart import Corner, StitchKind
from svg2chart.coverage import octants
from svg2chart.fit import Laid
from svg2chart.geometry.polygon import FillRule, Polygon
from svg2chart.visible import Shape

Stitches = tuple[tuple[StitchKind, Corner | None], ...]

NEAR = 1 / 64
"""An octant is covered or bare if no more than so much of a square is missing or over."""

TOLD = {
    StitchKind.FULL: StitchAs.FULL,
    StitchKind.THREE_QUARTER: StitchAs.THREE_QUARTER,
    StitchKind.QUARTER: StitchAs.QUARTER,
}


def taken_apart(laid: Laid) -> tuple[Laid, frozenset[int], frozenset[int]]:
    """Return a drawing in which each area that is charted as drawn is one shape for each of its stitches.

    Returns:
        Which shapes come from such areas, too; and, by their order in what was given, the areas that no
        stitches cover, left as they are.
    """
    shapes: list[Shape] = []
    marks: list[Fill | Stroke] = []
    of_areas: set[int] = set()
    uneven: set[int] = set()
    for order, (shape, mark) in enumerate(zip(laid.shapes, laid.marks, strict=True)):
        own = stitches_covering(shape.polygon) if mark.stitch_as is StitchAs.AREA_AS_DRAWN else None
        if own is None:
            if mark.stitch_as is StitchAs.AREA_AS_DRAWN:
                uneven.add(order)
            shapes.append(shape)
            marks.append(mark)
            continue
        for row, column, kind, corner in own:
            polygon = stitch_outline(kind, corner, row=row, column=column)
            of_areas.add(len(shapes))
            shapes.append(Shape(polygon=polygon, paint=shape.paint))
            marks.append(replace(mark, stitch_as=TOLD[kind]))
    if not of_areas:
        return laid, frozenset(), frozenset(uneven)
    taken = replace(laid, shapes=tuple(shapes), marks=tuple(marks))
    return taken, frozenset(of_areas), frozenset(uneven)


def stitches_covering(polygon: Polygon) -> list[tuple[int, int, StitchKind, Corner | None]] | None:
    """Return row, column, kind and corner of the stitches that cover a polygon, None if none do so."""
    low = np.floor(polygon.points.min(axis=0) + NEAR).astype(int)
    columns, rows = np.maximum(np.ceil(polygon.points.max(axis=0) - NEAR).astype(int) - low, 1).tolist()
    areas = octants(replace(polygon, points=polygon.points - low), rows, columns)
    covered = areas > 1 / 16
    if (np.abs(areas - covered / 8) > NEAR).any():
        return None
    found = []
    for row, column in np.argwhere(covered.any(axis=-1)).tolist():
        stitches = stitches_of(covered[row, column])
        if stitches is None:
            return None
        found += [(int(row + low[1]), int(column + low[0]), kind, corner) for kind, corner in stitches]
    return found


def stitches_of(shown: NDArray[np.bool_]) -> Stitches | None:
    """Return the stitches of one thread that cover these octants of a square, None if none do."""
    return _BY_OCTANTS.get(frozenset(np.flatnonzero(shown).tolist()))


def stitch_outline(kind: StitchKind, corner: Corner | None, *, row: int, column: int) -> Polygon:
    """Return what a stitch covers of its square, in squares of the grid."""
    points = np.add(_OUTLINES[kind, corner], (column, row))
    return Polygon(points=points, starts=np.array([0, len(points)]), rule=FillRule.NONZERO)


def _by_octants() -> dict[frozenset[int], Stitches]:
    found: dict[frozenset[int], Stitches] = {frozenset(range(8)): ((StitchKind.FULL, None),)}
    for corner, octants_there in HALF_OCTANTS.items():
        found[frozenset(octants_there)] = ((StitchKind.THREE_QUARTER, corner),)
    for some in _subsets(list(Corner)):
        covered = frozenset(octant for corner in some for octant in QUADRANT_OCTANTS[corner])
        found.setdefault(covered, tuple((StitchKind.QUARTER, corner) for corner in some))
    return found


def _subsets(corners: Sequence[Corner]) -> list[list[Corner]]:
    return [[c for k, c in enumerate(corners) if number >> k & 1] for number in range(1, 1 << len(corners))]


def _outlines() -> dict[tuple[StitchKind, Corner | None], NDArray[np.float64]]:
    outlines: dict[tuple[StitchKind, Corner | None], NDArray[np.float64]] = {
        (StitchKind.FULL, None): np.array([corner.place for corner in Corner], dtype=np.float64)
    }
    holes = outlines[StitchKind.FULL, None]
    for number, corner in enumerate(Corner):
        at, after, before = holes[number], holes[(number + 1) % 4], holes[number - 1]
        outlines[StitchKind.THREE_QUARTER, corner] = np.array([at, after, before])
        middle = (after + before) / 2
        outlines[StitchKind.QUARTER, corner] = np.array([at, (at + after) / 2, middle, (at + before) / 2])
    return outlines


_BY_OCTANTS = _by_octants()
_OUTLINES = _outlines()
