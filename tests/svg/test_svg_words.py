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


def test_places_of_inner_elements_win() -> None:
    found = runs(read('<text x="1 2 3 4" y="9">a<tspan x="50">b</tspan>cd</text>'))
    assert [(run.text, run.x) for run in found] == [("a", 1), ("b", 50), ("c", 3), ("d", 4)]


def test_lines_of_an_editor_start_by_themselves() -> None:
    found = runs(
        read('<text x="60" y="22"><tspan x="60" y="22">LAMP</tspan><tspan x="60" y="37">NIGHT</tspan></text>')
    )
    assert [(run.text, run.x, run.y) for run in found] == [("LAMP", 60, 22), ("NIGHT", 60, 37)]


def test_a_turn_holds_for_all_letters_that_follow() -> None:
    found = runs(read('<text x="10 30" y="50" rotate="90 0 20">a<tspan rotate="5">b</tspan>cde</text>'))
    # SVG 2, 11.2: the last turn of an element goes on, inner elements win
    assert [(run.text, run.turn, run.x) for run in found] == [("a", 90, 10), ("b", 5, 30), ("cde", 20, None)]


def test_marks_count_as_characters_but_stand_with_their_letter() -> None:
    # the place given to the accent is passed over
    found = runs(read('<text x="1 2 3 4" y="9">ae\u0301d</text>'))
    assert [(run.text, run.x) for run in found] == [("a", 1), ("e\u0301", 2), ("d", 4)]


@pytest.mark.parametrize(
    ("order", "expected"), [("stroke", [False, True]), ("fill", [False, False]), ("normal", [False, False])]
)
def test_paint_order_of_a_span(order: str, expected: list[bool]) -> None:
    found = runs(read(f'<text y="50" stroke="red">a<tspan paint-order="{order}">b</tspan></text>'))
    assert [run.is_stroke_first for run in found] == expected


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


def test_raised_letters_are_raised_by_each_element_around_them() -> None:
    found = runs(
        read(
            '<text y="50" font-size="10" baseline-shift="99">a<tspan baseline-shift="40%">b'
            '<tspan baseline-shift="super" font-size="5">c<tspan baseline-shift="-1">d</tspan></tspan>'
            "</tspan>e</text>"
        )
    )
    # a percentage refers to the size there; on the text itself it has no meaning (SVG 1.1, 10.9.2)
    assert [(run.text, run.rise, run.scripts) for run in found] == [
        ("a", 0, ()),
        ("b", 4, ()),
        ("c", 4, (("super", 5),)),
        ("d", 3, (("super", 5),)),
        ("e", 0, ()),
    ]


def test_spans_for_other_readers_are_not_set() -> None:
    assert [run.text for run in runs(read('<text y="9">a<tspan systemLanguage="xx">b</tspan></text>'))] == [
        "a"
    ]
