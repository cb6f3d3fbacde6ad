"""Bytes to what can be drawn: a document with its styles and its page."""

from dataclasses import dataclass, replace

from svg2chart.remarks import Remark
from svg2chart.svg.document import Document, read_document
from svg2chart.svg.lengths import Measures
from svg2chart.svg.sheet import read_sheet
from svg2chart.svg.stitched import stitched_document
from svg2chart.svg.style import Style, Styles
from svg2chart.svg.viewport import Page, page


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """A document, the styles of its elements, its page, and what of them could not be read."""

    document: Document
    styles: Styles
    page: Page
    remarks: tuple[Remark, ...]


def opened(data: bytes) -> Opened:
    """Return the drawing in the bytes of an SVG file, nothing of it drawn yet.

    Raises:
        ArtworkError: it is not SVG, beyond a limit, or its page has no area.
    """
    return opened_document(stitched_document(read_document(data)))


def opened_document(document: Document) -> Opened:
    """Return the drawing of a document. Raises ArtworkError where its page has no area."""
    sheet = read_sheet(document)
    shown = page(document.root)
    wide, high = shown.viewport.width, shown.viewport.height
    measures = Measures(wide=wide, high=high, root_wide=wide, root_high=high)
    styles = Styles(document, sheet, measures)
    # lengths in rem refer to the root's own font size
    root_em = styles.child(document.root, Style()).style.font_size
    return Opened(
        document=document,
        styles=replace(styles, measures=replace(measures, root_em=root_em)),
        page=shown,
        remarks=(*document.remarks, *shown.remarks, *sheet.remarks),
    )
