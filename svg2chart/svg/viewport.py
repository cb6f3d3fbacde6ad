"""View boxes: what is fitted into which rectangle, and how large the page is."""

from dataclasses import dataclass
from math import inf
from xml.etree.ElementTree import Element

from svg2chart.errors import ArtworkError
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box
from svg2chart.remarks import Remark, Severity
from svg2chart.svg.document import INKSCAPE
from svg2chart.svg.lengths import Measures, length, number, number_and_unit, split_list
from svg2chart.units import MM_PER_PX

_ALONG = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}
# Two scales this near to each other are one: sizes are often written with seven digits.
SAME_SCALE = 1e-6
DEFAULT_WIDE, DEFAULT_HIGH = 300.0, 150.0  # px; CSS 2.2, 10.3.2, the size of a picture that has none
_FIRST_AT_96 = (0, 92)  # Inkscape's release notes: before 0.92 a px was 1/90 inch


@dataclass(frozen=True, slots=True, kw_only=True)
class Alignment:
    """A preserveAspectRatio: where spare room goes, as shares to the left and above.

    is_stretched: fill the rectangle, each axis by its own scale. is_slice: cover it rather than fit into it.
    """

    x: float = 0.5
    y: float = 0.5
    is_stretched: bool = False
    is_slice: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """The outermost viewport.

    viewport: what it shows, in root user units. to_user: from the coordinates
    inside the root element to root user units, the identity but where the
    view box is stretched. unit_mm: millimetres in one root user unit. has_size: False where
    the file gives neither size nor view box (the viewport is then a stand-in).
    """

    viewport: Box
    to_user: Affine
    unit_mm: float
    has_size: bool = True
    remarks: tuple[Remark, ...] = ()


def view_box(element: Element) -> Box | None:
    """Return the viewBox of an element, None where it has none that can be read; it may be without area."""
    values = [number(item) for item in split_list(element.get("viewBox", ""))]
    found = [value for value in values if value is not None]
    if len(values) != 4 or len(found) != 4 or found[2] < 0 or found[3] < 0:
        return None
    left, top, width, height = found
    return Box(left, top, left + width, top + height)


def has_area(box: Box) -> bool:
    """Whether anything can be shown in a view box (SVG 2, 8.6: one without width or height shows nothing)."""
    return 0 < box.width < inf and 0 < box.height < inf


def alignment(text: str) -> Alignment:
    """Return a preserveAspectRatio; what cannot be read is the initial value, xMidYMid meet."""
    words = [word for word in text.split() if word != "defer"]
    if words and words[0] == "none":
        return Alignment(is_stretched=True)
    word = words[0] if words else ""
    is_known = len(word) == 8 and word[0] == "x" and word[4] == "Y"
    if not is_known or word[1:4] not in _ALONG or word[5:] not in _ALONG:
        return Alignment()
    return Alignment(x=_ALONG[word[1:4]], y=_ALONG[word[5:]], is_slice=words[1:2] == ["slice"])


def fitted(box: Box, into: Box, how: Alignment) -> Affine:
    """Return the map that lays a view box into a rectangle. Source: SVG 2, 8.2."""
    sx, sy = into.width / box.width, into.height / box.height
    if not how.is_stretched and abs(sx - sy) > SAME_SCALE * max(sx, sy):
        sx = sy = max(sx, sy) if how.is_slice else min(sx, sy)
    shift_x = into.left - box.left * sx + how.x * (into.width - box.width * sx)
    shift_y = into.top - box.top * sy + how.y * (into.height - box.height * sy)
    return Affine(sx, 0.0, 0.0, sy, shift_x, shift_y)


def page(root: Element) -> Page:
    """Return the page of a root element.

    Raises:
        ArtworkError: the page or its view box has no area.
    """
    box = view_box(root)
    if box is not None and not has_area(box):
        raise ArtworkError(
            "the viewBox has no area",
            element=root.get("id") or root.tag,
            way_out="Give it a width and a height above 0",
        )
    wide, high = (_page_length(root, name, box) for name in ("width", "height"))
    if (wide is not None and wide <= 0) or (high is not None and high <= 0):
        raise ArtworkError("the drawing has no area", way_out="Give it a width and a height above 0")
    remarks = (*_size_remarks(root), *_view_box_remarks(root, box))
    if box is None:
        shown = Box(0.0, 0.0, wide or DEFAULT_WIDE, high or DEFAULT_HIGH)
        has_size = wide is not None and high is not None
        return Page(viewport=shown, to_user=Affine(), unit_mm=MM_PER_PX, has_size=has_size, remarks=remarks)
    if wide is None:
        wide = box.width if high is None else high * box.width / box.height
    if high is None:
        high = wide * box.height / box.width
    how = alignment(root.get("preserveAspectRatio", ""))
    sx, sy = wide / box.width, high / box.height
    if not (0 < sx < inf and 0 < sy < inf):
        raise ArtworkError("the viewBox does not fit the size", way_out="Give both of about one size")
    if abs(sx - sy) <= SAME_SCALE * max(sx, sy):
        return Page(viewport=box, to_user=Affine(), unit_mm=_mm(sx), remarks=remarks)
    if how.is_stretched:
        tall = sy / sx
        shown = Box(box.left, box.top * tall, box.right, box.bottom * tall)
        to_user = Affine.scaling(1.0, tall)
        return Page(viewport=shown, to_user=to_user, unit_mm=_mm(sx), remarks=remarks)
    scale = max(sx, sy) if how.is_slice else min(sx, sy)
    left = box.left - how.x * (wide / scale - box.width)
    top = box.top - how.y * (high / scale - box.height)
    shown = Box(left, top, left + wide / scale, top + high / scale)
    return Page(viewport=shown, to_user=Affine(), unit_mm=_mm(scale), remarks=remarks)


def _mm(px: float) -> float:
    """Return a length in mm, without the noise that sizes in mm pick up on their way through px."""
    return float(f"{px * MM_PER_PX:.12g}")


def _page_length(root: Element, name: str, box: Box | None) -> float | None:
    """Return the root's width or height in px; None where it has none of its own."""
    text = root.get(name, "").strip()
    parts = number_and_unit(text)
    if parts is None:
        return None
    whole = 0.0 if box is None else box.width if name == "width" else box.height
    if parts[1] == "%" and (box is None or parts[0] == 100):
        return None
    screen = Measures(wide=whole, high=whole, root_wide=whole, root_high=whole)
    return length(text, screen, whole=whole)


def _view_box_remarks(root: Element, box: Box | None) -> tuple[Remark, ...]:
    """Return a remark where the root has a viewBox that cannot be read."""
    text = root.get("viewBox", "").strip()
    if box is not None or not text:
        return ()
    count = len(split_list(text))
    why = "cannot be read" if count == 4 else f"has {count} numbers and not 4"
    what = f'the viewBox "{text}" {why}, it is not followed'
    return (Remark(element="", what=what, severity=Severity.GUESSED),)


def _size_remarks(root: Element) -> tuple[Remark, ...]:
    version = root.get(f"{INKSCAPE}version", "").split(" ")[0].split(".")
    numbers = tuple(int(part) for part in version[:2] if part.isdigit())
    if len(numbers) < 2 or numbers >= _FIRST_AT_96:
        return ()
    what = "saved by an editor that counted 90 px in an inch; its sizes are read at 96 px in an inch"
    return (Remark(element="", what=what, severity=Severity.GUESSED),)
