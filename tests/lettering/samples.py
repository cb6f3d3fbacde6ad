"""Runs and fonts that the lettering tests share."""

from functools import cache
from pathlib import Path

import pytest

from svg2chart.artwork import Run, Words
from svg2chart.colour import Colour
from svg2chart.lettering.assigning import letters_of_runs
from svg2chart.lettering.fonts import Face, Fonts, read_fonts
from svg2chart.lettering.match import match_face
from svg2chart.remarks import Remark, Severity

MORE_FONTS = Path(__file__).parents[3] / "shared" / "data" / "svg-suite-fonts"
BLACK = Colour(0.0, 0.0, 0.0)
SIZE = 10.0


@cache
def packaged() -> Fonts:
    return read_fonts([])


@cache
def many() -> Fonts:
    if not MORE_FONTS.is_dir():
        pytest.skip(f"the fonts of the SVG test suite are not in {MORE_FONTS}")
    return read_fonts([MORE_FONTS])


def face_for(letter: str, fonts: Fonts) -> Face | None:
    """Return the face that a letter is set in where the drawing asks for no font that has it."""
    match = match_face(fonts, ["Source Sans Pro"], weight=400, italic=False)
    [found] = letters_of_runs([run(letter)], [match], fonts)
    return found.face


def run(text: str, **fields: object) -> Run:
    """Return a black run of Source Sans Pro at 10 units."""
    usual = {"families": ("Source Sans Pro",), "size": SIZE, "colour": BLACK}
    return Run(text=text, **{**usual, **fields})


def words(*runs: Run, **fields: object) -> Words:
    return Words(element="banner", layer="words", runs=runs, **fields)


def simplified(what: str) -> Remark:
    return Remark(element="banner", layer="words", what=what, severity=Severity.SIMPLIFIED)
