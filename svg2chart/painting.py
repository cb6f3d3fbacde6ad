"""The mean colour of each square before any stitch is decided: what a renderer would show, exactly."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import Artwork, StitchAs
from svg2chart.errors import GridError
from svg2chart.fit import lay_on_grid
from svg2chart.grid import Grid
from svg2chart.octants.areas import MIXED
from svg2chart.visible import visible_areas


def square_colours(artwork: Artwork, rows: int, columns: int) -> NDArray[np.float64]:
    """Return the mean premultiplied colour of each square of a grid laid over the whole viewport.

    Args:
        artwork: the drawing; all its strokes count as areas, however thin, and whatever is told of them.
        rows: rows of squares from the viewport's top; the last may hang over its lower edge.
        columns: columns of squares across the viewport's width.

    Returns:
        Float64 of shape (rows, columns, 4): red, green, blue and opacity, 0 to 1, gamma-encoded, the
        colours times their opacity.

    Raises:
        GridError: the viewport has no width, or there are too many squares.
    """
    page = artwork.viewport
    if columns < 1:
        raise GridError("there is no square", way_out="Ask for at least one column")
    side = page.width / columns
    grid = Grid(left=page.left, top=page.top, square=side, rows=rows, columns=columns, thin=0.0, movement=0.0)
    plain = tuple(replace(mark, stitch_as=StitchAs.AREA) for mark in artwork.laid())
    laid = lay_on_grid(replace(artwork, marks=plain), grid)
    areas = visible_areas(laid.shapes, groups=artwork.groups, rows=rows, columns=columns)
    colours = np.array([(r * a, g * a, b * a, a) for r, g, b, a in areas.colours])
    mean = np.where((areas.solid != MIXED)[..., None], colours[areas.solid], 0.0)
    np.add.at(mean.reshape(-1, 4), areas.square, colours[areas.colour] * areas.octants.sum(axis=1)[:, None])
    return mean
