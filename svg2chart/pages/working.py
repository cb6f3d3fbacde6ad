"""How to work the stitches of this chart, in the order of sewing: drawings with numbered needle positions.

Odd numbers are where the needle comes up, even ones where it goes down. The order of legs is that of the
work guide (`guiding.legs`).
"""

from collections.abc import Sequence

from svg2chart.chart import Chart, Corner, Stitch, StitchKind, is_pierced, occurring
from svg2chart.guiding.legs import HALVES, Hole, work_square
from svg2chart.pages.areas import is_shared
from svg2chart.pages.edition import Edition
from svg2chart.pages.flowing import Section, flow
from svg2chart.pages.frame import Block, heading, kept_together, paragraph
from svg2chart.pages.panels import Panel, panel_rows
from svg2chart.pages.sheet import Page

_HERE = (0, 0)


def working_pages(chart: Chart, edition: Edition) -> tuple[Page, ...]:
    """Return drawings of exactly the stitches that the chart uses; no page where nothing is stitched."""
    style = edition.style
    groups = [(name, words, panels) for name, words, panels in _groups(chart) if panels]
    if not groups:
        return ()
    opening = paragraph(
        "Odd numbers: the needle comes up through the cloth. Even numbers: it goes down. Dots are holes.",
        style,
    )
    columns = 1 if style.is_large else 2
    blocks: list[Block] = []
    for name, words, panels in groups:
        first, *others = panel_rows(panels, style, columns)
        told = [line for text in words for line in paragraph(text, style, columns=columns)]
        blocks += kept_together([*heading(name, style, columns=columns), *told, first]) + others
    return flow(
        (Section(blocks=tuple(opening)), Section(blocks=tuple(blocks), columns=columns)),
        chapter="How to work the stitches",
        prefix="Stitches",
        footer=edition.footer(chart),
        style=style,
    )


def _groups(chart: Chart) -> list[tuple[str, list[str], list[Panel]]]:
    """Return the stitches by kind: a name, what to know, and the drawings."""
    used = {(s.kind, s.corner) for a in occurring(chart) if not is_shared(a) for s in a}
    shared = [a for a in occurring(chart) if is_shared(a)]
    used |= {(a[0].kind, a[0].corner) for a in shared}
    threes = [c for c in Corner if (StitchKind.THREE_QUARTER, c) in used]
    quarters = [c for c in Corner if (StitchKind.QUARTER, c) in used]
    return [
        ("Full stitch", _full_words(), _full() if (StitchKind.FULL, None) in used else []),
        ("Three-quarter stitch", _three_words(chart), [_three(corner) for corner in threes]),
        ("Quarter stitch", _quarter_words(), [_quarter(corner) for corner in quarters]),
        ("Shared square", _shared_words(chart), [_shared(chart, shared)] if shared else []),
        ("Backstitch", _back_words(), [_back()] if chart.backstitch else []),
        ("French knot", _knot_words(), [_knot()] if chart.knots else []),
    ]


def _full_words() -> list[str]:
    return ["All upper legs lie the same way, over the whole piece."]


def _three_words(chart: Chart) -> list[str]:
    if is_pierced(chart):
        return [
            "First the quarter, down into the middle of the square: pierce it there. Then the half across."
        ]
    return ["First the quarter, down into the middle of the square. Then the half across."]


def _quarter_words() -> list[str]:
    return ["From its corner down into the middle of the square."]


def _shared_words(chart: Chart) -> list[str]:
    return [
        "Two colours in one square: the three-quarter stitch in the colour of the upper layer, dark here, "
        "and the quarter in the one under it, light. Which thread comes first is told by the work guide."
    ]


def _back_words() -> list[str]:
    return ["One stitch from hole to hole, backwards; the next begins one stitch ahead. It is worked last."]


def _knot_words() -> list[str]:
    return [
        "Up at the hole (1). Hold the thread tight, wind it twice round the needle, and go down close beside "
        "(2); hold the end until the knot lies flat."
    ]


def _legs(stitch: Stitch, square: tuple[int, int] = _HERE) -> tuple[tuple[Hole, Hole], ...]:
    work = work_square(square, (stitch,))
    legs = [choice.legs[0] for choice in (*work.first, *work.last)]
    return tuple((leg.up, leg.down) for leg in legs)


def _full() -> list[Panel]:
    full = Stitch(kind=StitchKind.FULL, thread=0)
    one = _legs(full)
    three = [_legs(full, (0, column)) for column in range(3)]
    row = (*(legs[0] for legs in three), *(legs[1] for legs in reversed(three)))
    return [
        Panel("One stitch: lower leg, upper leg.", one),
        Panel("A row: lower legs out, upper legs back.", row, wide=3, slots=2),
    ]


def _three(corner: Corner) -> Panel:
    stitch = Stitch(kind=StitchKind.THREE_QUARTER, corner=corner, thread=0)
    return Panel(f"Quarter {_at(corner)}.", _legs(stitch))


def _quarter(corner: Corner) -> Panel:
    stitch = Stitch(kind=StitchKind.QUARTER, corner=corner, thread=0)
    return Panel(f"{_at(corner)[0].upper()}{_at(corner)[1:]}.", _legs(stitch))


def _at(corner: Corner) -> str:
    return f"at the {corner.value.replace('-', ' ')}"


def _shared(chart: Chart, shared: Sequence[tuple[Stitch, ...]]) -> Panel:
    """Return the first shared square of the chart, with its place and colours."""
    for row, line in enumerate(chart.squares.tolist()):
        for column, index in enumerate(line):
            arrangement = chart.arrangements[index]
            if arrangement in shared:
                upper, lower = (_named(chart, stitch.thread) for stitch in arrangement)
                place = f"Column {column + 1}, row {row + 1} of this chart"
                caption = f"{place}: three-quarter {upper}, quarter {lower}."
                legs = (*_legs(arrangement[1]), *_legs(arrangement[0]))
                return Panel(caption, legs, slots=4, lower=1)
    raise AssertionError("an arrangement of the chart does not occur in it")


def _named(chart: Chart, thread: int) -> str:
    found = chart.threads[thread]
    return f"{' '.join(found.name.split()) or found.code} ({found.letter})"


def _back() -> Panel:
    holes = [(HALVES * i, HALVES) for i in range(4)]
    legs = tuple((holes[i + 1], holes[i]) for i in range(3))
    return Panel("Three stitches, from the left.", legs, wide=3, slots=2)


def _knot() -> Panel:
    return Panel("A knot at a hole. 2 lies close beside 1; it is drawn apart.", (), slots=4, is_knot=True)
