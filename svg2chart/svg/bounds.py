"""Boxes around elements, for what is measured in parts of them."""

from dataclasses import replace
from xml.etree.ElementTree import Element

from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box, box_around
from svg2chart.svg.nested import inner_viewport
from svg2chart.svg.placing import chosen, placed, use_target
from svg2chart.svg.scene import MAX_DEPTH, Gathered, Place, Source, is_sound, measures_at, name_of
from svg2chart.svg.shapes import coordinate, is_shape, rounded_rectangle, shape_path

_CONTAINERS = ("g", "a", "svg", "symbol", "switch")


def element_box(source: Source, gathered: Gathered, element: Element, place: Place) -> Box | None:
    """Return the box around an element's fill in its own coordinates, None where it has none (SVG 2, 8.10).

    `place` is the element's own. Words count with the cells of their letters.

    Raises:
        ArtworkError: copies of copies make too many elements.
    """
    return _inside(source, gathered, element, replace(place, to_user=Affine()))


def _inside(source: Source, gathered: Gathered, element: Element, place: Place) -> Box | None:
    gathered.count(name_of(source, element, place))
    if place.depth > MAX_DEPTH or place.style.own.get("display") == "none":
        return None
    if is_shape(element):
        path = shape_path(element, place.style, measures_at(source, place)).path
        return path.transformed(place.to_user).box() if is_sound(path, place.to_user) else None
    if element.tag == "text":
        from svg2chart.svg.text import words_box  # loaded only where there are words

        return words_box(source, gathered, element, place)
    if element.tag == "image":
        return rectangle_box(source, element, place)
    if element.tag == "use":
        target = use_target(source, element, place)
        return None if target.element is None else _child(source, gathered, target.element, target.place)
    if element.tag not in _CONTAINERS:
        return None
    within = place
    if element.tag in ("svg", "symbol"):
        inner = inner_viewport(element, place.style, place, measures_at(source, place))
        if inner is None:
            return None
        within = replace(
            place,
            to_user=place.to_user @ inner.placed,
            wide=inner.wide,
            high=inner.high,
            asked_wide="",
            asked_high="",
        )
    children = list(element) if element.tag != "switch" else [c for c in [chosen(element)] if c is not None]
    return box_around(_child(source, gathered, child, within) for child in children if child.tag != "symbol")


def rectangle_box(source: Source, element: Element, place: Place) -> Box | None:
    """Return the box of the rectangle that an element names, None where it has no area.

    `place` is the element's own.
    """
    measures = measures_at(source, place)
    left, top, wide, high = (
        coordinate(element, place.style, name, measures=measures) or 0.0
        for name in ("x", "y", "width", "height")
    )
    if wide <= 0 or high <= 0:
        return None
    return rounded_rectangle(left, top, wide, high).transformed(place.to_user).box()


def _child(source: Source, gathered: Gathered, element: Element, parent: Place) -> Box | None:
    return _inside(source, gathered, element, placed(source, element, parent).place)
