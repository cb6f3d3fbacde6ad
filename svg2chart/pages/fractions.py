"""Fractions on paper: a three-quarter stitch has the diagonal behind its small symbol, a quarter a small box.

What a square shows is worked out once for each arrangement and then put where it occurs.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from svg2chart.chart import Arrangement, Chart, Corner, Stitch, StitchKind
from svg2chart.pages.areas import corner_point
from svg2chart.pages.sheet import BLACK, Lines, Mark, Point, Symbols
from svg2chart.symbols import symbol_named

SMALL = 0.6  # a fraction's symbol, as a share of a whole one
INK_GAP = 0.05  # from a fraction's corner to its symbol, in squares: nearer, copies join it to the grid
DIAGONAL_MM, QUARTER_MM = 0.16, 0.11
# ruled nearly like the grid: black lines so near would read as a part of the symbol
QUARTER_INK = "#404040"

Segment = tuple[Point, Point]


@dataclass(frozen=True, slots=True)
class _Drawn:
    """What an arrangement shows, in mm from its corner: lines, symbols by letter and start of baseline."""

    diagonals: tuple[Segment, ...]
    boxes: tuple[Segment, ...]
    symbols: tuple[tuple[str, Point], ...]


def fraction_marks(
    chart: Chart, squares: Iterable[tuple[Arrangement, Point, str]], *, side: float
) -> list[Mark]:
    """Return the lines and small symbols of squares that hold fractions.

    Args:
        chart: the chart.
        squares: what each holds, its top left corner in mm, and the ink of its symbols.
        side: the side of a square in mm.
    """
    known: dict[int, _Drawn] = {}
    diagonals: list[Segment] = []
    boxes: list[Segment] = []
    symbols: dict[str, list[tuple[str, Point]]] = {}
    for arrangement, (x, y), ink in squares:
        drawn = known.get(id(arrangement))
        if drawn is None:
            drawn = known[id(arrangement)] = _drawn(chart, arrangement, side)
        for segments, into in ((drawn.diagonals, diagonals), (drawn.boxes, boxes)):
            into += [((x + a, y + b), (x + c, y + d)) for (a, b), (c, d) in segments]
        symbols.setdefault(ink, []).extend(
            [(letter, (x + across, y + down)) for letter, (across, down) in drawn.symbols]
        )
    lines: list[Mark] = []
    if diagonals:
        lines.append(Lines(segments=tuple(diagonals), width=DIAGONAL_MM))
    if boxes:
        lines.append(Lines(segments=tuple(boxes), width=QUARTER_MM, ink=QUARTER_INK))
    size = SMALL * side
    return [*lines, *(Symbols(texts=tuple(t), size=size, ink=ink) for ink, t in symbols.items())]


def square_fractions(chart: Chart, arrangement: Arrangement, *, at: Point, side: float) -> Sequence[Mark]:
    """Return the same for one square, in black."""
    return fraction_marks(chart, [(arrangement, at, BLACK)], side=side)


def _drawn(chart: Chart, arrangement: Arrangement, side: float) -> _Drawn:
    stitches = [(stitch, stitch.corner) for stitch in arrangement if stitch.corner is not None]
    diagonals = [_diagonal(corner) for stitch, corner in stitches if stitch.kind is StitchKind.THREE_QUARTER]
    boxes = [
        line for stitch, corner in stitches if stitch.kind is StitchKind.QUARTER for line in _box(corner)
    ]
    symbols = [_symbol(chart, stitch, corner) for stitch, corner in stitches]

    def scaled(point: Point) -> Point:
        return point[0] * side, point[1] * side

    return _Drawn(
        diagonals=tuple((scaled(a), scaled(b)) for a, b in diagonals),
        boxes=tuple((scaled(a), scaled(b)) for a, b in boxes),
        symbols=tuple((letter, scaled(start)) for letter, start in symbols),
    )


def _diagonal(corner: Corner) -> Segment:
    x, y = corner_point(corner)
    return (1 - x, y), (x, 1 - y)


def _box(corner: Corner) -> tuple[Segment, Segment]:
    x, y = corner_point(corner)
    middle = (0.5, 0.5)
    return ((0.5, y), middle), ((x, 0.5), middle)


def _symbol(chart: Chart, stitch: Stitch, corner: Corner) -> tuple[str, Point]:
    """Return the letter of a fraction and where it stands: its ink `INK_GAP` from its corner."""
    thread = chart.threads[stitch.thread]
    left, top, right, bottom = _ink_box(thread.symbol)
    x, y = corner_point(corner)
    across = 1 - INK_GAP - right * SMALL if x else INK_GAP - left * SMALL
    down = 1 - INK_GAP - bottom * SMALL if y else INK_GAP - top * SMALL
    return thread.letter, (across, down + SMALL)


@lru_cache(maxsize=128)
def _ink_box(symbol: str) -> tuple[float, float, float, float]:
    return symbol_named(symbol).ink_box
