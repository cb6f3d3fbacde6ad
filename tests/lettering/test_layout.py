"""Where letters stand: turned, raised, spaced out, in columns, along paths, with lines along them."""

from itertools import pairwise
from math import pi, sqrt

import numpy as np
import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.artwork import Decoration, Fitted, Run, Track, Words
from svg2chart.colour import Colour
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.distance import distances_along
from svg2chart.geometry.outline import StrokeStyle
from svg2chart.geometry.path import Path, line
from svg2chart.lettering.clusters import Letter, is_upright
from svg2chart.lettering.layout import Placed, place_clusters
from svg2chart.lettering.match import match_face
from svg2chart.lettering.words import set_words
from svg2chart.remarks import Remark, Severity
from tests.lettering.samples import SIZE, many, packaged, run, simplified, words

RED = Colour(1.0, 0.0, 0.0)
REGULAR = match_face(packaged(), ["Source Sans Pro"], weight=400, italic=False).face
TABLES = TTFont(REGULAR.file)
EM = TABLES["head"].unitsPerEm
QUARTER = 4 / 3 * (sqrt(2) - 1)


def outlined(*runs: Run, **fields: object) -> np.ndarray:
    """Return all outlines, after a look that nothing but the font was remarked."""
    done = set_words(words(*runs, **fields), packaged())
    assert done.remarks == ()
    return np.concatenate([mark.path.segments for mark in done.outlines])


def placed(*runs: Run, **fields: object) -> list[Placed]:
    """Return where the clusters of runs of Source Sans Pro stand."""
    letters = [Letter(character=c, run=k, face=REGULAR) for k, one in enumerate(runs) for c in one.text]
    found, beyond = place_clusters(words(*runs, **fields), letters, [REGULAR] * len(runs))
    assert beyond == []
    return found


def starts(*runs: Run, **fields: object) -> list[float]:
    return [one.place.e for one in placed(*runs, **fields)]


def straight(*points: tuple[float, float]) -> Path:
    ends = np.array(points, dtype=float)
    return Path.of_contours([(np.stack([line(a, b) for a, b in pairwise(ends)]), False)])


def half_circle(radius: float) -> Path:
    """Return the upper half of a circle about the origin, from left to right."""
    turns = np.array([[-1, 0], [0, -1], [1, 0]])
    quarters = [np.array([a, a + QUARTER * b, b + QUARTER * a, b]) * radius for a, b in pairwise(turns)]
    return Path.of_contours([(np.stack(quarters), False)])


@given(turn=st.floats(-360, 360))
def test_letters_turn_about_where_they_start(turn: float) -> None:
    about = Affine.translation(30, 40) @ Affine.rotation(turn)
    assert outlined(run("H", x=30, y=40, turn=turn)) == pytest.approx(about.apply(outlined(run("H"))))


def test_each_letter_of_a_turned_run_turns_by_itself() -> None:
    upright = placed(run("AVA", x=1, y=2))
    turned = placed(run("AVA", x=1, y=2, turn=20))
    assert [(one.place.e, one.place.f) for one in turned] == [(one.place.e, one.place.f) for one in upright]
    assert {one.place.linear() for one in turned} == {Affine.rotation(20)}


@pytest.mark.parametrize(
    ("script", "field"), [("super", "ySuperscriptYOffset"), ("sub", "ySubscriptYOffset")]
)
def test_scripts_stand_where_the_font_says(script: str, field: str) -> None:
    offset = getattr(TABLES["OS/2"], field) / EM * (1 if script == "super" else -1)
    [one] = placed(run("a", y=50, rise=3, scripts=((script, SIZE), (script, 5.0))))
    assert one.place.f == pytest.approx(50 - 3 - offset * (SIZE + 5))


def test_baselines_come_from_the_font() -> None:
    hhea, os2 = TABLES["hhea"], TABLES["OS/2"]
    expected = {
        "text-before-edge": hhea.ascent,
        "text-after-edge": hhea.descent,
        "central": (hhea.ascent + hhea.descent) / 2,
        "middle": os2.sxHeight / 2,
        "alphabetic": 0,
        "": 0,
    }
    for baseline, height in expected.items():
        [one] = placed(run("x", y=50, baseline=baseline))
        assert one.place.f == pytest.approx(50 + height / EM * SIZE)


def test_a_turn_does_not_turn_the_rise() -> None:
    [one] = placed(run("a", x=5, y=50, turn=90, rise=4))
    assert (one.place.e, one.place.f) == (5, 46)


def test_words_are_set_apart_at_their_spaces() -> None:
    plain, apart = starts(run("a b c")), starts(run("a b c", word_spacing=5))
    assert np.subtract(apart, plain) == pytest.approx([0, 0, 5, 5, 10])


def test_letters_that_join_are_not_set_apart() -> None:
    # CSS Text Level 3, 8.2.2; the letters are not drawn, they only need a script
    arabic = run("\u0645\u0631\u062d", letter_spacing=5)
    letters = [Letter(character=c, run=0, face=None) for c in arabic.text]
    whole, _ = place_clusters(words(arabic), letters, [REGULAR])
    assert np.diff([one.place.e for one in whole]) == pytest.approx([0.6 * SIZE] * 2)


def test_letters_that_would_run_far_back_are_left_out() -> None:
    done = set_words(words(run("boat", letter_spacing=-10000)), packaged())
    what = "letters for which its letter-spacing leaves no room are not drawn"
    assert done.remarks == (Remark(element="banner", layer="words", what=what, severity=Severity.LEFT_OUT),)
    assert np.concatenate([mark.path.segments for mark in done.outlines]) == pytest.approx(outlined(run("t")))


@given(length=st.floats(0, 200), cut=st.integers(0, 5))
def test_gaps_grow_evenly_to_a_given_length(length: float, cut: int) -> None:
    runs = [one for one in (run("Bunting"[:cut]), run("Bunting"[cut:], colour=RED)) if one.text]
    plain = placed(*runs)
    [*_, last] = fitted = placed(*runs, fitted=(Fitted(first=0, last=len(runs), length=length),))
    assert last.place.e + last.cluster.width == pytest.approx(length, abs=1e-9)
    moved = np.diff([one.place.e for one in fitted]) - np.diff([one.place.e for one in plain])
    assert moved == pytest.approx(np.full(6, moved[0]), abs=1e-9)


@given(length=st.floats(1, 200))
def test_letters_grow_wider_to_a_given_length(length: float) -> None:
    fitted = Fitted(first=0, last=1, length=length, has_wider_letters=True)
    plain = outlined(run("Quay"))
    factor = length / sum(one.cluster.advance for one in placed(run("Quay")))
    assert outlined(run("Quay"), fitted=(fitted,)) == pytest.approx(plain * (factor, 1), abs=1e-9)


def test_only_the_stretch_that_asks_for_it_is_fitted() -> None:
    runs = (run("Lamps "), run("lit", colour=RED), run(" all"))
    plain, fitted = starts(*runs), starts(*runs, fitted=(Fitted(first=1, last=2, length=50),))
    assert np.subtract(fitted, plain)[:7] == pytest.approx([0] * 7)
    grown = 50 - sum(one.cluster.advance for one in placed(*runs) if one.cluster.run == 1)
    assert np.subtract(fitted, plain)[9:] == pytest.approx([grown] * 4)


def test_one_letter_has_no_gap_to_fit() -> None:
    assert starts(run("H"), fitted=(Fitted(first=0, last=1, length=90),)) == [0]


@given(angle=st.floats(-180, 180), offset=st.floats(0, 20))
def test_a_straight_path_is_a_turned_line(angle: float, offset: float) -> None:
    turned = Affine.translation(7, 8) @ Affine.rotation(angle)
    far = turned.apply(np.array([90.0, 0.0]))
    track = Track(straight((7, 8), (float(far[0]), float(far[1]))), offset)
    on_track = outlined(run("Boats", track=track), run("ahoy", colour=RED, dx=2, dy=3, track=track))
    on_line = outlined(run("Boats", x=offset), run("ahoy", colour=RED, dx=2, dy=3))
    assert on_track == pytest.approx(turned.apply(on_line), abs=1e-6)


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_letters_stand_square_on_a_curve_at_their_distance(anchor: str) -> None:
    path = half_circle(50)
    whole = distances_along(path).length
    offset = {"start": 10.0, "middle": whole / 2, "end": whole - 10}[anchor]
    on_track = placed(run("Lanterns", track=Track(path, offset), anchor=anchor))
    on_line = starts(run("Lanterns", x=offset, anchor=anchor))
    for one, start in zip(on_track, on_line, strict=True):
        foot = one.place.apply(np.array([one.cluster.width / 2, 0.0]))
        assert np.hypot(*foot) == pytest.approx(50, rel=3e-4)
        angle = pi + (start + one.cluster.width / 2) / 50
        assert foot == pytest.approx([50 * np.cos(angle), 50 * np.sin(angle)], abs=0.05)
        # its up points away from the middle of the circle
        up = one.place.linear().apply(np.array([0.0, -1.0]))
        assert up == pytest.approx(foot / 50, abs=3e-3)


@pytest.mark.parametrize(("anchor", "turn"), [("start", 0.0), ("middle", -0.5), ("end", -1.0)])
@pytest.mark.parametrize("offset", [0.0, 300.0])
def test_letters_go_once_round_a_closed_path(anchor: str, turn: float, offset: float) -> None:
    # SVG 2, 11.8.3; the circle is 314 long, half the text or all of it stands before where it starts
    path = Path.of_contours([(np.concatenate([half_circle(50).segments, -half_circle(50).segments]), True)])
    whole = distances_along(path).length
    letters = placed(run("Lanterns", track=Track(path, offset), anchor=anchor))
    length = sum(one.cluster.advance for one in letters)
    first = letters[0]
    foot = first.place.apply(np.array([first.cluster.width / 2, 0.0]))
    angle = pi + (offset + turn * length + first.cluster.width / 2) / whole * 2 * pi
    assert foot == pytest.approx([50 * np.cos(angle), 50 * np.sin(angle)], abs=0.05)


def test_letters_that_would_go_round_twice_are_left_out() -> None:
    path = Path.of_contours([(np.concatenate([half_circle(5).segments, -half_circle(5).segments]), True)])
    done = set_words(words(run("Lanterns", track=Track(path, 9.0))), packaged())
    ends = np.cumsum([one.cluster.advance for one in placed(run("Lanterns"))])
    middles = [end - one.cluster.width / 2 for end, one in zip(ends, placed(run("Lanterns")), strict=True)]
    lost = sum(middle > distances_along(path).length for middle in middles)
    assert lost > 0
    assert done.remarks[0].what == f'the path is too short for "{"Lanterns"[-lost:]}"'


def test_letters_beyond_the_ends_of_their_path_are_left_out() -> None:
    track = Track(straight((0, 0), (3 * SIZE, 0)), -10.0)
    done = set_words(words(run("Ah wonderful", track=track)), packaged())
    on_line = placed(run("Ah wonderful", x=-10))
    middles = [one.place.e + one.cluster.width / 2 for one in on_line]
    lost = "".join(
        letter for letter, middle in zip("Ah wonderful", middles, strict=True) if not 0 <= middle <= 3 * SIZE
    )
    what = f'the path is too short for "{lost}"'
    assert done.remarks == (Remark(element="banner", layer="words", what=what, severity=Severity.LEFT_OUT),)
    assert lost[0] == "A"
    assert lost[-1] == "l"


def test_words_after_a_path_go_on_where_it_ends() -> None:
    track = Track(straight((0, 0), (60, 0), (60, 30)), 0.0)
    both = placed(run("quay", track=track), run("boat", colour=RED))
    assert (both[4].place.e, both[4].place.f) == (60, 30)
    assert both[4].place.linear() == Affine()


def test_a_place_on_a_path_is_a_distance_along_it() -> None:
    track = Track(straight((0, 0), (0, 90)), 5.0)
    found = placed(run("qu", track=track), run("ay", x=40, y=7, track=track))
    assert found[0].place.f == pytest.approx(5)
    assert (found[2].place.e, found[2].place.f) == pytest.approx((0, 45))


def test_letters_lie_on_their_side_in_a_column() -> None:
    hhea = TABLES["hhea"]
    middle = (hhea.ascent + hhea.descent) / 2 / EM * SIZE
    column = Affine.translation(30, 40) @ Affine.rotation(90) @ Affine.translation(0, middle)
    found = outlined(run("Boat", x=30, y=40), is_vertical=True)
    assert found == pytest.approx(column.apply(outlined(run("Boat"))))


def test_wide_letters_stand_upright_in_a_column() -> None:
    fonts = {"families": ("Mplus 1p",)}
    done = set_words(words(run("海港", x=30, y=40, **fonts), is_vertical=True), many())
    line_of = set_words(words(run("海港", x=0, y=0, **fonts)), many())
    (first, second), (one, other) = [_halves(done), _halves(line_of)]
    # each as on a line, the second one size lower, both about the middle of the column
    for there, here in ((first, one), (second, other)):
        moved = there - here
        assert np.ptp(moved[..., 0]) == pytest.approx(0, abs=1e-9)
        assert np.ptp(moved[..., 1]) == pytest.approx(0, abs=1e-9)
    assert (second - other)[0, 0, 1] - (first - one)[0, 0, 1] == pytest.approx(SIZE)
    assert (first - one)[0, 0, 0] == pytest.approx(30 - SIZE / 2)


def _halves(done: Words) -> tuple[np.ndarray, np.ndarray]:
    """Return the outlines of two letters apart."""
    contours = [contour for contour, _ in done.outlines[0].path.contours()]
    alone = set_words(words(run("海", families=("Mplus 1p",))), many()).outlines[0]
    count = len(alone.path.contours())
    return np.concatenate(contours[:count]), np.concatenate(contours[count:])


def test_moves_in_a_column_are_those_of_the_page() -> None:
    [one, other] = placed(run("a", x=10, y=20), run("b", dx=3, dy=4), is_vertical=True)
    assert (other.place.e, other.place.f) == pytest.approx((13, 24 + one.cluster.advance))


@pytest.mark.parametrize("character", "海あアー「。、A1é")
def test_what_stands_upright(character: str) -> None:
    # Unicode Standard Annex 50, the classes of these characters in its data file: U and Tu, not R and Tr
    assert is_upright(character) == (character in "海あア。、")


@pytest.mark.parametrize("kind", ["underline", "overline", "line-through"])
def test_lines_are_where_the_font_has_them(kind: str) -> None:
    post, os2, hhea = TABLES["post"], TABLES["OS/2"], TABLES["hhea"]
    heights = {
        "underline": post.underlinePosition,
        "overline": hhea.ascent,
        "line-through": os2.yStrikeoutPosition,
    }
    decorated = run("Quay", x=5, y=50, colour=None, decorations=(Decoration(line=kind, colour=RED),))
    [fill] = set_words(words(decorated), packaged()).outlines
    box = fill.path.box()
    assert box is not None
    assert fill.colour == RED
    assert (box.top + box.bottom) / 2 == pytest.approx(50 - heights[kind] / EM * SIZE)
    assert box.height == pytest.approx(post.underlineThickness / EM * SIZE)
    width = sum(one.cluster.advance for one in placed(run("Quay")))
    assert (box.left, box.right) == pytest.approx((5, 5 + width))


def test_lines_under_and_over_lie_below_letters_and_lines_through_above() -> None:
    kinds = {"line-through": 0.1, "underline": 0.2, "overline": 0.3}
    lines = tuple(Decoration(line=kind, colour=RED, opacity=opacity) for kind, opacity in kinds.items())
    done = set_words(words(run("Quay", decorations=lines)), packaged())
    assert [mark.opacity for mark in done.outlines] == [0.2, 0.3, 1.0, 0.1]


def test_a_line_is_in_one_piece_unless_its_letters_turn() -> None:
    underlined = (Decoration(line="underline", colour=RED),)
    track = Track(half_circle(50), 0.0)
    for fields, pieces in (({}, 1), ({"turn": 10}, 4), ({"track": track}, 4)):
        done = set_words(words(run("Quay", colour=None, decorations=underlined, **fields)), packaged())
        assert len(done.outlines[0].path.contours()) == pieces


def test_strokes_may_lie_below_fills() -> None:
    inked = {"stroke_colour": RED, "stroke_style": StrokeStyle(width=1)}
    done = set_words(words(run("a", is_stroke_first=True, **inked), run("b", **inked)), packaged())
    assert [type(mark).__name__ for mark in done.outlines] == ["Stroke", "Fill", "Fill", "Stroke"]


def test_kerning_and_small_capitals_can_be_asked_for() -> None:
    kerned, apart = starts(run("AV")), starts(run("AV", features=(("kern", 0),)))
    assert kerned[1] < apart[1] == pytest.approx(TABLES["hmtx"]["A"][0] / EM * SIZE)
    assert outlined(run("a", features=(("smcp", 1),)))[..., 1].min() < outlined(run("a"))[..., 1].min()
    done = set_words(words(run("a", families=("Yellowtail",), features=(("smcp", 1),))), many())
    assert simplified('"Yellowtail" has no small capitals, set without') in done.remarks


def test_widths_that_a_family_lacks_are_remarked() -> None:
    done = set_words(words(run("Ahoy", width=75)), packaged())
    assert done.remarks == (simplified('"Source Sans Pro" has no width of 75 %, set in 100 %'),)


def test_axes_of_a_variable_font_are_set() -> None:
    def advance(**fields: object) -> float:
        one = run("Ahoy", families=("Roboto Flex",), **fields)
        done = set_words(words(one), many())
        assert [r.what for r in done.remarks] == []
        box = done.outlines[0].path.box()
        assert box is not None
        return box.width

    assert advance(axes=(("wdth", 50.0),)) < advance(width=75.0) < advance() < advance(width=150.0)
    assert advance(axes=(("wdth", 75.0),)) == advance(width=75.0)
    # the optical size follows the size: small letters are wider for it
    assert advance(size=10) * 10 > advance(size=100) * 1.01
