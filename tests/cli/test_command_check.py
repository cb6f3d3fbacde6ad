"""The command `check`: a table, or JSON, and a status that says whether anything is amiss."""

import json
from pathlib import Path

import pytest

from svg2chart.cli.main import main

LAMP = Path(__file__).parents[2] / "examples" / "lamp.svg"
SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"'
    ' xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape">{}</svg>'
)
HULL = '<rect id="hull" width="6" height="6" fill="#c23a32"/>'
GLOW = '<g inkscape:groupmode="layer" inkscape:label="Lamps"><rect id="glow" width="4" height="4" {}/></g>'
ODD = GLOW.format('filter="url(#f)"').replace(
    "<g ", '<g xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" '
)


@pytest.fixture
def art(tmp_path: Path) -> Path:
    return tmp_path / "boat.svg"


def check(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, str, str]:
    status = main(["check", *map(str, arguments)])
    captured = capsys.readouterr()
    return status, captured.out, captured.err


def test_a_clean_drawing_is_told_in_one_line(art: Path, capsys: pytest.CaptureFixture[str]) -> None:
    art.write_text(SVG.format(HULL))
    assert check(capsys, art, "--square", "1") == (0, "6 x 6 squares: all is charted as drawn\n", "")


def test_thin_strokes_are_told_and_are_no_fault(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = check(capsys, LAMP, "--square", "1", "--page")
    assert (status, err) == (0, "")
    assert out.splitlines()[-1] == "24 x 24 squares: 2 replaced"


def test_the_table_names_element_and_layer(art: Path, capsys: pytest.CaptureFixture[str]) -> None:
    art.write_text(SVG.format(HULL + ODD))
    status, out, err = check(capsys, art, "--square", "1")
    heading, row, last = out.splitlines()
    assert (status, err) == (1, "")
    assert heading.split() == ["ELEMENT", "LAYER", "BECOMES", "WHAT"]
    assert row.split()[:3] == ["glow", "Lamps", "simplified"]
    assert last == "6 x 6 squares: 1 simplified"
    assert [heading.index(word) for word in ("LAYER", "BECOMES")] == [row.index(w) for w in ("Lamps", "simp")]


def test_what_differs_only_by_a_measure_shares_a_line(art: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rope = '<path id="{}" d="M0 {}H6" fill="none" stroke="#123456" stroke-width="{}"/>'
    ropes = [
        rope.format(*one)
        for one in (("bow", 2, 0.2), ("stern", 3, 0.25), ("quay", 4, 0.666), ("lamp", 5, 0.2))
    ]
    art.write_text(SVG.format(HULL + "".join(ropes)))
    _, out, _ = check(capsys, art, "--square", "1")
    assert [" ".join(line.split()) for line in out.splitlines()[1:]] == [
        "bow, stern, quay, lamp replaced"
        " a stroke 0.20 to 0.6660 squares wide becomes backstitch, under 0.67 is thin",
        "6 x 6 squares: 4 replaced",
    ]


def test_json_says_the_same_as_the_report_of_the_chart(
    art: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    art.write_text(SVG.format(HULL + ODD))
    status, out, _ = check(capsys, art, "--wide", "6", "--report", "json")
    report = json.loads(out)
    assert main(["chart", str(art), "--wide", "6", "--report", "json", "--no-pdf", "-o", f"{tmp_path}/"]) == 0
    chart = json.loads(capsys.readouterr().out)
    assert status == 1
    assert report["size"] == chart["size"]
    remarks = [(r["element"], r["layer"], r["what"], r["severity"]) for r in chart["remarks"]]
    assert [(f["element"], f["layer"], f["what"], f["becomes"]) for f in report["findings"]] == remarks
    assert report["counts"] == {"left out": 0, "simplified": 1, "guessed": 0, "replaced": 0, "unseen": 0}


@pytest.mark.parametrize("report", ["text", "json"])
def test_a_drawing_that_cannot_be_charted_still_tells_what_was_found(
    art: Path, capsys: pytest.CaptureFixture[str], report: str
) -> None:
    art.write_text(SVG.format('<image id="photo" width="3" height="3"/>'))
    status, out, err = check(capsys, art, "--report", report)
    assert status == 1
    assert "nothing is to be seen" in err
    assert "photo" in out
    if report == "json":
        assert "nothing is to be seen" in json.loads(out)["error"]


def test_sizes_that_contradict_are_wrong_use(art: Path, capsys: pytest.CaptureFixture[str]) -> None:
    art.write_text(SVG.format(HULL))
    status, out, err = check(capsys, art, "--wide", "6", "--high", "7")
    assert (status, out) == (2, "")
    assert len(err.splitlines()) == 1


def test_nothing_is_written(art: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    art.write_text(SVG.format(HULL))
    check(capsys, art)
    assert list(tmp_path.iterdir()) == [art]


@pytest.mark.parametrize("report", [["--report", "json"], ["--report=json"]])
@pytest.mark.parametrize("wrong", [["--wide", "many"], ["--wide", "5", "--high", "5"], ["--boats"]])
def test_wrong_options_are_told_as_json_where_that_was_asked_for(
    wrong: list[str], report: list[str], art: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    art.write_text(SVG.format(HULL))
    status, out, err = check(capsys, art, *wrong, *report)
    assert status == 2
    assert wrong[0] in json.loads(out)["error"]
    assert json.loads(out)["error"] in err


def test_elements_of_which_the_same_is_said_share_a_line(
    art: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lamps = "".join(f'<path id="lamp{k}" d="M{k} 1h.8v.8h-.8z" filter="url(#f)"/>' for k in range(6))
    art.write_text(SVG.format(HULL + lamps + ODD))
    _, out, _ = check(capsys, art, "--square", "1")
    lines = [line.split("  ")[0] for line in out.splitlines() if "filter" in line]
    assert lines == ["lamp0, lamp1, lamp2, lamp3 and 2 more", "glow"]
    _, out, _ = check(capsys, art, "--square", "1", "--report", "json")
    assert {finding["element"] for finding in json.loads(out)["findings"]} >= {f"lamp{k}" for k in range(6)}
