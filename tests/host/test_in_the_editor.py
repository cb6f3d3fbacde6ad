"""The extensions in the real editor do what the command line does, and leave the rest alone."""

import json
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree as ET

import pypdf
import pytest
from lxml import etree

import svg2chart
from svg2chart.chart import StitchKind
from svg2chart.cli.main import main
from tests.host.conftest import Editor, Screen, profile_of
from tests.host.samples import AS_DIALOGS, FLOWED, NAMES, SAMPLES, content

REPO = Path(__file__).parents[2]

pytestmark = pytest.mark.skipif(not SAMPLES, reason="the samples beside the repo are not there")


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


@pytest.mark.parametrize("name", [name for name in NAMES if name != FLOWED])
def test_save_a_copy_gives_the_files_of_the_command_line(
    editor: Editor, resaved: dict[str, Path], tmp_path: Path, name: str
) -> None:
    """No screen is needed for this."""
    editor.set(chartfile_by="wide", chartfile_number="30", chartpdf_by="wide", chartpdf_number="30")
    made, wanted = save_copies(editor, resaved[name], tmp_path), tmp_path / "wanted"
    arguments = ["--wide", "30", *AS_DIALOGS, "--paper", "a4"]
    assert main(["chart", str(resaved[name]), "-o", str(wanted), *arguments]) == 0
    for path, ending in zip(made, (".chart.json", ".pdf"), strict=True):
        assert path.read_bytes() == wanted.with_name(f"wanted{ending}").read_bytes()


def save_copies(editor: Editor, drawing: Path, folder: Path) -> tuple[Path, Path]:
    """Save copies of both kinds of ours into a folder, without a screen, and return where they go."""
    copy, headless = Path(shutil.copy(drawing, folder)), replace(editor, screen="")
    file, pages = copy.with_suffix(".chart.json"), copy.with_suffix(".pdf")
    headless.run(str(copy), "--export-type=chart.json")
    headless.run(str(copy), "--export-extension=org.svg2chart.chartpdf", f"--export-filename={pages}")
    return file, pages


def test_what_is_exported_as_pdf_is_still_the_page_and_no_chart(
    editor: Editor, resaved: dict[str, Path], tmp_path: Path
) -> None:
    made = tmp_path / "page.pdf"
    replace(editor, screen="").run(str(resaved["01-layers"]), f"--export-filename={made}")
    assert "cairo" in (pypdf.PdfReader(made).metadata or {})["/Producer"]


def test_flowed_words_that_the_editor_hands_over_empty_are_told_and_make_no_file(
    editor: Editor, resaved: dict[str, Path], tmp_path: Path
) -> None:
    editor.messages.unlink(missing_ok=True)
    made = save_copies(editor, resaved[FLOWED], tmp_path)
    assert not any(path.exists() for path in made)
    said = editor.messages.read_text("utf-8").strip().splitlines()
    assert len(said) == len(made)
    assert all("without their letters: shaped, inlined. Use the entry" in each for each in said)


def test_twice_is_once(editor: Editor, resaved: dict[str, Path], tmp_path: Path) -> None:
    editor.set(squares_by="wide", squares_number="30", stitches_by="wide", stitches_number="30")
    drawing = resaved["01-layers"]
    once, twice = tmp_path / "once.svg", tmp_path / "twice.svg"
    for effect in ("squares", "stitches"):
        editor.apply(drawing, [effect], once)
        editor.apply(once, [effect], twice)
        assert content(once) == content(twice)


def test_words_become_letters_once_and_stay_to_be_edited(
    editor: Editor, resaved: dict[str, Path], tmp_path: Path
) -> None:
    editor.set(letters_by="wide", letters_number="120", letters_capitals="7")
    drawing = resaved["02-text-lines"]
    once, twice = tmp_path / "once.svg", tmp_path / "twice.svg"
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


def test_a_chart_is_made_and_the_drawing_stays(
    editor: Editor, resaved: dict[str, Path], tmp_path: Path
) -> None:
    editor.set(chart_by="wide", chart_number="30", chart_folder=tmp_path)
    drawing, after = resaved["01-layers"], tmp_path / "after.svg"
    said = editor.apply(drawing, ["chart"], after)
    assert content(after) == content(drawing)
    assert "30 x " in said
    assert "lamp2: hidden" in said
    assert "sketch (hidden): a hidden layer" in said  # by its label; its id is l-sketch
    made = [tmp_path / f"01-layers{ending}" for ending in (".chart.json", ".pdf")]
    assert [str(path) for path in made] == [line for line in said.splitlines() if line.startswith("/")]
    before = [path.read_bytes() for path in made]
    again = editor.apply(drawing, ["chart"], after)
    assert "is there already" in again
    assert [path.read_bytes() for path in made] == before


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


def test_stitches_that_are_edited_in_the_editor_are_charted_exactly_so(
    editor: Editor, resaved: dict[str, Path], tmp_path: Path
) -> None:
    """One is deleted, one painted, and that one moved up by two squares of 4 mm."""
    editor.set(stitches_by="wide", stitches_number="30")
    plain, edited = tmp_path / "plain.svg", tmp_path / "edited.svg"
    two_squares = 2 * 4 / 25.4 * 96  # px, with which the editor counts
    said = editor.act(
        resaved["01-layers"],
        [
            *("org.svg2chart.stitches.noprefs", f"export-filename:{plain}", "export-do", "select-clear"),
            *("select-by-id:stitches-r10c12", "delete-selection", "select-clear"),
            *("select-by-id:stitches-r11c10", "object-set-property:fill,#123456"),
            *(f"transform-translate:0,{-two_squares}", f"export-filename:{edited}", "export-do"),
        ],
    )
    assert said == ""
    before, after, again = stitched(resaved["01-layers"], "--wide", "30"), stitched(edited), stitched(plain)
    assert again == before
    painted = [(StitchKind.FULL, None, "#123456")]
    assert after == before | {(8, 9): painted, (10, 9): [], (9, 11): []}


def stitched(drawing: Path, *size: str) -> dict[object, object]:
    """Chart a drawing and return what is stitched, by place and colour."""
    made = drawing.with_name(f"{drawing.stem}-stitched")
    assert main(["chart", str(drawing), "-o", str(made), "--no-pdf", *size]) == 0
    chart = svg2chart.read_chart(made.with_name(f"{made.name}.chart.json"))
    colours = [thread.colour for thread in chart.threads]
    return {
        **{
            (row, column): [(s.kind, s.corner, colours[s.thread]) for s in chart.arrangement_at(row, column)]
            for row in range(chart.rows)
            for column in range(chart.columns)
        },
        "lines": {(line.start, line.end, colours[line.thread]) for line in chart.backstitch},
        "knots": {(knot.at, colours[knot.thread]) for knot in chart.knots},
    }


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
    editor.set(
        **{f"{entry}_card": tmp_path / "no-card.csv" for entry in ("squares", "chartfile", "chartpdf")}
    )
    said = editor.apply(drawing, ["squares"], after)
    assert "no-card.csv" in said
    assert content(after) == content(drawing)
    made = save_copies(editor, drawing, tmp_path)
    assert not any(path.exists() for path in made)


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


def test_a_python_without_svg2chart_is_told(screen: Screen, resaved: dict[str, Path], tmp_path: Path) -> None:
    editor, after = profile_of(tmp_path / "profile", screen), tmp_path / "after.svg"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(tmp_path / "bare")], check=True)
    python = str(tmp_path / "bare" / "bin" / "python")
    note = editor.profile / "extensions" / "svg2chart" / "svg2chart.json"
    for named, why in ((python, "has no svg2chart any more"), (f"{python}-gone", "is gone")):
        note.write_text(json.dumps({"python": named}), "utf-8")
        said = editor.apply(resaved["01-layers"], ["squares"], after).strip()
        assert why in said
        assert named in said
        assert len(said.splitlines()) == 1
        assert content(after) == content(resaved["01-layers"])
        assert not any(path.exists() for path in save_copies(editor, resaved["01-layers"], tmp_path))
