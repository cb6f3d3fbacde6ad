"""What of the extensions is installed, and that all their texts can be translated."""

import re
import subprocess
import sys
from pathlib import Path

from svg2chart.editing.installing import files_to_install

REPO = Path(__file__).parents[2]
EXTENSIONS = REPO / "extensions" / "inkscape"


def test_catalogues_are_installed_with_dialogs_that_name_them(tmp_path: Path) -> None:
    dialog = '<?xml version="1.0"?>\n<inkscape-extension{} xmlns="urn:x"><id>lamp</id></inkscape-extension>'
    (tmp_path / "lamp.inx").write_text(dialog.format(""))
    (tmp_path / "lamp.py").write_text("pass")
    assert dict(files_to_install(tmp_path)) == {
        "lamp.inx": dialog.format(' translationdomain="none"').encode(),
        "lamp.py": b"pass",
    }
    place = tmp_path / "locale" / "de" / "LC_MESSAGES"
    place.mkdir(parents=True)
    (place / "svg2chart.mo").write_bytes(b"a catalogue")
    (place / "svg2chart.po").write_text("its source")
    assert dict(files_to_install(tmp_path)) == {
        "lamp.inx": dialog.format(' translationdomain="svg2chart"').encode(),
        "lamp.py": b"pass",
        "locale/de/LC_MESSAGES/svg2chart.mo": b"a catalogue",
    }


def test_every_text_that_is_shown_is_in_the_template_once() -> None:
    script = [sys.executable, str(REPO / "extensions" / "make_template.py")]
    template = subprocess.run(script, capture_output=True, check=True, text=True, encoding="utf-8").stdout
    found = re.findall(r'^msgid "(.*)"$', template, re.MULTILINE)
    assert len(found) == len(set(found))
    texts = {text.replace('\\"', '"') for text in found} - {""}
    dialogs = "".join(path.read_text("utf-8") for path in sorted(EXTENSIONS.glob("*.inx")))
    shown = set(re.findall('gui-text="([^"]+)"|submenu name="([^"]+)"', dialogs))
    shown_alone = set(re.findall(r"<(?:name|label|menu-tip|filetype[a-z]+)>([^<]+)<", dialogs))
    options = set(re.findall(r'<option value="[^"]*">([^<]+)<', dialogs))
    assert options
    assert {text for pair in shown for text in pair if text} | shown_alone | options <= texts
    scripts = "".join(path.read_text("utf-8") for path in sorted(EXTENSIONS.glob("*.py")))
    said = re.findall(r"""\b_\(\s*(?:"([^"\n]*)"|'([^'\n]*)')\s*\)""", scripts)
    assert len(said) == len(re.findall(r"\b_\(", scripts))
    assert {one or other for one, other in said} <= texts
