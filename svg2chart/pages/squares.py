"""The squares of a chart page: tints, symbols, fractions, backstitch and knots.

`zero` is where hole (0, 0) of the chart lies or would lie on the page and
`side` the side of a square, both in mm.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from functools import lru_cache

import numpy as np

from svg2chart.chart import Arrangement, Chart, StitchKind
from svg2chart.colour import Colour, contrast
from svg2chart.pages.areas import thread_areas
from svg2chart.pages.fractions import fraction_marks
from svg2chart.pages.lines import (
    HALO_MM,
    is_within,
    line_ink,
    line_styles,
    trails,
)
from svg2chart.pages.plan import ChartPlan, Window
from svg2chart.pages.ruling import centre_marks, edge_numbers, heavy_lines, thin_lines
from svg2chart.pages.sheet import (
    BLACK,
    WHITE,
    Box,
    Dot,
    Face,
    Layer,
    Layered,
    Mark,
    Point,
    Region,
    Symbols,
    Text,
    Trail,
)

KNOT_RADIUS = 0.36  # in squares
KNOT_SYMBOL = 0.62
TINT = 0.45  # share of the thread's colour in the tint under its symbol
FAINT = 0.22  # the same where only the backstitch is to be seen
LEAST_CONTRAST = 4.5  # WCAG 2.1, success criterion 1.4.3
REPEAT_WASH, REPEAT_INK = "#d9d9d9", "#404040"


class Ground(Enum):
    """What lies under the symbols."""

    TINTED = "in tints"
    PLAIN = "in black and white"
    LINES = "of the backstitch"


@lru_cache(maxsize=1024)
def tint(colour: str, share: float = TINT) -> str:
    """Return the light tint of a thread's colour that is printed under its symbol.

    Black on it has a contrast of at least `LEAST_CONTRAST`, whatever the thread.
    """
    thread = Colour.from_hex(colour)
    channels = (1 - share * (1 - c) for c in (thread.red, thread.green, thread.blue))
    return Colour.from_hex(Colour(*channels).hex).hex


@dataclass(frozen=True, slots=True)
class Squares:
    """What the pages of a window have in common on all grounds, in paint order."""

    ruling: Layered
    symbols: Layered
    heavy: Layered
    halos: Layered
    trails: tuple[tuple[int, tuple[Point, ...]], ...]
    """Lines of backstitch with their threads, in mm."""


def window_squares(chart: Chart, plan: ChartPlan, window: Window) -> Squares:
    """Return the grid, the symbols and where backstitch runs in a window."""
    zero, side = _zero(plan, window), plan.square_mm
    lines = _trails(chart, window, zero, side)
    symbols = [*_row_symbols(chart, window, zero, side), *_fractions(chart, window, zero, side)]
    return Squares(
        ruling=Layered(Layer.GRID, (*_repeat_wash(window, zero, side), *thin_lines(window, zero, side))),
        symbols=Layered(Layer.SYMBOLS, tuple(symbols)),
        heavy=Layered(Layer.GRID, tuple(heavy_lines(chart, window, zero, side))),
        halos=Layered(Layer.LINES, tuple(_halos(chart, lines))),
        trails=lines,
    )


def grid_marks(
    chart: Chart, plan: ChartPlan, squares: Squares, *, window: Window, ground: Ground, number_mm: float
) -> tuple[Mark, ...]:
    """Return everything inside the grid of one chart page and the numbers round it, so large."""
    zero, side = _zero(plan, window), plan.square_mm
    tints = [] if ground is Ground.PLAIN else _tints(chart, window, zero, side, ground)
    lines = [*_backstitch(chart, squares, ground), *_knots(chart, window, zero, side, ground)]
    return (
        Layered(Layer.TINTS, tuple(tints)),
        squares.ruling,
        *(() if ground is Ground.LINES else (squares.symbols,)),
        squares.heavy,
        squares.halos,
        Layered(Layer.LINES, tuple(lines)),
        *edge_numbers(chart, window, zero, side, size=number_mm),
        *centre_marks(chart, window, zero, side),
    )


def _zero(plan: ChartPlan, window: Window) -> Point:
    """Return where hole (0, 0) of the chart lies or would lie on the page of a window."""
    left, top = plan.origin(window)
    return left - window.shown_column * plan.square_mm, top - window.shown_row * plan.square_mm


def _tints(chart: Chart, window: Window, zero: Point, side: float, ground: Ground) -> list[Mark]:
    share = FAINT if ground is Ground.LINES else TINT
    areas = thread_areas(
        chart,
        rows=range(window.first_row, window.end_row),
        columns=range(window.first_column, window.end_column),
        origin=zero,
        square_mm=side,
    )
    return [
        Region(fill=tint(chart.threads[thread].colour, share), polygons=polygons)
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
    """Return the own squares of each row as one string, and those repeated; a space is no full stitch."""
    letters = [_full_letter(chart, arrangement) for arrangement in chart.arrangements]
    found: dict[str, list[tuple[str, Point]]] = {REPEAT_INK: [], BLACK: []}
    for row in range(window.shown_row, window.end_row):
        line = chart.squares[row].tolist()
        own_from = window.first_column if row >= window.first_row else window.end_column
        for start, end, ink in (
            (window.shown_column, own_from, REPEAT_INK),
            (own_from, window.end_column, BLACK),
        ):
            text = "".join([letters[i] for i in line[start:end]]).rstrip()
            if text:
                found[ink].append((text, (zero[0] + start * side, zero[1] + (row + 1) * side)))
    return [Symbols(texts=tuple(texts), size=side, ink=ink) for ink, texts in found.items() if texts]


def _full_letter(chart: Chart, arrangement: Arrangement) -> str:
    full = [stitch for stitch in arrangement if stitch.kind is StitchKind.FULL]
    return chart.threads[full[0].thread].letter if full else " "


def _fractions(chart: Chart, window: Window, zero: Point, side: float) -> list[Mark]:
    is_fractional = np.array([bool(a) and a[0].corner is not None for a in chart.arrangements])
    shown = chart.squares[window.shown_row : window.end_row, window.shown_column : window.end_column]
    squares = []
    for i, j in np.argwhere(is_fractional[shown]).tolist():
        row, column = window.shown_row + i, window.shown_column + j
        own = row >= window.first_row and column >= window.first_column
        at = (zero[0] + column * side, zero[1] + row * side)
        squares.append((chart.arrangements[shown[i, j]], at, BLACK if own else REPEAT_INK))
    return fraction_marks(chart, squares, side=side)


def _trails(
    chart: Chart, window: Window, zero: Point, side: float
) -> tuple[tuple[int, tuple[Point, ...]], ...]:
    low, high = _bounds(window)
    return tuple(
        (thread, tuple([(zero[0] + x * side, zero[1] + y * side) for x, y in holes]))
        for thread, holes in trails(chart.backstitch, low=low, high=high)
    )


def _halos(chart: Chart, lines: Sequence[tuple[int, tuple[Point, ...]]]) -> list[Mark]:
    styles = line_styles(chart)
    return [
        Trail(points=points, width=styles[thread][0] + 2 * HALO_MM, ink=WHITE) for thread, points in lines
    ]


def _backstitch(chart: Chart, squares: Squares, ground: Ground) -> list[Mark]:
    styles = line_styles(chart)
    marks: list[Mark] = []
    for thread, points in squares.trails:
        width, dashes = styles[thread]
        ink = BLACK if ground is Ground.PLAIN else line_ink(chart.threads[thread].colour)
        marks.append(Trail(points=points, width=width, ink=ink, dashes=dashes))
    return marks


def _knots(chart: Chart, window: Window, zero: Point, side: float, ground: Ground) -> list[Mark]:
    low, high = _bounds(window)
    marks: list[Mark] = []
    for knot in chart.knots:
        if is_within(knot.at, low=low, high=high):
            at = (zero[0] + knot.at[0] * side, zero[1] + knot.at[1] * side)
            colour = BLACK if ground is Ground.PLAIN else chart.threads[knot.thread].colour
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
