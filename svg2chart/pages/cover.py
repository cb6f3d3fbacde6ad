"""The cover: the picture as it will be stitched, and what one needs to know before buying cloth."""

from svg2chart.chart import Chart, Fabric, StitchKind, stitch_counts
from svg2chart.colour import Colour, lab
from svg2chart.fabrics import Size, cloth_to_cut, fabrics_to_show, finished_size, stitches_per_inch
from svg2chart.pages.areas import placed, thread_areas
from svg2chart.pages.frame import BY, LEFT_MM, TEXT_MM, TOP_MM, WIDE_MM, foot, titled
from svg2chart.pages.letters import fitted, wrapped
from svg2chart.pages.plan import BOX_WIDTH_MM
from svg2chart.pages.sheet import BLACK, Align, Box, Dot, Face, Lines, Mark, Page, Point, Text, Trail
from svg2chart.threads import colour_name
from svg2chart.units import MM_PER_INCH

PICTURE_WIDE_MM = 170.0
PICTURE_HIGH_MM = 120.0
_TITLE_MM = 9.0
_ROW_MM = 5.4
_NAMES_MM, _VALUES_MM, _CUT_MM = 20.0, 62.0, 122.0
_BAR_MM = 50.0
_BACK_WIDTH = 0.3  # a line of backstitch is about a third of a square wide; common practice, no source
_KNOT_RADIUS = 0.3


def cover_page(chart: Chart) -> Page:
    """Return the cover."""
    first, *rest = wrapped(titled(chart.title), _TITLE_MM, width=WIDE_MM, face=Face.BOLD)
    lines = [first, *([fitted(" ".join(rest), _TITLE_MM, width=WIDE_MM, face=Face.BOLD)] if rest else [])]
    marks: list[Mark] = [
        Text(
            x=BOX_WIDTH_MM / 2,
            y=TOP_MM + _TITLE_MM * (i + 1) * 1.1,
            text=line,
            size=_TITLE_MM,
            face=Face.BOLD,
            align=Align.MIDDLE,
        )
        for i, line in enumerate(lines)
    ]
    top = TOP_MM + _TITLE_MM * 1.1 * len(lines) + 8
    picture, bottom = picture_marks(chart, top=top, wide_mm=PICTURE_WIDE_MM, high_mm=PICTURE_HIGH_MM)
    marks += picture
    marks += _facts(chart, bottom + 10)
    return Page(label="Cover", chapter="Cover", marks=(*marks, *_print_line(), *foot(chart.title, "Cover")))


def picture_marks(chart: Chart, *, top: float, wide_mm: float, high_mm: float) -> tuple[list[Mark], float]:
    """Return the picture as stitched, centred in a space, and where it ends, in mm.

    Every stitch is the area it covers in its thread's colour, on the fabric's
    colour, with a margin of cloth round it; backstitch and knots lie on top.
    """
    margin = max(chart.rows, chart.columns) * 0.03
    side = min(wide_mm / (chart.columns + 2 * margin), high_mm / (chart.rows + 2 * margin))
    wide, high = (chart.columns + 2 * margin) * side, (chart.rows + 2 * margin) * side
    left = (BOX_WIDTH_MM - wide) / 2
    zero = (left + margin * side, top + margin * side)
    cloth = Box(x=left, y=top, width=wide, height=high, fill=chart.fabric.colour, edge=BLACK, edge_width=0.1)
    areas = thread_areas(chart, rows=range(chart.rows), columns=range(chart.columns))
    stitches = [placed(p, origin=zero, square_mm=side, fill=chart.threads[t].colour) for t, p in areas]
    return [cloth, *stitches, *_overlay(chart, zero, side)], top + high


def _overlay(chart: Chart, zero: Point, side: float) -> list[Mark]:
    """Return backstitch and knots of the picture."""

    def place(hole: Point) -> Point:
        return zero[0] + hole[0] * side, zero[1] + hole[1] * side

    marks: list[Mark] = [
        Trail(
            points=(place(stitch.start), place(stitch.end)),
            width=_BACK_WIDTH * side,
            ink=chart.threads[stitch.thread].colour,
        )
        for stitch in chart.backstitch
    ]
    for knot in chart.knots:
        x, y = place(knot.at)
        colour = chart.threads[knot.thread].colour
        marks.append(Dot(x=x, y=y, radius=_KNOT_RADIUS * side, fill=colour, edge=colour, edge_width=0.0))
    return marks


def _facts(chart: Chart, top: float) -> list[Mark]:
    rows = [
        ("Size in squares", f"{chart.columns} wide{BY}{chart.rows} high"),
        ("Fabric", fabric_words(chart.fabric)),
        ("Threads", str(len(chart.threads))),
        ("Stitches", _count_words(chart)),
    ]
    marks: list[Mark] = []
    y = top
    for name, value in rows:
        marks.append(Text(x=_NAMES_MM, y=y, text=name, size=TEXT_MM, face=Face.BOLD))
        for line in wrapped(value, TEXT_MM, width=WIDE_MM - _VALUES_MM):
            marks.append(Text(x=_VALUES_MM, y=y, text=line, size=TEXT_MM))
            y += _ROW_MM
    return [*marks, *_sizes(chart, y + 4)]


def _sizes(chart: Chart, top: float) -> list[Mark]:
    """Return the table of finished sizes and of the cloth to cut."""
    rows = [("Stitches to the inch", "Finished size", "Cloth to cut, 7.6 cm (3 in) more on each side")]
    for fabric in fabrics_to_show(chart.fabric):
        finished = finished_size(chart.columns, chart.rows, fabric)
        per_inch = f"{stitches_per_inch(fabric):g}"
        rows.append((per_inch, size_words(finished), size_words(cloth_to_cut(finished))))
    return [
        Text(
            x=x,
            y=top + i * _ROW_MM,
            text=cell,
            size=TEXT_MM,
            face=Face.BODY if i else Face.BOLD,
        )
        for i, row in enumerate(rows)
        for x, cell in zip((_NAMES_MM, _VALUES_MM, _CUT_MM), row, strict=True)
    ]


def fabric_words(fabric: Fabric) -> str:
    """Return the fabric in words."""
    [coordinates] = lab([Colour.from_hex(fabric.colour)])
    colour = colour_name(coordinates)
    over = "each stitch over 2 threads" if fabric.over == 2 else "each stitch over 1 block or thread"
    return f"{fabric.count} count, {over}, {colour} ({fabric.colour})"


def _count_words(chart: Chart) -> str:
    counts = stitch_counts(chart)
    totals = {kind: sum(n for (_, k), n in counts.items() if k is kind) for kind in StitchKind}
    parts = [f"{totals[kind]} {kind.value}" for kind in StitchKind if totals[kind]]
    if chart.backstitch:
        parts.append(counted(len(chart.backstitch), "backstitch", "backstitches"))
    if chart.knots:
        parts.append(counted(len(chart.knots), "French knot", "French knots"))
    return ", ".join(parts) or "none"


def counted(number: int, one: str, many: str) -> str:
    """Return a number with its word, in the singular for one."""
    return f"{number} {one if number == 1 else many}"


def size_words(size: Size) -> str:
    r"""Return a size in centimetres and inches.

    >>> size_words(Size(254.0, 190.5)).replace("\N{MULTIPLICATION SIGN}", "by")
    '25.4 by 19.1 cm (10.00 by 7.50 in)'
    """
    wide, high = size.width_mm, size.height_mm
    return f"{wide / 10:.1f}{BY}{high / 10:.1f} cm ({wide / MM_PER_INCH:.2f}{BY}{high / MM_PER_INCH:.2f} in)"


def _print_line() -> list[Mark]:
    """Return the bar that shows whether a print has its true size."""
    y = 254.0
    left = LEFT_MM + 10
    return [
        Lines(
            segments=(
                ((left, y), (left + _BAR_MM, y)),
                ((left, y - 1.5), (left, y + 1.5)),
                ((left + _BAR_MM, y - 1.5), (left + _BAR_MM, y + 1.5)),
            ),
            width=0.3,
        ),
        Text(
            x=left + _BAR_MM + 5,
            y=y + 1.2,
            text="Print at 100 %, on A4 or Letter: then this line is 50 mm long.",
            size=TEXT_MM,
        ),
    ]
