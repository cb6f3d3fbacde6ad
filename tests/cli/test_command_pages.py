"""The commands `pages` and `help`, and how long the command line takes to say who it is."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from svg2chart.chart import Chart, Stitch, StitchKind, Thread
from svg2chart.chartfile import write_chart
from svg2chart.cli.main import main
from svg2chart.symbols import SYMBOLS


@pytest.fixture
def chart_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    chart = Chart(
        threads=(Thread(letter="A", code="1", name="Red", colour="#c23a32", symbol=SYMBOLS[0].name),),
        arrangements=((), (Stitch(kind=StitchKind.FULL, thread=0),)),
        squares=np.ones((3, 4), dtype=np.int32),
    )
    path = tmp_path / "kept" / "quay.chart.json"
    path.parent.mkdir()
    write_chart(chart, path)
    return path


@pytest.mark.parametrize(
    ("output", "pdf"),
    [
        ([], "quay.pdf"),
        (["-o", "out/"], "out/quay.pdf"),
        (["-o", "kept"], "kept/quay.pdf"),
        (["-o", "a.b"], "a.b.pdf"),
        (["-o", "sign.pdf"], "sign.pdf"),
    ],
)
def test_pdf_goes_where_it_was_asked_for(
    chart_file: Path, capsys: pytest.CaptureFixture[str], output: list[str], pdf: str
) -> None:
    assert main(["pages", str(chart_file), *output]) == 0
    captured = capsys.readouterr()
    assert (captured.out, captured.err) == (f"wrote {pdf}\n", "")
    assert (chart_file.parents[1] / pdf).read_bytes().startswith(b"%PDF-")


def test_existing_pdf_is_kept(chart_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Path("quay.pdf").write_text("of an earlier day")
    assert main(["pages", str(chart_file)]) == 2
    assert capsys.readouterr().err.startswith("quay.pdf: is there already.")
    assert Path("quay.pdf").read_text() == "of an earlier day"
    assert main(["pages", str(chart_file), "--overwrite"]) == 0


def test_spoilt_chart_file_is_one_line(chart_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    chart_file.write_text(chart_file.read_text().replace("[[4, 1]]", "[[3, 1]]", 1))
    assert main(["pages", str(chart_file)]) == 1
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err == f"{chart_file}: rows[0]: 3 squares, the chart is 4 wide.\n"


def test_symbol_that_is_not_there_is_one_line(chart_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = chart_file.read_text("utf-8")
    chart_file.write_text(text.replace(f'"symbol": "{SYMBOLS[0].name}"', '"symbol": "mermaid"'), "utf-8")
    assert main(["pages", str(chart_file)]) == 1
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.startswith(f'{chart_file}: there is no symbol "mermaid". ')
    assert captured.err.count("\n") == 1
    assert not Path("quay.pdf").exists()


def test_missing_chart_file_is_one_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["pages", str(tmp_path / "no.chart.json")]) == 1
    assert capsys.readouterr().err.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_help_lists_and_shows_the_pages_of_the_manual(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["help"]) == 0
    topics = capsys.readouterr().out.split()
    assert topics == ["chart-file", "drawing", "svg"]
    for topic in topics:
        assert main(["help", topic]) == 0
        assert capsys.readouterr().out.startswith("# ")


def test_help_loads_no_room_of_the_house() -> None:
    """`svg2chart --help` loads neither numpy nor any module that charts."""
    code = (
        "import sys\nfrom svg2chart.cli.main import main\n"
        "try:\n    main(['--help'])\nexcept SystemExit as end:\n    assert end.code == 0\n"
        "print(*sorted(m for m in sys.modules if m.split('.')[0] in ('numpy', 'svg2chart')))"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    loaded = out.splitlines()[-1].split()
    assert "COMMAND" in out
    assert set(loaded) == {
        "svg2chart", "svg2chart.errors",
        "svg2chart.cli", "svg2chart.cli.main", "svg2chart.cli.options", "svg2chart.cli.version",
    }  # fmt: skip
