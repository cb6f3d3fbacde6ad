"""Layered SVG drawings to counted cross-stitch charts.

The public names below are loaded when they are first used, so that asking for
help on the command line, or for one room of the house, does not load the rest.
"""

import sys
from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from svg2chart import coverage
    from svg2chart.alphabets.drawn import Alphabet
    from svg2chart.alphabets.reading import alphabet_names, packaged_alphabet, read_alphabet
    from svg2chart.arranging.patterns import Fractions
    from svg2chart.artwork import Artwork
    from svg2chart.cards import harbour_card, parse_card, read_card
    from svg2chart.chart import Chart, Fabric
    from svg2chart.chartdrawing import draw_chart
    from svg2chart.chartfile import chart_bytes, parse_chart, read_chart, write_chart
    from svg2chart.check import Check, check_artwork
    from svg2chart.convert import Settings, convert
    from svg2chart.errors import (
        ArtworkError,
        CardError,
        ChartError,
        ChartFileError,
        EditorError,
        FontError,
        GridError,
        InfoError,
        LettersError,
        PageError,
    )
    from svg2chart.grid import Extent, Grid
    from svg2chart.guiding.order import plan_work
    from svg2chart.guiding.words import chart_in_words
    from svg2chart.info import Info, parse_info, read_info
    from svg2chart.letterdrawing import draw_letters
    from svg2chart.lettering.fonts import Fonts, find_system_fonts, read_fonts
    from svg2chart.letters.alphabet_words import alphabet_sheet, set_in_alphabet, set_monogram_in_alphabet
    from svg2chart.letters.composing import set_letters, set_monogram
    from svg2chart.letters.laying import Align, Layout, Lettering
    from svg2chart.pages.edition import Edition
    from svg2chart.pages.plan import A4, BOTH, LETTER
    from svg2chart.pages.style import LARGE, USUAL
    from svg2chart.pages.write import pages_pdf, write_pages
    from svg2chart.painting import square_colours
    from svg2chart.picture.raster import picture_png
    from svg2chart.picture.vector import picture_svg
    from svg2chart.remarks import Remark, Severity
    from svg2chart.room import with_room
    from svg2chart.svg.read import read_artwork

__all__ = [
    "A4",
    "BOTH",
    "LARGE",
    "LETTER",
    "USUAL",
    "Align",
    "Alphabet",
    "Artwork",
    "ArtworkError",
    "CardError",
    "Chart",
    "ChartError",
    "ChartFileError",
    "Check",
    "Edition",
    "EditorError",
    "Extent",
    "Fabric",
    "FontError",
    "Fonts",
    "Fractions",
    "Grid",
    "GridError",
    "Info",
    "InfoError",
    "Layout",
    "Lettering",
    "LettersError",
    "PageError",
    "Remark",
    "Settings",
    "Severity",
    "alphabet_names",
    "alphabet_sheet",
    "chart_bytes",
    "chart_in_words",
    "check_artwork",
    "convert",
    "coverage",
    "draw_chart",
    "draw_letters",
    "find_system_fonts",
    "harbour_card",
    "packaged_alphabet",
    "pages_pdf",
    "parse_card",
    "parse_chart",
    "parse_info",
    "picture_png",
    "picture_svg",
    "plan_work",
    "read_alphabet",
    "read_artwork",
    "read_card",
    "read_chart",
    "read_fonts",
    "read_info",
    "set_in_alphabet",
    "set_letters",
    "set_monogram",
    "set_monogram_in_alphabet",
    "square_colours",
    "with_room",
    "write_chart",
    "write_pages",
]

_HOMES = {
    "alphabets.drawn": ("Alphabet",),
    "alphabets.reading": ("alphabet_names", "packaged_alphabet", "read_alphabet"),
    "artwork": ("Artwork",),
    "cards": ("harbour_card", "parse_card", "read_card"),
    "chart": ("Chart", "Fabric"),
    "chartdrawing": ("draw_chart",),
    "chartfile": ("chart_bytes", "parse_chart", "read_chart", "write_chart"),
    "check": ("Check", "check_artwork"),
    "convert": ("Settings",),
    "errors": (
        "ArtworkError",
        "CardError",
        "ChartError",
        "ChartFileError",
        "EditorError",
        "FontError",
        "GridError",
        "InfoError",
        "LettersError",
        "PageError",
    ),
    "grid": ("Extent", "Grid"),
    "guiding.order": ("plan_work",),
    "guiding.words": ("chart_in_words",),
    "info": ("Info", "parse_info", "read_info"),
    "letterdrawing": ("draw_letters",),
    "letters.alphabet_words": ("alphabet_sheet", "set_in_alphabet", "set_monogram_in_alphabet"),
    "letters.composing": ("set_letters", "set_monogram"),
    "letters.laying": ("Align", "Layout", "Lettering"),
    "lettering.fonts": ("Fonts", "find_system_fonts", "read_fonts"),
    "pages.edition": ("Edition",),
    "pages.plan": ("A4", "BOTH", "LETTER"),
    "pages.style": ("LARGE", "USUAL"),
    "pages.write": ("pages_pdf", "write_pages"),
    "remarks": ("Remark", "Severity"),
    "painting": ("square_colours",),
    "picture.raster": ("picture_png",),
    "picture.vector": ("picture_svg",),
    "arranging.patterns": ("Fractions",),
    "room": ("with_room",),
    "svg.read": ("read_artwork",),
}
_HOME_OF = {name: home for home, names in _HOMES.items() for name in names}


def __getattr__(name: str) -> object:
    """Load a public name."""
    if name == "coverage":
        return import_module("svg2chart.coverage")
    if name not in _HOME_OF:
        raise AttributeError(f"module 'svg2chart' has no attribute {name!r}")
    value = getattr(import_module(f"svg2chart.{_HOME_OF[name]}"), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    """Return the public names."""
    return __all__


class _Package(ModuleType):
    """The package, in which `convert` is the function, although a module has the same name."""

    @property
    def convert(self) -> object:
        return import_module("svg2chart.convert").convert

    @convert.setter
    def convert(self, module: ModuleType) -> None:
        """Pass over the module that Python puts here whenever it imports it."""


sys.modules[__name__].__class__ = _Package
