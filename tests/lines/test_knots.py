"""Small discs as French knots."""

from math import hypot

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from svg2chart.chart import Chart, Knot
from svg2chart.convert import convert
from svg2chart.grid import Extent, Grid
from svg2chart.remarks import Severity
from svg2chart.svg.read import parse_artwork
from tests.breadth import examples
from tests.drawings import BLUE, RED

SIDE = 8
places = st.integers(8, 8 * SIDE - 8).map(lambda n: n / 8)


def charted(content: str, *, wide: int = SIDE, high: int = SIDE) -> Chart:
    page = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}">{content}'
    artwork = parse_artwork(f'{page}<rect id="quay" width="1" height="1" fill="#777"/></svg>'.encode())
    return convert(artwork, Grid.fit(artwork, square=1.0, extent=Extent.PAGE))


def disc(x: float, y: float, across: float = 0.5, *, fill: str = RED, name: str = "dot") -> str:
    return f'<circle id="{name}" cx="{x}" cy="{y}" r="{across / 2}" fill="{fill}"/>'


def knots(chart: Chart) -> dict[tuple[float, float], str]:
    return {knot.at: chart.threads[knot.thread].colour for knot in chart.knots}


@given(places, places)
@settings(max_examples=examples(25))
def test_a_disc_is_a_knot_at_the_nearest_hole(x: float, y: float) -> None:
    chart = charted(disc(x, y))
    (knot,) = chart.knots
    nearest = min(hypot(x - c, y - r) for c in range(SIDE + 1) for r in range(SIDE + 1))
    assert hypot(x - knot.at[0], y - knot.at[1]) == nearest
    assert chart.remarks == ()


@given(st.lists(st.tuples(places, places), min_size=1, max_size=12))
@settings(max_examples=examples(25))
def test_no_two_knots_share_a_hole_and_whatever_gets_none_is_told(middles: list) -> None:
    colours = [f"#{number:02x}20a0" for number in range(0, 240, 20)]
    content = "".join(disc(x, y, fill=colours[i], name=f"dot{i}") for i, (x, y) in enumerate(middles))
    chart = charted(content)
    at = [knot.at for knot in chart.knots]
    assert len(set(at)) == len(at)
    told = {remark.element for remark in chart.remarks if remark.severity is Severity.LEFT_OUT}
    hidden = {
        f"dot{i}"
        for i, one in enumerate(middles)
        for other in middles[i + 1 :]
        if hypot(one[0] - other[0], one[1] - other[1]) < 0.4
    }
    # the middle of a hidden one may be under a later disc; no other is without knot and without remark
    assert len(at) + len(told | hidden) >= len(middles)
    for column, row in at:
        assert min(hypot(x - column, y - row) for x, y in middles) < 0.75


@given(st.lists(st.tuples(places, places), min_size=1, max_size=6, unique=True))
@settings(max_examples=examples(25))
def test_mirrored_discs_give_mirrored_knots(middles: list) -> None:
    def drawn(points: list) -> set:
        return set(knots(charted("".join(disc(x, y, name=f"d{i}") for i, (x, y) in enumerate(points)))))

    spread = {x for x, _ in middles}
    centre = (min(spread) + max(spread)) / 2
    if any(x % 1 == 0.5 and x == centre for x in spread):
        return  # level with the middle of all discs the choice is free
    mirrored = drawn([(SIDE - x, y) for x, y in middles])
    assert mirrored == {(SIDE - column, row) for column, row in drawn(middles)}


@pytest.mark.parametrize(
    ("mark", "is_knot"),
    [
        (disc(3.2, 3.1, 0.69), True),
        (disc(3.2, 3.1, 0.71), False),
        ('<ellipse id="dot" cx="3" cy="3" rx=".3" ry=".26" fill="red"/>', True),
        ('<ellipse id="dot" cx="3" cy="3" rx=".3" ry=".1" fill="red"/>', False),
        ('<rect id="dot" x="3" y="3" width=".6" height=".6" fill="red"/>', False),
        ('<path id="dot" d="M3 2.7l.3 .3 -.3 .3 -.3 -.3z" fill="red"/>', False),
        # a square without a corner, which covers as much of its box as a disc
        ('<path id="dot" d="M3 3h.6v.21l-.39 .39h-.21z" fill="red"/>', False),
        (disc(3.2, 3.1).replace("/>", ' data-stitch="area"/>'), False),
        (disc(3.2, 3.1).replace("/>", ' opacity=".5"/>'), False),
        ('<path id="dot" d="M3 3h0" stroke="red" stroke-width=".5" stroke-linecap="round"/>', True),
        ('<path id="dot" d="M3 3h0" stroke="red" stroke-width=".5"/>', False),
    ],
)
def test_what_is_small_and_round_is_a_knot(mark: str, *, is_knot: bool) -> None:
    chart = charted(mark)
    assert len(chart.knots) == is_knot
    if is_knot:
        assert knots(chart).keys() == {(3, 3)}
        assert chart.remarks == ()


def test_a_dotted_line_is_a_row_of_knots() -> None:
    pen = 'stroke="red" stroke-width=".5" stroke-linecap="round" stroke-dasharray="0 2"'
    chart = charted(f'<path id="rope" d="M1 3H7" {pen}/>')
    assert knots(chart).keys() == {(1, 3), (3, 3), (5, 3), (7, 3)}
    assert (chart.backstitch, chart.remarks) == ((), ())


def test_dots_as_markers_are_knots_at_their_holes() -> None:
    chart = charted(
        '<marker id="m" markerWidth="1" markerHeight="1" refX=".5" refY=".5" markerUnits="userSpaceOnUse">'
        '<circle cx=".5" cy=".5" r=".25" fill="gold"/></marker>'
        '<path id="rope" d="M1 3L4 3L6 5" fill="none" stroke="red" stroke-width=".3" marker-mid="url(#m)"'
        ' marker-end="url(#m)"/>'
    )
    assert knots(chart).keys() == {(4, 3), (6, 5)}
    assert len(chart.backstitch) == 3 + 2


def test_of_discs_on_each_other_the_largest_is_worked() -> None:
    chart = charted(disc(3, 3, 0.6, name="eye") + disc(3.1, 2.9, 0.2, fill=BLUE, name="shine"))
    assert knots(chart) == {(3, 3): RED}
    assert [(r.element, r.severity) for r in chart.remarks] == [("shine", Severity.LEFT_OUT)]
    assert knots(charted(disc(3, 3, fill=BLUE) + disc(3, 3))) == {(3, 3): RED}


def test_a_hidden_disc_is_no_knot() -> None:
    cover = '<rect id="sail" x="2" y="2" width="3" height="3" fill="#1a3a8f"/>'
    assert charted(disc(3, 3) + cover).knots == ()
    assert len(charted(cover + disc(3, 3)).knots) == 1


def test_a_third_disc_between_two_holes_is_told() -> None:
    # three discs by one hole on the corner of the page: the others have no hole that is near enough
    chart = charted(
        "".join(disc(x, 0.05, 0.2, name=f"bead{i}") for i, x in enumerate((7.9, 8.0, 7.6))), wide=8
    )
    assert len(chart.knots) == 2
    assert [r.severity for r in chart.remarks] == [Severity.LEFT_OUT]


def test_put_by_hand_a_knot_keeps_its_hole() -> None:
    told = disc(3.1, 3.1, name="told", fill=BLUE).replace("/>", ' data-stitch="knot"/>')
    chart = charted(disc(2.6, 3.0) + told)
    assert knots(chart) == {(3, 3): BLUE, (2, 3): RED}


def test_knots_have_nothing_to_do_with_the_fill_below() -> None:
    sail = '<rect id="sail" x="2" y="2" width="3" height="3" fill="#1a3a8f"/>'
    with_knot, without = charted(sail + disc(3, 3)), charted(sail)
    assert np.array_equal(with_knot.squares, without.squares)
    assert with_knot.knots == (Knot(thread=with_knot.knots[0].thread, at=(3, 3)),)
