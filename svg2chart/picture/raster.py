"""The picture of the stitched piece as PNG: a tile for each arrangement, where it occurs; lines over it."""

import io
import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from svg2chart.chart import Arrangement, Chart
from svg2chart.colour import Colour
from svg2chart.picture.shapes import (
    HOLE_RADIUS,
    HOLE_SHARE,
    LINE,
    Point,
    Polygon,
    Shade,
    in_paint_order,
    knot_discs,
    line_ends,
    margin_squares,
    shaded,
    stitch_seen,
)

Array = NDArray[np.float64]

_LONGER_SIDE = 2400  # pixels that the longer side has about
_FEWEST, _MOST = 8, 40  # pixels to a square
_FINER = 4  # points in each direction that a pixel of a tile is the mean of


def picture_png(chart: Chart) -> bytes:
    """Return a picture of the stitched chart as PNG, 8 to 40 pixels to a square."""
    margin = margin_squares(chart)
    longer = max(chart.rows, chart.columns) + 2 * margin
    side = min(_MOST, max(_FEWEST, _LONGER_SIDE // longer))
    tiles = np.stack([_tile(chart, arrangement, side) for arrangement in chart.arrangements])
    squares = np.pad(chart.squares, margin)
    rows, columns = squares.shape
    picture = np.rint(tiles * 255).astype(np.uint8)[squares].transpose(0, 2, 1, 3, 4)
    picture = np.ascontiguousarray(picture.reshape(rows * side, columns * side, 3))
    _draw_lines(picture, chart, side, margin)
    _draw_knots(picture, chart, side, margin)
    written = io.BytesIO()
    Image.fromarray(picture).save(written, "PNG")
    return written.getvalue()


def _tile(chart: Chart, arrangement: Arrangement, side: int) -> Array:
    """Return a square as (side, side, 3), channels 0 to 1."""
    tile = np.empty((side, side, 3))
    tile[:] = _channels(chart.fabric.colour)
    tile *= 1 - HOLE_SHARE * _holes(side)[..., None]
    for stitch in in_paint_order(arrangement):
        seen = stitch_seen(stitch, arrangement)
        for shade in Shade:
            share = _covered(seen.of(shade), side)[..., None]
            colour = _channels(shaded(chart.threads[stitch.thread].colour, shade))
            tile = tile * (1 - share) + colour * share
    return tile


def _points(side: int) -> tuple[Array, Array]:
    """Return x and y of the points of a tile, in squares."""
    places = (np.arange(side * _FINER) + 0.5) / (side * _FINER)
    x, y = np.meshgrid(places, places)
    return x, y


def _mean(inside: NDArray[np.bool_], side: int) -> Array:
    return np.asarray(inside.reshape(side, _FINER, side, _FINER).mean(axis=(1, 3)))


@lru_cache(maxsize=64)
def _covered(polygons: tuple[Polygon, ...], side: int) -> Array:
    """Return the share of each pixel of a tile that convex polygons, clockwise, cover."""
    x, y = _points(side)
    inside = np.zeros(x.shape, dtype=bool)
    for polygon in polygons:
        turns = [
            (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)
            for (x1, y1), (x2, y2) in zip(polygon, (*polygon[1:], polygon[0]), strict=True)
        ]
        inside |= np.all([turn >= 0 for turn in turns], axis=0)
    return _mean(inside, side)


def _holes(side: int) -> Array:
    x, y = _points(side)
    near = np.hypot(np.minimum(x, 1 - x), np.minimum(y, 1 - y)) < HOLE_RADIUS
    return _mean(near, side)


def _channels(colour: str) -> Array:
    thread = Colour.from_hex(colour)
    return np.array([thread.red, thread.green, thread.blue])


def _draw_lines(picture: NDArray[np.uint8], chart: Chart, side: int, margin: int) -> None:
    for stitch in chart.backstitch:
        start, end = line_ends(stitch.start, stitch.end)
        colour = chart.threads[stitch.thread].colour
        for shade, width in ((Shade.DEEP, LINE), (Shade.BODY, LINE * 0.7), (Shade.LIGHT, LINE * 0.2)):
            _draw_stroke(picture, (start, end), width / 2, shaded(colour, shade), side, margin)


def _draw_knots(picture: NDArray[np.uint8], chart: Chart, side: int, margin: int) -> None:
    for knot in chart.knots:
        for shade, radius, aside in knot_discs():
            at = (knot.at[0] - aside, knot.at[1] - aside)
            ink = shaded(chart.threads[knot.thread].colour, shade)
            _draw_stroke(picture, (at, at), radius, ink, side, margin)


def _draw_stroke(
    picture: NDArray[np.uint8], ends: tuple[Point, Point], radius: float, ink: str, side: int, margin: int
) -> None:
    """Draw a line with round ends; what lies within half a pixel of its edge is mixed."""
    (x1, y1), (x2, y2) = ((x + margin, y + margin) for x, y in ends)
    left, top = (max(0, math.floor((min(a, b) - radius) * side) - 1) for a, b in ((x1, x2), (y1, y2)))
    right, bottom = (math.ceil((max(a, b) + radius) * side) + 2 for a, b in ((x1, x2), (y1, y2)))
    part = picture[top:bottom, left:right]
    y, x = np.mgrid[top : top + part.shape[0], left : left + part.shape[1]] + 0.5
    x, y = x / side - x1, y / side - y1
    length = (x2 - x1) ** 2 + (y2 - y1) ** 2
    along = np.clip((x * (x2 - x1) + y * (y2 - y1)) / length, 0, 1) if length else np.zeros(x.shape)
    away = np.hypot(x - along * (x2 - x1), y - along * (y2 - y1))
    share = np.clip((radius - away) * side + 0.5, 0, 1)[..., None]
    part[:] = np.rint(part * (1 - share) + _channels(ink) * 255 * share).astype(np.uint8)
