"""The chart pages as a set: heading, map, neighbours round the grid; and the page map."""

from svg2chart.chart import Chart
from svg2chart.pages.cover import picture_marks
from svg2chart.pages.frame import (
    HEADING_MM,
    LEADING,
    LEFT_MM,
    RIGHT_MM,
    SMALL_MM,
    TEXT_MM,
    TOP_MM,
    foot,
    titled,
)
from svg2chart.pages.letters import fitted, text_width
from svg2chart.pages.plan import TEN, ChartPlan, Window
from svg2chart.pages.sheet import BLACK, WHITE, Align, Box, Face, Link, Mark, Page, Text
from svg2chart.pages.squares import Ground, grid_marks

_PREFIX = {Ground.TINTED: "T", Ground.PLAIN: "B"}
_MAP_WIDE_MM, _MAP_HIGH_MM = 26.0, 12.0
_MAP_TEXT_MM = 4.0
_NOTE_MM = 3.1
_AWAY_MM = 7.6  # of a neighbour's label above or below the grid, clear of the numbers
_CLEAR_ROWS = 1.5  # between a neighbour's label beside the grid and a number or centre mark


def chart_pages(chart: Chart, plan: ChartPlan, *, ground: Ground) -> tuple[Page, ...]:
    """Return every chart page on one ground, in the order of the windows."""
    return tuple(_chart_page(chart, plan, window, ground) for window in plan.windows)


def page_label(number: int, ground: Ground) -> str:
    """Return the label of a chart page: T for tints, B for black and white, and its number."""
    return f"{_PREFIX[ground]}{number}"


def _chart_page(chart: Chart, plan: ChartPlan, window: Window, ground: Ground) -> Page:
    label = page_label(window.number, ground)
    return Page(
        label=label,
        chapter=f"Chart {ground.value}",
        marks=(
            *_heading(chart, window, label),
            *_small_map(chart, plan, window),
            *grid_marks(chart, plan, window=window, ground=ground),
            *_neighbours(chart, plan, window, ground),
            *foot(chart.title, label),
        ),
    )


def _heading(chart: Chart, window: Window, label: str) -> list[Mark]:
    room = RIGHT_MM - LEFT_MM - _MAP_WIDE_MM - 22
    where = (
        f"columns {window.first_column + 1} to {window.end_column} of {chart.columns}, "
        f"rows {window.first_row + 1} to {window.end_row} of {chart.rows}"
    )
    repeats = window.shown_row < window.first_row or window.shown_column < window.first_column
    if repeats:
        where += "; grey squares are repeated from the neighbours"
    return [
        Text(x=LEFT_MM, y=TOP_MM + 5.5, text=label, size=HEADING_MM, face=Face.BOLD),
        Text(
            x=LEFT_MM + 16,
            y=TOP_MM + 4,
            text=fitted(titled(chart.title), TEXT_MM, width=room, face=Face.BOLD),
            size=TEXT_MM,
            face=Face.BOLD,
        ),
        Text(x=LEFT_MM + 16, y=TOP_MM + 8.6, text=where, size=SMALL_MM),
    ]


def _map_boxes(plan: ChartPlan, zero: tuple[float, float], side: float) -> list[tuple[Window, Box]]:
    """Return the outline of each page on a map."""
    return [
        (
            window,
            Box(
                x=zero[0] + window.first_column * side,
                y=zero[1] + window.first_row * side,
                width=(window.end_column - window.first_column) * side,
                height=(window.end_row - window.first_row) * side,
                edge=BLACK,
                edge_width=0.15,
            ),
        )
        for window in plan.windows
    ]


def _small_map(chart: Chart, plan: ChartPlan, current: Window) -> list[Mark]:
    """Return where the page lies, in the page's top right corner; nothing where there is one page only."""
    if len(plan.windows) == 1:
        return []
    side = min(_MAP_WIDE_MM / chart.columns, _MAP_HIGH_MM / chart.rows)
    boxes = _map_boxes(plan, (RIGHT_MM - chart.columns * side, TOP_MM), side)
    here = next(box for window, box in boxes if window is current)
    filled = Box(x=here.x, y=here.y, width=here.width, height=here.height, fill=BLACK)
    return [*(box for _, box in boxes), filled]


def _neighbours(chart: Chart, plan: ChartPlan, window: Window, ground: Ground) -> list[Mark]:
    """Return the labels of the pages that continue this one, on each side, as links."""
    left, top = plan.origin(window)
    wide = (window.end_column - window.shown_column) * plan.square_mm
    high = (window.end_row - window.shown_row) * plan.square_mm
    middle = left + wide / 2
    beside = top + (_clear_row(chart, window) - window.shown_row) * plan.square_mm + _NOTE_MM * 0.35
    places = [
        (window.above, "▲", middle, top - _AWAY_MM, Align.MIDDLE),
        (window.below, "▼", middle, top + high + _AWAY_MM + _NOTE_MM * 0.6, Align.MIDDLE),
        (window.left, "◀", left - 1.5, beside, Align.RIGHT),
        (window.right, "▶", left + wide + 1.5, beside, Align.LEFT),
    ]
    marks: list[Mark] = []
    for number, arrow, x, y, align in places:
        if number is not None:
            label = page_label(number, ground)
            start = {Align.LEFT: x, Align.MIDDLE: x - 5, Align.RIGHT: x - 10}[align]
            marks.append(Text(x=x, y=y, text=f"{arrow} {label}", size=_NOTE_MM, align=align, face=Face.BOLD))
            marks.append(Link(x=start, y=y - _NOTE_MM, width=10, height=_NOTE_MM * 1.4, target=label))
    return marks


def _clear_row(chart: Chart, window: Window) -> float:
    """Return the row beside which a label is clear of numbers and centre marks, nearest to the middle."""
    middle = (window.first_row + window.end_row) / 2
    halves = [row / 2 for row in range(2 * window.first_row + 1, 2 * window.end_row)]
    taken = (*range(0, chart.rows + 1, TEN), chart.rows, chart.rows / 2)
    clear = [row for row in halves if min(abs(row - other) for other in taken) >= _CLEAR_ROWS]
    return min(clear or [middle], key=lambda row: abs(row - middle))


def map_page(chart: Chart, plan: ChartPlan) -> tuple[Page, ...]:
    """Return the page map: the picture with the pages drawn over it; none where there is one page only."""
    if len(plan.windows) == 1:
        return ()
    top = TOP_MM + 24
    picture, bottom = picture_marks(chart, top=top, wide_mm=180.0, high_mm=200.0)
    # the picture leaves a margin of cloth; its first square starts where the margin ends
    margin = max(chart.rows, chart.columns) * 0.03
    side = (bottom - top) / (chart.rows + 2 * margin)
    zero = (105 - chart.columns / 2 * side, top + margin * side)
    marks: list[Mark] = [
        Text(x=LEFT_MM, y=TOP_MM + HEADING_MM, text="Page map", size=HEADING_MM, face=Face.BOLD),
        Text(
            x=LEFT_MM,
            y=TOP_MM + 13,
            text="Chart pages by label: T1, T2 … are in tints, B1, B2 … show the same in black and white.",
            size=TEXT_MM,
        ),
        *picture,
    ]
    for window, box in _map_boxes(plan, zero, side):
        marks += [box, *_map_labels(window, box)]
    return (Page(label="Map", chapter="Page map", marks=(*marks, *foot(chart.title, "Map"))),)


def _map_labels(window: Window, box: Box) -> list[Mark]:
    """Return the labels of a page in the middle of its outline, smaller where there is little room."""
    labels = [page_label(window.number, ground) for ground in Ground]
    wide = max(text_width(label, _MAP_TEXT_MM, face=Face.BOLD) for label in labels) + 2
    high = _MAP_TEXT_MM * LEADING
    scale = min(1.0, 0.9 * box.width / wide, 0.9 * box.height / (len(labels) * high))
    wide, high = wide * scale, high * scale
    middle, top = box.x + box.width / 2, box.y + (box.height - len(labels) * high) / 2
    left = middle - wide / 2
    marks: list[Mark] = [
        Box(
            x=left,
            y=top,
            width=wide,
            height=len(labels) * high,
            fill=WHITE,
            edge=BLACK,
            edge_width=0.15 * scale,
        )
    ]
    for i, label in enumerate(labels):
        y = top + i * high
        size = _MAP_TEXT_MM * scale
        marks.append(Text(x=middle, y=y + size, text=label, size=size, face=Face.BOLD, align=Align.MIDDLE))
        marks.append(Link(x=left, y=y, width=wide, height=high, target=label))
    return marks
