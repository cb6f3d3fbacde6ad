"""The drawings that the editor is tried with, and what two of its files are compared by."""

import itertools
import re
from pathlib import Path
from xml.etree import ElementTree as ET

from tests.outside import DATA

SAMPLES = sorted((DATA / "editor-samples").glob("*.svg"))
NAMES = [path.stem for path in SAMPLES]
FLOWED = "03-text-flowed"
AS_DIALOGS = ["--fractions", "all", "--thin", "0.67"]

_VIEW = "{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}namedview"
_NOTED = (
    "{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}docname",
    "{http://www.inkscape.org/namespaces/inkscape}version",
)
_LINES = re.compile(r'id="tspan[0-9]+"')  # of flowed words; numbered anew at each start of the editor


def content(path: Path) -> str:
    """Return a drawing without what the editor notes of itself, its window and the file's name."""
    root = ET.parse(path).getroot()
    for name in _NOTED:
        root.attrib.pop(name, None)
    for element in root.iter():
        element.text = (element.text or "").strip() or None
        element.tail = (element.tail or "").strip() or None
        if "style" in element.attrib:  # flowed words get the initial value of display when they are saved
            said = {each.strip() for each in element.attrib["style"].split(";")} - {"", "display:inline"}
            element.attrib["style"] = ";".join(sorted(said))
    for view in root.findall(_VIEW):
        view.attrib.clear()  # the editor notes there how it shows the drawing
    numbers = itertools.count()
    whole = ET.canonicalize(ET.tostring(root, encoding="unicode"))
    return _LINES.sub(lambda _: f'id="line {next(numbers)}"', whole)
