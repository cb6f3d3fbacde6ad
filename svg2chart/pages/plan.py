"""Which squares stand on which page, and how large: decided once, before anything is drawn.

Pages break only at tens, so that the heavy lines fall at the same places of
every page. A page repeats the last squares of its neighbours above and to the
left, for finding the place; those are not counted again.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.chart import Chart
from svg2chart.errors import PageError
from svg2chart.pages.style import Style
from svg2chart.symbols import SYMBOLS

BOX_WIDTH_MM = 210.0  # A4 is the narrower of the two, ISO 216
BOX_HEIGHT_MM = 279.4  # Letter is the lower of the two, ANSI Y14.1
MARGIN_MM = 10.0
OVERLAP = 2  # squares repeated from a neighbour; 2 to 3 are common practice, no source
TEN = 10
LARGEST_MM = 5.0
SMALLEST_MM = 3.0  # a small mark of the first 30 symbols still reads after two copies
SMALLEST_CROWDED_MM = 3.6  # any small mark does
FEW_SYMBOLS = 30
MOST_PAGES = 2000  # of one set; beyond that nobody prints a chart


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet size; it has to hold the common box of A4 and Letter."""

    name: str
    width_mm: float
    height_mm: float

    def __post_init__(self) -> None:
        if self.width_mm < BOX_WIDTH_MM or self.height_mm < BOX_HEIGHT_MM:
            raise ValueError(f"pages need a sheet of at least {BOX_WIDTH_MM} x {BOX_HEIGHT_MM} mm")


BOTH = Paper("both", BOX_WIDTH_MM, BOX_HEIGHT_MM)
"""What A4 and Letter have in common: prints on either at its true size."""
A4 = Paper("A4", 210.0, 297.0)
LETTER = Paper("Letter", 215.9, 279.4)


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """The squares of one chart page: its own from `first_` to before `end_`, and what it repeats.

    `number` counts from 1, row by row; `shown_row` and `shown_column` are the
    first that are drawn. `above`, `left`, `right`, `below` are the numbers of
    the neighbours, None at the chart's edge.
    """

    number: int
    first_row: int
    end_row: int
    first_column: int
    end_column: int
    shown_row: int
    shown_column: int
    above: int | None
    left: int | None
    right: int | None
    below: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartPlan:
    """Where every square of a chart is printed. `top_mm` is where the first row of each page begins."""

    square_mm: float
    top_mm: float
    across: int
    down: int
    windows: tuple[Window, ...]

    def origin(self, window: Window) -> tuple[float, float]:
        """Return where the top left corner of the first shown square lies, x and y in mm."""
        wide = (window.end_column - window.shown_column) * self.square_mm
        return (BOX_WIDTH_MM - wide) / 2, self.top_mm


def plan_chart(chart: Chart, style: Style) -> ChartPlan:
    """Return the plan of the chart pages.

    Squares are as large as they can be, up to `LARGEST_MM`, without needing
    more pages than the smallest readable ones would.

    Raises:
        PageError: more than `MOST_PAGES` pages.
    """
    smallest = max(smallest_square_mm(chart), style.least_square)
    fewest = _page_count(chart, smallest, style)
    if fewest > MOST_PAGES:
        raise PageError(
            f"the chart of {chart.columns} x {chart.rows} squares needs {fewest} pages",
            way_out=f"Make it smaller: at most {MOST_PAGES} pages are printed",
        )
    tenths = range(round(LARGEST_MM * 10), round(smallest * 10) - 1, -1)
    square_mm = next(t / 10 for t in tenths if _page_count(chart, t / 10, style) == fewest)
    across, down = _capacity(style.grid_wide, square_mm), _capacity(style.grid_high, square_mm)
    column_cuts = cut(chart.columns, *across, harm=_harm(chart.squares.T, chart, 0))
    row_cuts = cut(chart.rows, *down, harm=_harm(chart.squares, chart, 1))
    return ChartPlan(
        square_mm=square_mm,
        top_mm=style.grid_top,
        across=len(column_cuts) - 1,
        down=len(row_cuts) - 1,
        windows=_windows(row_cuts, column_cuts),
    )


def smallest_square_mm(chart: Chart) -> float:
    """Return the smallest square in which the chart's marks can be told apart.

    Measured with a template matcher on prints copied twice (tests/pages/test_copied.py).
    """
    clear = {symbol.name for symbol in SYMBOLS[:FEW_SYMBOLS]}
    in_fractions = {s.thread for a in chart.arrangements for s in a if s.corner is not None}
    crowded = any(chart.threads[thread].symbol not in clear for thread in in_fractions)
    return SMALLEST_CROWDED_MM if crowded else SMALLEST_MM


def _capacity(room_mm: float, square_mm: float) -> tuple[int, int]:
    """Return how many squares fit one page alone, and how many own squares, in tens, fit one of several."""
    alone = math.floor(room_mm / square_mm + 1e-9)  # 1e-9 squares: a room of whole squares counts as whole
    return alone, (alone - OVERLAP) // TEN * TEN


def _page_count(chart: Chart, square_mm: float, style: Style) -> int:
    across = _pages_along(chart.columns, *_capacity(style.grid_wide, square_mm))
    return across * _pages_along(chart.rows, *_capacity(style.grid_high, square_mm))


def _pages_along(length: int, alone: int, among: int) -> int:
    return 1 if length <= alone else math.ceil(length / among)


def cut(length: int, alone: int, among: int, *, harm: Sequence[int]) -> tuple[int, ...]:
    """Return where pages begin and end along one side: 0, the cuts, `length`.

    Args:
        length: squares along this side.
        alone: squares that fit one page if there is only one.
        among: squares that fit one of several pages, a multiple of ten.
        harm: how much a cut before each square would hurt the picture.

    Pages differ by at most one ten in size, apart from what the last lacks to
    a full ten; among the ways to share the tens out, the cuts that do least harm
    are chosen, and of those the ones with the larger pages first.
    """
    pages = _pages_along(length, alone, among)
    if pages == 1:
        return 0, length
    small, larger = divmod(math.ceil(length / TEN), pages)
    # best[n]: harm and cuts of the pages so far, n of them one ten larger than the rest
    best: dict[int, tuple[int, tuple[int, ...]]] = {0: (0, (0,))}
    for page in range(1, pages):
        reached = {}
        for used in range(max(0, larger - (pages - page)), min(page, larger) + 1):
            at = (page * small + used) * TEN
            ways = [best[before] for before in (used - 1, used) if before in best]
            reached[used] = _least_harm([(cost + harm[at], (*cuts, at)) for cost, cuts in ways])
        best = reached
    return *_least_harm(list(best.values()))[1], length


def _least_harm(ways: list[tuple[int, tuple[int, ...]]]) -> tuple[int, tuple[int, ...]]:
    return min(ways, key=lambda way: (way[0], [-at for at in way[1]]))


def _harm(lines: NDArray[np.int32], chart: Chart, axis: int) -> list[int]:
    """Return the harm of a cut before each line: what belongs together and is parted by it.

    That is squares next to their like, fractions that touch, which one slanting edge runs through, and
    backstitch that is crossed.
    """
    fractional = np.array([bool(a) and a[0].corner is not None for a in chart.arrangements])[lines]
    parted = (lines[1:] == lines[:-1]) & (lines[1:] != 0) | fractional[1:] & fractional[:-1]
    harm = np.concatenate([[0], parted.sum(axis=1)])
    for stitch in chart.backstitch:
        low, high = sorted((stitch.start[axis], stitch.end[axis]))
        harm[math.floor(low) + 1 : math.ceil(high)] += 1
    return [int(value) for value in harm]


def _windows(row_cuts: Sequence[int], column_cuts: Sequence[int]) -> tuple[Window, ...]:
    across, down = len(column_cuts) - 1, len(row_cuts) - 1
    windows = []
    for i in range(down):
        for j in range(across):
            number = i * across + j + 1
            windows.append(
                Window(
                    number=number,
                    first_row=row_cuts[i],
                    end_row=row_cuts[i + 1],
                    first_column=column_cuts[j],
                    end_column=column_cuts[j + 1],
                    shown_row=row_cuts[i] - (OVERLAP if i else 0),
                    shown_column=column_cuts[j] - (OVERLAP if j else 0),
                    above=number - across if i else None,
                    left=number - 1 if j else None,
                    right=number + 1 if j + 1 < across else None,
                    below=number + across if i + 1 < down else None,
                )
            )
    return tuple(windows)
