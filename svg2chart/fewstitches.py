"""Threads that a chart has for a stitch or two, each of them a skein to buy."""

from collections import Counter
from collections.abc import Iterator

import numpy as np

from svg2chart.artwork import AS_DRAWN, Fill, Stroke
from svg2chart.chart import Chart, stitch_counts
from svg2chart.dots import Dot
from svg2chart.fit import ThinLine
from svg2chart.given import Decided
from svg2chart.octants.areas import MIXED
from svg2chart.palette import Palette
from svg2chart.remarks import Remark, Severity

_Mark = Fill | Stroke | ThinLine | Dot

FEW = 3
"""A thread of so many stitches, lines and knots, or fewer, is told of. Our choice, no source."""

SMALL = 1000
"""A chart of fewer, as a charm or an initial is, needs its few stitches. Our choice, no source."""


def threads_of_few(chart: Chart, palette: Palette, decided: Decided) -> tuple[Remark, ...]:
    """Return one remark on all threads of few stitches, but those of which a stitch is given by hand.

    Args:
        chart: the finished chart.
        palette: its threads, and others that have no stitch.
        decided: the drawing that it was decided on.
    """
    counts = Counter(line.thread for line in chart.backstitch) + Counter(k.thread for k in chart.knots)
    for (number, _), times in stitch_counts(chart).items():
        counts[number] += times
    if counts.total() < SMALL:
        return ()
    of_colour = {skein.colour.hex: number for number, skein in enumerate(palette.chosen.skeins)}
    told: list[_Mark] = []
    named: list[str] = []
    for number, thread in enumerate(chart.threads):
        marks: list[_Mark] = []
        if counts[number] <= FEW:
            marks = [*_stitched(chart, number, of_colour[thread.colour], palette, decided)]
            marks += _drawn(of_colour[thread.colour], palette, decided)
        if marks and not any(mark.stitch_as in AS_DRAWN for mark in marks):
            told.append(marks[0])
            of = f' (of "{marks[0].element}")' if marks[0].element else ""
            named.append(f"{thread.name or thread.code} {counts[number]}{of}")
    if not told:
        return ()
    what = (
        f"a thread of {FEW} stitches or fewer takes a skein: {', '.join(named)}; lone stitches can be merged"
        " (--calm), and threads be fewer (--most-threads)"
    )
    first = told[0]
    return (Remark(element=first.element, layer=first.layer, what=what, severity=Severity.GUESSED),)


def _stitched(
    chart: Chart, number: int, skein: int, palette: Palette, decided: Decided
) -> Iterator[Fill | Stroke]:
    """Yield the marks of which a thread's stitches are: given in their squares, or else seen there."""
    laid, areas = decided.laid, palette.areas
    given = {(each.row, each.column): each.order for each in decided.given}
    holds = np.array([any(stitch.thread == number for stitch in held) for held in chart.arrangements])
    for row, column in np.argwhere(holds[chart.squares]).tolist():
        order = int(areas.filled_by[row, column])
        if areas.solid[row, column] == MIXED:
            square = np.array([row * chart.columns + column])
            entry = int(areas.entries(square, np.array([skein + 1]))[0])
            order = int(areas.order[entry]) if entry >= 0 else -1
        order = given.get((row, column), order)
        if order >= 0:
            yield laid.marks[order]


def _drawn(skein: int, palette: Palette, decided: Decided) -> Iterator[ThinLine | Dot]:
    """Yield the lines and dots of a thread."""
    marks: tuple[ThinLine | Dot, ...] = (*decided.laid.lines, *decided.laid.dots)
    for mark in marks:
        if palette.thread_of[mark.colour] == skein:
            yield mark
