"""The open fonts that tests of lettering are run with: packages of npm, in a folder outside the repo.

`SVG2CHART_TEST_FONTS` names the folder that they were installed to, by `npm install --prefix FOLDER` and the
packages of `PACKAGES`; `.ci/run` does it.
"""

import os
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import font_source_sans_pro
import pytest

from svg2chart.lettering.fonts import Face, Fonts, read_fonts

FOLDER = "SVG2CHART_TEST_FONTS"


@dataclass(frozen=True, slots=True)
class Typeface:
    """A font of a kind: its package and the rest of its file's name."""

    kind: str
    package: str
    style: str = "latin-400-normal"

    @property
    def file(self) -> Path:
        folder = os.environ.get(FOLDER, "")
        name = f"{self.package}-{self.style}.woff"
        return Path(folder) / "node_modules" / "@fontsource" / self.package / "files" / name

    def fonts(self) -> Fonts:
        return _read(self.file)

    def face(self) -> Face:
        return self.fonts().faces[0]


class Packaged(Typeface):
    """A font that svg2chart brings itself: its kind, and the name that its package has for it."""

    __slots__ = ()

    @property
    def file(self) -> Path:
        return Path(font_source_sans_pro.font_files_otf[self.style])


UPRIGHT = (
    Typeface("sans", "open-sans"),
    Typeface("wide sans", "montserrat"),
    Typeface("bold", "montserrat", "latin-700-normal"),
    Typeface("light", "lato", "latin-300-normal"),
    Typeface("rounded", "nunito"),
    Typeface("serif", "source-serif-4"),
    Typeface("slab", "zilla-slab"),
    Typeface("high contrast", "playfair-display"),
)
# more fonts: the one that words are set in where none is given, and bold ones, whose strokes fill low letters
FURTHER = (
    Packaged("default", "font-source-sans-pro", "SourceSansPro"),
    Packaged("default bold", "font-source-sans-pro", "SourceSansProBold"),
    Typeface("humanist", "lato"),
    Typeface("bold sans", "open-sans", "latin-700-normal"),
    Typeface("bold humanist", "lato", "latin-700-normal"),
    Typeface("bold rounded", "nunito", "latin-700-normal"),
    Typeface("bold serif", "source-serif-4", "latin-700-normal"),
    Typeface("bold slab", "zilla-slab", "latin-700-normal"),
    Typeface("bold contrast", "playfair-display", "latin-700-normal"),
)
SCRIPT = Typeface("joined script", "pacifico")
ARABIC = Typeface("Arabic", "noto-sans-arabic", "arabic-400-normal")
HEBREW = Typeface("Hebrew", "noto-sans-hebrew", "hebrew-400-normal")
GREEK = Typeface("Greek", "open-sans", "greek-400-normal")
CYRILLIC = Typeface("Cyrillic", "open-sans", "cyrillic-400-normal")
LATIN = UPRIGHT[0]
LATIN_EXTENDED = Typeface("Central European", "open-sans", "latin-ext-400-normal")
VIETNAMESE = Typeface("Vietnamese", "open-sans", "vietnamese-400-normal")
ALL = (*UPRIGHT, *FURTHER, SCRIPT, LATIN_EXTENDED, ARABIC, HEBREW, GREEK, CYRILLIC, VIETNAMESE)
PACKAGES = sorted({f"@fontsource/{one.package}" for one in ALL if not isinstance(one, Packaged)})


@cache
def _read(file: Path) -> Fonts:
    return read_fonts([file])


def need_typefaces() -> None:
    """Skip a test where the fonts are not there, but never where everything has to run."""
    missing = [typeface.package for typeface in ALL if not typeface.file.is_file()]
    if not missing:
        return
    assert not os.environ.get("CI"), f"no fonts of {missing}: install them and set {FOLDER}"
    pytest.skip(f"the fonts of {missing} are not there: set {FOLDER}")
