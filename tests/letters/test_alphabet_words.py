"""Words in our alphabets: charting changes nothing, and small words of drawings are set in them."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import svg2chart
from svg2chart.alphabets.reading import parse_alphabet
from svg2chart.artwork import Stroke
from svg2chart.letters.laying import Lettering
from svg2chart.letters.placed import SetLetter
from svg2chart.svg.read import parse_artwork
from tests.breadth import examples

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = svg2chart.alphabet_names()
WORDS = st.text("ABEHKMORSTVWXYZabcdefghiklmnoprstuvwxyz0123456789äéčšłßŻőģ.,:!?&", min_size=1, max_size=6)


def charted(drawing: bytes) -> svg2chart.Chart:
    artwork = parse_artwork(drawing)
    grid = svg2chart.Grid.fit(artwork, square=1.0, extent=svg2chart.Extent.PAGE)
    return svg2chart.convert(artwork, grid)


def lines_of(found: Lettering) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Return the backstitch of letters, from the upper or left end, in order."""
    placed = [
        sorted(((x + one.column, y + one.row) for x, y in line), key=lambda hole: hole[::-1])
        for one in found.letters
        for line in one.lines
    ]
    return sorted((start, end) for start, end in placed)


@settings(max_examples=examples(15))
@given(WORDS, st.sampled_from(NAMES))
def test_charting_letters_of_an_alphabet_changes_nothing(text: str, name: str) -> None:
    found = svg2chart.set_in_alphabet([text], alphabet=svg2chart.packaged_alphabet(name))
    artwork = parse_artwork(svg2chart.draw_letters(found, colour="#1f3a5f"))
    chart = svg2chart.convert(artwork, svg2chart.Grid.fit(artwork, square=1.0))
    assert (chart.rows, chart.columns) == (found.rows, found.columns)
    squares = np.zeros((chart.rows, chart.columns), bool)
    for one in found.letters:
        rows, columns = one.shown.shape[:2]
        squares[one.row : one.row + rows, one.column : one.column + columns] |= one.shown.any(axis=2)
    assert np.array_equal(chart.squares > 0, squares)
    assert sorted((line.start, line.end) for line in chart.backstitch) == lines_of(found)
    knots = sorted((x + one.column, y + one.row) for one in found.letters for x, y in one.knots)
    assert sorted(knot.at for knot in chart.knots) == knots
    assert chart.remarks == ()


@pytest.mark.parametrize("words", [".", "i.", "L"])
@pytest.mark.parametrize("name", ["backstitch-5", "stitched-7"])
def test_no_line_and_no_knot_is_cut_by_the_page(words: str, name: str) -> None:
    """All that is painted, with the width of its lines, lies on the page."""
    found = svg2chart.set_in_alphabet([words], alphabet=svg2chart.packaged_alphabet(name))
    drawing = svg2chart.draw_letters(found, colour="#1f3a5f", outline="#222222")
    artwork = parse_artwork(drawing)
    painted = [mark.path.box() for mark in artwork.painted()]
    half = max((mark.width / 2 for mark in artwork.painted() if isinstance(mark, Stroke)), default=0.0)
    page = artwork.viewport
    assert page.left <= min(box.left for box in painted) - half
    assert page.top <= min(box.top for box in painted) - half
    assert page.right >= max(box.right for box in painted) + half
    assert page.bottom >= max(box.bottom for box in painted) + half


@settings(max_examples=examples(15))
@given(WORDS, st.sampled_from(NAMES))
def test_letters_of_an_alphabet_stay_apart(text: str, name: str) -> None:
    found = svg2chart.set_in_alphabet([text], alphabet=svg2chart.packaged_alphabet(name)).letters
    for index, one in enumerate(found):
        for other in found[index + 1 :]:
            assert not _marks(one) & _marks(other)
            near = {
                (row + a, column + b) for row, column in _squares(one) for a in (-1, 0, 1) for b in (-1, 0, 1)
            }
            assert not near & _squares(other)


def _marks(one: SetLetter) -> set[tuple[int, int]]:
    holes = [hole for line in one.lines for hole in line] + list(one.knots)
    return {(x + one.column, y + one.row) for x, y in holes}


def _squares(one: SetLetter) -> set[tuple[int, int]]:
    return {
        (one.row + row, one.column + column) for row, column in np.argwhere(one.shown.any(axis=2)).tolist()
    }


def test_letters_come_nearer_where_their_sides_leave_room() -> None:
    for name in NAMES:
        alphabet = svg2chart.packaged_alphabet(name)
        gaps = {}
        for pair in ("HH", "LT"):
            before, after = svg2chart.set_in_alphabet([pair], alphabet=alphabet).letters
            gaps[pair] = after.column - before.end
        assert gaps == {"HH": alphabet.apart, "LT": alphabet.apart - alphabet.nearer}


def test_lines_do_not_touch_the_accents_of_the_next_one() -> None:
    for name in NAMES:
        alphabet = svg2chart.packaged_alphabet(name)
        upper, lower = svg2chart.set_in_alphabet(["g", "Ấ"], alphabet=alphabet).letters
        assert lower.row - upper.bottom >= 1


def test_spacing_width_and_align_hold_for_alphabets_too() -> None:
    alphabet = svg2chart.packaged_alphabet("stitched-7")
    plain = svg2chart.set_in_alphabet(["HIH"], alphabet=alphabet)
    wide = svg2chart.set_in_alphabet(["HIH"], alphabet=alphabet, layout=svg2chart.Layout(spacing=2))
    moved = [b.column - a.column for a, b in zip(plain.letters, wide.letters, strict=True)]
    assert moved == [0, 2, 4]
    text = "boats and lamps and bunting"
    layout = svg2chart.Layout(width=50, align=svg2chart.Align.RIGHT)
    found = svg2chart.set_in_alphabet([text], alphabet=alphabet, layout=layout)
    assert found.columns <= 50
    assert "".join(one.text for one in found.letters) == text.replace(" ", "")
    rows = {one.bottom for one in found.letters if one.text == "s"}
    assert len(rows) > 1


def test_the_outer_letters_of_a_monogram_are_from_the_next_lower_alphabet() -> None:
    found = svg2chart.set_monogram_in_alphabet("A H B", alphabet=svg2chart.packaged_alphabet("stitched-9"))
    assert [len(one.shown) for one in found.letters] == [7, 9, 7]
    assert [one.row for one in found.letters] == [1, 0, 1]


@pytest.mark.parametrize("name", NAMES)
def test_the_middle_letter_of_three_is_higher_in_every_alphabet(name: str) -> None:
    alphabet = svg2chart.packaged_alphabet(name)
    one, middle, other = svg2chart.set_monogram_in_alphabet("AHB", alphabet=alphabet).letters
    high = [max(*(y for ends in it.lines for _, y in ends), len(it.shown), 0) for it in (one, middle, other)]
    assert high[0] == high[2] < high[1]
    assert (one.row - middle.row) * 2 == high[1] - high[0]
    assert alphabet.capital in high
    pair = svg2chart.set_monogram_in_alphabet("AB", alphabet=alphabet).letters
    assert all(
        max(*(y for ends in it.lines for _, y in ends), len(it.shown), 0) == alphabet.capital for it in pair
    )


@pytest.mark.parametrize("name", NAMES)
def test_unknown_letters_are_boxes_and_named(name: str) -> None:
    alphabet = svg2chart.packaged_alphabet(name)
    found = svg2chart.set_in_alphabet(["AΩ"], alphabet=alphabet)
    (remark,) = found.remarks
    assert f'{name} has no "Ω" (U+03A9), a box is drawn' in remark.what
    assert remark.severity is svg2chart.Severity.SIMPLIFIED
    box = found.letters[1]
    assert len(box.shown) == alphabet.capital
    assert box.lines or box.shown.any()


def test_the_sheet_of_an_alphabet_shows_the_letters_that_it_has_however_wide() -> None:
    wide = "#" * 250
    head = "stitches stitched\ncapital 1\nsmall 1\napart 1\nnearer 0\nspace 2\n"
    own = parse_alphabet(f"{head}letter A é\n_ {wide}\nletter ☼\n_ #\n", "own")
    sheet = svg2chart.alphabet_sheet([own])
    assert sorted(one.text for one in sheet.letters) == ["A", "☼"]
    assert sheet.columns == 250


@pytest.mark.parametrize("name", NAMES)
def test_characters_that_are_not_seen_are_no_letters(name: str) -> None:
    alphabet = svg2chart.packaged_alphabet(name)
    plain = svg2chart.set_in_alphabet(["harbour"], alphabet=alphabet)
    soft = svg2chart.set_in_alphabet(["har\u00adbo\u200bur\u200e"], alphabet=alphabet)
    assert soft.remarks == ()
    assert [(one.text, one.column) for one in soft.letters] == [
        (one.text, one.column) for one in plain.letters
    ]


SVG = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 120 40">{}</svg>'


def of_drawing(words: str) -> svg2chart.Chart:
    return charted(SVG.format(words).encode())


def test_small_words_of_a_drawing_are_backstitch_on_their_base_line() -> None:
    chart = of_drawing('<text id="a" x="5" y="12" font-size="6.6">lamp</text>')
    holes = [hole for line in chart.backstitch for hole in (line.start, line.end)]
    assert not chart.squares.any()
    assert min(y for _, y in holes) == 12 - 5
    assert max(y for _, y in holes) == 12 + 2
    assert min(x for x, _ in holes) in (5, 6)
    assert chart.remarks == ()


def test_words_are_told_to_be_backstitch_by_themselves_or_by_their_group() -> None:
    words = '<text id="a" x="5" y="20" font-size="{}">lamp</text>'
    told = '<g data-stitch-text="backstitch">{}</g>'
    for size, high in ((10, 7), (20, 7)):
        plain, lined = of_drawing(words.format(size)), of_drawing(told.format(words.format(size)))
        assert plain.squares.any()
        assert not plain.backstitch
        assert not lined.squares.any()
        assert min(line.start[1] for line in lined.backstitch) == 20 - high
    (remark,) = lined.remarks
    assert "7 squares high; they are drawn 13" in remark.what


def test_a_line_in_backstitch_stands_as_it_is_anchored() -> None:
    words = '<text x="60" y="12" font-size="6.6" text-anchor="{}">HH</text>'
    ends = {}
    for anchor in ("start", "middle", "end"):
        chart = of_drawing(words.format(anchor))
        columns = [hole[0] for line in chart.backstitch for hole in (line.start, line.end)]
        ends[anchor] = (min(columns), max(columns))
    assert abs(ends["start"][0] - 60) <= 1
    assert abs(sum(ends["middle"]) / 2 - 60) <= 1
    assert abs(ends["end"][1] - 60) <= 1


def test_colours_of_words_in_backstitch_are_threads() -> None:
    chart = of_drawing('<text y="12" font-size="6.6" fill="#ff0000">i<tspan fill="#0000ff">i</tspan></text>')
    threads = {thread.colour for thread in chart.threads}
    assert threads == {"#ff0000", "#0000ff"}
    assert len({line.thread for line in chart.backstitch}) == len({knot.thread for knot in chart.knots}) == 2


@pytest.mark.parametrize(
    ("words", "what"),
    [
        (
            '<text id="a" y="12" font-size="5" data-stitch-text="backstitch">2 Ω</text>',
            'backstitch-5 has no "Ω"',
        ),
        (
            '<text id="a" x="40" y="20" font-size="24" data-stitch-text="backstitch"'
            ' transform="rotate(20)">A</text>',
            "they are not upright",
        ),
        (
            '<text id="a" y="20" font-size="9" data-stitch-text="backstitch">'
            "a very long line that has no room on the chart</text>",
            "would not have room",
        ),
    ],
)
def test_words_that_cannot_be_backstitch_stay_as_drawn_and_say_so(words: str, what: str) -> None:
    chart = of_drawing(words)
    assert [remark.element for remark in chart.remarks if what in remark.what] == ["a"]
    assert chart.squares.any()


@pytest.mark.parametrize(
    ("size", "name", "asked"),
    [
        (8, "backstitch-5", 'data-stitch-text="backstitch"'),
        (10, "backstitch-7", 'data-stitch-text="backstitch"'),
        (6.2, "backstitch-5", ""),  # so small that they would be backstitch unasked
    ],
)
def test_words_with_a_letter_that_backstitch_lacks_are_fitted_and_name_it(
    size: float, name: str, asked: str
) -> None:
    """What is sewn are the right letters, all of one kind, as if the words were told to be fitted."""
    drawing = f'<text id="a" x="5" y="20" font-size="{size}" {{}}>no Ω lamp</text>'
    chart, fitted = of_drawing(drawing.format(asked)), of_drawing(drawing.format('data-stitch-text="fitted"'))
    assert np.array_equal(chart.squares, fitted.squares)
    assert chart.arrangements == fitted.arrangements
    assert not chart.backstitch
    what = f'not in letters of backstitch: {name} has no "Ω" (U+03A9), so they are fitted to the squares'
    told, all_told = ([(one.element, one.what) for one in each.remarks] for each in (fitted, chart))
    assert all_told == [("a", what), *told]


@pytest.mark.parametrize("text", ["A", "Lamps and bunting along the whole of the quay"])
def test_words_much_larger_than_the_chart_stay_as_drawn_and_say_so(
    text: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """They are not fitted first, to be thrown away."""
    monkeypatch.setattr("svg2chart.letters.intended.set_on_squares", lambda *_: pytest.fail("was fitted"))
    chart = of_drawing(f'<text id="a" y="100" font-size="400">{text}</text>')
    assert [remark.element for remark in chart.remarks if "would not have room" in remark.what] == ["a"]
    assert chart.squares.any()


def test_the_banner_of_the_examples_shows_every_kind_of_letters() -> None:
    drawing = Path(__file__).parents[2] / "examples" / "harbour-banner.svg"
    chart = charted(drawing.read_bytes())
    assert chart.remarks == ()
    assert len(chart.threads) == 5
    blue = next(k for k, thread in enumerate(chart.threads) if thread.colour == "#2f7f9f")
    kinds = {stitch.kind.value for arrangement in chart.arrangements for stitch in arrangement}
    assert kinds <= {"full", "three-quarter", "quarter"}
    assert any(line.thread == blue for line in chart.backstitch)
    assert [knot.thread for knot in chart.knots] == [blue]  # the dot of the i in bunting


def test_words_that_are_told_to_be_fitted_and_are_too_low_say_so() -> None:
    chart = of_drawing('<text id="a" x="5" y="12" font-size="4" data-stitch-text="fitted">lamp</text>')
    assert [remark.element for remark in chart.remarks if "not fitted to the squares" in remark.what] == ["a"]


def test_words_too_small_to_be_read_stay_as_drawn() -> None:
    chart = of_drawing('<text id="a" x="5" y="12" font-size="3.6">lamp</text>')
    assert not chart.backstitch
    assert any("cannot be read: 2.8 times as many squares" in remark.what for remark in chart.remarks)


@pytest.mark.parametrize("wide", [40, 60, 80])
def test_what_lettering_loses_is_told_by_its_own_element(wide: int) -> None:
    artwork = parse_artwork((EXAMPLES / "harbour-banner.svg").read_bytes())
    chart = svg2chart.convert(artwork, svg2chart.Grid.fit(artwork, wide=wide))
    ids = {mark.element for mark in artwork.marks} | {""}
    assert {remark.element for remark in chart.remarks} <= ids
