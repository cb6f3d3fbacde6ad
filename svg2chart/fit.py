"""The drawing laid on the grid and fitted to it: painted polygons and thin lines, in squares.

Curves are flattened, strokes become regions or, where they are thin, stay lines;
clips and the edge of the viewport cut both. All points are rounded to a fine lattice
of squares: art that is shifted, mirrored or grouped otherwise then gives the same
points to the last bit.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import (
    AS_DRAWN,
    LINES,
    Artwork,
    ClipPart,
    Fill,
    Group,
    StitchAs,
    Stroke,
    masking_groups,
)
from svg2chart.colour import Colour
from svg2chart.dots import DOT_SEEN, Dot, dots_at_contours, dots_of_pen, is_of_discs, line_across
from svg2chart.fitting.finding import find_fit
from svg2chart.fitting.widths import Unequal
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box
from svg2chart.geometry.cut import (
    cut_lines,
    cut_lines_away,
    cut_lines_to_box,
    cut_polygon,
    cut_polygon_to_box,
)
from svg2chart.geometry.dashes import dash_lines
from svg2chart.geometry.flatten import flatten_paths
from svg2chart.geometry.polygon import Polygon, Polylines
from svg2chart.grid import LATTICE, TOLERANCE_SQUARES, Grid
from svg2chart.hidden import look_at_seen
from svg2chart.octants.blending import mask_share
from svg2chart.octants.stacks import SEEN_OPACITY, Paint, chain_of, hides, opacity_in_all
from svg2chart.regions import painted_region
from svg2chart.visible import Shape

RIM = 0.25
"""What is put at its place by hand may hang over the page's edge by so many squares."""

NO_LINES = Polylines(points=np.zeros((0, 2)), starts=np.zeros(1, np.int64), closed=np.zeros(0, np.bool_))


@dataclass(frozen=True, slots=True, kw_only=True)
class ThinLine:
    """A stroke too thin for stitches or told to be a line, as far as it is seen.

    Nobody sees it under later shapes, nor on shapes of its own colour, where it is worked only if told.
    `opacity` is that of the stroke within all its groups. A line that is told to be backstitch as drawn
    is whole, or has no points where less than half of it is to be seen.
    """

    element: str
    layer: str
    lines: Polylines
    colour: Colour
    opacity: float
    stitch_as: StitchAs | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A drawing on the grid: shapes in paint order with the marks they come from, thin lines and dots.

    largest_movement: how far any point was moved in either direction to fit the grid, in squares.
    drawn: by element and its layer how much of it was seen before anything was moved, at the most, about.
    unequal: widths that are equal in the drawing and no longer.
    apart: (n, 4) the boxes around parts that were moved by themselves, where they came to lie, in squares.
    before: the same before anything was moved, None without a fit.
    """

    shapes: tuple[Shape, ...]
    marks: tuple[Fill | Stroke, ...]
    lines: tuple[ThinLine, ...]
    dots: tuple[Dot, ...] = ()
    largest_movement: float = 0.0
    drawn: tuple[tuple[tuple[str, str], float], ...] = ()
    unequal: tuple[Unequal, ...] = ()
    apart: NDArray[np.float64] = field(default_factory=lambda: np.zeros((0, 4)))
    before: "Laid | None" = None


def lay_on_grid(artwork: Artwork, grid: Grid) -> Laid:
    """Return the drawing in squares from the grid's first hole, moved gently so that it fits the squares.

    What is to be stitched exactly as drawn stays where it is.

    Args:
        artwork: the drawing.
        grid: where its squares lie, which strokes stay lines, and how far points may be moved.
    """
    edge = _page_edge(artwork.viewport, grid.to_squares)
    laid = _as_drawn(artwork, grid, edge)
    if grid.movement <= 0:
        return laid
    masking = masking_groups(artwork.groups)
    free = [mark.stitch_as not in AS_DRAWN for mark in laid.marks]
    fitted = [k for k, shape in enumerate(laid.shapes) if free[k] and shape.paint.group not in masking]
    given = [k for k, is_free in enumerate(free) if not is_free]
    sized = {"rows": grid.rows, "columns": grid.columns}
    shapes, fitted, looked = look_at_seen(laid.shapes, fitted, given, artwork.groups, **sized)
    fit = find_fit(
        looked,
        [line.lines for line in laid.lines if line.stitch_as not in AS_DRAWN],
        rows=grid.rows,
        columns=grid.columns,
        movement=grid.movement,
        page=edge,
    )
    if fit is None:
        return laid
    moved = fit.polygons([shape.polygon for shape in shapes])
    middles = fit.points(np.array([dot.middle for dot in laid.dots]).reshape(-1, 2)).tolist()
    return replace(
        laid,
        shapes=tuple(
            replace(shape, polygon=polygon) if is_free else shape
            for shape, polygon, is_free in zip(shapes, moved, free, strict=True)
        ),
        lines=tuple(
            line if line.stitch_as in AS_DRAWN else replace(line, lines=lines)
            for line, lines in zip(laid.lines, fit.lines([line.lines for line in laid.lines]), strict=True)
        ),
        dots=tuple(replace(dot, middle=(x, y)) for dot, (x, y) in zip(laid.dots, middles, strict=True)),
        largest_movement=fit.largest_movement,
        drawn=tuple(by_element([laid.marks[k] for k in fitted], looked.areas.tolist()).items()),
        unequal=fit.every_unequal(),
        apart=fit.boxes_apart(),
        before=laid,
    )


def by_element(marks: Sequence[Fill | Stroke], areas: Sequence[float]) -> dict[tuple[str, str], float]:
    """Return the area of all marks of each element together, by element and layer."""
    total: dict[tuple[str, str], float] = {}
    for mark, area in zip(marks, areas, strict=True):
        key = (mark.element, mark.layer)
        total[key] = total.get(key, 0.0) + area
    return total


def _as_drawn(artwork: Artwork, grid: Grid, edge: Box) -> Laid:
    """Return the drawing in squares from the grid's first hole, cut at the page's edge, nothing moved."""
    marks, masking = list(artwork.laid()), masking_groups(artwork.groups)
    to_squares = grid.to_squares
    rim = edge.grown(RIM)
    clips = _clip_regions(artwork, grid, edge)
    flattened = flatten_paths([m.path.transformed(to_squares) for m in marks], tolerance=TOLERANCE_SQUARES)

    shapes: list[Shape] = []
    shown: list[Fill | Stroke] = []
    lines: list[tuple[int, Fill | Stroke, Polylines]] = []
    dots: list[tuple[int, Dot, Polylines]] = []
    for mark, chains in zip(marks, flattened, strict=True):
        clip = None if mark.clip is None else clips[mark.clip]
        around = rim if mark.stitch_as in AS_DRAWN else edge
        found, line, region = _parts(mark, chains, artwork, grid, is_masking=mark.group in masking)
        dots += [(len(shapes), dot, _cut_line(line_across(dot), around, clip)) for dot in found]
        if line is not None:
            lines.append((len(shapes), mark, _cut_line(line, around, clip)))
        polygon = None if region is None else _cut(region, around, clip)
        if polygon is not None and len(polygon.points):
            paint = Paint(colour=mark.colour, opacity=mark.opacity, group=mark.group)
            shapes.append(Shape(polygon=polygon, paint=paint))
            shown.append(mark)
    hiding = [s.polygon if hides(s.paint, artwork.groups) else None for s in shapes]
    seen = []
    for below, mark, line in lines:
        line = _unmasked(mark, line, shapes, artwork.groups)
        covers = [*_of_its_colour(mark, line, shapes[:below], hiding[:below]), *hiding[below:]]
        seen.append(_thin_line(mark, line, covers, artwork, grid))
    return Laid(
        shapes=tuple(shapes),
        marks=tuple(shown),
        lines=tuple(line for line in seen if line.opacity >= SEEN_OPACITY),
        dots=tuple(dot for below, dot, across in dots if _is_seen(across, hiding[below:])),
    )


def _page_edge(page: Box, to_squares: Affine) -> Box:
    """Return the page in squares."""
    corners = to_squares.apply(np.array([[page.left, page.top], [page.right, page.bottom]]))
    return Box(*(float(c) for c in _rounded(corners).ravel()))


def _parts(
    mark: Fill | Stroke, chains: Polylines, artwork: Artwork, grid: Grid, *, is_masking: bool
) -> tuple[list[Dot], Polylines | None, Polygon | None]:
    """Return what of a mark are dots, what is a line, and what is a region."""
    if mark.stitch_as is StitchAs.KNOT or (not is_masking and _is_knot(mark, chains, artwork)):
        return list(dots_at_contours(mark, chains)), None, None
    chains = _drawn(mark, chains, grid.to_squares)
    if is_masking or not _is_line(mark, grid):
        region = painted_region(mark, chains, to_chains=grid.to_squares, tolerance=TOLERANCE_SQUARES)
        return [], None, region
    if isinstance(mark, Stroke) and mark.stitch_as is None:
        line, found = dots_of_pen(mark, chains, wide=mark.width / grid.square)
        return found, line, None
    return [], chains, None


def _is_line(mark: Fill | Stroke, grid: Grid) -> bool:
    return mark.stitch_as in LINES or (isinstance(mark, Stroke) and mark.is_thin(grid.thin * grid.square))


def _is_knot(mark: Fill | Stroke, chains: Polylines, artwork: Artwork) -> bool:
    """Whether it is a fill of small discs that lets nothing through and is not told to be something else."""
    return (
        isinstance(mark, Fill)
        and mark.stitch_as is None
        and is_of_discs(chains)
        and hides(Paint(colour=mark.colour, opacity=mark.opacity, group=mark.group), artwork.groups)
    )


def _drawn(mark: Fill | Stroke, chains: Polylines, to_squares: Affine) -> Polylines:
    """Return the chains as the mark is drawn along them: a stroke in its dashes, a fill closed."""
    if isinstance(mark, Fill):
        return replace(chains, closed=np.ones(len(chains.closed), np.bool_))
    if mark.style.dashes:
        return dash_lines(chains, mark.style, pen=to_squares.linear() @ mark.pen)
    return chains


def _of_its_colour(
    mark: Fill | Stroke, chains: Polylines, below: Sequence[Shape], hiding: Sequence[Polygon | None]
) -> list[Polygon | None]:
    """Return the shapes right below a line that are of its colour: nobody sees the line between them.

    They end at the first shape of another colour, from the top, that comes near the line. What is told to be
    a line is meant, whatever it lies on.
    """
    found: list[Polygon | None] = []
    if mark.stitch_as in LINES:
        return found
    for shape, polygon in zip(reversed(below), reversed(hiding[: len(below)]), strict=True):
        if _overlap(shape.polygon, chains):
            if polygon is None or shape.paint.colour != mark.colour:
                break
            found.append(polygon)
    return found


def _thin_line(
    mark: Fill | Stroke, chains: Polylines, covers: Sequence[Polygon | None], artwork: Artwork, grid: Grid
) -> ThinLine:
    paint = Paint(colour=mark.colour, opacity=mark.opacity, group=mark.group)
    wide = mark.width / grid.square if isinstance(mark, Stroke) else 0.0
    seen = _seen(chains, covers, reach=max(wide / 2, TOLERANCE_SQUARES))
    if mark.stitch_as is StitchAs.BACKSTITCH_AS_DRAWN:
        seen = chains if 2 * seen.length >= chains.length else NO_LINES
    return ThinLine(
        element=mark.element,
        layer=mark.layer,
        lines=replace(seen, points=_rounded(seen.points)),
        colour=mark.colour,
        opacity=opacity_in_all(paint, artwork.groups),
        stitch_as=mark.stitch_as,
    )


def _unmasked(
    mark: Fill | Stroke, chains: Polylines, shapes: Sequence[Shape], groups: tuple[Group, ...]
) -> Polylines:
    """Return the parts of a line that the masks of its groups show for the most part.

    Each shape of a mask is taken by itself: lines lie in those that show at least half, and not under
    later ones that show less.
    """
    for group in chain_of(Paint(colour=mark.colour, group=mark.group), groups):
        mask = groups[group].mask
        if mask is None:
            continue
        own = [shape for shape in shapes if mask.group in chain_of(shape.paint, groups)]
        shows = [2 * mask_share(shape.paint.rgba, mask.kind) >= 1 for shape in own]
        first = shows.index(True) if any(shows) else 0
        bright = [shape.polygon for shape, is_bright in zip(own, shows, strict=True) if is_bright]
        dark = [shape.polygon for shape, is_bright in zip(own, shows, strict=True) if not is_bright]
        chains = cut_lines_away(cut_lines(chains, bright), dark[first:], reach=TOLERANCE_SQUARES)
    return chains


def _is_seen(across: Polylines, later: Sequence[Polygon | None]) -> bool:
    """Whether half of the line through a dot is seen: a dot on the page's edge still is."""
    return 2 * _seen(across, later, reach=TOLERANCE_SQUARES).length >= DOT_SEEN


def _seen(chains: Polylines, covers: Sequence[Polygon | None], *, reach: float) -> Polylines:
    """Return the parts of lines that no polygon hides."""
    near = [polygon for polygon in covers if polygon is not None and _overlap(polygon, chains)]
    return cut_lines_away(chains, near, reach=reach) if near else chains


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
