"""The part of polygons and lines that lies within a region."""

from collections.abc import Iterator, Sequence
from math import frexp

import numpy as np
import shapely
from numpy.typing import NDArray

from svg2chart.geometry.box import Box, box_around
from svg2chart.geometry.polygon import FillRule, Polygon, Polylines

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

# Points of an overlay are snapped to 2^-36 of the polygon's size, so that lines that
# nearly coincide do. Without it GEOS loses faces: 1 of 200 random self-crossing strokes did.
_SNAP_BITS = 36
_PAIRS = 1 << 21  # how many pairs of edges, or of a point and an edge, are looked at in one go


def cut_polygon(polygon: Polygon, region: Sequence[Polygon]) -> Polygon:
    """Return the part of a polygon that lies in at least one polygon of the region.

    Every polygon counts by its own fill rule and may cross itself. The result is
    a nonzero polygon of contours that do not cross, hollows drawn the other way round.
    Its points are within 2^-36 of the polygon's longer side of where they should be;
    where the region is one upright rectangle they are cut to it as `cut_polygon_to_box` does.
    """
    box = box_of(polygon)
    if box is None or not region:
        return Polygon.of_contours([])
    if len(region) == 1 and (rectangle := _upright_rectangle(region[0])) is not None:
        return cut_polygon_to_box(polygon, rectangle)
    snap = snap_of(box)
    near = [cut_polygon_to_box(part, box.grown(snap)) for part in region]
    around = shapely.union_all([region_of(part, snap) for part in near], grid_size=snap)
    return polygon_of(shapely.intersection(region_of(polygon, snap), around, grid_size=snap))


def without_overlaps(polygon: Polygon) -> Polygon:
    """Return the same region as a nonzero polygon whose contours do not cross, hollows drawn backwards."""
    box = box_of(polygon)
    return polygon if box is None else polygon_of(region_of(polygon, snap_of(box)))


def cut_polygon_to_box(polygon: Polygon, box: Box) -> Polygon:
    """Return the part of a polygon within a box, every winding number inside it kept.

    Points outside are moved to the nearest point of the box, after each edge has been
    split where it crosses a side's line. No point of a contour passes over the inside
    on its way, so the windings there stay as they were.
    """
    around = box_of(polygon)
    if around is None or around == around.within(box):
        return polygon
    closed = np.ones(len(polygon.starts) - 1, dtype=np.bool_)
    points, starts = _with_crossings(polygon.points, polygon.starts, closed, _limits(box))
    points = np.clip(points, [box.left, box.top], [box.right, box.bottom])
    whole = Polygon(points=points, starts=starts, rule=polygon.rule)
    contours = [_without_detours(_distinct(c), box) for c in whole.contours() if len(c)]
    return Polygon.of_contours(
        [c for c in contours if len(c) > 2 and (c.min(axis=0) < c.max(axis=0)).all()], rule=polygon.rule
    )


def cut_contours_to_boxes(points: Array, starts: Ints, boxes: Array) -> tuple[Array, Ints]:
    """Return closed contours, each cut to a box of its own as `cut_polygon_to_box` does, and their starts.

    Args:
        points: (n, 2) of all contours.
        starts: (m + 1,) contour k owns points[starts[k]:starts[k + 1]].
        boxes: (m, 4) left, top, right and bottom.
    """
    low, high = (boxes[:, axes].repeat(np.diff(starts), axis=0) for axes in ([0, 1], [2, 3]))
    # runs of points beyond one side, or one corner, pass nothing of the box
    zone = ((points > high).astype(np.int8) - (points < low)) @ np.array([1, 3], np.int8)
    before, after = _beside(starts)
    kept = (zone == 0) | (zone != zone[before]) | (zone != zone[after])
    points, starts = points[kept], _starts_of(kept, starts)
    limits = boxes[:, [0, 2, 1, 3]].repeat(np.diff(starts), axis=0)
    points, starts = _with_crossings(points, starts, np.ones(len(boxes), np.bool_), limits)
    sides = boxes.repeat(np.diff(starts), axis=0)
    points = np.clip(points, sides[:, :2], sides[:, 2:])
    before, _ = _beside(starts)
    kept = (points != points[before]).any(axis=1)
    points, starts, sides = points[kept], _starts_of(kept, starts), sides[kept]
    on_side = points[:, [0, 1, 0, 1]] == sides
    before, after = _beside(starts)
    kept = ~(on_side & on_side[before] & on_side[after]).any(axis=1)
    return points[kept], _starts_of(kept, starts)


def cut_lines_to_box(lines: Polylines, box: Box) -> Polylines:
    """Return the parts of chains within a box, its sides included.

    A chain that is not cut stays closed if it was; pieces of a cut one are open and keep its direction.
    """
    points, starts = _with_crossings(lines.points, lines.starts, lines.closed, _limits(box))
    low, high = np.array([box.left, box.top]), np.array([box.right, box.bottom])
    pieces = []
    for chain, closed in Polylines(points=points, starts=starts, closed=lines.closed).chains():
        walk = _walk(chain, closed=closed)
        middles = _middles(walk)
        inside = np.asarray(((middles >= low) & (middles <= high)).all(axis=1))
        pieces.extend(_inner_pieces(walk, inside, closed=closed))
    return Polylines.of_chains(pieces)


def cut_lines_away(lines: Polylines, region: Sequence[Polygon], *, reach: float) -> Polylines:
    """Return the parts of chains that are not hidden under the region.

    A part is hidden where the points at the distance `reach` on both of its sides lie in a polygon of the
    region: a line along the region's own edge stays. Otherwise as `cut_lines`.
    """
    edges = np.concatenate([part.edges() for part in region] or [np.zeros((0, 4))])
    pieces = []
    for points, closed in lines.chains():
        walk = _split_at_edges(_walk(points, closed=closed), edges)
        beside = np.diff(walk, axis=0)[:, ::-1] * [-1.0, 1.0]
        beside *= reach / np.maximum(np.hypot(beside[:, 0], beside[:, 1]), reach * 2.0**-40)[:, np.newaxis]
        middles = _middles(walk)
        hidden = _in_region(middles + beside, region) & _in_region(middles - beside, region)
        pieces.extend(_inner_pieces(walk, ~hidden, closed=closed))
    return Polylines.of_chains(pieces)


def cut_lines(lines: Polylines, region: Sequence[Polygon]) -> Polylines:
    """Return the parts of chains that lie in at least one polygon of the region.

    Every polygon counts by its own fill rule and may cross itself. A chain that is not cut
    stays closed if it was; pieces of a cut one are open and keep its direction. Time grows with
    the product of the numbers of edges.
    """
    edges = np.concatenate([part.edges() for part in region] or [np.zeros((0, 4))])
    pieces = []
    for points, closed in lines.chains():
        walk = _split_at_edges(_walk(points, closed=closed), edges)
        pieces.extend(_inner_pieces(walk, _in_region(_middles(walk), region), closed=closed))
    return Polylines.of_chains(pieces)


def union_contours(contours: Sequence[Array]) -> list[Array]:
    """Return the contours of the nonzero union of simple contours, hollows drawn the other way round."""
    points = np.concatenate(contours)
    (left, top), (right, bottom) = points.min(axis=0), points.max(axis=0)
    snap = snap_of(Box(float(left), float(top), float(right), float(bottom)))
    owner = np.repeat(np.arange(len(contours)), [len(contour) for contour in contours])
    parts = shapely.polygons(shapely.linearrings(points, indices=owner))
    return polygon_of(shapely.union_all(parts, grid_size=snap)).contours()


def box_of(polygon: Polygon) -> Box | None:
    """Return the box around a polygon, None if it has no points."""
    if not len(polygon.points):
        return None
    (left, top), (right, bottom) = polygon.points.min(axis=0), polygon.points.max(axis=0)
    return Box(float(left), float(top), float(right), float(bottom))


def _limits(box: Box) -> Array:
    return np.array([box.left, box.right, box.top, box.bottom])


def _upright_rectangle(polygon: Polygon) -> Box | None:
    """Return the box that the polygon is, None where it is another shape."""
    contours = [_distinct(contour) for contour in polygon.contours()]
    box = box_around([box_of(polygon)])
    if len(contours) != 1 or len(contours[0]) != 4 or box is None:
        return None
    corners = [(box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom)]
    drawn = [(float(x), float(y)) for x, y in contours[0]]
    turned = [drawn[k:] + drawn[:k] for k in range(4)]
    return box if corners in turned or corners[::-1] in turned else None


def _distinct(contour: Array) -> Array:
    """Return a closed contour without points that equal the one before."""
    kept = (contour != np.roll(contour, 1, axis=0)).any(axis=1)
    return contour[kept] if kept.any() else contour[:1]


def _without_detours(contour: Array, box: Box) -> Array:
    """Return a contour within a box without the points inside its runs along one side.

    A run along a side encloses nothing, however often it turns back: its two ends tell all.
    """
    sides = np.array([box.left, box.top, box.right, box.bottom])
    on_side = contour[:, [0, 1, 0, 1]] == sides
    inside_run = (on_side & np.roll(on_side, 1, axis=0) & np.roll(on_side, -1, axis=0)).any(axis=1)
    return np.asarray(contour[~inside_run])


def _beside(starts: Ints) -> tuple[Ints, Ints]:
    """Return the indices of the points before and after each point of closed contours."""
    before, after = np.arange(-1, starts[-1] - 1), np.arange(1, starts[-1] + 1)
    filled = starts[:-1] < starts[1:]
    first, last = starts[:-1][filled], starts[1:][filled] - 1
    before[first], after[last] = last, first
    return before, after


def _starts_of(kept: Flags, starts: Ints) -> Ints:
    """Return where contours start once only some of their points are kept."""
    return np.concatenate([[0], np.cumsum(kept)])[starts]


def _with_crossings(points: Array, starts: Ints, closed: Flags, limits: Array) -> tuple[Array, Ints]:
    """Return the chains with a point wherever an edge crosses the line of a side of a box.

    Its left, right, top and bottom are the limits, of all points or (n, 4) of the edge that begins at each.
    Every crossing is found from the whole edge, so that it has the same bits in the mirror image
    and when the edge is drawn backwards.
    """
    filled = starts[:-1] < starts[1:]
    last = starts[1:] - 1
    _, following = _beside(starts)
    ends = points[following]
    axes = np.array([0, 0, 1, 1])
    here, there = points[:, axes] - limits, ends[:, axes] - limits
    crosses = here * there < 0
    crosses[last[filled & ~closed]] = False
    span = np.where(crosses, there - here, 1.0)
    crossing = points[:, np.newaxis] * there[..., np.newaxis] - ends[:, np.newaxis] * here[..., np.newaxis]
    crossing /= span[..., np.newaxis]
    crossing[:, np.arange(4), axes] = limits
    order = np.argsort(np.where(crosses, -here / span, np.inf), axis=1, kind="stable")
    crossing, crosses = (
        np.take_along_axis(crossing, order[..., np.newaxis], axis=1),
        np.take_along_axis(crosses, order, axis=1),
    )
    whole = np.concatenate([points[:, np.newaxis], crossing], axis=1)
    kept = np.concatenate([np.ones((len(points), 1), dtype=np.bool_), crosses], axis=1)
    return whole[kept], np.concatenate([[0], np.cumsum(kept.sum(axis=1))])[starts]


def _split_at_edges(walk: Array, edges: Array) -> Array:
    """Return the walk with a point wherever it crosses an edge or runs past the end of one on its line."""
    pieces, places = [], []
    p, along = walk[:-1], np.diff(walk, axis=0)
    for rows in _chunks(len(along), len(edges)):
        r = along[rows, np.newaxis]
        s = edges[np.newaxis, :, 2:] - edges[np.newaxis, :, :2]
        to_start = edges[np.newaxis, :, :2] - p[rows, np.newaxis]
        turn = _cross(r, s)
        with np.errstate(divide="ignore", invalid="ignore"):
            t, u = _cross(to_start, s) / turn, _cross(to_start, r) / turn
            past = (to_start * r).sum(axis=-1) / (r * r).sum(axis=-1)
        crossing = (turn != 0) & (u >= 0) & (u <= 1)
        beside = (turn == 0) & (_cross(to_start, r) == 0)
        t = np.where(crossing, t, np.where(beside, past, 0.0))
        row, column = np.nonzero((t > 0) & (t < 1))
        pieces.append(row + rows.start)
        places.append(t[row, column])
    piece, place = np.concatenate([[], *pieces]).astype(np.int64), np.concatenate([[], *places])
    order = np.lexsort((place, piece))
    piece, place = piece[order], place[order]
    return np.insert(walk, piece + 1, p[piece] + place[:, np.newaxis] * along[piece], axis=0)


def _cross(first: Array, second: Array) -> Array:
    return np.asarray(first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0])


def _chunks(rows: int, columns: int) -> Iterator[slice]:
    """Yield slices of the rows so that rows times columns stays within `_PAIRS`."""
    size = max(1, _PAIRS // max(columns, 1))
    for start in range(0, rows, size):
        yield slice(start, min(start + size, rows))


def _walk(chain: Array, *, closed: bool) -> Array:
    """Return the chain with its first point at the end, too, if it is closed."""
    return np.concatenate([chain, chain[:1]]) if closed and len(chain) > 1 else chain


def _middles(walk: Array) -> Array:
    """Return the middle of each edge of a walk, of a dot the dot."""
    return (walk[:-1] + walk[1:]) / 2 if len(walk) > 1 else walk


def _inner_pieces(walk: Array, inside: Flags, *, closed: bool) -> list[tuple[Array, bool]]:
    """Return the runs of edges that are inside, as chains and whether they are closed."""
    if inside.all():
        return [(walk[:-1] if closed and len(walk) > 1 else walk, closed)]
    if closed and inside.any():  # start at an edge outside, so that no piece is cut by the seam
        first = int(np.argmin(inside))
        walk = np.concatenate([walk[first:-1], walk[: first + 1]])
        inside = np.roll(inside, -first)
    steps = np.diff(np.concatenate([[0], inside.astype(np.int8), [0]]))
    starts, ends = np.flatnonzero(steps > 0), np.flatnonzero(steps < 0)
    return [(walk[start : end + 1], False) for start, end in zip(starts, ends, strict=True)]


def windings(points: Array, edges: Array) -> Ints:
    """Return how often the contours go round each point: edges that pass to its right, down less up."""
    turns = [np.zeros(0, dtype=np.int64)]
    x0, y0, x1, y1 = edges.T
    for rows in _chunks(len(points), len(edges)):
        x, y = points[rows, :1], points[rows, 1:]
        down, up = (y0 <= y) & (y < y1), (y1 <= y) & (y < y0)
        with np.errstate(divide="ignore", invalid="ignore"):
            right = x0 + (y - y0) / (y1 - y0) * (x1 - x0) > x
        turns.append((down & right).sum(axis=1) - (up & right).sum(axis=1))
    return np.concatenate(turns)


def _in_region(points: Array, region: Sequence[Polygon]) -> Flags:
    """Return which points lie in at least one polygon."""
    inside = np.zeros(len(points), dtype=np.bool_)
    for part in region:
        inside |= is_inside(windings(points, part.edges()), part.rule)
    return inside


def is_inside(turns: Ints, rule: FillRule) -> Flags:
    """Return which winding numbers are inside under a fill rule."""
    return np.asarray(turns != 0 if rule is FillRule.NONZERO else turns % 2 != 0)


def snap_of(box: Box) -> float:
    """Return the grid of an overlay: a power of two, so that lattice points stay."""
    return float(2.0 ** (frexp(max(box.width, box.height))[1] - _SNAP_BITS))


def region_of(polygon: Polygon, snap: float) -> shapely.Geometry:
    """Return the region of a polygon that has points as a valid shapely geometry.

    The contours cut the plane into faces; those with a winding number that the rule takes are joined.
    `snap` is the grid of their crossings, as `snap_of` gives it.
    """
    contours = [contour for contour in map(_distinct, polygon.contours()) if len(contour) > 2]
    if len(contours) == 1 and (simple := shapely.Polygon(contours[0])).is_valid:
        return simple
    lines = shapely.union_all([shapely.LinearRing(contour) for contour in contours], grid_size=snap)
    faces = shapely.get_parts(shapely.polygonize(shapely.get_parts(lines)))
    inner = shapely.get_coordinates(shapely.point_on_surface(faces))
    taken = faces[is_inside(windings(inner, polygon.edges()), polygon.rule)]
    return shapely.coverage_union_all(taken)


def polygon_of(geometry: shapely.Geometry) -> Polygon:
    """Return the polygons of a geometry as one, outer contours clockwise on the screen; lines are dropped."""
    parts = shapely.get_parts(shapely.normalize(geometry))
    areas = shapely.orient_polygons(parts[shapely.get_type_id(parts) == shapely.GeometryType.POLYGON])
    return Polygon.of_contours([shapely.get_coordinates(ring)[:-1] for ring in shapely.get_rings(areas)])
