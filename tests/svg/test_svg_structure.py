"""Groups, layers, copies, nested viewports, clips and markers."""

from dataclasses import replace
from math import sqrt

import pytest

from svg2chart.artwork import Artwork, Fill
from svg2chart.geometry.box import Box, box_around
from svg2chart.geometry.polygon import FillRule
from tests.svg.inline import INKSCAPE, XLINK, corners, only, painted, read, region, said

INK = f'{INKSCAPE} viewBox="0 0 100 100"'
BOX = '<rect id="deck" width="10" height="10"/>'


def box_of(content: str, root: str = 'viewBox="0 0 100 100"') -> tuple[float, ...]:
    """Return left, top, right and bottom of the only mark."""
    box = only(read(content, root=root)).path.box()
    assert isinstance(box, Box)
    return (box.left, box.top, box.right, box.bottom)


@pytest.mark.parametrize(
    ("transform", "box"),
    [
        ("translate(3)", (3, 0, 13, 10)),
        ("translate(3 4)", (3, 4, 13, 14)),
        ("translate(3,4) scale(2)", (3, 4, 23, 24)),
        ("scale(2) translate(3,4)", (6, 8, 26, 28)),
        ("scale(2,3)", (0, 0, 20, 30)),
        ("translate(50 50) rotate(90)", (40, 50, 50, 60)),
        ("rotate(180 20 20)", (30, 30, 40, 40)),
        ("matrix(1 0 0 2 5 6)", (5, 6, 15, 26)),
        ("translate(20) skewX(45)", (20, 0, 40, 10)),
        ("skewY(45)", (0, 0, 10, 20)),
        (" translate( 3 , 4 ),scale(1)\n", (3, 4, 13, 14)),
    ],
)
def test_transforms_apply_from_the_right(transform: str, box: tuple[float, ...]) -> None:
    assert box_of(f'<g transform="{transform}">{BOX}</g>') == pytest.approx(box)


def test_a_transform_that_cannot_be_read_is_passed_over_with_a_remark() -> None:
    for transform in ("spin(3)", "translate(1 2 3)", "rotate(", "scale(2) x"):
        artwork = read(f'<rect id="deck" width="10" height="10" transform="{transform}"/>')
        assert corners(only(artwork).path)[2] == (10, 10)
        assert said(artwork) == [("deck", "guessed")]


def test_a_flat_transform_leaves_nothing() -> None:
    artwork = read(f'<g id="fold" transform="scale(0 1)">{BOX}</g>')
    assert (artwork.marks, said(artwork)) == ((), [("fold", "left out")])


def test_layers_are_named_by_their_labels() -> None:
    artwork = read(
        '<g inkscape:groupmode="layer" inkscape:label="sea &amp; shore"><rect id="a" width="9" height="9"/>'
        '<g inkscape:groupmode="layer" inkscape:label="lamps"><g><rect id="b" width="9" height="9"/></g></g>'
        '<rect id="c" width="9" height="9"/></g><rect id="d" width="9" height="9"/>',
        root=INK,
    )
    assert [mark.layer for mark in artwork.marks] == ["sea & shore", "lamps", "sea & shore", ""]
    assert said(artwork) == []


def test_two_layers_of_one_label_are_remarked_on() -> None:
    layer = '<g id="{}" inkscape:groupmode="layer" inkscape:label="boats"/>'
    artwork = read(layer.format("l1") + layer.format("l2"), root=INK)
    assert said(artwork) == [("l2", "guessed")]


def test_hidden_layers_and_elements_are_left_out_with_a_remark() -> None:
    artwork = read(
        '<g id="sketch" inkscape:groupmode="layer" inkscape:label="sketch" style="display:none">'
        '<rect id="a" width="9" height="9"/></g>'
        '<g visibility="hidden"><rect id="b" width="9" height="9"/>'
        '<rect id="c" width="9" height="9" visibility="visible"/></g>',
        root=INK,
    )
    assert [mark.element for mark in artwork.marks] == ["c"]
    assert said(artwork) == [("sketch", "left out"), ("b", "left out")]
    assert artwork.remarks[0].layer == "sketch"


def test_elements_without_an_id_are_named_by_their_place() -> None:
    artwork = read(
        '<defs><path d="M0 0"/></defs><path d="M0 0H1V1"/><rect width="9" height="9"/>'
        '<g><path d="M0 0H2V2"/></g>'
    )
    assert [mark.element for mark in artwork.marks] == ["path 2", "rect 1", "path 3"]


def test_copies_are_named_by_their_use_and_styled_by_it() -> None:
    artwork = read(
        f'<defs>{BOX}<g id="pair"><rect id="p" width="1" height="1"/><rect width="1" height="1"/></g></defs>'
        '<use id="c1" xlink:href="#deck" x="5" y="6" fill="#ff0000"/>'
        '<use href="#deck" transform="scale(2)" x="1"/>'
        '<use id="c2" href="#pair"/><use href="#pair"/>',
        root=f'{XLINK} viewBox="0 0 100 100"',
    )
    assert painted(artwork)[:2] == [("fill", "c1", "#ff0000"), ("fill", "deck", "#000000")]
    assert [mark.element for mark in artwork.marks[2:]] == ["c2", "c2", "p", "rect 3"]
    assert corners(artwork.marks[0].path)[0] == (5, 6)
    assert said(artwork) == []


def test_copies_of_nothing_and_of_themselves_are_left_out_with_a_remark() -> None:
    artwork = read(
        '<g id="g"><use id="a" href="#g"/></g><use id="b" href="#gone"/><use id="c" href="boats.svg#hull"/>'
        '<use id="d"/><g id="x"><use id="e" href="#y"/></g><g id="y"><use id="f" href="#x"/></g>'
    )
    assert artwork.marks == ()
    assert {severity for _, severity in said(artwork)} == {"left out"}
    assert {element for element, _ in said(artwork)} >= {"a", "b", "c", "d"}


def test_a_symbol_is_fitted_into_its_copy() -> None:
    content = (
        '<symbol id="flag" viewBox="0 0 10 12"><rect width="10" height="12"/></symbol>'
        '<use id="sym" href="#flag" x="20" y="50" width="20" height="24"/>'
    )
    artwork = read(content)
    assert box_of(content) == pytest.approx((20, 50, 40, 74))
    (clip,) = artwork.clips
    assert clip.parts[0].path.box() == Box(20, 50, 40, 74)
    assert artwork.marks[0].clip == 0


def test_a_nested_drawing_has_its_own_units_and_edge() -> None:
    content = (
        '<svg x="10" y="20" width="40" height="20" viewBox="0 0 4 4"><rect width="50%" height="100%"/></svg>'
    )
    # 4 units into 40 x 20: 5 to a unit, shifted by 10 to the middle
    assert box_of(content) == pytest.approx((20, 20, 30, 40))
    seen = read(content.replace("<svg ", '<svg overflow="visible" '))
    assert (len(read(content).clips), len(seen.clips)) == (1, 0)


def test_switch_shows_its_first_fitting_child() -> None:
    artwork = read(
        '<switch id="s"><rect id="a" width="9" height="9" systemLanguage="xx"/>'
        '<rect id="b" width="9" height="9" requiredExtensions="http://example.org/"/>'
        '<rect id="c" width="9" height="9"/><rect id="d" width="9" height="9"/></switch>'
    )
    assert [mark.element for mark in artwork.marks] == ["c"]


def test_what_describes_a_switch_is_no_choice_of_it() -> None:
    artwork = read(
        '<switch><title>Harbour</title><extra xmlns="urn:quay"/><rect id="a" width="9" height="9"/></switch>'
    )
    assert [mark.element for mark in artwork.marks] == ["a"]
    assert said(artwork) == []


def clipped_region(artwork: Artwork, index: int | None) -> object:
    """Return a clip as shapely has it, None for no clip."""
    if index is None:
        return None
    clip = artwork.clips[index]
    parts = []
    for part in clip.parts:
        shape = region([part.path])
        inner = clipped_region(artwork, part.clip)
        parts.append(shape if inner is None else shape.intersection(inner))
    whole = parts[0]
    for part_region in parts[1:]:
        whole = whole.union(part_region)
    outer = clipped_region(artwork, clip.within)
    return whole if outer is None else whole.intersection(outer)


@pytest.mark.parametrize(
    ("clip", "attributes", "area"),
    [
        ('<clipPath id="c"><rect width="10" height="20"/></clipPath>', "", 200),
        (
            '<clipPath id="c"><rect width="9" height="9"/><rect x="20" width="9" height="9"/></clipPath>',
            "",
            162,
        ),
        ('<clipPath id="c" transform="scale(2)"><rect width="10" height="20"/></clipPath>', "", 800),
        (
            '<clipPath id="c"><rect width="9" height="9" display="none"/>'
            '<rect width="2" height="2"/></clipPath>',
            "",
            4,
        ),
        # the box of the clipped element is 40 x 60
        (
            '<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width=".5" height=".5"/></clipPath>',
            "",
            600,
        ),
        (
            '<clipPath id="b"><rect width="5" height="99"/></clipPath>'
            '<clipPath id="c" clip-path="url(#b)"><rect width="10" height="20"/></clipPath>',
            "",
            100,
        ),
        (
            '<clipPath id="b"><rect width="5" height="99"/></clipPath>'
            '<clipPath id="c"><rect width="10" height="20" clip-path="url(#b)"/><rect y="50" width="10" '
            'height="1"/></clipPath>',
            "",
            110,
        ),
        (
            '<clipPath id="c"><use href="#part" x="1"/></clipPath>'
            '<defs><rect id="part" width="4" height="5"/></defs>',
            "",
            20,
        ),
        ('<clipPath id="c"><rect width="10" height="20"/></clipPath>', 'transform="scale(.5)"', 50),
    ],
)
def test_clips_cover_the_area_they_should(clip: str, attributes: str, area: float) -> None:
    artwork = read(f'{clip}<rect id="view" width="40" height="60" clip-path="url(#c)" {attributes}/>')
    found = clipped_region(artwork, only(artwork).clip)
    assert found.area == pytest.approx(area)
    assert said(artwork) == []


def test_clips_of_groups_are_cut_by_those_around_them() -> None:
    artwork = read(
        '<clipPath id="a"><rect width="30" height="30"/></clipPath><clipPath id="b">'
        '<path clip-rule="evenodd" '
        'd="M10 10H50V50H10z"/></clipPath><g clip-path="url(#a)"><g clip-path="url(#b)">'
        '<rect id="x" width="99" height="99"/></g><rect id="y" width="99" height="99"/></g>'
    )
    assert [mark.clip for mark in artwork.marks] == [1, 0]
    assert [clip.within for clip in artwork.clips] == [None, 0]
    assert artwork.clips[1].parts[0].rule is FillRule.EVENODD
    assert clipped_region(artwork, 1).area == pytest.approx(400)


def test_an_empty_clip_leaves_nothing_and_a_missing_one_everything() -> None:
    artwork = read(
        '<clipPath id="c"/><rect id="a" width="9" height="9" clip-path="url(#c)"/>'
        '<rect id="b" width="9" height="9" clip-path="url(#no)"/>'
    )
    assert [mark.element for mark in artwork.marks] == ["b"]
    assert said(artwork) == [("a", "left out"), ("b", "simplified")]


MARKER = (
    '<marker id="knot" markerWidth="2" markerHeight="2" refX="1" refY="1" '
    'orient="{orient}" markerUnits="{units}">'
    '<rect id="m" width="2" height="1"/></marker>'
)


@pytest.mark.parametrize(("units", "side"), [("strokeWidth", 6), ("userSpaceOnUse", 2)])
def test_markers_stand_on_the_points_of_a_path(units: str, side: float) -> None:
    artwork = read(
        MARKER.format(orient="0", units=units)
        + '<path id="rope" d="M10 10H50V50" fill="none" stroke="red" stroke-width="3" '
        'style="marker-start:url(#knot);marker-mid:url(#knot);marker-end:url(#knot)"/>'
    )
    fills = [mark for mark in artwork.marks if isinstance(mark, Fill)]
    assert {mark.element for mark in fills} == {"rope"}
    corner = side / 2
    expected = [(10 - corner, 10 - corner), (50 - corner, 10 - corner), (50 - corner, 50 - corner)]
    assert [corners(mark.path)[0] for mark in fills] == expected
    assert said(artwork) == []


def test_markers_turn_with_their_path() -> None:
    artwork = read(
        MARKER.format(orient="auto", units="userSpaceOnUse")
        + '<path id="rope" d="M10 10H50V50" fill="none" marker-mid="url(#knot)" marker-end="url(#knot)"/>'
    )
    middle, end = (corners(mark.path)[0] for mark in artwork.painted())
    # the upper left corner (-1, -1) of the marker turned by 45 and by 90 degrees about (1, 1)
    assert middle == pytest.approx((50, 10 - sqrt(2)), abs=1e-6)
    assert end == (51, 49)


def test_points_inside_an_arc_carry_no_marker() -> None:
    artwork = read(
        MARKER.format(orient="0", units="userSpaceOnUse")
        + '<path id="rope" d="M10 40A20 20 0 0 1 50 40" fill="none" marker-mid="url(#knot)"/>'
    )
    assert artwork.marks == ()


def test_the_first_point_of_a_closed_contour_carries_one_marker() -> None:
    artwork = read(
        MARKER.format(orient="0", units="userSpaceOnUse")
        + '<path id="sails" d="M10 10H20V20Z M30 10H40V20Z" style="marker-start:url(#knot);'
        'marker-mid:url(#knot)"/>'
    )
    places = [corners(mark.path)[0] for mark in artwork.painted() if mark.element != "path 1"][1:]
    assert places == [(x - 1, y - 1) for x, y in [(10, 10), (20, 10), (20, 20), (30, 10), (40, 10), (40, 20)]]


def test_context_paints_are_those_of_the_user() -> None:
    artwork = read(
        '<defs><rect id="r" width="9" height="9" fill="context-stroke"/></defs>'
        '<use id="u" href="#r" fill="red" stroke="#0000ff"/>'
    )
    assert painted(artwork)[0] == ("fill", "u", "#0000ff")


@pytest.mark.parametrize(
    ("content", "element", "severity", "is_drawn"),
    [
        (f'<g id="x" filter="url(#f)">{BOX}</g>', "x", "simplified", True),
        (f'<g id="x" mask="url(#f)">{BOX}</g>', "x", "simplified", True),
        (f'<g id="x" style="mix-blend-mode:fog">{BOX}</g>', "x", "simplified", True),
        ('<image id="x" width="5" height="5"/>', "x", "left out", False),
        ('<foreignObject id="x"/>', "x", "left out", False),
        ('<script id="x">alert()</script>', "x", "left out", False),
        ('<flowRoot id="x"/>', "x", "left out", False),
        ('<lantern id="x"/>', "x", "left out", False),
        (
            '<rect id="x" width="9" height="9"><animate attributeName="x" to="50"/></rect>',
            "x",
            "simplified",
            True,
        ),
        ('<rect id="x" x="200" width="9" height="9"/>', "x", "left out", False),
        ('<rect id="x" x="1e30" width="9" height="9"/>', "x", "left out", False),
    ],
)
def test_what_is_not_followed_is_remarked_on(
    content: str, element: str, severity: str, *, is_drawn: bool
) -> None:
    artwork = read(content)
    assert said(artwork) == [(element, severity)]
    assert bool(artwork.marks) == is_drawn


def test_what_editors_keep_for_themselves_is_passed_over_in_silence() -> None:
    artwork = read(
        "<title>Feast</title><desc>x</desc><metadata><x/></metadata><inkscape:grid/>"
        '<g data-svg2chart="overlay"><rect width="9" height="9"/></g>',
        root=INK,
    )
    assert (artwork.marks, artwork.remarks, artwork.title) == ((), (), "Feast")


def inked(content: str) -> Artwork:
    return read(f'<g id="boats">{content}{BOX}</g><use href="#inner" id="again"/>', root=INK)


@pytest.mark.parametrize(
    "inside",
    [
        '<rect id="inner" width="9" height="9"/>',
        '<rect id="deck" width="50" height="50"/>',  # the id of an element of the drawing
        "<style>rect { fill: red }</style>",
        '<g inkscape:groupmode="layer" inkscape:label="Squares"/>' * 2,
        "<inkscape:page/><inkscape:page/>",
        "<text>1</text><image/><lantern/><g><g/></g>",
        '<path d="M0 0H"/><rect width="harbour"/>',
    ],
)
def test_what_is_laid_over_the_drawing_is_never_read(inside: str) -> None:
    plain = inked("")
    for kind in ("g", "svg", "a"):
        overlay = inked(f'<{kind} data-svg2chart="overlay">{inside}</{kind}>')
        assert replace(overlay, sha256="") == replace(plain, sha256="")


def test_places_of_elements_do_not_count_what_is_laid_over_the_drawing() -> None:
    content = '<g data-svg2chart="overlay"><path d="M0 0H9V9z"/></g><path d="M0 0H9V9z"/>'
    assert painted(read(content)) == [("fill", "path 1", "#000000")]


def test_several_pages_are_remarked_on() -> None:
    artwork = read("<inkscape:page/><inkscape:page/>", root=INK)
    assert said(artwork) == [("", "left out")]


@pytest.mark.parametrize(
    ("content", "box"),
    [
        # CSS Transforms 1, 6: the origin is counted from the box's top left corner, percentages of its size
        ('<rect x="20" y="20" width="10" height="4" style="transform:rotate(90deg);{}"/>', (23, 17, 27, 27)),
        (
            '<g style="transform:scale(-1,1);{}"><path d="M40 5h2v1h-2z"/><path d="M48 5h2v1h-2z"/></g>',
            (40, 5, 50, 6),
        ),
        ('<g style="transform:rotate(90deg);{}"><use href="#bar" x="10"/></g>', (13, -3, 17, 7)),
    ],
    ids=["rectangle", "mirrored group", "copy"],
)
def test_what_turns_about_its_own_box_stays_where_it_is(
    content: str, box: tuple[float, float, float, float]
) -> None:
    bar = '<defs><rect id="bar" width="10" height="4"/></defs>'
    told = "transform-box:fill-box;transform-origin:center"
    artwork = read(bar + content.format(told), root='viewBox="-9 -9 99 99"')
    assert box_around(mark.path.box() for mark in artwork.painted()) == Box(*map(float, box))
    assert artwork.remarks == ()


def test_what_turns_about_its_own_box_turns_about_the_corner_where_no_origin_is_told() -> None:
    content = '<rect x="20" y="20" width="10" height="4" transform="rotate(180)" style="{}"/>'
    assert box_of(content.format("transform-box:fill-box")) == (10, 16, 20, 20)
