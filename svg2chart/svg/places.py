"""Where the elements of a drawing stand, those included of which nothing is painted by us."""

from collections.abc import Iterable
from xml.etree.ElementTree import Element

import numpy as np

from svg2chart.artwork import Artwork
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box, box_around
from svg2chart.svg.document import Document, read_document
from svg2chart.svg.lengths import number
from svg2chart.svg.stitched import stitched_document
from svg2chart.svg.transforms import transform
from svg2chart.svg.viewport import page

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
    document = stitched_document(read_document(data))
    wanted = set(elements)
    found = {}
    for element in document.root.iter():
        name = document.names.get(element, "")
        if name not in wanted or element is document.root:
            continue
        boxes = [painted.get(document.names.get(inner, "")) for inner in element.iter()]
        box = box_around([*boxes, *(_rectangle(document, inner) for inner in _with_rectangles(element))])
        if box is not None:
            found[name] = box
    return found


def _with_rectangles(element: Element) -> Iterable[Element]:
    return (inner for inner in element.iter() if inner.tag in _WITH_RECTANGLES)


def _rectangle(document: Document, element: Element) -> Box | None:
    """Return the box of the rectangle that an element names, None where it names none."""
    x, y = (number(element.get(name, "0")) for name in ("x", "y"))
    wide, high = (number(element.get(name, "")) for name in ("width", "height"))
    if x is None or y is None or wide is None or high is None:
        return None
    place, around = Affine(), element
    while around is not document.root:
        place = (transform(around.get("transform", "")) or Affine()) @ place
        around = document.parents[around]
    corners = np.array([(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)])
    points = (page(document.root).to_user @ place).apply(corners)
    (left, top), (right, bottom) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return Box(left, top, right, bottom)
