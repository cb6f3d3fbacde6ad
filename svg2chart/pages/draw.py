"""Pages to a PDF: their content, fonts, structure, layers, labels, bookmarks and properties.

Sources: ISO 32000-1; ISO 14289-1 for what a tagged file says of itself.
"""

import io
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from html import escape
from itertools import groupby

import pikepdf

from svg2chart.pages.content import Content, Piece
from svg2chart.pages.embed import embedded_font
from svg2chart.pages.letters import body_font, symbol_font, text_width
from svg2chart.pages.plan import BOX_HEIGHT_MM, BOX_WIDTH_MM, Paper
from svg2chart.pages.sheet import Address, Face, Layer, Layered, Page
from svg2chart.pages.stitched import stitch_glyphs
from svg2chart.pages.tags import Structure
from svg2chart.symbol_drawing import Symbol
from svg2chart.units import POINTS_PER_MM

LANGUAGE = "en"
CREATOR = "svg2chart"


def draw_pages(
    pages: Sequence[Page],
    *,
    title: str,
    author: str = "",
    paper: Paper,
    symbols: Mapping[str, Symbol],
    on_page: Callable[[int, int], None] | None = None,
) -> bytes:
    """Return the pages as a PDF.

    Args:
        pages: in order; the common box of A4 and Letter is centred on the sheet.
        title: for the document's properties.
        author: the same.
        paper: the sheet.
        symbols: what each letter of the symbol face looks like.
        on_page: called before each page is drawn with its number, from 1, and how many there are.
    """
    pdf = pikepdf.new()
    contents: list[Content] = []
    drawn: dict[Layered, Piece] = {}
    for number, page in enumerate(pages):
        if on_page is not None:
            on_page(number + 1, len(pages))
        content = Content(
            left_mm=(paper.width_mm - BOX_WIDTH_MM) / 2,
            top_mm=paper.height_mm - (paper.height_mm - BOX_HEIGHT_MM) / 2,
            measure=_measure,
            drawn=drawn,
        )
        content.draw((*page.marks, *page.foot))
        contents.append(content)
    resources = _resources(pdf, contents, symbols)
    sheets = [_sheet(pdf, stream, paper, resources) for stream in _streams(pdf, contents)]
    structure = Structure(pdf)
    for sheet, page, content in zip(sheets, pages, contents, strict=True):
        structure.add_page(sheet, (*page.marks, *page.foot), content)
    _lead_links(pages, sheets, contents)
    _label(pdf, pages)
    _mark_books(pdf, pages)
    _describe(pdf, structure.finish(), title=title, author=author)
    written = io.BytesIO()
    pdf.save(
        written,
        deterministic_id=True,
        min_version="1.7",
        object_stream_mode=pikepdf.ObjectStreamMode.generate,
    )
    return written.getvalue()


def _measure(text: str, size: float, face: Face) -> float:
    is_drawn = face in (Face.SYMBOLS, Face.STITCHES)
    return len(text) * size if is_drawn else text_width(text, size, face=face)


def _resources(
    pdf: pikepdf.Pdf, contents: Sequence[Content], symbols: Mapping[str, Symbol]
) -> pikepdf.Object:
    """Return fonts and layers, shared by all pages."""
    fonts = pikepdf.Dictionary()
    for face in Face:
        shown = set().union(*(content.characters[face] for content in contents))
        if shown:
            drawn = {Face.SYMBOLS: symbols, Face.STITCHES: stitch_glyphs()}.get(face)
            if drawn is None:
                file = body_font(face)
            else:
                own = {letter: drawn[letter] for letter in sorted(shown - {" "})}
                file = symbol_font(own, name=f"svg2chart-{face.value}")
            # stitches of a picture are no text
            read_as = " " if face is Face.STITCHES else ""
            fonts[f"/{face.name}"] = embedded_font(pdf, file, shown, read_as=read_as)
    layers = pikepdf.Dictionary()
    for layer in Layer:
        if any(layer in content.layers for content in contents):
            layers[f"/{layer.name}"] = pdf.make_indirect(
                pikepdf.Dictionary(Type=pikepdf.Name.OCG, Name=pikepdf.String(layer.value))
            )
    if len(layers):
        order = pikepdf.Array(list(layers.values()))
        pdf.Root.OCProperties = pikepdf.Dictionary(
            OCGs=order,
            D=pikepdf.Dictionary(Name=pikepdf.String("Layers of the chart"), Order=order, ON=order),
        )
    return pdf.make_indirect(pikepdf.Dictionary(Font=fonts, Properties=layers))


def _streams(pdf: pikepdf.Pdf, contents: Sequence[Content]) -> list[pikepdf.Object]:
    """Return the content of each page; a piece that stands on several is one stream that they share."""
    pages = [content.parts() for content in contents]
    uses = Counter(part for parts in pages for part in parts if isinstance(part, Piece))
    shared = {piece: pdf.make_stream(piece.operators) for piece, times in uses.items() if times > 1}
    made: list[pikepdf.Object] = []
    for parts in pages:
        streams = pikepdf.Array()
        for is_shared, run in groupby(parts, key=lambda part: isinstance(part, Piece) and part in shared):
            if is_shared:
                streams.extend([shared[part] for part in run if isinstance(part, Piece)])
            else:
                own = [part.operators if isinstance(part, Piece) else part for part in run]
                streams.append(pdf.make_stream(b"\n".join(own)))
        made.append(streams)
    return made


def _sheet(
    pdf: pikepdf.Pdf, contents: pikepdf.Object, paper: Paper, resources: pikepdf.Object
) -> pikepdf.Object:
    """Add a page and return its dictionary."""
    size = [round(side * POINTS_PER_MM, 3) for side in (paper.width_mm, paper.height_mm)]
    page = pikepdf.Dictionary(
        Type=pikepdf.Name.Page,
        MediaBox=pikepdf.Array([0, 0, *size]),
        Resources=resources,
        Contents=contents,
    )
    pdf.pages.append(pikepdf.Page(pdf.make_indirect(page)))
    return pdf.pages[-1].obj


def _lead_links(pages: Sequence[Page], sheets: Sequence[pikepdf.Object], contents: Sequence[Content]) -> None:
    """Give each link the page or the address that it leads to."""
    by_label = {label: sheet for page, sheet in zip(pages, sheets, strict=True) for label, _ in page.named}
    for sheet, content in zip(sheets, contents, strict=True):
        for number, (link, _) in enumerate(content.links):
            if isinstance(link.target, Address):
                uri = pikepdf.String(link.target.uri)
                sheet.Annots[number].A = pikepdf.Dictionary(S=pikepdf.Name.URI, URI=uri)
            else:
                sheet.Annots[number].Dest = pikepdf.Array([by_label[link.target], pikepdf.Name.Fit])


def _label(pdf: pikepdf.Pdf, pages: Sequence[Page]) -> None:
    numbers = pikepdf.Array()
    for number, page in enumerate(pages):
        numbers.append(number)
        numbers.append(pikepdf.Dictionary(P=pikepdf.String(page.label)))
    pdf.Root.PageLabels = pikepdf.Dictionary(Nums=numbers)


def _mark_books(pdf: pikepdf.Pdf, pages: Sequence[Page]) -> None:
    """Add a bookmark for each chapter, and under it one for each of its pages where there are several."""
    with pdf.open_outline() as outline:
        for number, page in enumerate(pages):
            if number == 0 or page.chapter != pages[number - 1].chapter:
                chapter = pikepdf.OutlineItem(page.chapter, number)
                outline.root.append(chapter)
            if sum(other.chapter == page.chapter for other in pages) > 1:
                chapter.children.append(pikepdf.OutlineItem(page.label, number))
                chapter.is_closed = True
            outline.root.extend(pikepdf.OutlineItem(name, number) for _, name in page.below)


def _describe(pdf: pikepdf.Pdf, tree: pikepdf.Object, *, title: str, author: str) -> None:
    """Set the document's properties, as text and as XMP. Source: ISO 16684-1."""
    pdf.Root.StructTreeRoot = tree
    pdf.Root.MarkInfo = pikepdf.Dictionary(Marked=True)
    pdf.Root.Lang = pikepdf.String(LANGUAGE)
    pdf.Root.ViewerPreferences = pikepdf.Dictionary(DisplayDocTitle=True, PrintScaling=pikepdf.Name("/None"))
    pdf.Root.PageMode = pikepdf.Name.UseOutlines
    pdf.docinfo["/Title"] = pikepdf.String(title)
    pdf.docinfo["/Creator"] = pikepdf.String(CREATOR)
    if author:
        pdf.docinfo["/Author"] = pikepdf.String(author)
    metadata = pdf.make_stream(_xmp(title, author).encode())
    metadata.Type, metadata.Subtype = pikepdf.Name.Metadata, pikepdf.Name.XML
    pdf.Root.Metadata = metadata


def _xmp(title: str, author: str) -> str:
    creator = f"<dc:creator><rdf:Seq><rdf:li>{escape(author)}</rdf:li></rdf:Seq></dc:creator>"
    return f"""<?xpacket begin="\N{ZERO WIDTH NO-BREAK SPACE}" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"
 xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{escape(title)}</rdf:li></rdf:Alt></dc:title>
{creator if author else ""}<dc:language><rdf:Bag><rdf:li>{LANGUAGE}</rdf:li></rdf:Bag></dc:language>
<xmp:CreatorTool>{CREATOR}</xmp:CreatorTool><pdfuaid:part>1</pdfuaid:part>
</rdf:Description></rdf:RDF></x:xmpmeta>
<?xpacket end="w"?>"""
