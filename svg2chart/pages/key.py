"""The key: every thread, its symbol, what it is used for and how much of it; how fractions are drawn."""

from collections.abc import Sequence

from svg2chart.chart import Arrangement, Chart, Corner, Stitch, StitchKind, Thread
from svg2chart.fabrics import (
    cloth_to_cut,
    fabrics_to_show,
    finished_size,
    needle,
    stitches_per_inch,
    strands,
)
from svg2chart.pages.areas import placed, stitch_area
from svg2chart.pages.cover import size_words
from svg2chart.pages.frame import (
    LEFT_MM,
    RIGHT_MM,
    SMALL_MM,
    TEXT_MM,
    WIDE_MM,
    Block,
    Section,
    flow,
    heading,
    paragraph,
    space,
)
from svg2chart.pages.letters import fitted, wrapped
from svg2chart.pages.lines import back_threads, line_style
from svg2chart.pages.sheet import BLACK, Align, Box, Face, Lines, Mark, Page, Region, Text, Trail
from svg2chart.pages.squares import fraction_marks, knot_marks, tint
from svg2chart.quantity import ALLOWANCE, SKEIN_M, SKEIN_STRANDS, ThreadUse

ROW_MM = 7.0
SYMBOL_MM = 5.0
_NAME_MM = 40.0
_LINE_MM = 12.0
# where columns of the table stand: left edges of words, right edges of numbers
_SYMBOL, _LETTER, _CODE, _NAME, _SWATCH = 10.0, 17.0, 23.0, 39.0, 80.0
_STRANDS, _FULL, _THREE, _QUARTER = 105.0, 117.0, 127.0, 137.0
_BACK, _KNOTS, _METRES, _SKEINS = 163.0, 174.0, 187.0, 200.0


def key_pages(chart: Chart, uses: Sequence[ThreadUse], *, kits: int = 1) -> tuple[Page, ...]:
    """Return the key, on as many pages as it needs.

    Args:
        chart: the chart.
        uses: what each thread is used for.
        kits: for how many pieces it tells what to buy.
    """
    rows = [_thread_row(chart, i, uses[i]) for i in range(len(chart.threads))]
    table = Section(blocks=(*rows, *_totals(uses)), repeated=(_head(has_knots=bool(chart.knots)),))
    buying = Section(blocks=tuple(_to_buy(chart, uses, kits)))
    words = Section(blocks=tuple(_explanations(chart)))
    return flow((table, buying, words), chapter="Key", prefix="Key", title=chart.title)


def _head(*, has_knots: bool) -> Block:
    words = [
        (_SYMBOL, Align.LEFT, "Symbol"),
        (_CODE, Align.LEFT, "Code"),
        (_NAME, Align.LEFT, "Name"),
        (_SWATCH, Align.LEFT, "Colour"),
        (_STRANDS, Align.RIGHT, "Strands"),
        (_FULL, Align.RIGHT, "Full"),
        (_THREE, Align.RIGHT, "3/4"),
        (_QUARTER, Align.RIGHT, "1/4"),
        (_BACK, Align.RIGHT, "Backstitch"),
        *([(_KNOTS, Align.RIGHT, "Knots")] if has_knots else []),
        (_METRES, Align.RIGHT, "Metres"),
        (_SKEINS, Align.RIGHT, "Skeins"),
    ]

    def draw(y: float) -> tuple[Mark, ...]:
        texts = [
            Text(x=x, y=y + SMALL_MM, text=word, size=SMALL_MM, face=Face.BOLD, align=align)
            for x, align, word in words
        ]
        return *texts, Lines(segments=(((LEFT_MM, y + 5), (RIGHT_MM, y + 5)),), width=0.3)

    return Block(height=6.0, draw=draw)


def _thread_row(chart: Chart, number: int, use: ThreadUse) -> Block:
    thread = chart.threads[number]
    return Block(
        height=ROW_MM,
        draw=lambda y: (
            *_names(thread, y),
            *_numbers(thread, use, y),
            *_samples(chart, number, y),
            Lines(
                segments=(((LEFT_MM, y + ROW_MM - 0.5), (RIGHT_MM, y + ROW_MM - 0.5)),),
                width=0.1,
                ink="#a0a0a0",
            ),
        ),
    )


def _names(thread: Thread, y: float) -> list[Mark]:
    base = y + 4.2
    names = wrapped(thread.name, SMALL_MM, width=_NAME_MM)
    marks: list[Mark] = [
        Text(x=_LETTER, y=base, text=thread.letter, size=TEXT_MM),
        Text(
            x=_CODE,
            y=base,
            text=fitted(thread.code, SMALL_MM, width=_NAME - _CODE - 1),
            size=SMALL_MM,
            face=Face.BOLD,
        ),
    ]
    if len(names) > 1:
        second = fitted(" ".join(names[1:]), 2.6, width=_NAME_MM)
        marks.append(Text(x=_NAME, y=base - 1.5, text=fitted(names[0], 2.6, width=_NAME_MM), size=2.6))
        return [*marks, Text(x=_NAME, y=base + 1.5, text=second, size=2.6)]
    return [*marks, *(Text(x=_NAME, y=base, text=name, size=SMALL_MM) for name in names)]


def _numbers(thread: Thread, use: ThreadUse, y: float) -> list[Mark]:
    cells = [
        (_STRANDS, _strands(thread, use)),
        (_FULL, str(use.full or "")),
        (_THREE, str(use.three_quarter or "")),
        (_QUARTER, str(use.quarter or "")),
        (_BACK, f"{use.back_squares:.1f}" if use.back_squares else ""),
        (_KNOTS, str(use.knots or "")),
        (_METRES, f"{use.metres:.1f}"),
        (_SKEINS, str(use.skeins)),
    ]
    return [Text(x=x, y=y + 4.2, text=text, size=SMALL_MM, align=Align.RIGHT) for x, text in cells if text]


def _strands(thread: Thread, use: ThreadUse) -> str:
    crosses = use.full or use.three_quarter or use.quarter or use.knots
    parts = [str(thread.cross_strands)] if crosses else []
    parts += [str(thread.back_strands)] if use.back_squares else []
    return " / ".join(parts)


def _samples(chart: Chart, number: int, y: float) -> list[Mark]:
    """Return the symbol in its square, the colour, and the line if there is backstitch."""
    thread = chart.threads[number]
    marks: list[Mark] = [
        Box(x=_SYMBOL, y=y + 0.5, width=SYMBOL_MM, height=SYMBOL_MM, fill=tint(thread.colour), edge=BLACK),
        Text(x=_SYMBOL, y=y + 0.5 + SYMBOL_MM, text=thread.letter, size=SYMBOL_MM, face=Face.SYMBOLS),
        Box(x=_SWATCH, y=y + 0.5, width=10, height=SYMBOL_MM, fill=thread.colour, edge=BLACK),
    ]
    threads = back_threads(chart)
    if number in threads:
        width, dashes = line_style(threads.index(number))
        start = _QUARTER + 2.5
        points = ((start, y + 3.1), (start + _LINE_MM, y + 3.1))
        marks.append(Trail(points=points, width=width, dashes=dashes))
    return marks


def _totals(uses: Sequence[ThreadUse]) -> list[Block]:
    knots = sum(use.knots for use in uses)
    texts = [
        (_FULL, str(sum(use.full for use in uses))),
        (_THREE, str(sum(use.three_quarter for use in uses))),
        (_QUARTER, str(sum(use.quarter for use in uses))),
        (_BACK, f"{sum(use.back_squares for use in uses):.1f}"),
        *([(_KNOTS, str(knots))] if knots else []),
        (_METRES, f"{sum(use.metres for use in uses):.1f}"),
        (_SKEINS, str(sum(use.skeins for use in uses))),
    ]

    def draw(y: float) -> tuple[Mark, ...]:
        return (
            Text(x=_NAME, y=y + 4.2, text="All threads", size=SMALL_MM, face=Face.BOLD),
            *(
                Text(x=x, y=y + 4.2, text=t, size=SMALL_MM, face=Face.BOLD, align=Align.RIGHT)
                for x, t in texts
            ),
        )

    return [Block(height=ROW_MM, draw=draw), space(1.0)]


def _to_buy(chart: Chart, uses: Sequence[ThreadUse], kits: int) -> list[Block]:
    """Return what to buy for so many pieces: cloth, needles, thread."""
    fabric = chart.fabric
    cut = cloth_to_cut(finished_size(chart.columns, chart.rows, fabric))
    pieces = f"{kits} pieces" if kits > 1 else "1 piece"
    needles = f"{kits} tapestry needles" if kits > 1 else "1 tapestry needle"
    lines = [
        f"Cloth of {fabric.count} count: {pieces} of {size_words(cut)}, 7.6 cm (3 in) more on each side.",
        f"Needle: {needles} of size {needle(fabric)}, blunt.",
    ]
    if kits > 1:
        skeins = [
            f"{thread.code} {thread.name}: {use.skeins_for(kits)}"
            for thread, use in zip(chart.threads, uses, strict=True)
        ]
        lines.append(f"Thread, in skeins for all of them together: {'; '.join(skeins)}.")
    title = f"What to buy for {kits} kits" if kits > 1 else "What to buy"
    blocks = [*heading(title), *(block for line in lines for block in paragraph(line))]
    return [*blocks, *heading("Other cloth"), *_other_cloth(chart)]


def _other_cloth(chart: Chart) -> list[Block]:
    blocks = []
    for fabric in fabrics_to_show(chart.fabric):
        finished = finished_size(chart.columns, chart.rows, fabric)
        cross, back = strands(fabric)
        per_inch = f"{stitches_per_inch(fabric):g}"
        named = f"{fabric.count} count over two" if fabric.over == 2 else f"{fabric.count} count"
        if fabric.over == 1 and fabric.has_middles:
            named += f" (or {2 * fabric.count} count over two)"
        cut = size_words(cloth_to_cut(finished))
        blocks += paragraph(
            f"{named}, {per_inch} stitches to the inch: {size_words(finished)}, cut {cut};"
            f" strands {cross} / {back}; needle {needle(fabric)}."
        )
    return blocks


def _explanations(chart: Chart) -> list[Block]:
    blocks = [
        *heading("Reading the chart"),
        *paragraph(
            "The letter beside a symbol stands for it in the text of this file, so that a search finds it."
        ),
        *paragraph("A square without a symbol is bare cloth: nothing is stitched there."),
        *paragraph(
            "Numbers count squares: 10 stands at the heavy line after ten squares, counted from the left "
            "and from the top of the whole chart. Arrowheads mark its middle column and row. "
            "Grey squares repeat a neighbouring page and are not counted again."
        ),
        *heading("Thread"),
        *paragraph(
            f"Strands: for {'crosses, fractions and knots' if chart.knots else 'crosses and fractions'}"
            " / for backstitch. "
            "Backstitch is measured in sides of a square."
        ),
        *paragraph(
            "Metres and skeins are an estimate: what lies on the front and the back of the cloth "
            "in the order of work, 3 inches for both ends of every 18 inch needleful, "
            f"and {100 * (ALLOWANCE - 1):.0f} % more. "
            f"Metres are of the whole thread of {SKEIN_STRANDS} strands; a skein is {SKEIN_M:.0f} m."
        ),
    ]
    if any(s.corner is not None for a in chart.arrangements for s in a):
        blocks += _fraction_words(chart)
    if chart.backstitch:
        blocks += paragraph(
            "Backstitch is drawn as a line from hole to hole, over the symbols, "
            "with the dashes shown in the key."
        )
    if chart.knots:
        blocks += _knot_words(chart)
    return blocks


def _fraction_words(chart: Chart) -> list[Block]:
    first, second = _example_threads(chart)
    corner = Corner.TOP_LEFT
    three = Stitch(kind=StitchKind.THREE_QUARTER, corner=corner, thread=first)
    quarter = Stitch(kind=StitchKind.QUARTER, corner=corner, thread=first)
    other = Stitch(kind=StitchKind.QUARTER, corner=corner.opposite, thread=second)
    examples: list[tuple[Arrangement, str]] = [
        ((three,), "Three-quarter stitch: the small symbol stands on its side of a diagonal line."),
        ((quarter,), "Quarter stitch: the small symbol stands in a box in its corner."),
    ]
    if second != first:
        words = (
            "Shared square: the symbol without a box is the three-quarter stitch of the upper colour; "
            "the symbol in the box is the quarter stitch of the lower colour."
        )
        examples.append(((three, other), words))
    blocks = [_example(chart, arrangement, words) for arrangement, words in examples]
    return [*heading("Fractions", keep=10 + sum(block.height for block in blocks)), *blocks]


def _example_threads(chart: Chart) -> tuple[int, int]:
    """Return two threads for the examples, those of the first shared square where there is one."""
    used = [a for a in chart.arrangements if a and a[0].corner is not None]
    shared = [a for a in used if a[0].kind is StitchKind.THREE_QUARTER and len(a) == 2]
    if shared:
        return shared[0][0].thread, shared[0][1].thread
    return used[0][0].thread, used[0][0].thread


def _example(chart: Chart, arrangement: Arrangement, words: str) -> Block:
    side = 9.0
    lines = wrapped(words, TEXT_MM, width=WIDE_MM - side - 6)

    def draw(y: float) -> tuple[Mark, ...]:
        at = (LEFT_MM, y + 1)
        tints: list[Region] = [
            placed(
                (stitch_area(stitch, arrangement),),
                origin=at,
                square_mm=side,
                fill=tint(chart.threads[stitch.thread].colour),
            )
            for stitch in arrangement
        ]
        texts = [
            Text(x=LEFT_MM + side + 5, y=y + 4.6 + i * 4.6, text=line, size=TEXT_MM)
            for i, line in enumerate(lines)
        ]
        frame = Box(x=at[0], y=at[1], width=side, height=side, edge=BLACK)
        return (*tints, frame, *fraction_marks(chart, arrangement, at=at, side=side), *texts)

    return Block(height=side + 3.0, draw=draw)


def _knot_words(chart: Chart) -> list[Block]:
    thread = chart.knots[0].thread

    def draw(y: float) -> tuple[Mark, ...]:
        words = "French knot: a dot at its hole, with the symbol of its thread inside."
        return (
            *knot_marks(
                chart, thread, at=(LEFT_MM + 4.5, y + 4), side=6.0, fill=chart.threads[thread].colour
            ),
            Text(x=LEFT_MM + 14, y=y + 5.2, text=words, size=TEXT_MM),
        )

    return [Block(height=9.0, draw=draw)]
