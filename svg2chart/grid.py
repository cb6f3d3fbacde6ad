"""The grid of squares that a drawing is laid on."""

from dataclasses import dataclass
from enum import Enum
from math import ceil, floor, isfinite

from svg2chart.artwork import Artwork
from svg2chart.errors import GridError
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box
from svg2chart.reach import Reach
from svg2chart.units import MM_PER_INCH

MAX_SQUARES = 4_000_000
"""The largest grid; 2000 by 2000 squares are 3.6 m of 14 count cloth each way."""

MAX_SIDE = 4096
"""The longest side of a grid in squares; up to here all points of the lattice are exact."""

LATTICE = 1 << 20
"""Points are rounded to 2^-20 of a square, half to even: far finer than the flattening, far coarser than
the rounding of float64 on the way there, so that rounding decides nothing."""

TOLERANCE_SQUARES = 1 / 1000
"""Curves are flattened within this part of a square; what sticks out less needs no square of its own."""

THIN_SQUARES = 0.67
"""Thinner strokes are backstitch: they are nearer to a line of thread, about a third of a square wide,
than to a row of stitches. Common practice, no source."""

MOVEMENT_SQUARES = 0.5
"""No point of a drawing is moved farther than this, in either direction, to fit it to the squares."""


def check_size(columns: int, rows: int) -> None:
    """Raise GridError where a chart would have more squares than one can have."""
    if rows * columns > MAX_SQUARES or max(rows, columns) > MAX_SIDE:
        raise GridError(
            f"the chart would be {columns} by {rows} squares; at most {MAX_SQUARES} in all "
            f"and {MAX_SIDE} in a line are possible",
            way_out="Ask for fewer or larger squares",
        )


class Extent(Enum):
    """How much of the page becomes the chart."""

    DRAWING = "drawing"
    PAGE = "page"


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Squares over a drawing.

    `left` and `top` of the first hole and `square`, the side of a square, are in root user units.
    Strokes thinner than `thin` squares are lines without a width. To fit the drawing to the squares its
    points may be moved by up to `movement` squares in either direction, corners that slide along a
    side, and tips at 45 degrees, by more.
    """

    left: float
    top: float
    square: float
    rows: int
    columns: int
    thin: float = THIN_SQUARES
    movement: float = MOVEMENT_SQUARES

    def __post_init__(self) -> None:
        if not (isinstance(self.rows, int) and isinstance(self.columns, int)):
            raise GridError("rows and columns are whole numbers", way_out="Give the chart a whole width")
        if not (isfinite(self.thin) and self.thin >= 0):
            raise GridError(f"strokes cannot be thinner than {self.thin} squares", way_out="Give 0 or more")
        if not (isfinite(self.movement) and self.movement >= 0):
            raise GridError(f"points cannot be moved by {self.movement} squares", way_out="Give 0 or more")
        if not (isfinite(self.square) and self.square > 0 and isfinite(self.left) and isfinite(self.top)):
            raise GridError("the squares have no size", way_out="Give the chart a width of at least 1 square")
        if self.rows < 1 or self.columns < 1:
            raise GridError("there is no square", way_out="Give the chart a width of at least 1 square")
        check_size(self.columns, self.rows)

    @staticmethod
    def fit(
        artwork: Artwork,
        *,
        wide: int | None = None,
        high: int | None = None,
        square: float | None = None,
        count: float | None = None,
        extent: Extent = Extent.DRAWING,
        thin: float = THIN_SQUARES,
        movement: float = MOVEMENT_SQUARES,
    ) -> "Grid":
        """Return the grid for a drawing; exactly one of the four sizes is given.

        Args:
            artwork: the drawing.
            wide: scale the drawing to so many squares in width. Its height becomes the nearest whole number
                of squares that `movement` allows, what is over or missing shared by top and bottom.
            high: the same by height.
            square: one square is so many root user units, counted from the viewport's top-left corner.
            count: the same, by squares to the inch of the document's physical size.
            extent: the whole squares that the drawing touches, or the whole viewport.
            thin: strokes thinner than so many squares count as lines without a width.
            movement: how far sides may be moved in either direction to fit the squares, in squares.

        Raises:
            GridError: not exactly one size, a size not above nought, nothing to see, too many squares.
        """
        sizes = [size for size in (wide, high, square, count) if size is not None]
        if len(sizes) != 1:
            raise GridError(
                "a chart has exactly one of a width, a height, a size of its squares and a count",
                way_out="Give one of them",
            )
        if not (isfinite(sizes[0]) and sizes[0] > 0):
            raise GridError(f"the size {sizes[0]} is not above nought", way_out="Give a positive number")
        if max(wide or 0, high or 0) > MAX_SIDE:
            raise GridError(
                f"{max(wide or 0, high or 0)} squares are more than the {MAX_SIDE} that a line can have",
                way_out="Ask for fewer squares",
            )
        if square is not None:
            return _counted(artwork, square, extent, thin, movement)
        if count is not None:
            return _counted(artwork, MM_PER_INCH / count / artwork.unit_mm, extent, thin, movement)
        return _scaled(artwork, wide, high, extent, thin, movement)

    @property
    def to_squares(self) -> Affine:
        """The map from root user units to squares from the first hole."""
        return Affine.scaling(1 / self.square) @ Affine.translation(-self.left, -self.top)


def _counted(artwork: Artwork, square: float, extent: Extent, thin: float, movement: float) -> Grid:
    """Return the grid of given squares from the viewport's corner, trimmed to what the drawing touches."""
    page = artwork.viewport
    if extent is Extent.PAGE:
        box = page
    else:
        for widest_thin, around in Reach.of(artwork).boxes():
            box = _needed(around)
            if widest_thin < thin * square:
                break
    first_column = floor((box.left - page.left) / square + TOLERANCE_SQUARES)
    first_row = floor((box.top - page.top) / square + TOLERANCE_SQUARES)
    return Grid(
        left=page.left + first_column * square,
        top=page.top + first_row * square,
        square=square,
        rows=max(1, ceil((box.bottom - page.top) / square - TOLERANCE_SQUARES) - first_row),
        columns=max(1, ceil((box.right - page.left) / square - TOLERANCE_SQUARES) - first_column),
        thin=thin,
        movement=movement,
    )


def _scaled(
    artwork: Artwork, wide: int | None, high: int | None, extent: Extent, thin: float, movement: float
) -> Grid:
    """Return the grid of so many squares across the drawing, which lies in the middle of it."""
    if extent is Extent.PAGE:
        box, square = artwork.viewport, _square(artwork.viewport, wide, high)
    else:
        # whether a stroke is thin depends on the squares, and these on how far the strokes reach: the
        # first answer that agrees with itself, from all strokes thin to none
        for widest_thin, around in Reach.of(artwork).boxes():
            box = _needed(around)
            square = _square(box, wide, high)
            if widest_thin < thin * square:
                break
    columns = wide or _squares_for(box.width / square, movement)
    rows = high or _squares_for(box.height / square, movement)
    return Grid(
        left=box.left - (columns * square - box.width) / 2,
        top=box.top - (rows * square - box.height) / 2,
        square=square,
        rows=rows,
        columns=columns,
        thin=thin,
        movement=movement,
    )


def _square(box: Box, wide: int | None, high: int | None) -> float:
    side = box.width / wide if wide else box.height / (high or 1)
    if side <= 0:
        raise GridError(
            "the drawing has no extent in the direction in which its size is given",
            way_out="Give the size in the other direction, or of one square",
        )
    return side


def _squares_for(length: float, movement: float) -> int:
    """Return how many squares hold a length: the nearest number, half up, if its ends may move so far."""
    give = max(min(2 * movement, 0.5 - TOLERANCE_SQUARES), TOLERANCE_SQUARES)
    return max(1, ceil(length - give))


def _needed(box: Box | None) -> Box:
    if box is None:
        raise GridError(
            "nothing is to be seen", way_out="Check that the drawing has visible shapes inside its page"
        )
    return box
