"""The chart pages: symbols in squares, the grid, its numbers, backstitch and knots.

Numbers count squares: a number stands at the line after that many squares,
from the chart's left edge and from its top.
"""

from enum import Enum

from svg2chart.chart import Arrangement, Chart, Corner, Stitch, StitchKind
from svg2chart.colour import Colour, contrast
from svg2chart.pages.areas import corner_point, placed, thread_areas
from svg2chart.pages.lines import (
    HALO_MM,
    back_threads,
    is_within,
    line_ink,
    line_style,
    trails,
)
from svg2chart.pages.plan import TEN, ChartPlan, Window
from svg2chart.pages.sheet import BLACK, WHITE, Align, Box, Dot, Face, Lines, Mark, Point, Region, Text, Trail
from svg2chart.symbols import symbol_named

SMALL = 0.6  # a fraction's symbol, as a share of a whole one
INK_GAP = 0.04  # from a fraction's corner to the ink of its symbol, in squares
KNOT_RADIUS = 0.36  # in squares
KNOT_SYMBOL = 0.62
TINT = 0.45  # share of the thread's colour in the tint under its symbol
LEAST_CONTRAST = 4.5  # WCAG 2.1, success criterion 1.4.3
THIN_MM, HEAVY_MM, FRACTION_MM = 0.1, 0.4, 0.16
THIN_INK = "#8c8c8c"
REPEAT_WASH, REPEAT_INK = "#d9d9d9", "#404040"
NUMBER_MM = 2.7
CENTRE_MM = 2.2


class Ground(Enum):
    """What lies under the symbols."""

    TINTED = "in tints"
    PLAIN = "in black and white"


def tint(colour: str) -> str:
    """Return the light tint of a thread's colour that is printed under its symbol.

    Black on it has a contrast of at least `LEAST_CONTRAST`, whatever the thread.
    """
    thread = Colour.from_hex(colour)
    channels = (1 - TINT * (1 - c) for c in (thread.red, thread.green, thread.blue))
    return Colour.from_hex(Colour(*channels).hex).hex


def grid_marks(chart: Chart, plan: ChartPlan, window: Window, ground: Ground) -> tuple[Mark, ...]:
    """Return everything inside the grid of one chart page and the numbers round it."""
    left, top = plan.origin(window)
    side = plan.square_mm
    # where hole (0, 0) of the chart would lie
    zero = (left - window.shown_column * side, top - window.shown_row * side)
    return (
        *(_tints(chart, window, zero, side) if ground is Ground.TINTED else ()),
        *_repeat_wash(window, zero, side),
        *_thin_lines(window, zero, side),
        *_row_symbols(chart, window, zero, side),
        *_fractions(chart, window, zero, side),
        *_heavy_lines(chart, window, zero, side),
        *_backstitch(chart, window, zero, side, ground),
        *_knots(chart, window, zero, side, ground),
        *_numbers(chart, window, zero, side),
        *_centre_marks(chart, window, zero, side),
    )


def _tints(chart: Chart, window: Window, zero: Point, side: float) -> list[Mark]:
    areas = thread_areas(
        chart,
        rows=range(window.first_row, window.end_row),
        columns=range(window.first_column, window.end_column),
    )
    return [
        placed(polygons, origin=zero, square_mm=side, fill=tint(chart.threads[thread].colour))
        for thread, polygons in areas
    ]


def _repeat_wash(window: Window, zero: Point, side: float) -> list[Mark]:
    """Return grey under the squares that a neighbour has already counted."""
    x, y = zero[0] + window.shown_column * side, zero[1] + window.shown_row * side
    wide = (window.end_column - window.shown_column) * side
    repeated_rows = (window.first_row - window.shown_row) * side
    repeated_columns = (window.first_column - window.shown_column) * side
    own_rows = (window.end_row - window.first_row) * side
    washes: list[Mark] = []
    if repeated_rows:
        washes.append(Box(x=x, y=y, width=wide, height=repeated_rows, fill=REPEAT_WASH))
    if repeated_columns:
        washes.append(
            Box(x=x, y=y + repeated_rows, width=repeated_columns, height=own_rows, fill=REPEAT_WASH)
        )
    return washes


def _row_symbols(chart: Chart, window: Window, zero: Point, side: float) -> list[Mark]:
    """Return a text for the own squares of each row and one for those repeated; a space is no full stitch."""
    letters = [_full_letter(chart, arrangement) for arrangement in chart.arrangements]
    marks: list[Mark] = []
    for row in range(window.shown_row, window.end_row):
        line = chart.squares[row].tolist()
        own_from = window.first_column if row >= window.first_row else window.end_column
        for start, end, ink in (
            (window.shown_column, own_from, REPEAT_INK),
            (own_from, window.end_column, BLACK),
        ):
            text = "".join(letters[i] for i in line[start:end])
            if text.strip():
                x, y = zero[0] + start * side, zero[1] + (row + 1) * side
                marks.append(Text(x=x, y=y, text=text.rstrip(), size=side, face=Face.SYMBOLS, ink=ink))
    return marks


def _full_letter(chart: Chart, arrangement: Arrangement) -> str:
    full = [stitch for stitch in arrangement if stitch.kind is StitchKind.FULL]
    return chart.threads[full[0].thread].letter if full else " "


def _fractions(chart: Chart, window: Window, zero: Point, side: float) -> list[Mark]:
    marks: list[Mark] = []
    for row in range(window.shown_row, window.end_row):
        for column in range(window.shown_column, window.end_column):
            arrangement = chart.arrangement_at(row, column)
            if not arrangement or arrangement[0].corner is None:
                continue
            own = row >= window.first_row and column >= window.first_column
            at = (zero[0] + column * side, zero[1] + row * side)
            marks += fraction_marks(chart, arrangement, at=at, side=side, ink=BLACK if own else REPEAT_INK)
    return marks


def fraction_marks(
    chart: Chart, arrangement: Arrangement, *, at: Point, side: float, ink: str = BLACK
) -> list[Mark]:
    """Return the lines and small symbols of a square that holds fractions.

    A three-quarter stitch has the diagonal of the square behind its symbol; a
    quarter has two short lines round its symbol that box it into its corner.
    """
    segments: list[tuple[Point, Point]] = []
    marks: list[Mark] = []
    for stitch in arrangement:
        if stitch.corner is not None:
            marks.append(_small_symbol(chart, stitch, stitch.corner, at, side, ink))
            segments += _fraction_lines(stitch.kind, stitch.corner, at, side)
    return [Lines(segments=tuple(dict.fromkeys(segments)), width=FRACTION_MM, ink=ink), *marks]


def _fraction_lines(kind: StitchKind, corner: Corner, at: Point, side: float) -> list[tuple[Point, Point]]:
    x, y = corner_point(corner)

    def place(across: float, down: float) -> Point:
        return at[0] + across * side, at[1] + down * side

    if kind is StitchKind.THREE_QUARTER:
        return [(place(1 - x, y), place(x, 1 - y))]
    return [(place(0.5, y), place(0.5, 0.5)), (place(x, 0.5), place(0.5, 0.5))]


def _small_symbol(chart: Chart, stitch: Stitch, corner: Corner, at: Point, side: float, ink: str) -> Text:
    """Return the symbol of a fraction, its ink `INK_GAP` from both sides of its corner."""
    thread = chart.threads[stitch.thread]
    left, top, right, bottom = symbol_named(thread.symbol).ink_box
    x, y = corner_point(corner)
    # offsets of the small unit square within the square
    across = 1 - INK_GAP - right * SMALL if x else INK_GAP - left * SMALL
    down = 1 - INK_GAP - bottom * SMALL if y else INK_GAP - top * SMALL
    return Text(
        x=at[0] + across * side,
        y=at[1] + (down + SMALL) * side,
        text=thread.letter,
        size=SMALL * side,
        face=Face.SYMBOLS,
        ink=ink,
    )


def _thin_lines(window: Window, zero: Point, side: float) -> list[Mark]:
    return [Lines(segments=_rules(window, zero, side, every=1), width=THIN_MM, ink=THIN_INK)]


def _heavy_lines(chart: Chart, window: Window, zero: Point, side: float) -> list[Mark]:
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
    return [Lines(segments=edges, width=HEAVY_MM)]


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


def _backstitch(chart: Chart, window: Window, zero: Point, side: float, ground: Ground) -> list[Mark]:
    low, high = _bounds(window)
    order = {thread: place for place, thread in enumerate(back_threads(chart))}
    halos: list[Mark] = []
    lines: list[Mark] = []
    for thread, holes in trails(chart.backstitch, low=low, high=high):
        points = tuple((zero[0] + x * side, zero[1] + y * side) for x, y in holes)
        width, dashes = line_style(order[thread])
        ink = line_ink(chart.threads[thread].colour) if ground is Ground.TINTED else BLACK
        halos.append(Trail(points=points, width=width + 2 * HALO_MM, ink=WHITE))
        lines.append(Trail(points=points, width=width, ink=ink, dashes=dashes))
    return halos + lines


def _knots(chart: Chart, window: Window, zero: Point, side: float, ground: Ground) -> list[Mark]:
    low, high = _bounds(window)
    marks: list[Mark] = []
    for knot in chart.knots:
        if is_within(knot.at, low=low, high=high):
            at = (zero[0] + knot.at[0] * side, zero[1] + knot.at[1] * side)
            colour = chart.threads[knot.thread].colour if ground is Ground.TINTED else BLACK
            marks += knot_marks(chart, knot.thread, at=at, side=side, fill=colour)
    return marks


def knot_marks(chart: Chart, thread: int, *, at: Point, side: float, fill: str) -> list[Mark]:
    """Return a French knot: a dot round its hole with the thread's symbol inside, in black or white."""
    dot = Colour.from_hex(fill)
    ink = max((BLACK, WHITE), key=lambda ink: contrast(Colour.from_hex(ink), dot))
    half = KNOT_SYMBOL * side / 2
    return [
        Dot(x=at[0], y=at[1], radius=KNOT_RADIUS * side + HALO_MM, fill=WHITE, edge=WHITE),
        Dot(x=at[0], y=at[1], radius=KNOT_RADIUS * side, fill=fill, edge=BLACK),
        Text(
            x=at[0] - half,
            y=at[1] + half,
            text=chart.threads[thread].letter,
            size=KNOT_SYMBOL * side,
            face=Face.SYMBOLS,
            ink=ink,
        ),
    ]


def _bounds(window: Window) -> tuple[Point, Point]:
    return (window.shown_column, window.shown_row), (window.end_column, window.end_row)


def _numbered(first: int, end: int, last: int) -> list[int]:
    """Return the lines with a number: the tens, and the chart's last line where it is clear of a ten."""
    tens = [line for line in range(max(TEN, -(-first // TEN) * TEN), end + 1, TEN)]
    return [*tens, last] if end == last and last % TEN > 3 else tens


def _numbers(chart: Chart, window: Window, zero: Point, side: float) -> list[Mark]:
    """Return the numbers on all four sides, clear of the centre marks."""
    top, bottom = zero[1] + window.shown_row * side, zero[1] + window.end_row * side
    left, right = zero[0] + window.shown_column * side, zero[0] + window.end_column * side
    away = CENTRE_MM + 0.8
    marks: list[Mark] = []
    for column in _numbered(window.first_column, window.end_column, chart.columns):
        x = zero[0] + column * side
        marks += [_number(column, x, y, "middle") for y in (top - away, bottom + away + 0.65 * NUMBER_MM)]
    for row in _numbered(window.first_row, window.end_row, chart.rows):
        y = zero[1] + row * side + 0.33 * NUMBER_MM
        marks += [_number(row, left - away, y, "right"), _number(row, right + away, y, "left")]
    return marks


def _number(value: int, x: float, y: float, align: str) -> Text:
    return Text(x=x, y=y, text=str(value), size=NUMBER_MM, align=Align(align))


def _centre_marks(chart: Chart, window: Window, zero: Point, side: float) -> list[Mark]:
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
