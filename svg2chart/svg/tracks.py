"""textPath to the path that its words stand on."""

from xml.etree.ElementTree import Element

from svg2chart.artwork import Track
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.distance import backwards, distances_along
from svg2chart.geometry.path import Path
from svg2chart.svg.document import reference
from svg2chart.svg.lengths import length, number
from svg2chart.svg.pathdata import path_data
from svg2chart.svg.placing import placed
from svg2chart.svg.scene import MAX_COORDINATE, Place, Source, is_sound, measures_at
from svg2chart.svg.shapes import is_shape, shape_path


def track_of(source: Source, element: Element, place: Place) -> tuple[Track | None, list[str]]:
    """Return the track of a `textPath` element at its place, None without one, and what is not followed.

    The path is that of its `path` attribute or of the shape it points at, in that shape's own transform;
    side="right" goes along it backwards. Source: SVG 2, 11.8.
    """
    path, told = _path(source, element)
    problems = []
    if element.get("method") == "stretch":
        problems.append("letters are set along the path, not bent with it")
    if path.is_empty:
        return None, problems
    if element.get("side") == "right":
        path = backwards(path)
    whole = distances_along(path).length
    measures = measures_at(source, place)
    text = element.get("startOffset", "0")
    offset = length(text, measures, whole=whole)
    if offset is None:
        problems.append(f'its startOffset "{text}" cannot be read')
    elif told and told > 0 and not text.strip().endswith("%"):
        offset *= whole / told
    return Track(path, min(max(offset or 0.0, -MAX_COORDINATE), MAX_COORDINATE)), problems


def _path(source: Source, element: Element) -> tuple[Path, float | None]:
    """Return the path and the length that its author gives it; an empty path where there is none."""
    written = path_data(element.get("path", "")).path
    if not written.is_empty and is_sound(written, Affine()):
        return written, None
    target = source.document.by_id.get(reference(element).removeprefix("#"))
    if target is None or not is_shape(target):
        return Path.of_contours([]), None
    parent = source.document.parents.get(target, target)
    root = source.styles.measures
    here = Place(to_user=Affine(), style=source.styles.of(parent), wide=root.wide, high=root.high)
    place = placed(source, target, here).place
    path = shape_path(target, place.style, measures_at(source, place)).path
    if path.is_empty or not is_sound(path, place.to_user):
        return Path.of_contours([]), None
    return path.transformed(place.to_user), number(target.get("pathLength", ""))
