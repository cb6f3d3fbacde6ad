"""Print all texts of the extensions, as a template of a catalogue (.pot) for those who translate them.

    python3 extensions/make_template.py > svg2chart.pot

Needs nothing but Python. What a dialog shows stands in the .inx files, what a script says in calls of `_`.
"""

import ast
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

FOLDER = Path(__file__).parent / "inkscape"
NAMESPACE = "{http://www.inkscape.org/namespace/inkscape/extension}"
WITH_TEXT = ("name", "option", "label", "menu-tip", "filetypename", "filetypetooltip")
HEADER = """msgid ""
msgstr ""
"Project-Id-Version: svg2chart\\n"
"MIME-Version: 1.0\\n"
"Content-Type: text/plain; charset=UTF-8\\n"
"Content-Transfer-Encoding: 8bit\\n"
"""


def texts_of_dialog(path: Path) -> Iterator[str]:
    """Yield what a dialog shows, in the order of its file."""
    for element in ElementTree.parse(path).getroot().iter():
        name = element.tag.removeprefix(NAMESPACE)
        if element.get("translatable") == "no" or element.get("gui-hidden") == "true":
            continue
        if name in WITH_TEXT:
            yield (element.text or "").strip()
        elif name == "param":
            yield element.get("gui-text", "")
        elif name == "submenu":
            yield element.get("name", "")


def texts_of_script(path: Path) -> Iterator[str]:
    """Yield what a script gives to `_`, in the order of its file."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "_":
            yield ast.literal_eval(node.args[0])


def template() -> str:
    """Return the template: each text once, with the files that it stands in."""
    places: dict[str, list[str]] = {}
    for path in sorted(FOLDER.iterdir()):
        texts = {".inx": texts_of_dialog, ".py": texts_of_script}.get(path.suffix)
        for text in texts(path) if texts else ():
            if path.name not in places.setdefault(text, []):
                places[text].append(path.name)
    entries = [f'#: {" ".join(names)}\nmsgid {quoted(text)}\nmsgstr ""\n' for text, names in places.items()]
    return "\n".join([HEADER, *entries])


def quoted(text: str) -> str:
    """Return a text as a catalogue has it. Source: the manual of GNU gettext, 3.1, the format of PO files."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'


if __name__ == "__main__":
    print(template(), end="")
