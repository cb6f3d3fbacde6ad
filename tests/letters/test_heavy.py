"""Laws of letters on the squares for heavy fonts, whose strokes leave little white in low letters."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import svg2chart
from svg2chart.grid import Extent
from svg2chart.lettering.heights import heights_of
from svg2chart.lettering.small import SERIFS_IN_LOW
from svg2chart.letters.placed import SetLetter
from svg2chart.letters.strokes import stitched_strokes, strokes_of
from svg2chart.svg.read import parse_artwork
from tests.bench.letter_measures import even_stems, outline_of, parts_and_hollows, pieces
from tests.typefaces import FURTHER, UPRIGHT, Typeface, need_typefaces

HEAVY = [one for one in FURTHER if one.kind.startswith("bold")]

HEAVY_SERIFS = [one for one in HEAVY if one.kind in ("bold serif", "bold slab", "bold contrast")]

SANS = [one for one in HEAVY if one.kind in ("bold sans", "bold humanist", "bold rounded")]


def letters(typeface: Typeface, text: str, high: int) -> tuple[SetLetter, ...]:
    need_typefaces()
    return svg2chart.set_letters([text], high=high, fonts=typeface.fonts(), face=typeface.face()).letters


@settings(max_examples=8)
@given(st.sampled_from(SANS), st.sampled_from("AHIMOTUVWXYovwx08"), st.sampled_from([5, 7, 9]))
def test_symmetric_letters_are_symmetric(typeface: Typeface, letter: str, high: int) -> None:
    (one,) = letters(typeface, letter, high)
    assert np.array_equal(one.shown, one.shown[:, ::-1, ::-1])


@settings(max_examples=8)
@given(
    st.sampled_from(HEAVY), st.sampled_from("ABCDEGKMPQRSWZabdegkmsvwxz2345689&"), st.sampled_from([5, 7, 9])
)
def test_letters_are_in_as_many_parts_with_as_many_counters_as_drawn(
    typeface: Typeface, letter: str, high: int
) -> None:
    (one,) = letters(typeface, letter, high)
    outline = outline_of(typeface.face(), letter, high)
    assert pieces(one.shown) == tuple(map(int, parts_and_hollows(outline, least=0.0)))


@settings(max_examples=6)
@given(
    st.sampled_from(HEAVY), st.text("AEKMQRSaegkmnsvwxz258", min_size=2, max_size=3), st.sampled_from([5, 7])
)
def test_letters_stay_apart_by_a_bare_square(typeface: Typeface, text: str, high: int) -> None:
    found = letters(typeface, text, high)
    inked = np.zeros((3 * high, found[-1].end - found[0].column + 2), np.int64)
    for number, one in enumerate(found, start=1):
        for row, column in np.argwhere(one.shown.any(axis=2)).tolist():
            inked[one.row + row + 1, one.column - found[0].column + column + 1] = number
    for row, column in np.argwhere(inked).tolist():
        around = inked[row - 1 : row + 2, column - 1 : column + 2]
        assert set(around[around > 0].tolist()) == {inked[row, column]}


def runs(line: np.ndarray) -> int:
    """Return how many stretches of ink a row of squares has."""
    inked = np.concatenate([[False], line.any(axis=1)])
    return int((inked[1:] & ~inked[:-1]).sum())


@pytest.mark.parametrize("high", [5, 6])
@pytest.mark.parametrize("typeface", HEAVY_SERIFS, ids=lambda one: one.kind)
def test_an_n_stands_on_two_feet_and_a_bare_square_lies_between(typeface: Typeface, high: int) -> None:
    (one,) = letters(typeface, "n", high)
    assert runs(one.shown[-1]) == 2


@pytest.mark.parametrize("high", [5, 7, 9])
@pytest.mark.parametrize("typeface", HEAVY_SERIFS, ids=lambda one: one.kind)
def test_stems_of_letters_without_room_for_serifs_are_as_wide_at_both_ends(
    typeface: Typeface, high: int
) -> None:
    """Higher ones stand on serifs, which are wider than stems."""
    (one,) = letters(typeface, "I", high)
    wide = one.shown.any(axis=2).sum(axis=1)
    assert (wide[-1] == wide[len(wide) // 2]) == (high == 5)


@pytest.mark.parametrize("typeface", [*UPRIGHT, *FURTHER], ids=lambda one: one.kind)
def test_bars_are_no_wider_than_stems(typeface: Typeface) -> None:
    need_typefaces()
    heights = heights_of(typeface.face())
    assert 0 < heights.bar <= heights.stem


@pytest.mark.parametrize(("high", "told"), [(5, ["boats"]), (7, [])])
def test_serifs_that_are_left_out_are_told_by_the_element_of_the_words(high: int, told: list[str]) -> None:
    need_typefaces()
    typeface = next(one for one in HEAVY if one.kind == "bold serif")
    fonts, face = typeface.fonts(), typeface.face()
    size = high / heights_of(face).capital
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 60">'
        f'<text id="boats" x="4" y="40" font-family="{face.family}" font-weight="700"'
        f' font-size="{size:.4f}">Boats</text></svg>'
    )
    artwork = parse_artwork(drawing.encode(), fonts=fonts)
    grid = svg2chart.Grid.fit(artwork, square=1.0, extent=Extent.PAGE)
    remarks = svg2chart.convert(artwork, grid, fonts=fonts).remarks
    assert [one.element for one in remarks if one.what == SERIFS_IN_LOW] == told
    set_by_itself = svg2chart.set_letters(["Boats"], high=high, fonts=fonts, face=face).remarks
    assert [one.element for one in set_by_itself if one.what == SERIFS_IN_LOW] == ["" for _ in told]


def test_an_a_with_rows_for_three_bars_shows_them() -> None:
    """Small letters five squares high have bar, gap, bar, gap and bar: an a without its opening is an o."""
    typeface = next(one for one in HEAVY if one.kind == "bold contrast")
    (one,) = letters(typeface, "a", 7)
    assert strokes_of(outline_of(typeface.face(), "a", 7))[1] == 3
    assert stitched_strokes(one.shown[None])[1][0] == 3


def test_the_foot_of_an_e_without_rows_for_three_bars_is_a_bar() -> None:
    """Three rows are two bars and a gap: an e that shows its opening beside its middle bar is an a."""
    typeface = next(one for one in UPRIGHT if one.kind == "slab")
    (one,) = letters(typeface, "e", 5)
    assert one.shown[-1, 1:-1].all()


def test_stems_beside_hairlines_are_evenly_wide_where_they_are_narrowed() -> None:
    """At twelve squares stems of 2.5 become two, and bars of a quarter one."""
    need_typefaces()
    typeface = next(one for one in HEAVY if one.kind == "bold contrast")
    even = even_stems(typeface.face(), 12, lambda text: list(letters(typeface, text, 12)))
    assert even >= 0.97
