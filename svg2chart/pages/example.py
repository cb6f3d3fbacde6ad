"""An example cut from the chart: its squares drawn large, their place, and some of them read out."""

from collections.abc import Callable, Sequence

import numpy as np

from svg2chart.chart import Arrangement, Chart, StitchKind
from svg2chart.guiding.names import spoken_names
from svg2chart.guiding.words import arrangement_words
from svg2chart.pages.areas import placed, stitch_area
from svg2chart.pages.charting import page_label
from svg2chart.pages.fractions import square_fractions
from svg2chart.pages.frame import WIDE_MM, Block, heading, paragraph, tagged
from svg2chart.pages.letters import wrapped
from svg2chart.pages.lines import HALO_MM, is_within, line_ink, line_styles, trails
from svg2chart.pages.plan import ChartPlan
from svg2chart.pages.sheet import (
    BLACK,
    WHITE,
    Align,
    Box,
    Face,
    Mark,
    Point,
    Role,
    Text,
    Trail,
)
from svg2chart.pages.squares import Ground, knot_marks, tint
from svg2chart.pages.style import Style

Picture = Callable[[Point], Sequence[Mark]]
"""Draws at a top left corner."""

_ROWS, _COLUMNS = 5, 7  # of the example
_SIDE_MM = 11.0
_ENLARGED = 2.0  # backstitch is drawn so much wider
_MOST_READ = 5


def beside(words: str, style: Style, picture: Picture, *, wide: float, high: float) -> Block:
    """Return words beside a picture of a size in mm."""
    leading = style.text * style.leading
    lines = wrapped(words, style.text, width=WIDE_MM - wide - 5)
    height = max(high, leading * len(lines)) + 2.5

    def draw(x: float, y: float) -> tuple[Mark, ...]:
        first = y + style.text + max(0.0, (high - leading * len(lines)) / 2)
        texts = [
            Text(x=x + wide + 5, y=first + i * leading, text=line, size=style.text)
            for i, line in enumerate(lines)
        ]
        return *picture((x, y)), tagged(Role.PARAGRAPH, *texts)

    return Block(height=height, draw=draw)


def square_marks(chart: Chart, arrangement: Arrangement, at: Point, side: float) -> list[Mark]:
    """Return one square as it is printed in tints; `at` is its top left corner."""
    marks: list[Mark] = [
        placed(
            (stitch_area(stitch, arrangement),),
            origin=at,
            square_mm=side,
            fill=tint(chart.threads[stitch.thread].colour),
        )
        for stitch in arrangement
    ]
    marks.append(Box(x=at[0], y=at[1], width=side, height=side, edge=BLACK, edge_width=0.15))
    if arrangement and arrangement[0].corner is None:
        letter = chart.threads[arrangement[0].thread].letter
        marks.append(Text(x=at[0], y=at[1] + side, text=letter, size=side, face=Face.SYMBOLS))
    return [*marks, *square_fractions(chart, arrangement, at=at, side=side)]


def example_blocks(chart: Chart, plan: ChartPlan, style: Style) -> list[Block]:
    """Return the example under a heading."""
    row, column = _richest(chart)
    rows, columns = (
        range(row, min(row + _ROWS, chart.rows)),
        range(column, min(column + _COLUMNS, chart.columns)),
    )
    numbers = style.text * 2
    wide, high = len(columns) * _SIDE_MM + numbers + 4, len(rows) * _SIDE_MM + numbers
    read = _readings(chart, rows, columns)
    if style.is_large:
        wide = WIDE_MM - 5
    lines = [
        [f"{_place_words(rows, columns)} of this chart ({_where(plan, rows, columns)}):"],
        *read,
    ]
    picture = _cut_out(chart, rows, columns, style)
    if style.is_large:
        first = _told_beside([], style, picture, wide=wide, high=high)
        return [*heading("An example", style, keep=high), first, *_below(lines, style)]
    return [
        *heading("An example", style, keep=high + 5),
        _told_beside(lines, style, picture, wide=wide, high=high),
    ]


def _below(lines: Sequence[Sequence[str]], style: Style) -> list[Block]:
    return [block for part in lines for block in paragraph(" ".join(part), style)]


def _told_beside(
    parts: Sequence[Sequence[str]], style: Style, picture: Picture, *, wide: float, high: float
) -> Block:
    """Return paragraphs beside a picture."""
    leading = style.text * style.leading
    told = [wrapped(" ".join(part), style.text, width=WIDE_MM - wide - 5) for part in parts]
    height = max(high, sum(leading * len(lines) + 1.6 for lines in told)) + 2.5

    def draw(x: float, y: float) -> tuple[Mark, ...]:
        marks = list(picture((x, y)))
        base = y + style.text
        for lines in told:
            texts = []
            for line in lines:
                texts.append(Text(x=x + wide + 5, y=base, text=line, size=style.text))
                base += leading
            marks.append(tagged(Role.PARAGRAPH, *texts))
            base += 1.6
        return tuple(marks)

    return Block(height=height, draw=draw)


def _richest(chart: Chart) -> tuple[int, int]:
    """Return where the example begins: the window with most kinds of stitches, most of it stitched."""
    kinds = [{(s.kind, len(a)) for s in a} for a in chart.arrangements]
    names = sorted({kind for held in kinds for kind in held}, key=lambda k: (k[0].value, k[1]))
    score = _in_windows(chart.squares != 0) * 2
    for name in names:
        has = np.array([name in held for held in kinds])[chart.squares]
        score = score + 100 * (_in_windows(has) > 0)
    for x, y in [stitch.start for stitch in chart.backstitch] + [knot.at for knot in chart.knots]:
        top, left = max(0, int(y) - _ROWS), max(0, int(x) - _COLUMNS)
        score[top : int(y) + 1, left : int(x) + 1] += 1
    row, column = divmod(int(np.argmax(score)), score.shape[1])
    return row, column


def _in_windows(has: np.ndarray) -> np.ndarray:
    """Return how many squares of each window have something; windows start where they fit."""
    rows, columns = min(_ROWS, has.shape[0]), min(_COLUMNS, has.shape[1])
    windows = np.lib.stride_tricks.sliding_window_view(has, (rows, columns))
    return np.asarray(windows.sum(axis=(2, 3)))


def _place_words(rows: range, columns: range) -> str:
    return f"Columns {columns.start + 1} to {columns.stop}, rows {rows.start + 1} to {rows.stop}"


def _where(plan: ChartPlan, rows: range, columns: range) -> str:
    pages = [
        page_label(window.number, Ground.TINTED)
        for window in plan.windows
        if window.first_row < rows.stop
        and rows.start < window.end_row
        and window.first_column < columns.stop
        and columns.start < window.end_column
    ]
    return f"page {pages[0]}" if len(pages) == 1 else f"pages {', '.join(pages)}"


def _readings(chart: Chart, rows: range, columns: range) -> list[list[str]]:
    """Return one square of each kind in words, shared squares first."""
    names = spoken_names(chart)
    found: dict[tuple[StitchKind, ...], list[str]] = {}
    for row in rows:
        for column in columns:
            arrangement = chart.arrangement_at(row, column)
            kinds = tuple(stitch.kind for stitch in arrangement)
            words = arrangement_words(arrangement, names)
            if arrangement and arrangement[0].corner is None:
                words = f"a full stitch in {words}"
            found.setdefault(kinds, [f"Column {column + 1}, row {row + 1}: {words}."])
    order = sorted(found, key=lambda kinds: (-len(kinds), [kind.value for kind in kinds]))
    return [found[kinds] for kinds in order[:_MOST_READ]]


def _cut_out(chart: Chart, rows: range, columns: range, style: Style) -> Picture:
    def picture(at: Point) -> Sequence[Mark]:
        zero = (at[0] + style.text * 2, at[1] + style.text * 1.5)
        marks: list[Mark] = []
        for j, column in enumerate(columns):
            x = zero[0] + (j + 0.5) * _SIDE_MM
            marks.append(_number(column, x, zero[1] - 1.0, Align.MIDDLE, style))
        for i, row in enumerate(rows):
            y = zero[1] + (i + 0.5) * _SIDE_MM + 0.35 * style.small
            marks.append(_number(row, zero[0] - 1.5, y, Align.RIGHT, style))
            for j, column in enumerate(columns):
                corner = (zero[0] + j * _SIDE_MM, zero[1] + i * _SIDE_MM)
                marks += square_marks(chart, chart.arrangement_at(row, column), corner, _SIDE_MM)
        marks += _over(chart, rows, columns, zero)
        words = f"{_place_words(rows, columns)}, drawn large."
        return [tagged(Role.FIGURE, *marks, words=words)]

    return picture


def _number(value: int, x: float, y: float, align: Align, style: Style) -> Text:
    return Text(x=x, y=y, text=str(value + 1), size=style.small, align=align)


def _over(chart: Chart, rows: range, columns: range, zero: Point) -> list[Mark]:
    """Return backstitch and knots of the example."""
    low, high = (columns.start, rows.start), (columns.stop, rows.stop)
    styles = line_styles(chart)

    def place(hole: Point) -> Point:
        return zero[0] + (hole[0] - low[0]) * _SIDE_MM, zero[1] + (hole[1] - low[1]) * _SIDE_MM

    marks: list[Mark] = []
    for thread, holes in trails(chart.backstitch, low=low, high=high):
        width, dashes = styles[thread]
        points, long = tuple(map(place, holes)), tuple(dash * _ENLARGED for dash in dashes)
        ink = line_ink(chart.threads[thread].colour)
        marks.append(Trail(points=points, width=(width + 2 * HALO_MM) * _ENLARGED, ink=WHITE))
        marks.append(Trail(points=points, width=width * _ENLARGED, ink=ink, dashes=long))
    for knot in chart.knots:
        if is_within(knot.at, low=low, high=high):
            fill = chart.threads[knot.thread].colour
            marks += knot_marks(chart, knot.thread, at=place(knot.at), side=_SIDE_MM, fill=fill)
    return marks
