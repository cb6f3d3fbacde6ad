"""What elements are told to be by data-stitch: read from themselves or from what holds them."""

import pytest

from svg2chart.artwork import Artwork, Fill, StitchAs, Stroke
from svg2chart.fit import lay_on_grid
from svg2chart.grid import Extent, Grid
from svg2chart.remarks import Severity
from tests.svg.inline import INKSCAPE, read

BAR = '<path d="M1 2H7" stroke="#c62828" stroke-width="{}" fill="none" {}/>'


def art(content: str) -> Artwork:
    """Return a drawing of 10 by 10 squares."""
    return read(content, root=f'viewBox="0 0 10 10" {INKSCAPE}')


def kinds(artwork: Artwork) -> list[StitchAs | None]:
    return [mark.stitch_as for mark in artwork.painted()]


@pytest.mark.parametrize("kind", [kind for kind in StitchAs if kind is not StitchAs.LEAVE_OUT])
def test_an_element_takes_it_from_itself_its_group_its_layer_or_the_page(kind: StitchAs) -> None:
    told = f'data-stitch="{kind.value}"'
    box = '<rect width="1" height="1" {}/>'
    layer = '<g inkscape:groupmode="layer" inkscape:label="Sky" {}><g>{}</g></g>'
    for drawing in (
        box.format(told),
        f"<g {told}>{box.format('')}</g>",
        layer.format(told, box.format("")),
        f"<g data-stitch='area'>{box.format(told)}</g>",
        f'<defs><rect id="r" width="1" height="1"/></defs><use href="#r" {told}/>',
        f'<defs><rect id="r" width="1" height="1" {told}/></defs><use href="#r" data-stitch="area"/>',
    ):
        artwork = art(drawing)
        assert (kinds(artwork), artwork.remarks) == ([kind], ()), drawing
    assert kinds(art(box.format(""))) == [None]


def test_what_is_left_out_leaves_no_trace_but_for_what_is_told_otherwise_in_it() -> None:
    kept = '<rect id="kept" width="1" height="1" data-stitch="area"/>'
    gone = '<rect width="1" height="1" filter="url(#f)"/><image href="photo.png" width="2" height="2"/>'
    artwork = art(f'<g data-stitch="leave-out">{gone}<g>{gone}{kept}</g></g>')
    assert [mark.element for mark in artwork.painted()] == ["kept"]
    assert artwork.remarks == ()


def test_a_word_that_is_not_known_is_a_remark() -> None:
    artwork = art('<rect id="odd" width="1" height="1" data-stitch="crewel"/>')
    assert kinds(artwork) == [None]
    assert [(r.element, r.severity) for r in artwork.remarks] == [("odd", Severity.GUESSED)]


def test_one_part_makes_what_is_told_to_be_one_thing() -> None:
    both = '<rect width="1" height="1" fill="#c62828" stroke="#1a3a8f" data-stitch="{}"/>'
    parts = {kind: [type(mark) for mark in art(both.format(kind.value)).painted()] for kind in StitchAs}
    assert parts == {
        StitchAs.AREA: [Fill, Stroke],
        StitchAs.BACKSTITCH: [Stroke],
        StitchAs.BACKSTITCH_AS_DRAWN: [Stroke],
        StitchAs.KNOT: [Fill],
        StitchAs.LEAVE_OUT: [],
        StitchAs.AREA_AS_DRAWN: [Fill],
        StitchAs.FULL: [Fill],
        StitchAs.THREE_QUARTER: [Fill],
        StitchAs.QUARTER: [Fill],
    }
    frame = '<rect id="r" width="1" height="1" fill="none" stroke="#1a3a8f" data-stitch="full"/>'
    artwork = art(frame)
    assert [(r.element, r.severity) for r in artwork.remarks] == [("r", Severity.LEFT_OUT)]
    assert list(artwork.painted()) == []


def test_a_stroke_is_a_line_or_an_area_as_told_whatever_its_width() -> None:
    for width in (0.1, 0.6, 0.7, 3.0):
        for told, lines in (("backstitch", 1), ("area", 0)):
            artwork = art(BAR.format(width, f'data-stitch="{told}"'))
            laid = lay_on_grid(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE))
            assert (len(laid.lines), len(laid.shapes)) == (lines, 1 - lines)


def test_the_size_of_the_chart_follows_what_strokes_are_told_to_be() -> None:
    # a line reaches from 1 to 7, an area 3 wide with its square ends as far and from 0.5 to 3.5 across
    line = Grid.fit(art(BAR.format(3, 'data-stitch="backstitch"')), square=1)
    area = Grid.fit(art(BAR.format(3, 'data-stitch="area"')), square=1)
    assert (line.columns, line.rows, area.columns, area.rows) == (6, 1, 6, 4)
    thin = Grid.fit(art(BAR.format(0.5, 'data-stitch="area"')), square=0.25)
    assert (thin.columns, thin.rows) == (24, 2)


def test_a_fill_told_to_be_backstitch_is_the_line_around_it() -> None:
    artwork = art('<path d="M1 1H4V3" data-stitch="backstitch"/>')
    laid = lay_on_grid(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE))
    assert [(points.tolist(), closed) for points, closed in laid.lines[0].lines.chains()] == [
        ([[1, 1], [4, 1], [4, 3]], True)
    ]


def test_a_knot_lies_in_the_middle_of_its_mark_unless_it_is_covered() -> None:
    dots = '<circle cx="{}" cy="2.5" r="0.3" fill="#c62828" data-stitch="knot"/>'
    cover = '<rect x="4" y="1" width="3" height="3"/>'
    artwork = art(dots.format(2) + dots.format(5) + cover + dots.format(6))
    laid = lay_on_grid(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE))
    assert [dot.middle for dot in laid.dots] == [(2, 2.5), (6, 2.5)]
    assert len(laid.shapes) == 1


def test_words_are_areas_or_lines_but_no_single_stitches() -> None:
    words = '<text y="5" font-size="4" font-family="Source Sans Pro" data-stitch="{}">O</text>'
    for told, kind in (("area", StitchAs.AREA), ("backstitch", StitchAs.BACKSTITCH), ("full", None)):
        assert kinds(art(words.format(told))) == [kind]
    assert kinds(art(words.format("leave-out"))) == []


def test_a_stitch_off_the_page_or_without_a_fill_is_told_of_once() -> None:
    box = '<rect id="one" x="{}" width="1" height="1" data-stitch="full" fill="{}"/>'
    for x, fill, why in ((10, "#c62828", "outside the page"), (2, "none", "no fill")):
        (remark,) = art(box.format(x, fill)).remarks
        assert (remark.element, remark.severity) == ("one", Severity.LEFT_OUT)
        assert why in remark.what
