"""The areas that stitches cover, as polygons in squares: for the picture and for the tints."""

from collections.abc import Iterator
from itertools import groupby

import numpy as np

from svg2chart.chart import Arrangement, Chart, Corner, Stitch, StitchKind
from svg2chart.pages.sheet import Point, Region

Polygon = tuple[Point, ...]


_POINTS = {corner: (float(corner.place[0]), float(corner.place[1])) for corner in Corner}


def corner_point(corner: Corner) -> Point:
    """Return where a corner lies in the unit square, y down."""
    return _POINTS[corner]


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

    Full stitches that follow each other in a row are one rectangle, and so are rows of the same ends.
    """
    found: dict[int, list[Polygon]] = {}
    open_above: dict[tuple[int, int, int], int] = {}  # thread, first and end column: the row it began in
    shapes = [tuple((s.thread, stitch_area(s, a)) for s in a) for a in chart.arrangements]
    full = [bool(a) and a[0].corner is None for a in chart.arrangements]
    held = chart.squares[rows.start : rows.stop, columns.start : columns.stop].tolist()
    for row, line in zip((*rows, rows.stop), (*held, []), strict=True):
        runs = set()
        for index, start, end in _runs(line):
            if full[index]:
                runs.add((shapes[index][0][0], columns.start + start, columns.start + end))
                continue
            for column in range(columns.start + start, columns.start + end):
                for thread, shape in shapes[index]:
                    polygon = tuple((column + x, row + y) for x, y in shape)
                    found.setdefault(thread, []).append(polygon)
        for thread, start, end in sorted(open_above.keys() - runs):
            top = open_above.pop((thread, start, end))
            box = ((start, top), (end, top), (end, row), (start, row))
            found.setdefault(thread, []).append(box)
        for run in runs - open_above.keys():
            open_above[run] = row
    return tuple((thread, tuple(found[thread])) for thread in sorted(found))


def _runs(line: list[int]) -> Iterator[tuple[int, int, int]]:
    """Yield arrangements that follow each other alike: which, and from where to where."""
    start = 0
    for index, same in groupby(line):
        end = start + len(list(same))
        yield index, start, end
        start = end


def placed(polygons: tuple[Polygon, ...], *, origin: Point, square_mm: float, fill: str) -> Region:
    """Return polygons in squares as a region on the page; `origin` is where hole (0, 0) lies, in mm."""
    return Region(
        fill=fill,
        polygons=tuple(
            tuple((origin[0] + x * square_mm, origin[1] + y * square_mm) for x, y in polygon)
            for polygon in polygons
        ),
    )
