"""The commands `pages` and `help`, and how long the command line takes to say who it is."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from pypdf import PdfReader

import svg2chart
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


def test_what_to_buy_for_kits(chart_file: Path) -> None:
    """Twelve crosses on 14 count: one skein is enough for many; each piece is cut with 3 inches all round."""
    assert main(["pages", str(chart_file), "--kits", "12"]) == 0
    text = " ".join(" ".join(page.extract_text() for page in PdfReader("quay.pdf").pages).split())
    assert "For 12 kits" in text
    assert "Cloth: 12 pieces of 16.0 \N{MULTIPLICATION SIGN} 15.8 cm" in text
    assert "12 tapestry needles of size 24" in text
    assert "Red, code 1 (A): 1 skein" in text


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (
            'titel = "Quay"',
            'me.toml: there is no "titel". Use title, author, contact, licence, version, words.',
        ),
        ("title = 3", 'me.toml: "title" is no text. Put it in quotation marks.'),
        (None, "me.toml: cannot be read: No such file or directory. Check the name of the file."),
    ],
)
def test_a_fault_in_the_designers_file_is_one_line_and_no_pdf(
    chart_file: Path, capsys: pytest.CaptureFixture[str], words: str | None, message: str
) -> None:
    if words is not None:
        Path("me.toml").write_text(words)
    assert main(["pages", str(chart_file), "--info", "me.toml"]) == 1
    captured = capsys.readouterr()
    assert (captured.out, captured.err) == ("", f"{message}\n")
    assert not Path("quay.pdf").exists()


def test_cloth_is_cut_with_the_margin_that_is_told(chart_file: Path) -> None:
    """The same picture, 0.7 x 0.5 cm: with 5 cm on each side it is cut 10 cm larger, not 15.2."""
    assert main(["pages", str(chart_file), "--margin", "50"]) == 0
    text = " ".join(" ".join(page.extract_text() for page in PdfReader("quay.pdf").pages).split())
    assert "Cloth: 1 piece of 10.7 \N{MULTIPLICATION SIGN} 10.5 cm" in text
    assert "That is 5.0 cm (1.97 in) more than the picture on each side" in text
    assert "7.6 cm" not in text
    assert main(["pages", str(chart_file), "--margin", "1001"]) == 2


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
    missing = tmp_path / "no.chart.json"
    assert main(["pages", str(missing)]) == 1
    assert capsys.readouterr().err == (
        f"{missing}: cannot be read: No such file or directory. Check its name and rights.\n"
    )
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("content", [b"<svg/>", b"\xef\xbb\xbf  <?xml version='1.0'?>", b"\x1f\x8b\x08\x00"])
def test_a_drawing_is_told_from_a_chart_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], content: bytes
) -> None:
    art = tmp_path / "boat.svg"
    art.write_bytes(content)
    assert main(["pages", str(art), "-o", str(tmp_path / "out")]) == 1
    assert capsys.readouterr().err == (
        f"{art}: this is no chart file, it looks like a drawing. It is charted by: svg2chart chart.\n"
    )
    assert list(tmp_path.iterdir()) == [art]


@pytest.mark.parametrize(("name", "status"), [("", 2), ("-", 2), (".", 1), ("/", 1), ("n" * 300, 1)])
def test_names_of_no_chart_file_are_one_line(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    name: str,
    status: int,
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["pages", name]) == status
    captured = capsys.readouterr()
    assert (captured.out, captured.err.count("\n")) == ("", 1)
    assert list(tmp_path.iterdir()) == []


def test_line_breaks_in_names_are_spaces_in_messages(
    chart_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["pages", str(chart_file), "-o", "two\nlines"]) == 0
    assert capsys.readouterr().out == "wrote two lines.pdf\n"
    assert Path("two\nlines.pdf").exists()
    assert main(["pages", str(chart_file), "-o", "two\nlines"]) == 2
    assert capsys.readouterr().err.startswith("two lines.pdf: is there already.")


def test_progress_is_told_on_a_terminal_only(
    chart_file: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    assert main(["pages", str(chart_file)]) == 0
    told = [part.removeprefix("\x1b[2K") for part in capsys.readouterr().err.split("\r")[1:]]
    of = len(told) - 2
    assert told == ["reading", *(f"page {number} of {of}" for number in range(1, of + 1)), ""]
    monkeypatch.setattr("sys.stderr.isatty", lambda: False)
    assert main(["pages", str(chart_file), "--overwrite"]) == 0
    assert capsys.readouterr().err == ""


def test_help_lists_and_shows_the_pages_of_the_manual(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["help"]) == 0
    topics = capsys.readouterr().out.split()
    assert {"chart", "drawing", "words"} <= set(topics)
    assert topics == sorted(page.stem for page in (Path(svg2chart.__file__).parent / "docs").glob("*.md"))
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
        "svg2chart.cli", "svg2chart.cli.main", "svg2chart.cli.options", "svg2chart.cli.progress",
        "svg2chart.cli.version",
    }  # fmt: skip
