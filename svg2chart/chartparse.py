"""The bytes of a chart file to a chart, with everything checked that the schema or sense forbids."""

from collections.abc import Callable
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from svg2chart.chart import (
    MOST_STRANDS,
    Arrangement,
    Backstitch,
    Chart,
    Corner,
    Fabric,
    Knot,
    MadeFrom,
    Stitch,
    StitchKind,
    Thread,
    check_arrangement,
)
from svg2chart.errors import ChartFileError
from svg2chart.remarks import Remark, Severity
from svg2chart.strictjson import Node, parse_json

FORMAT = "svg2chart chart"
VERSION = 1
MOST_BYTES = 64 * 2**20  # the most squares, no two alike in a row, take about 40 MiB
MOST_SQUARES_A_SIDE = 10_000
MOST_SQUARES = 4_000_000

Part = TypeVar("Part")


def parse_chart(data: bytes) -> Chart:
    """Return the chart that the bytes of a chart file hold.

    Raises ChartFileError, which names the place, for whatever the schema or
    sense forbids: a row of the wrong length, a thread that is not there.
    """
    if len(data) > MOST_BYTES:
        raise ChartFileError(f"larger than {MOST_BYTES // 2**20} MiB")
    root = parse_json(data)
    _check_format(root)
    parts = root.members(
        required=("format", "version", "size", "fabric", "threads", "arrangements", "rows"),
        optional=("title", "made_from", "backstitch", "knots", "report"),
    )
    threads = tuple(_thread(node) for node in parts["threads"].items())
    arrangements = tuple(_arrangement(node, len(threads)) for node in parts["arrangements"].items())
    if not arrangements or arrangements[0]:
        parts["arrangements"].fail("the first arrangement is always bare: []")
    squares = _squares(parts["rows"], *_size(parts["size"]), len(arrangements))
    return _built(
        root,
        lambda: Chart(
            title=parts["title"].text() if "title" in parts else "",
            fabric=_fabric(parts["fabric"]),
            threads=threads,
            arrangements=arrangements,
            squares=squares,
            backstitch=tuple(_backstitch(node, len(threads)) for node in _items(parts, "backstitch")),
            knots=tuple(_knot(node, len(threads)) for node in _items(parts, "knots")),
            remarks=tuple(map(_remark, _items(parts, "report"))),
            made_from=_made_from(parts["made_from"]) if "made_from" in parts else MadeFrom(),
        ),
    )


def _built(node: Node, build: Callable[[], Part]) -> Part:
    """Return what is built; what the value's own checks forbid is a fault of the file at that place."""
    try:
        return build()
    except ValueError as error:
        node.fail(str(error))


def _check_format(root: Node) -> None:
    """Raise ChartFileError unless this is a chart file of a version that we know."""
    if not isinstance(root.value, dict) or root.value.get("format") != FORMAT:
        raise ChartFileError(f'not a chart file: "format": "{FORMAT}" is missing')
    version = root.value.get("version")
    if isinstance(version, bool) or not isinstance(version, int) or version != VERSION:
        raise ChartFileError(
            f"version: only version {VERSION} of the format is known here",
            way_out="Use the svg2chart that made the file, or a later one",
        )


def _items(parts: dict[str, Node], name: str) -> list[Node]:
    return parts[name].items() if name in parts else []


def _size(node: Node) -> tuple[int, int]:
    """Return the rows and columns."""
    parts = node.members(required=("wide", "high"))
    wide, high = (parts[name].whole(1, MOST_SQUARES_A_SIDE) for name in ("wide", "high"))
    if wide * high > MOST_SQUARES:
        node.fail(f"more than {MOST_SQUARES} squares")
    return high, wide


def _squares(node: Node, rows: int, columns: int, arrangements: int) -> NDArray[np.int32]:
    """Return the squares, (rows, columns), of rows written as runs."""
    lines = node.items()
    if len(lines) != rows:
        node.fail(f"{len(lines)} rows, the chart is {rows} high")
    every: list[tuple[int, int]] = []
    for line in lines:
        runs = _plain_runs(line, columns, arrangements)
        if runs is None:
            runs = [_run(run, columns, arrangements) for run in line.items()]
        total = sum(length for length, _ in runs)
        if total != columns:
            line.fail(f"{total} squares, the chart is {columns} wide")
        every += runs
    lengths, held = np.array(every, dtype=np.int32).T
    return np.repeat(held, lengths).reshape(rows, columns)


def _plain_runs(line: Node, columns: int, arrangements: int) -> list[tuple[int, int]] | None:
    """Return the runs of a row, None if anything is not as it should be: `_run` then names its place."""
    if not isinstance(line.value, list):
        return None
    runs = []
    for run in line.value:
        if not isinstance(run, list) or len(run) != 2:
            return None
        length, held = run
        if type(length) is not int or type(held) is not int:  # true and false are no numbers here
            return None
        if not (1 <= length <= columns and 0 <= held < arrangements):
            return None
        runs.append((length, held))
    return runs


def _run(node: Node, columns: int, arrangements: int) -> tuple[int, int]:
    length, held = node.pair()
    arrangement = held.whole(0, 2**31 - 1)
    if arrangement >= arrangements:
        held.fail(f"arrangement {arrangement} is not there, the chart has {arrangements}")
    return length.whole(1, columns), arrangement


def _fabric(node: Node) -> Fabric:
    parts = node.members(required=("count", "over", "colour"))
    count, over, colour = parts["count"].whole(5, 60), parts["over"].whole(1, 2), parts["colour"].text()
    return _built(node, lambda: Fabric(count=count, over=over, colour=colour))


def _thread(node: Node) -> Thread:
    parts = node.members(required=("letter", "code", "name", "colour", "symbol", "strands"))
    texts = {name: parts[name].text() for name in ("letter", "code", "name", "colour", "symbol")}
    strands = parts["strands"].members(required=("cross", "back"))
    cross, back = (strands[name].whole(1, MOST_STRANDS) for name in ("cross", "back"))
    return _built(node, lambda: Thread(**texts, cross_strands=cross, back_strands=back))


def _arrangement(node: Node, threads: int) -> Arrangement:
    arrangement = tuple(_stitch(item, threads) for item in node.items())
    _built(node, lambda: check_arrangement(arrangement))
    return arrangement


def _stitch(node: Node, threads: int) -> Stitch:
    parts = node.members(required=("stitch", "thread"), optional=("corner",))
    kind = parts["stitch"].choice(StitchKind)
    corner = parts["corner"].choice(Corner) if "corner" in parts else None
    thread = _thread_index(parts["thread"], threads)
    return _built(node, lambda: Stitch(kind=kind, thread=thread, corner=corner))


def _thread_index(node: Node, threads: int) -> int:
    index = node.whole(0, 2**31 - 1)
    if index >= threads:
        node.fail(f"thread {index} is not there, the chart has {threads}")
    return index


def _hole(node: Node) -> tuple[float, float]:
    column, row = node.pair()
    return column.half(), row.half()


def _backstitch(node: Node, threads: int) -> Backstitch:
    parts = node.members(required=("thread", "from", "to"))
    thread, start, end = _thread_index(parts["thread"], threads), _hole(parts["from"]), _hole(parts["to"])
    return _built(node, lambda: Backstitch(thread=thread, start=start, end=end))


def _knot(node: Node, threads: int) -> Knot:
    parts = node.members(required=("thread", "at"))
    thread, at = _thread_index(parts["thread"], threads), _hole(parts["at"])
    return _built(node, lambda: Knot(thread=thread, at=at))


def _remark(node: Node) -> Remark:
    parts = node.members(required=("element", "what", "severity"), optional=("layer",))
    return Remark(
        element=parts["element"].text(),
        what=parts["what"].text(),
        severity=parts["severity"].choice(Severity),
        layer=parts["layer"].text() if "layer" in parts else "",
    )


def _made_from(node: Node) -> MadeFrom:
    parts = node.members(required=("sha256", "settings", "svg2chart"))
    sha256 = parts["sha256"].text()
    if sha256 and (len(sha256) != 64 or set(sha256) - set("0123456789abcdef")):
        parts["sha256"].fail("64 digits of 0-9 and a-f are expected here, or none")
    settings = tuple((name, setting.scalar()) for name, setting in parts["settings"].named_values())
    return MadeFrom(sha256=sha256, settings=settings, version=parts["svg2chart"].text())
