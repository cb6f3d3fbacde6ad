"""Drawings inside the drawing: SVG that an `image` holds as a data URL."""

import base64
import binascii
from dataclasses import dataclass, replace
from urllib.parse import unquote_to_bytes
from xml.etree.ElementTree import Element

from svg2chart.errors import ArtworkError
from svg2chart.geometry.box import Box
from svg2chart.svg.clip import frame_clip
from svg2chart.svg.document import reference
from svg2chart.svg.opening import Opened, opened
from svg2chart.svg.scene import Gathered, Place, Source, measures_at, name_of
from svg2chart.svg.shapes import coordinate
from svg2chart.svg.style import Style
from svg2chart.svg.viewport import Page, alignment, fitted, view_box
from svg2chart.units import MM_PER_PX

_SVG_TYPE = "image/svg+xml"
_ELSEWHERE = (".svg", ".svgz")
_PIXELS = "pictures made of pixels are left out; trace the picture to paths"
_OTHER_FILE = "a drawing in another file is not read; paste it into this one"


@dataclass(frozen=True, slots=True)
class Embedded:
    """A drawing in an `image`, and the place in which its root stands; None and why where there is none."""

    source: Source | None
    place: Place
    problem: str = ""


def holds_drawing(element: Element) -> bool:
    """Whether an `image` holds SVG, rather than pixels or what lies in another file."""
    return reference(element).startswith(f"data:{_SVG_TYPE}")


def embedded_drawing(source: Source, gathered: Gathered, element: Element, place: Place) -> Embedded:
    """Return the drawing that an `image` at its own place holds.

    It is laid into the image's box as its view box, or else its size, has it, and cut there; nothing of
    the outer drawing's style or ids reaches it (SVG 2, 5.2 secure static mode, and 12.3).
    """
    link = reference(element)
    if not holds_drawing(element):
        is_drawing = link.split("#")[0].lower().endswith(_ELSEWHERE) and not link.startswith("data:")
        return Embedded(None, place, (_OTHER_FILE if is_drawing else _PIXELS) + _box_told(element))
    try:
        drawing = _opened_once(source, element, link)
    except ArtworkError as error:
        return Embedded(None, place, f"the drawing in it cannot be read: {error.what}")
    shown = view_box(drawing.document.root) or drawing.page.viewport
    into = _box(source, element, place, drawing.page)
    if into is None:
        return Embedded(None, place, "its width or height is 0, so that it shows nothing")
    name = name_of(source, element, place)
    clip = frame_clip(gathered, into, place.to_user, place.clip)
    laid = fitted(shown, into, alignment(element.get("preserveAspectRatio", "")))
    inside = replace(
        place,
        to_user=place.to_user @ laid,
        style=Style(),
        wide=shown.width,
        high=shown.height,
        clip=clip,
        name=name,
        asked_wide="",
        asked_high="",
    )
    for remark in drawing.remarks:
        gathered.remark(name, remark.what, remark.severity, layer=place.layer)
    inner = replace(source, document=drawing.document, styles=drawing.styles, page=drawing.page, images={})
    return Embedded(inner, inside)


def _opened_once(source: Source, element: Element, link: str) -> Opened:
    """Return what an image holds, read only once however many copies are drawn. Raises ArtworkError."""
    if element not in source.images:
        source.images[element] = opened(_bytes(link))
    return source.images[element]


def _bytes(link: str) -> bytes:
    """Return what a data URL holds. Source: RFC 2397. Raises ArtworkError."""
    head, _, body = link.partition(",")
    data = unquote_to_bytes(body)
    if not head.lower().replace(" ", "").endswith(";base64"):
        return data
    try:
        return base64.b64decode(b"".join(data.split()))
    except binascii.Error as error:
        raise ArtworkError(f"its data is not base64 ({error})") from error


def _box(source: Source, element: Element, place: Place, page: Page) -> Box | None:
    """Return where an image stands; a side that is not given follows from the other or from the drawing."""
    measures = measures_at(source, place)
    told = {
        name: coordinate(element, place.style, name, measures=measures, default=None)
        for name in ("x", "y", "width", "height")
    }
    wide, high = told["width"], told["height"]
    px = round(page.unit_mm / MM_PER_PX, 9)  # in one unit of the drawing; mm have 12 digits
    own_wide, own_high = page.viewport.width * px, page.viewport.height * px
    if wide is None:
        wide = own_wide if high is None else high * own_wide / own_high
    if high is None:
        high = wide * own_high / own_wide
    left, top = told["x"] or 0.0, told["y"] or 0.0
    return Box(left, top, left + wide, top + high) if wide > 0 and high > 0 else None


def _box_told(element: Element) -> str:
    """Return where a picture that is not drawn would lie, as written."""
    sides = [
        f"{side} {element.get(side)}" for side in ("x", "y", "width", "height") if side in element.attrib
    ]
    return f" ({', '.join(sides)})" if sides else ""
