"""The table of a library: one row for each file, in the order of the input."""

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from svg2chart.chart import Chart, StitchKind, stitch_counts

COLUMNS = (
    "file",
    "state",
    "size",
    "stitches",
    "threads",
    "fractions",
    "backstitch",
    "remarks",
    "seconds",
    "why",
)


class State(Enum):
    """What became of a file."""

    MADE = "made"
    KEPT = "kept"
    FAILED = "failed"
    NOT_REACHED = "not reached"


@dataclass(frozen=True, slots=True, kw_only=True)
class Counts:
    """What the table tells of a chart: squares, stitches, the fractions among them, and so on."""

    wide: int
    high: int
    stitches: int
    threads: int
    fractions: int
    backstitch: int
    remarks: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One file of a library. `counts` is None where there is no chart; `why` says why there is none.

    chart_sha256: of the chart file.
    """

    name: str
    stem: str
    state: State = State.NOT_REACHED
    counts: Counts | None = None
    chart_sha256: str = ""
    seconds: float | None = None
    why: str = ""


def counts_of(chart: Chart) -> Counts:
    """Return what the table tells of a chart."""
    counts = stitch_counts(chart)
    whole = sum(number for (_, kind), number in counts.items() if kind is StitchKind.FULL)
    return Counts(
        wide=chart.columns,
        high=chart.rows,
        stitches=sum(counts.values()),
        threads=len(chart.threads),
        fractions=sum(counts.values()) - whole,
        backstitch=len(chart.backstitch),
        remarks=len(chart.remarks),
    )


def table(rows: Sequence[Row]) -> bytes:
    r"""Return the table as CSV in UTF-8 (RFC 4180); bytes of a name that are no UTF-8 stand as \udcff."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(COLUMNS)
    for row in rows:
        writer.writerow((row.name, row.state.value, *_numbers(row.counts), _seconds(row.seconds), row.why))
    return text.getvalue().encode("utf-8", "backslashreplace")


def _numbers(counts: Counts | None) -> tuple[object, ...]:
    if counts is None:
        return ("",) * 6
    size = f"{counts.wide} x {counts.high}"
    return size, counts.stitches, counts.threads, counts.fractions, counts.backstitch, counts.remarks


def _seconds(seconds: float | None) -> str:
    return "" if seconds is None else f"{seconds:.2f}"
