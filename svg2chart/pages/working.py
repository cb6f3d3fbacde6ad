"""How to work the stitches of this chart, in the order of sewing: drawings with numbered needle positions.

Odd numbers are where the needle comes up, even ones where it goes down. The order of legs is that of the
work guide (`guiding.legs`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from svg2chart.chart import Chart, Corner, Stitch, StitchKind
from svg2chart.guiding.legs import HALVES, Hole, work_square
from svg2chart.pages.areas import is_shared, occurring
from svg2chart.pages.edition import Edition
from svg2chart.pages.frame import (
    GUTTER_MM,
    LEFT_MM,
    WIDE_MM,
    Block,
    Section,
    flow,
    heading,
    paragraph,
    tagged,
)
from svg2chart.pages.letters import text_width, wrapped
from svg2chart.pages.sheet import BLACK, WHITE, Align, Box, Dot, Face, Mark, Page, Point, Role, Text, Trail
from svg2chart.pages.style import Style

_UPPER, _LOWER = "#b9b9b9", "#e3e3e3"  # grounds of legs: of the upper colour, of the lower one
_LEG = 0.20  # width of a leg, in squares
_RIM_MM = 0.25
_HOLE_MM = 0.9
_HERE = (0, 0)


@dataclass(frozen=True, slots=True)
class Panel:
    """One drawing: legs in the order of sewing, how many squares it is wide, its caption.

    `lower` is how many of the first legs are of the lower colour of a shared square.
    """

    caption: str
    legs: tuple[tuple[Hole, Hole], ...]
    wide: int = 1
    lower: int = 0
    knots: tuple[Hole, ...] = field(default=())


def working_pages(chart: Chart, edition: Edition) -> tuple[Page, ...]:
    """Return drawings of exactly the stitches that the chart uses; no page where nothing is stitched."""
    style = edition.style
    groups = [(name, words, panels) for name, words, panels in _groups(chart) if panels]
    if not groups:
        return ()
    blocks = paragraph(
        "Odd numbers: the needle comes up through the cloth. Even numbers: it goes down. Dots are holes.",
        style,
    )
    for name, words, panels in groups:
        rows = _rows(panels, style)
        blocks += heading(name, style, keep=rows[0].height + style.text * style.leading * 2)
        blocks += [line for text in words for line in paragraph(text, style)]
        blocks += rows
    return flow(
        (Section(blocks=tuple(blocks)),),
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
    if chart.fabric.over == 1:
        return [
            "First the quarter, down into the middle of the square: pierce it there. Then the half across."
        ]
    return ["First the quarter, down into the middle of the square. Then the half across."]


def _quarter_words() -> list[str]:
    return ["From its corner down into the middle of the square."]


def _shared_words(chart: Chart) -> list[str]:
    return [
        "Two colours in one square: the three-quarter stitch in the colour above, dark here, and the quarter "
        "in the one below, light. Which thread comes first is told by the work guide."
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
        Panel("A row: lower legs out, upper legs back.", row, wide=3),
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
                caption = f"Column {column + 1}, row {row + 1} of this chart: {upper} above, {lower} below."
                legs = (*_legs(arrangement[1]), *_legs(arrangement[0]))
                return Panel(caption, legs, lower=1)
    raise AssertionError("an arrangement of the chart does not occur in it")


def _named(chart: Chart, thread: int) -> str:
    found = chart.threads[thread]
    return f"{' '.join(found.name.split()) or found.code} ({found.letter})"


def _back() -> Panel:
    holes = [(HALVES * i, HALVES) for i in range(4)]
    legs = tuple((holes[i + 1], holes[i]) for i in range(3))
    return Panel("Three stitches, from the left.", legs, wide=3)


def _knot() -> Panel:
    return Panel("A knot at a hole.", (), knots=((0, HALVES),))


def _rows(panels: Sequence[Panel], style: Style) -> list[Block]:
    """Return the drawings in rows across the page, captions below."""
    room = style.panel * 2 + GUTTER_MM
    slots = max(1, int((WIDE_MM + GUTTER_MM) // room))
    rows: list[list[tuple[int, Panel]]] = [[]]
    taken = 0
    for panel in panels:
        needed = 1 if panel.wide == 1 else 2
        if taken + needed > slots and rows[-1]:
            rows.append([])
            taken = 0
        rows[-1].append((taken, panel))
        taken += needed
    return [_row(row, room, style) for row in rows]


def _row(panels: Sequence[tuple[int, Panel]], room: float, style: Style) -> Block:
    captions = [
        wrapped(
            panel.caption,
            style.small,
            width=room * (1 if panel.wide == 1 else 2) - GUTTER_MM,
        )
        for _, panel in panels
    ]
    top = style.small * 2.2
    deep = style.panel + 2 * top
    line = style.small * style.leading

    def draw(_x: float, y: float) -> tuple[Mark, ...]:
        marks: list[Mark] = []
        for (slot, panel), caption in zip(panels, captions, strict=True):
            left = LEFT_MM + slot * room
            at = (left + style.small * 2.5, y + top)
            marks.append(tagged(Role.FIGURE, *_drawn(panel, at, style), words=_alternative(panel)))
            texts = [
                Text(x=left, y=y + deep + style.small + i * line, text=text, size=style.small)
                for i, text in enumerate(caption)
            ]
            marks.append(tagged(Role.PARAGRAPH, *texts))
        return tuple(marks)

    return Block(height=deep + line * max(map(len, captions)) + 3.0, draw=draw)


def _alternative(panel: Panel) -> str:
    """Return the drawing in words."""
    if panel.knots:
        return "A French knot: up at 1, twice round the needle, down at 2 beside it."
    steps = [
        f"{2 * i + 1} up {_hole_words(up, panel)}, {2 * i + 2} down {_hole_words(down, panel)}"
        for i, (up, down) in enumerate(panel.legs)
    ]
    return f"{panel.caption} {'; '.join(steps)}."


def _hole_words(hole: Hole, panel: Panel) -> str:
    x, y = hole
    if x % HALVES and y % HALVES:
        return "in the middle"
    if panel.wide > 1:
        return f"at hole {x // HALVES + 1} of the {'lower' if y else 'upper'} row"
    return f"at the {'bottom' if y else 'top'} {'right' if x else 'left'}"


def _drawn(panel: Panel, at: Point, style: Style) -> list[Mark]:
    """Return the squares, the legs in order, the holes, and the numbers beside them."""
    side = style.panel

    def place(hole: Point) -> Point:
        return at[0] + hole[0] / HALVES * side, at[1] + hole[1] / HALVES * side

    if panel.knots:
        return [mark for knot in panel.knots for mark in _knot_drawn(place(knot), style)]
    marks: list[Mark] = [
        Box(x=at[0] + i * side, y=at[1], width=side, height=side, edge="#909090", edge_width=0.15)
        for i in range(panel.wide)
    ]
    for number, (up, down) in enumerate(panel.legs):
        ground = _LOWER if number < panel.lower else _UPPER
        points = (place(up), place(down))
        marks.append(Trail(points=points, width=_LEG * side + 2 * _RIM_MM, ink=BLACK))
        marks.append(Trail(points=points, width=_LEG * side, ink=ground))
    holes = {(HALVES * i, y) for i in range(panel.wide + 1) for y in (0, HALVES)}
    holes |= {hole for leg in panel.legs for hole in leg}
    for middle in map(place, sorted(holes)):
        x, y = middle
        marks.append(Dot(x=x, y=y, radius=_HOLE_MM, fill=WHITE, edge=BLACK, edge_width=0.25))
    return marks + _numbers(panel, at, style)


def _knot_drawn(hole: Point, style: Style) -> list[Mark]:
    """Return a needle with two windings, the thread that comes up at a hole, and where it goes down."""
    x, y = hole[0] + style.panel * 0.7, hole[1] - style.panel * 0.5
    beside = (hole[0] + 3.4, hole[1])
    needle = ((x - 5.0, y - 5.0), (x + 5.0, y + 5.0))
    marks: list[Mark] = [
        Trail(points=(hole, (x - 2.6, y + 1.4)), width=1.0, ink="#707070"),
        Trail(points=needle, width=1.1, ink="#303030"),
    ]
    for away in (-0.9, 0.9):
        winding = ((x - 1.8 + away, y + 1.8 + away), (x + 1.8 + away, y - 1.8 + away))
        marks.append(Trail(points=winding, width=1.3, ink=BLACK))
        marks.append(Trail(points=winding, width=0.9, ink=_UPPER))
    marks += [
        Dot(x=a, y=b, radius=_HOLE_MM, fill=WHITE, edge=BLACK, edge_width=0.25) for a, b in (hole, beside)
    ]
    size, down = style.small, hole[1] + style.small * 0.7 + 1.6
    return [
        *marks,
        Text(x=hole[0], y=down, text="1", size=size, face=Face.BOLD, align=Align.MIDDLE),
        Text(x=beside[0], y=down, text="2", size=size, face=Face.BOLD, align=Align.MIDDLE),
    ]


def _numbers(panel: Panel, at: Point, style: Style) -> list[Mark]:
    """Return the numbers of each hole: above the upper holes, below the lower ones, beside the middle."""
    found: dict[Hole, list[int]] = {}
    for number, (up, down) in enumerate(panel.legs):
        found.setdefault(up, []).append(2 * number + 1)
        found.setdefault(down, []).append(2 * number + 2)
    size, side = style.small, style.panel
    marks: list[Mark] = []
    for hole, numbers in found.items():
        text = ", ".join(map(str, numbers))
        x, y = at[0] + hole[0] / HALVES * side, at[1] + hole[1] / HALVES * side
        if hole[1] % HALVES:
            wide = text_width(text, size, face=Face.BOLD)
            left = x - wide / 2
            box = Box(x=left - 0.5, y=y + 1.6, width=wide + 1.0, height=size * 1.05, fill=WHITE)
            marks += [box, Text(x=left, y=y + 1.6 + size * 0.85, text=text, size=size, face=Face.BOLD)]
            continue
        clear = _LEG * side / 2 + 0.9
        below = size * 0.7 + clear if hole[1] else -clear
        marks.append(Text(x=x, y=y + below, text=text, size=size, face=Face.BOLD, align=Align.MIDDLE))
    return marks
