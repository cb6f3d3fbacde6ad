"""Laws of letters on the squares, for the font of the package and, where they are, for all kinds."""

from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

import svg2chart
from svg2chart.alphabets.reading import packaged_alphabet
from svg2chart.arranging.patterns import Fractions
from svg2chart.convert import CAPITAL_EM
from svg2chart.lettering.fonts import Face, Fonts, read_fonts
from svg2chart.lettering.heights import heights_of
from svg2chart.lettering.small import remarks_on_small
from svg2chart.letters.laying import Lettering
from svg2chart.letters.placed import SetLetter
from svg2chart.letters.strokes import stitched_strokes
from svg2chart.octant_shapes import stitches_of
from svg2chart.svg.read import parse_artwork
from tests.bench.joined import outline as joined_outline
from tests.bench.letter_measures import pieces
from tests.breadth import crossed, examples
from tests.typefaces import (
    ARABIC,
    CYRILLIC,
    FURTHER,
    GREEK,
    HEBREW,
    SCRIPT,
    UPRIGHT,
    VIETNAMESE,
    Typeface,
    need_typefaces,
)

CAPITALS = "BDEFHIKLMNPRTUVWXYZ"
SYMMETRIC = "AHIMOTUVWXYovwx08"
WORDS = st.text("ABEHKMORSTVWXYZabcdefghiklmnoprstuvwxyz0123456789äéöÜ&?", min_size=1, max_size=5)
HEIGHTS = st.sampled_from([5, 7, 9, 12])


def kind_or_high(value: object) -> object:
    """Return what a typeface is called in the name of a test, and a height as it is."""
    return getattr(value, "kind", value)


@cache
def packaged() -> Fonts:
    return read_fonts([])


def face() -> Face:
    return next(one for one in packaged().faces if one.weight == 400 and not one.italic)


def lettering(*texts: str, high: int, **asked: object) -> Lettering:
    layout = svg2chart.Layout(**asked)
    return svg2chart.set_letters(texts, high=high, fonts=packaged(), face=face(), layout=layout)


def charted(drawing: bytes) -> svg2chart.Chart:
    artwork = parse_artwork(drawing)
    grid = svg2chart.Grid.fit(artwork, square=1.0)
    return svg2chart.convert(artwork, grid)


def stitched(found: Lettering) -> dict[tuple[int, int], frozenset]:
    """Return what is stitched in each square, from the letters themselves."""
    squares = {}
    for one in found.letters:
        for row, column in np.argwhere(one.shown.any(axis=2)).tolist():
            stitches = stitches_of(one.shown[row, column])
            assert stitches is not None
            squares[one.row + row, one.column + column] = frozenset(stitches)
    return squares


def of_chart(chart: svg2chart.Chart) -> dict[tuple[int, int], frozenset]:
    found = {}
    for row, column in np.argwhere(chart.squares > 0).tolist():
        arrangement = chart.arrangement_at(row, column)
        found[row, column] = frozenset((stitch.kind, stitch.corner) for stitch in arrangement)
    return found


@settings(max_examples=examples(12))
@given(WORDS, HEIGHTS)
def test_charting_fitted_letters_changes_nothing(text: str, high: int) -> None:
    found = lettering(text, high=high)
    chart = charted(svg2chart.draw_letters(found, colour="#e9d9c9"))  # hardly another colour than the cloth
    assert (chart.rows, chart.columns) == (found.rows, found.columns)
    assert of_chart(chart) == stitched(found)
    assert chart.remarks == ()


@settings(max_examples=examples(12))
@given(WORDS, HEIGHTS)
def test_letters_stay_apart_by_a_bare_square_and_are_the_same_everywhere(text: str, high: int) -> None:
    found = lettering(f"{text} {text}", high=high).letters  # apart: two letters f may be one
    for index, one in enumerate(found):
        for other in found[index + 1 :]:
            assert not np.array_equal(one.shown, other.shown) or one.row == other.row
            assert not _touch(one, other)
    assert "".join(one.text for one in found) == text + text
    half = len(found) // 2
    for one, other in zip(found[:half], found[half:], strict=True):
        assert one.text == other.text
        assert np.array_equal(one.shown, other.shown)


def _touch(one: SetLetter, other: SetLetter) -> bool:
    squares = [
        {
            (part.row + row, part.column + column)
            for row, column in np.argwhere(part.shown.any(axis=2)).tolist()
        }
        for part in (one, other)
    ]
    return any(
        (row + down, column + right) in squares[1]
        for row, column in squares[0]
        for down in (-1, 0, 1)
        for right in (-1, 0, 1)
    )


@pytest.mark.parametrize("high", [5, 7, 9, 12, 16])
def test_flat_letters_lie_on_their_lines(high: int) -> None:
    for character in CAPITALS:
        (one,) = lettering(character, high=high).letters
        assert len(one.shown) == high, character
        assert one.shown[0].any(), character
        assert one.shown[-1].any(), character


@pytest.mark.parametrize("high", [5, 7, 9, 12, 16])
def test_symmetric_letters_are_symmetric(high: int) -> None:
    for character in SYMMETRIC:
        (one,) = lettering(character, high=high).letters
        assert np.array_equal(one.shown, one.shown[:, ::-1, ::-1]), character


def test_stems_are_whole_squares_of_one_width() -> None:
    for high, wide in ((7, 1), (9, 1), (16, 2)):
        (one,) = lettering("H", high=high).letters
        row = one.shown[1]
        assert row.all(axis=1).sum() == 2 * wide
        assert row.any(axis=1).sum() == 2 * wide


def test_a_line_is_no_wider_than_asked_and_holds_all_words() -> None:
    text = "boats and lamps and bunting along the harbour wall"
    found = lettering(text, high=5, width=60)
    assert found.columns <= 60
    assert "".join(one.text for one in found.letters) == text.replace(" ", "")


@pytest.mark.parametrize("letter", "IHM")
def test_lines_of_letters_far_apart_across_spaces_are_no_wider_than_asked_either(letter: str) -> None:
    text = " ".join(5 * letter)
    whole = lettering(text, high=60).columns
    assert lettering(text, high=60, width=whole).rows == 60
    found = lettering(text, high=60, width=whole - 1)
    assert found.columns < whole
    assert found.rows > 2 * 60


def test_lines_stand_as_they_are_aligned() -> None:
    edges = {}
    for align in svg2chart.Align:
        found = lettering("HHHH", "H", high=7, align=align)
        last = found.letters[-1]
        edges[align.value] = (last.column, found.columns - last.column - last.shown.shape[1])
    assert edges["left"][0] == 0
    assert edges["right"][1] == 0
    assert abs(edges["centre"][0] - edges["centre"][1]) <= 1


def test_spacing_adds_as_many_squares_between_letters() -> None:
    plain, wide = lettering("HIH", high=7), lettering("HIH", high=7, spacing=2)
    before, after = ([one.column for one in found.letters] for found in (plain, wide))
    assert [b - a for a, b in zip(before, after, strict=True)] == [0, 2, 4]


def _gaps(text: str, **options: int) -> list[int]:
    letters = lettering(text, **options).letters
    return [after.column - before.end for before, after in pairwise(letters)]


@pytest.mark.parametrize(
    ("typeface", "high"), crossed(UPRIGHT, [4, 5, 6, 7, 9, 12, 16, 24], times=2), ids=kind_or_high
)
def test_a_space_adds_its_width_to_the_white_between_letters(typeface: Typeface, high: int) -> None:
    """To a whole square, and two at least, so that words are always told apart and evenly."""
    need_typefaces()
    face = typeface.face()
    letters = svg2chart.set_letters(["nn nnn nn"], high=high, fonts=typeface.fonts(), face=face).letters
    gaps = [after.column - before.end for before, after in pairwise(letters)]
    advance = face.engine.get_glyph_h_advance(face.engine.get_nominal_glyph(ord(" ")))
    width = advance / face.units_per_em * high / heights_of(face).capital
    within, between = [gaps[k] for k in (0, 2, 3, 5)], [gaps[k] for k in (1, 4)]
    assert set(within) == {within[0]}
    assert set(between) == {within[0] + max(2, round(width))}


@pytest.mark.parametrize(("typeface", "high"), crossed(UPRIGHT, [4, 5, 7, 9, 12]), ids=kind_or_high)
def test_words_are_told_apart_whatever_reaches_over(typeface: Typeface, high: int) -> None:
    """At the least by the gap of our alphabets of 5 and 7 squares, whose letters are one square apart."""
    need_typefaces()
    text = "of ja Ty Ve rV AT"
    letters = svg2chart.set_letters([text], high=high, fonts=typeface.fonts(), face=typeface.face()).letters
    gaps = [after.column - before.end for before, after in pairwise(letters) if after.begins_word]
    assert len(gaps) == len(text.split()) - 1
    assert min(gaps) >= packaged_alphabet("backstitch-5").space


@pytest.mark.parametrize(("spaced", "more"), [('word-spacing="3"', 3), ('xml:space="preserve"', 3)])
def test_wider_spaces_and_several_are_as_wide_as_they_are(spaced: str, more: int) -> None:
    """A space of Source Sans Pro is .2 em wide, 3 squares at 15 units to the em."""
    wide = []
    for asked in ("", spaced):
        drawing = f'<text x="2" y="20" font-size="15" {asked}>n  n</text>'
        chart = charted(
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 30">{drawing}</svg>'.encode()
        )
        columns = np.flatnonzero((chart.squares > 0).any(axis=0))
        wide.append(int(columns[-1] - columns[0]))
    assert wide[1] - wide[0] == more


@pytest.mark.parametrize("unseen", ["\u200b", "\u2060", "\u00ad"])
def test_what_is_not_seen_between_letters_is_no_space(unseen: str) -> None:
    assert _gaps(f"nn{unseen}nn", high=7) == _gaps("nnnn", high=7)


def test_words_are_spaced_out_by_the_space_between_them_as_well() -> None:
    plain, wide = _gaps("nn nn", high=7), _gaps("nn nn", high=7, spacing=3)
    assert [after - before for before, after in zip(plain, wide, strict=True)] == [3, 6, 3]


def test_an_arch_rises_to_the_middle_and_falls_again() -> None:
    rows = [one.row for one in lettering("HHHHHHHHH", high=7, arch=6).letters]
    assert rows == rows[::-1]
    assert all(here >= there for here, there in pairwise(rows[:5]))
    assert rows[0] - rows[4] == 6


@settings(max_examples=examples(15))
@given(st.text("ABHMTWijlvwy", min_size=1, max_size=9), st.integers(1, 12))
def test_an_arch_stands_on_its_first_and_last_letter(text: str, arch: int) -> None:
    """Though one is wide and the other narrow; no letter is lower, and none too high."""
    flat, arched = (lettering(text, high=7, arch=rise).letters for rise in (0, arch))
    rises = [before.row - after.row for before, after in zip(flat, arched, strict=True)]
    rises = [rise - rises[0] for rise in rises]
    assert rises[-1] == 0
    assert min(rises) == 0
    assert max(rises) <= arch
    assert [one.column for one in flat] == [one.column for one in arched]


def test_the_middle_letter_of_three_is_higher() -> None:
    found = svg2chart.set_monogram("AHB", high=12, fonts=packaged(), face=face())
    assert [len(one.shown) for one in found.letters] == [8, 12, 8]
    assert [one.row for one in found.letters] == [2, 0, 2]
    with pytest.raises(svg2chart.LettersError, match="one to three letters, not 4"):
        svg2chart.set_monogram("ABCD", high=12, fonts=packaged())


def test_what_cannot_be_set_is_said_on_one_line() -> None:
    with pytest.raises(svg2chart.LettersError, match="no words to set"):
        lettering("  ", high=7)
    with pytest.raises(svg2chart.LettersError, match="4 to 400 squares high, not 3"):
        lettering("A", high=3)
    with pytest.raises(svg2chart.LettersError, match="4 to 400 squares high, not 3"):
        svg2chart.set_monogram("A", high=3, fonts=packaged())
    with pytest.raises(
        svg2chart.LettersError, match=r"middle letter of three is higher .* Ask for 5 squares"
    ):
        svg2chart.set_monogram("ABC", high=4, fonts=packaged())
    with pytest.raises(svg2chart.LettersError, match=r'"W" is \d+ squares wide, the lines are to be 2'):
        lettering("W", high=7, width=2)


@pytest.mark.parametrize("asked", [{"width": 0}, {"spacing": -1}, {"line_step": 0}, {"arch": -1}])
def test_layouts_that_cannot_be_are_refused(asked: dict[str, int]) -> None:
    with pytest.raises(svg2chart.LettersError, match=r"of a layout is \d or more, not"):
        svg2chart.Layout(**asked)


def test_unknown_characters_are_boxes_and_named() -> None:
    found = lettering("A\u4e00", high=7)
    assert len(found.letters) == 2
    assert "no font has" in found.remarks[0].what
    assert "U+4E00" in found.remarks[0].what
    assert found.remarks[0].severity is svg2chart.Severity.SIMPLIFIED


@pytest.mark.parametrize("high", [5, 6, 9])
def test_words_by_their_height_have_the_letters_and_the_remarks_that_a_drawing_has(high: int) -> None:
    """Of small ones more is told where their height was asked for: another is chosen easily then."""
    text = "lamp % \U00012000 \u4e00"
    size = high / heights_of(face()).capital
    words = f'<text x="5" y="30" font-size="{size}" font-family="Source Sans Pro">{text}</text>'
    drawing = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 180 40">{words}</svg>'
    artwork = parse_artwork(drawing.encode())
    page = svg2chart.Grid.fit(artwork, square=1.0, extent=svg2chart.Extent.PAGE)
    chart = svg2chart.convert(artwork, page)
    found = lettering(text, high=high)
    small = [remark.what for remark in remarks_on_small(high)]
    assert [*(remark.what for remark in chart.remarks), *small] == [remark.what for remark in found.remarks]
    assert len(chart.remarks) == 1
    stitches = sum(int(one.shown.any(axis=2).sum()) for one in found.letters)
    assert int((chart.squares > 0).sum()) == stitches


@pytest.mark.parametrize(("high", "remarks"), [(4, 1), (5, 1), (6, 1), (7, 0), (9, 0)])
def test_letters_of_a_font_that_are_too_low_for_their_strokes_are_told_of(high: int, remarks: int) -> None:
    """In the same words as those of a drawing that are not fitted."""
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 90 40"><text x="5" y="30" font-size="{}"'
        ' data-stitch-text="as-drawn">lamp</text></svg>'
    )
    artwork = parse_artwork(svg.format(high / CAPITAL_EM).encode())
    chart = svg2chart.convert(artwork, svg2chart.Grid.fit(artwork, square=1.0))
    told = [remark.what for remark in chart.remarks if "lose strokes" in remark.what]
    assert len(told) == remarks
    assert [remark.what for remark in lettering("lamp", high=high).remarks] == told


@pytest.mark.parametrize(("text", "high", "remarks"), [("ABC", 9, 1), ("AB", 9, 0), ("ABC", 12, 0)])
def test_monograms_are_told_of_by_their_lowest_letters(text: str, high: int, remarks: int) -> None:
    """The outer two of three are two thirds as high."""
    monogram = svg2chart.set_monogram(text, high=high, fonts=packaged())
    assert sum("lose strokes" in remark.what for remark in monogram.remarks) == remarks


def test_fractions_that_may_not_be_used_are_not() -> None:
    drawing = svg2chart.draw_letters(lettering("SO", high=9), colour="#1f3a5f")
    assert b"area-as-drawn" in drawing
    svg = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 20">{}</svg>'
    text = svg.format('<text x="2" y="15" font-size="14">SOS</text>').encode()
    artwork = parse_artwork(text)
    grid = svg2chart.Grid.fit(artwork, square=1.0)
    whole = svg2chart.convert(artwork, grid, fractions=Fractions.NONE)
    assert {stitch.kind.value for a in whole.arrangements for stitch in a} == {"full"}


@pytest.mark.parametrize("typeface", [*UPRIGHT, *FURTHER[-3:], SCRIPT], ids=lambda one: one.kind)
@settings(max_examples=examples(4))
@example("4", 11)  # where parts of a slab letter are widened, they touch the rest of it along a line
@example("5", 16)  # three squares wide where its round corners would be four
@given(WORDS, st.integers(4, 16))
def test_every_font_is_a_fixed_point(typeface: Typeface, text: str, high: int) -> None:
    need_typefaces()
    found = svg2chart.set_letters([text], high=high, fonts=typeface.fonts(), face=typeface.face())
    chart = charted(svg2chart.draw_letters(found, colour="#1f3a5f"))
    assert (chart.rows, chart.columns) == (found.rows, found.columns)
    assert of_chart(chart) == stitched(found)
    assert chart.remarks == ()


@pytest.mark.parametrize(
    ("typeface", "letters"),
    [
        (ARABIC, "ابتثجحسشصطعفقكلمنهوي"),
        (HEBREW, "אבגדהוזחטיכלמנסעפצקרשת"),
        (GREEK, "ΑΒΓΔΘΛΞΠΣΦΨΩαβγδεζηθλμξπρσφψωάέήίόύώ"),
        (CYRILLIC, "АБВГДЖЗИЙКЛМНПРСТУФЦЧШЩЫЭЮЯабвгджзийклмнопрстуфхцчшщыэюяё"),
        (VIETNAMESE, "ăâđêôơưạảấầẩẫậắằẳẵặẹẻẽếềểễệỉịọỏốồổỗộớờởỡợụủứừửữựỳỵỷỹ"),
    ],
    ids=lambda one: getattr(one, "kind", ""),
)
@settings(max_examples=3)
@given(st.data(), st.integers(4, 16))
def test_other_scripts_are_fixed_points(
    typeface: Typeface, letters: str, data: st.DataObject, high: int
) -> None:
    need_typefaces()
    text = data.draw(st.text(letters, min_size=1, max_size=5))
    found = svg2chart.set_letters([text], high=high, fonts=typeface.fonts(), face=typeface.face())
    chart = charted(svg2chart.draw_letters(found, colour="#1f3a5f"))
    assert (chart.rows, chart.columns) == (found.rows, found.columns)
    assert of_chart(chart) == stitched(found)
    assert chart.remarks == ()


def test_a_line_ends_where_its_letters_lead() -> None:
    need_typefaces()
    for text, ending in (("חג הנמל!", 0), ("lamps!", -1)):
        found = svg2chart.set_letters([text], high=9, fonts=HEBREW.fonts(), face=HEBREW.face())
        assert sorted(found.letters, key=lambda one: one.column)[ending].text == "!"


@settings(max_examples=examples(25))
@given(st.text(max_size=6), st.sampled_from([None, *svg2chart.alphabet_names()]))
def test_any_text_is_set_or_refused_in_words(text: str, name: str | None) -> None:
    try:
        if name is None:
            found = lettering(text, high=7)
        else:
            found = svg2chart.set_in_alphabet([text], alphabet=svg2chart.packaged_alphabet(name))
    except svg2chart.LettersError:
        return
    assert charted(svg2chart.draw_letters(found, colour="#1f3a5f")).columns == found.columns


def test_joined_letters_stay_joined() -> None:
    need_typefaces()
    found = svg2chart.set_letters(["lamp"], high=12, fonts=SCRIPT.fonts(), face=SCRIPT.face())
    assert [one.text for one in found.letters] == ["lamp"]


JOINED = ["harbour", "festival", "minimum", "bunting", "judge", "Hafen", "regatta", "quartz"]


@pytest.mark.parametrize(("word", "high"), crossed(JOINED, (7, 9, 12)))
def test_a_joined_word_is_in_as_many_parts_as_in_its_font(word: str, high: int) -> None:
    need_typefaces()
    dots = sum(word.count(letter) for letter in "ij")
    gaps = word.count("rt")  # these do not touch in this font
    found = svg2chart.set_letters([word], high=high, fonts=SCRIPT.fonts(), face=SCRIPT.face())
    whole = np.zeros((found.rows, found.columns, 8), bool)
    for one in found.letters:
        rows, columns = one.shown.shape[:2]
        whole[one.row : one.row + rows, one.column : one.column + columns] |= one.shown
    parts, _ = pieces(whole)
    assert parts == 1 + dots + gaps


@pytest.mark.parametrize("word", ["lamp", "boat", "vow"])
@pytest.mark.parametrize("high", [9, 12, 16])
def test_joined_words_are_as_dark_as_in_their_font(word: str, high: int) -> None:
    need_typefaces()
    found = svg2chart.set_letters([word], high=high, fonts=SCRIPT.fonts(), face=SCRIPT.face())
    x0, y0, x1, y1 = joined_outline(SCRIPT.fonts(), SCRIPT.face(), word, high).edges().T
    drawn = abs(float((x0 * y1 - x1 * y0).sum())) / 2
    # small letters of five rows become higher or lower by half a row, a tenth of their height, at the most
    assert abs(sum(one.shown.sum() for one in found.letters) / 8 / drawn - 1) <= 0.1


def test_letters_that_are_written_apart_are_fitted_one_by_one_though_they_touch_in_the_font() -> None:
    for pair in ("AA", "KA", "vy", "fT"):
        found = lettering(pair, high=7).letters
        assert [one.text for one in found] == list(pair)
        assert not _touch(*found)


@pytest.mark.parametrize(("typeface", "high"), crossed(UPRIGHT, [5, 7, 9, 12]), ids=kind_or_high)
def test_an_upright_stroke_has_stitches_in_every_row(typeface: Typeface, high: int) -> None:
    need_typefaces()
    found = svg2chart.set_letters(["lIH1"], high=high, fonts=typeface.fonts(), face=typeface.face())
    for one in found.letters:
        assert one.shown.any(axis=(1, 2)).all(), one.text


def test_words_are_set_in_the_font_that_is_given_first_though_a_regular_one_lies_beside_it() -> None:
    files = [one.file for one in packaged().faces if not one.italic and one.weight in (400, 900)]
    assert len(files) == 2
    for first, second in (files, files[::-1]):
        fonts = read_fonts([first, second])
        found = svg2chart.set_letters(["H"], high=16, fonts=fonts)
        wanted = svg2chart.set_letters(["H"], high=16, fonts=fonts, face=fonts.faces[0])
        assert np.array_equal(found.letters[0].shown, wanted.letters[0].shown)


def test_words_are_set_in_the_regular_face_where_none_is_named() -> None:
    found = svg2chart.set_letters(["lamp"], high=9, fonts=packaged())
    wanted = svg2chart.set_letters(["lamp"], high=9, fonts=packaged(), face=face())
    for one, other in zip(found.letters, wanted.letters, strict=True):
        assert np.array_equal(one.shown, other.shown)


@pytest.mark.parametrize(("typeface", "high"), crossed(UPRIGHT, [12, 16, 24]), ids=kind_or_high)
def test_a_stem_under_a_dot_is_as_wide_as_one_without(typeface: Typeface, high: int) -> None:
    need_typefaces()
    found = svg2chart.set_letters(["il"], high=high, fonts=typeface.fonts(), face=typeface.face())
    rows = [one.shown[-round(high / 3)] for one in found.letters]  # amid the small letters' height
    assert np.array_equal(rows[0].sum(axis=1)[rows[0].any(axis=1)], rows[1].sum(axis=1)[rows[1].any(axis=1)])


@pytest.mark.parametrize(("typeface", "high"), crossed(UPRIGHT, [7, 9, 12]), ids=kind_or_high)
def test_letters_whose_slants_meet_in_points_are_whole_and_open(typeface: Typeface, high: int) -> None:
    need_typefaces()
    found = svg2chart.set_letters(["vwVWM"], high=high, fonts=typeface.fonts(), face=typeface.face())
    for one in found.letters:
        assert pieces(one.shown) == (1, 0), one.text


@pytest.mark.parametrize(("typeface", "high"), crossed(UPRIGHT, [5, 7, 9]), ids=kind_or_high)
def test_letters_of_hairlines_alone_are_set(typeface: Typeface, high: int) -> None:
    need_typefaces()
    found = svg2chart.set_letters(["-"], high=high, fonts=typeface.fonts(), face=typeface.face())
    assert [pieces(one.shown) for one in found.letters] == [(1, 0)]


@pytest.mark.parametrize(
    ("typeface", "high"),
    # the tail of a slab e fills its opening at five squares
    [(one, high) for one in UPRIGHT for high in (5, 6, 7) if (one.kind, high) != ("slab", 5)],
    ids=lambda one: getattr(one, "kind", one),
)
def test_bar_and_tail_of_an_e_stay_apart(typeface: Typeface, high: int) -> None:
    need_typefaces()
    found = svg2chart.set_letters(["e"], high=high, fonts=typeface.fonts(), face=typeface.face())
    _, above_each_other = stitched_strokes(found.letters[0].shown[None])
    assert above_each_other[0] == 3


@pytest.mark.parametrize("typeface", UPRIGHT, ids=lambda one: one.kind)
def test_the_slant_of_a_low_four_has_no_quarter_stitches_beside_it(typeface: Typeface) -> None:
    need_typefaces()
    found = svg2chart.set_letters(["4"], high=5, fonts=typeface.fonts(), face=typeface.face())
    assert not (found.letters[0].shown.sum(axis=2) == 2).any()


@pytest.mark.parametrize("typeface", UPRIGHT, ids=lambda one: one.kind)
def test_the_bowl_of_a_low_p_is_open_over_two_rows(typeface: Typeface) -> None:
    need_typefaces()
    found = svg2chart.set_letters(["p"], high=5, fonts=typeface.fonts(), face=typeface.face())
    inked = found.letters[0].shown.any(axis=2)
    parted = [bool((~row[np.flatnonzero(row)[0] : np.flatnonzero(row)[-1]]).any()) for row in inked]
    assert sum(parted) >= 2
