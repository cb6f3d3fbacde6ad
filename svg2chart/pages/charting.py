"""The chart pages as a set: heading, map, neighbours round the grid; and the page map."""

import math
from collections.abc import Sequence

from svg2chart.chart import Chart
from svg2chart.pages.areas import thread_areas
from svg2chart.pages.edition import Edition
from svg2chart.pages.frame import BOTTOM_MM, LEFT_MM, RIGHT_MM, TOP_MM, WIDE_MM, foot, tagged
from svg2chart.pages.letters import fitted, text_width
from svg2chart.pages.plan import BOX_WIDTH_MM, TEN, ChartPlan, Window
from svg2chart.pages.ruling import AWAY_MM
from svg2chart.pages.sheet import (
    BLACK,
    WHITE,
    Align,
    Box,
    Dot,
    Element,
    Face,
    Link,
    Mark,
    Page,
    Point,
    Region,
    Role,
    Text,
    Trail,
)
from svg2chart.pages.squares import KNOT_RADIUS, Ground, Squares, grid_marks, window_squares
from svg2chart.pages.style import Style

_PREFIX = {Ground.TINTED: "T", Ground.PLAIN: "B", Ground.LINES: "L"}
_MAP_WIDE_MM, _MAP_HIGH_MM = 26.0, 12.0
_DENSE = 0.15  # sides of backstitch to a stitched square, above which it is drawn on pages of its own too
_LABEL_MM = 4.0  # of labels on the page map, as far as there is room
_LINE_SHARE = 0.3  # width of backstitch in the page map, in squares
_CLOTH_AROUND = 1  # squares of bare cloth around the page map: lines and knots on its rim are drawn whole


def grounds(chart: Chart) -> tuple[Ground, ...]:
    """Return on which grounds the chart is printed: tints, black and white, and dense backstitch alone.

    Where there is nothing but backstitch and knots tints show all: inks are dark and dashes differ in each.
    """
    if (chart.backstitch or chart.knots) and not chart.squares.any():
        return (Ground.TINTED,)
    stitched = int((chart.squares != 0).sum())
    length = math.fsum(math.dist(line.start, line.end) for line in chart.backstitch)
    if 0 < _DENSE * stitched < length:
        return Ground.TINTED, Ground.PLAIN, Ground.LINES
    return Ground.TINTED, Ground.PLAIN


def chart_pages(
    chart: Chart, plan: ChartPlan, edition: Edition, *, grounds: Sequence[Ground]
) -> tuple[Page, ...]:
    """Return every chart page, ground by ground, each in the order of the windows."""
    squares = [window_squares(chart, plan, window) for window in plan.windows]
    return tuple(
        _chart_page(chart, plan, window, shown, ground, edition)
        for ground in grounds
        for window, shown in zip(plan.windows, squares, strict=True)
    )


def page_label(number: int, ground: Ground) -> str:
    """Return the label of a chart page: T for tints, B for black and white, L for lines; and its number."""
    return f"{_PREFIX[ground]}{number}"


def _chart_page(
    chart: Chart, plan: ChartPlan, window: Window, shown: Squares, ground: Ground, edition: Edition
) -> Page:
    label, style = page_label(window.number, ground), edition.style
    squares = grid_marks(chart, plan, shown, window=window, ground=ground, number_mm=style.number)
    return Page(
        label=label,
        chapter=f"Chart {ground.value}",
        marks=(
            *_heading(chart, window, label, ground, style),
            *_small_map(chart, plan, window),
            tagged(Role.FIGURE, *squares, words=_words_for(chart, window, ground)),
            *_neighbours(chart, plan, window, ground, style),
            *foot(edition.footer(chart), style=style),
        ),
    )


def _words_for(chart: Chart, window: Window, ground: Ground) -> str:
    """Return what a chart page shows, for who cannot see it."""
    held = chart.squares[window.first_row : window.end_row, window.first_column : window.end_column]
    stitched = int((held != 0).sum())
    return (
        f"Chart {ground.value}: columns {window.first_column + 1} to {window.end_column}, "
        f"rows {window.first_row + 1} to {window.end_row}. {stitched} of {held.size} squares "
        f"{'is' if stitched == 1 else 'are'} stitched."
    )


def _heading(chart: Chart, window: Window, label: str, ground: Ground, style: Style) -> list[Mark]:
    """Return the label, what the page shows and which squares: a heading on the first page of its kind.

    Elsewhere it is a running head; which squares is told by the words for the chart itself too.
    """
    aside = text_width(label, style.heading, face=Face.BOLD) + 4
    room = WIDE_MM - aside - _MAP_WIDE_MM - 6
    lines = [
        f"Chart {ground.value}",
        f"columns {window.first_column + 1} to {window.end_column} of {chart.columns}, "
        f"rows {window.first_row + 1} to {window.end_row} of {chart.rows}",
    ]
    if window.shown_row < window.first_row or window.shown_column < window.first_column:
        lines.append("grey squares are repeated")
    texts = [Text(x=LEFT_MM, y=TOP_MM + style.heading * 0.75, text=label, size=style.heading, face=Face.BOLD)]
    for i, line in enumerate(lines):
        size = style.small if i else style.text
        face = Face.BODY if i else Face.BOLD
        words = fitted(line, size, width=room if i == 0 else WIDE_MM - aside, face=face)
        y = TOP_MM + style.text + i * style.small * 1.35
        texts.append(Text(x=LEFT_MM + aside, y=y, text=words, size=size, face=face))
    is_first = window.number == 1
    head = tagged(Role.CHAPTER if is_first else Role.RUNNING, *texts[:2])
    return [head, tagged(Role.RUNNING, *texts[2:])]


def _map_boxes(plan: ChartPlan, zero: Point, side: float, *, around: int = 0) -> list[tuple[Window, Box]]:
    """Return the outline of each page on a map, with so many squares around the chart."""
    return [(window, _map_box(window, zero, side, around)) for window in plan.windows]


def _map_box(window: Window, zero: Point, side: float, around: int) -> Box:
    left = window.first_column - (around if window.left is None else 0)
    top = window.first_row - (around if window.above is None else 0)
    right = window.end_column + (around if window.right is None else 0)
    bottom = window.end_row + (around if window.below is None else 0)
    return Box(
        x=zero[0] + left * side,
        y=zero[1] + top * side,
        width=(right - left) * side,
        height=(bottom - top) * side,
        edge=BLACK,
        edge_width=0.15,
    )


def _small_map(chart: Chart, plan: ChartPlan, current: Window) -> list[Mark]:
    """Return where the page lies, in the page's top right corner; nothing where there is one page only."""
    if len(plan.windows) == 1:
        return []
    side = min(_MAP_WIDE_MM / chart.columns, _MAP_HIGH_MM / chart.rows)
    boxes = _map_boxes(plan, (RIGHT_MM - chart.columns * side, TOP_MM), side)
    here = next(box for window, box in boxes if window is current)
    filled = Box(x=here.x, y=here.y, width=here.width, height=here.height, fill=BLACK)
    return [*(box for _, box in boxes), filled]


def _neighbours(chart: Chart, plan: ChartPlan, window: Window, ground: Ground, style: Style) -> list[Mark]:
    """Return the labels of the pages that continue this one, on each side, as links.

    They stand in the lines of the numbers, where these leave room.
    """
    left, top = plan.origin(window)
    side = plan.square_mm
    right = left + (window.end_column - window.shown_column) * side
    bottom = top + (window.end_row - window.shown_row) * side
    middle = (
        left + (_clear(window.first_column, window.end_column, chart.columns) - window.shown_column) * side
    )
    beside = top + (_clear(window.first_row, window.end_row, chart.rows) - window.shown_row) * side
    below = AWAY_MM + 0.4 + 0.65 * style.small
    level = beside + 0.33 * style.small
    places = [
        (window.above, "▲", middle, top - AWAY_MM, Align.MIDDLE),
        (window.below, "▼", middle, bottom + below, Align.MIDDLE),
        (window.left, "◀", left - 1.5, level, Align.RIGHT),
        (window.right, "▶", right + 1.5, level, Align.LEFT),
    ]
    return [
        _neighbour(page_label(number, ground), arrow, (x, y), align, style)
        for number, arrow, x, y, align in places
        if number is not None
    ]


def _neighbour(label: str, arrow: str, at: Point, align: Align, style: Style) -> Link:
    """Return an arrow with a page's label, on two lines beside the grid in large print."""
    size = style.small
    lines = [arrow, label] if style.is_large and align is not Align.MIDDLE else [f"{arrow} {label}"]
    wide = max(text_width(line, size, face=Face.BOLD) for line in lines)
    texts = tuple(
        Text(x=at[0], y=at[1] + i * size * 1.1, text=line, size=size, align=align, face=Face.BOLD)
        for i, line in enumerate(lines)
    )
    return Link(
        x=at[0] - {Align.LEFT: 0.0, Align.MIDDLE: wide / 2, Align.RIGHT: wide}[align],
        y=at[1] - size,
        width=wide,
        height=size * (1.3 + 1.1 * (len(lines) - 1)),
        target=label,
        element=Element(Role.LINK, f"Chart page {label}"),
        marks=texts,
    )


def _clear(first: int, end: int, length: int) -> float:
    """Return where a label is clear of numbers and of the centre mark, nearest to the middle of a page.

    It counts squares along one side of the chart, which has `length`; the page has those from `first` on.
    """
    middle = (first + end) / 2
    tens = range(first // TEN * TEN, end + TEN, TEN)
    taken = [place for place in (*tens, length, length / 2) if first - TEN <= place <= end + TEN]
    halves = [place / 2 for place in range(2 * first + 2, 2 * end - 1)]
    return max(
        halves or [middle],
        key=lambda place: (min(4.0, *(abs(place - other) for other in taken)), -abs(place - middle)),
    )


def map_page(chart: Chart, plan: ChartPlan, edition: Edition) -> tuple[Page, ...]:
    """Return the page map: the picture with the pages drawn over it; none where there is one page only."""
    if len(plan.windows) == 1:
        return ()
    style = edition.style
    shown = [f"{_PREFIX[g]}1, {_PREFIX[g]}2 … {g.value}" for g in grounds(chart)]
    lines = _lines_of(shown, style)
    first = TOP_MM + style.heading + style.text * 2
    top = first + style.text * (style.leading * (len(lines) - 1) + 1.5)
    columns, rows = chart.columns + 2 * _CLOTH_AROUND, chart.rows + 2 * _CLOTH_AROUND
    side = min(WIDE_MM / columns, (BOTTOM_MM - top) / rows)
    zero = ((BOX_WIDTH_MM - chart.columns * side) / 2, top + _CLOTH_AROUND * side)
    head = Text(x=LEFT_MM, y=TOP_MM + style.heading, text="Page map", size=style.heading, face=Face.BOLD)
    words = [
        Text(
            x=LEFT_MM,
            y=first + style.text * i * style.leading,
            text=line,
            size=style.text,
        )
        for i, line in enumerate(lines)
    ]
    told = f"The stitched piece, divided into {len(plan.windows)} chart pages."
    marks: list[Mark] = [
        tagged(Role.CHAPTER, head),
        tagged(Role.PARAGRAPH, *words),
        tagged(Role.FIGURE, *_flat_picture(chart, zero, side), words=told),
    ]
    for window, box in _map_boxes(plan, zero, side, around=_CLOTH_AROUND):
        marks += [box, *_map_labels(chart, window, box, max(style.text, _LABEL_MM))]
    footer = foot(edition.footer(chart), style=style)
    end = zero[1] + (chart.rows + _CLOTH_AROUND) * side
    return (Page(label="Map", chapter="Page map", marks=tuple(marks), foot=footer, end_mm=end),)


def _lines_of(shown: list[str], style: Style) -> list[str]:
    return [f"Chart {line}" for line in shown] if style.is_large else [f"Chart pages: {', '.join(shown)}."]


def _flat_picture(chart: Chart, zero: Point, side: float) -> list[Mark]:
    """Return every stitch as the area it covers, the backstitch and the knots, with bare cloth around."""

    def place(hole: Point) -> Point:
        return zero[0] + hole[0] * side, zero[1] + hole[1] * side

    x, y = place((-_CLOTH_AROUND, -_CLOTH_AROUND))
    wide, high = ((squares + 2 * _CLOTH_AROUND) * side for squares in (chart.columns, chart.rows))
    cloth = Box(x=x, y=y, width=wide, height=high, fill=chart.fabric.colour)
    every = range(chart.rows), range(chart.columns)
    areas = thread_areas(chart, rows=every[0], columns=every[1], origin=zero, square_mm=side)
    colours = [thread.colour for thread in chart.threads]
    fills = [Region(fill=colours[thread], polygons=polygons) for thread, polygons in areas]
    lines = [
        Trail(points=(place(line.start), place(line.end)), width=_LINE_SHARE * side, ink=colours[line.thread])
        for line in chart.backstitch
    ]
    knots = [_map_knot(place(knot.at), side, colours[knot.thread]) for knot in chart.knots]
    return [cloth, *fills, *lines, *knots]


def _map_knot(at: Point, side: float, colour: str) -> Dot:
    return Dot(x=at[0], y=at[1], radius=KNOT_RADIUS * side, fill=colour, edge=colour, edge_width=0.0)


def _map_labels(chart: Chart, window: Window, box: Box, size: float) -> list[Mark]:
    """Return the labels of a page in the middle of its outline, smaller where there is little room."""
    labels = [page_label(window.number, ground) for ground in grounds(chart)]
    leading = 1.35
    wide = max(text_width(label, size, face=Face.BOLD) for label in labels) + 2
    scale = min(1.0, 0.9 * box.width / wide, 0.9 * box.height / (len(labels) * size * leading))
    wide, size = wide * scale, size * scale
    high = size * leading
    middle, top = box.x + box.width / 2, box.y + (box.height - len(labels) * high) / 2
    left = middle - wide / 2
    ground = Box(
        x=left,
        y=top,
        width=wide,
        height=len(labels) * high,
        fill=WHITE,
        edge=BLACK,
        edge_width=0.15 * scale,
    )
    marks: list[Mark] = [ground]
    for i, label in enumerate(labels):
        y = top + i * high
        text = Text(x=middle, y=y + size, text=label, size=size, face=Face.BOLD, align=Align.MIDDLE)
        element = Element(Role.LINK, f"Chart page {label}")
        marks.append(Link(x=left, y=y, width=wide, height=high, target=label, element=element, marks=(text,)))
    return marks
