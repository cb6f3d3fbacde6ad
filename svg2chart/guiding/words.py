"""The chart in words: plain text that a screen reader can read, and from which the chart can be stitched.

First every row from the left, then the same thread by thread, backstitch and knots, and last the order of
work. Numbers count from 1, as on the printed chart, those of holes too: below a row, right of a column.
"""

from collections.abc import Iterator, Sequence
from itertools import groupby

from svg2chart.chart import Arrangement, Chart, Stitch, StitchKind
from svg2chart.guiding.difficulty import difficulty_lines
from svg2chart.guiding.legs import hole_of
from svg2chart.guiding.names import counted, hole_words, span_words, spoken_names, trail_words
from svg2chart.guiding.order import plan_work
from svg2chart.guiding.telling import ToldBlock, tell_work
from svg2chart.guiding.trails import find_trails

_BARE = "bare"


def chart_in_words(chart: Chart) -> str:
    """Return the whole chart as text of short lines, one row of the chart each."""
    names = spoken_names(chart)
    opening, rows, *lines = rows_in_words(chart)
    sections = [
        opening,
        rows,
        *(_thread_section(chart, number, names) for number in range(len(names))),
        *lines,
        *(_block(block) for block in tell_work(chart, plan_work(chart))),
    ]
    return "\n\n".join("\n".join(section) for section in sections if section) + "\n"


def rows_in_words(chart: Chart) -> list[list[str]]:
    """Return the opening, the rows, and backstitch and knots where there are some: lines under a title."""
    names = spoken_names(chart)
    rows = ["Row by row", *_rows(chart, names)]
    return [_opening(chart, names), rows, *filter(None, (_backstitch(chart, names), _knots(chart, names)))]


def _opening(chart: Chart, names: Sequence[str]) -> list[str]:
    fabric = chart.fabric
    over = f", over {fabric.over}" if fabric.over > 1 else ""
    lines = [
        f"Chart in words: {' '.join(chart.title.split()) or 'untitled'}",
        f"{counted(chart.columns, 'square', 'squares')} wide, {chart.rows:,} high."
        f" {fabric.count} count{over}.",
        *difficulty_lines(chart),
        "Rows are counted from the top, columns from the left, both from 1.",
        "A three-quarter or quarter stitch is named by the corner of the square in which its quarter lies.",
    ]
    for number, (thread, name) in enumerate(zip(chart.threads, names, strict=True), start=1):
        own = " ".join(f"{thread.code} {thread.name}".split())
        lines.append(f"Thread {number} is called {name}. Key: letter {thread.letter}, {own or 'no name'}.")
    return lines


def _rows(chart: Chart, names: Sequence[str]) -> Iterator[str]:
    """Yield the rows from the top; rows that follow each other and are alike are told once."""
    row = 0
    for _, alike in groupby(chart.squares.tolist()):
        line, *others = alike
        place = span_words("Row", "Rows", range(row + 1, row + 2 + len(others)))
        if all(not chart.arrangements[number] for number in line):
            yield f"{place}: {_BARE}."
        else:
            arrangements = groupby(chart.arrangements[number] for number in line)
            items = [f"{len(list(same))} {arrangement_words(a, names)}" for a, same in arrangements]
            yield f"{place}, from the left: {', '.join(items)}."
        row += 1 + len(others)


def arrangement_words(arrangement: Arrangement, names: Sequence[str]) -> str:
    """Return what a square holds.

    >>> from svg2chart.chart import Corner
    >>> three = Stitch(kind=StitchKind.THREE_QUARTER, thread=0, corner=Corner.TOP_RIGHT)
    >>> quarter = Stitch(kind=StitchKind.QUARTER, thread=1, corner=Corner.BOTTOM_LEFT)
    >>> arrangement_words((three, quarter), ["lamp yellow", "slate"])
    'three-quarter lamp yellow with corner top-right over a quarter of slate'
    """
    if not arrangement:
        return _BARE
    first = arrangement[0]
    if first.corner is None:
        return names[first.thread]
    if first.kind is StitchKind.THREE_QUARTER:
        below = "".join(f" over a quarter of {names[stitch.thread]}" for stitch in arrangement[1:])
        return f"three-quarter {names[first.thread]} with corner {first.corner.value}{below}"
    quarters = [f"quarter {names[s.thread]} with corner {s.corner.value}" for s in arrangement if s.corner]
    return " and ".join(quarters)


def _thread_section(chart: Chart, thread: int, names: Sequence[str]) -> list[str]:
    lines = []
    for row, line in enumerate(chart.squares.tolist(), start=1):
        columns: dict[str, list[int]] = {}
        for column, number in enumerate(line, start=1):
            for stitch in chart.arrangements[number]:
                if stitch.thread == thread:
                    columns.setdefault(_kind_words(stitch), []).append(column)
        if columns:
            parts = [f"{kind} in {span_words('column', 'columns', at)}" for kind, at in columns.items()]
            lines.append(f"Row {row}: {'; '.join(parts)}.")
    return [f"Thread by thread: {names[thread]}", *lines] if lines else []


def _kind_words(stitch: Stitch) -> str:
    return "full" if stitch.corner is None else f"{stitch.kind.value} with corner {stitch.corner.value}"


def _backstitch(chart: Chart, names: Sequence[str]) -> list[str]:
    lines = []
    for thread, name in enumerate(names):
        own = [line for line in chart.backstitch if line.thread == thread]
        for trail in find_trails(own):
            holes = [trail[0].down, *(leg.up for leg in trail)]
            lines.append(f"Backstitch in {name}: {trail_words(holes)}.")
    return ["Backstitch, from hole to hole", *lines] if lines else []


def _knots(chart: Chart, names: Sequence[str]) -> list[str]:
    lines = [f"Knot in {names[knot.thread]}: {hole_words(hole_of(knot.at))}." for knot in chart.knots]
    return ["French knots, by their holes", *lines] if lines else []


def _block(block: ToldBlock) -> list[str]:
    return [f"Order of work: {block.title}", block.start, *(f"{step}." for step in block.steps)]
