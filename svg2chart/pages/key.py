"""The key: every thread, its symbol, what it is used for and how much of it."""

from collections.abc import Callable, Sequence

from svg2chart.chart import Chart, Thread
from svg2chart.guiding.names import counted
from svg2chart.pages.edition import Edition
from svg2chart.pages.flowing import Section, flow
from svg2chart.pages.frame import LEFT_MM, RIGHT_MM, Block, paragraph, space, tagged
from svg2chart.pages.lines import back_threads, line_style
from svg2chart.pages.sheet import BLACK, Align, Box, Element, Face, Mark, Page, Role, Text, Trail
from svg2chart.pages.squares import tint
from svg2chart.pages.style import Style
from svg2chart.pages.tables import Column, Table
from svg2chart.quantity import ALLOWANCE, SKEIN_M, SKEIN_STRANDS, ThreadUse

_ROWS_MM = (7.0, 5.8)  # high as usual, and where that saves a page
_SYMBOL_MM = 5.0
_LINE_MM = 9.0
_SWATCH_MM = 8.0
_LEAST_M = 0.1  # as metres are told
NONE = "\N{EN DASH}"


def key_pages(chart: Chart, uses: Sequence[ThreadUse], edition: Edition) -> tuple[Page, ...]:
    """Return the key, on as many pages as it needs; `uses` is what each thread is used for."""
    style = edition.style
    notes = Section(blocks=tuple(_notes(chart, style)))

    def pages(listed: Section) -> tuple[Page, ...]:
        return flow((listed, notes), chapter="Key", prefix="Key", footer=edition.footer(chart), style=style)

    if style.is_large:
        return pages(_entries(chart, uses, style))
    return min((pages(_table(chart, uses, style, row_mm)) for row_mm in _ROWS_MM), key=len)


def _table(chart: Chart, uses: Sequence[ThreadUse], style: Style, row_mm: float) -> Section:
    """Return the key as a table, a row for each thread, so high."""
    right = Align.RIGHT
    knots = [Column(head="Knots", x=174.0, wide=11, align=right)] if chart.knots else []
    table = Table(
        (
            Column(head="Letter", x=LEFT_MM + 7, wide=9),
            Column(head="Code", x=27.0, wide=18),
            Column(head="Name", x=57.0, wide=40),
            Column(head="Strands", x=110.0, wide=12, align=right),
            Column(head="Full", x=121.0, wide=10, align=right),
            Column(head="3/4", x=130.0, wide=8, align=right),
            Column(head="1/4", x=138.0, wide=8, align=right),
            Column(head="Backstitch", x=163.0, wide=16, align=right),
            *knots,
            Column(head="Metres", x=187.0, wide=12, align=right),
            Column(head="Skeins", x=RIGHT_MM, wide=11, align=right),
        ),
        Element(Role.TABLE),
        style.small,
    )
    rows = [
        table.row(
            [thread.letter, thread.code, thread.name, _strands(thread, use), *_amounts(chart, use)],
            row_mm,
            under=_samples(chart, number, row_mm),
        )
        for number, (thread, use) in enumerate(zip(chart.threads, uses, strict=True))
    ]
    totals = table.row(
        ["All", NONE, counted(len(uses), "thread", "threads"), NONE, *_totals(chart, uses)],
        row_mm,
        is_bold=True,
    )
    return Section(blocks=(*rows, totals, space(1.0)), repeated=(table.head(),))


def _strands(thread: Thread, use: ThreadUse) -> str:
    return " / ".join(str(strands) for strands in _strands_of(thread, use) if strands) or NONE


def _strands_of(thread: Thread, use: ThreadUse) -> tuple[int, int]:
    """Return the strands for crosses and those for backstitch, 0 where there are none."""
    has_crosses = use.full or use.three_quarter or use.quarter or use.knots
    return thread.cross_strands if has_crosses else 0, thread.back_strands if use.back_squares else 0


def _amounts(chart: Chart, use: ThreadUse) -> list[str]:
    return [
        _number(use.full),
        _number(use.three_quarter),
        _number(use.quarter),
        _length(use.back_squares),
        *([_number(use.knots)] if chart.knots else []),
        _metres(use, below="<"),
        str(use.skeins),
    ]


def _metres(use: ThreadUse, *, below: str) -> str:
    """Return how much thread is used, in metres: of a stitch or two not none, but below the least."""
    return f"{below} {_LEAST_M}" if 0 < use.metres < _LEAST_M else f"{use.metres:.1f}"


def _number(count: int) -> str:
    return f"{count:,}" if count else NONE


def _length(squares: float) -> str:
    return f"{squares:,.1f}" if squares else NONE


def _totals(chart: Chart, uses: Sequence[ThreadUse]) -> list[str]:
    return [
        _number(sum(use.full for use in uses)),
        _number(sum(use.three_quarter for use in uses)),
        _number(sum(use.quarter for use in uses)),
        _length(sum(use.back_squares for use in uses)),
        *([_number(sum(use.knots for use in uses))] if chart.knots else []),
        f"{sum(use.metres for use in uses):.1f}",
        str(sum(use.skeins for use in uses)),
    ]


def _samples(chart: Chart, number: int, row_mm: float) -> Callable[[float], Sequence[Mark]]:
    """Return a drawing of the symbol in its square, the colour, and the line if there is backstitch."""
    thread = chart.threads[number]
    threads = back_threads(chart)

    def draw(y: float) -> list[Mark]:
        top = y + (row_mm - 0.5 - _SYMBOL_MM) / 2
        marks: list[Mark] = [
            Box(x=47.0, y=top, width=_SWATCH_MM, height=_SYMBOL_MM, fill=thread.colour, edge=BLACK),
            *symbol_marks(thread, LEFT_MM, top, _SYMBOL_MM),
        ]
        if number in threads:
            width, dashes = line_style(threads.index(number))
            middle = y + (row_mm - 0.5) / 2
            points = ((140.0, middle), (140.0 + _LINE_MM, middle))
            marks.append(Trail(points=points, width=width, dashes=dashes))
        return marks

    return draw


def symbol_marks(thread: Thread, x: float, y: float, size: float) -> list[Mark]:
    """Return a square with the tint and the symbol of a thread."""
    return [
        Box(x=x, y=y, width=size, height=size, fill=tint(thread.colour), edge=BLACK),
        Text(x=x, y=y + size, text=thread.letter, size=size, face=Face.SYMBOLS),
    ]


def _entries(chart: Chart, uses: Sequence[ThreadUse], style: Style) -> Section:
    """Return the key in large print: some lines for each thread, and its symbol large."""
    blocks: list[Block] = []
    for number, (thread, use) in enumerate(zip(chart.threads, uses, strict=True)):
        blocks.append(_large_head(chart, number, style))
        for line in (
            f"{thread.code} {thread.name}",
            f"{_strand_words(thread, use)}{', '.join(_use_words(use)) or 'not used'}",
            f"{_metres(use, below='less than')} m of thread: {counted(use.skeins, 'skein', 'skeins')}",
        ):
            blocks += paragraph(line, style, indent=22.0, after=0.0)
        blocks.append(space(3.0))
    return Section(blocks=tuple(blocks))


def _strand_words(thread: Thread, use: ThreadUse) -> str:
    """Return with how many strands crosses and lines are worked, as far as there are some."""
    cross, back = _strands_of(thread, use)
    if cross and back:
        return f"{counted(cross, 'strand', 'strands')}, {back} for backstitch: "
    return f"{counted(cross + back, 'strand', 'strands')}: " if cross + back else ""


def _use_words(use: ThreadUse) -> list[str]:
    """Return what a thread is used for, without what it is not used for."""
    stitches = ((use.full, "full"), (use.three_quarter, "three-quarter"), (use.quarter, "quarter"))
    told = [f"{count:,} {name}" for count, name in stitches if count]
    if use.back_squares:
        told.append(f"backstitch over {use.back_squares:,.1f} {_sides(use.back_squares)}")
    return told + ([counted(use.knots, "knot", "knots")] if use.knots else [])


def _sides(squares: float) -> str:
    return "side" if f"{squares:.1f}" == "1.0" else "sides"


def _large_head(chart: Chart, number: int, style: Style) -> Block:
    """Return the symbol, its letter, the colour and the line, at the left of the lines that follow."""
    thread = chart.threads[number]
    threads = back_threads(chart)

    def draw(x: float, y: float) -> tuple[Mark, ...]:
        marks = [
            *symbol_marks(thread, x, y, 10.0),
            tagged(Role.PARAGRAPH, Text(x=x + 12, y=y + 8, text=thread.letter, size=style.text)),
            Box(x=x, y=y + 12, width=18, height=10, fill=thread.colour, edge=BLACK),
        ]
        if number in threads:
            width, dashes = line_style(threads.index(number))
            marks.append(Trail(points=((x, y + 26), (x + 18, y + 26)), width=width, dashes=dashes))
        return tuple(marks)

    return Block(height=0.0, draw=draw, keep=style.text * style.leading * 3 + 3)


def _notes(chart: Chart, style: Style) -> list[Block]:
    crosses = "crosses, fractions and knots" if chart.knots else "crosses and fractions"
    strands = "" if style.is_large else f"Strands: for {crosses} / for backstitch. "
    words = (
        "The letter beside a symbol stands for it in the text of this file, so that a search finds it.",
        f"{strands}Backstitch is measured in sides of a square.",
        "Metres and skeins are an estimate: what lies in front of and behind the cloth in the order of work, "
        f"3 inches for the ends of every 18 inch needleful, and {100 * (ALLOWANCE - 1):.0f} % more. "
        f"Metres are of the whole thread of {SKEIN_STRANDS} strands, {SKEIN_M:.0f} m to a skein.",
    )
    return [space(2.0), *(block for line in words for block in paragraph(line, style))]
