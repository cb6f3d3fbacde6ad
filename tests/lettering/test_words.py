"""Words: where the letters stand, what they are painted with, what is remarked."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import uharfbuzz
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.artwork import Artwork, Fill, Run, Stroke, Words
from svg2chart.colour import Colour
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box, box_around
from svg2chart.geometry.outline import StrokeStyle
from svg2chart.geometry.polygon import FillRule
from svg2chart.lettering.clusters import BOX_ADVANCE
from svg2chart.lettering.fonts import Fonts, find_system_fonts, read_fonts
from svg2chart.lettering.match import match_face
from svg2chart.lettering.words import set_words
from svg2chart.remarks import Remark, Severity
from tests.lettering.samples import SIZE, face_for, many, packaged, run, simplified, words

RED = Colour(1.0, 0.0, 0.0)


def outlined(*runs: Run, fonts: Fonts | None = None, to_user: Affine | None = None) -> Words:
    """Return the words as set, after a look that nothing but the font was remarked."""
    done = set_words(words(*runs, to_user=to_user or Affine()), fonts or packaged())
    assert done.remarks == ()
    return done


def box_of(done: Words) -> Box:
    box = box_around(mark.path.box() for mark in done.outlines)
    assert box is not None
    return box


def segments(done: Words) -> np.ndarray:
    return np.concatenate([mark.path.segments for mark in done.outlines])


def advance(text: str) -> float:
    """Return the width of a text at the size of the samples, by HarfBuzz itself."""
    face = match_face(packaged(), ["Source Sans Pro"], weight=400, italic=False).face
    font = uharfbuzz.Font(uharfbuzz.Face(uharfbuzz.Blob.from_file_path(face.file)))
    buffer = uharfbuzz.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    uharfbuzz.shape(font, buffer)
    return sum(position.x_advance for position in buffer.glyph_positions) * SIZE / 1000


def test_capitals_stand_on_the_baseline_as_high_as_the_font_has_them() -> None:
    box = box_of(outlined(run("H", x=7, y=20)))
    assert (box.top, box.bottom) == (pytest.approx(20 - 6.56), 20)  # H is 656 of 1000 high, measured


@pytest.mark.parametrize(("anchor", "share"), [("start", 0.0), ("middle", 0.5), ("end", 1.0)])
@pytest.mark.parametrize("text", ["Harbour", "AVATAR", "Été à la mer"])
def test_anchor(anchor: str, share: float, text: str) -> None:
    there = segments(outlined(run(text, x=50, y=0, anchor=anchor)))
    plain = segments(outlined(run(text, x=0, y=0)))
    assert there - plain == pytest.approx(np.broadcast_to([50 - share * advance(text), 0], plain.shape))


def test_a_chunk_is_anchored_as_a_whole() -> None:
    one = outlined(run("Lanterns", x=50, y=5, anchor="end"))
    two = outlined(run("Lant", x=50, y=5, anchor="end"), run("erns", colour=RED, anchor="start"))
    assert segments(two) == pytest.approx(segments(one))
    assert [mark.colour for mark in two.outlines] == [Colour(0, 0, 0), RED]


@given(text=st.text(alphabet="AVTo fi.", min_size=2, max_size=8).filter(str.strip), data=st.data())
def test_colour_changes_nothing_but_the_colour(text: str, data: st.DataObject) -> None:
    cut = data.draw(st.integers(1, len(text) - 1))
    whole = outlined(run(text, x=3, y=4))
    parts = outlined(run(text[:cut], x=3, y=4), run(text[cut:], colour=RED))
    assert segments(parts) == pytest.approx(segments(whole))


def test_a_run_starts_where_the_one_before_it_ended() -> None:
    pushed = outlined(run("Boat", x=10, y=10), run("H", dx=2, dy=-3, size=20))
    alone = outlined(run("H", x=10 + advance("Boat") + 2, y=7, size=20))
    assert segments(pushed)[-len(segments(alone)) :] == pytest.approx(segments(alone))


def test_a_run_with_only_a_y_goes_on_along_x() -> None:
    lower = outlined(run("Boat", x=10, y=10), run("H", y=30))
    alone = outlined(run("H", x=10 + advance("Boat"), y=30))
    assert segments(lower)[-len(segments(alone)) :] == pytest.approx(segments(alone))


def test_letter_spacing_is_between_letters() -> None:
    # CSS Text Level 3, 8.2: none at the end of a line; another renderer agrees
    spaced = outlined(run("HHH", x=0, y=0, letter_spacing=5, anchor="end"))
    alone = box_of(outlined(run("H")))
    assert box_of(spaced).left == pytest.approx(alone.left - 3 * advance("H") - 10)
    assert box_of(spaced).right == pytest.approx(alone.right - advance("H"))


def test_a_smaller_size_is_the_same_drawing_smaller() -> None:
    large = segments(outlined(run("Été", x=0, y=0, size=40)))
    assert large == pytest.approx(4 * segments(outlined(run("Été", x=0, y=0))))


def test_words_are_mapped_to_user_space() -> None:
    to_user = Affine(0, 2, -2, 0, 30, 40)
    style = StrokeStyle(width=1.5)
    done = outlined(run("Ahoy", x=1, y=2, stroke_colour=RED, stroke_style=style), to_user=to_user)
    plain = outlined(run("Ahoy", x=1, y=2))
    fill, stroke = done.outlines
    assert isinstance(fill, Fill)
    assert isinstance(stroke, Stroke)
    assert fill.path == stroke.path
    assert fill.path.segments == pytest.approx(to_user.apply(plain.outlines[0].path.segments))
    assert (stroke.pen, stroke.style, stroke.colour) == (to_user, style, RED)


def test_marks_are_those_of_their_words() -> None:
    whole = replace(words(run("Ahoy", opacity=0.5)), group=3, clip=2)
    done = set_words(whole, packaged())
    [fill] = done.outlines
    assert isinstance(fill, Fill)
    assert (fill.element, fill.layer, fill.group, fill.clip) == ("banner", "words", 3, 2)
    assert (fill.opacity, fill.rule) == (0.5, FillRule.NONZERO)
    assert fill.path.closed.all()
    assert [Path(file).name for file in done.font_files] == ["SourceSansPro-Regular.otf"]
    assert replace(done, outlines=(), letters=(), remarks=(), font_files=()) == whole


@pytest.mark.parametrize("runs", [[], [run("")], [run("  \n")], [run("boat", colour=None)]])
def test_nothing_painted_gives_no_marks_and_no_remarks(runs: list[Run]) -> None:
    done = set_words(words(*runs), packaged())
    assert (done.outlines, done.remarks) == ((), ())


def test_unpainted_letters_keep_their_room() -> None:
    gap = outlined(run("H", x=0, y=0), run("arbour", colour=None), run("H"))
    whole = outlined(run("HarbourH", x=0, y=0))
    assert (box_of(gap).left, box_of(gap).right) == (box_of(whole).left, box_of(whole).right)


def test_a_font_that_is_not_there_is_named_with_its_replacement() -> None:
    done = set_words(words(run("Ahoy", families=("Harbour Lights", "Lost"))), packaged())
    what = 'font "Harbour Lights", "Lost" is not there, replaced by "Source Sans Pro"'
    guessed = Remark(element="banner", layer="words", what=what, severity=Severity.GUESSED)
    assert done.remarks == (guessed,)
    assert segments(done) == pytest.approx(segments(outlined(run("Ahoy"))))


def test_a_font_that_is_not_there_is_named_where_its_replacement_has_none_of_the_letters() -> None:
    done = set_words(words(run("漢", families=("Harbour Lights",))), packaged())
    told = [remark.what for remark in done.remarks]
    assert 'font "Harbour Lights" is not there, replaced by "Source Sans Pro"' in told
    assert any("漢" in what for what in told)


@pytest.mark.parametrize(
    ("given", "way_out"),
    [
        (("Harbour Thin",), '"Harbour Thin": write that if it is meant'),
        (("Lantern", "Harbour Thin"), '"Harbour Thin", "Lantern": write the one that is meant'),
    ],
)
def test_families_given_are_named_where_the_one_asked_for_is_not_there(
    given: tuple[str, ...], way_out: str
) -> None:
    """What a file calls itself may differ from its name: the ones most like the one asked for come first."""
    done = set_words(words(run("Ahoy", families=("Harbour",))), replace(packaged(), given=given))
    what = f'font "Harbour" is not there, replaced by "Source Sans Pro"; the font files given hold {way_out}'
    assert [remark.what for remark in done.remarks] == [what]


def test_of_many_families_given_a_few_are_named() -> None:
    many_given = ("Quay", "Rope", "Lantern", "Bunting", "Pennant", "Lamp", "Harbour Thin")
    done = set_words(words(run("Ahoy", families=("Harbour",))), replace(packaged(), given=many_given))
    [remark] = done.remarks
    assert ' hold "Harbour Thin", ' in remark.what
    assert remark.what.endswith(" and 2 more: write the one that is meant")
    assert sum(f'"{family}"' in remark.what for family in many_given) == 5


def test_families_given_are_those_of_the_files_without_the_packaged_ones() -> None:
    own = packaged().faces[0]
    assert packaged().given == ()
    assert read_fonts([own.file]).given == (own.family,)
    done = set_words(words(run("Ahoy", families=("Lost", own.family))), read_fonts([own.file]))
    assert [remark.what for remark in done.remarks] == [
        f'font "Lost" is not there, replaced by "{own.family}"'  # which was written, so there is no way out
    ]


def test_a_character_that_no_font_has_is_a_box() -> None:
    done = set_words(words(run("\U00012000H", x=0, y=0)), packaged())
    what = 'no font has "\U00012000" (U+12000), a box is drawn'
    assert done.remarks == (Remark(element="banner", layer="words", what=what, severity=Severity.SIMPLIFIED),)
    [fill] = done.outlines
    outer, inner, *letter = fill.path.contours()
    assert len(outer[0]) == len(inner[0]) == 4
    alone = outlined(run("H", x=BOX_ADVANCE * SIZE, y=0)).outlines[0]
    assert np.concatenate([contour for contour, _ in letter]) == pytest.approx(alone.path.segments)


@pytest.mark.parametrize("control", ["\x07", "\x7f", "\x86"])
def test_a_control_character_is_a_box_named_by_its_number(control: str) -> None:
    """The Unicode Standard, 5.21: those that steer nothing here are shown by a fallback, not ignored."""
    done = set_words(words(run(f"{control}H", x=0, y=0)), packaged())
    assert done.remarks == (simplified(f"no font has U+{ord(control):04X}, a box is drawn"),)
    boxed = set_words(words(run("\U00012000H", x=0, y=0)), packaged())
    assert segments(done) == pytest.approx(segments(boxed))


@pytest.mark.parametrize("space", ["\t", "\n", "\u0085"])
def test_a_control_character_that_is_a_space_is_one(space: str) -> None:
    done = set_words(words(run(f"H{space}H", x=0, y=0)), packaged())
    assert done.remarks == ()
    assert segments(done) == pytest.approx(segments(set_words(words(run("H H", x=0, y=0)), packaged())))


def test_a_character_that_the_face_lacks_is_set_in_another() -> None:
    done = set_words(words(run("Hहि", x=0, y=0)), many())
    lacks = '"Source Sans Pro" has no "ह", "ि", set in "Noto Sans Devanagari"'
    assert done.remarks == (simplified(lacks),)
    alone = set_words(words(run("हि", families=("Noto Sans Devanagari",), x=advance("H"), y=0)), many())
    assert segments(done)[-len(segments(alone)) :] == pytest.approx(segments(alone))


def test_a_letter_and_its_mark_stay_in_one_face() -> None:
    # no font has q with an acute as one character, and Source Sans Pro has both parts
    done = outlined(run("q\u0301", x=0, y=0))
    assert box_of(done).top < box_of(outlined(run("q", x=0, y=0))).top
    # e with an acute is the same drawing, however it is spelled
    assert segments(outlined(run("e\u0301"))) == pytest.approx(segments(outlined(run("\u00e9"))))


def test_coloured_pictures_are_left_out() -> None:
    face = match_face(many(), ["Noto Color Emoji"], weight=400, italic=False).face
    letter = next(chr(c) for c in sorted(face.engine.face.unicodes) if c > 0x2600)
    done = set_words(words(run(letter, families=("Noto Color Emoji",))), many())
    what = f'"Noto Color Emoji" has only coloured pictures for "{letter}"'
    assert done.remarks == (Remark(element="banner", layer="words", what=what, severity=Severity.LEFT_OUT),)
    assert done.outlines == ()


def test_a_style_that_the_family_lacks_is_remarked() -> None:
    done = set_words(words(run("Ahoy", families=("Noto Serif",), weight=700, italic=True)), many())
    assert done.remarks == (
        simplified('"Noto Serif" has no weight of 700, set in 400'),
        simplified('"Noto Serif" has no italic face'),
    )


def test_words_that_run_left_are_put_in_order() -> None:
    text = "boat מרינה 12"
    done = set_words(words(run(text, x=0, y=0, families=("Mplus 1p",))), many())
    # the digits stand left of the Hebrew word: 12 is drawn before it
    digits = set_words(words(run("12", families=("Mplus 1p",))), many())
    hebrew = set_words(words(run("מרינה", families=("Mplus 1p",))), many())
    latin = set_words(words(run("boat ", families=("Mplus 1p",))), many())
    first = len(latin.outlines[0].path.contours())
    size = digits.outlines[0].path.box()
    drawn = [contour for contour, _ in done.outlines[0].path.contours()]
    count = len(digits.outlines[0].path.contours())
    assert len(drawn) == first + count + len(hebrew.outlines[0].path.contours())
    moved = np.concatenate(drawn[first : first + count])
    assert size is not None
    assert np.ptp(moved[..., 0]) == pytest.approx(size.width)
    assert moved[..., 0].max() < min(contour[..., 0].min() for contour in drawn[first + count :])


def test_a_text_that_is_read_from_the_right_begins_there() -> None:
    # UAX 9: in a paragraph from the right the full stop stands at the left, the Latin word keeps its order
    there = set_words(words(run("boat.", x=0, y=0), is_leftward=True), packaged()).outlines[0]
    alone = [set_words(words(run(text)), packaged()).outlines[0].path.segments for text in (".", "boat")]
    moved = np.concatenate([alone[0], alone[1] + (advance("."), 0)])
    assert there.path.segments == pytest.approx(moved, abs=0.2)  # for the kerning of t and stop


def test_arabic_letters_join_over_a_change_of_colour() -> None:
    fonts = read_fonts([], found=find_system_fonts())
    face = face_for("م", fonts)
    if face is None:
        pytest.skip("no font of this computer has Arabic letters")
    parts = run("مر", families=(face.family,)), run("حبا", families=(face.family,), colour=RED)
    whole = set_words(words(run("مرحبا", families=(face.family,))), fonts)
    done = set_words(words(*parts), fonts)
    assert len(done.outlines) == 2
    found = sorted(map(tuple, segments(done).reshape(-1, 8).round(9)))
    assert found == sorted(map(tuple, segments(whole).reshape(-1, 8).round(9)))


def test_the_same_words_give_the_same_marks() -> None:
    one, other = (
        set_words(words(run("Fête du port", x=1, y=2, anchor="middle")), read_fonts([])) for _ in range(2)
    )
    assert one == other


def test_words_set_anew_have_the_remarks_of_their_new_fonts_only() -> None:
    asked = words(run("Ahoy", families=("Noto Serif",)))
    before = set_words(asked, packaged())
    assert [remark.severity for remark in before.remarks] == [Severity.GUESSED]
    after = set_words(before, many())
    assert after == set_words(asked, many())
    art = Artwork(viewport=Box(0, 0, 1, 1), unit_mm=1, marks=(after, after), remarks=(simplified("first"),))
    assert art.every_remark() == (simplified("first"),)
