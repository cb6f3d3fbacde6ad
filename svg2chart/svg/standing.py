"""Where elements stand in the drawing: the maps from their coordinates to the page."""

from collections.abc import Iterable
from dataclasses import replace
from xml.etree.ElementTree import Element

from svg2chart.errors import ArtworkError
from svg2chart.geometry.affine import Affine
from svg2chart.svg.document import Document, read_document
from svg2chart.svg.nested import inner_viewport
from svg2chart.svg.opening import opened_document
from svg2chart.svg.placing import placed
from svg2chart.svg.read import root_place, source_of
from svg2chart.svg.scene import Place, Source, is_usable, measures_at
from svg2chart.svg.stitched import around, page_of_layer, shown_layer


def inside_root(data: bytes) -> Affine:
    """Return the map from the coordinates inside the outermost element to root user units."""
    document = read_document(data)
    return _inside(_source(document), document.root)


def inside_parents(data: bytes, elements: Iterable[str]) -> dict[str, Affine]:
    """Return the map from the coordinates that each element is put into to root user units.

    Args:
        data: the drawing.
        elements: ids of elements, each but the outermost one.

    Raises:
        ArtworkError: what an element lies in shows nothing.
    """
    document = read_document(data)
    source = _source(document)
    found = {name: document.by_id[name] for name in elements if name in document.by_id}
    return {name: _inside(source, document.parents[element]) for name, element in found.items()}


def inside_charted(data: bytes) -> Affine:
    """Return the map from the root user units of the artwork that is read to those of the whole drawing.

    They differ where a layer of stitches to edit stands for the drawing (`svg.stitched`).

    Raises:
        ArtworkError: what the layer lies in shows nothing.
    """
    document = read_document(data)
    layer = shown_layer(document)
    if layer is None or page_of_layer(layer.attrib) is None:
        return Affine()
    return _inside(_source(document), layer)


def place_inside(source: Source, element: Element) -> Place | None:
    """Return the place of what an element holds, None where nothing of it can be shown."""
    place = root_place(source)
    for each in reversed(around(source.document, element)):
        place = placed(source, each, place).place
        if each.tag == "svg" and each is not source.document.root:
            inner = inner_viewport(each, place.style, place, measures_at(source, place))
            if inner is None:
                return None
            to_user = place.to_user @ inner.placed
            place = replace(place, to_user=to_user, wide=inner.wide, high=inner.high)
    return place if is_usable(place.to_user) else None


def _source(document: Document) -> Source:
    return source_of(opened_document(document))


def _inside(source: Source, element: Element) -> Affine:
    place = place_inside(source, element)
    if place is None:
        raise ArtworkError(
            "nothing in it can be shown, it or what it lies in is no wider or higher than a line",
            element=source.document.names[element],
            way_out="Give it a width and a height",
        )
    return place.to_user
