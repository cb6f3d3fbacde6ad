"""The extensions in the real editor do what the command line does, and leave the rest alone."""

import itertools
import re
import shutil
import subprocess
import time
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from lxml import etree

from svg2chart.cli.main import main
from tests.host.conftest import Editor
from tests.outside import DATA

REPO = Path(__file__).parents[2]
SAMPLES = sorted((DATA / "editor-samples").glob("*.svg"))
VIEW = "{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}namedview"
NOTED = (
    "{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}docname",
    "{http://www.inkscape.org/namespaces/inkscape}version",
)
FLOWED = "03-text-flowed"  # its lines are numbered anew at each start of the editor
LINES = re.compile(r'id="tspan[0-9]+"')
AS_DIALOGS = ["--fractions", "all", "--thin", "0.67"]

pytestmark = pytest.mark.skipif(not SAMPLES, reason="the samples beside the repo are not there")


def content(path: Path) -> str:
    """Return a drawing without what the editor notes of itself, its window and the file's name."""
    root = ET.parse(path).getroot()
    for name in NOTED:
        root.attrib.pop(name, None)
    for element in root.iter():
        element.text = (element.text or "").strip() or None
        element.tail = (element.tail or "").strip() or None
    for view in root.findall(VIEW):
        view.attrib.clear()  # the editor notes there how it shows the drawing
    numbers = itertools.count()
    whole = ET.canonicalize(ET.tostring(root, encoding="unicode"))
    return LINES.sub(lambda _: f'id="line {next(numbers)}"', whole)


@pytest.fixture(scope="module")
def resaved(editor: Editor, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Save the samples again with this editor."""
    folder = tmp_path_factory.mktemp("resaved")
    paths = [Path(shutil.copy(path, folder)) for path in SAMPLES]
    for path in paths:
        path.chmod(0o644)
    editor.run(*map(str, paths), "--export-type=svg", "--export-overwrite")
    return {path.stem: path for path in paths}


def test_every_extension_is_loaded_and_its_dialog_follows_the_editors_schema(editor: Editor) -> None:
    errors = editor.profile / "extension-errors.log"
    assert not errors.exists() or "svg2chart" not in errors.read_text("utf-8")
    listed = editor.run("--batch-process", "--with-gui", "--action-list").stdout
    folder = editor.run("--system-data-directory").stdout.strip().splitlines()[-1]
    schema = etree.RelaxNG(etree.parse(Path(folder) / "extensions" / "inkscape.extension.rng"))
    for path in sorted((REPO / "extensions" / "inkscape").glob("*.inx")):
        tree = etree.parse(path)
        assert schema.validate(tree), schema.error_log.last_error
        name = tree.getroot().findtext("{*}id")
        assert name is not None
        assert (name in listed) == (tree.getroot().find("{*}effect") is not None)


def test_save_a_copy_gives_the_files_of_the_command_line(
    editor: Editor, resaved: dict[str, Path], tmp_path: Path
) -> None:
    """No screen is needed for this."""
    editor.set(chartfile_by="wide", chartfile_number="30", chartpdf_by="wide", chartpdf_number="30")
    whole = {name: path for name, path in resaved.items() if name != FLOWED}
    paths = [str(path) for path in whole.values()]
    editor.run(*paths, "--export-type=chart.json")
    editor.run(*paths, "--export-type=chart.pdf")
    for name, path in whole.items():
        wanted = tmp_path / name
        assert (
            main(["chart", str(path), "-o", str(wanted), "--wide", "30", *AS_DIALOGS, "--paper", "a4"]) == 0
        )
        for ending in (".chart.json", ".pdf"):
            made = path.with_name(f"{name}.chart{ending.removeprefix('.chart')}")
            assert made.read_bytes() == wanted.with_name(name + ending).read_bytes(), made


def test_flowed_words_that_the_editor_hands_over_empty_are_told_and_make_no_file(
    editor: Editor, resaved: dict[str, Path], tmp_path: Path
) -> None:
    drawing = Path(shutil.copy(resaved[FLOWED], tmp_path))
    editor.messages.unlink(missing_ok=True)
    editor.run(str(drawing), "--export-type=chart.json")
    assert not drawing.with_suffix(".chart.json").exists()
    said = editor.messages.read_text("utf-8").strip()
    assert "without their letters: shaped, inlined. Use the entry" in said
    assert len(said.splitlines()) == 1


def without_hash(file: bytes) -> bytes:
    """Return a chart or its pages without the hash of the drawing that was read."""
    return re.sub(rb'"sha256": "[^"]*"', b"", file)


@pytest.mark.parametrize("name", [path.stem for path in SAMPLES])
def test_squares_are_those_of_the_command_line_and_go_away_again(
    editor: Editor, resaved: dict[str, Path], tmp_path: Path, name: str
) -> None:
    editor.set(squares_by="wide", squares_number="30")
    drawing, with_layer = resaved[name], tmp_path / "with.svg"
    assert editor.apply(drawing, ["squares"], with_layer) == ""
    wanted = tmp_path / "wanted.svg"
    assert main(["editor", "squares", str(drawing), "--wide", "30", *AS_DIALOGS, "-o", str(wanted)]) == 0
    # what an effect hands back unchanged is worked out anew too: the editor redraws shapes of path effects
    editor.set(clear_layer="stitches")
    saved, untouched = tmp_path / "saved.svg", tmp_path / "untouched.svg"
    editor.apply(wanted, ["clear"], saved)
    editor.apply(drawing, ["clear"], untouched)
    assert content(with_layer) == content(saved)
    assert 'data-svg2chart="overlay"' in with_layer.read_text("utf-8")
    cleared = tmp_path / "cleared.svg"
    editor.set(clear_layer="squares")
    editor.apply(with_layer, ["clear"], cleared)
    assert content(cleared) == content(untouched)


def test_twice_is_once_and_one_undo_takes_it_back(
    editor: Editor, resaved: dict[str, Path], tmp_path: Path
) -> None:
    editor.set(squares_by="wide", squares_number="30", stitches_by="wide", stitches_number="30")
    drawing = resaved["01-layers"]
    once, twice, undone = (tmp_path / f"{name}.svg" for name in ("once", "twice", "undone"))
    for effect in ("squares", "stitches"):
        editor.apply(drawing, [effect], once)
        editor.apply(once, [effect], twice)
        assert content(once) == content(twice)
    untouched = tmp_path / "untouched.svg"
    editor.apply(drawing, [], untouched)
    actions = f"org.svg2chart.squares.noprefs;undo;export-filename:{undone};export-do"
    editor.run(str(drawing), "--batch-process", f"--actions={actions}")
    assert content(undone) == content(untouched)


def test_words_become_letters_once_and_stay_to_be_edited(
    editor: Editor, resaved: dict[str, Path], tmp_path: Path
) -> None:
    editor.set(letters_by="wide", letters_number="120", letters_capitals="7")
    drawing = resaved["02-text-lines"]
    once, twice, undone = (tmp_path / f"{name}.svg" for name in ("once", "twice", "undone"))
    assert editor.apply(drawing, ["letters"], once, select="words") == ""
    wanted = tmp_path / "wanted.svg"
    chosen = ["--wide", "120", "--capitals", "7", "--id", "words"]
    assert main(["editor", "letters", str(drawing), *chosen, "-o", str(wanted)]) == 0
    editor.apply(wanted, [], tmp_path / "saved.svg")
    assert content(once) == content(tmp_path / "saved.svg")
    editor.apply(once, ["letters"], twice, select="words-letters")
    assert content(twice) == content(once)
    kept = ET.parse(once).find(".//*[@id='words-text']")
    assert kept is not None
    assert "display:none" in kept.get("style", "")
    before, after = (
        "".join(text.itertext()).split()
        for tree in (ET.parse(drawing), ET.parse(once))
        if (text := tree.find(".//*[@id='words']")) is not None
    )
    assert before == after
    actions = f"select-by-id:words;org.svg2chart.letters.noprefs;undo;export-filename:{undone};export-do"
    editor.run(str(drawing), "--batch-process", f"--actions={actions}")
    editor.apply(drawing, [], tmp_path / "untouched.svg")
    assert content(undone) == content(tmp_path / "untouched.svg")


def test_words_that_cannot_be_fitted_are_told(editor: Editor, tmp_path: Path) -> None:
    turned = tmp_path / "turned.svg"
    turned.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 40" width="60mm" height="40mm">'
        '<text id="quay" transform="rotate(20)" x="20" y="20" font-size="9">QUAY</text></svg>'
    )
    editor.set(letters_by="wide", letters_number="60")
    said = editor.apply(turned, ["letters"], tmp_path / "after.svg")
    assert (
        said.strip()
        == 'turned.svg: element "quay": its letters are not fitted: they are not upright (left out)'
    )
    assert "quay-letters" not in (tmp_path / "after.svg").read_text("utf-8")


def test_ctrl_z_in_the_window_gives_the_drawing_back(
    editor: Editor, resaved: dict[str, Path], tmp_path: Path
) -> None:
    editor.set(squares_by="wide", squares_number="30")
    drawing = tmp_path / "drawing.svg"
    shutil.copy(resaved["01-layers"], drawing)
    before = content(drawing)
    window = subprocess.Popen(
        ["inkscape", "--with-gui", str(drawing), "--actions=org.svg2chart.squares.noprefs"],
        env=editor.environment(),
        stderr=subprocess.DEVNULL,
    )
    try:
        press(editor, "ctrl+s", until=lambda: OVER in drawing.read_text("utf-8"))
        press(editor, "ctrl+z", until=lambda: title(editor).startswith("*"))
        press(editor, "ctrl+s", until=lambda: OVER not in drawing.read_text("utf-8"))
    finally:
        window.kill()
        window.wait()
    assert content(drawing) == before


OVER = 'data-svg2chart="overlay"'


def press(editor: Editor, key: str, *, until: Callable[[], bool] = lambda: True, seconds: float = 90) -> None:
    """Press a key in the editor's window, again and again until something holds."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        found = xdotool(editor, "search", "--onlyvisible", "--name", "drawing.svg").split()
        if found:
            xdotool(editor, "windowfocus", "--sync", found[-1], "key", "--clearmodifiers", key)
            time.sleep(0.5)
            if until():
                return
        time.sleep(0.5)
    raise AssertionError(f"{key} did not lead to it in time")


def title(editor: Editor) -> str:
    """Return the title of the editor's window, which begins with a star while there is something to save."""
    found = xdotool(editor, "search", "--onlyvisible", "--name", "drawing.svg").split()
    return xdotool(editor, "getwindowname", found[-1]).strip() if found else ""


def xdotool(editor: Editor, *arguments: str) -> str:
    return subprocess.run(
        ["xdotool", *arguments],
        env=editor.environment(),
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    ).stdout


def test_a_chart_is_made_and_the_drawing_stays(
    editor: Editor, resaved: dict[str, Path], tmp_path: Path
) -> None:
    editor.set(chart_by="wide", chart_number="30", chart_folder=tmp_path)
    drawing, after = resaved["01-layers"], tmp_path / "after.svg"
    said = editor.apply(drawing, ["chart"], after)
    assert content(after) == content(drawing)
    assert "30 x " in said
    assert "lamp2: hidden" in said
    wanted = tmp_path / "wanted"
    arguments = ["--wide", "30", *AS_DIALOGS, "--paper", "a4", "--title", "01-layers"]
    assert main(["chart", str(drawing), "-o", str(wanted), *arguments]) == 0
    for ending in (".chart.json", ".pdf"):
        made = tmp_path / f"01-layers{ending}"
        # the editor hands over the drawing with what it notes of its window: its hash is another one
        wanted_bytes = wanted.with_name(f"wanted{ending}").read_bytes()
        assert without_hash(made.read_bytes()) == without_hash(wanted_bytes)
    again = editor.apply(drawing, ["chart"], after)
    assert "is there already" in again


def test_selected_objects_are_marked_and_shown(
    editor: Editor, resaved: dict[str, Path], tmp_path: Path
) -> None:
    drawing, marked = resaved["01-layers"], tmp_path / "marked.svg"
    editor.set(mark_stitch="knot")
    assert editor.apply(drawing, ["mark"], marked, select="lamp1") == ""
    root = ET.parse(marked).getroot()
    assert {e.get("id"): e.get("data-stitch") for e in root.iter() if "data-stitch" in e.attrib} == {
        "lamp1": "knot"
    }
    assert "Nothing is selected" in editor.apply(drawing, ["mark"], tmp_path / "same.svg")
    assert content(tmp_path / "same.svg") == content(drawing)
    editor.set(mark_stitch="tell")
    assert "lamp1: knot" in editor.apply(marked, ["mark"], tmp_path / "told.svg")
    editor.set(mark_stitch="nothing")
    editor.apply(marked, ["mark"], tmp_path / "bare.svg", select="lamp1")
    assert content(tmp_path / "bare.svg") == content(drawing)


def test_a_page_is_set_up_and_then_charted_as_saved(
    editor: Editor, resaved: dict[str, Path], tmp_path: Path
) -> None:
    editor.set(page_wide=30, page_high=20, page_fabric=16)
    made = tmp_path / "page.svg"
    assert editor.apply(resaved["01-layers"], ["page"], made) == ""
    wanted = tmp_path / "chart"
    assert main(["chart", str(made), "-o", str(wanted), "--no-pdf"]) == 0
    text = wanted.with_name("chart.chart.json").read_text("utf-8")
    assert '"size": {"wide": 30, "high": 20}' in text
    assert '"count": 16' in text


def test_stitches_that_the_editor_saved_are_charted_as_they_were(
    editor: Editor, resaved: dict[str, Path], tmp_path: Path
) -> None:
    editor.set(stitches_by="wide", stitches_number="30")
    drawing, made = resaved["01-layers"], tmp_path / "stitches.svg"
    assert editor.apply(drawing, ["stitches"], made) == ""
    for source, name in ((drawing, "before"), (made, "after")):
        size = ["--wide", "30"] if source is drawing else []
        assert main(["chart", str(source), "-o", str(tmp_path / name), "--no-pdf", *size]) == 0
    before, after = ((tmp_path / f"{name}.chart.json").read_text("utf-8") for name in ("before", "after"))
    assert stitched(before) == stitched(after)


def stitched(chart: str) -> str:
    """Return what a chart file says of its stitches: from the size to the knots."""
    return chart[chart.index('"size"') : chart.index('"report"')]


def test_a_failure_is_one_paragraph_and_leaves_no_file(
    editor: Editor, resaved: dict[str, Path], tmp_path: Path
) -> None:
    drawing, after = resaved["01-layers"], tmp_path / "after.svg"
    blocked = tmp_path / "a-file"
    blocked.write_text("in the way")
    editor.set(chart_folder=blocked)
    said = editor.apply(drawing, ["chart"], after)
    assert "a-file: is in the way" in said
    assert len(said.strip().splitlines()) == 1
    editor.set(squares_card=tmp_path / "no-card.csv", chartfile_card=tmp_path / "no-card.csv")
    said = editor.apply(drawing, ["squares"], after)
    assert "no-card.csv" in said
    assert content(after) == content(drawing)
    kept = tmp_path / "kept.svg"
    shutil.copy(drawing, kept)
    editor.run(str(kept), "--export-type=chart.json")
    assert not kept.with_name("kept.chart.json").exists()


def test_a_drawing_without_a_size_and_a_folder_that_takes_no_file_are_told(
    editor: Editor, resaved: dict[str, Path], tmp_path: Path
) -> None:
    bare, after = tmp_path / "bare.svg", tmp_path / "after.svg"
    bare.write_text('<svg xmlns="http://www.w3.org/2000/svg"><defs/></svg>')
    editor.set(chart_folder="/proc")  # no one may write there, not even who runs the tests as root
    assert "Give it a width and a height." in (said := editor.apply(bare, ["squares"], after))
    assert len(said.strip().splitlines()) == 1
    assert 'data-svg2chart="overlay"' not in after.read_text("utf-8")
    said = editor.apply(resaved["01-layers"], ["chart"], after)
    assert "/proc" in said
    assert len(said.strip().splitlines()) == 1
    assert "Traceback" not in said
