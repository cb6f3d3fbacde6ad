"""The chart file: a chart to bytes and back. The format is told in docs/chart-file.md."""

import json
from collections.abc import Iterable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from svg2chart.chart import Backstitch, Chart, Stitch, Thread
from svg2chart.chartparse import (
    FORMAT,
    MOST_BYTES,
    MOST_SQUARES,
    MOST_SQUARES_A_SIDE,
    VERSION,
    parse_chart,
)
from svg2chart.errors import ChartFileError
from svg2chart.files import write_files
from svg2chart.remarks import Remark

__all__ = ["chart_bytes", "parse_chart", "read_chart", "write_chart"]


def chart_bytes(chart: Chart) -> bytes:
    """Return the chart file: UTF-8, the same bytes for the same chart, one row and one thread a line.

    Raises ChartFileError if the chart is larger than a chart file may be, or holds text that UTF-8 cannot.
    """
    if max(chart.rows, chart.columns) > MOST_SQUARES_A_SIDE or chart.squares.size > MOST_SQUARES:
        raise ChartFileError(f"{chart.columns} by {chart.rows} squares are too many for a chart file")
    made_from = {
        "sha256": chart.made_from.sha256,
        "settings": dict(chart.made_from.settings),
        "svg2chart": chart.made_from.version,
    }
    fabric = {"count": chart.fabric.count, "over": chart.fabric.over, "colour": chart.fabric.colour}
    members = {
        "format": _line(FORMAT),
        "version": _line(VERSION),
        "title": _line(chart.title),
        "made_from": _line(made_from),
        "size": _line({"wide": chart.columns, "high": chart.rows}),
        "fabric": _line(fabric),
        "threads": _lines(map(_thread_value, chart.threads)),
        "arrangements": _lines([_stitch_value(s) for s in a] for a in chart.arrangements),
        "rows": _lines(map(_runs, chart.squares)),
        "backstitch": _lines(map(_backstitch_value, chart.backstitch)),
        "knots": _lines({"thread": knot.thread, "at": _hole(knot.at)} for knot in chart.knots),
        "report": _lines(map(_remark_value, chart.remarks)),
    }
    text = "{\n" + ",\n".join(f'  "{name}": {value}' for name, value in members.items()) + "\n}\n"
    try:
        return text.encode("utf-8")
    except UnicodeEncodeError as error:
        raise ChartFileError("the chart has a text with half a surrogate pair in it") from error


def write_chart(chart: Chart, path: str | Path) -> None:
    """Write the chart file, whole or not at all; a file that was there is replaced.

    Raises ChartFileError.
    """
    try:
        write_files([(Path(path), chart_bytes(chart))])
    except ChartFileError as error:
        raise error.in_file(str(path)) from error
    except OSError as error:
        raise ChartFileError(
            f"cannot be written: {error.strerror}", way_out="Choose another place", file=str(path)
        ) from error


def read_chart(path: str | Path) -> Chart:
    """Return the chart of a chart file. Raises ChartFileError, which names the file and the place in it."""
    try:
        with Path(path).open("rb") as file:
            return parse_chart(file.read(MOST_BYTES + 1))
    except ChartFileError as error:
        raise error.in_file(str(path)) from error
    except OSError as error:
        raise ChartFileError(
            f"cannot be read: {error.strerror}", way_out="Check its name and rights", file=str(path)
        ) from error


def _line(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _lines(values: Iterable[object]) -> str:
    lines = [f"    {_line(value)}" for value in values]
    return "[\n" + ",\n".join(lines) + "\n  ]" if lines else "[]"


def _thread_value(thread: Thread) -> object:
    return {
        "letter": thread.letter,
        "code": thread.code,
        "name": thread.name,
        "colour": thread.colour,
        "symbol": thread.symbol,
        "strands": {"cross": thread.cross_strands, "back": thread.back_strands},
    }


def _stitch_value(stitch: Stitch) -> object:
    corner = {"corner": stitch.corner.value} if stitch.corner else {}
    return {"stitch": stitch.kind.value, **corner, "thread": stitch.thread}


def _runs(row: NDArray[np.int32]) -> list[list[int]]:
    """Return the row as runs, each [how many squares, arrangement]."""
    starts = np.flatnonzero(np.diff(row, prepend=-1))
    lengths = np.diff(starts, append=row.size)
    return [[length, held] for length, held in zip(lengths.tolist(), row[starts].tolist(), strict=True)]


def _hole(hole: tuple[float, float]) -> list[int | float]:
    return [int(position) if position == int(position) else position for position in hole]


def _backstitch_value(line: Backstitch) -> object:
    return {"thread": line.thread, "from": _hole(line.start), "to": _hole(line.end)}


def _remark_value(remark: Remark) -> object:
    layer = {"layer": remark.layer} if remark.layer else {}
    return {"element": remark.element, **layer, "what": remark.what, "severity": remark.severity.value}
