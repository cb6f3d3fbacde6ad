"""Layers of ours in a drawing: put on top of all, replaced when they are there, and taken out again."""

from collections.abc import Sequence

from svg2chart.editing.changes import Change, changed, put_last, taken_out
from svg2chart.geometry.affine import Affine
from svg2chart.svg.document import OURS
from svg2chart.svg.spans import element_spans
from svg2chart.svg.standing import inside_charted, inside_root
from svg2chart.xmltext import attribute_text

NAMESPACES = (
    'xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
    ' xmlns:sodipodi="http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd"'
)
PAINTED_BY_ITSELF = 'stroke="none" stroke-dasharray="none"'
"""What a drawing says for all that it holds, strokes around it above all, is not meant for what is ours."""


def with_layer(
    data: bytes, kind: str, content: Sequence[str], *, label: str, place: Affine, told: str = ""
) -> bytes:
    """Return a drawing with a layer of ours on top, in place of the one of its kind that it may have.

    Args:
        data: the drawing, as `plain_bytes` gives it.
        kind: OVERLAY or STITCHES.
        content: what the layer holds, lines of XML.
        label: its name in the editor.
        place: from the coordinates of the content to those inside the outermost element.
        told: further attributes, as they are written.
    """
    data = without_layer(data, kind)
    start = (
        f'<g {NAMESPACES} id="svg2chart-{kind}" {OURS}="{kind}" inkscape:groupmode="layer"'
        f' inkscape:label="{attribute_text(label)}" {PAINTED_BY_ITSELF} transform="{matrix(place)}"{told}>'
    )
    root = element_spans(data)[0]
    return changed(data, [put_last(data, root, "\n".join([start, *content, "</g>"]))])


def without_layer(data: bytes, kind: str) -> bytes:
    """Return a drawing without the layers of ours of a kind; `data` as `plain_bytes` gives it."""
    changes: list[Change] = []
    for span in element_spans(data):
        is_inside = bool(changes) and span.start < changes[-1].end
        if span.depth and span.attributes.get(OURS) == kind and not is_inside:
            changes.append(taken_out(data, span))
    return changed(data, changes)


def place_of_squares(data: bytes, squares_to_user: Affine) -> Affine:
    """Return the map from squares of a chart to the coordinates inside the outermost element.

    Args:
        data: the drawing that was charted, as `plain_bytes` gives it.
        squares_to_user: from squares to the root user units of the artwork that was read.

    Where stitches to edit were charted, their layer holds the squares, wherever it lies.

    Raises:
        ArtworkError: the layer lies where nothing can be shown.
    """
    return inside_root(data).inverse() @ inside_charted(data) @ squares_to_user


def matrix(place: Affine) -> str:
    """Return a map as a transform attribute has it."""
    values = (place.a, place.b, place.c, place.d, place.e, place.f)
    return f"matrix({' '.join(f'{value + 0.0:.12g}' for value in values)})"  # + 0.0: no "-0"
