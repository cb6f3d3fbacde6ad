"""The cover: the picture as it will be stitched, and what one needs to know before buying cloth."""

from collections.abc import Sequence

from svg2chart.chart import Chart, Fabric, StitchKind, stitch_counts
from svg2chart.colour import Colour, lab
from svg2chart.fabrics import Size, cloth_to_cut, fabrics_to_show, finished_size, stitches_per_inch
from svg2chart.guiding.difficulty import rate_difficulty
from svg2chart.guiding.names import counted
from svg2chart.pages.addresses import with_links
from svg2chart.pages.contents import Chapter, contents_block
from svg2chart.pages.edition import Edition
from svg2chart.pages.flowing import Section, flow
from svg2chart.pages.frame import (
    BOTTOM_MM,
    BY,
    LEFT_MM,
    RIGHT_MM,
    TOP_MM,
    WIDE_MM,
    Block,
    foot,
    paragraph,
    tagged,
)
from svg2chart.pages.letters import fitted, wrapped
from svg2chart.pages.plan import BOX_WIDTH_MM
from svg2chart.pages.sheet import Align, Element, Face, Lines, Mark, Page, Role, Tagged, Text
from svg2chart.pages.stitched import stitched_marks
from svg2chart.pages.style import Style
from svg2chart.threads import colour_name
from svg2chart.units import MM_PER_INCH

_PICTURE_WIDE_MM = 180.0
_PICTURE_HIGH_MM = 140.0
_PICTURE_LEAST_MM = 60.0
_BAR_MM = 50.0
_AIR_MM = 5.0


def cover_page(chart: Chart, edition: Edition, chapters: Sequence[Chapter]) -> Page:
    """Return the cover; it tells which chapters follow, but in large print, where there is no room for it."""
    style = edition.style
    marks, top = _title(chart, edition)
    facts = _facts(chart, edition)
    sizes = [] if style.is_large else _sizes(chart, edition)
    contents = [] if style.is_large else [contents_block(chapters, style)]
    bar = _print_line(style)
    below = sum(block.height for block in (*facts, *sizes, *contents, bar)) + 4 * _AIR_MM
    room = min(_PICTURE_HIGH_MM, BOTTOM_MM - top - below)
    picture, y = stitched_marks(
        chart, top=top, wide_mm=_PICTURE_WIDE_MM, high_mm=max(_PICTURE_LEAST_MM, room)
    )
    words = f"The stitched piece: {edition.title(chart)}, {_colours(chart)}."
    marks.append(tagged(Role.FIGURE, *picture, words=words))
    y += _AIR_MM
    for group in (facts, sizes, contents):
        for block in group:
            marks += block.draw(LEFT_MM, y)
            y += block.height
        y += _AIR_MM
    marks += bar.draw(LEFT_MM, BOTTOM_MM - bar.height)
    return Page(
        label="Cover",
        chapter="Cover",
        marks=(*marks, *foot(edition.footer(chart), style=style)),
    )


def _title(chart: Chart, edition: Edition) -> tuple[list[Mark], float]:
    """Return the title and the author, and where they end."""
    style, title = edition.style, edition.title(chart)
    first, *rest = wrapped(title, style.title, width=WIDE_MM, face=Face.BOLD)
    lines = [first, *([fitted(" ".join(rest), style.title, width=WIDE_MM, face=Face.BOLD)] if rest else [])]
    texts = [
        Text(
            x=BOX_WIDTH_MM / 2,
            y=TOP_MM + style.title * (i + 0.9),
            text=line,
            size=style.title,
            face=Face.BOLD,
            align=Align.MIDDLE,
        )
        for i, line in enumerate(lines)
    ]
    marks: list[Mark] = [tagged(Role.TITLE, *texts)]
    y = TOP_MM + style.title * (len(lines) + 0.2)
    if edition.info.author.strip():
        author = fitted(edition.info.author, style.subheading, width=WIDE_MM)
        text = Text(
            x=BOX_WIDTH_MM / 2,
            y=y + style.subheading,
            text=author,
            size=style.subheading,
            align=Align.MIDDLE,
        )
        marks.append(tagged(Role.PARAGRAPH, text))
        y += style.subheading * style.leading
    return marks, y + _AIR_MM


def _colours(chart: Chart) -> str:
    names = [" ".join(thread.name.split()) for thread in chart.threads]
    return f"in {', '.join(names[:12])}{' and more' if len(names) > 12 else ''}" if names else "bare cloth"


def _facts(chart: Chart, edition: Edition) -> list[Block]:
    style = edition.style
    rows = [
        ("Size", f"{chart.columns}{BY}{chart.rows} squares; {_finished(chart)}"),
        ("Fabric", fabric_words(chart.fabric)),
        ("Threads", str(len(chart.threads))),
        ("Stitches", _count_words(chart)),
        ("Difficulty", rate_difficulty(chart).word),
    ]
    if edition.info.licence.strip():
        rows.append(("Licence", edition.info.licence))
    return [block for name, value in rows for block in _fact(name, value, style)]


def _fact(name: str, value: str, style: Style) -> list[Block]:
    """Return a name with its value beside it, as one paragraph."""
    element = Element(Role.PARAGRAPH)
    indent = style.text * 6.5
    lines = wrapped(value, style.text, width=WIDE_MM - indent)

    def line_block(number: int, line: str) -> Block:
        def draw(x: float, y: float) -> tuple[Mark, ...]:
            base = y + style.text
            texts: list[Mark] = [*with_links(Text(x=x + indent, y=base, text=line, size=style.text))]
            if number == 0:
                texts.insert(0, Text(x=x, y=base, text=name, size=style.text, face=Face.BOLD))
            return (Tagged(element, tuple(texts)),)

        return Block(height=style.text * style.leading, draw=draw)

    return [line_block(number, line) for number, line in enumerate(lines)]


def _finished(chart: Chart) -> str:
    return f"{size_words(finished_size(chart.columns, chart.rows, chart.fabric))} when stitched"


def _sizes(chart: Chart, edition: Edition) -> list[Block]:
    """Return the table of finished sizes and of the cloth to cut."""
    style, margin_mm = edition.style, edition.margin_mm
    more = f"Cloth to cut, {length_words(margin_mm)} more on each side"
    rows = [("Stitches to the inch", "Finished size", more)]
    for fabric in fabrics_to_show(chart.fabric):
        finished = finished_size(chart.columns, chart.rows, fabric)
        per_inch = f"{stitches_per_inch(fabric):g}"
        rows.append((per_inch, size_words(finished), size_words(cloth_to_cut(finished, margin_mm=margin_mm))))
    table = Element(Role.TABLE)

    def row_block(number: int, row: tuple[str, str, str]) -> Block:
        def draw(x: float, y: float) -> tuple[Mark, ...]:
            face = Face.BODY if number else Face.BOLD
            role = Role.CELL if number else Role.COLUMN_HEAD
            cells = tuple(
                tagged(role, Text(x=x + aside, y=y + style.text, text=cell, size=style.text, face=face))
                for aside, cell in zip((0.0, 42.0, 105.0), row, strict=True)
            )
            return (Tagged(table, (Tagged(Element(Role.ROW), cells),)),)

        return Block(height=style.text * 1.5, draw=draw)

    return [row_block(number, row) for number, row in enumerate(rows)]


def fabric_words(fabric: Fabric) -> str:
    """Return the fabric in words."""
    [coordinates] = lab([Colour.from_hex(fabric.colour)])
    colour = colour_name(coordinates)
    over = "each stitch over 2 threads" if fabric.over == 2 else "each stitch over 1 block or thread"
    return f"{fabric.count} count, {over}, {colour} ({fabric.colour})"


def _count_words(chart: Chart) -> str:
    counts = stitch_counts(chart)
    totals = {kind: sum(n for (_, k), n in counts.items() if k is kind) for kind in StitchKind}
    parts = [f"{totals[kind]:,} {kind.value}" for kind in StitchKind if totals[kind]]
    if chart.backstitch:
        parts.append(counted(len(chart.backstitch), "backstitch", "backstitches"))
    if chart.knots:
        parts.append(counted(len(chart.knots), "French knot", "French knots"))
    return ", ".join(parts) or "none"


def size_words(size: Size) -> str:
    r"""Return a size in centimetres and inches.

    >>> size_words(Size(254.0, 190.5)).replace("\N{MULTIPLICATION SIGN}", "by")
    '25.4 by 19.1 cm (10.00 by 7.50 in)'
    """
    wide, high = size.width_mm, size.height_mm
    return f"{wide / 10:.1f}{BY}{high / 10:.1f} cm ({wide / MM_PER_INCH:.2f}{BY}{high / MM_PER_INCH:.2f} in)"


def length_words(length_mm: float) -> str:
    """Return a length in centimetres and inches.

    >>> length_words(76.2)
    '7.6 cm (3 in)'
    """
    return f"{length_mm / 10:.1f} cm ({round(length_mm / MM_PER_INCH, 2):g} in)"


def _print_line(style: Style) -> Block:
    """Return the bar that shows whether a print has its true size."""
    words = "Print at 100 %, on A4 or Letter: then this line is 50 mm long."
    room = RIGHT_MM - LEFT_MM - _BAR_MM - 5
    lines = wrapped(words, style.text, width=room)
    height = style.text * style.leading * len(lines)

    def draw(x: float, y: float) -> tuple[Mark, ...]:
        middle = y + height / 2
        bar = ((x, middle), (x + _BAR_MM, middle))
        ends = [((at, middle - 1.5), (at, middle + 1.5)) for at in (x, x + _BAR_MM)]
        texts = [
            Text(x=x + _BAR_MM + 5, y=y + style.text * (style.leading * i + 1), text=line, size=style.text)
            for i, line in enumerate(lines)
        ]
        return Lines(segments=(bar, *ends), width=0.3), tagged(Role.PARAGRAPH, *texts)

    return Block(height=height, draw=draw)


def own_pages(chart: Chart, edition: Edition) -> tuple[Page, ...]:
    """Return the designer's words, if there are some."""
    info, style = edition.info, edition.style
    named = [("Version", info.version), ("Contact", info.contact), ("Licence", info.licence)]
    blocks = [block for line in info.paragraphs for block in paragraph(line, style)]
    if not blocks:
        return ()
    for name, value in named:
        if value.strip():
            blocks += paragraph(f"{name}: {value}", style)
    return flow(
        (Section(blocks=tuple(blocks)),),
        chapter="From the designer",
        prefix="Words",
        footer=edition.footer(chart),
        style=style,
    )
