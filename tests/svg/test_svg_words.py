"""Text elements to words and runs."""

import pytest

from svg2chart.artwork import Artwork, Run, Words
from svg2chart.svg.read import parse_artwork
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


BREAK = "line breaks in its words are spaces"


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        ("A\nB", [BREAK]),
        ("A\n<tspan>B</tspan>", [BREAK]),
        ("<tspan>A</tspan>\n<tspan>B</tspan>", [BREAK]),
        ("A<tspan>\n</tspan>B", [BREAK]),
        ("\nA\n", []),
        ("<tspan>A</tspan>\n<tspan x='0' y='20'>B</tspan>", []),
        ("<tspan>A</tspan>\n <tspan y='20'>B</tspan>", []),
        ("A\n<textPath path='M0 20H80'>B</textPath>", []),
        ("<textPath path='M0 20H80'>A\nB</textPath>", [BREAK]),
    ],
)
def test_line_breaks_are_told_where_words_go_on_after_them(content: str, expected: list[str]) -> None:
    """Source: CSS Text Level 3, 3 "white-space"; a place or a path of their own is a line of their own."""
    assert whats(read(f'<text y="9" style="white-space:pre">{content}</text>')) == expected
    assert whats(read(f'<text y="9" xml:space="preserve">{content}</text>')) == []  # SVG 1.1, 10.15: spaces


WORDS = '<text id="t" y="30" font-size="30">Boat</text>'
FRAMES = {
    "nested": f'<svg width="100" height="40">{WORDS}</svg>',
    "clip": f'<clipPath id="c"><rect width="100" height="50"/></clipPath><g clip-path="url(#c)">{WORDS}</g>',
    "round": '<clipPath id="c"><circle cx="40" cy="20" r="45"/></clipPath>'
    f'<g clip-path="url(#c)">{WORDS}</g>',
    "slanted": f'<clipPath id="c"><path d="M0 0H100L0 100Z"/></clipPath><g clip-path="url(#c)">{WORDS}</g>',
    "rounded": '<clipPath id="c"><rect x="-3" width="90" height="45" rx="9"/></clipPath>'
    f'<g clip-path="url(#c)">{WORDS}</g>',
    "askew": '<clipPath id="c"><rect x="-3" width="90" height="45" transform="rotate(2)"/></clipPath>'
    f'<g clip-path="url(#c)">{WORDS}</g>',
    "two": '<clipPath id="c"><rect width="3" height="3"/><rect width="100" height="50"/></clipPath>'
    f'<g clip-path="url(#c)">{WORDS}</g>',
}


@pytest.mark.parametrize("name", sorted(FRAMES))
def test_a_clip_that_cuts_nothing_off_words_is_none(name: str) -> None:
    (words,) = read(FRAMES[name]).marks
    assert isinstance(words, Words)
    assert (words.clip, words.stays) == (None, "")


@pytest.mark.parametrize(
    "shape",
    [
        '<rect width="40" height="50"/>',
        '<rect width="100" height="30" rx="15"/>',
        '<path d="M0 0H80L0 80Z"/>',
        '<path d="M0 0H100V50H50V0H0V50Z"/>',
        '<rect width="100" height="50" transform="rotate(30)"/>',
        '<circle cx="40" cy="20" r="30"/>',
        '<path clip-rule="evenodd" d="M-9-9H99V99H-9ZM-8-8V98H98V-8Z"/>',
        '<path clip-rule="evenodd" d="M-9-9H99V99H-9ZM30 20h5v5h-5Z"/>',
        '<rect width="40" height="50"/><rect x="40" width="60" height="50"/>',
        '<rect width="100" height="50" clip-path="url(#d)"/>',
    ],
)
def test_words_that_a_clip_may_cut_stay_as_they_are(shape: str) -> None:
    clips = (
        '<clipPath id="d"><rect width="50" height="9"/></clipPath>' + f'<clipPath id="c">{shape}</clipPath>'
    )
    (words,) = read(f'{clips}<g clip-path="url(#c)">{WORDS}</g>').marks
    assert isinstance(words, Words)
    assert words.clip is not None
    assert words.stays == "they are cut by a clip"


def test_words_of_a_mask_are_told_to_be_so() -> None:
    mask = f'<mask id="m"><g fill="white">{WORDS}</g></mask>'
    artwork = read(f'{mask}<rect width="100" height="40" mask="url(#m)"/>')
    (words,) = (mark for mark in artwork.marks if isinstance(mark, Words))
    assert words.stays == "they are part of a mask"


def test_words_in_bands_are_told_to_be_so() -> None:
    stops = '<stop stop-color="red"/><stop offset="1" stop-color="blue"/>'
    content = f'<linearGradient id="g">{stops}</linearGradient><g fill="url(#g)">{WORDS}</g>'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">{content}</svg>'
    artwork = parse_artwork(svg.encode(), bands=3)
    pieces = [mark for mark in artwork.marks if isinstance(mark, Words)]
    assert {one.stays for one in pieces} == {"they are painted in bands of a gradient"}
