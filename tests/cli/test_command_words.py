"""The command `words`."""

from pathlib import Path

import numpy as np
import pytest

from svg2chart.chart import Chart, Stitch, StitchKind, Thread
from svg2chart.chartfile import write_chart
from svg2chart.cli.main import main
from svg2chart.guiding.words import chart_in_words


@pytest.fixture
def chart(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Chart:
    monkeypatch.chdir(tmp_path)
    chart = Chart(
        title="Quay",
        threads=(Thread(letter="Q", code="H07", name="Lämp red", colour="#c23a32", symbol="disc"),),
        arrangements=((), (Stitch(kind=StitchKind.FULL, thread=0),)),
        squares=np.eye(3, 7, dtype=np.int32),
    )
    write_chart(chart, tmp_path / "quay.chart.json")
    return chart


def test_words_go_to_standard_output(chart: Chart, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["words", "quay.chart.json"]) == 0
    captured = capsys.readouterr()
    assert (captured.out, captured.err) == (chart_in_words(chart), "")


@pytest.mark.parametrize(
    ("output", "text"), [("out/", "out/quay.txt"), ("aloud.txt", "aloud.txt"), ("aloud", "aloud.txt")]
)
def test_words_go_into_a_file_that_is_named(
    chart: Chart, capsys: pytest.CaptureFixture[str], output: str, text: str
) -> None:
    assert main(["words", "quay.chart.json", "-o", output]) == 0
    assert capsys.readouterr().out == f"wrote {text}\n"
    assert Path(text).read_text("utf-8") == chart_in_words(chart)
    assert main(["words", "quay.chart.json", "-o", output]) == 2
    assert main(["words", "quay.chart.json", "-o", output, "--overwrite"]) == 0


def test_drawing_has_no_words(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "boat.svg").write_text("<svg/>")
    assert main(["words", str(tmp_path / "boat.svg")]) == 1
    assert "no chart file" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("name", "what"), [("quay.pdf", "it is a PDF"), ("quay.png", "no chart file, or a damaged one")]
)
def test_what_is_no_chart_file_is_told_to_be_none(
    chart: Chart, capsys: pytest.CaptureFixture[str], name: str, what: str
) -> None:
    starts = {"quay.pdf": b"%PDF-1.7\n%\xe2\xe3", "quay.png": b"\x89PNG\r\n\x1a\n"}
    Path(name).write_bytes(starts[name])
    assert main(["words", name]) == 1
    told = capsys.readouterr().err
    assert what in told
    assert told.count("\n") == 1
