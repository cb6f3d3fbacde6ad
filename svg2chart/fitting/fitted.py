"""The warp that fits a drawing to the grid."""

from collections.abc import Sequence

import numpy as np

from svg2chart.artwork import Group
from svg2chart.fitting.placing import no_knots, place_sides
from svg2chart.fitting.sides import find_sides
from svg2chart.fitting.sightlines import Outlines, look_along_lines
from svg2chart.fitting.warp import Warp
from svg2chart.geometry.polygon import FillRule, Polylines, edges_of_all
from svg2chart.octants.stacks import SEEN_OPACITY, hides, opacity_in_all
from svg2chart.visible import Shape


def find_warp(
    shapes: Sequence[Shape],
    lines: Sequence[Polylines],
    groups: tuple[Group, ...],
    *,
    rows: int,
    columns: int,
    movement: float,
) -> Warp:
    """Return the warp that brings what is seen of shapes onto the grid. Nothing leaves the grid.

    Args:
        shapes: in paint order, in squares.
        lines: thin lines, which move along.
        groups: the groups that the paints name.
        rows: rows of squares.
        columns: columns of squares.
        movement: no point moves farther in either direction, in squares.
    """
    seen = [shape for shape in shapes if opacity_in_all(shape.paint, groups) >= SEEN_OPACITY]
    if movement <= 0 or not seen:
        return Warp(across=no_knots(), down=no_knots())
    edges, owner = edges_of_all([shape.polygon for shape in seen])
    looks: dict[object, int] = {}
    outlines = Outlines(
        edges=edges,
        owner=owner,
        even_odd=np.array([shape.polygon.rule is FillRule.EVENODD for shape in seen]),
        hides=np.array([hides(shape.paint, groups) for shape in seen]),
        look=np.array([looks.setdefault(shape.paint.colour, len(looks) + 1) for shape in seen]),
    )
    across = find_sides(look_along_lines(outlines, lines=rows, length=columns))
    down = find_sides(look_along_lines(outlines.turned(), lines=columns, length=rows))
    points = np.concatenate([*(shape.polygon.points for shape in seen), *(chain.points for chain in lines)])
    reach = np.stack([points.min(axis=0), points.max(axis=0)])
    along_rows, along_columns = place_sides(
        across, down, columns=columns, rows=rows, reach=reach, movement=movement
    )
    return Warp(across=along_rows, down=along_columns)
