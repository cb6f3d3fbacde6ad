"""What you need: cloth, needle, thread, and what lies beside them; the same for other cloth."""

from collections.abc import Sequence

from svg2chart.chart import Chart, Thread, is_pierced
from svg2chart.fabrics import (
    cloth_to_cut,
    fabrics_to_show,
    finished_size,
    needle,
    stitches_per_inch,
    strands,
)
from svg2chart.guiding.names import counted
from svg2chart.pages.cover import fabric_words, length_words, size_words
from svg2chart.pages.edition import Edition
from svg2chart.pages.flowing import Section, flow
from svg2chart.pages.frame import Block, heading, paragraph
from svg2chart.pages.sheet import Page
from svg2chart.pages.style import Style
from svg2chart.quantity import ThreadUse


def need_pages(chart: Chart, uses: Sequence[ThreadUse], edition: Edition) -> tuple[Page, ...]:
    """Return what to buy for the kits of the edition, and what changes on other cloth."""
    style, kits = edition.style, edition.kits
    blocks: list[Block] = []
    title = f"For {kits} kits" if kits > 1 else "For one piece"
    blocks += heading(title, style)
    for line in (*_cloth(chart, edition), *_tools(chart, kits)):
        blocks += paragraph(line, style)
    blocks += heading("Thread", style)
    columns = 1 if style.is_large else 2
    threads = Section(blocks=tuple(_threads(chart, uses, kits, style, columns)), columns=columns)
    other = [*heading("On other cloth", style), *_other_cloth(chart, edition)]
    return flow(
        (Section(blocks=tuple(blocks)), threads, Section(blocks=tuple(other))),
        chapter="What you need",
        prefix="Need",
        footer=edition.footer(chart),
        style=style,
    )


def _cloth(chart: Chart, edition: Edition) -> list[str]:
    kits, margin_mm = edition.kits, edition.margin_mm
    cut = cloth_to_cut(finished_size(chart.columns, chart.rows, chart.fabric), margin_mm=margin_mm)
    pieces = f"{kits} pieces" if kits > 1 else "1 piece"
    return [
        f"Cloth: {pieces} of {size_words(cut)}, {fabric_words(chart.fabric)}. "
        f"That is {length_words(margin_mm)} more than the picture on each side."
    ]


def _tools(chart: Chart, kits: int) -> list[str]:
    needles = f"{kits} tapestry needles" if kits > 1 else "1 tapestry needle"
    lines = [f"Needle: {needles} of size {needle(chart.fabric)}, blunt."]
    if is_pierced(chart):
        lines.append("To pierce the middles of squares: a sharp needle as fine as that, and a pad.")
    return [*lines, "A hoop or frame if you like one, small scissors, good light."]


def _threads(chart: Chart, uses: Sequence[ThreadUse], kits: int, style: Style, columns: int) -> list[Block]:
    return [
        block
        for thread, use in zip(chart.threads, uses, strict=True)
        for block in paragraph(
            f"{_named(thread)}: {counted(use.skeins_for(kits), 'skein', 'skeins')}",
            style,
            after=0.6,
            columns=columns,
        )
    ]


def _named(thread: Thread) -> str:
    """Return name, code and letter of a thread: a code before a name would read as a number of them."""
    name, code = (" ".join(words.split()) for words in (thread.name, thread.code))
    named = f"{name}, code {code}" if name and code else name or f"code {code}"
    return f"{named} ({thread.letter})"


def _other_cloth(chart: Chart, edition: Edition) -> list[Block]:
    blocks = []
    for fabric in fabrics_to_show(chart.fabric)[1:]:
        finished = finished_size(chart.columns, chart.rows, fabric)
        cut = cloth_to_cut(finished, margin_mm=edition.margin_mm)
        cross, back = strands(fabric)
        named = f"{fabric.count} count"
        if fabric.over == 1 and fabric.has_middles:
            named += f" (or {2 * fabric.count} count over two)"
        blocks += paragraph(
            f"{named}, {stitches_per_inch(fabric):g} stitches to the inch: {size_words(finished)}, "
            f"cut {size_words(cut)}; strands {cross} for crosses, {back} for backstitch; "
            f"needle {needle(fabric)}.",
            edition.style,
        )
    return blocks
