"""An SVG file to `Artwork`."""

import hashlib
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias
from xml.etree.ElementTree import Element

from svg2chart.artwork import Artwork, Stroke
from svg2chart.errors import ArtworkError
from svg2chart.geometry.box import Box, box_around
from svg2chart.remarks import Severity
from svg2chart.svg.bounds import element_box
from svg2chart.svg.document import INKSCAPE, MAX_BYTES, Document
from svg2chart.svg.key import read_key
from svg2chart.svg.opening import Opened, opened
from svg2chart.svg.scene import Gathered, Place, Source, pen_reach
from svg2chart.svg.structure import draw_children, draw_root
from svg2chart.svg.style import Style
from svg2chart.svg.tally import Tally
from svg2chart.svg.viewport import view_box

if TYPE_CHECKING:
    from svg2chart.lettering.fonts import Fonts

FontsOrFinder: TypeAlias = "Fonts | Callable[[], Fonts] | None"


def read_artwork(path: str | Path, *, fonts: "FontsOrFinder" = None, bands: int = 0) -> Artwork:
    """Return the drawing in an SVG file (`.svg`, or `.svgz` packed with gzip).

    Args:
        path: the file.
        fonts: for its words, or what finds them when the first words are met; without them the ones
            that svg2chart brings.
        bands: into how many flat bands gradients are divided; 0 for one mean colour each.

    Raises:
        ArtworkError: the file cannot be opened or no drawing can be made of it; it names the file.
    """
    data = drawing_bytes(path)
    try:
        return parse_artwork(data, fonts=fonts, bands=bands)
    except ArtworkError as error:
        raise error.in_file(str(path)) from error


def drawing_bytes(path: str | Path) -> bytes:
    """Return the bytes of an SVG file, no more than one over what a drawing may have.

    Raises:
        ArtworkError: the file cannot be opened; it names the file.
    """
    try:
        with Path(path).open("rb") as stream:
            return stream.read(MAX_BYTES + 1)
    except OSError as error:
        raise ArtworkError(
            f"the file cannot be read ({error.strerror})", way_out="Check its name and rights", file=str(path)
        ) from error


def parse_artwork(data: bytes, *, fonts: "FontsOrFinder" = None, bands: int = 0) -> Artwork:
    """Return the drawing in the bytes of an SVG file.

    Args:
        data: the file's bytes, XML or XML packed with gzip.
        fonts: for its words, or what finds them when the first words are met; without them the ones
            that svg2chart brings.
        bands: into how many flat bands gradients are divided; 0 for one mean colour each.

    Raises:
        ArtworkError: no drawing can be made of it.
    """
    drawing = opened(data)
    document, shown = drawing.document, drawing.page
    source = source_of(drawing, fonts=fonts, bands=bands)
    gathered = Gathered(viewport=shown.viewport if shown.has_size else None, tally=source.tally)
    key, unread = read_key(document.root)
    for remark in (*drawing.remarks, *unread):
        gathered.remarks.setdefault(remark)
    _remark_on_layers(document, gathered)
    draw_root(source, gathered, root_place(source))
    return Artwork(
        viewport=shown.viewport if shown.has_size else _guessed_viewport(gathered),
        unit_mm=shown.unit_mm,
        title=_title(document.root),
        marks=tuple(gathered.marks),
        groups=tuple(gathered.groups),
        clips=tuple(gathered.clips),
        remarks=tuple(gathered.remarks),
        font_files=tuple(source.tally.font_files),
        sha256=hashlib.sha256(data).hexdigest(),
        key=key,
    )


def source_of(drawing: Opened, *, fonts: "FontsOrFinder" = None, bands: int = 0) -> Source:
    """Return what the elements of a drawing are drawn from."""
    return Source(
        document=drawing.document,
        styles=drawing.styles,
        page=drawing.page,
        find_fonts=_finder(fonts),
        tally=Tally(),
        bands=bands,
        draw_children=draw_children,
        box_of=_box_of,
    )


def _finder(fonts: FontsOrFinder) -> "Callable[[], Fonts]":
    """Return what finds the fonts, once."""
    if fonts is None:
        return _own_fonts
    return cache(fonts) if callable(fonts) else lambda: fonts


@cache
def _own_fonts() -> "Fonts":
    """Return the fonts of the package; loading them, and all that sets words, takes time."""
    from svg2chart.lettering.fonts import read_fonts

    return read_fonts([])


def _box_of(source: Source, element: Element, place: Place) -> Box | None:
    """Return the box around an element, without the remarks that drawing it will make."""
    return element_box(source, Gathered(viewport=None, tally=source.tally), element, place)


def root_place(source: Source) -> Place:
    """Return the place that the root element has its own in; percentages refer to its view box."""
    box = view_box(source.document.root) or source.page.viewport
    return Place(to_user=source.page.to_user, style=Style(), wide=box.width, high=box.height)


def _title(root: Element) -> str:
    title = root.find("title")
    return "" if title is None else " ".join("".join(title.itertext()).split())


def _guessed_viewport(gathered: Gathered) -> Box:
    """Return the page of a drawing that does not say how large it is.

    Our own choice, as the renderer of the outside tests has it: from the origin, or from what lies before
    it, to the ends of the shapes, lines counted without a width; with it where that leaves no area.

    Raises:
        ArtworkError: nothing was drawn.
    """
    marks, groups = tuple(gathered.marks), tuple(gathered.groups)
    art = Artwork(viewport=Box(0, 0, 0, 0), unit_mm=1.0, marks=marks, groups=groups)
    boxes = [(mark, box) for mark in art.painted() if (box := mark.path.box()) is not None]
    widened = [box.grown(pen_reach(mark)) if isinstance(mark, Stroke) else box for mark, box in boxes]
    for held in ([box for _, box in boxes], widened):
        around = box_around(held)
        if around is not None and around.width > 0 and around.height > 0:
            what = "the drawing does not say how large it is, a page from the origin to its ends is taken"
            gathered.remark("", what, Severity.GUESSED)
            return Box(min(around.left, 0.0), min(around.top, 0.0), around.right, around.bottom)
    raise ArtworkError(
        "the drawing has neither a size nor anything to be seen", way_out="Give it a width and a height"
    )


def _remark_on_layers(document: Document, gathered: Gathered) -> None:
    """Remark on layers that cannot be told apart by their labels, and on more than one page."""
    seen: set[str] = set()
    for element in document.root.iter("g"):
        label = element.get(f"{INKSCAPE}label", "")
        if element.get(f"{INKSCAPE}groupmode") != "layer" or not label:
            continue
        if label in seen:
            what = f'another layer is labelled "{label}" too, their ids tell them apart'
            gathered.remark(document.names[element], what, Severity.GUESSED, layer=label)
        seen.add(label)
    pages = sum(1 for _ in document.root.iter(f"{INKSCAPE}page"))
    if pages > 1:
        what = f"the drawing has {pages} pages, only what lies in its view box is drawn"
        gathered.remark("", what, Severity.LEFT_OUT)
