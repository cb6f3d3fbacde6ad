"""Drawings for tests, and charts as letters that a stitcher can check."""

import re
from collections.abc import Sequence

import numpy as np
from shapely import Polygon
from shapely import box as rectangle

from svg2chart.arranging.patterns import Fractions
from svg2chart.artwork import Artwork, Fill, Group, Stroke
from svg2chart.chart import Arrangement, Chart, Corner, StitchKind
from svg2chart.colour import Colour
from svg2chart.convert import convert
from svg2chart.geometry.box import Box
from svg2chart.geometry.outline import StrokeStyle
from svg2chart.geometry.path import Path, line
from svg2chart.geometry.polygon import FillRule
from svg2chart.grid import Extent, Grid
from svg2chart.octant_shapes import stitch_outline

RED, BLUE, YELLOW, GREEN = "#c62828", "#1a3a8f", "#f2c230", "#2e7d32"
LETTERS = {RED: "r", BLUE: "b", YELLOW: "y", GREEN: "g"}
WEDGES = {
    Corner.TOP_LEFT: "◤",
    Corner.TOP_RIGHT: "◥",
    Corner.BOTTOM_RIGHT: "◢",
    Corner.BOTTOM_LEFT: "◣",
}
Points = Sequence[tuple[float, float]]


def contours_path(contours: Sequence[Points], *, closed: bool = True) -> Path:
    """Return the path of polygons, or of open chains."""
    made = []
    for contour in contours:
        points = np.array(contour, dtype=np.float64)
        ends = np.roll(points, -1, axis=0) if closed else points[1:]
        starts = points if closed else points[:-1]
        made.append((np.array([line(a, b) for a, b in zip(starts, ends, strict=True)]), closed))
    return Path.of_contours(made)


def shape(colour: str, *contours: Points, element: str = "shape", rule: FillRule = FillRule.NONZERO) -> Fill:
    return Fill(element=element, path=contours_path(contours), colour=Colour.from_hex(colour), rule=rule)


def stroke(
    colour: str, points: Points, *, width: float = 0.3, closed: bool = False, element: str = "line"
) -> Stroke:
    path = contours_path([points], closed=closed)
    return Stroke(element=element, path=path, style=StrokeStyle(width=width), colour=Colour.from_hex(colour))


def drawing(*marks: Fill | Stroke, wide: float, high: float, groups: tuple[Group, ...] = ()) -> Artwork:
    """Return a drawing whose user unit is a square."""
    return Artwork(viewport=Box(0.0, 0.0, wide, high), unit_mm=1.0, marks=marks, groups=groups)


def chart_of(artwork: Artwork, *, square: float = 1.0, fractions: Fractions = Fractions.ALL) -> Chart:
    """Return the chart of the whole page, squares of the given size counted from its corner."""
    grid = Grid.fit(artwork, square=square, extent=Extent.PAGE)
    return convert(artwork, grid, fractions=fractions)


def box(left: float, top: float, right: float, bottom: float) -> Points:
    return [(left, top), (right, top), (right, bottom), (left, bottom)]


def diamond(x: float, y: float, radius: float) -> Points:
    return [(x, y - radius), (x + radius, y), (x, y + radius), (x - radius, y)]


def written(arrangement: Arrangement, colours: Sequence[str]) -> str:
    """Return one square in letters.

    "." is bare, "r" a full red stitch, "r◤" three-quarter red with its corner top left, "r◤b" the same over a
    quarter of blue, "(r◤)" a quarter of red in that corner, "(r◤b◢)" two quarters.
    """
    if not arrangement:
        return "."
    names = [LETTERS.get(colours[stitch.thread], "?") for stitch in arrangement]
    wedges = [WEDGES[stitch.corner] if stitch.corner else "" for stitch in arrangement]
    if arrangement[0].kind is StitchKind.QUARTER:
        return "(" + "".join(sorted(n + w for n, w in zip(names, wedges, strict=True))) + ")"
    return names[0] + wedges[0] + "".join(names[1:])


def drawn(chart: Chart) -> list[list[str]]:
    """Return the squares of a chart in letters."""
    colours = [thread.colour for thread in chart.threads]
    return [
        [written(chart.arrangement_at(r, c), colours) for c in range(chart.columns)]
        for r in range(chart.rows)
    ]


def squares(picture: str) -> list[list[str]]:
    """Return the squares of a picture in letters, one row a line, blanks between squares."""
    return [row.split() for row in picture.split("\n") if row.strip()]


def lines(chart: Chart) -> set[tuple[str, frozenset[tuple[float, float]]]]:
    """Return the backstitch as colours and pairs of holes."""
    return {(chart.threads[b.thread].colour, frozenset((b.start, b.end))) for b in chart.backstitch}


def stitched(chart: Chart, colour: str) -> list[np.ndarray]:
    """Return the outlines of what stitches of a colour show, in squares."""
    threads = {index for index, thread in enumerate(chart.threads) if thread.colour == colour}
    outlines = []
    for row in range(chart.rows):
        for column in range(chart.columns):
            held = chart.arrangement_at(row, column)
            is_halved = any(stitch.kind is StitchKind.THREE_QUARTER for stitch in held)
            for stitch in held:
                if stitch.thread in threads:
                    # a quarter beside a three-quarter stitch shows in the other half of the square
                    kind = StitchKind.THREE_QUARTER if is_halved else stitch.kind
                    outlines.append(stitch_outline(kind, stitch.corner, row=row, column=column).points)
    return outlines


def told_squares(chart: Chart, what: str) -> list[Polygon]:
    """Return the squares that remarks name which say so, each of which names one."""
    found = [
        re.search(r", at row (\d+), column (\d+)", remark.what)
        for remark in chart.remarks
        if what in remark.what
    ]
    places = [(int(each[1]) - 1, int(each[2]) - 1) for each in found if each]
    assert len(places) == len(found)
    return [rectangle(column, row, column + 1, row + 1) for row, column in places]
