"""The cascade, colours and paints."""

from collections.abc import Callable

import pytest

from svg2chart.artwork import Fill, Stroke
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.outline import Cap, Join, StrokeStyle
from svg2chart.geometry.polygon import FillRule
from tests.svg.inline import only, painted, read, said


def colour_of(content: str) -> str:
    """Return the colour of the only mark."""
    return only(read(content)).colour.hex


@pytest.mark.parametrize(
    ("sheet", "element", "colour"),
    [
        ("", 'fill="#00ff00"', "#00ff00"),
        ("rect{fill:#0000ff}", 'fill="#00ff00"', "#0000ff"),
        ("rect{fill:#0000ff}", 'style="fill:#ff0000"', "#ff0000"),
        ("rect{fill:#0000ff !important}", 'style="fill:#ff0000"', "#0000ff"),
        ("rect{fill:#0000ff !important}", 'style="fill:#ff0000 !important"', "#ff0000"),
        (".sail{fill:#0000ff} rect{fill:#ff0000}", 'class="boat sail"', "#0000ff"),
        ("#deck{fill:#0000ff} .sail{fill:#ff0000}", 'class="sail"', "#0000ff"),
        ("rect{fill:#ff0000} rect{fill:#0000ff}", "", "#0000ff"),
        ("g rect{fill:#0000ff}", "", "#0000ff"),
        ("svg > rect{fill:#0000ff}", "", "#000000"),
        ("g > rect{fill:#0000ff}", "", "#0000ff"),
        ('rect[width="9"]{fill:#0000ff}', "", "#0000ff"),
        ("rect:first-child{fill:#0000ff}", "", "#0000ff"),
        ("@media print{rect{fill:#0000ff}}", "", "#0000ff"),
        ("/* a */ rect { fill : #0000ff ; } /* b */", "", "#0000ff"),
        ("<![CDATA[rect{fill:#0000ff}]]>", "", "#0000ff"),
    ],
)
def test_declarations_cascade(sheet: str, element: str, colour: str) -> None:
    content = f"<style>{sheet.replace('>', '>' if 'CDATA' in sheet else '&gt;')}</style>"
    artwork = read(f'{content}<g><rect id="deck" width="9" height="9" {element}/></g>')
    assert painted(artwork) == [("fill", "deck", colour)]
    assert said(artwork) == []


@pytest.mark.parametrize(
    ("outer", "inner", "colour"),
    [
        ('fill="#0000ff"', "", "#0000ff"),
        ('fill="#0000ff"', 'fill="inherit"', "#0000ff"),
        ('fill="#0000ff"', 'style="fill:initial"', "#000000"),
        ('color="#0000ff"', 'fill="currentColor"', "#0000ff"),
        ('color="#0000ff" fill="currentColor"', 'color="#ff0000"', "#ff0000"),
        ('opacity="1"', 'fill="#00F"', "#0000ff"),
    ],
)
def test_properties_are_taken_over_from_the_parent(outer: str, inner: str, colour: str) -> None:
    assert colour_of(f'<g {outer}><rect width="9" height="9" {inner}/></g>') == colour


@pytest.mark.parametrize(
    ("text", "colour", "opacity"),
    # named colours and their values: CSS Color 4, 6.1
    [
        ("orange", "#ffa500", 1),
        ("#abc", "#aabbcc", 1),
        ("#aabbcc80", "#aabbcc", 128 / 255),
        ("rgb(1, 2, 3)", "#010203", 1),
        ("rgb(100%, 0%, 50%)", "#ff0080", 1),
        ("rgba(1, 2, 3, .5)", "#010203", 0.5),
        ("hsl(120, 100%, 50%)", "#00ff00", 1),
        ("rgb(300, -5, 0)", "#ff0000", 1),
        ("#cd853f icc-color(harbour, 1)", "#cd853f", 1),
    ],
)
def test_colours_are_read_in_every_notation(text: str, colour: str, opacity: float) -> None:
    artwork = read(f'<rect id="deck" width="9" height="9" fill="{text}"/>')
    assert only(artwork).colour.hex == colour
    assert only(artwork).opacity == pytest.approx(opacity)
    assert said(artwork) == []


def test_an_unknown_colour_is_passed_over_with_a_remark() -> None:
    artwork = read('<g fill="#0000ff"><rect id="deck" width="9" height="9" fill="lamplight"/></g>')
    assert painted(artwork) == [("fill", "deck", "#0000ff")]
    assert said(artwork) == [("deck", "guessed")]
    assert "lamplight" in artwork.remarks[0].what


GRADIENT = (
    '<linearGradient id="dusk"><stop offset="{first}" stop-color="#000000"/>'
    '<stop offset="{last}" stop-color="#ff0000"/></linearGradient>'
)


@pytest.mark.parametrize(
    ("first", "last", "mean"),
    # the mean of a straight ramp is its middle; what lies beyond the stops is flat (SVG 2, 14.2.4)
    [("0", "1", 0.5), ("0", "50%", 0.75), (".5", "1", 0.25), ("0.5", "0.5", 0.5), ("-1", "2", 0.5)],
)
def test_a_gradient_is_its_mean_colour(first: str, last: str, mean: float) -> None:
    content = GRADIENT.format(first=first, last=last)
    artwork = read(f'{content}<rect id="sky" width="9" height="9" fill="url(#dusk)"/>')
    assert only(artwork).colour.red == pytest.approx(mean, abs=0.5 / 255)  # eight bits
    assert said(artwork) == [("sky", "simplified")]


def test_stops_are_found_along_the_chain_and_count_by_their_opacity() -> None:
    content = (
        '<linearGradient id="a" href="#b"/><linearGradient id="b"><stop stop-color="red" stop-opacity="0"/>'
        '<stop offset="1" stop-color="blue"/></linearGradient>'
        '<rect id="sky" width="9" height="9" fill="url(#a)"/>'
    )
    mark = only(read(content))
    # opacity t, blue t: the integral of t * t over that of t is 2/3
    assert mark.opacity == pytest.approx(0.5, abs=0.5 / 255)
    assert (mark.colour.red, mark.colour.blue) == pytest.approx((1 / 3, 2 / 3), abs=0.5 / 255)


def test_a_paint_that_is_not_there_uses_its_fallback_or_is_left_out() -> None:
    artwork = read(
        '<rect id="a" width="9" height="9" fill="url(#no) #00ff00"/>'
        '<rect id="b" width="9" height="9" fill="url(#no)"/>'
        '<rect id="c" width="9" height="9" fill="url(#no) none"/>'
    )
    assert painted(artwork) == [("fill", "a", "#00ff00")]
    assert said(artwork) == [("a", "simplified"), ("b", "left out"), ("c", "simplified")]


def stroke_of(attributes: str, root: str = 'viewBox="0 0 300 400"') -> Stroke:
    """Return the stroke of a line with the given attributes."""
    mark = only(read(f'<path id="rope" fill="none" stroke="red" d="M0 0H20V20" {attributes}/>', root=root))
    assert isinstance(mark, Stroke)
    return mark


def test_strokes_have_the_initial_values_of_the_specification() -> None:
    # SVG 2, 13.5: width 1, butt caps, miter joins with limit 4, no dashes
    assert stroke_of("").style == StrokeStyle(width=1.0, miter_limit=4.0)


def test_stroke_properties_are_kept() -> None:
    style = stroke_of(
        'stroke-width="3" stroke-linecap="round" stroke-linejoin="bevel" stroke-miterlimit="7" '
        'stroke-dasharray="1 2" stroke-dashoffset="0.5"'
    ).style
    expected = StrokeStyle(
        width=3.0, cap=Cap.ROUND, join=Join.BEVEL, miter_limit=7.0, dashes=(1.0, 2.0), dash_offset=0.5
    )
    assert style == expected


@pytest.mark.parametrize(
    ("dashes", "expected"),
    [
        ("5,3,2", (5, 3, 2, 5, 3, 2)),  # SVG 2, 13.5.6: an odd list is repeated
        ("4", (4, 4)),
        ("none", ()),
        ("0 0", ()),
        # percentages refer to the diagonal over the root of 2 (SVG 2, 8.9): 500 / sqrt 2
        ("10% 1", (50 / 2**0.5, 1)),
    ],
)
def test_dashes_are_an_even_list(dashes: str, expected: tuple[float, ...]) -> None:
    assert stroke_of(f'stroke-dasharray="{dashes}"').style.dashes == pytest.approx(expected)


def test_dashes_that_cannot_be_read_are_solid_with_a_remark() -> None:
    artwork = read('<path id="rope" fill="none" stroke="red" d="M0 0H9" stroke-dasharray="1 -2"/>')
    mark = only(artwork)
    assert isinstance(mark, Stroke)
    assert mark.style.dashes == ()
    assert said(artwork) == [("rope", "simplified")]


def test_a_scaled_group_squeezes_the_pen() -> None:
    artwork = read('<g transform="scale(3,1)"><path id="bar" d="M2 5H8" stroke="red" fill="none"/></g>')
    mark = only(artwork)
    assert isinstance(mark, Stroke)
    assert mark.pen == Affine.scaling(3, 1)
    assert mark.style.width == 1
    assert mark.path.segments[0, [0, 3]].tolist() == [[6, 5], [24, 5]]


def test_a_stroke_that_does_not_scale_is_measured_in_px_of_the_page() -> None:
    # 100 units on 50 px: one px is two units
    content = (
        '<g transform="scale(3,1)"><path d="M2 5H8" stroke="red" fill="none" '
        'vector-effect="non-scaling-stroke" stroke-width="4"/></g>'
    )
    mark = only(read(content, root='width="50" height="50" viewBox="0 0 100 100"'))
    assert isinstance(mark, Stroke)
    assert mark.pen.largest_scale == pytest.approx(2)
    assert mark.pen.determinant == pytest.approx(4)
    assert mark.style.width == 4
    assert mark.is_thin(0.001)


def test_a_hairline_is_thin_and_remarked_on() -> None:
    artwork = read('<path id="hair" style="fill:none;stroke:red;-inkscape-stroke:hairline" d="M0 0H9"/>')
    mark = only(artwork)
    assert isinstance(mark, Stroke)
    assert mark.style.width < 1
    assert mark.is_thin(0.001)
    assert said(artwork) == [("hair", "guessed")]


def test_nothing_is_stroked_without_a_width() -> None:
    artwork = read('<path id="a" stroke="red" fill="none" stroke-width="0" d="M0 0H9"/>')
    assert (artwork.marks, said(artwork)) == ((), [])


@pytest.mark.parametrize(
    ("order", "kinds"),
    [
        ("", ["fill", "stroke"]),
        ("normal", ["fill", "stroke"]),
        ("stroke", ["stroke", "fill"]),
        ("stroke fill", ["stroke", "fill"]),
        ("markers", ["fill", "stroke"]),
    ],
)
def test_paint_order_is_followed(order: str, kinds: list[str]) -> None:
    content = f'<rect width="9" height="9" stroke="red" style="paint-order:{order or "normal"}"/>'
    assert [kind for kind, _, _ in painted(read(content))] == kinds


def test_opacity_of_a_lone_mark_is_its_own_and_of_several_a_group() -> None:
    lone = read('<g opacity="0.5"><rect width="9" height="9" opacity="0.5" fill-opacity="50%"/></g>')
    assert lone.groups == ()
    assert only(lone).opacity == 0.125
    both = read(
        '<g opacity="0.5"><rect id="a" width="9" height="9" stroke="red" opacity="0.4"/>'
        '<rect id="b" width="9" height="9"/></g><rect id="c" width="9" height="9"/>'
    )
    assert [(group.opacity, group.parent) for group in both.groups] == [(0.5, None), (0.4, 0)]
    assert [mark.group for mark in both.marks] == [1, 1, 0, None]
    assert said(both) == []


def test_what_cannot_be_seen_leaves_nothing_behind() -> None:
    artwork = read(
        '<g opacity="0.5"><g opacity="0.2"><rect width="9" height="9" fill="none"/></g></g>'
        '<rect width="9" height="9" opacity="0"/><rect width="9" height="9" fill-opacity="0"/>'
    )
    assert (artwork.marks, artwork.groups, artwork.clips, artwork.remarks) == ((), (), (), ())


def test_fills_carry_no_opacity_of_their_stroke() -> None:
    artwork = read('<rect width="9" height="9" stroke="red" stroke-opacity=".25"/>')
    assert [mark.opacity for mark in artwork.marks if isinstance(mark, Fill | Stroke)] == [1, 0.25]


def test_a_pattern_is_drawn_in_the_mean_of_its_shapes_by_their_areas() -> None:
    tile = '<rect width="3" height="2" fill="#ff0000"/><rect y="2" width="3" height="1" fill="#0000ff"/>'
    artwork = read(
        f'<pattern id="p" width="3" height="3">{tile}</pattern><pattern id="q" href="#p"/>'
        '<rect id="deck" width="9" height="9" fill="url(#q)"/>'
    )
    assert painted(artwork) == [("fill", "deck", "#aa0055")]
    assert said(artwork) == [("deck", "simplified")]


@pytest.mark.parametrize("turned", [str.lower, str.upper, str.title])
def test_words_of_css_are_the_same_in_capitals(turned: Callable[[str], str]) -> None:
    # CSS Values and Units 4, 2.1: keywords are compared without regard to the case of ASCII letters
    artwork = read(
        f'<path id="rope" d="M1 1H50V50" fill="{turned("none")}" stroke="{turned("navy")}"'
        f' stroke-linejoin="{turned("bevel")}" style="stroke-linecap:{turned("square")}"/>'
        f'<path id="hull" d="M1 1H5V5z" stroke="{turned("inherit")}" fill-rule="{turned("evenodd")}"/>'
        f'<path id="away" d="M1 1H5V5z" display="{turned("none")}"/>'
    )
    rope, hull = artwork.painted()
    assert isinstance(rope, Stroke)
    assert (rope.style.join, rope.style.cap) == (Join.BEVEL, Cap.SQUARE)
    assert isinstance(hull, Fill)
    assert hull.rule is FillRule.EVENODD
    assert said(artwork) == [("away", "left out")]
