"""What a page shows of a chart, as plain JSON values: the chart file itself, and what is reckoned from it."""

import math

from svg2chart.chart import Chart, StitchKind, stitch_counts
from svg2chart.fabrics import finished_size
from svg2chart.pages.lines import line_ink
from svg2chart.pages.squares import tint
from svg2chart.proof.explain import stitches_in_words, thread_names
from svg2chart.symbol_drawing import Symbol
from svg2chart.symbols import symbol_named

Json = dict[str, object]


def shown_beside(chart: Chart) -> Json:
    """Return what a page needs besides the chart file.

    threads: for each the outline of its symbol in a unit square (SVG path data, nonzero rule) and the box
    around its ink, the tint under it and the ink of its lines as in the PDF, and its counts.
    words: what each arrangement is called. size: the finished size in words.
    """
    counts = stitch_counts(chart)
    names = thread_names(chart)
    return {
        "threads": [_thread_value(chart, index, counts) for index in range(len(chart.threads))],
        "words": [stitches_in_words(arrangement, names) for arrangement in chart.arrangements],
        "size": _size_words(chart),
    }


def _thread_value(chart: Chart, index: int, counts: dict[tuple[int, StitchKind], int]) -> Json:
    thread = chart.threads[index]
    symbol = symbol_named(thread.symbol)
    back = math.fsum(math.dist(line.start, line.end) for line in chart.backstitch if line.thread == index)
    return {
        "outline": outline_data(symbol),
        "ink_box": [round(edge, 4) for edge in symbol.ink_box],
        "tint": tint(thread.colour),
        "line": line_ink(thread.colour),
        "counts": {
            "full": counts.get((index, StitchKind.FULL), 0),
            "three-quarter": counts.get((index, StitchKind.THREE_QUARTER), 0),
            "quarter": counts.get((index, StitchKind.QUARTER), 0),
            "backstitch": round(back, 1),
            "knots": sum(knot.thread == index for knot in chart.knots),
        },
    }


def outline_data(symbol: Symbol) -> str:
    """Return a symbol as SVG path data in a unit square, to a ten-thousandth of its side."""
    return "".join(
        "M" + "L".join(f"{x:.4f},{y:.4f}" for x, y in contour) + "Z" for contour in symbol.contours
    )


def _size_words(chart: Chart) -> str:
    size = finished_size(chart.columns, chart.rows, chart.fabric)
    over = " over two" if chart.fabric.over == 2 else ""
    times = "\N{MULTIPLICATION SIGN}"
    finished = f"{size.width_mm:.0f} {times} {size.height_mm:.0f} mm on {chart.fabric.count} count{over}"
    return f"{chart.columns} {times} {chart.rows} squares, {finished}"
