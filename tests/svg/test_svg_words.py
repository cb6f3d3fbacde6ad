"""Text elements to words and runs."""

import pytest

from svg2chart.artwork import Artwork, Run, Words
from tests.svg.inline import read


def runs(artwork: Artwork) -> list[Run]:
    """Return the runs of all words."""
    return [run for mark in artwork.marks if isinstance(mark, Words) for run in mark.runs]


def whats(artwork: Artwork) -> list[str]:
    """Return what was remarked on, but for the fonts."""
    return [
        remark.what for remark in artwork.remarks if "font" not in remark.what and "set in" not in remark.what
    ]


def test_a_run_has_its_style_and_place() -> None:
    artwork = read(
        '<text id="t" x="10" y="20" style="font: italic bold 12px \'Harbour Sans\', serif; '
        "text-anchor: middle; "
        'letter-spacing: 2px; fill: #ff0000; stroke: #0000ff; stroke-width: 3">Lamps</text>'
    )
    (run,) = runs(artwork)
    assert (run.text, run.families, run.size) == ("Lamps", ("Harbour Sans", "serif"), 12)
    assert (run.weight, run.italic, run.x, run.y) == (700, True, 10, 20)
    assert (run.anchor, run.letter_spacing) == ("middle", 2)
    assert run.colour is not None
    assert run.stroke_colour is not None
    assert (run.colour.hex, run.stroke_colour.hex) == ("#ff0000", "#0000ff")
    assert run.stroke_style is not None
    assert run.stroke_style.width == 3
    assert whats(artwork) == []


@pytest.mark.parametrize(
    ("content", "texts"),
    # SVG 1.1, 10.15, and CSS Text 3, 4.1: white space collapses, also from one span to the next
    [
        ("  two \n  boats  ", ["two boats"]),
        ("a <tspan fill='red'> b </tspan> c", ["a ", "b ", "c"]),
        ("<tspan> a</tspan>", ["a"]),
        ("a<tspan display='none'>b</tspan>c", ["ac"]),
    ],
)
def test_white_space_collapses(content: str, texts: list[str]) -> None:
    assert [run.text for run in runs(read(f'<text y="9">{content}</text>'))] == texts


@pytest.mark.parametrize("keep", ['xml:space="preserve"', 'style="white-space:pre"'])
def test_white_space_is_kept_where_asked(keep: str) -> None:
    assert [run.text for run in runs(read(f'<text {keep} y="9"> a  b\n</text>'))] == [" a  b "]


def test_lists_of_places_split_runs() -> None:
    found = runs(read('<text x="1 5" y="9" dx="0 0 2">abcd</text>'))
    assert [(run.text, run.x, run.dx) for run in found] == [("a", 1, 0), ("b", 5, 0), ("cd", None, 2)]
    assert [run.y for run in found] == [9, None, None]


def test_places_of_inner_elements_win_and_accents_stay_with_their_letters() -> None:
    found = runs(read('<text x="1 2 3 4" y="9">a<tspan x="50">b</tspan>e\u0301d</text>'))
    assert [(run.text, run.x) for run in found] == [("a", 1), ("b", 50), ("e\u0301", 3), ("d", 4)]


def test_lines_of_an_editor_start_by_themselves() -> None:
    found = runs(
        read('<text x="60" y="22"><tspan x="60" y="22">LAMP</tspan><tspan x="60" y="37">NIGHT</tspan></text>')
    )
    assert [(run.text, run.x, run.y) for run in found] == [("LAMP", 60, 22), ("NIGHT", 60, 37)]


def test_letters_that_turn_are_words_of_their_own() -> None:
    artwork = read('<text x="10 30" y="50 60" rotate="90 0">ab</text>')
    first, second = artwork.marks
    assert isinstance(first, Words)
    assert isinstance(second, Words)
    assert (first.to_user.a, first.to_user.b, first.to_user.e, first.to_user.f) == (0, 1, 10, 50)
    assert (second.to_user.a, second.to_user.e, second.to_user.f) == (1, 30, 60)
    assert whats(artwork) == []


def test_strokes_below_fills_are_words_of_their_own() -> None:
    artwork = read('<text y="50" stroke="red" paint-order="stroke">a</text>')
    assert [(run.colour is None, run.stroke_colour is None) for run in runs(artwork)] == [
        (True, False),
        (False, True),
    ]


@pytest.mark.parametrize(
    ("content", "count"),
    [
        ('<text id="t" y="9"><textPath href="#p">a</textPath></text>', 0),
        ('<text id="t" y="9" writing-mode="tb">a</text>', 0),
        ('<text id="t" y="9" rotate="30">ab</text>', 1),
        ('<text id="t" y="9" textLength="80">ab</text>', 1),
        ('<text id="t" y="9" text-decoration="underline">ab</text>', 1),
    ],
)
def test_what_cannot_be_set_is_remarked_on(content: str, count: int) -> None:
    artwork = read(content)
    assert len(runs(artwork)) == count
    assert len(whats(artwork)) == 1
    assert {remark.element for remark in artwork.remarks} == {"t"}


def test_words_can_be_a_clip() -> None:
    artwork = read(
        '<clipPath id="c"><text x="10" y="60" font-size="40">I</text></clipPath>'
        '<rect id="sky" width="100" height="100" clip-path="url(#c)"/>'
    )
    (clip,) = artwork.clips
    box = clip.parts[0].path.box()
    assert box is not None
    assert 10 <= box.left < box.right <= 50
    assert 20 <= box.top < box.bottom == pytest.approx(60)


def test_raised_letters_go_up_and_the_pen_comes_back() -> None:
    found = runs(
        read(
            '<text y="50" font-size="10">a'
            '<tspan baseline-shift="40%">b<tspan dy="1">c</tspan></tspan>d</text>'
        )
    )
    # a percentage refers to the size here; y grows downwards
    assert [(run.text, run.dy) for run in found] == [("a", 0), ("b", -4), ("c", 1), ("d", 4)]
    again = runs(read('<text y="50"><tspan baseline-shift="4">b</tspan><tspan y="70">d</tspan></text>'))
    assert [(run.y, run.dy) for run in again] == [(50, -4), (70, 0)]


def test_spans_for_other_readers_are_not_set() -> None:
    assert [run.text for run in runs(read('<text y="9">a<tspan systemLanguage="xx">b</tspan></text>'))] == [
        "a"
    ]
