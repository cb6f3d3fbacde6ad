"""The page of a drawing set up for a chart: so many squares large, with a grid of one square."""

from svg2chart.chart import Fabric
from svg2chart.editing.changes import Change, changed, put_last, taken_out, with_attributes
from svg2chart.editing.layers import NAMESPACES
from svg2chart.errors import ArtworkError
from svg2chart.geometry.affine import Affine
from svg2chart.svg.document import SODIPODI, read_document
from svg2chart.svg.read import parse_artwork
from svg2chart.svg.spans import Span, element_spans
from svg2chart.svg.viewport import page
from svg2chart.units import MM_PER_INCH

_GRID = "svg2chart-grid"
_SHOWN = "showgrid"  # Inkscape 1.2 shows no grid without it, whatever the grid says of itself


def with_page(data: bytes, *, wide: int, high: int, fabric: Fabric) -> bytes:
    """Return a drawing whose page is so many squares large, and which keeps how large a square is.

    What is drawn stays where it is, as large as it is; the page begins where it began.

    Args:
        data: the drawing, as `plain_bytes` gives it.
        wide: columns of squares.
        high: rows of squares.
        fabric: gives the size of a square.

    Raises:
        ArtworkError: the page is drawn at two scales, or the drawing says no size and nothing is drawn.
    """
    # of the drawing itself, also where stitches to edit stand for it
    shown = page(read_document(data).root)
    if shown.to_user != Affine():
        raise ArtworkError(
            "the page is stretched, wider and higher by different scales",
            way_out="Set its scale in the editor's document properties first",
        )
    square_mm = fabric.over / fabric.count * MM_PER_INCH
    square = square_mm / shown.unit_mm
    corner = shown.viewport if shown.has_size else parse_artwork(data).viewport
    spans = element_spans(data)
    values: dict[str, str | None] = {
        "width": f"{wide * square_mm:.9g}mm",
        "height": f"{high * square_mm:.9g}mm",
        "viewBox": f"{corner.left:.9g} {corner.top:.9g} {wide * square:.9g} {high * square:.9g}",
        "data-square": f"{square:.12g}",
        "data-count": str(fabric.count),
        "data-over": str(fabric.over),
    }
    return changed(data, [*with_attributes(data, spans[0], values), *_grid(data, spans, square)])


def _grid(data: bytes, spans: list[Span], square: float) -> list[Change]:
    """Return the changes that give the document a visible grid of one square, the tens heavier."""
    grid = (
        f'<inkscape:grid {NAMESPACES} id="{_GRID}" type="xygrid" units="px" originx="0" originy="0"'
        f' spacingx="{square:.12g}" spacingy="{square:.12g}" empspacing="10" visible="true" enabled="true"/>'
    )
    views = [span for span in spans if span.name == f"{SODIPODI}namedview"]
    if not views:
        shown = f'<sodipodi:namedview {NAMESPACES} {_SHOWN}="true">'
        root, view = spans[0], f"{shown}\n{grid}\n</sodipodi:namedview>"
        if root.is_empty_tag:
            return [put_last(data, root, view)]
        return [Change(root.opened, root.opened, f"\n{view}".encode())]
    old = [taken_out(data, span) for span in spans if span.attributes.get("id") == _GRID]
    return [*with_attributes(data, views[0], {_SHOWN: "true"}), *old, put_last(data, views[0], grid)]
