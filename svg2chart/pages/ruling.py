"""The ruling of a chart page: lines, numbers at the tens, marks at the middle.

`zero` is where hole (0, 0) of the chart lies or would lie on the page and
`side` the side of a square, both in mm. Numbers count squares: a number stands
at the line after that many squares, from the chart's left edge and from its top.
"""

from svg2chart.chart import Chart
from svg2chart.pages.plan import TEN, Window
from svg2chart.pages.sheet import BLACK, Align, Lines, Mark, Point, Region, Text

THIN_MM, HEAVY_MM = 0.1, 0.3  # broader, copies join it to small symbols beside it
THIN_INK, HEAVY_INK = "#5f5f5f", "#404040"  # not black: a black line is backstitch
CENTRE_MM = 2.2
AWAY_MM = HEAVY_MM + CENTRE_MM + 0.6  # of numbers from the grid


def thin_lines(window: Window, zero: Point, side: float) -> list[Lines]:
    """Return a line at every row and column of holes."""
    return [Lines(segments=_rules(window, zero, side, every=1), width=THIN_MM, ink=THIN_INK)]


def heavy_lines(chart: Chart, window: Window, zero: Point, side: float) -> list[Lines]:
    """Return the lines at tens, counted from the chart's own edges, and the chart's edges."""
    edges = (
        _rules(window, zero, side, every=TEN)
        + tuple(
            _column_rule(window, zero, side, c)
            for c in (chart.columns,)
            if c == window.end_column and c % TEN
        )
        + tuple(_row_rule(window, zero, side, r) for r in (chart.rows,) if r == window.end_row and r % TEN)
    )
    return [Lines(segments=edges, width=HEAVY_MM, ink=HEAVY_INK)]


def _rules(window: Window, zero: Point, side: float, *, every: int) -> tuple[tuple[Point, Point], ...]:
    columns = range(-(-window.shown_column // every) * every, window.end_column + 1, every)
    rows = range(-(-window.shown_row // every) * every, window.end_row + 1, every)
    return (
        *(_column_rule(window, zero, side, column) for column in columns),
        *(_row_rule(window, zero, side, row) for row in rows),
    )


def _column_rule(window: Window, zero: Point, side: float, column: int) -> tuple[Point, Point]:
    x = zero[0] + column * side
    return (x, zero[1] + window.shown_row * side), (x, zero[1] + window.end_row * side)


def _row_rule(window: Window, zero: Point, side: float, row: int) -> tuple[Point, Point]:
    y = zero[1] + row * side
    return (zero[0] + window.shown_column * side, y), (zero[0] + window.end_column * side, y)


def _numbered(first: int, end: int, last: int) -> list[int]:
    """Return the lines with a number: the tens, and the chart's last line where it is clear of a ten."""
    tens = [line for line in range(max(TEN, -(-first // TEN) * TEN), end + 1, TEN)]
    return [*tens, last] if end == last and last % TEN > 3 else tens


def edge_numbers(chart: Chart, window: Window, zero: Point, side: float, *, size: float) -> list[Mark]:
    """Return the numbers on all four sides, clear of the centre marks; `size` is their em in mm."""
    top, bottom = zero[1] + window.shown_row * side, zero[1] + window.end_row * side
    left, right = zero[0] + window.shown_column * side, zero[0] + window.end_column * side
    below = AWAY_MM + 0.4 + 0.65 * size  # the baseline: the figures stand above it
    marks: list[Mark] = []
    for column in _numbered(window.first_column, window.end_column, chart.columns):
        x = zero[0] + column * side
        marks += [_number(column, x, y, Align.MIDDLE, size) for y in (top - AWAY_MM, bottom + below)]
    for row in _numbered(window.first_row, window.end_row, chart.rows):
        y = zero[1] + row * side + 0.33 * size
        for x, align in ((left - AWAY_MM, Align.RIGHT), (right + AWAY_MM, Align.LEFT)):
            marks.append(_number(row, x, y, align, size))
    return marks


def _number(value: int, x: float, y: float, align: Align, size: float) -> Text:
    return Text(x=x, y=y, text=str(value), size=size, align=align)


def centre_marks(chart: Chart, window: Window, zero: Point, side: float) -> list[Mark]:
    """Return arrowheads on the chart's middle column and row: a line if even, else the middle of a square."""
    triangles: list[tuple[Point, ...]] = []
    half = CENTRE_MM / 2
    if window.first_column <= chart.columns / 2 <= window.end_column:
        x = zero[0] + chart.columns / 2 * side
        for row, out in ((window.shown_row, -1), (window.end_row, 1)):
            y = zero[1] + row * side + out * HEAVY_MM
            triangles.append(((x, y), (x - half, y + out * CENTRE_MM), (x + half, y + out * CENTRE_MM)))
    if window.first_row <= chart.rows / 2 <= window.end_row:
        y = zero[1] + chart.rows / 2 * side
        for column, out in ((window.shown_column, -1), (window.end_column, 1)):
            x = zero[0] + column * side + out * HEAVY_MM
            triangles.append(((x, y), (x + out * CENTRE_MM, y - half), (x + out * CENTRE_MM, y + half)))
    return [Region(fill=BLACK, polygons=(triangle,)) for triangle in triangles]
