"""A chart drawn as SVG and charted again is the same chart; an edit by hand appears exactly and alone."""

from dataclasses import replace
from xml.etree import ElementTree as ET

import numpy as np
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from svg2chart.chart import Backstitch, Chart, Corner, Fabric, Knot, Stitch, StitchKind, Thread
from svg2chart.chartdrawing import draw_chart
from svg2chart.colour import Colour, ciede2000, lab
from svg2chart.convert import convert
from svg2chart.grid import Extent, Grid
from svg2chart.svg.read import parse_artwork
from tests.breadth import examples
from tests.strategies import charts, colours

SVG = "{http://www.w3.org/2000/svg}"
# of XML 1.0: what text may hold; spaces at the ends and doubled ones are lost in titles
LOST = {chr(number) for number in range(32)} | {"\ufffe", "\uffff"}

Square = tuple[int, int]
Worked = tuple[str, object, object]


@st.composite
def drawable(draw: st.DrawFn) -> Chart:
    """Draw charts with a thread to each colour and something on them."""
    chart = draw(charts())
    assume(chart.threads and (chart.squares.any() or chart.backstitch or chart.knots))
    count = len(chart.threads)
    own = draw(st.lists(colours, min_size=count, max_size=count, unique=True))
    threads = tuple(replace(t, colour=c) for t, c in zip(chart.threads, own, strict=True))
    return replace(chart, threads=threads)


def charted(drawing: bytes) -> Chart:
    artwork = parse_artwork(drawing)
    assert artwork.key is not None
    return convert(artwork, Grid.fit(artwork, square=artwork.key.square, extent=Extent.PAGE))


def test_what_is_drawn_over_a_stitch_and_not_told_to_be_one_is_told_the_way_out() -> None:
    """A triangle over a quarter of a full stitch leaves it; told to be a stitch it takes the place."""
    stitch = '<rect x="{}" y="{}" width="1" height="1" fill="#1a3a8f" data-stitch="full"/>'
    stitches = "".join(stitch.format(k % 6, k // 6) for k in range(36))
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="6" height="6" viewBox="0 0 6 6" data-square="1">'
        f'{stitches}<path id="mine" d="M2 2h.8v.6z" fill="#c62828" {{}}/></svg>'
    )
    chart = charted(drawing.format("").encode())
    assert [held.kind.value for held in chart.arrangement_at(2, 2)] == ["full"]
    [remark] = chart.remarks
    assert remark.element == "mine"
    assert "stands: data-stitch makes it another, at row 3, column 3" in remark.what
    told = charted(drawing.format('data-stitch="three-quarter"').encode())
    assert "three-quarter" in [held.kind.value for held in told.arrangement_at(2, 2)]
    assert not any("data-stitch" in remark.what for remark in told.remarks)


def colour_of(chart: Chart, held: Stitch) -> str:
    return chart.threads[held.thread].colour


def apart(one: str, other: str) -> float:
    return float(ciede2000(*lab([Colour.from_hex(one), Colour.from_hex(other)])))


def stitches(chart: Chart) -> dict[Square, set[Worked]]:
    """Return what each square that is not bare holds."""
    return {
        (row, column): {
            (s.kind.value, s.corner, colour_of(chart, s)) for s in chart.arrangement_at(row, column)
        }
        for row in range(chart.rows)
        for column in range(chart.columns)
        if chart.arrangement_at(row, column)
    }


def lines(chart: Chart) -> dict[frozenset, str]:
    """Return the colour of the backstitch between two holes; the uppermost, that of the last thread."""
    ordered = sorted(chart.backstitch, key=lambda line: line.thread)
    return {frozenset((b.start, b.end)): chart.threads[b.thread].colour for b in ordered}


def knots(chart: Chart) -> dict[tuple[float, float], str]:
    return {k.at: chart.threads[k.thread].colour for k in sorted(chart.knots, key=lambda knot: knot.thread)}


def used(chart: Chart) -> list[Thread]:
    numbers = {s.thread for number in set(chart.squares.flat) for s in chart.arrangements[number]}
    numbers |= {mark.thread for mark in (*chart.backstitch, *chart.knots)}
    return [chart.threads[number] for number in sorted(numbers)]


LONG_AND_LOW = Chart(
    fabric=Fabric(count=45),  # a square is 0.56444... mm
    threads=(Thread(letter="A", code="1", name="Red", colour="#c62828", symbol="disc"),),
    arrangements=((),),
    squares=np.zeros((1, 10), np.int32),
    knots=(Knot(thread=0, at=(0.0, 0.0)),),
)


@settings(max_examples=examples(30))  # each charts a drawing
@given(drawable())
@example(LONG_AND_LOW)
def test_a_chart_drawn_and_charted_again_is_the_same(chart: Chart) -> None:
    again = charted(draw_chart(chart))
    assert (again.rows, again.columns, again.fabric) == (chart.rows, chart.columns, chart.fabric)
    assert stitches(again) == stitches(chart)
    assert lines(again) == lines(chart)
    assert knots(again) == knots(chart)
    if not any(LOST & set(thread.name + thread.code + thread.symbol) for thread in chart.threads):
        assert set(again.threads) <= set(used(chart))  # those all of whose lines others cover are gone
    if chart.title == " ".join(chart.title.split()) and not LOST & set(chart.title):
        assert again.title == chart.title


PLAIN_COLOURS = ("#c62828", "#1a3a8f", "#2e7d32", "#f2b705")  # of as many threads as `charts` draws
ROUND_A_CORNER = Chart(
    threads=(Thread(letter="A", code="1", name="Red", colour="#c62828", symbol="disc"),),
    arrangements=(
        (),
        tuple(
            Stitch(kind=StitchKind.QUARTER, corner=corner, thread=0)
            for corner in Corner
            if corner is not Corner.TOP_LEFT
        ),
        tuple(
            Stitch(kind=StitchKind.QUARTER, corner=corner, thread=0)
            for corner in (Corner.TOP_LEFT, Corner.BOTTOM_RIGHT)
        ),
    ),
    squares=np.array([[1, 0], [0, 2]], np.int32),
)


@settings(max_examples=examples(30))  # each charts a drawing
@given(drawable())
@example(ROUND_A_CORNER)
def test_nothing_is_remarked_upon_that_is_given_by_hand(chart: Chart) -> None:
    """A chart drawn and charted again has no remark: each stitch stands as it was decided.

    Its threads are told apart, and its cloth has holes for fractions: else that is told, whoever decides.
    """
    plain = tuple(replace(t, colour=c) for t, c in zip(chart.threads, PLAIN_COLOURS, strict=False))
    chart = of_own_holes(replace(chart, threads=plain, fabric=Fabric(over=2)))
    assert charted(draw_chart(chart)).remarks == ()


def of_own_holes(chart: Chart) -> Chart:
    """Return a chart without lines and knots at the holes of others: of two one is gone, which is told."""
    return replace(
        chart,
        backstitch=tuple({frozenset((line.start, line.end)): line for line in chart.backstitch}.values()),
        knots=tuple({knot.at: knot for knot in chart.knots}.values()),
    )


LINES_OF_TWO_THREADS = Chart(
    threads=tuple(
        Thread(letter=letter, code="", name=letter, colour=colour, symbol=letter)
        for letter, colour in (("A", "#1ac838"), ("B", "#00004c"), ("C", "#00428a"))
    ),
    arrangements=((),),
    squares=np.zeros((9, 9), np.int32),
    backstitch=(
        Backstitch(thread=0, start=(5.0, 1.0), end=(0.0, 4.0)),
        Backstitch(thread=1, start=(1.0, 4.0), end=(6.0, 5.0)),
        Backstitch(thread=1, start=(0.0, 8.0), end=(3.0, 8.0)),
        Backstitch(thread=2, start=(0.0, 8.0), end=(3.0, 8.0)),
    ),
)


@settings(max_examples=examples(15))  # each charts a drawing or more
@given(drawable())
@example(LINES_OF_TWO_THREADS)
def test_drawing_again_what_was_charted_again_gives_the_same_bytes(chart: Chart) -> None:
    once = draw_chart(charted(draw_chart(chart)))
    assert draw_chart(charted(once)) == once


astray = st.floats(-0.2, 0.2)


@settings(max_examples=examples(30))  # each charts a drawing or more
@given(drawable(), st.data(), astray, astray)
def test_a_stitch_moved_by_hand_is_in_its_new_square_and_nothing_else_changes(
    chart: Chart, data: st.DataObject, right: float, down: float
) -> None:
    wanted = stitches(chart)
    bare = [(r, c) for r in range(chart.rows) for c in range(chart.columns) if (r, c) not in wanted]
    assume(wanted and bare)
    tree = ET.fromstring(draw_chart(chart))
    element = data.draw(st.sampled_from([e for e in tree.iter() if e.get("id", "").startswith("r")]))
    place, _, corner = element.get("id", "")[1:].partition("-")
    row, column = (int(part) - 1 for part in place.split("c"))
    target = data.draw(st.sampled_from(bare))
    element.set("transform", f"translate({target[1] - column + right} {target[0] - row + down})")
    (moved,) = [w for w in wanted[row, column] if (w[1].value if w[1] else "") == corner]
    wanted[row, column].remove(moved)
    wanted[target] = {moved}
    again = charted(ET.tostring(tree))
    assert stitches(again) == {square: held for square, held in wanted.items() if held}
    assert (lines(again), knots(again)) == (lines(chart), knots(chart))


@settings(max_examples=examples(15))  # each charts a drawing or more
@given(drawable(), st.data(), colours)
def test_a_stitch_painted_anew_by_hand_has_that_thread_and_nothing_else_changes(
    chart: Chart, data: st.DataObject, colour: str
) -> None:
    wanted = stitches(chart)
    assume(wanted)
    own = [thread.colour for thread in chart.threads]
    # colours that nobody can tell apart share a thread
    assume(colour in own or all(apart(colour, other) > 1.01 for other in own))
    tree = ET.fromstring(draw_chart(chart))
    element = data.draw(st.sampled_from([e for e in tree.iter() if e.get("id", "").startswith("r")]))
    place, _, corner = element.get("id", "")[1:].partition("-")
    square = tuple(int(part) - 1 for part in place.split("c"))
    painted = [w for w in wanted[square] if (w[1].value if w[1] else "") == corner]
    others = wanted[square] - set(painted)
    assume(colour not in {w[2] for w in others})  # a square is shared by two colours
    element.set("style", f"fill:{colour}")
    wanted[square] = others | {(w[0], w[1], colour) for w in painted}
    again = charted(ET.tostring(tree))
    assert stitches(again) == wanted
    assert (lines(again), knots(again)) == (lines(chart), knots(chart))


@settings(max_examples=examples(15))  # each charts a drawing or more
@given(drawable(), st.data())
def test_what_is_deleted_by_hand_is_gone_and_nothing_else_changes(chart: Chart, data: st.DataObject) -> None:
    tree = ET.fromstring(draw_chart(chart))
    told = [
        (layer, element) for layer in tree.iter(f"{SVG}g") for element in layer if element.get("data-stitch")
    ]
    assume(len(told) > 1)
    layer, element = data.draw(st.sampled_from(told))
    layer.remove(element)
    again, before = charted(ET.tostring(tree)), charted(draw_chart(chart))
    gone = [sum(map(len, stitches(c).values())) + len(lines(c)) + len(knots(c)) for c in (before, again)]
    assert gone[0] - gone[1] in (0, 1)  # 0 where another line of the same holes comes to light
    assert set(stitches(again)) <= set(stitches(before))
