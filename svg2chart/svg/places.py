"""Where the elements of a drawing stand, those included of which nothing is painted by us."""

from collections.abc import Iterable
from xml.etree.ElementTree import Element

from svg2chart.artwork import Artwork
from svg2chart.geometry.box import Box, box_around
from svg2chart.svg.bounds import rectangle_box
from svg2chart.svg.opening import opened
from svg2chart.svg.placing import placed
from svg2chart.svg.read import source_of
from svg2chart.svg.scene import Source
from svg2chart.svg.standing import place_inside

_WITH_RECTANGLES = ("image", "foreignObject")  # left out whole; where they stand is written in them


def places_of(data: bytes, artwork: Artwork, elements: Iterable[str]) -> dict[str, Box]:
    """Return the box of each element in root user units; of what is not seen there is none.

    Args:
        data: the drawing, as `plain_bytes` gives it.
        artwork: the drawing as it was read.
        elements: what remarks call them; others, and the outermost one, are passed over.

    The box of a group is that of all it holds. It is that of the painted shapes without their
    strokes' width; of pictures made of pixels it is the rectangle that they name.
    """
    painted: dict[str, Box | None] = {}
    for mark in artwork.painted():
        painted[mark.element] = box_around([painted.get(mark.element), mark.path.box()])
    source = source_of(opened(data))
    document = source.document
    wanted = set(elements)
    found = {}
    for element in document.root.iter():
        name = document.names.get(element, "")
        if name not in wanted or element is document.root:
            continue
        boxes = [painted.get(document.names.get(inner, "")) for inner in element.iter()]
        box = box_around([*boxes, *(_rectangle(source, inner) for inner in _with_rectangles(element))])
        if box is not None:
            found[name] = box
    return found


def _with_rectangles(element: Element) -> Iterable[Element]:
    return (inner for inner in element.iter() if inner.tag in _WITH_RECTANGLES)


def _rectangle(source: Source, element: Element) -> Box | None:
    """Return the box of the rectangle that an element names, in root user units; None where it names none."""
    around = place_inside(source, source.document.parents[element])
    return None if around is None else rectangle_box(source, element, placed(source, element, around).place)
