"""The areas that stitches cover, as polygons in squares: for the picture and for the tints."""

import numpy as np

from svg2chart.chart import Arrangement, Chart, Corner, Stitch, StitchKind
from svg2chart.pages.sheet import Point, Region

Polygon = tuple[Point, ...]


def corner_point(corner: Corner) -> Point:
    """Return where a corner lies in the unit square, y down."""
    right, down = corner.place
    return float(right), float(down)


def occurring(chart: Chart) -> tuple[Arrangement, ...]:
    """Return the arrangements that some square holds."""
    return tuple(chart.arrangements[index] for index in np.unique(chart.squares).tolist())


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


def thread_areas(chart: Chart, *, rows: range, columns: range) -> tuple[tuple[int, tuple[Polygon, ...]], ...]:
    """Return for each thread that occurs in these squares what it colours, in squares of the chart.

    Full stitches that follow each other in a row are one rectangle.
    """
    found: dict[int, list[Polygon]] = {}
    for row in rows:
        line = chart.squares[row].tolist()
        column = columns.start
        while column < columns.stop:
            end = column + 1
            arrangement = chart.arrangements[line[column]]
            whole = len(arrangement) == 1 and arrangement[0].corner is None
            while whole and end < columns.stop and line[end] == line[column]:
                end += 1
            for stitch in arrangement:
                shape = stitch_area(stitch, arrangement)
                wide = end - column
                polygon = tuple((column + x * wide, row + y) for x, y in shape)
                found.setdefault(stitch.thread, []).append(polygon)
            column = end
    return tuple((thread, tuple(found[thread])) for thread in sorted(found))


def placed(polygons: tuple[Polygon, ...], *, origin: Point, square_mm: float, fill: str) -> Region:
    """Return polygons in squares as a region on the page; `origin` is where hole (0, 0) lies, in mm."""
    return Region(
        fill=fill,
        polygons=tuple(
            tuple((origin[0] + x * square_mm, origin[1] + y * square_mm) for x, y in polygon)
            for polygon in polygons
        ),
    )
