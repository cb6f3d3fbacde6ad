"""The drawing laid on the grid: painted polygons and thin lines, in squares.

Curves are flattened, strokes become regions or, where they are thin, stay lines;
clips and the edge of the viewport cut both. All points are rounded to a fine lattice
of squares: art that is shifted, mirrored or grouped otherwise then gives the same
points to the last bit.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import Artwork, ClipPart, Fill, Stroke
from svg2chart.colour import Colour
from svg2chart.geometry.box import Box
from svg2chart.geometry.cut import (
    cut_lines,
    cut_lines_away,
    cut_lines_to_box,
    cut_polygon,
    cut_polygon_to_box,
)
from svg2chart.geometry.flatten import flatten_paths
from svg2chart.geometry.outline import dash_lines, outline_stroke
from svg2chart.geometry.polygon import Polygon, Polylines
from svg2chart.grid import TOLERANCE_SQUARES, Grid
from svg2chart.octants.stacks import SEEN_OPACITY, Paint, hides, opacity_in_all
from svg2chart.visible import Shape

LATTICE = 2.0**20
"""Points are rounded to 2^-20 of a square, half to even: far finer than the flattening, far coarser than
the rounding of float64 on the way here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ThinLine:
    """A stroke too thin for stitches, as far as no later shape hides it.

    `opacity` is that of the stroke within all its groups.
    """

    element: str
    layer: str
    lines: Polylines
    colour: Colour
    opacity: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A drawing on the grid: shapes in paint order with the marks they come from, and thin lines."""

    shapes: tuple[Shape, ...]
    marks: tuple[Fill | Stroke, ...]
    lines: tuple[ThinLine, ...]


def lay_on_grid(artwork: Artwork, grid: Grid) -> Laid:
    """Return the drawing in squares from the grid's first hole.

    Args:
        artwork: the drawing.
        grid: where its squares lie, and which strokes stay lines.
    """
    marks = list(artwork.painted())
    to_squares = grid.to_squares
    page = artwork.viewport
    corners = to_squares.apply(np.array([[page.left, page.top], [page.right, page.bottom]]))
    edge = Box(*(float(c) for c in _rounded(corners).ravel()))
    clips = _clip_regions(artwork, grid, edge)
    paths = [mark.path.transformed(to_squares) for mark in marks]
    flattened = flatten_paths(paths, tolerance=TOLERANCE_SQUARES)

    shapes: list[Shape] = []
    shown: list[Fill | Stroke] = []
    lines: list[tuple[int, Stroke, Polylines]] = []
    for mark, chains in zip(marks, flattened, strict=True):
        clip = None if mark.clip is None else clips[mark.clip]
        if isinstance(mark, Stroke):
            pen = to_squares.linear() @ mark.pen
            if mark.style.dashes:
                chains = dash_lines(chains, mark.style, pen=pen)
            if mark.width < grid.thin * grid.square:
                lines.append((len(shapes), mark, _cut_line(chains, edge, clip)))
                continue
            polygon = outline_stroke(chains, mark.style, pen=pen, tolerance=TOLERANCE_SQUARES)
        else:
            polygon = Polygon(points=chains.points, starts=chains.starts, rule=mark.rule)
        polygon = _cut(polygon, edge, clip)
        if len(polygon.points):
            paint = Paint(colour=mark.colour, opacity=mark.opacity, group=mark.group)
            shapes.append(Shape(polygon=polygon, paint=paint))
            shown.append(mark)
    hiding = [s.polygon if hides(s.paint, artwork.groups) else None for s in shapes]
    seen = [_thin_line(mark, chains, hiding[below:], artwork, grid) for below, mark, chains in lines]
    return Laid(
        shapes=tuple(shapes),
        marks=tuple(shown),
        lines=tuple(line for line in seen if line.opacity >= SEEN_OPACITY),
    )


def _thin_line(
    stroke: Stroke, chains: Polylines, later: Sequence[Polygon | None], artwork: Artwork, grid: Grid
) -> ThinLine:
    paint = Paint(colour=stroke.colour, opacity=stroke.opacity, group=stroke.group)
    near = [polygon for polygon in later if polygon is not None and _overlap(polygon, chains)]
    if near:
        chains = cut_lines_away(chains, near, reach=max(stroke.width / grid.square / 2, TOLERANCE_SQUARES))
    return ThinLine(
        element=stroke.element,
        layer=stroke.layer,
        lines=replace(chains, points=_rounded(chains.points)),
        colour=stroke.colour,
        opacity=opacity_in_all(paint, artwork.groups),
    )


def _overlap(polygon: Polygon, chains: Polylines) -> bool:
    """Return whether the boxes around them overlap."""
    if not len(polygon.points) or not len(chains.points):
        return False
    apart = (polygon.points.max(axis=0) < chains.points.min(axis=0)) | (
        chains.points.max(axis=0) < polygon.points.min(axis=0)
    )
    return not apart.any()


def _cut_line(chains: Polylines, edge: Box, clip: list[Polygon] | None) -> Polylines:
    chains = cut_lines_to_box(chains, edge)
    return chains if clip is None else cut_lines(chains, clip)


def _cut(polygon: Polygon, edge: Box, clip: list[Polygon] | None) -> Polygon:
    polygon = cut_polygon_to_box(replace(polygon, points=_rounded(polygon.points)), edge)
    if clip is None:
        return polygon
    polygon = cut_polygon(polygon, clip)
    return replace(polygon, points=_rounded(polygon.points))


def _rounded(points: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(np.rint(points * LATTICE) / LATTICE)


def _clip_regions(artwork: Artwork, grid: Grid, edge: Box) -> list[list[Polygon]]:
    """Return for each clip the polygons whose union it is, in squares."""
    regions: list[list[Polygon]] = []
    for clip in artwork.clips:
        parts = [_clip_part(part, grid, edge, regions) for part in clip.parts]
        if clip.within is not None:
            parts = [cut_polygon(part, regions[clip.within]) for part in parts]
        regions.append([part for part in parts if len(part.points)])
    return regions


def _clip_part(part: ClipPart, grid: Grid, edge: Box, regions: list[list[Polygon]]) -> Polygon:
    path = part.path.transformed(grid.to_squares)
    chains = flatten_paths([path], tolerance=TOLERANCE_SQUARES)[0]
    polygon = Polygon(points=chains.points, starts=chains.starts, rule=part.rule)
    return _cut(polygon, edge, None if part.clip is None else regions[part.clip])
