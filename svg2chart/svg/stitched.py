"""A layer of stitches to edit, which stands for the whole drawing that it lies on.

The layer is a drawing of a chart (`chartdrawing`) put into another drawing. Whatever is done to
the layer as a whole, what lies on it is read as if it were a file of its own: its page is the chart, one
user unit a square.
"""

from collections.abc import Mapping
from dataclasses import replace
from xml.etree.ElementTree import Element

from svg2chart.remarks import Remark, Severity
from svg2chart.svg.document import OURS, STITCHES, Document
from svg2chart.svg.sheet import style_attribute
from svg2chart.units import MM_PER_INCH

_ONLY_DEFINED = frozenset(["defs", "symbol", "clipPath", "mask", "marker", "pattern"])
"""What these hold is drawn elsewhere, or not at all."""


def stitched_document(document: Document) -> Document:
    """Return the drawing that a layer of stitches to edit holds; the document itself where none is shown."""
    layer = shown_layer(document)
    if layer is None:
        return document
    name = document.names[layer]
    page = page_of_layer(layer.attrib)
    if page is None:
        what = "these stitches to edit do not say how many squares there are, all is charted as it is drawn"
        return _remarked(document, Remark(element=name, what=what, severity=Severity.GUESSED))
    root = Element("svg", page)
    root.extend([*document.root.findall("title"), *document.root.iter("style"), *layer])
    parents = {**document.parents, **{child: parent for parent in root.iter() for child in parent}}
    what = "the stitches to edit are charted, and nothing that lies outside of their layer"
    remark = Remark(element=name, what=what, severity=Severity.LEFT_OUT)
    whole = replace(document, root=root, parents=parents, names={**document.names, root: name})
    return _remarked(whole, remark)


def shown_layer(document: Document) -> Element | None:
    """Return the first layer of stitches to edit that is not hidden, by itself or with what it lies in."""
    layers = (group for group in document.root.iter("g") if group.get(OURS) == STITCHES)
    return next((layer for layer in layers if not any(map(_hides, around(document, layer)))), None)


def around(document: Document, element: Element) -> list[Element]:
    """Return an element and all that it lies in, the outermost last."""
    whole = [element]
    while whole[-1] is not document.root:
        whole.append(document.parents[whole[-1]])
    return whole


def _hides(element: Element) -> bool:
    """Whether an element hides itself and what it holds."""
    declared = style_attribute(element.get("style", "")).get("display")
    display = element.get("display") if declared is None else declared[0]
    return element.tag in _ONLY_DEFINED or display == "none"


def page_of_layer(layer: Mapping[str, str]) -> dict[str, str] | None:
    """Return the attributes of the outermost element that stands for a layer of stitches to edit.

    None where the layer does not say its squares.
    """
    try:
        wide, high = int(layer.get("data-wide", "")), int(layer.get("data-high", ""))
        count, over = int(layer.get("data-count", "")), int(layer.get("data-over", "1"))
    except ValueError:
        return None
    if min(wide, high, count, over) < 1:
        return None
    square_mm = over / count * MM_PER_INCH
    kept = {name: value for name, value in layer.items() if name.startswith("data-")}
    return {
        **kept,
        "data-square": "1",
        "viewBox": f"0 0 {wide} {high}",
        "width": f"{wide * square_mm:.9g}mm",
        "height": f"{high * square_mm:.9g}mm",
    }


def _remarked(document: Document, remark: Remark) -> Document:
    return replace(document, remarks=(*document.remarks, remark))
