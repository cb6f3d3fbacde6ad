"""The layers over a drawing: put on, replaced, taken out; stitches to edit are charted as they stand."""

import re
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from svg2chart.artwork import Artwork
from svg2chart.chart import Chart, Fabric
from svg2chart.convert import convert
from svg2chart.editing.layers import without_layer
from svg2chart.editing.overlay import Overlay, Shown, with_overlay
from svg2chart.editing.pagesetup import with_page
from svg2chart.editing.stitches import with_stitches
from svg2chart.errors import ArtworkError
from svg2chart.grid import Extent, Grid
from svg2chart.svg.document import INKSCAPE, LETTERS, OURS, OVERLAY, SODIPODI, STITCHES
from svg2chart.svg.read import parse_artwork
from tests.breadth import examples

SAIL = """<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="{box}">
<title>Sail</title><style>.hull {{ fill: #a33 }}</style>
<path id="sail" d="M12 4 L26 24 H12z" fill="#fd6"/><path id="hull" class="hull" d="M6 26h28l-5 9H11z"/>
<path id="mast" d="M12 3V26" stroke="#333" stroke-width=".6"/><circle id="lamp" cx="38" cy="12" r=".5"/>
<image id="photo" x="1" y="1" width="5" height="5" href="x.png"/>
</svg>
"""


def charted(data: bytes, wide: int | None) -> tuple[Chart, Artwork, Grid]:
    """Chart a drawing so wide, or as it says itself."""
    artwork = parse_artwork(data)
    if wide is None:
        assert artwork.key is not None
        grid = Grid.fit(artwork, square=artwork.key.square, extent=Extent.PAGE)
    else:
        grid = Grid.fit(artwork, wide=wide)
    return convert(artwork, grid), artwork, grid


def worked(chart: Chart) -> tuple[object, ...]:
    """Return all that is stitched, by colour."""
    colours = [thread.colour for thread in chart.threads]
    return (
        [
            [
                frozenset((s.kind, s.corner, colours[s.thread]) for s in chart.arrangement_at(row, column))
                for column in range(chart.columns)
            ]
            for row in range(chart.rows)
        ],
        frozenset((line.start, line.end, colours[line.thread]) for line in chart.backstitch),
        frozenset((knot.at, colours[knot.thread]) for knot in chart.knots),
        chart.fabric,
    )


@settings(max_examples=examples(20))
@given(st.integers(12, 60), st.sampled_from(["0 0 60 40", "-7 3 60 40", "0 0 120 80"]))
def test_stitches_to_edit_are_charted_as_the_chart_that_they_come_from(wide: int, box: str) -> None:
    data = SAIL.format(box=box).encode()
    chart, _, grid = charted(data, wide)
    made = with_stitches(data, chart, grid)
    again, artwork, _ = charted(made, None)
    assert worked(again) == worked(chart)
    assert [remark.element for remark in artwork.remarks] == ["svg2chart-stitches"]


def test_rules_of_a_drawing_for_all_its_shapes_do_not_repaint_the_stitches() -> None:
    ruled = SAIL.replace("</style>", "rect, circle {{ fill: #f00 }} path, line {{ stroke: #0f0 }}</style>")
    data = ruled.format(box="0 0 60 40").replace('fill="#fd6"', 'style="fill:#fd6;stroke:none"').encode()
    chart, _, grid = charted(data, 30)
    again, _, _ = charted(with_stitches(data, chart, grid), None)
    assert worked(again) == worked(chart)


def test_a_stitch_that_is_taken_away_or_painted_is_the_only_change() -> None:
    data = SAIL.format(box="0 0 60 40").encode()
    chart, _, grid = charted(data, 30)
    made = with_stitches(data, chart, grid).decode()
    fulls = re.findall(r'<rect id="stitches-r(\d+)c(\d+)"[^>]*data-stitch="full"/>', made)
    row, column = (int(number) - 1 for number in fulls[len(fulls) // 2])
    one = re.search(rf'<rect id="stitches-r{row + 1}c{column + 1}"[^>]*/>', made)
    assert one is not None
    bare, _, _ = charted(made.replace(one[0], "").encode(), None)
    painted, _, _ = charted(made.replace(one[0], re.sub("fill:[^;]*", "fill:#123456", one[0])).encode(), None)
    (before, *rest) = worked(chart)
    for edited, held in ((bare, set()), (painted, {"#123456"})):
        after, *others = worked(edited)
        assert others == rest
        places = [
            (r, c)
            for r in range(chart.rows)
            for c in range(chart.columns)
            if before[r][c] != after[r][c]  # type: ignore[index]
        ]
        assert places == [(row, column)]
        assert {colour for _, _, colour in after[row][column]} == held  # type: ignore[index]


def test_a_layer_of_stitches_counts_wherever_it_was_moved_to_and_not_while_it_is_hidden() -> None:
    data = SAIL.format(box="0 0 60 40").encode()
    chart, _, grid = charted(data, 30)
    made = with_stitches(data, chart, grid).decode()
    moved = re.sub(r'transform="matrix\([^)]*\)"', 'transform="translate(9 9) scale(7)"', made, count=1)
    assert worked(charted(moved.encode(), None)[0]) == worked(chart)
    hidden = made.replace('data-svg2chart="stitches"', 'data-svg2chart="stitches" style="display:none"')
    assert worked(charted(hidden.encode(), 30)[0]) == worked(chart)


LAYER = re.compile(r'<g [^>]*data-svg2chart="stitches".*(?=</svg>)', re.DOTALL)


@pytest.mark.parametrize(
    ("opening", "closing"),
    [
        ('<g style="display:none"><g>', "</g></g>"),
        ('<g display="none">', "</g>"),
        ("<defs>", "</defs>"),
    ],
    ids=["two groups up", "by an attribute", "only defined"],
)
def test_a_layer_of_stitches_in_what_is_hidden_is_hidden(opening: str, closing: str) -> None:
    """Painted red, so that it would be seen if it were charted."""
    data = SAIL.format(box="-7 3 60 40").encode()
    chart, artwork, grid = charted(data, 30)
    made = with_stitches(data, chart, grid).decode()
    red = re.sub("fill:#[0-9a-f]*", "fill:#ff0000", LAYER.search(made)[0])  # type: ignore[index]
    hidden = LAYER.sub(lambda _: opening + red + closing, made).encode()
    again, artwork_again, grid_again = charted(hidden, 30)
    assert worked(again) == worked(chart)
    alone = with_overlay(data, chart, artwork, grid, Overlay()).decode()
    over = with_overlay(hidden, again, artwork_again, grid_again, Overlay()).decode()
    matrices = [re.findall(r'transform="matrix\(([^)]*)\)"', made)[-1] for made in (alone, over)]
    assert matrices[0] == matrices[1]


def test_the_overlay_lies_on_stitches_that_lie_in_a_viewport_of_their_own() -> None:
    data = SAIL.format(box="0 0 60 40").encode()
    chart, _, grid = charted(data, 30)
    made = with_stitches(data, chart, grid).decode()
    place = 'transform="matrix(2 0 0 2 1 3)"'
    layer = re.sub(r'transform="matrix\([^)]*\)"', place, LAYER.search(made)[0], count=1)  # type: ignore[index]
    viewport = '<svg x="5" y="7" width="30" height="20" viewBox="0 0 60 40">'
    inside = LAYER.sub(lambda _: viewport + layer + "</svg>", made).encode()
    again, artwork, own_grid = charted(inside, None)
    assert worked(again) == worked(chart)
    over = with_overlay(inside, again, artwork, own_grid, Overlay()).decode()
    matrix = re.findall(r'transform="matrix\(([^)]*)\)"', over)[-1]
    # halved by the viewport, which begins at 5, 7
    assert [float(v) for v in matrix.split()] == pytest.approx([1, 0, 0, 1, 5.5, 8.5])


def test_stitches_where_nothing_can_be_shown_are_named() -> None:
    data = SAIL.format(box="0 0 60 40").encode()
    chart, artwork, grid = charted(data, 30)
    made = with_stitches(data, chart, grid).decode()
    flat = LAYER.sub(lambda layer: f'<svg id="flat" width="0" height="9">{layer[0]}</svg>', made).encode()
    again, artwork, own_grid = charted(flat, None)
    with pytest.raises(ArtworkError, match="nothing in it can be shown") as error:
        with_overlay(flat, again, artwork, own_grid, Overlay())
    assert error.value.element == "svg2chart-stitches"


@pytest.mark.parametrize("shown", Shown)
def test_the_overlay_changes_no_chart_replaces_itself_and_goes_away(shown: Shown) -> None:
    data = SAIL.format(box="-7 3 60 40").encode()
    chart, artwork, grid = charted(data, 40)
    made = with_overlay(data, chart, artwork, grid, Overlay(shown=shown))
    again, artwork_again, grid_again = charted(made, 40)
    assert worked(again) == worked(chart)
    assert grid_again == grid
    assert with_overlay(made, again, artwork_again, grid_again, Overlay(shown=shown)) == made
    assert without_layer(made, OVERLAY) == data


def test_the_overlay_lies_on_the_squares_and_has_a_leg_for_each_half() -> None:
    data = SAIL.format(box="-7 3 60 40").encode()
    chart, artwork, grid = charted(data, 40)
    made = with_overlay(data, chart, artwork, grid, Overlay()).decode()
    matrix = re.search(r'transform="matrix\(([^)]*)\)"', made)
    assert matrix is not None
    scale, _, _, _, left, top = map(float, matrix[1].split())
    assert (scale, left, top) == pytest.approx((grid.square, grid.left, grid.top), rel=1e-9)
    legs = sum(
        {"full": 2, "three-quarter": 2, "quarter": 1}[stitch.kind.value]
        for row in range(chart.rows)
        for column in range(chart.columns)
        for stitch in chart.arrangement_at(row, column)
    )
    crosses = re.findall(r'stroke-width:0.3;[^>]* d="([^"]*)"', made)
    assert sum(path.count("M") for path in crosses) == legs


FRAME = re.compile(
    r'<rect id="squares-remark-[0-9]+" x="([^"]*)" y="([^"]*)" width="([^"]*)" height="([^"]*)"'
    r"[^>]*><title[^>]*>([^:]*): "
)


def framed(data: bytes) -> dict[str, tuple[float, ...]]:
    """Return the frames by the element that is framed, in user units: left, top, width, height."""
    chart, artwork, grid = charted(data, 30)
    assert {remark.element for remark in chart.remarks} >= {"photo"}
    made = with_overlay(data, chart, artwork, grid, Overlay()).decode()
    square, air = grid.square, 0.3
    return {
        name: (
            (float(x) + air) * square + grid.left,
            (float(y) + air) * square + grid.top,
            (float(wide) - 2 * air) * square,
            (float(high) - 2 * air) * square,
        )
        for x, y, wide, high, name in FRAME.findall(made)
    }


@pytest.mark.parametrize(
    ("box", "place", "photo"),
    [
        ("0 0 60 40", "", (1, 1, 5, 5)),
        ("-7 3 60 40", "", (1, 1, 5, 5)),
        ("0 0 60 40", 'transform="translate(20 5) rotate(90) scale(2)"', (8, 7, 10, 10)),
        ("0 0 60 40", 'x="20" y="5" width="20" height="20" viewBox="0 0 10 10"', (22, 7, 10, 10)),
    ],
    ids=[
        "as it stands",
        "on a page that begins elsewhere",
        "in a group that is moved",
        "in a viewport of its own",
    ],
)
def test_what_is_remarked_on_is_framed_where_it_stands(
    box: str, place: str, photo: tuple[float, ...]
) -> None:
    """A shape, a group and a picture of pixels, of which nothing is painted."""
    drawing = SAIL.format(box=box).replace('id="lamp"', 'id="lamp" filter="url(#gone)"')
    tag = "svg" if "viewBox" in place else "g"
    drawing = drawing.replace("<image", f'<{tag} id="moved" {place}><image').replace(
        'x.png"/>', f'x.png"/></{tag}>'
    )
    drawing = drawing.replace('<path id="sail"', '<g id="soft" filter="url(#gone)"><path id="sail"').replace(
        'fill="#fd6"/>', 'fill="#fd6"/></g>'
    )
    frames = framed(drawing.encode())
    assert frames["photo"] == pytest.approx(photo, abs=1e-4)  # %g rounds to six digits
    assert frames["soft"] == pytest.approx((12, 4, 14, 20), abs=1e-4)
    assert frames["lamp"] == pytest.approx((37.5, 11.5, 1, 1), abs=1e-2)
    assert set(frames) == {"photo", "soft", "lamp"}


def test_a_hidden_layer_of_stitches_has_no_say_where_the_squares_lie() -> None:
    data = SAIL.format(box="-7 3 60 40").encode()
    chart, artwork, grid = charted(data, 30)
    alone = with_overlay(data, chart, artwork, grid, Overlay()).decode()
    stitched = with_stitches(data, chart, grid)
    hidden = stitched.replace(b'data-svg2chart="stitches"', b'data-svg2chart="stitches" style="display:none"')
    again, artwork, grid = charted(hidden, 30)
    both = with_overlay(hidden, again, artwork, grid, Overlay()).decode()
    matrices = [re.findall(r'transform="matrix\(([^)]*)\)"', made)[-1] for made in (alone, both)]
    assert matrices[0] == matrices[1]
    assert with_stitches(hidden, again, grid) == stitched


def test_both_layers_lie_over_each_other() -> None:
    data = SAIL.format(box="0 0 60 40").encode()
    chart, _, grid = charted(data, 40)
    stitched = with_stitches(data, chart, grid)
    again, artwork, own_grid = charted(stitched, None)
    both = with_overlay(stitched, again, artwork, own_grid, Overlay()).decode()
    of_stitches, of_overlay = re.findall(r'transform="matrix\(([^)]*)\)"', both)
    assert [float(v) for v in of_stitches.split()] == pytest.approx([float(v) for v in of_overlay.split()])
    assert without_layer(without_layer(both.encode(), STITCHES), OVERLAY) == data


@given(st.integers(1, 300), st.integers(1, 300), st.integers(5, 60), st.integers(1, 2))
def test_a_page_that_is_set_up_is_charted_so_many_squares_large(
    wide: int, high: int, count: int, over: int
) -> None:
    data = SAIL.format(box="-7 3 60 40").encode()
    fabric = Fabric(count=count, over=over)
    made = with_page(data, wide=wide, high=high, fabric=fabric)
    artwork = parse_artwork(made)
    assert artwork.key is not None
    grid = Grid.fit(artwork, square=artwork.key.square, extent=Extent.PAGE)
    assert (grid.columns, grid.rows) == (wide, high)
    assert (artwork.viewport.left, artwork.viewport.top) == pytest.approx((-7, 3), abs=1e-6)
    assert (artwork.key.fabric.count, artwork.key.fabric.over) == (count, over)  # type: ignore[union-attr]
    assert made.partition(b"<title>")[2] == data.partition(b"<title>")[2]
    assert with_page(made, wide=wide, high=high, fabric=fabric) == made


def test_a_grid_that_was_hidden_is_shown_on_a_page_that_is_set_up() -> None:
    view = f'<n:namedview xmlns:n="{SODIPODI[1:-1]}" showgrid="false" pagecolor="#fff"/><title>'
    data = SAIL.format(box="0 0 60 40").replace("<title>", view).encode()
    made = with_page(data, wide=10, high=10, fabric=Fabric())
    (shown,) = ET.fromstring(made).findall(f"{SODIPODI}namedview")
    assert (shown.attrib, len(shown)) == ({"showgrid": "true", "pagecolor": "#fff"}, 1)


def test_the_page_of_a_drawing_with_stitches_to_edit_is_its_own() -> None:
    data = SAIL.format(box="-7 3 120 80").encode()
    chart, _, grid = charted(data, 30)
    stitched = with_stitches(data, chart, grid)
    made = with_page(stitched, wide=10, high=10, fabric=Fabric())
    assert without_layer(made, STITCHES) == with_page(data, wide=10, high=10, fabric=Fabric())


def test_a_stretched_page_is_refused() -> None:
    data = SAIL.format(box="0 0 30 40").replace("viewBox", 'preserveAspectRatio="none" viewBox').encode()
    with pytest.raises(ArtworkError, match="stretched"):
        with_page(data, wide=10, high=10, fabric=Fabric())


def test_what_a_drawing_says_of_all_strokes_does_not_reach_the_layers_of_ours() -> None:
    """Read without the marks of the layers, so that all that an editor shows is read."""
    alone = SAIL.format(box="0 0 60 40").replace(
        "<title>", '<g stroke="none" stroke-dasharray="none"><title>'
    )
    alone = alone.replace("</svg>", "</g></svg>")
    stroked = alone.replace("<svg", '<svg stroke="#00ff00" stroke-width="2" stroke-dasharray="1 3"', 1)
    painted = []
    for drawing in (alone, stroked):
        data = drawing.encode()
        chart, artwork, grid = charted(data, 30)
        over = with_overlay(data, chart, artwork, grid, Overlay(strength=1))
        shown = [
            made.replace(b"data-svg2chart", b"data-was") for made in (over, with_stitches(data, chart, grid))
        ]
        painted.append([list(parse_artwork(made).painted()) for made in shown])
    assert painted[0] == painted[1]
    assert all(len(marks) > 3 for marks in painted[0])


@pytest.mark.parametrize("declared", ["", 'xmlns:inkscape-old="urn:old"', 'xmlns:sodipodi="urn:other"'])
def test_a_page_is_set_up_whatever_prefixes_a_drawing_has(declared: str) -> None:
    data = SAIL.format(box="0 0 60 40").replace("<svg", f"<svg {declared}", 1).encode()
    made = with_page(data, wide=10, high=10, fabric=Fabric())
    (view,) = ET.fromstring(made).findall(f"{SODIPODI}namedview")
    assert [grid.tag for grid in view] == [f"{INKSCAPE}grid"]
    assert view.get("showgrid") == "true"
    assert with_page(made, wide=10, high=10, fabric=Fabric()) == made


def test_a_layer_of_stitches_without_its_squares_is_told() -> None:
    data = SAIL.format(box="0 0 60 40").replace("<title>", '<g id="s" data-svg2chart="stitches"/><title>')
    (remark,) = (r for r in parse_artwork(data.encode()).remarks if r.element == "s")
    assert "do not say how many squares" in remark.what


def test_the_manual_names_every_mark_of_ours() -> None:
    page = (Path(__file__).parents[2] / "svg2chart" / "docs" / "editor.md").read_text("utf-8")
    assert set(re.findall(f'{OURS}="([a-z]+)"', page)) == {OVERLAY, STITCHES, LETTERS}
