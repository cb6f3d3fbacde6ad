"""A second walk along the needle's path, and a second look at the cloth with shapely."""

from collections.abc import Iterable

from shapely import LineString, Point, Polygon, box, get_parts, unary_union
from shapely.geometry.base import BaseGeometry

from svg2chart.chart import Arrangement, Chart, Corner, StitchKind
from svg2chart.guiding.order import Block

CORNERS = {
    Corner.TOP_LEFT: (0, 0),
    Corner.TOP_RIGHT: (1, 0),
    Corner.BOTTOM_RIGHT: (1, 1),
    Corner.BOTTOM_LEFT: (0, 1),
}


def covered(chart: Chart) -> BaseGeometry:
    """Return the part of the cloth that the chart's crosses and fractions hide, in squares."""
    return unary_union(
        [
            shape
            for row in range(chart.rows)
            for column in range(chart.columns)
            for shape in shapes(chart.arrangement_at(row, column), column, row)
        ]
    )


def lined(chart: Chart, thread: int) -> list[BaseGeometry]:
    """Return what each line of a thread's backstitch hides, which is no wider than it is, in squares."""
    return [LineString((s.start, s.end)) for s in chart.backstitch if s.thread == thread]


def shapes(arrangement: Arrangement, x: int, y: int) -> list[Polygon]:
    if len(arrangement) == 2 and arrangement[0].kind is StitchKind.THREE_QUARTER:
        return [box(x, y, x + 1, y + 1)]
    found = []
    for stitch in arrangement:
        if stitch.corner is None:
            found.append(box(x, y, x + 1, y + 1))
            continue
        right, down = CORNERS[stitch.corner]
        at = (x + right, y + down)
        if stitch.kind is StitchKind.THREE_QUARTER:
            found.append(Polygon([at, (x + 1 - right, y + down), (x + right, y + 1 - down)]))
        else:
            found.append(box(*sorted_pair(at, (x + 0.5, y + 0.5))))
    return found


def sorted_pair(one: tuple[float, float], other: tuple[float, float]) -> tuple[float, float, float, float]:
    return min(one[0], other[0]), min(one[1], other[1]), max(one[0], other[0]), max(one[1], other[1])


def runs_behind(block: Block) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Return the thread behind the cloth, from each hole where the needle goes down to the next."""
    holes = [(x / 2, y / 2) for x, y in block.path]
    return list(zip(holes[1::2], holes[2::2], strict=False))


def bare_part(run: tuple[tuple[float, float], tuple[float, float]], hidden: Iterable[BaseGeometry]) -> float:
    """Return the share of a run that lies behind bare cloth, from 0 to 1.

    Each thing that hides is laid against the whole run: where two of them cross is a rounded point, and an
    edge with a rounded point in it is no longer straight.
    """
    line = LineString(run)
    spans = sorted(
        sorted(line.project(Point(piece.coords[i]), normalized=True) for i in (0, -1))
        for piece in get_parts([line.intersection(each) for each in hidden])
        if piece.length > 0
    )
    bare, end = 0.0, 0.0
    for low, high in [*spans, [1.0, 1.0]]:
        bare += max(0.0, low - end)
        end = max(end, high)
    return bare
