"""Words of a drawing find room on its chart, however it is trimmed and whatever size is asked for."""

from functools import cache

import numpy as np
from hypothesis import example, given, settings
from hypothesis import strategies as st

import svg2chart
from svg2chart.request import Request, grid_of
from svg2chart.svg.read import parse_artwork
from tests.breadth import examples

WORDS = st.text("ABEHKMORSTVWXYZabcdefghiklmnoprstuvwxyz", min_size=1, max_size=8)
SIZES = st.floats(5.5, 16).map(lambda size: round(size, 2))
PLACES = st.floats(20, 40).map(lambda place: round(place, 2))


@cache
def packaged() -> svg2chart.Fonts:
    return svg2chart.read_fonts([])


def drawn(text: str, size: float, x: float, y: float, others: str = "") -> svg2chart.Artwork:
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 320 60">'
        f'{others}<text x="{x}" y="{y}" font-size="{size}">{text}</text></svg>'
    )
    return parse_artwork(drawing.encode(), fonts=packaged())


def charted(artwork: svg2chart.Artwork, **asked: object) -> svg2chart.Chart:
    return svg2chart.convert(artwork, grid_of(artwork, Request(**asked)))


def without_bare_rim(chart: svg2chart.Chart) -> tuple[object, ...]:
    """Return what is worked, from the first row and column that have a stitch or a line."""
    places = np.argwhere(chart.squares > 0).tolist()
    lines = [(hole[1], hole[0]) for line in chart.backstitch for hole in (line.start, line.end)]
    lines += [(knot.at[1], knot.at[0]) for knot in chart.knots]
    top, left = (min(one[axis] for one in (*places, *lines)) for axis in (0, 1))
    squares = {(row - top, column - left): chart.arrangement_at(row, column) for row, column in places}
    return squares, sorted((row - top, column - left) for row, column in lines)


@settings(max_examples=examples(10))
@given(WORDS, SIZES, PLACES, PLACES)
@example("tiny words", 6, 25, 30)  # letters of backstitch, higher and wider than they are drawn
def test_words_alone_are_those_of_the_whole_page_with_no_bare_rim(
    text: str, size: float, x: float, y: float
) -> None:
    artwork = drawn(text, size, x, y)
    whole, trimmed = charted(artwork, square=1, page=True), charted(artwork, square=1)
    assert without_bare_rim(trimmed) == without_bare_rim(whole)
    assert trimmed.remarks == whole.remarks
    if trimmed.squares.any() and not trimmed.backstitch:
        rows, columns = trimmed.squares.any(axis=1), trimmed.squares.any(axis=0)
        assert all((rows[0], rows[-1], columns[0], columns[-1]))


@settings(max_examples=examples(10))
@given(WORDS, SIZES, st.sampled_from(["wide", "high"]), st.integers(36, 60))
@example("Harbour", 16, "wide", 40)
def test_so_many_squares_stay_so_many_and_words_have_room(
    text: str, size: float, side: str, squares: int
) -> None:
    """It is the drawing that becomes smaller, not the words that go without; 9 rows hold any letters."""
    asked = squares if side == "wide" else squares // 4
    chart = charted(drawn(text, size, 20, 40), **{side: asked})
    assert (chart.columns if side == "wide" else chart.rows) == asked
    assert not [remark for remark in chart.remarks if "room" in remark.what]


@settings(max_examples=examples(10))
@given(WORDS, SIZES, PLACES)
def test_a_chart_grows_for_words_as_far_as_its_page(text: str, size: float, x: float) -> None:
    """The line under them is as wide as they are drawn; the page has room, and nothing else changes."""
    alone = drawn(text, size, x, 30)
    box = alone.marks[0].outlines[0].path.box()
    line = f'<path d="M{box.left} 45H{box.right}V48H{box.left}z" fill="#c33"/>'
    artwork = drawn(text, size, x, 30, line)
    chart, whole = charted(artwork, square=1), charted(artwork, square=1, page=True)
    assert without_bare_rim(chart) == without_bare_rim(whole)
    assert chart.remarks == whole.remarks
    grid = grid_of(artwork, Request(square=1))
    page = artwork.viewport
    assert page.left <= grid.left
    assert grid.left + grid.columns <= page.right


def test_words_that_hang_over_a_tight_page_are_set_whole() -> None:
    """The tail of the y is below the page: in letters of backstitch it is not cut off."""
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 25 6">'
        '<text x="0" y="5" font-size="6">tiny words</text></svg>'
    )
    tight = charted(parse_artwork(drawing.encode(), fonts=packaged()), square=1)
    whole = charted(drawn("tiny words", 6, 20, 25), square=1)
    assert without_bare_rim(tight) == without_bare_rim(whole)


def test_a_chart_too_low_for_letters_is_not_made_with_even_lower_ones() -> None:
    """Letters of backstitch that have a tail are 7 squares high: what is drawn has all of the 6 then."""
    artwork = drawn("tiny words", 6, 20, 25)
    assert grid_of(artwork, Request(high=6)) == svg2chart.Grid.fit(artwork, high=6)
    chart = charted(artwork, high=6)
    assert [remark.element for remark in chart.remarks if "would not have room" in remark.what] == ["text 1"]


def test_words_off_the_page_do_not_become_part_of_it() -> None:
    artwork = drawn("off the page", 12, 316, 30, '<text x="20" y="50" font-size="9">level</text>')
    grid = grid_of(artwork, Request(square=1))
    assert grid.left + grid.columns <= artwork.viewport.right


def test_a_page_that_is_filled_to_its_edges_keeps_them() -> None:
    """Cloth would show beside the ground; words without room there say so."""
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 31 12"><path d="M0 0H31V12H0z" fill="#eee"/>'
        '<text id="a" x="0.5" y="9" font-size="6">tiny words</text></svg>'
    )
    artwork = parse_artwork(drawing.encode(), fonts=packaged())
    chart = charted(artwork, wide=29)
    assert (chart.columns, chart.rows) == (29, 11)
    assert [remark.element for remark in chart.remarks if "would not have room" in remark.what] == ["a"]
