"""Parts and counters of fitted letters: as many as in the outline, and strokes stay apart."""

import warnings

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.geometry.growing import parts_and_hollows
from svg2chart.lettering.fonts import read_fonts
from svg2chart.letters.composing import set_letters
from svg2chart.letters.strokes import stitched_strokes
from tests.bench.letter_measures import outline_of, pieces, region
from tests.bench.lettering import line
from tests.breadth import crossed
from tests.typefaces import UPRIGHT, Typeface, need_typefaces

CHARACTERS = [chr(code) for code in range(0x21, 0x7F)]  # ASCII without the space


@given(st.sampled_from(UPRIGHT), st.sampled_from(CHARACTERS), st.sampled_from([5, 7, 9]))
def test_a_letter_is_in_as_many_parts_as_drawn(typeface: Typeface, character: str, high: int) -> None:
    need_typefaces()
    (one,) = line(typeface.fonts(), typeface.face(), character, high)
    outline = outline_of(typeface.face(), character, high)
    assert pieces(one.shown) == tuple(map(int, parts_and_hollows(outline, least=0.0)))


@pytest.mark.parametrize(
    ("character", "strokes"),
    [("s", 3), ("T", 2), ("[", 2), ("]", 2)],  # of a T the serifs of the bar hang down over the foot
)
def test_strokes_above_each_other_stay_apart(character: str, strokes: int) -> None:
    need_typefaces()
    typeface = next(one for one in UPRIGHT if one.kind == "high contrast")
    (one,) = line(typeface.fonts(), typeface.face(), character, 7)
    _, above_each_other = stitched_strokes(one.shown[None])
    assert above_each_other[0] == strokes


@pytest.mark.parametrize(
    ("typeface", "high"), crossed(UPRIGHT, [7, 9, 12, 16, 24]), ids=lambda one: getattr(one, "kind", one)
)
def test_a_q_stands_on_the_baseline_whatever_hangs_from_it(typeface: Typeface, high: int) -> None:
    """Its ring is that of an O; where the tail runs into its foot, the foot is still over the baseline."""
    need_typefaces()
    (one,) = line(typeface.fonts(), typeface.face(), "Q", high)
    (hollow,) = [ring for part in shapely.get_parts(region(one.shown)) for ring in part.interiors]
    assert one.row + hollow.bounds[3] <= -0.5


def test_letters_whose_slabs_are_nearly_as_high_as_their_bars_are_made_thinner_without_warnings() -> None:
    """What they lose ends beside their stems but for rounding: that leaves no spurs that cannot be grown."""
    need_typefaces()
    typeface = Typeface("bold serif", "source-serif-4", "latin-700-normal")
    fonts = read_fonts([typeface.file.with_suffix(".woff2")])  # its outlines are not quite those of the other
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        (one,) = set_letters(["H"], high=5, fonts=fonts).letters
    assert pieces(one.shown) == (1, 0)
