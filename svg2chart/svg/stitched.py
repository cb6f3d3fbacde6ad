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


def stitched_document(document: Document) -> Document:
    """Return the drawing that a layer of stitches to edit holds; the document itself where none is shown."""
    layer = next((e for e in document.root.iter("g") if is_shown_layer(e.attrib)), None)
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


def is_shown_layer(attributes: Mapping[str, str]) -> bool:
    """Whether a group is a layer of stitches to edit, and is not hidden."""
    display = style_attribute(attributes.get("style", "")).get("display")
    is_shown = attributes.get("display") != "none" and (display is None or display[0] != "none")
    return is_shown and attributes.get(OURS) == STITCHES


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
