"""The command `letter`, from arguments to files and messages."""

import io
from pathlib import Path

import pytest

import svg2chart
from svg2chart.cli.main import main


def test_letters_become_a_drawing_a_chart_and_pages(tmp_path: Path) -> None:
    for ending in ("svg", "chart.json", "pdf"):
        assert main(["letter", "Ahoy", "--high", "7", "-o", str(tmp_path / f"out.{ending}")]) == 0
    drawing = (tmp_path / "out.svg").read_text("utf-8")
    assert [f'inkscape:label="{letter}"' in drawing for letter in "Ahoy"] == [True] * 4
    assert main(["chart", str(tmp_path / "out.svg"), "-o", str(tmp_path / "again"), "--no-pdf"]) == 0
    one, other = (svg2chart.read_chart(tmp_path / f"{name}.chart.json") for name in ("out", "again"))
    assert (one.squares == other.squares).all()
    assert one.arrangements == other.arrangements
    assert (tmp_path / "out.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("letters", [["--alphabet", "backstitch-5"], ["--high", "7", "--outline"]])
def test_a_drawing_of_letters_with_lines_has_the_chart_that_the_letters_have(
    letters: list[str], tmp_path: Path
) -> None:
    for ending in ("svg", "chart.json"):
        assert main(["letter", "i. Lamp", *letters, "-o", str(tmp_path / f"out.{ending}")]) == 0
    assert main(["chart", str(tmp_path / "out.svg"), "-o", str(tmp_path / "again"), "--no-pdf"]) == 0
    one, other = (svg2chart.read_chart(tmp_path / f"{name}.chart.json") for name in ("out", "again"))
    assert (one.rows, one.columns) == (other.rows, other.columns)
    assert (one.squares == other.squares).all()
    assert one.backstitch == other.backstitch
    assert one.knots == other.knots


def test_an_outline_is_backstitch_around_the_letters(tmp_path: Path) -> None:
    target = tmp_path / "out.chart.json"
    assert main(["letter", "I", "--high", "7", "--outline", "-o", str(target)]) == 0
    chart = svg2chart.read_chart(target)
    lengths = [abs(b.end[0] - b.start[0]) + abs(b.end[1] - b.start[1]) for b in chart.backstitch]
    assert lengths == [1.0] * (2 * (chart.rows + chart.columns))


def test_baselines_are_as_far_apart_as_asked(tmp_path: Path) -> None:
    rows = {}
    for step in ("9", "14"):
        target = tmp_path / f"{step}.chart.json"
        arguments = ["letter", "HH", "HH", "--high", "7", "--line-spacing", step, "-o", str(target)]
        assert main(arguments) == 0
        rows[step] = svg2chart.read_chart(target).rows
    assert rows == {"9": 9 + 7, "14": 14 + 7}


@pytest.mark.parametrize("letters", [["--high", "7"], ["--alphabet", "stitched-7"]])
def test_an_empty_line_of_standard_input_stays_empty(
    letters: list[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    rows = {}
    for text in ("H\nH\n", "H\n\nH\n"):
        monkeypatch.setattr("sys.stdin", io.StringIO(text))
        target = tmp_path / f"{len(text)}.chart.json"
        assert main(["letter", "-", *letters, "--line-spacing", "9", "-o", str(target)]) == 0
        rows[text.count("\n")] = svg2chart.read_chart(target).rows
    assert rows == {2: 7 + 9, 3: 7 + 18}


def test_the_title_of_the_drawing_is_the_words(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["letter", "Lamps &", "Boats", "--high", "7"]) == 0
    assert "<title>Lamps &amp; Boats</title>" in capsys.readouterr().out


def test_an_outline_goes_around_each_letter_and_its_counters(tmp_path: Path) -> None:
    target = tmp_path / "out.chart.json"
    assert main(["letter", "Ob", "--alphabet", "stitched-7", "--outline", "-o", str(target)]) == 0
    chart = svg2chart.read_chart(target)
    stitched = chart.squares > 0
    for line in chart.backstitch:
        (x0, y0), (x1, y1) = line.start, line.end
        assert max(abs(x1 - x0), abs(y1 - y0)) == 1
        beside = stitched[max(0, int(min(y0, y1)) - 1) :, max(0, int(min(x0, x1)) - 1) :][:2, :2]
        assert beside.any()
    ends = [hole for line in chart.backstitch for hole in (line.start, line.end)]
    assert all(ends.count(hole) % 2 == 0 for hole in ends)  # closed


def test_lines_may_reach_into_each_other_where_no_letters_meet(tmp_path: Path) -> None:
    target = tmp_path / "out.chart.json"  # the tail of g reaches down beside the H, to the x
    arguments = ["xg", "Hx", "--alphabet", "stitched-7", "--line-spacing", "7", "-o", str(target)]
    assert main(["letter", *arguments]) == 0
    assert svg2chart.read_chart(target).rows == 5 + 7


@pytest.mark.parametrize("content", [b"caf\xe9", b"\xff\xfeA\x00"])
@pytest.mark.parametrize("errors", ["strict", "surrogateescape"])  # as terminals differ
def test_standard_input_that_is_no_text_is_told(
    content: bytes, errors: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(content), "utf-8", errors))
    assert main(["letter", "-", "--high", "7"]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith("standard input is not in the encoding")


def test_each_line_of_standard_input_is_a_paragraph(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    rows = {}
    for text in ("H H", "H\nH"):
        monkeypatch.setattr("sys.stdin", io.StringIO("\ufeff" + text))
        target = tmp_path / f"{len(text.splitlines())}.chart.json"
        arguments = ["-", "--alphabet", "stitched-7", "--width", "40", "--line-spacing", "9"]
        assert main(["letter", *arguments, "-o", str(target)]) == 0
        chart = svg2chart.read_chart(target)
        rows[text] = chart.rows
        assert chart.remarks == ()
    assert rows == {"H H": 7, "H\nH": 7 + 9}


def test_lines_come_from_standard_input(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("Lamps\nBoats\n"))
    assert main(["letter", "-", "--high", "5"]) == 0
    assert capsys.readouterr().out.count("<path ") == 10


def test_alphabets_are_named_and_shown_on_a_sheet(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["letter", "--list"]) == 0
    told = capsys.readouterr().out
    assert [name for name in svg2chart.alphabet_names() if name not in told] == []
    assert main(["letter", "--list", "--alphabet", "stitched-9"]) == 0
    assert "backstitch" not in capsys.readouterr().out
    assert main(["letter", "--list", "-o", str(tmp_path / "sheet.svg")]) == 0
    sheet = (tmp_path / "sheet.svg").read_text("utf-8")
    assert all(sheet.count(f">{letter}</title>") >= 4 for letter in "AZaz09")


def test_words_in_an_alphabet_of_the_package_or_of_a_file(tmp_path: Path) -> None:
    target = tmp_path / "out.chart.json"
    assert main(["letter", "Ahoy", "--alphabet", "backstitch-5", "-o", str(target)]) == 0
    chart = svg2chart.read_chart(target)
    assert chart.backstitch
    assert not chart.squares.any()
    own = tmp_path / "own.txt"
    own.write_text(
        "stitches stitched\ncapital 2\nsmall 1\napart 1\nnearer 0\nspace 2\n\nletter A\n  ◢◣\n_ ##\n", "utf-8"
    )
    target = tmp_path / "own.chart.json"
    assert main(["letter", "AA", "--alphabet", str(own), "-o", str(target)]) == 0
    chart = svg2chart.read_chart(target)
    assert (chart.rows, chart.columns) == (2, 5)


@pytest.mark.parametrize(
    ("arguments", "status", "message"),
    [
        (["A"], 2, "--high or --alphabet is needed"),
        (["--", "-Ahoy-", "--high", "9"], 2, "--high is one of the words here: options stand first, then --"),
        (["-Ahoy-", "--high", "9"], 2, "if these are words, options stand first, then --, then the words"),
        (["A", "--high", "9", "--outline-colour", "#ff0000"], 2, "--outline-colour is that of --outline"),
        (["W", "--alphabet", "stitched-9", "--width", "3"], 1, "a greater width or for lower letters"),
        (["n" * 2500, "--alphabet", "stitched-7"], 1, "in a line are possible. Break the lines"),
        (["A", "--alphabet", "gothic"], 1, "There are backstitch-5"),
        (["A", "--alphabet", "stitched-7", "--high", "9"], 2, "7 squares high, not 9"),
        (["A", "--alphabet", "stitched-7", "--font", "a.ttf"], 2, "leave one out"),
        (["A", "--alphabet", "none.txt"], 1, "none.txt: cannot be read"),
        (["A", "--list"], 2, "--list goes with no words"),
        (["--list", "--width", "9"], 2, "--list goes with no words"),
        (["--list", "--monogram"], 2, "--list goes with no words"),
        (["--list", "--alphabet", "gothic"], 1, "There are backstitch-5"),
        (["--list", "--outline"], 2, "are of the sheet that -o names"),
        (["--list", "--colour", "#123456"], 2, "are of the sheet that -o names"),
        (["A", "--alphabet", "backstitch-5", "--outline"], 2, "--outline goes round stitches"),
        ([""], 2, "there are no words to set"),
        (["-", "A", "--high", "7"], 2, "goes with no words"),
        (["", "--high", "7"], 2, "there are no words to set"),
        (["HH", "HH", "--high", "7", "--line-spacing", "6"], 1, "lines 1 and 2 lie over each other"),
        (["H", "", "H", "--high", "7", "--line-spacing", "3"], 1, "lines 1 and 3 lie over each other"),
        (["g", "H", "--alphabet", "backstitch-5", "--line-spacing", "5"], 1, "lie over each other"),
        (
            ["HHH", "HHHHHHH", "--high", "7", "--align", "centre", "--arch", "20", "--line-spacing", "9"],
            1,
            "lines 1 and 2 lie over each other",
        ),
        (["A", "--high", "3"], 2, "from 4 to 400"),
        (["WWW", "--high", "7", "--width", "5"], 1, "squares wide, the lines are to be 5"),
        (["ABCD", "--high", "7", "--monogram"], 1, "one to three letters"),
        (["AB", "--high", "7", "--monogram", "--arch", "3"], 2, "it goes without --width"),
        (["A", "--high", "7", "-o", "a.png"], 2, "-o ends in one of"),
        (["A", "--high", "7", "-o", "."], 2, "not '.'"),
        (["A", "--high", "7", "--font", __file__], 1, "not a font file"),
    ],
)
def test_mistakes_are_told_on_one_line(
    arguments: list[str], status: int, message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["letter", *arguments]) == status
    told = capsys.readouterr().err.strip()
    assert message in told
    assert "\n" not in told


@pytest.mark.parametrize("letters", [["--high", "7"], ["--alphabet", "stitched-7"]])
def test_control_characters_are_named_by_number_and_reach_no_terminal(
    letters: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["letter", "lam\x07p\x1bs", *letters]) == 0
    told = capsys.readouterr()
    assert "no U+0007, U+001B, a box" in told.err or "no font has U+0007, U+001B, a box" in told.err
    assert not {"\x07", "\x1b"} & {*told.out, *told.err}
    assert told.out.count('id="letter-') == 2 * len("lam.p.s")  # a letter and its title each


@pytest.mark.parametrize("letters", [["--high", "7"], ["--alphabet", "stitched-7"]])
def test_a_letter_that_is_not_there_is_named_once_however_many_lines_have_it(
    letters: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["letter", "a \U00012000", "\U00012000 b \U00012001", "--width", "9", *letters]) == 0
    (told,) = capsys.readouterr().err.splitlines()
    assert told.count("U+12000") == told.count("U+12001") == 1


def test_words_apart_from_the_others_are_told_how_to_be_written(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["letter", "A", "--high", "9", "B"]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert '"B"' in line
    assert "in one pair of quotes" in line
    assert main(["letter", "A", "--high", "9", "-"]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert '"-" stands apart' in line
    assert main(["letter", "A", "--hihg", "9"]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert "there is no option --hihg" in line


def test_lines_may_come_in_one_argument(tmp_path: Path) -> None:
    for name, words in (("one", ["H\nI\n\nH"]), ("more", ["H", "I", "", "H"])):
        assert main(["letter", *words, "--high", "7", "-o", str(tmp_path / f"{name}.chart.json")]) == 0
    one, more = (svg2chart.read_chart(tmp_path / f"{name}.chart.json") for name in ("one", "more"))
    assert (one.squares == more.squares).all()
