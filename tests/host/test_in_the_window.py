"""What somebody sees who sits before the editor."""

import re
import shutil
import struct
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import pypdf
import pytest

from svg2chart.cli.main import main
from svg2chart.editing.installing import files_to_install
from tests.host.conftest import Editor, Screen, profile_of
from tests.host.desk import (
    await_still,
    await_window,
    click,
    is_changed,
    is_open,
    press,
    seen_beside,
    started,
    wait_until,
)
from tests.host.samples import AS_DIALOGS, SAMPLES, content

pytestmark = pytest.mark.skipif(not SAMPLES, reason="the samples beside the repo are not there")

EXTENSIONS = Path(__file__).parents[2] / "extensions" / "inkscape"
OVER = 'data-svg2chart="overlay"'
NAME = "drawing.svg"


@pytest.fixture
def drawing(tmp_path: Path) -> Path:
    path = Path(shutil.copy(SAMPLES[0], tmp_path / NAME))
    path.chmod(0o644)
    return path


def test_ctrl_z_gives_the_drawing_back(editor: Editor, drawing: Path) -> None:
    editor.set(squares_by="wide", squares_number="30")
    before = content(drawing)
    with started(editor, drawing, "org.svg2chart.squares.noprefs"):
        press(editor, NAME, "ctrl+s", until=lambda: OVER in drawing.read_text("utf-8"))
        press(editor, NAME, "ctrl+z", until=lambda: is_changed(editor, NAME))
        press(editor, NAME, "ctrl+s", until=lambda: OVER not in drawing.read_text("utf-8"))
    assert content(drawing) == before


def test_live_preview_shows_the_layer_and_closing_takes_it_away(
    editor: Editor, screen: Screen, drawing: Path
) -> None:
    editor.set(squares_by="wide", squares_number="30")
    before = content(drawing)
    with started(editor, drawing, "org.svg2chart.squares"):
        dialog = await_window(editor, "Show squares and stitches")
        bare = await_still(screen, dialog)
        click(editor, dialog, from_left=24, from_bottom=57)  # the box before "Live preview"
        wait_until(lambda: (seen_beside(screen, dialog) != bare).sum() > 1000)
        await_still(screen, dialog)
        click(editor, dialog, from_left=dialog.wide - 134, from_bottom=19)  # the button "Close"
        wait_until(lambda: bool((seen_beside(screen, dialog) == bare).all()))
        assert not is_changed(editor, NAME)
        # only what is changed is saved: something is deleted, and had again by one undo
        press(editor, NAME, "ctrl+a", until=lambda: True)
        press(editor, NAME, "Delete", until=lambda: is_changed(editor, NAME))
        press(editor, NAME, "ctrl+s", until=lambda: not is_changed(editor, NAME))
        assert content(drawing) != before
        press(editor, NAME, "ctrl+z", until=lambda: is_changed(editor, NAME))
        press(editor, NAME, "ctrl+s", until=lambda: not is_changed(editor, NAME))
    assert content(drawing) == before


def test_the_grid_of_a_page_that_is_set_up_is_seen(editor: Editor, screen: Screen, drawing: Path) -> None:
    """Its lines are light blue, which nothing else of the window or the drawing is."""

    def light_blue() -> int:
        red, green, blue = np.moveaxis(screen.picture()[..., :3].astype(int), -1, 0)
        return int(((blue - red > 15) & (green > red) & (red > 100)).sum())

    editor.set(page_wide=30, page_high=20)
    with started(editor, drawing, "select-clear"):
        await_window(editor, NAME)
        time.sleep(2)
        bare = light_blue()
    with started(editor, drawing, "org.svg2chart.page.noprefs"):
        await_window(editor, NAME)
        wait_until(lambda: light_blue() > bare + 2000)  # two lines across the screen


@pytest.mark.parametrize(
    ("kind", "title", "ending"),
    [
        ("chartfile", "Cross-stitch chart file", ".chart.json"),
        ("chartpdf", "Cross-stitch chart, PDF", ".pdf"),
    ],
)
def test_a_kind_that_is_chosen_in_save_a_copy_is_the_kind_that_is_saved(
    editor: Editor, drawing: Path, tmp_path: Path, kind: str, title: str, ending: str
) -> None:
    """The window of the editor changes the kind where the name's ending is that of another."""
    editor.set(**{f"{kind}_by": "wide", f"{kind}_number": 30})
    choose_kind(editor, f"org.svg2chart.{kind}")
    made = drawing.with_name(f"drawing{ending}")
    with started(editor, drawing, "select-clear"):
        press(editor, NAME, "ctrl+shift+alt+s", until=lambda: is_open(editor, "Select file to save"))
        press(editor, "Select file to save", "Return", until=lambda: is_open(editor, title))
        press(editor, title, "Return", until=made.exists)
        wait_until(lambda: not is_changed(editor, NAME) and made.stat().st_size > 0)
    assert main(["chart", str(drawing), "-o", str(tmp_path / "wanted"), "--wide", "30", *AS_DIALOGS]) == 0
    assert told(made) == told(tmp_path / f"wanted{ending}")


def test_a_copy_that_cannot_be_made_is_told_and_the_editor_goes_on(editor: Editor, drawing: Path) -> None:
    editor.set(chartpdf_card=drawing.with_name("no-card.csv"))
    editor.messages.unlink(missing_ok=True)
    choose_kind(editor, "org.svg2chart.chartpdf")
    with started(editor, drawing, "select-clear"):
        press(editor, NAME, "ctrl+shift+alt+s", until=lambda: is_open(editor, "Select file to save"))
        press(editor, "Select file to save", "Return", until=lambda: is_open(editor, "chart, PDF"))
        press(editor, "chart, PDF", "Return", until=editor.messages.exists)
        wait_until(lambda: "no-card.csv" in editor.messages.read_text("utf-8"))
        time.sleep(2)  # without a window the editor ends itself here
        assert is_open(editor, NAME)
    assert [path.name for path in drawing.parent.iterdir()] == [NAME]


def choose_kind(editor: Editor, kind: str) -> None:
    """Let the editor remember a kind of file as the last one that a copy was saved as."""
    path = editor.profile / "preferences.xml"
    group = re.search(r'<group\s[^>]*?id="save_copy"[^>]*>', text := path.read_text("utf-8"))
    assert group is not None
    chosen = re.sub(r'\sdefault="[^"]*"', f' default="{kind}"', group[0])
    path.write_text(text.replace(group[0], chosen), "utf-8")


def told(path: Path) -> str:
    """Return what a chart file or its pages tell, but for the hash of the drawing with its notes."""
    if path.suffix == ".pdf":
        return "\n".join(page.extract_text() for page in pypdf.PdfReader(path).pages)
    return re.sub('"sha256": "[^"]*"', "", path.read_text("utf-8"))


def test_texts_that_are_translated_are_shown_so(screen: Screen, drawing: Path, tmp_path: Path) -> None:
    """In a language that the editor itself knows: it looks for texts in no other."""
    german = replace(profile_of(tmp_path / "profile", screen), language="de")
    extensions = Path(shutil.copytree(EXTENSIONS, tmp_path / "extensions"))
    folder = extensions / "locale" / "de" / "LC_MESSAGES"
    folder.mkdir(parents=True)
    nothing = "Nothing is selected. Select the objects that are to be marked."
    texts = {"Set up the page": "Seite einrichten", nothing: "Nichts ist ausgewählt."}
    (folder / "svg2chart.mo").write_bytes(catalogue(texts))
    for name, held in files_to_install(extensions):
        installed = german.profile / "extensions" / "svg2chart" / name
        installed.parent.mkdir(parents=True, exist_ok=True)
        installed.write_bytes(held)
    with started(german, drawing, "org.svg2chart.page"):
        await_window(german, texts["Set up the page"])
    german.set(mark_stitch="knot")
    assert german.apply(drawing, ["mark"], tmp_path / "after.svg").strip() == texts[nothing]


def catalogue(texts: dict[str, str]) -> bytes:
    """Return a catalogue of texts. Source: the manual of GNU gettext, 10.3, the format of MO files."""
    header = {"": "Content-Type: text/plain; charset=UTF-8\n"}
    pairs = [(key.encode(), value.encode()) for key, value in sorted({**header, **texts}.items())]
    tables, strings = 28, 28 + 16 * len(pairs)
    lengths, held = [], b""
    for column in zip(*pairs, strict=True):
        for text in column:
            lengths += [len(text), strings + len(held)]
            held += text + b"\0"
    numbers = (0x950412DE, 0, len(pairs), tables, tables + 8 * len(pairs), 0, 0, *lengths)
    return struct.pack(f"<{len(numbers)}I", *numbers) + held
