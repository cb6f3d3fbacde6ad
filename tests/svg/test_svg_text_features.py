"""Text on paths, decorated, fitted, in columns: what is read of it, and what is said."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.artwork import Artwork, Fitted, Run, Words
from svg2chart.remarks import Severity
from svg2chart.svg.read import parse_artwork
from tests.svg.inline import XLINK, read

ROOT = f'viewBox="0 0 100 100" {XLINK}'
TRACK = '<path id="way" d="M10 50H60V90"/>'  # 50 and 40 long


def words(content: str) -> Words:
    """Return the only words of a drawing."""
    (found,) = (mark for mark in read(content, root=ROOT).marks if isinstance(mark, Words))
    return found


def runs(content: str) -> tuple[Run, ...]:
    return words(content).runs


def said(artwork: Artwork) -> list[tuple[str, Severity]]:
    """Return what was remarked on words, but for their fonts."""
    return [
        (r.what, r.severity)
        for r in artwork.remarks
        if r.element == "t" and "font " not in r.what and "set in" not in r.what
    ]


@pytest.mark.parametrize(
    ("offset", "expected"),
    [("", 0), ("12", 12), ("-5", -5), ("50%", 45), ("2em", 20), ("1mm", 96 / 25.4)],
)
def test_words_start_along_their_path(offset: str, expected: float) -> None:
    (run,) = runs(
        f'{TRACK}<text font-size="10"><textPath href="#way" startOffset="{offset}">a</textPath></text>'
    )
    assert run.track is not None
    assert run.track.offset == pytest.approx(expected)
    assert run.track.path.segments[0, 0] == pytest.approx([10, 50])


def test_an_offset_is_in_the_length_that_the_author_gives() -> None:
    # SVG 2, 9.6.1: pathLength scales distances along the path, percentages are of the whole all the same
    for offset, expected in (("30", 27), ("50%", 45)):
        path = TRACK.replace("<path", '<path pathLength="100"')
        (run,) = runs(f'{path}<text><textPath href="#way" startOffset="{offset}">a</textPath></text>')
        assert run.track is not None
        assert run.track.offset == pytest.approx(expected)


@pytest.mark.parametrize(
    ("shapes", "attributes", "start"),
    [
        (TRACK, 'xlink:href="#way"', (10, 50)),
        (TRACK, 'href="#way" side="right"', (60, 90)),
        (TRACK, 'path="M1 2h9" href="#way"', (1, 2)),
        (f'<g transform="scale(7)">{TRACK}</g>', 'href="#way"', (10, 50)),
        (TRACK.replace("<path", '<path transform="translate(5)"'), 'href="#way"', (15, 50)),
        ('<circle id="way" cx="50" cy="40" r="30"/>', 'href="#way"', (80, 40)),
    ],
)
def test_where_the_path_comes_from(shapes: str, attributes: str, start: tuple[float, float]) -> None:
    # SVG 2, 11.8: its own transform counts, that of what holds it does not
    (run,) = runs(f"{shapes}<text><textPath {attributes}>a</textPath></text>")
    assert run.track is not None
    assert run.track.path.segments[0, 0] == pytest.approx(start)


def test_spans_share_the_path_and_words_after_it_do_not() -> None:
    found = runs(
        f'{TRACK}<text x="3">on <textPath href="#way"> a<tspan dy="2">b</tspan> </textPath> off</text>'
    )
    assert [(run.text, run.dy) for run in found] == [("on ", 0), ("a", 0), ("b", 2), (" off", 0)]
    assert found[0].track is found[3].track is None
    assert found[1].track is found[2].track is not None


@pytest.mark.parametrize(
    ("content", "what", "severity"),
    [
        ('<textPath href="#lost">a</textPath>', "words on a path that is not there", Severity.LEFT_OUT),
        ('<textPath href="#t">a</textPath>', "words on a path that is not there", Severity.LEFT_OUT),
        (
            '<tspan><textPath href="#way">a</textPath></tspan>',
            "a <textPath> in a <textPath> or <tspan> is not set",
            Severity.LEFT_OUT,
        ),
        (
            '<textPath href="#way" method="stretch">a</textPath>',
            "letters are set along the path, not bent with it",
            Severity.SIMPLIFIED,
        ),
        (
            '<textPath href="#way" startOffset="far">a</textPath>',
            'its startOffset "far" cannot be read',
            Severity.SIMPLIFIED,
        ),
        (
            '<textPath href="#way" startOffset="-40">a</textPath>',
            'the path is too short for "a"',
            Severity.LEFT_OUT,
        ),
        ('<tref href="#lost"/>', "words that a <tref> points at are not there", Severity.LEFT_OUT),
        ("<image/>", "<image> among words is not drawn", Severity.LEFT_OUT),
        (
            '<tspan font-size-adjust="0.5">a</tspan>',
            "its font-size-adjust is not followed",
            Severity.SIMPLIFIED,
        ),
        (
            '<tspan style="text-orientation: upright">a</tspan>',
            "its text-orientation is not followed",
            Severity.SIMPLIFIED,
        ),
        (
            '<tspan style="text-decoration: underline wavy red">a</tspan>',
            "lines along its words are plain and have its paint",
            Severity.SIMPLIFIED,
        ),
        ('<tspan font-size="-3">a</tspan>', "its letters have no size", Severity.LEFT_OUT),
        ('<tspan x="1e12">a</tspan>', "its coordinates are too large", Severity.LEFT_OUT),
        ('<tspan x="here">a</tspan>', '"here" in its x cannot be read', Severity.SIMPLIFIED),
    ],
)
def test_what_is_not_set_as_it_stands_is_remarked_on(content: str, what: str, severity: Severity) -> None:
    artwork = read(f'{TRACK}<text id="t" y="50">h{content}</text>', root=ROOT)
    of_words = [
        (r.what, r.severity) for mark in artwork.marks if isinstance(mark, Words) for r in mark.remarks
    ]
    assert (what, severity) in [*said(artwork), *of_words]


def test_words_without_their_path_leave_the_others_where_they_are() -> None:
    artwork = read('<text y="9" textLength="50">a<textPath href="#lost">bc</textPath>d</text>', root=ROOT)
    (found,) = artwork.marks
    assert isinstance(found, Words)
    assert "".join(run.text for run in found.runs) == "ad"
    assert found.fitted == (Fitted(first=0, last=len(found.runs), length=50),)


def test_words_are_referred_to() -> None:
    found = runs(
        '<defs><text id="there">la<tspan fill="red">mp</tspan><title>no</title>s</text></defs>'
        '<text y="9">two <tref xlink:href="#there" fill="blue"/> lit</text>'
    )
    assert [run.text for run in found] == ["two ", "lamps", " lit"]
    assert found[1].colour is not None
    assert found[1].colour.hex == "#0000ff"


def test_lengths_are_given_to_runs_inner_ones_first() -> None:
    found = words(
        '<text y="9" textLength="80">a<tspan textLength="2em" lengthAdjust="spacingAndGlyphs">b'
        '<tspan fill="red">c</tspan></tspan>d</text>'
    )
    assert [run.text for run in found.runs] == ["a", "b", "c", "d"]
    assert found.fitted == (
        Fitted(first=1, last=3, length=32, has_wider_letters=True),
        Fitted(first=0, last=4, length=80),
    )
    assert words('<text y="9" textLength="-8">a</text>').fitted == ()


@pytest.mark.parametrize(
    ("content", "letters", "held"),
    [
        ('o<tspan textLength="30">&#x301;be</tspan>', ["o\u0301", "b", "e"], "be"),
        ('b<tspan textLength="30">eo</tspan>&#x301;b', ["b", "e", "o\u0301", "b"], "eo\u0301"),
    ],
)
def test_a_mark_stays_on_its_letter_where_a_length_begins_or_ends_between_them(
    content: str, letters: list[str], held: str
) -> None:
    found = words(f'<text y="9">{content}</text>')
    assert [letter.text for letter in found.letters] == letters
    (fitted,) = found.fitted
    assert "".join(run.text for run in found.runs[fitted.first : fitted.last]) == held


def test_lines_go_on_over_spans_in_the_paint_of_who_asks_for_them() -> None:
    found = runs(
        '<g text-decoration="overline" fill="red">'
        '<text y="9" fill="blue" style="text-decoration: underline">a'
        '<tspan fill="lime" text-decoration="line-through">b<tspan text-decoration="underline" fill="black">c'
        "</tspan></tspan></text></g>"
    )
    lines = [{d.line: d.colour.hex for d in run.decorations if d.colour is not None} for run in found]
    # SVG 2, 11.10.1: lines asked for around the text are painted like the text
    blue, lime = "#0000ff", "#00ff00"
    assert lines == [
        {"overline": blue, "underline": blue},
        {"overline": blue, "underline": blue, "line-through": lime},
        {"overline": blue, "underline": "#000000", "line-through": lime},
    ]


def test_hidden_words_have_no_lines() -> None:
    (shown, hidden) = runs(
        '<text y="9" text-decoration="underline">a<tspan visibility="hidden">b</tspan></text>'
    )
    assert (len(shown.decorations), len(hidden.decorations)) == (1, 0)


@pytest.mark.parametrize("mode", ["tb", "tb-rl", "vertical-rl", "vertical-lr"])
def test_columns(mode: str) -> None:
    found = words(f'<g writing-mode="{mode}"><text x="5" y="9" direction="rtl">a</text></g>')
    assert found.is_vertical
    assert found.runs[0].anchor == "start"


@pytest.mark.parametrize("mode", ["lr", "lr-tb", "rl", "rl-tb", "horizontal-tb", ""])
def test_lines_across(mode: str) -> None:
    found = words(f'<text x="50" y="9" style="writing-mode:{mode}" direction="rtl">a</text>')
    assert not found.is_vertical
    assert found.runs[0].anchor == "end"


def test_baselines_are_inherited_or_their_own() -> None:
    found = runs(
        '<text y="9" dominant-baseline="hanging">a'
        '<tspan alignment-baseline="middle">b<tspan>c</tspan></tspan>'
        '<tspan dominant-baseline="central">d</tspan><tspan alignment-baseline="baseline">e</tspan></text>'
    )
    assert [run.baseline for run in found] == ["hanging", "middle", "middle", "central", "hanging"]


def test_gaps_have_units() -> None:
    (run,) = runs('<text y="9" font-size="20" letter-spacing="5%" word-spacing="0.5em">a b</text>')
    # SVG 1.1, 7.10: percentages are of the viewport, here 100 by 100
    assert (run.letter_spacing, run.word_spacing) == (5, 10)


def test_what_is_asked_of_a_font() -> None:
    (run,) = runs(
        "<text y='9' style='font-stretch: condensed; font-variant: small-caps; font-kerning: none; "
        'font-feature-settings: "liga" off, "salt" 2, "ss01"; '
        'font-variation-settings: "wght" 250, "GRAD" -50, "wght" 300; letter-spacing: normal\'>a</text>'
    )
    assert run.width == 75
    assert dict(run.features) == {"smcp": 1, "kern": 0, "liga": 0, "salt": 2, "ss01": 1}
    assert run.axes == (("wght", 300), ("GRAD", -50))
    (run,) = runs('<text y="9" font-stretch="62.5%" font-kerning="none" kerning="0">a</text>')
    # font-kerning is no presentation attribute (SVG 2, 6.6), the kerning of SVG 1.1 is one
    assert (run.width, run.features) == (62.5, (("kern", 0),))


@pytest.mark.parametrize(
    ("how", "expected"),
    [
        ("uppercase", "HARBOUR'S FÊTE STRASSE"),
        ("lowercase", "harbour's fête straße"),
        ("capitalize", "Harbour's Fête Straße"),
        ("none", "harbour's fête Straße"),
    ],
)
def test_case(how: str, expected: str) -> None:
    (run,) = runs(f'<text y="9" style="text-transform:{how}">harbour\'s fête Straße</text>')
    assert run.text == expected


def test_a_paint_of_a_span_is_seen_in_its_letters() -> None:
    found = words('<text x="5" y="50" font-size="40">I<tspan fill="red" dx="20">I</tspan></text>')
    first, second = found.outlines
    assert second.colour.hex == "#ff0000"
    assert np.ptp((second.path.segments - first.path.segments)[..., 0]) == pytest.approx(0)


NUMBERS = ("", "0", "-5", "7 8 9", "1e9", "-1e300", "1e-300", "5%", "2em", "nan", "far")
VALUES = {
    **dict.fromkeys(("x", "y", "dx", "dy", "rotate", "textLength", "font-size", "startOffset"), NUMBERS),
    **dict.fromkeys(("letter-spacing", "word-spacing", "font-stretch", "baseline-shift"), NUMBERS),
    "lengthAdjust": ("spacingAndGlyphs",),
    "writing-mode": ("tb",),
    "direction": ("rtl",),
    "unicode-bidi": ("embed", "isolate", "bidi-override", "isolate-override", "plaintext", "lost"),
    "dominant-baseline": ("central", "lost"),
    "text-decoration": ("underline overline", "blink"),
    "href": ("#way", "#t", "#lost"),
    "path": ("M0 0", "M0 0H9", "M9 9z"),
    "transform": ("scale(0)", "scale(1e200)"),
    "display": ("none",),
}
ATTRIBUTES = st.fixed_dictionaries({}, optional={k: st.sampled_from(v) for k, v in VALUES.items()})
CONTENTS = st.recursive(
    st.sampled_from(["boat", "  ", "e\u0301", "\u05d0\u05d1", "\u0301", "\u6d77\u3002", "\u200d"]),
    lambda inner: st.builds(
        lambda tag, told, held: f"<{tag} {written(told)}>{''.join(held)}</{tag}>",
        st.sampled_from(["tspan", "textPath", "tref", "a"]),
        ATTRIBUTES,
        st.lists(inner, max_size=3),
    ),
    max_leaves=5,
)


def written(attributes: dict[str, str]) -> str:
    return " ".join(f'{name}="{value}"' for name, value in attributes.items())


@given(told=ATTRIBUTES, content=st.lists(CONTENTS, min_size=1, max_size=3))
def test_whatever_words_ask_for_their_outlines_are_finite(told: dict[str, str], content: list[str]) -> None:
    artwork = read(f'{TRACK}<text id="t" {written(told)}>{"".join(content)}</text>', root=ROOT)
    assert all(np.isfinite(mark.path.segments).all() for mark in artwork.painted())


RAMP = (
    '<linearGradient id="dusk" {}><stop stop-color="#ff0000"/><stop offset="1" stop-color="#0000ff"/>'
    "</linearGradient>"
)


def test_the_box_around_a_text_is_that_of_its_letters() -> None:
    # an object of 100 % in units of the box clips to just that box (SVG 2, 8.10): advances and font heights
    artwork = read(
        '<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width="1" height="1"/></clipPath>'
        '<g clip-path="url(#c)" transform="translate(3)">'
        '<text x="10" y="50" font-size="20">HH<tspan visibility="hidden">H</tspan></text></g>'
    )
    (clip,) = artwork.clips
    box = clip.parts[0].path.box()
    assert box is not None
    # Source Sans Pro: H is 652, the ascent 984 and the descent 273 of 1000 (its hmtx and hhea tables)
    assert (box.left, box.right) == pytest.approx((13, 13 + 3 * 0.652 * 20))
    assert (box.top, box.bottom) == pytest.approx((50 - 0.984 * 20, 50 + 0.273 * 20))


def test_a_gradient_on_words_is_its_mean_over_the_letters_of_each_run() -> None:
    ramp = RAMP.format('gradientUnits="userSpaceOnUse" x1="0" x2="100"')
    found = words(
        f'{ramp}<text y="50" fill="url(#dusk)"><tspan x="4">I</tspan><tspan x="94">I</tspan></text>'
    )
    first, second = (run.colour for run in found.runs)
    assert first is not None
    assert second is not None
    # a letter I is symmetric: its mean is the colour in its middle
    middles = [mark.path.segments[..., 0].mean() for mark in found.outlines]
    for colour, middle in zip((first, second), middles, strict=True):
        assert colour.blue == pytest.approx(middle / 100, abs=2 / 255)
        assert colour.red == pytest.approx(1 - middle / 100, abs=2 / 255)


def test_a_gradient_in_the_units_of_the_box_goes_from_its_first_letter_to_its_last() -> None:
    (run, _) = runs(f'{RAMP.format("")}<text y="50">I<tspan fill="url(#dusk)">I</tspan></text>')
    assert run.colour is not None
    whole = words(f'{RAMP.format("")}<text y="50" fill="url(#dusk)">II</text>').runs[0].colour
    assert whole is not None
    assert whole.red == pytest.approx(whole.blue, abs=2 / 255)
    half = runs(f'{RAMP.format("")}<text y="50">I<tspan fill="url(#dusk)">I</tspan></text>')[1].colour
    assert half is not None
    assert (half.red, half.blue) == pytest.approx((0.25, 0.75), abs=2 / 255)


def test_words_in_bands_are_cut_in_paint_order() -> None:
    ramp = RAMP.format('gradientUnits="userSpaceOnUse" x1="0" x2="100"')
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">{ramp}'
        '<text y="80" font-size="90" fill="url(#dusk)" stroke="lime" text-decoration="line-through">'
        'M<tspan fill="black">I</tspan></text></svg>'
    )
    artwork = parse_artwork(svg.encode(), bands=2)
    pieces = [mark for mark in artwork.marks if isinstance(mark, Words)]
    painted = [[(type(m).__name__, m.colour.hex) for m in piece.outlines] for piece in pieces]
    # M is wider than 50: both bands reach it; then its stroke, its line, and the other run
    own, lines = ["Fill", "Stroke"], ["Fill", "Stroke"]
    kinds = [[kind for kind, _ in piece] for piece in painted]
    assert kinds == [["Fill"], ["Fill"], ["Stroke", *lines, *own, *lines]]
    assert painted[0] != painted[1]
    assert [piece.clip is None for piece in pieces] == [False, False, True]
    first = artwork.clips[pieces[0].clip or 0].parts[0].path.box()
    assert first is not None
    assert first.right == pytest.approx(50)


@pytest.mark.parametrize(
    ("attributes", "what", "severity"),
    [
        ('visibility="hidden"', "hidden (visibility)", Severity.LEFT_OUT),
        ('display="none"', "hidden (display: none)", Severity.LEFT_OUT),
        ('systemLanguage="xx"', "words for other readers", Severity.LEFT_OUT),
        ('font-size-adjust="0.5"', "its font-size-adjust is not followed", Severity.SIMPLIFIED),
    ],
)
def test_a_span_with_an_id_is_named_itself(attributes: str, what: str, severity: Severity) -> None:
    artwork = read(f'<text id="words">Ahoy <tspan id="boat" {attributes}>boat</tspan></text>')
    told = [remark for remark in artwork.remarks if remark.what.startswith(what)]
    assert [(remark.element, remark.severity) for remark in told] == [("boat", severity)]
