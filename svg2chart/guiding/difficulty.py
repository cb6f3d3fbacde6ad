"""How difficult a chart is, in words, with the numbers behind them.

Charts for beginners have few colours and only full crosses (a page on choosing patterns). The steps beyond
are our own scale, no source: each measure counts from 0 to 3, and their sum chooses the word.
"""

from bisect import bisect_left
from dataclasses import dataclass

import numpy as np

from svg2chart.chart import Chart
from svg2chart.guiding.cloth import LENGTH_UNIT, length
from svg2chart.guiding.legs import hole_of
from svg2chart.guiding.names import counted

WORDS = (
    "a first piece",
    "for those who have stitched before",
    "for practised stitchers",
    "for the experienced",
)
_SUMS = (1, 4, 8)  # the largest sum for each word but the last

_COLOURS = (6, 15, 30)
_FRACTIONS = (0, 100, 250)
_CONFETTI = (10, 30, 80)
_BACKSTITCH = (0, 100, 300)
"""The largest value for 0, 1 and 2; shares are in thousandths of the stitched squares."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Difficulty:
    """What makes a chart difficult.

    `squares` are stitched, `fractional` of them hold a fraction, `lone` ones are confetti: they hold a thread
    that no square has which touches them at a side or a corner. `back_thousandths` is the length of
    backstitch in thousandths of a square's side.
    """

    colours: int
    squares: int
    fractional: int
    lone: int
    back_thousandths: int

    @property
    def steps(self) -> tuple[int, int, int, int]:
        """How much colours, fractions, confetti and backstitch count, 0 to 3 each."""
        return (
            bisect_left(_COLOURS, self.colours),
            bisect_left(_FRACTIONS, self._share(self.fractional)),
            bisect_left(_CONFETTI, self._share(self.lone)),
            bisect_left(_BACKSTITCH, self._share(self.back_thousandths // 1000)),
        )

    @property
    def word(self) -> str:
        """For whom the chart is; nothing with a fraction in it is a first piece."""
        level = bisect_left(_SUMS, sum(self.steps))
        return WORDS[max(level, 1 if self.fractional else 0)]

    def _share(self, part: int) -> int:
        """Return a part of the stitched squares in thousandths, rounded up."""
        return -(-part * 1000 // max(1, self.squares))


def rate_difficulty(chart: Chart) -> Difficulty:
    """Return how difficult a chart is."""
    held = [{stitch.thread for stitch in arrangement} for arrangement in chart.arrangements]
    fractions = [any(stitch.corner is not None for stitch in a) for a in chart.arrangements]
    used = {thread for threads in held for thread in threads}
    used |= {line.thread for line in chart.backstitch} | {knot.thread for knot in chart.knots}
    back = sum(length(hole_of(line.start), hole_of(line.end)) for line in chart.backstitch)
    return Difficulty(
        colours=len(used),
        squares=int(np.count_nonzero(np.array([bool(threads) for threads in held])[chart.squares])),
        fractional=int(np.count_nonzero(np.array(fractions)[chart.squares])),
        lone=_lone_squares(chart, held),
        back_thousandths=back * 1000 // LENGTH_UNIT,
    )


def _lone_squares(chart: Chart, held: list[set[int]]) -> int:
    lone = np.zeros(chart.squares.shape, np.bool_)
    for thread in range(len(chart.threads)):
        has = np.pad(np.array([thread in threads for threads in held])[chart.squares], 1)
        rows, columns = chart.squares.shape
        around = sum(
            has[down : down + rows, right : right + columns].astype(np.int64)
            for down in range(3)
            for right in range(3)
        )
        lone |= has[1:-1, 1:-1] & (around == 1)
    return int(np.count_nonzero(lone))


def difficulty_lines(chart: Chart) -> list[str]:
    """Return how difficult a chart is, and why, in plain words."""
    found = rate_difficulty(chart)
    return [
        f"Difficulty: {found.word}.",
        f"{counted(found.colours, 'colour', 'colours')};"
        f" {counted(found.squares, 'square', 'squares')} to stitch,"
        f" of which {counted(found.fractional, 'holds', 'hold')} fractions"
        f" ({_percent(found.fractional, found.squares)})"
        f" and {counted(found.lone, 'stands', 'stand')} alone, without another of the same colour beside it"
        f" ({_percent(found.lone, found.squares)});"
        f" backstitch over {counted(round(found.back_thousandths / 1000), 'side', 'sides')} of a square.",
    ]


def _percent(part: int, whole: int) -> str:
    return f"{round(100 * part / max(1, whole))} %"
