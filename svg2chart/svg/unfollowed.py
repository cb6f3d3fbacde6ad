"""What an element asks for that its drawing does not follow."""

from collections.abc import Iterator
from xml.etree.ElementTree import Element

from svg2chart.svg.masks import mask_holder
from svg2chart.svg.placing import ANIMATED, FILL_BOX
from svg2chart.svg.scene import Place, Source

_OFF = ("none", "normal", "auto")
_BOX = "view-box"  # CSS Transforms 1, 6, initial value of transform-box
_BOXES = (_BOX, *FILL_BOX)
_PROPERTIES = (
    ("translate", "its property translate is not followed, only transform is"),
    ("rotate", "its property rotate is not followed, only transform is"),
    ("scale", "its property scale is not followed, only transform is"),
    ("mask-image", "its mask-image is not followed, it is drawn whole"),
    ("backdrop-filter", "its backdrop-filter is not followed, what is below is drawn plainly"),
    ("filter", "its filter is not followed, it is drawn plainly"),
)


def not_followed(source: Source, element: Element, place: Place) -> Iterator[str]:
    """Yield what an element at its own place asks for that is not followed, for remarks."""
    own = place.style.own
    if own:
        if own.get("mask", "none") != "none" and mask_holder(source, place) is None:
            yield f'its mask "{own["mask"]}" is no mask in this file or holds itself, it is drawn whole'
        if own.get("transform", "none") != "none" and own.get("transform-box", _BOX) not in _BOXES:
            yield f'its transform-box "{own["transform-box"]}" is not followed, it turns about the page'
        for name, what in _PROPERTIES:
            if own.get(name, "none") not in _OFF:
                yield what
    if element in source.document.animated:
        yield ANIMATED
