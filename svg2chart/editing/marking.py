"""What elements of a drawing are told to be on the cloth: set, and read back."""

from collections.abc import Sequence
from dataclasses import dataclass

from svg2chart.artwork import StitchAs
from svg2chart.editing.changes import changed, with_attributes
from svg2chart.errors import ArtworkError
from svg2chart.svg.spans import Span, element_spans
from svg2chart.svg.told import ATTRIBUTE

_LABEL = "{http://www.inkscape.org/namespaces/inkscape}label"


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What one element is told to be by itself, "" for nothing. `label` is its name in an editor."""

    element: str
    label: str
    stitch_as: str


def with_told(data: bytes, elements: Sequence[str], stitch_as: StitchAs | None) -> bytes:
    """Return a drawing in which elements are told what to be on the cloth.

    Args:
        data: the drawing, as `plain_bytes` gives it.
        elements: their ids.
        stitch_as: what they are to be; None takes away what they are told.

    Raises:
        ArtworkError: there is no such element.
    """
    value = None if stitch_as is None else stitch_as.value
    spans = _named(data, elements)
    return changed(data, [c for span in spans for c in with_attributes(data, span, {ATTRIBUTE: value})])


def told_by(data: bytes, elements: Sequence[str]) -> list[Told]:
    """Return what the elements of these ids are told to be; without ids, all elements that are told it.

    Raises:
        ArtworkError: there is no such element.
    """
    spans = _named(data, elements) if elements else element_spans(data)
    return [
        Told(
            element=span.attributes.get("id", ""),
            label=span.attributes.get(_LABEL, ""),
            stitch_as=span.attributes.get(ATTRIBUTE, ""),
        )
        for span in spans
        if elements or ATTRIBUTE in span.attributes
    ]


def _named(data: bytes, elements: Sequence[str]) -> list[Span]:
    """Return the elements of the ids, each once, in the order of the file."""
    wanted = set(elements)
    found: dict[str, Span] = {}
    for span in element_spans(data):
        name = span.attributes.get("id", "")
        if name in wanted:
            found.setdefault(name, span)
    missing = next((name for name in elements if name not in found), None)
    if missing is not None:
        raise ArtworkError(
            f'there is no element "{missing}"', way_out="Select objects that are in the drawing"
        )
    return list(found.values())
