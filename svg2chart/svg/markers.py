"""Markers: which ones stand at which points of a path, and how they are turned."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import atan2, degrees
from xml.etree.ElementTree import Element

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box
from svg2chart.svg.lengths import Measures, length, number_and_unit
from svg2chart.svg.paint import target
from svg2chart.svg.pathdata import PathData
from svg2chart.svg.scene import Place, Source, is_usable, measures_at
from svg2chart.svg.transforms import DEGREES
from svg2chart.svg.viewport import alignment, fitted, has_area, view_box

Array = NDArray[np.float64]
Way = tuple[float, float]  # the directions, in degrees, at the start and the end of a segment

_SIDES = {"left": 0.0, "top": 0.0, "center": 0.5, "right": 1.0, "bottom": 1.0}
_PROPERTIES = ("marker-start", "marker-mid", "marker-end")
MARKER_SIZE = "3"  # SVG 2, 13.7.1, initial value of markerWidth and markerHeight


@dataclass(frozen=True, slots=True)
class Vertex:
    """A point of a path and the directions, in degrees, in which it is reached and left, None for none.

    `is_seam` where a closed contour comes back to its first point, which has been a vertex already.
    """

    point: tuple[float, float]
    reached: float | None
    left: float | None
    is_seam: bool = False

    @property
    def turn(self) -> float:
        """The direction half-way between the two (SVG 2, 13.7.4)."""
        if self.reached is None or self.left is None:
            return (self.reached if self.left is None else self.left) or 0.0
        return self.reached + ((self.left - self.reached + 180) % 360 - 180) / 2


@dataclass(frozen=True, slots=True)
class Marker:
    """One marker: the element, the place of its content, and the frame that cuts it, None for none.

    The frame's coordinates are those of `frame_to_user`.
    """

    element: Element
    place: Place
    frame: Box | None
    frame_to_user: Affine


def markers(source: Source, place: Place, data: PathData) -> tuple[list[Marker], list[str]]:
    """Return the markers along a path in its own coordinates, and what was wrong with them."""
    style = place.style
    if style.inherited.keys().isdisjoint(_PROPERTIES) or data.path.is_empty:
        return [], []
    problems: list[str] = []
    elements: list[Element | None] = []
    for text in (style.get(name, "none") for name in _PROPERTIES):
        link = target(text)
        found = source.document.by_id.get(link[1:]) if link.startswith("#") else None
        if text != "none" and (found is None or found.tag != "marker"):
            problems.append(f'its marker "{link or text}" is not there')
            found = None
        elements.append(None if found in place.uses else found)
    points = list(vertices(data))
    made: list[Marker] = []
    is_whole = True
    for k, vertex in enumerate(points):
        is_mid = 0 < k < len(points) - 1 and not vertex.is_seam
        kinds = [0] * (k == 0) + [1] * is_mid + [2] * (k == len(points) - 1)
        for kind in kinds:
            element = elements[kind]
            marker = None if element is None else _marker(source, element, place, vertex, is_first=kind == 0)
            is_drawn = marker is not None and is_usable(marker.place.to_user)
            made += [marker] if marker is not None and is_drawn else []
            is_whole &= is_drawn or element is None
    if not is_whole:
        problems.append("its markers have no size in which they could be drawn")
    return made, problems


def vertices(data: PathData) -> Iterator[Vertex]:
    """Yield the points that a path was drawn through, in its order."""
    position, is_vertex = 0, data.is_vertex
    for segments, is_closed in data.path.contours():
        ends = is_vertex[position : position + len(segments)]
        position += len(segments)
        ways = [_directions(segment) for segment in segments]
        known = [way for way in ways if way is not None]
        first, last = (known[0][0], known[-1][1]) if known else (None, None)
        reached, left = _carried(ways), _carried(ways[::-1])[::-1]
        yield Vertex(_point(segments[0, 0]), last if is_closed else None, first)
        for k in np.flatnonzero(ends):
            before = reached[k]
            after = left[k + 1] if k + 1 < len(left) else None
            onward = first if after is None and is_closed else after and after[0]
            is_seam = bool(is_closed and after is None)
            yield Vertex(_point(segments[k, 3]), before and before[1], onward, is_seam)


def _carried(ways: list[Way | None]) -> list[Way | None]:
    """Return the directions with those of a segment of no length taken from the one before it."""
    carried: list[Way | None] = []
    for way in ways:
        carried.append(way if way is not None or not carried else carried[-1])
    return carried


def _point(point: Array) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _directions(segment: Array) -> Way | None:
    """Return the directions at the start and the end of a segment, None where it has no length."""
    steps = [segment[j] - segment[i] for i, j in ((0, 1), (0, 2), (0, 3))]
    back = [segment[3] - segment[i] for i in (2, 1, 0)]
    ways = [next((s for s in some if s[0] != 0 or s[1] != 0), None) for some in (steps, back)]
    if ways[0] is None or ways[1] is None:
        return None
    return degrees(atan2(ways[0][1], ways[0][0])), degrees(atan2(ways[1][1], ways[1][0]))


def _marker(
    source: Source, element: Element, place: Place, vertex: Vertex, *, is_first: bool
) -> Marker | None:
    measures = measures_at(source, place)
    wide = length(element.get("markerWidth", MARKER_SIZE), measures, whole=measures.wide)
    high = length(element.get("markerHeight", MARKER_SIZE), measures, whole=measures.high)
    box = view_box(element)
    if not wide or not high or wide < 0 or high < 0 or (box is not None and not has_area(box)):
        return None
    scale = 1.0
    if element.get("markerUnits") != "userSpaceOnUse":
        scale = length(place.style.get("stroke-width", "1"), measures, whole=measures.diagonal) or 0.0
    if scale <= 0:
        return None
    frame = Box(0.0, 0.0, wide, high)
    inside = Affine()
    if box is not None:
        inside = fitted(box, frame, alignment(element.get("preserveAspectRatio", "")))
    shown = frame if box is None else box
    ref_x = _reference(element.get("refX", "0"), measures, (shown.left, shown.width), measures.wide)
    ref_y = _reference(element.get("refY", "0"), measures, (shown.top, shown.height), measures.high)
    anchored = Affine.translation(-(inside.a * ref_x + inside.e), -(inside.d * ref_y + inside.f))
    turn = Affine.rotation(_turn(element.get("orient", "0"), vertex, is_first=is_first))
    outer = place.to_user @ Affine.translation(*vertex.point) @ turn @ Affine.scaling(scale) @ anchored
    style = source.styles.of(element)
    content = replace(
        place,
        to_user=outer @ inside,
        style=style,
        wide=shown.width,
        high=shown.height,
        uses=(*place.uses, element),
        depth=place.depth + 1,
    )
    is_cut = style.get("overflow", "hidden") not in ("visible", "auto")
    return Marker(element, content, frame if is_cut else None, outer)


def _reference(text: str, measures: Measures, side: tuple[float, float], full: float) -> float:
    """Return a refX or refY; words refer to the side that is shown, percentages to the viewport."""
    start, whole = side
    if text in _SIDES:
        return start + _SIDES[text] * whole
    return length(text, measures, whole=full) or 0.0


def _turn(orient: str, vertex: Vertex, *, is_first: bool) -> float:
    """Return the turn of a marker in degrees."""
    if orient == "auto":
        return vertex.turn
    if orient == "auto-start-reverse":
        return vertex.turn + (180 if is_first else 0)
    parts = number_and_unit(orient) or (0.0, "")
    return parts[0] * DEGREES.get(parts[1], 0.0)
