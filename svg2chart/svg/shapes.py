"""Shape elements to paths in their own coordinates."""

from collections.abc import Callable, Iterator
from xml.etree.ElementTree import Element

import numpy as np

from svg2chart.errors import ArtworkError
from svg2chart.geometry.path import Path, line
from svg2chart.svg.contours import Contours
from svg2chart.svg.curves import PIECES_IN_QUARTER, Point, ellipse, quarter_ellipse
from svg2chart.svg.lengths import Measures, is_length, length
from svg2chart.svg.pathdata import PathData, css_path, path_data, points_path
from svg2chart.svg.style import Style

MAX_PATH_CHARACTERS = 8_000_000

NO_PATH = Path.of_contours([])
_OVER_WIDTH = ("x", "cx", "width", "rx", "x1", "x2")
_GEOMETRY = {
    "rect": ("x", "y", "width", "height", "rx", "ry"),
    "circle": ("cx", "cy", "r"),
    "ellipse": ("cx", "cy", "rx", "ry"),
    "line": ("x1", "y1", "x2", "y2"),
    "use": ("x", "y", "width", "height"),
    "svg": ("x", "y", "width", "height"),
}
_OVER_HEIGHT = ("y", "cy", "height", "ry", "y1", "y2")


def shape_path(element: Element, style: Style, measures: Measures) -> PathData:
    """Return the path of a shape element and what is wrong with it, "" for nothing.

    Source of the order of points: SVG 2, chapter 10.
    """
    return _SHAPES[element.tag](element, style, measures)


def is_shape(element: Element) -> bool:
    """Whether the element is a basic shape or a path."""
    return element.tag in _SHAPES


def coordinate(
    element: Element, style: Style, name: str, *, measures: Measures, default: float | None = 0.0
) -> float | None:
    """Return a geometry property in user units; the default where it is missing, auto or unreadable."""
    text = style.own.get(name) or element.get(name)
    if text is None:
        return default
    whole = measures.diagonal
    if name in _OVER_WIDTH:
        whole = measures.wide
    elif name in _OVER_HEIGHT:
        whole = measures.high
    value = length(text, measures, whole=whole)
    return default if value is None else value


def unread(element: Element, style: Style) -> Iterator[str]:
    """Yield a problem for each geometry property that is given but is no length."""
    for name in _GEOMETRY.get(element.tag, ()):
        text = style.own.get(name) or element.get(name) or "auto"
        if text != "auto" and not is_length(text):
            yield f'its {name} "{text}" cannot be read, it is taken as not given'


def _numbers(element: Element, style: Style, measures: Measures, names: str) -> list[float]:
    found = (coordinate(element, style, name, measures=measures) for name in names.split())
    return [value or 0.0 for value in found]


def _rect(element: Element, style: Style, measures: Measures) -> PathData:
    x, y, width, height = _numbers(element, style, measures, "x y width height")
    if width <= 0 or height <= 0:
        return PathData(NO_PATH, "the rectangle has no area")
    radii = [coordinate(element, style, name, measures=measures, default=None) for name in ("rx", "ry")]
    rx, ry = (None if radius is not None and radius < 0 else radius for radius in radii)
    rx, ry = (ry if rx is None else rx), (rx if ry is None else ry)
    rx, ry = min(rx or 0.0, width / 2), min(ry or 0.0, height / 2)
    path = rounded_rectangle(x, y, width, height, radii=(rx, ry))
    is_curved = (path.segments[:, 0] != path.segments[:, 1]).any(axis=1)
    return PathData(path, "", _inside_arcs(np.flatnonzero(is_curved).tolist()))


def rounded_rectangle(
    x: float, y: float, width: float, height: float, *, radii: tuple[float, float] = (0.0, 0.0)
) -> Path:
    """Return a rectangle with quarter ellipses for corners, clockwise on the screen."""
    rx, ry = radii
    right, bottom = x + width, y + height
    if rx == 0 or ry == 0:
        contours = Contours()
        contours.move([x, y, right, y, right, bottom, x, bottom], relative=False)
        contours.close()
        return contours.path()
    turns = [  # the corners clockwise from the top right, where a quarter that starts upwards is number 3
        quarter_ellipse((right - rx, y + ry), radii, quarter=3),
        quarter_ellipse((right - rx, bottom - ry), radii, quarter=0),
        quarter_ellipse((x + rx, bottom - ry), radii, quarter=1),
        quarter_ellipse((x + rx, y + ry), radii, quarter=2),
    ]
    pieces = []
    for before, after in zip([turns[3], *turns[:3]], turns, strict=True):
        if not np.array_equal(before[-1, 3], after[0, 0]):
            pieces.append(line(before[-1, 3], after[0, 0])[None])
        pieces.append(after)
    return Path.of_contours([(np.concatenate(pieces), True)])


def _inside_arcs(pieces: list[int]) -> tuple[int, ...]:
    """Return which pieces of quarter ellipses, all in their order, end inside one."""
    return tuple(piece for k, piece in enumerate(pieces, start=1) if k % PIECES_IN_QUARTER)


def _whole_ellipse(centre: Point, radii: Point) -> PathData:
    path = Path.of_contours([(ellipse(centre, radii), True)])
    return PathData(path, "", _inside_arcs(list(range(len(path.segments)))))


def _circle(element: Element, style: Style, measures: Measures) -> PathData:
    x, y, r = _numbers(element, style, measures, "cx cy r")
    if r <= 0:
        return PathData(NO_PATH, "the circle has no area")
    return _whole_ellipse((x, y), (r, r))


def _ellipse(element: Element, style: Style, measures: Measures) -> PathData:
    x, y = _numbers(element, style, measures, "cx cy")
    rx, ry = (coordinate(element, style, n, measures=measures, default=None) for n in ("rx", "ry"))
    rx, ry = (None if radius is not None and radius < 0 else radius for radius in (rx, ry))
    rx, ry = (ry if rx is None else rx), (rx if ry is None else ry)
    if not rx or not ry:
        return PathData(NO_PATH, "the ellipse has no area")
    return _whole_ellipse((x, y), (rx, ry))


def _line(element: Element, style: Style, measures: Measures) -> PathData:
    contours = Contours()
    contours.move(_numbers(element, style, measures, "x1 y1 x2 y2"), relative=False)
    return PathData(contours.path())


def _polyline(element: Element, _style: Style, _measures: Measures) -> PathData:
    return points_path(element.get("points", ""), closed=False)


def _polygon(element: Element, _style: Style, _measures: Measures) -> PathData:
    return points_path(element.get("points", ""), closed=True)


def _path(element: Element, style: Style, _measures: Measures) -> PathData:
    told = css_path(style.own.get("d", ""))
    text = element.get("d", "") if told is None else told
    if len(text) > MAX_PATH_CHARACTERS:  # each takes hundreds of bytes of memory while it is read
        raise ArtworkError(
            f"the path data has more than {MAX_PATH_CHARACTERS:,} characters",
            element=element.get("id", "path"),
            way_out="Simplify the path or split it",
        )
    return path_data(text)


_SHAPES: dict[str, Callable[[Element, Style, Measures], PathData]] = {
    "rect": _rect,
    "circle": _circle,
    "ellipse": _ellipse,
    "line": _line,
    "polyline": _polyline,
    "polygon": _polygon,
    "path": _path,
}
