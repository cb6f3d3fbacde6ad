"""Drawings of stitches with numbered needle positions, in rows across a page, captions below."""

from collections.abc import Sequence
from dataclasses import dataclass

from svg2chart.guiding.legs import HALVES, Hole
from svg2chart.pages.frame import GUTTER_MM, Block, column_mm, tagged
from svg2chart.pages.letters import text_width, wrapped
from svg2chart.pages.sheet import BLACK, WHITE, Align, Box, Dot, Face, Mark, Point, Role, Text, Trail
from svg2chart.pages.style import Style

_UPPER, _LOWER = "#b9b9b9", "#e3e3e3"  # grounds of legs: of the upper colour, of the lower one
_LEG = 0.20  # width of a leg, in squares
_RIM_MM = 0.25
_HOLE_MM = 0.9
# a knot, in squares of a panel: how long its needle is, how broad its thread, how far apart its holes lie
_NEEDLE, _THREAD, _APART = 1.1, 0.1, 0.3
_WINDINGS = (0.22, 0.34)  # where along the needle


@dataclass(frozen=True, slots=True)
class Panel:
    """One drawing: legs in the order of sewing, how many squares it is wide, its caption.

    Drawing and caption take up some of the slots of a row. `lower` is how many of the first legs are of the
    lower colour of a shared square.
    """

    caption: str
    legs: tuple[tuple[Hole, Hole], ...]
    wide: int = 1
    slots: int = 1
    lower: int = 0
    is_knot: bool = False


def panel_rows(panels: Sequence[Panel], style: Style, columns: int) -> list[Block]:
    """Return the drawings in rows across one of so many columns, captions below."""
    wide = column_mm(columns) + GUTTER_MM
    slots = max(1, int(wide // (style.panel * 2 + GUTTER_MM)))
    room = wide / slots
    rows: list[list[tuple[int, Panel]]] = [[]]
    taken = 0
    for panel in panels:
        needed = min(panel.slots, slots)
        if taken + needed > slots and rows[-1]:
            rows.append([])
            taken = 0
        rows[-1].append((taken, panel))
        taken += needed
    return [_row(row, room, slots, style) for row in rows]


def _row(panels: Sequence[tuple[int, Panel]], room: float, slots: int, style: Style) -> Block:
    captions = [
        wrapped(panel.caption, style.small, width=room * min(panel.slots, slots) - GUTTER_MM)
        for _, panel in panels
    ]
    top = style.small * 2.2
    deep = style.panel + 2 * top
    line = style.small * style.leading

    def draw(x: float, y: float) -> tuple[Mark, ...]:
        marks: list[Mark] = []
        for (slot, panel), caption in zip(panels, captions, strict=True):
            left = x + slot * room
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
    if panel.is_knot:
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

    if panel.is_knot:
        return _knot_drawn(at, style)
    marks: list[Mark] = [
        Box(x=at[0] + i * side, y=at[1], width=side, height=side, edge="#909090", edge_width=0.15)
        for i in range(panel.wide)
    ]
    for number, (up, down) in enumerate(panel.legs):
        ground = _LOWER if number < panel.lower else _UPPER
        marks += _thread_drawn((place(up), place(down)), _LEG * side, ground)
    holes = {(HALVES * i, y) for i in range(panel.wide + 1) for y in (0, HALVES)}
    holes |= {hole for leg in panel.legs for hole in leg}
    marks += [_hole_drawn(middle) for middle in map(place, sorted(holes))]
    return marks + _numbers(panel, at, style)


def _knot_drawn(at: Point, style: Style) -> list[Mark]:
    """Return a needle that is about to go down, with the thread from its hole wound twice round it."""
    side = style.panel
    up = at[0], at[1] + side
    down = up[0] + max(_APART * side, style.small * 1.8), up[1]

    def place(along: float, aside: float = 0.0) -> Point:
        """Return where one is so far along the needle from where it goes down, and so far to its left."""
        return down[0] + (along - aside) * side, down[1] - (along + aside) * side

    first, last, width = _WINDINGS[0], _WINDINGS[-1], _THREAD * side
    # the thread goes on in a bow, through the eye
    steps = [last + (_NEEDLE - 0.06 - last) * i / 12 for i in range(13)]
    bow = tuple(place(step, 1.3 * (step - last) * (steps[-1] - step)) for step in steps)
    marks = _thread_drawn((up, place(first, 0.04)), width, _UPPER)
    marks += _thread_drawn(bow, width, _UPPER)
    marks.append(Trail(points=(place(0.06), place(_NEEDLE)), width=0.07 * side, ink="#303030"))
    for along in _WINDINGS:
        ends = place(along - 0.02, 0.07), place(along + 0.02, -0.07)
        marks += _thread_drawn(ends, width, _UPPER)
    for number, hole in (("1", up), ("2", down)):
        marks.append(_hole_drawn(hole))
        y = hole[1] + style.small * 0.7 + 1.6
        marks.append(Text(x=hole[0], y=y, text=number, size=style.small, face=Face.BOLD, align=Align.MIDDLE))
    return marks


def _hole_drawn(at: Point) -> Dot:
    return Dot(x=at[0], y=at[1], radius=_HOLE_MM, fill=WHITE, edge=BLACK, edge_width=0.25)


def _thread_drawn(points: tuple[Point, ...], width: float, ground: str) -> list[Mark]:
    """Return a thread along these points, with a dark rim."""
    return [
        Trail(points=points, width=width + 2 * _RIM_MM, ink=BLACK),
        Trail(points=points, width=width, ink=ground),
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
