"""The chart file: what is written reads back the same, and what the schema forbids is refused."""

import copy
import json
from importlib import resources
from pathlib import Path

import jsonschema
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.chart import Arrangement, Backstitch, Chart, Corner, Knot, Stitch, StitchKind, Thread
from svg2chart.chartfile import chart_bytes, parse_chart, read_chart, write_chart
from svg2chart.errors import ChartFileError
from svg2chart.remarks import Remark, Severity
from tests.strategies import charts

SCHEMA = json.loads(resources.files("svg2chart").joinpath("chart.schema.json").read_text("utf-8"))
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)

FULL: Arrangement = (Stitch(kind=StitchKind.FULL, thread=0),)
SHARED: Arrangement = (
    Stitch(kind=StitchKind.THREE_QUARTER, corner=Corner.TOP_LEFT, thread=0),
    Stitch(kind=StitchKind.QUARTER, corner=Corner.BOTTOM_RIGHT, thread=1),
)


def small_chart() -> Chart:
    """Two threads, three by two squares, a line, a knot and a remark."""
    return Chart(
        title="Lämp",
        threads=(
            Thread(letter="A", code="H07", name="Lamp yellow", colour="#f2b705", symbol="disc"),
            Thread(letter="B", code="H11", name="Quay grey", colour="#6b7480", symbol="bar"),
        ),
        arrangements=((), FULL, SHARED),
        squares=np.array([[0, 0, 1], [1, 2, 0]], dtype=np.int32),
        backstitch=(Backstitch(thread=1, start=(0, 1), end=(1, 1.5)),),
        knots=(Knot(thread=1, at=(3, 2)),),
        remarks=(Remark(element="smoke", what="filter not drawn", severity=Severity.LEFT_OUT),),
    )


def small_value() -> dict[str, object]:
    """Return the value of the small chart's file, to be spoilt."""
    value: dict[str, object] = json.loads(chart_bytes(small_chart()))
    return value


def refusal(data: bytes) -> str:
    with pytest.raises(ChartFileError) as caught:
        parse_chart(data)
    message = str(caught.value)
    assert "\n" not in message
    return message


def refusal_of(value: object) -> str:
    return refusal(json.dumps(value).encode())


@given(charts())
def test_round_trip_returns_an_equal_chart_and_the_same_bytes(chart: Chart) -> None:
    data = chart_bytes(chart)
    again = parse_chart(data)
    assert again == chart
    assert chart_bytes(again) == data


@given(charts())
def test_every_chart_file_is_valid_by_the_schema(chart: Chart) -> None:
    VALIDATOR.validate(json.loads(chart_bytes(chart)))


def test_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_file_is_readable_line_by_line() -> None:
    """The form of the format's description: one thread, one arrangement, one row a line."""
    lines = chart_bytes(small_chart()).decode("utf-8").split("\n")
    assert lines[0] == "{"
    assert lines[-2:] == ["}", ""]
    assert '  "title": "Lämp",' in lines
    assert '  "size": {"wide": 3, "high": 2},' in lines
    assert "    [[2, 0], [1, 1]]," in lines
    assert "    [[1, 1], [1, 2], [1, 0]]" in lines
    assert '    {"thread": 1, "from": [0, 1], "to": [1, 1.5]}' in lines
    assert '    {"element": "smoke", "what": "filter not drawn", "severity": "left out"}' in lines
    shared = '{"stitch": "three-quarter", "corner": "top-left", "thread": 0}'
    assert f'    [{shared}, {{"stitch": "quarter", "corner": "bottom-right", "thread": 1}}]' in lines


def test_optional_members_may_be_left_out_of_a_file_made_by_hand() -> None:
    value = small_value()
    for name in ("title", "made_from", "backstitch", "knots", "report"):
        del value[name]
    VALIDATOR.validate(value)
    chart = parse_chart(json.dumps(value).encode())
    assert (chart.title, chart.backstitch, chart.knots, chart.remarks) == ("", (), (), ())


# What sense forbids beyond the schema: (path to spoil, new value, what the message must say).
SENSE = [
    (["rows", 1], [[2, 1]], "rows[1]: 2 squares, the chart is 3 wide"),
    (["rows", 0], [[4, 1]], "rows[0][0][0]: a whole number from 1 to 3"),
    (["rows"], [[[3, 0]]], "rows: 1 rows, the chart is 2 high"),
    (["rows", 0, 0, 1], 3, "rows[0][0][1]: arrangement 3 is not there, the chart has 3"),
    (["arrangements", 1, 0, "thread"], 2, "arrangements[1][0].thread: thread 2 is not there"),
    (["arrangements", 2, 1, "corner"], "top-right", "arrangements[2]: these stitches do not fit"),
    (["backstitch", 0, "thread"], 7, "backstitch[0].thread: thread 7"),
    (["backstitch", 0, "to"], [0, 1], "backstitch[0]: a backstitch has a length"),
    (["backstitch", 0, "to"], [4, 1], "outside the chart"),
    (["knots", 0, "at"], [3, 2.5], "outside the chart"),
    (["threads", 1, "letter"], "A", "two threads have the same letter"),
    (["threads", 1, "letter"], " ", "threads[1]: one visible character"),
    (["size"], {"wide": 10000, "high": 10000}, "size: more than 4000000 squares"),
]  # fmt: skip

# What the schema forbids too.
FORBIDDEN = [
    (["format"], "another chart", "not a chart file"),
    (["version"], 2, "version: only version 1"),
    (["version"], True, "version: only version 1"),
    (["size", "wide"], 0, "size.wide: a whole number from 1 to 10000"),
    (["size", "wide"], "3", "size.wide: a whole number is expected here, not a text"),
    (["size", "high"], 2.5, "size.high: a whole number is expected here, not the number 2.5"),
    (["size", "high"], 10**20, "size.high: a whole number from 1 to 10000"),
    (["fabric", "count"], True, "fabric.count: a whole number is expected here, not true"),
    (["fabric", "colour"], "cream", "fabric: a colour is written like"),
    (["fabric", "colour"], "#F8F4EA", "fabric: a colour is written like"),
    (["title"], None, "title: a text is expected here, not null"),
    (["made_from", "sha256"], "abc", "made_from.sha256"),
    (["made_from", "settings", "wide"], [80], "made_from.settings.wide"),
    (["threads"], {}, "threads: a list is expected here, not an object"),
    (["threads", 0, "letter"], "AB", "threads[0]: one visible character"),
    (["threads", 0, "strands", "cross"], 0, "threads[0].strands.cross"),
    (["threads", 0, "maker"], "x", 'threads[0]: "maker" is not known here'),
    (["arrangements"], [], "arrangements: the first arrangement is always bare"),
    (["arrangements", 0], [{"stitch": "full", "thread": 0}], "the first arrangement is always bare"),
    (["arrangements", 1, 0, "stitch"], "half", "arrangements[1][0].stitch: one of"),
    (["arrangements", 1, 0, "corner"], "top-left", "arrangements[1][0]: a fraction has a corner"),
    (["rows", 0, 0], [2], "rows[0][0]: a list of two"),
    (["backstitch", 0, "from"], [0.25, 1], "backstitch[0].from[0]: a whole or a half"),
    (["backstitch", 0, "from"], [-1, 1], "backstitch[0]: -1, 1 is no hole"),
    (["knots", 0, "at"], [1e300, 1], "outside the chart"),
    (["report", 0, "severity"], "bad", 'report[0].severity: one of "left out"'),
]  # fmt: skip


def spoilt(path: list[str | int], new: object) -> object:
    value: object = small_value()
    target: object = value
    for step in path[:-1]:
        target = target[step]
    target[path[-1]] = new
    return value


@pytest.mark.parametrize(("path", "new", "says"), SENSE + FORBIDDEN)
def test_faults_are_refused_with_their_place(path: list[str | int], new: object, says: str) -> None:
    assert says in refusal_of(spoilt(path, new))


@pytest.mark.parametrize(("path", "new", "says"), FORBIDDEN)
def test_schema_refuses_them_too(path: list[str | int], new: object, says: str) -> None:
    assert not VALIDATOR.is_valid(spoilt(path, new)), says


@pytest.mark.parametrize("name", ["format", "version", "size", "fabric", "threads", "arrangements", "rows"])
def test_missing_members_are_refused(name: str) -> None:
    value = small_value()
    del value[name]
    assert name in refusal_of(value)
    assert not VALIDATOR.is_valid(value)


TEXT = chart_bytes(small_chart())


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "not JSON: line 1, column 1"),
        (TEXT[:-3], "not JSON: line"),
        (TEXT.replace(b'"wide": 3', b'"wide": 3, "wide": 3'), '"wide" stands twice in one object'),
        (TEXT.replace(b"[0, 1]", b"[NaN, 1]"), "NaN is not a number"),
        (TEXT.replace(b"[0, 1]", b"[1e999, 1]"), "the number 1e999 is too large"),
        (TEXT.replace(b"[0, 1]", b"[" + b"9" * 5000 + b", 1]"), "the number 99999999... has too many digits"),
        (TEXT.replace("ä".encode(), b"\xe4"), "not UTF-8 at byte"),
        (TEXT.replace("ä".encode(), b"\\ud800"), "title: half a surrogate pair"),
        (b"[" * 200_000, "nested too deeply"),
        (b"[]", "not a chart file"),
        (b" " * (64 * 2**20 + 1), "larger than 64 MiB"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_is_not_strict_json_is_refused(data: bytes, says: str) -> None:
    assert says in refusal(data)


scalars = st.one_of(
    st.none(), st.booleans(), st.integers(-3, 5), st.just(0.5), st.sampled_from(["", "A", "full", "#000000"])
)
anything = st.recursive(
    scalars,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.just("thread"), inner),
    max_leaves=4,
)


def places(value: object) -> list[tuple[object, str | int]]:
    """Every (container, key) inside a JSON value."""
    if isinstance(value, dict):
        steps = list(value)
    elif isinstance(value, list):
        steps = list(range(len(value)))
    else:
        return []
    return [(value, step) for step in steps] + [p for step in steps for p in places(value[step])]


@given(st.data())
def test_whatever_the_schema_refuses_reading_refuses(data: st.DataObject) -> None:
    """Nothing but ChartFileError comes out of a spoilt file, and nothing that the schema forbids gets in."""
    value = copy.deepcopy(small_value())
    container, step = data.draw(st.sampled_from(places(value)))
    if data.draw(st.booleans()):
        del container[step]
    else:
        container[step] = data.draw(anything)
    try:
        parse_chart(json.dumps(value).encode())
    except ChartFileError:
        return
    VALIDATOR.validate(value)


@given(st.integers(0, len(TEXT) - 1), st.binary(max_size=3), st.integers(0, 3))
def test_spoilt_bytes_are_refused_or_read(position: int, new: bytes, dropped: int) -> None:
    """Any bytes: a chart or a ChartFileError."""
    spoilt_bytes = TEXT[:position] + new + TEXT[position + dropped :]
    try:
        chart = parse_chart(spoilt_bytes)
    except ChartFileError:
        return
    assert parse_chart(chart_bytes(chart)) == chart


def test_files_round_trip_and_leave_nothing_else(tmp_path: Path) -> None:
    path = tmp_path / "lamp.chart.json"
    path.write_text("what was there before")
    write_chart(small_chart(), path)
    assert read_chart(path) == small_chart()
    assert [entry.name for entry in tmp_path.iterdir()] == ["lamp.chart.json"]


def test_errors_name_the_file(tmp_path: Path) -> None:
    path = tmp_path / "lamp.chart.json"
    with pytest.raises(ChartFileError, match=r"lamp\.chart\.json: cannot be read: No such file"):
        read_chart(path)
    path.write_bytes(TEXT.replace(b"[2, 0], ", b""))
    with pytest.raises(ChartFileError, match=r"lamp\.chart\.json: rows\[0\]: 1 squares, the chart is 3 wide"):
        read_chart(path)


def test_file_that_cannot_be_written_leaves_nothing(tmp_path: Path) -> None:
    (tmp_path / "lamp.chart.json").mkdir()
    with pytest.raises(ChartFileError, match="cannot be written: a folder has this name"):
        write_chart(small_chart(), tmp_path / "lamp.chart.json")
    with pytest.raises(ChartFileError, match="cannot be written: No such file or directory"):
        write_chart(small_chart(), tmp_path / "nowhere" / "lamp.chart.json")
    assert [entry.name for entry in tmp_path.iterdir()] == ["lamp.chart.json"]
