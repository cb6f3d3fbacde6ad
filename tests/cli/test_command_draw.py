"""The command `draw`, and `chart` on what it drew."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from svg2chart.chart import Chart, Fabric, Knot, Stitch, StitchKind, Thread
from svg2chart.chartfile import read_chart, write_chart
from svg2chart.cli.main import main


@pytest.fixture
def chart_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    chart = Chart(
        title="Quay",
        fabric=Fabric(count=32, over=2, colour="#ddddff"),
        threads=(Thread(letter="Q", code="H07", name="Lamp red", colour="#c23a32", symbol="disc-dot"),),
        arrangements=((), (Stitch(kind=StitchKind.FULL, thread=0),)),
        squares=np.eye(12, 7, dtype=np.int32),
        knots=(Knot(thread=0, at=(6.5, 2)),),
    )
    path = tmp_path / "kept" / "quay.chart.json"
    path.parent.mkdir()
    write_chart(chart, path)
    return path


@pytest.mark.parametrize(
    ("output", "svg"), [([], "quay.svg"), (["-o", "out/"], "out/quay.svg"), (["-o", "sign.svg"], "sign.svg")]
)
def test_drawing_goes_where_it_was_asked_for(
    chart_file: Path, capsys: pytest.CaptureFixture[str], output: list[str], svg: str
) -> None:
    assert main(["draw", str(chart_file), *output]) == 0
    captured = capsys.readouterr()
    assert (captured.out, captured.err) == (f"wrote {svg}\n", "")
    assert (chart_file.parents[1] / svg).read_bytes().startswith(b"<?xml")


def test_existing_drawing_is_kept(chart_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Path("quay.svg").write_text("edited by hand")
    assert main(["draw", str(chart_file)]) == 2
    assert capsys.readouterr().err.startswith("quay.svg: is there already.")
    assert Path("quay.svg").read_text() == "edited by hand"
    assert main(["draw", str(chart_file), "--overwrite"]) == 0


def test_a_drawing_without_words_is_charted_on_its_own_grid_fabric_and_threads(chart_file: Path) -> None:
    assert main(["draw", str(chart_file)]) == 0
    assert main(["chart", "quay.svg", "--no-pdf", "--strict"]) == 0
    before, after = read_chart(chart_file), read_chart("quay.chart.json")
    assert (after.title, after.fabric, after.threads) == (before.title, before.fabric, before.threads)
    assert np.array_equal(after.squares, before.squares)
    assert after.knots == before.knots
    settings = dict(after.made_from.settings)
    assert (settings["square"], settings["page"], settings["over"]) == (1.0, True, 2)


def test_what_is_asked_for_wins_over_what_the_drawing_keeps(chart_file: Path) -> None:
    assert main(["draw", str(chart_file)]) == 0
    assert main(["chart", "quay.svg", "--no-pdf", "--square", "1", "--fabric", "18"]) == 0
    after = read_chart("quay.chart.json")
    assert (after.fabric.count, after.fabric.over) == (18, 1)
    # not the page, but the squares that something touches: seven on the diagonal
    assert after.squares.shape == (7, 7)


def test_threads_of_one_colour_are_told(chart_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    chart = read_chart(chart_file)
    twin = replace(chart.threads[0], letter="T", name="Lantern red")
    write_chart(replace(chart, threads=(*chart.threads, twin)), chart_file)
    assert main(["draw", str(chart_file)]) == 0
    (line,) = capsys.readouterr().err.splitlines()
    assert "threads Q, T have one colour, #c23a32: charted again they are one thread" in line


def test_a_drawing_is_no_chart_file(chart_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Path("boat.svg").write_text("<svg/>")
    assert main(["draw", "boat.svg"]) == 1
    assert "this is no chart file, it looks like a drawing" in capsys.readouterr().err
    assert main(["draw", str(chart_file.with_name("none.chart.json"))]) == 1
