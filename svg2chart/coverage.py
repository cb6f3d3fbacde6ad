"""How much of each octant of each square a polygon covers, exactly."""

import numpy as np

from svg2chart.geometry.polygon import FillRule, Polygon
from svg2chart.octants.crossings import Floats, Places, cut_edges, in_half_squares
from svg2chart.octants.sweep import Actors, sweep
from svg2chart.octants.windings import HALF, OCTANTS, Bools, Touched, main_diagonal, measure, touch
from svg2chart.runs import totals


def octants(polygon: Polygon, rows: int, columns: int) -> Floats:
    r"""Return how much of each octant the polygon covers.

        7 | 0
       6 \|/ 1      the octants of one square,
       5 /|\ 2      clockwise from the top
        4 | 3

    Args:
        polygon: in squares from the grid's top-left hole, y down; any winding, crossings allowed;
            what sticks out of the grid is cut off.
        rows: rows of squares.
        columns: columns of squares.

    Returns:
        Float64 of shape (rows, columns, 8): areas in squares, 0 to 1/8 each.

    Raises:
        ValueError: a coordinate is not finite, or there is no square.

    Exact but for rounding (1e-12 of a square); time grows with the squares that the edges cross.
    """
    if rows < 1 or columns < 1:
        raise ValueError("a grid has at least one row and one column")
    if not np.isfinite(polygon.points).all():
        raise ValueError("a polygon has finite coordinates")
    edges = in_half_squares(polygon.edges())
    places = Places(rows=2 * rows, columns=2 * columns)
    pieces = cut_edges(edges, np.zeros(edges.shape[1], np.int64), places)
    even_odd = np.array([polygon.rule is FillRule.EVENODD])
    touched, spans = touch(pieces, places, even_odd=even_odd)
    touched = touched.taken(np.flatnonzero((touched.column >= 0) & (touched.column < 2 * columns)))
    halves = measure(touched, even_odd=even_odd)

    areas = np.zeros((2 * rows, 2 * columns, 2))
    _, span_row, span_column = spans.quadrants()
    areas[span_row, span_column] = HALF
    areas[touched.row, touched.column] = np.stack([halves.left, halves.right], axis=1)
    if halves.knotted.any():
        knots = touched.taken(np.flatnonzero(halves.knotted))
        areas[knots.row, knots.column] = measure_knots(knots, even_odd=even_odd)
    return by_square(areas)


def measure_knots(knots: Touched, *, even_odd: Bools) -> Floats:
    """Return (n, 2) what shapes cover of knotted quadrants, left and right of the diagonal, in half squares.

    Args:
        knots: quadrants in which outlines cross themselves.
        even_odd: (shapes,) whether the fill rule of each shape is even-odd.
    """
    count = len(knots.row)
    owner = np.repeat(np.arange(count), np.diff(knots.starts))
    actors = Actors(quadrant=np.arange(count), carry=knots.carry, even_odd=even_odd[knots.shape])
    regions = sweep(knots.pieces, owner, actors, main=main_diagonal(knots.row, knots.column))
    ((owner, covered),) = regions.covers
    left, right = (totals(owner, side[covered], count) for side in (regions.left, regions.right))
    return np.stack([left, right], axis=1)


def by_square(areas: Floats) -> Floats:
    """Return (rows, columns, 8) in squares from (2 rows, 2 columns, 2) in half squares."""
    height, width, _ = areas.shape
    result = np.empty((height // 2, width // 2, 8))
    for down in (0, 1):
        for right in (0, 1):
            result[..., OCTANTS[down, right]] = areas[down::2, right::2] / 4
    return result
