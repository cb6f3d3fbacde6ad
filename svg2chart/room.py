"""Room for the words of a drawing on its chart: letters on the squares may be larger than drawn ones."""

from collections.abc import Sequence
from dataclasses import replace
from math import ceil, floor

import numpy as np

from svg2chart.artwork import Artwork, Words
from svg2chart.geometry.box import Box, box_around
from svg2chart.grid import TOLERANCE_SQUARES, Grid

_MOST_TRIES = 12
"""So often a drawing is made smaller for its words; each time by as much as they are too large, or less."""


def with_room(artwork: Artwork, grid: Grid, *, wide: int | None = None, high: int | None = None) -> Grid:
    """Return the grid of a drawing with room for the letters that its words become.

    It gets more squares. Where a width or a height was asked for, it keeps that, and its squares are larger
    ones. It reaches no farther than the page, unless all that there is are words.

    Args:
        artwork: the drawing.
        grid: its squares, as `Grid.fit` gives them for the extent of the drawing.
        wide: how many squares in width were asked for, None for none.
        high: the same by height.
    """
    if not any(isinstance(mark, Words) for mark in artwork.marks):
        return grid
    from svg2chart.letters.in_drawings import rooms_of_words  # most drawings have no words

    tried = grid
    rooms = first = rooms_of_words(artwork, grid)
    for _ in range(_MOST_TRIES):
        if rooms.count(None) > first.count(None):  # too small by now for letters at all
            break
        needed = _needed(artwork, tried, rooms)
        if (wide is None or needed.width <= wide) and (high is None or needed.height <= high):
            return _over(tried, needed, wide=wide, high=high)
        tried = _larger_squares(artwork, tried, needed, wide=wide, high=high)
        rooms = rooms_of_words(artwork, tried)
    return grid


def _needed(artwork: Artwork, grid: Grid, rooms: Sequence[Box | None]) -> Box:
    """Return the box around what is to be charted, in whole squares from the first hole.

    Args:
        artwork: the drawing.
        grid: its squares.
        rooms: of its marks, that of the letters that they become, None for those that stay as drawn.
    """
    room = box_around(rooms)
    own = Box(0, 0, grid.columns, grid.rows)
    if room is None:
        return own
    if all(one is not None for one in rooms):
        return room
    page = artwork.viewport
    ((left, top), (right, bottom)) = grid.to_squares.apply(
        np.array([(page.left, page.top), (page.right, page.bottom)])
    ).tolist()
    within = room.within(
        Box(
            ceil(left - TOLERANCE_SQUARES),
            ceil(top - TOLERANCE_SQUARES),
            floor(right + TOLERANCE_SQUARES),
            floor(bottom + TOLERANCE_SQUARES),
        )
    )
    return box_around([own, within]) or own


def _larger_squares(artwork: Artwork, grid: Grid, needed: Box, *, wide: int | None, high: int | None) -> Grid:
    """Return the grid on which the drawing is smaller than on the last one, by what was too much there."""
    squares, too_many, asked = (
        (grid.columns, needed.width, wide) if wide is not None else (grid.rows, needed.height, high or 1)
    )
    fewer = max(1, min(squares - 1, ceil(squares * asked / too_many)))
    return Grid.fit(
        artwork,
        wide=None if wide is None else fewer,
        high=fewer if wide is None else None,
        thin=grid.thin,
        movement=grid.movement,
    )


def _over(grid: Grid, needed: Box, *, wide: int | None, high: int | None) -> Grid:
    """Return the same squares over all that is needed, which has the middle of those that were asked for."""
    columns = wide or max(1, int(needed.width))  # an i of backstitch has no width
    rows = high or max(1, int(needed.height))
    first_column = int(needed.left) - (columns - int(needed.width)) // 2
    first_row = int(needed.top) - (rows - int(needed.height)) // 2
    return replace(
        grid,
        left=grid.left + first_column * grid.square,
        top=grid.top + first_row * grid.square,
        columns=columns,
        rows=rows,
    )
