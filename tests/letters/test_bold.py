"""Bold letters beside regular ones: wider strokes where there is room, and a remark where there is none."""

import pytest

import svg2chart
from svg2chart.grid import Extent
from svg2chart.lettering.small import BOLD_IN_BACKSTITCH, BOLD_IN_LOW
from svg2chart.svg.read import parse_artwork
from tests.breadth import crossed
from tests.typefaces import Typeface, need_typefaces

FAMILIES = ("open-sans", "lato", "nunito", "montserrat", "source-serif-4", "zilla-slab")
SAME = (BOLD_IN_BACKSTITCH, BOLD_IN_LOW)


def stem(family: str, weight: int, high: int) -> int:
    """Return how wide the stem of an l is, in squares."""
    fonts = Typeface("", family, f"latin-{weight}-normal").fonts()
    (letter,) = svg2chart.set_letters(["l"], high=high, fonts=fonts).letters
    return int(letter.shown.all(axis=-1)[letter.shown.shape[0] // 2].sum())


@pytest.mark.parametrize(("family", "high"), crossed(FAMILIES, (7, 8, 9, 11, 13, 14, 16, 20, 21, 24, 28)))
def test_bold_stems_are_wider_than_regular_ones_wherever_there_is_room(family: str, high: int) -> None:
    need_typefaces()
    assert stem(family, 400, high) < stem(family, 700, high)


@pytest.mark.parametrize("family", FAMILIES)
@pytest.mark.parametrize("high", [4, 5, 6, 7])
def test_of_bold_letters_it_is_told_where_they_are_the_same_as_regular_ones(family: str, high: int) -> None:
    need_typefaces()
    for weight in (400, 700):
        fonts = Typeface("", family, f"latin-{weight}-normal").fonts()
        told = [remark.what for remark in svg2chart.set_letters(["l"], high=high, fonts=fonts).remarks]
        is_same = weight == 700 and stem(family, 700, high) == stem(family, 400, high)
        assert [what for what in told if what in SAME] == ([BOLD_IN_LOW] if is_same else [])


@pytest.mark.parametrize(
    ("high", "told"), [(8, None), (7, None), (5, BOLD_IN_LOW), (4, BOLD_IN_BACKSTITCH), (2, None)]
)
def test_a_bold_word_among_others_is_told_of_by_its_element(high: int, told: str | None) -> None:
    """Capitals of the packaged font are 0.66 of an em high; at two squares words stay as they are drawn."""
    size = high / 0.66
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 60" font-family="Source Sans Pro"'
        f' font-size="{size:.3f}"><text id="plain" x="4" y="20">Lamps</text>'
        '<text id="bold" x="4" y="50">and <tspan font-weight="bold">Boats</tspan></text></svg>'
    )
    artwork = parse_artwork(drawing.encode())
    grid = svg2chart.Grid.fit(artwork, square=1.0, extent=Extent.PAGE)
    remarks = [one for one in svg2chart.convert(artwork, grid).remarks if one.what in SAME]
    assert [(one.element, one.what) for one in remarks] == ([("bold", told)] if told else [])
