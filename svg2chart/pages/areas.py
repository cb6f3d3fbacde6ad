"""The areas that stitches cover, as polygons in squares: for the picture and for the tints."""

import numpy as np
from numpy.typing import NDArray

from svg2chart.chart import Arrangement, Chart, Corner, Stitch, StitchKind
from svg2chart.pages.sheet import Point, Region
from svg2chart.runs import begins, ends, in_order

Polygon = tuple[Point, ...]
_BARE = -1  # in place of the number of a thread

_POINTS = {corner: (float(corner.place[0]), float(corner.place[1])) for corner in Corner}


def corner_point(corner: Corner) -> Point:
    """Return where a corner lies in the unit square, y down."""
    return _POINTS[corner]


def is_shared(arrangement: Arrangement) -> bool:
    """Whether a three-quarter stitch and a quarter share the square."""
    return len(arrangement) == 2 and arrangement[0].kind is StitchKind.THREE_QUARTER


def stitch_area(stitch: Stitch, arrangement: Arrangement) -> Polygon:
    """Return the part of the unit square that a stitch colours.

    The whole for a full stitch, the half at its corner for a three-quarter
    and for the quarter that shares its square, else the quadrant at its corner.
    All turn the same way, so that viewers show no seam where two of one region meet.
    """
    if stitch.corner is None:
        return tuple(map(corner_point, Corner))
    x, y = corner_point(stitch.corner)
    if stitch.kind is StitchKind.THREE_QUARTER or is_shared(arrangement):
        area: Polygon = ((x, y), (1 - x, y), (x, 1 - y))
    else:
        area = ((x, y), (0.5, y), (0.5, 0.5), (x, 0.5))
    return area if x == y else area[::-1]


def thread_areas(
    chart: Chart, *, rows: range, columns: range, origin: Point = (0.0, 0.0), square_mm: float = 1.0
) -> tuple[tuple[int, tuple[Polygon, ...]], ...]:
    """Return for each thread that occurs in these squares what it colours, in mm.

    Hole (0, 0) of the chart lies at `origin`. Full stitches that follow each other in a row are one
    rectangle, and so are rows of the same ends.
    """
    zero_x, zero_y = origin
    found: dict[int, list[Polygon]] = {}
    held = chart.squares[rows.start : rows.stop, columns.start : columns.stop]
    full = np.array([a[0].thread if a and a[0].corner is None else _BARE for a in chart.arrangements])
    threads, edges = _boxes(full[held])
    first = np.array((columns.start, rows.start) * 2)
    places = np.array((zero_x, zero_y) * 2) + (edges + first) * square_mm
    for thread, (left, top, right, foot) in zip(threads.tolist(), places.tolist(), strict=True):
        box = ((left, top), (right, top), (right, foot), (left, foot))
        found.setdefault(thread, []).append(box)
    parts = [[(s.thread, stitch_area(s, a)) for s in a if s.corner is not None] for a in chart.arrangements]
    for i, j in np.argwhere(np.array([bool(part) for part in parts])[held]).tolist():
        row, column = rows.start + i, columns.start + j
        for thread, shape in parts[held[i, j]]:
            area = [(zero_x + (column + x) * square_mm, zero_y + (row + y) * square_mm) for x, y in shape]
            found.setdefault(thread, []).append(tuple(area))
    return tuple((thread, tuple(found[thread])) for thread in sorted(found))


def _boxes(threads: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the rectangles that squares of one thread form: their threads; left, top, right and foot."""
    high, wide = threads.shape
    flat = threads.ravel()
    starts = np.flatnonzero(begins(flat, np.repeat(np.arange(high), wide)))
    lengths = np.diff(np.append(starts, len(flat)))
    is_stitched = flat[starts] != _BARE
    starts, lengths = starts[is_stitched], lengths[is_stitched]
    thread, row, left = flat[starts], starts // wide, starts % wide
    order = in_order(thread, left, lengths, row)
    thread, row, left, lengths = thread[order], row[order], left[order], lengths[order]
    # rows of the same ends below each other: the row less its place in the list stays the same
    begin = begins(thread, left, lengths, row - np.arange(len(row)))
    lefts, tops, feet = left[begin], row[begin], row[ends(begin)] + 1
    return thread[begin], np.stack([lefts, tops, lefts + lengths[begin], feet], axis=1)


def placed(polygons: tuple[Polygon, ...], *, origin: Point, square_mm: float, fill: str) -> Region:
    """Return polygons in squares as a region on the page; `origin` is where hole (0, 0) lies, in mm."""
    x, y = origin
    return Region(
        fill=fill,
        polygons=tuple(
            [tuple([(x + a * square_mm, y + b * square_mm) for a, b in polygon]) for polygon in polygons]
        ),
    )
