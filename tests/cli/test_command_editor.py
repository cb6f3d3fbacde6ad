"""The command `editor`: what it puts where, and how it fails."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from svg2chart.cli.main import main

EXTENSIONS = Path(__file__).parents[2] / "extensions" / "inkscape"
NAMESPACE = "{http://www.inkscape.org/namespace/inkscape/extension}"
LANTERN = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 12 12">\n'
    '<rect id="post" x="5" y="5" width="2" height="7" fill="#543"/>\n'
    '<circle id="light" cx="6" cy="4" r="3" fill="#fc3"/>\n</svg>\n'
)
DIALOGS = sorted(EXTENSIONS.glob("*.inx"))


@pytest.fixture
def lantern(tmp_path: Path) -> Path:
    path = tmp_path / "lantern.svg"
    path.write_text(LANTERN)
    return path


def test_installed_once_nothing_is_changed_the_second_time_and_removed_all_is_gone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "extensions"
    other, preferences = folder / "svg2chart" / "mine.txt", tmp_path / "preferences.xml"
    preferences.write_text("the editor's")
    assert main(["editor", "install", "--editor-folder", str(folder)]) == 0
    other.write_text("mine")
    files = {path: path.stat().st_mtime_ns for path in folder.rglob("*.*")}
    engine = json.loads((folder / "svg2chart" / "svg2chart.json").read_text())
    assert engine == {"python": sys.executable}
    assert {path.name for path in EXTENSIONS.iterdir() if path.suffix in (".inx", ".py")} < {
        p.name for p in files
    }
    capsys.readouterr()
    assert main(["editor", "install", "--editor-folder", str(folder)]) == 0
    assert "nothing was changed" in capsys.readouterr().out
    assert {path: path.stat().st_mtime_ns for path in folder.rglob("*.*")} == files
    assert main(["editor", "remove", "--editor-folder", str(folder)]) == 0
    assert [path for path in folder.rglob("*") if path.is_file()] == [other]
    assert (preferences.read_text(), sorted(tmp_path.iterdir())) == ("the editor's", [folder, preferences])
    other.unlink()
    assert main(["editor", "remove", "--editor-folder", str(folder)]) == 0
    assert "nothing was changed" in capsys.readouterr().out


def test_a_file_in_the_way_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "svg2chart").write_text("a file")
    assert main(["editor", "install", "--editor-folder", str(tmp_path)]) == 1
    assert "--editor-folder" in capsys.readouterr().err
    assert main(["editor", "install", "--editor-folder", str(tmp_path / "svg2chart")]) == 2


def test_without_the_editor_the_way_out_is_told(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("PATH", os.devnull)
    assert main(["editor", "install"]) == 1
    assert "--editor-folder" in capsys.readouterr().err


@pytest.mark.skipif(os.name != "posix", reason="a script stands for the editor")
def test_an_editor_that_does_not_tell_its_folder_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    silent = tmp_path / "inkscape"
    silent.write_text("#!/bin/sh\n")
    silent.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    assert main(["editor", "install"]) == 1
    assert "Give its folder of extensions after --editor-folder" in capsys.readouterr().err


def test_changes_of_a_drawing_go_where_told(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    marked = lantern.with_name("marked.svg")
    assert main(["editor", "mark", str(lantern), "--id", "light", "--as", "knot", "-o", str(marked)]) == 0
    assert marked.read_text() == LANTERN.replace('"#fc3"', '"#fc3" data-stitch="knot"')
    capsys.readouterr()
    assert main(["editor", "mark", str(marked), "--tell"]) == 0
    assert json.loads(capsys.readouterr().out) == [{"element": "light", "label": "", "stitch": "knot"}]
    assert main(["editor", "mark", str(marked), "--id", "light", "--as", "nothing", "-o", str(marked)]) == 2
    assert "--overwrite" in capsys.readouterr().err


@pytest.mark.parametrize(
    "arguments", [["--as", "knot"], ["--id", "light"], ["--as", "sail", "--id", "light"]]
)
def test_marks_that_make_no_sense_are_wrong_use(lantern: Path, arguments: list[str]) -> None:
    assert main(["editor", "mark", str(lantern), *arguments]) == 2


def test_squares_on_standard_output_are_the_whole_drawing(
    lantern: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    assert main(["editor", "squares", str(lantern), "--wide", "12"]) == 0
    made = capfdbinary.readouterr().out
    assert made.startswith(LANTERN.removesuffix("</svg>\n").encode())
    assert main(["editor", "stitches", str(lantern), "--wide", "12"]) == 0
    lantern.write_bytes(made)
    assert main(["editor", "clear", str(lantern)]) == 0
    assert capfdbinary.readouterr().out.endswith(LANTERN.encode())


def test_letters_that_move_the_squares_are_told(lantern: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Words that reach beyond all else that is drawn say where the squares begin; on a cloth they do not."""
    words = '<text id="words" x="0.3" y="10" font-size="4">QUAY</text></svg>'
    lantern.write_text(LANTERN.replace("</svg>", words))
    letters = ["editor", "letters", "--wide", "60", "-o", str(lantern.with_name("made.svg")), "--overwrite"]
    assert main([*letters, str(lantern)]) == 0
    assert "set up the page" in capsys.readouterr().err
    cloth = '<rect id="cloth" width="12" height="12" fill="#fff"/>'
    lantern.write_text(LANTERN.replace("</svg>", cloth + words))
    assert main([*letters, str(lantern)]) == 0
    assert capsys.readouterr().err == ""


THE_EDITORS = {"PDFversion", "textToPath", "blurToBitmap", "resolution", "area", "bleed", "exportId"}


def parameters(dialog: Path) -> dict[str, str]:
    """Return the parameters of a dialog and their defaults, without those that the editor itself sets."""
    found = {}
    for element in ET.parse(dialog).getroot().iter(f"{NAMESPACE}param"):
        if element.get("name") in THE_EDITORS:
            continue
        options = element.findall(f"{NAMESPACE}option")
        value = options[0].get("value", "") if options else (element.text or "")
        found[element.get("name", "")] = value
    return found


def script_of(dialog: Path) -> Path:
    command = ET.parse(dialog).getroot().find(f".//{NAMESPACE}command")
    assert command is not None
    assert command.text is not None
    return EXTENSIONS / command.text


@pytest.fixture
def installed(tmp_path: Path) -> Path:
    """Return the folder of the extensions, with modules about that are none of svg2chart's."""
    folder = tmp_path / "extensions"
    assert main(["editor", "install", "--editor-folder", str(folder)]) == 0
    for place in (folder / "svg2chart", folder / "others"):
        place.mkdir(exist_ok=True)
        (place / "numpy.py").write_text("raise SystemExit('not this one')")
    return folder / "svg2chart"


def run_script(
    installed: Path, script: str, drawing: Path, *arguments: str, saved: Path | None = None
) -> tuple[bytes, str]:
    """Run an extension as the editor does; return what it hands over and what it says."""
    environment = {
        **os.environ,
        "DOCUMENT_PATH": str(saved or ""),
        "PYTHONPATH": str(installed.parent / "others"),
    }
    environment.pop("SVG2CHART_MESSAGES", None)
    done = subprocess.run(
        [sys.executable, script, *arguments, str(drawing)],
        cwd=installed,
        env=environment,
        capture_output=True,
        check=False,
    )
    return done.stdout, done.stderr.decode()


@pytest.mark.parametrize("dialog", DIALOGS, ids=[path.stem for path in DIALOGS])
def test_every_parameter_of_a_dialog_is_known_with_its_default(dialog: Path, tmp_path: Path) -> None:
    """The script's own defaults are the dialog's: what the parser says of them, asked without a host."""
    code = (
        "import sys, argparse, runpy\n"
        "sys.path.insert(0, sys.argv[1])\n"
        "import svg2chart_host as host\n"
        "def show(add, work):\n"
        "    parser = argparse.ArgumentParser()\n"
        "    add(parser)\n"
        "    print({a.dest: a.default for a in parser._actions if a.dest != 'help'})\n"
        "host.run_extension = show\n"
        "runpy.run_path(sys.argv[2])\n"
    )
    shown = subprocess.run(
        [sys.executable, "-c", code, str(EXTENSIONS), str(script_of(dialog))],
        capture_output=True,
        text=True,
        check=True,
    )
    known = {name: str(value) for name, value in eval(shown.stdout).items()}
    for name, value in parameters(dialog).items():
        if isinstance(known[name], str) and known[name].replace(".", "", 1).isdigit():
            assert float(known[name]) == float(value), name
        elif name != "ending":  # one script saves both kinds
            assert known[name] == value, name


def test_what_the_editor_sets_by_itself_is_not_shown() -> None:
    """Each parameter is either shown with words, or hidden."""
    for dialog in DIALOGS:
        for element in ET.parse(dialog).getroot().iter(f"{NAMESPACE}param"):
            assert (element.get("gui-hidden") == "true") != bool(element.get("gui-text"))


def test_dialogs_that_ask_the_same_ask_it_in_the_same_words() -> None:
    asked: dict[str, set[str]] = {}
    for dialog in DIALOGS:
        for element in ET.parse(dialog).getroot().iter(f"{NAMESPACE}param"):
            if element.get("name") in ("by", "number", "fractions", "thin", "card", "paper"):
                whole = ET.tostring(element, encoding="unicode").strip()
                asked.setdefault(element.get("name", ""), set()).add(" ".join(whole.split()))
    assert asked
    assert {name: len(ways) for name, ways in asked.items()} == dict.fromkeys(asked, 1)


def test_the_chart_of_the_dialog_is_that_of_the_command_line(installed: Path, tmp_path: Path) -> None:
    folder, drawing = tmp_path / "art", tmp_path / "ink_ext_XYZ"
    folder.mkdir()
    saved = folder / "lantern.svg"
    for path in (saved, drawing):
        path.write_text(LANTERN)
    made, said = run_script(installed, "svg2chart_chart.py", drawing, "--by=wide", "--number=24", saved=saved)
    assert made == b""
    assert "24 x 44 squares" in said
    wanted = tmp_path / "wanted"
    arguments = ["--wide", "24", "--fractions", "all", "--thin", "0.67", "--paper", "a4"]
    assert main(["chart", str(saved), "-o", f"{wanted}/", *arguments]) == 0
    for ending in (".chart.json", ".pdf"):
        assert (folder / f"lantern{ending}").read_bytes() == (wanted / f"lantern{ending}").read_bytes()
    _, again = run_script(installed, "svg2chart_chart.py", drawing, saved=saved)
    assert "is there already" in again


def test_a_chart_lies_beside_the_drawing_whatever_else_has_its_name(
    installed: Path, lantern: Path, tmp_path: Path
) -> None:
    (tmp_path / "lantern").mkdir()
    size = ("--by=wide", "--number=12")
    _, said = run_script(installed, "svg2chart_chart.py", lantern, *size, saved=lantern)
    assert [str(lantern.with_suffix(ending)) for ending in (".chart.json", ".pdf")] == [
        line for line in said.splitlines() if line.startswith("/")
    ]
    assert not any((tmp_path / "lantern").iterdir())
    typed = ("--folder=charts", *size)
    run_script(installed, "svg2chart_chart.py", lantern, *typed, saved=lantern)
    assert sorted(path.name for path in (tmp_path / "charts").iterdir()) == [
        "lantern.chart.json",
        "lantern.pdf",
    ]
    assert run_script(installed, "svg2chart_chart.py", lantern, *typed)[1].startswith(
        "Save the drawing first"
    )


@pytest.mark.parametrize("name", ["lantern.v2", "lantern.pdf", "lantern.chart.json"])
def test_a_copy_of_a_drawing_with_dots_in_its_name_is_saved(
    installed: Path, lantern: Path, name: str
) -> None:
    saved = Path(shutil.copy(lantern, lantern.with_name(f"{name}.svg")))
    made, said = run_script(installed, "svg2chart_save.py", lantern, "--by=wide", "--number=12", saved=saved)
    assert said == ""
    assert json.loads(made)["title"] == name


def test_what_cannot_be_done_is_one_clear_paragraph_and_hands_nothing_over(
    installed: Path, lantern: Path, tmp_path: Path
) -> None:
    cases = {
        "Save the drawing first": run_script(installed, "svg2chart_chart.py", lantern),
        "Nothing is selected": run_script(installed, "svg2chart_mark.py", lantern, "--stitch=knot"),
        "no column code": run_script(installed, "svg2chart_squares.py", lantern, f"--card={lantern}"),
    }
    broken = tmp_path / "broken.svg"
    broken.write_text('<svg xmlns="http://www.w3.org/2000/svg"><defs/></svg>')
    cases["neither a size"] = run_script(installed, "svg2chart_squares.py", broken)
    without = tmp_path / "without"
    (installed / "svg2chart.json").write_text(json.dumps({"python": str(without)}))
    cases["is gone"] = run_script(installed, "svg2chart_squares.py", lantern)
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(without)], check=True)
    engine = json.dumps({"python": str(without / "bin" / "python")})
    (installed / "svg2chart.json").write_text(engine)
    cases["has no svg2chart"] = run_script(installed, "svg2chart_squares.py", lantern)
    for words, (made, said) in cases.items():
        assert made == b""
        assert words in said
        assert len(said.strip().splitlines()) == 1
        assert "Traceback" not in said


def test_what_is_asked_for_out_of_range_is_told_in_the_words_of_the_dialog(
    installed: Path, lantern: Path
) -> None:
    asked = {
        "How many: a whole number from 5 to 60 is needed, not '80'.": ("squares", "--by=count"),
        "How many: a whole number from 1 to 4096 is needed, not '12.5'.": (
            "stitches",
            "--by=wide",
            "--number=12.5",
        ),
        "Capitals so many squares high: a whole number from 4 to 400 is needed, not '3'.": (
            "letters",
            "--capitals=3",
        ),
    }
    for words, (script, *arguments) in asked.items():
        made, said = run_script(installed, f"svg2chart_{script}.py", lantern, *arguments)
        assert (made, said.strip()) == (b"", words)


def test_what_is_in_the_way_of_a_chart_is_told_in_the_words_of_the_dialog(
    installed: Path, lantern: Path, tmp_path: Path
) -> None:
    """The advice of the command line names its options, which a dialog does not have."""
    here, blocked, taken = (tmp_path / name for name in ("here", "blocked", "taken"))
    here.mkdir()
    (here / "lantern.pdf").touch()
    blocked.touch()
    (taken / "lantern.pdf").mkdir(parents=True)
    tick = 'Choose another folder, or tick "Replace files that are there already".'
    asked = {
        here: f"{here}/lantern.pdf: is there already. {tick}",
        blocked: f"{blocked}: is in the way, a folder is needed there. Choose another folder.",
        taken: f"{taken}/lantern.pdf: is in the way, a folder has this name. Choose another folder.",
    }
    for folder, words in asked.items():
        made, said = run_script(installed, "svg2chart_chart.py", lantern, f"--folder={folder}", saved=lantern)
        assert (made, said.strip()) == (b"", words)
    nowhere = Path("/proc/charts")  # no one can make a folder there
    if nowhere.parent.is_dir():
        _, said = run_script(installed, "svg2chart_chart.py", lantern, f"--folder={nowhere}")
        assert said.strip().startswith(f"{nowhere}")
        assert said.strip().endswith("Choose another folder.")


def test_a_drawing_is_told_by_its_own_name(installed: Path, lantern: Path, tmp_path: Path) -> None:
    handed_over = Path(shutil.copy(lantern, tmp_path / "ink_ext_XYZ.svgA1B2C3"))
    arguments = ("--stitch=knot", "--id=keel")
    made, said = run_script(installed, "svg2chart_mark.py", handed_over, *arguments, saved=lantern)
    assert (made, said.strip().partition(". ")[0]) == (b"", 'lantern.svg: there is no element "keel"')


def test_a_drawing_that_is_gone_is_told(installed: Path, tmp_path: Path) -> None:
    made, said = run_script(installed, "svg2chart_squares.py", tmp_path / "gone.svg")
    assert (made, said.strip()) == (b"", "The drawing cannot be read or copied: No such file or directory.")


@pytest.mark.parametrize("damaged", ['{"python"', "{}", "[]"])
def test_a_damaged_note_of_which_python_is_told(installed: Path, lantern: Path, damaged: str) -> None:
    (installed / "svg2chart.json").write_text(damaged)
    made, said = run_script(installed, "svg2chart_squares.py", lantern)
    assert made == b""
    assert "svg2chart.json cannot be read. Run" in said
    assert len(said.strip().splitlines()) == 1


def test_what_is_marked_is_shown(installed: Path, lantern: Path) -> None:
    made, said = run_script(installed, "svg2chart_mark.py", lantern, "--stitch=tell", "--id=light")
    assert (made, said) == (b"", "light: not marked\n")
    made, said = run_script(installed, "svg2chart_mark.py", lantern, "--stitch=area", "--id=light")
    assert (b'data-stitch="area"' in made, said) == (True, "")
    lantern.write_bytes(made)
    assert run_script(installed, "svg2chart_mark.py", lantern)[1] == "light: area\n"
