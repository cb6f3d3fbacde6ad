"""The command `chart`: files, messages, status, and the same bytes every time."""

import io
import json
import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from svg2chart.chart import StitchKind, stitch_counts
from svg2chart.chartfile import read_chart
from svg2chart.cli.main import main
from svg2chart.grid import MAX_SIDE, MOVEMENT_SQUARES, THIN_SQUARES

EXAMPLES = Path(__file__).parents[2] / "examples"
LAMP = EXAMPLES / "lamp.svg"

SQUARE_OF_SIX = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="0 0 10 10">{}'
    '<rect id="box" x="2" y="2" width="6" height="6" fill="#c23a32"/></svg>'
)


@dataclass(frozen=True)
class Outcome:
    status: int
    out: str
    err: str

    @property
    def err_lines(self) -> list[str]:
        return self.err.splitlines()


Runner = Callable[..., Outcome]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Runner:
    """Run the command line in an empty folder."""
    monkeypatch.chdir(tmp_path)

    def run_here(*arguments: str | Path) -> Outcome:
        status = main([str(argument) for argument in arguments])
        captured = capsys.readouterr()
        return Outcome(status, captured.out, captured.err)

    return run_here


def drawing(tmp_path: Path, content: str | bytes, name: str = "boat.svg") -> Path:
    path = tmp_path / "art" / name
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return path


def made(tmp_path: Path) -> list[str]:
    """Return every file but the drawings, hidden ones included."""
    files = (path.relative_to(tmp_path) for path in tmp_path.rglob("*") if path.is_file())
    return sorted(file.as_posix() for file in files if file.parts[0] != "art")


def test_example_on_its_own_grid_is_exact(run: Runner, tmp_path: Path) -> None:
    """The cap of the lamp is rows of 4, 6 and 8 full stitches, with a triangle at either end."""
    outcome = run("chart", LAMP, "-o", "out/", "--square", "1", "--page")
    assert (outcome.status, outcome.err) == (0, "")
    assert made(tmp_path) == ["out/lamp.chart.json", "out/lamp.pdf"]
    assert (tmp_path / "out/lamp.pdf").read_bytes().startswith(b"%PDF-")
    chart = read_chart(tmp_path / "out/lamp.chart.json")
    assert (chart.rows, chart.columns, chart.title) == (24, 24, "Festival lamp")
    navy = next(i for i, thread in enumerate(chart.threads) if thread.colour == "#22324f")
    for row, full in ((5, 4), (6, 6), (7, 8)):
        kinds = [stitch.kind for c in range(24) for stitch in chart.arrangement_at(row, c)]
        assert kinds == [StitchKind.THREE_QUARTER, *[StitchKind.FULL] * full, StitchKind.THREE_QUARTER]
    foot = [chart.arrangement_at(18, column) for column in range(9, 15)]
    assert all(len(a) == 1 and a[0].kind is StitchKind.FULL and a[0].thread == navy for a in foot)


def test_summary_tells_what_the_chart_file_holds(run: Runner, tmp_path: Path) -> None:
    outcome = run("chart", LAMP, "--square", "1", "--page")
    chart = read_chart(tmp_path / "lamp.chart.json")
    full = sum(n for (_, kind), n in stitch_counts(chart).items() if kind is StitchKind.FULL)
    assert outcome.out.count("\n") == 1
    assert outcome.out.startswith("24 x 24 squares (44 x 44 mm on 14 count); ")  # 24 x 25.4 / 14 = 43.5
    assert f" {full} full, " in outcome.out
    assert f"; {len(chart.threads)} threads; wrote lamp.chart.json, lamp.pdf" in outcome.out


@pytest.mark.parametrize(
    ("specks", "told"), [((), "no lone stitch"), ((2,), "1 lone stitch"), ((2, 6), "2 lone stitches")]
)
def test_how_many_lone_stitches_calm_merged_is_told_even_if_there_is_none(
    run: Runner, tmp_path: Path, specks: tuple[int, ...], told: str
) -> None:
    field = '<rect width="10" height="10" fill="#c62828"/>'
    near = [f'<rect id="speck-{x}" x="{x}" y="{x}" width="1" height="1" fill="#c83030"/>' for x in specks]
    art = drawing(
        tmp_path,
        '<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="0 0 10 10">'
        f"{field}{''.join(near)}</svg>",
    )
    outcome = run("chart", art, "--square", "1", "--page", "--no-pdf", "--calm")
    assert f"; {told} merged; wrote boat.chart.json" in outcome.out
    assert len(outcome.err_lines) == len(specks)
    assert "lone" not in run("chart", art, "--square", "1", "--page", "--no-pdf", "--overwrite").out


def test_help_says_which_quarters_there_are_with_three_quarters_only(run: Runner, tmp_path: Path) -> None:
    """A sail over the sky shares squares with it; a speck on the cloth is a quarter, or nothing."""
    told = " ".join(run("chart", "--help").out.split())
    assert "with the quarter of the other beside them, and no quarters else" in told
    art = drawing(
        tmp_path,
        '<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="0 0 10 10">'
        '<rect width="10" height="8" fill="#1a3a8f"/><path d="M1 8v-7l7 7z" fill="#f2c230"/>'
        '<path id="speck" d="M7 9h.5v.5h-.5z" fill="#c62828"/></svg>',
    )
    kinds = {}
    for fractions in ("all", "three-quarter"):
        run(
            "chart",
            art,
            "--square",
            "1",
            "--page",
            "--no-pdf",
            "--fit",
            "0",
            "--overwrite",
            "--fractions",
            fractions,
        )
        chart = read_chart(tmp_path / "boat.chart.json")
        squares = [chart.arrangement_at(row, column) for row in range(10) for column in range(10)]
        kinds[fractions] = {tuple(stitch.kind.value for stitch in held) for held in squares}
    assert {("full",), ("three-quarter", "quarter")} <= kinds["three-quarter"]
    assert kinds["all"] - kinds["three-quarter"] == {("quarter",)}


def test_json_report_holds_the_same_and_the_remarks(run: Runner, tmp_path: Path) -> None:
    filtered = SQUARE_OF_SIX.format('<rect id="glow" width="9" height="9" fill="red" filter="url(#f)"/>')
    art = drawing(tmp_path, filtered)
    outcome = run("chart", art, "--wide", "10", "--report", "json", "--no-pdf")
    report = json.loads(outcome.out)
    chart = read_chart(tmp_path / "boat.chart.json")
    assert (outcome.status, outcome.err) == (0, "")
    assert report["files"] == ["boat.chart.json"]
    assert report["size"] == {"wide": chart.columns, "high": chart.rows}
    assert report["threads"] == len(chart.threads)
    energy = report["energy"]
    assert energy["total"] == pytest.approx(energy["misfit"] + energy["work"] + energy["edge"], abs=2e-4)
    assert report["edge_length"] >= 40.0  # the outline of a chart of 10 by 10 squares
    assert [remark["what"] for remark in report["remarks"]] == [remark.what for remark in chart.remarks]
    assert "glow" in [remark["element"] for remark in report["remarks"]]


def test_json_report_tells_what_to_buy_for_kits(run: Runner, tmp_path: Path) -> None:
    """A hundred crosses on 14 count: 10 / 14 in and 3 in on each side; thread between two known amounts.

    The least is the bare geometry, 0.876 cm a cross with 2 of 6 strands; a designer's blog has 1890 crosses
    to a skein of 8 m, which is the most.
    """
    art = drawing(tmp_path, SQUARE_OF_SIX.format('<rect width="10" height="10" fill="#c23a32"/>'))
    options = ("--square", "1", "--report", "json", "--no-pdf", "--overwrite")
    one = json.loads(run("chart", art, *options).out)
    many = json.loads(run("chart", art, *options, "--kits", "40", "--margin", "0").out)
    assert one["stitches"]["full"] == 100
    side = pytest.approx(25.4 * (10 / 14 + 6), abs=0.05)
    assert one["to_buy"]["cloth_mm"] == {"wide": side, "high": side}
    assert one["to_buy"]["needle"] == 24
    [thread] = one["to_buy"]["threads"]
    assert 100 * 0.00876 * 2 / 6 <= thread["metres"] <= 100 / 1890 * 8
    assert (one["to_buy"]["kits"], thread["skeins"]) == (1, 1)
    [for_all] = many["to_buy"]["threads"]
    assert for_all["metres"] == thread["metres"]
    assert many["to_buy"]["cloth_mm"] == {"wide": 18.1, "high": 18.1}  # 10 / 14 in, without a margin
    assert for_all["skeins"] == 3  # 40 x 0.40 m of 8 m: fewer than 40


def test_remarks_go_to_stderr_one_a_line_and_are_kept_in_the_file(run: Runner, tmp_path: Path) -> None:
    filtered = SQUARE_OF_SIX.format('<rect id="glow" width="9" height="9" fill="red" filter="url(#f)"/>')
    art = drawing(tmp_path, filtered)
    outcome = run("chart", art, "--wide", "10", "--no-pdf")
    chart = read_chart(tmp_path / "boat.chart.json")
    assert outcome.status == 0
    assert chart.remarks
    assert outcome.err_lines == [f"{art}: {remark}" for remark in chart.remarks]
    assert any('element "glow"' in line for line in outcome.err_lines)


def test_strict_turns_remarks_into_failure_and_writes_nothing(run: Runner, tmp_path: Path) -> None:
    filtered = SQUARE_OF_SIX.format('<rect id="glow" width="9" height="9" fill="red" filter="url(#f)"/>')
    outcome = run("chart", drawing(tmp_path, filtered), "--wide", "10", "--strict")
    assert outcome.status == 1
    assert outcome.err_lines[-1].endswith("there is 1 remark. Repair the drawing, or leave out --strict.")
    assert (outcome.out, made(tmp_path)) == ("", [])


def test_strict_without_remarks_is_done(run: Runner, tmp_path: Path) -> None:
    outcome = run("chart", drawing(tmp_path, SQUARE_OF_SIX), "--wide", "6", "--strict", "--no-pdf")
    assert (outcome.status, outcome.err) == (0, "")
    assert made(tmp_path) == ["boat.chart.json"]


@pytest.mark.parametrize(
    ("size", "columns", "rows"),
    [
        (["--wide", "12"], 12, 12),
        (["--high", "3"], 3, 3),
        (["--square", "1"], 6, 6),
        (["--square", "1", "--page"], 10, 10),
        (["--square", "2"], 3, 3),
        (["--count", "16", "--page"], 26, 26),  # 40 mm are 1.5748 inches, 25.2 squares
        (["--count", "32", "--over", "2", "--page"], 26, 26),
        ([], 80, 80),
    ],
)
def test_sizes(run: Runner, tmp_path: Path, size: list[str], columns: int, rows: int) -> None:
    art = drawing(tmp_path, SQUARE_OF_SIX.format(""))
    outcome = run("chart", art, *size, "--no-pdf")
    chart = read_chart(tmp_path / "boat.chart.json")
    assert (outcome.status, outcome.err) == (0, "")
    assert (chart.columns, chart.rows) == (columns, rows)


def test_fabric_follows_count_and_over(run: Runner, tmp_path: Path) -> None:
    art = drawing(tmp_path, SQUARE_OF_SIX.format(""))
    fabrics = []
    for options in (
        [],
        ["--over", "2"],
        ["--count", "18"],
        ["--wide", "10", "--fabric", "16"],
        ["--fabric", "32", "--over", "2"],
        ["--count", "18", "--fabric", "18"],
    ):
        run("chart", art, *options, "--no-pdf", "--overwrite")
        fabric = read_chart(tmp_path / "boat.chart.json").fabric
        fabrics.append((fabric.count, fabric.over))
    assert fabrics == [(14, 1), (28, 2), (18, 1), (16, 1), (32, 2), (18, 1)]


def test_fabric_changes_the_size_told_but_no_square(run: Runner, tmp_path: Path) -> None:
    art = drawing(tmp_path, SQUARE_OF_SIX.format(""))
    outcome = run("chart", art, "--wide", "100", "--fabric", "16", "--no-pdf")
    assert outcome.out.startswith("100 x 100 squares (159 x 159 mm on 16 count); ")  # 100 x 25.4 / 16


def test_over_one_thread_there_are_no_fractions_and_a_remark_says_so(run: Runner, tmp_path: Path) -> None:
    art = drawing(tmp_path, SQUARE_OF_SIX.format('<path d="M0 0H9L0 9Z"/>'))
    counts = {}
    for options in (["--fabric", "14"], ["--fabric", "28"], ["--fabric", "28", "--over", "2"]):
        outcome = run("chart", art, "--square", "1", *options, "--no-pdf", "--overwrite")
        kinds = stitch_counts(read_chart(tmp_path / "boat.chart.json"))
        counts[tuple(options)] = sum(n for (_, kind), n in kinds.items() if kind is not StitchKind.FULL)
        is_refused = "no three-quarter and quarter stitches" in outcome.err
        assert is_refused == (options == ["--fabric", "28"])
    assert [n > 0 for n in counts.values()] == [True, False, True]
    asked = run(
        "chart", art, "--square", "1", "--fabric", "28", "--fractions", "none", "--no-pdf", "--overwrite"
    )
    assert asked.err == ""


def test_threads_of_a_card(run: Runner, tmp_path: Path) -> None:
    art = drawing(tmp_path, SQUARE_OF_SIX.format(""))
    card = tmp_path / "mine.csv"
    card.write_text("code,name,hex\nR7,Roof red,#b8413a\nS2,Slate,#44525e\n", "utf-8")
    outcome = run("chart", art, "--square", "1", "--card", card, "--no-pdf")
    assert outcome.status == 0
    assert outcome.err == ""
    chart = read_chart("boat.chart.json")
    assert [(t.code, t.name, t.colour) for t in chart.threads] == [("R7", "Roof red", "#b8413a")]
    told = dict(chart.made_from.settings)
    assert told["card"] == "mine.csv"
    card.write_text("code,name,hex\nR7,Roof red,#b8413b\nS2,Slate,#44525e\n", "utf-8")
    run("chart", art, "--square", "1", "--card", card, "--no-pdf", "--overwrite")
    assert dict(read_chart("boat.chart.json").made_from.settings)["card_sha256"] != told["card_sha256"]


def test_the_built_in_card_says_that_it_is_invented(run: Runner, tmp_path: Path) -> None:
    art = drawing(tmp_path, SQUARE_OF_SIX.format(""))
    outcome = run("chart", art, "--square", "1", "--card", "harbour", "--no-pdf")
    assert outcome.status == 0
    assert "invented: no maker sells them" in outcome.err
    assert any("invented" in remark.what for remark in read_chart("boat.chart.json").remarks)
    assert "invented" in run("check", art, "--square", "1", "--card", "harbour").out


def test_a_card_that_cannot_be_read_is_told_on_one_line(run: Runner, tmp_path: Path) -> None:
    art = drawing(tmp_path, SQUARE_OF_SIX.format(""))
    card = tmp_path / "mine.csv"
    card.write_text("code,name,hex\nR7,Roof red,red\n", "utf-8")
    outcome = run("chart", art, "--card", card)
    assert outcome.status == 1
    assert outcome.err_lines == [f'{card}: line 2: "red" is no colour. Write colours like "#f2b705".']
    assert run("chart", art, "--card", tmp_path).err_lines[0].startswith(f"{tmp_path}: this is a folder.")
    assert run("chart", art, "--card", "no.csv").status == 1
    assert not list(tmp_path.glob("*.chart.json"))


def test_threads_can_be_fewer_and_every_colour_given_up_is_told(run: Runner, tmp_path: Path) -> None:
    more = '<path d="M2 0H4V2H2Z" fill="#1a3a8f"/><path id="keel" d="M4 0H5V2H4Z" fill="#1e3f95"/>'
    art = drawing(tmp_path, SQUARE_OF_SIX.format(more))
    outcome = run("chart", art, "--square", "1", "--most-threads", "2", "--no-pdf")
    chart = read_chart(tmp_path / "boat.chart.json")
    assert sorted(thread.colour for thread in chart.threads) == ["#1a3a8f", "#c23a32"]
    assert len(outcome.err_lines) == 1
    assert "colour #1e3f95 is worked in #1a3a8f (2.0 squares, " in outcome.err
    assert "keel" in outcome.err
    assert dict(chart.made_from.settings)["most_threads"] == 2


def test_the_last_line_tells_in_words_where_most_colours_are_as_drawn(run: Runner, tmp_path: Path) -> None:
    """A flag of one square in 400 is replaced: 95 % of the area is not off by anything."""
    art = drawing(
        tmp_path,
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20 20"><path d="M0 0H20V20H0Z" fill="#1a3a8f"/>'
        '<path id="flag" d="M4 4H{}V5H4Z" fill="#c62828"/></svg>',
    )
    text = art.read_text()
    for wide, words in (
        (1, "on average, by less than 0.1 on 95 % of the area"),
        (16, " at most on 95 % of the area"),
    ):
        art.write_text(text.replace("{}", str(4 + wide)).replace("V5", f"V{4 + wide}"))
        outcome = run("chart", art, "--square", "1", "--most-threads", "1", "--no-pdf", "--overwrite")
        assert words in outcome.out
        assert "up to 0.0" not in outcome.out


def test_chart_file_says_what_it_was_made_from(run: Runner, tmp_path: Path) -> None:
    art = drawing(tmp_path, SQUARE_OF_SIX.format(""))
    run("chart", art, "--square", "1", "--fractions", "none", "--no-pdf", "--title", "Quay")
    chart = read_chart(tmp_path / "boat.chart.json")
    digest = subprocess.run(["sha256sum", art], capture_output=True, text=True, check=True).stdout[:64]
    assert chart.title == "Quay"
    assert chart.made_from.sha256 == digest
    assert dict(chart.made_from.settings) == {
        "square": 1.0, "page": False, "over": 1, "fractions": "none", "thin": THIN_SQUARES,
        "fit": MOVEMENT_SQUARES
    }  # fmt: skip
    assert chart.made_from.version


def test_bands_divide_a_gradient(run: Runner, tmp_path: Path) -> None:
    dusk = '<linearGradient id="dusk"><stop stop-color="black"/><stop offset="1" stop-color="red"/>'
    sky = f'{dusk}</linearGradient><rect width="2" height="2" fill="url(#dusk)"/>'
    art = drawing(tmp_path, SQUARE_OF_SIX.format(sky))
    for options, count in ([], 2), (["--bands", "3", "--overwrite"], 4):
        run("chart", art, "--wide", "12", "--no-pdf", *options)
        chart = read_chart(tmp_path / "boat.chart.json")
        assert len(chart.threads) == count
        assert dict(chart.made_from.settings).get("bands") == (3 if options else None)


def test_the_longest_backstitch_is_as_long_as_told(run: Runner, tmp_path: Path) -> None:
    rope = '<path id="rope" d="M1 1L6 2" fill="none" stroke="red" stroke-width="1"/>'
    art = drawing(tmp_path, SQUARE_OF_SIX.format(rope))
    for options, most in (
        ([], 2),
        (["--longest-backstitch", "1", "--overwrite"], 1),
        (
            ["--longest-backstitch", "5", "--overwrite"],
            5,
        ),
    ):
        run("chart", art, "--square", "1", "--thin", "1.2", "--no-pdf", *options)
        chart = read_chart(tmp_path / "boat.chart.json")
        reach = {max(abs(b.start[0] - b.end[0]), abs(b.start[1] - b.end[1])) for b in chart.backstitch}
        assert most // 2 < max(reach) <= most
        told = dict(chart.made_from.settings).get("longest_backstitch")
        assert told == (most if options else None)


def test_title_is_the_file_name_where_the_drawing_has_none(run: Runner, tmp_path: Path) -> None:
    run("chart", drawing(tmp_path, SQUARE_OF_SIX.format(""), "blue boat.svg"), "--no-pdf")
    assert read_chart(tmp_path / "blue boat.chart.json").title == "blue boat"


def test_existing_files_are_kept(run: Runner, tmp_path: Path) -> None:
    art = drawing(tmp_path, SQUARE_OF_SIX.format(""))
    (tmp_path / "boat.pdf").write_text("of an earlier day")
    outcome = run("chart", art)
    assert (outcome.status, outcome.out) == (2, "")
    assert outcome.err == "boat.pdf: is there already. Give another -o, or --overwrite to replace it.\n"
    assert made(tmp_path) == ["boat.pdf"]
    assert (tmp_path / "boat.pdf").read_text() == "of an earlier day"
    assert run("chart", art, "--overwrite").status == 0
    assert (tmp_path / "boat.pdf").read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["sew"],
        ["chart"],
        ["chart", LAMP, "--wide", "10", "--high", "10"],
        ["chart", LAMP, "--square", "1", "--count", "14"],
        ["chart", LAMP, "--wide", "0"],
        ["chart", LAMP, "--wide", "ten"],
        ["chart", LAMP, "--square", "nan"],
        ["chart", LAMP, "--square", "-1"],
        ["chart", LAMP, "--count", "4"],
        ["chart", LAMP, "--over", "3"],
        ["chart", LAMP, "--wide", str(MAX_SIDE + 1)],
        ["chart", LAMP, "--high", str(MAX_SIDE + 1)],
        ["chart", LAMP, "--fabric", "61"],
        ["chart", LAMP, "--count", "14", "--fabric", "16"],
        ["chart", LAMP, "--no-pdf", "--paper", "a4"],
        ["chart", LAMP, "--thin", "-0.1"],
        ["chart", LAMP, "--thin", "5.1"],
        ["chart", LAMP, "--longest-backstitch", "0"],
        ["chart", LAMP, "--longest-backstitch", "11"],
        ["chart", ""],
        ["chart", "-"],
        ["chart", LAMP, "--fractions", "some"],
        ["chart", LAMP, "--paper", "a3"],
        ["chart", LAMP, "--wid", "10"],
        ["chart", LAMP, "--title", "\udcff"],
        ["pages"],
        ["help", "embroidery"],
    ],
    ids=lambda arguments: " ".join(map(ascii, arguments)).replace(str(EXAMPLES), ""),
)
def test_wrong_use_is_one_line_and_status_2(run: Runner, tmp_path: Path, arguments: list[str]) -> None:
    outcome = run(*arguments)
    assert (outcome.status, outcome.out, len(outcome.err_lines)) == (2, "", 1)
    assert outcome.err.startswith("svg2chart")
    assert made(tmp_path) == []


SVG = '<svg xmlns="http://www.w3.org/2000/svg" {}>{}</svg>'
RECT = '<rect id="hull" width="5" height="5"/>'


@pytest.mark.parametrize(
    ("content", "options", "says"),
    [
        (b"", [], "the file is empty"),
        (b"a boat", [], "not well-formed XML"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", [], "not well-formed XML"),
        (SVG.format('viewBox="0 0 9 9"', RECT)[:-3], [], "not well-formed XML"),
        ("<html/>", [], "not an SVG drawing"),
        (SVG.format("", ""), [], "neither a size nor anything to be seen"),
        (SVG.format('viewBox="0 0 0 10"', RECT), [], "viewBox has no area"),
        (SVG.format('width="0" height="5"', RECT), [], "no area"),
        (SVG.format('viewBox="0 0 9 9"', ""), [], "nothing is to be seen"),
        (SVG.format('viewBox="0 0 9 9"', RECT), ["--square", "0.001", "--page"], "9000 by 9000 squares"),
        (SVG.format('viewBox="0 0 9 9"', RECT), ["--font", "none.ttf"], "none.ttf"),
        (
            SVG.format('viewBox="0 0 9 9"', RECT),
            ["--font", "n" * 300],
            "nnn: cannot be read: File name too long",
        ),
    ],
)
def test_bad_drawings_give_one_line(
    run: Runner, tmp_path: Path, content: str | bytes, options: list[str], says: str
) -> None:
    outcome = run("chart", drawing(tmp_path, content), *options)
    assert (outcome.status, outcome.out, len(outcome.err_lines)) == (1, "", 1)
    assert says in outcome.err
    assert "boat.svg: " in outcome.err or "--font" in options
    assert outcome.err.count(". ") >= 1, "there is a way out"
    assert made(tmp_path) == []


def test_path_cut_short_is_drawn_up_to_there_with_a_remark(run: Runner, tmp_path: Path) -> None:
    """As SVG 2, 9.5.4 asks: up to the last segment that is right."""
    art = drawing(tmp_path, SVG.format('viewBox="0 0 9 9"', '<path id="hull" d="M1 1H5V5H1Z M 6 6 C 7 7"/>'))
    outcome = run("chart", art, "--square", "1", "--no-pdf")
    assert outcome.status == 0
    assert [line for line in outcome.err_lines if 'boat.svg: element "hull": ' in line]
    chart = read_chart(tmp_path / "boat.chart.json")
    assert stitch_counts(chart) == {(0, StitchKind.FULL): 16}


def test_remarks_tell_why_there_is_nothing_to_chart(run: Runner, tmp_path: Path) -> None:
    image = '<image id="photo" width="5" height="5" href="data:image/png;base64,"/>'
    outcome = run("chart", drawing(tmp_path, SVG.format('viewBox="0 0 9 9"', image)))
    assert (outcome.status, outcome.out, made(tmp_path)) == (1, "", [])
    [remark, error] = outcome.err_lines
    assert 'element "photo": pictures made of pixels are left out' in remark
    assert "nothing is to be seen" in error


def test_missing_and_unreadable_drawings_give_one_line(run: Runner, tmp_path: Path) -> None:
    (tmp_path / "folder.svg").mkdir()
    for name, says in (
        ("boat.svg", "No such file"),
        ("folder.svg", "this is a folder. Name a drawing in it"),
        (".", "this is a folder"),
        ("/", "this is a folder"),
        ("n" * 300, "File name too long"),
    ):
        outcome = run("chart", name)
        assert (outcome.status, outcome.out, len(outcome.err_lines)) == (1, "", 1)
        assert outcome.err.startswith(f"{name}: ")
        assert says in outcome.err
    assert made(tmp_path) == []


def test_a_chart_file_is_told_from_a_drawing(run: Runner, tmp_path: Path) -> None:
    assert run("chart", LAMP, "--square", "1", "--no-pdf").status == 0
    outcome = run("chart", "lamp.chart.json", "-o", "again/")
    assert (outcome.status, outcome.out) == (1, "")
    assert outcome.err == (
        "lamp.chart.json: this is no drawing, it looks like a chart file. "
        "Its PDF is made by: svg2chart pages.\n"
    )
    assert made(tmp_path) == ["lamp.chart.json"]


def test_json_report_tells_failures_and_the_remarks_up_to_there(run: Runner, tmp_path: Path) -> None:
    filtered = SQUARE_OF_SIX.format('<rect id="glow" width="9" height="9" fill="red" filter="url(#f)"/>')
    art = drawing(tmp_path, filtered)
    for arguments, status in (([art, "--strict"], 1), (["none.svg"], 1), ([""], 2), ([art, "--no-pdf"], 0)):
        outcome = run("chart", *arguments, "--wide", "10", "--report", "json")
        report = json.loads(outcome.out)
        assert outcome.status == status
        assert ("error" in report) == (status != 0)
        assert (report["files"] == []) == (status != 0)
        if status:
            assert report["error"] == outcome.err_lines[-1]
        if art in arguments:
            assert "glow" in [remark["element"] for remark in report["remarks"]]


@pytest.mark.parametrize("output", [".", "..", "./", "new/..", "new/.", "./.", ""])
def test_dots_name_folders(run: Runner, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, output: str) -> None:
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    outcome = run("chart", LAMP, "--square", "1", "--no-pdf", "-o", output)
    assert (outcome.status, outcome.err) == (0, "")
    folder = {"..": tmp_path, "new/.": here / "new"}.get(output, here)
    assert (folder / "lamp.chart.json").is_file()


@pytest.mark.parametrize("output", ["file/", "file/boat", "file/further/boat", "gone/boat"])
def test_what_is_no_folder_but_in_the_place_of_one_is_named(run: Runner, tmp_path: Path, output: str) -> None:
    (tmp_path / "file").write_text("not a folder")
    (tmp_path / "gone").symlink_to("nowhere")
    outcome = run("chart", LAMP, "-o", output)
    first = output.split("/")[0]
    assert (outcome.status, outcome.out) == (2, "")
    assert outcome.err == f"{first}: is in the way, a folder is needed there. Give another -o.\n"
    assert made(tmp_path) == ["file"]


@pytest.mark.parametrize("output", ["/proc/nowhere/", "n" * 300, "n" * 300 + "/"])
def test_folders_that_cannot_be_written_give_one_line(run: Runner, tmp_path: Path, output: str) -> None:
    outcome = run("chart", LAMP, "-o", output, "--square", "1")
    assert (outcome.status, outcome.out, len(outcome.err_lines)) == (1, "", 1)
    assert "cannot be written" in outcome.err
    assert "Choose another place with -o" in outcome.err
    assert made(tmp_path) == []


@pytest.mark.parametrize("overwrite", [[], ["--overwrite"]])
def test_folder_in_the_place_of_the_pdf_leaves_no_chart_file(
    run: Runner, tmp_path: Path, overwrite: list[str]
) -> None:
    (tmp_path / "lamp.pdf").mkdir()
    outcome = run("chart", LAMP, *overwrite)
    assert (outcome.status, outcome.out) == (2, "")
    assert outcome.err == "lamp.pdf: is in the way, a folder has this name. Give another -o.\n"
    assert made(tmp_path) == []


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no /dev/full")
@pytest.mark.parametrize("arguments", [["chart", str(LAMP), "--square", "1", "--no-pdf"], ["help"]])
def test_full_device_is_one_line(tmp_path: Path, arguments: list[str]) -> None:
    command = [sys.executable, "-m", "svg2chart", *arguments]
    with Path("/dev/full").open("wb") as full:
        ended = subprocess.run(command, cwd=tmp_path, stdout=full, stderr=subprocess.PIPE, check=False)
    assert ended.returncode == 1
    assert ended.stderr.decode() == (
        "svg2chart: standard output cannot be written: No space left on device. Files made are kept.\n"
    )


def test_closed_output_is_no_traceback(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "svg2chart", "chart", str(LAMP), "--square", "1", "--no-pdf"]
    ended = subprocess.run(
        ["sh", "-c", '"$@" >&-', "sh", *command], cwd=tmp_path, capture_output=True, check=False
    )
    assert (ended.returncode, ended.stderr) == (0, b"")
    assert made(tmp_path) == ["lamp.chart.json"]


def test_interruption_is_status_130_without_a_traceback(
    run: Runner, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupt(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("svg2chart.cli.chart.make_chart", interrupt)
    outcome = run("chart", LAMP)
    assert (outcome.status, outcome.out, outcome.err) == (130, "", "svg2chart: interrupted\n")
    assert made(tmp_path) == []


def test_so_is_one_before_anything_is_done(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    class Interrupting(io.TextIOWrapper):
        def reconfigure(self, **_: object) -> None:
            raise KeyboardInterrupt

    monkeypatch.setattr(sys, "stdout", Interrupting(io.BytesIO()))
    assert main(["help"]) == 130
    assert capsys.readouterr().err == "svg2chart: interrupted\n"


def test_same_bytes_from_another_process_hash_seed_and_folder(tmp_path: Path) -> None:
    """Two runs, two values of PYTHONHASHSEED, two working directories, absolute and relative paths."""
    results = []
    for seed, arguments in (
        ("1", [LAMP, "-o", tmp_path / "first" / ""]),
        ("2", [os.path.relpath(LAMP, tmp_path), "-o", "second/"]),
    ):
        command = [sys.executable, "-m", "svg2chart", "chart", *map(str, arguments), "--wide", "30"]
        environment = {**os.environ, "PYTHONHASHSEED": seed}
        command[6] = command[6].rstrip("/") + "/"
        subprocess.run(command, cwd=tmp_path, env=environment, check=True, stdout=subprocess.DEVNULL)
    for ending in (".chart.json", ".pdf"):
        results = [(tmp_path / folder / f"lamp{ending}").read_bytes() for folder in ("first", "second")]
        assert results[0] == results[1]


def test_closed_pipe_is_not_a_traceback(tmp_path: Path) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    command = [sys.executable, "-m", "svg2chart", "help"]
    with os.fdopen(writer, "wb") as pipe:
        ended = subprocess.run(command, cwd=tmp_path, stdout=pipe, stderr=subprocess.PIPE, check=False)
    assert (ended.returncode, ended.stderr) == (141, b"")
