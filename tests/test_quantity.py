"""Cloth and thread against published examples and the geometry of the stitches."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from svg2chart.chart import Backstitch, Chart, Corner, Fabric, Knot, Stitch, StitchKind, Thread
from svg2chart.fabrics import (
    Size,
    cloth_to_cut,
    fabrics_to_show,
    finished_size,
    needle,
    stitches_per_inch,
    strands,
)
from svg2chart.guiding.order import plan_work
from svg2chart.quantity import (
    ALLOWANCE,
    ENDS_MM,
    KNOT_MM,
    NEEDLEFUL_MM,
    ThreadUse,
    thread_uses,
)
from svg2chart.units import square_mm
from tests.breadth import examples
from tests.strategies import charts

INCH = 25.4
FULL = (Stitch(kind=StitchKind.FULL, thread=0),)
THREE = Stitch(kind=StitchKind.THREE_QUARTER, thread=0, corner=Corner.TOP_LEFT)
QUARTER = Stitch(kind=StitchKind.QUARTER, thread=0, corner=Corner.TOP_LEFT)


def thread(cross: int = 2, back: int = 1) -> Thread:
    return Thread(
        letter="A",
        code="H01",
        name="Lamp yellow",
        colour="#f2b705",
        symbol="disc",
        cross_strands=cross,
        back_strands=back,
    )


def block(
    count: int,
    arrangement: tuple[Stitch, ...] = FULL,
    *,
    fabric: Fabric | None = None,
    used: Thread | None = None,
) -> Chart:
    return Chart(
        fabric=fabric or Fabric(count=14),
        threads=(used or thread(),),
        arrangements=((), arrangement),
        squares=np.ones((1, count), dtype=np.int32),
    )


def uses(chart: Chart) -> tuple[ThreadUse, ...]:
    return thread_uses(chart, plan_work(chart))


@pytest.mark.parametrize(
    ("columns", "rows", "fabric", "wide_in", "high_in"),
    [
        (140, 105, Fabric(count=14), 10.0, 7.5),  # a needlework shop's answers to common questions
        (140, 168, Fabric(count=14), 10.0, 12.0),  # a shop's page on fabric
        (140, 168, Fabric(count=28, over=2), 10.0, 12.0),  # the same page: 28 over two is 14
        (140, 112, Fabric(count=14), 10.0, 8.0),  # a how-to on organising materials
        (121, 179, Fabric(count=16), 7.5625, 11.1875),  # a guide prints 7.5 x 11.25, to the nearest quarter
    ],
)
def test_published_sizes(columns: int, rows: int, fabric: Fabric, wide_in: float, high_in: float) -> None:
    size = finished_size(columns, rows, fabric)
    assert size.width_mm == pytest.approx(wide_in * INCH, abs=1e-9)
    assert size.height_mm == pytest.approx(high_in * INCH, abs=1e-9)


def test_published_cloth_to_cut() -> None:
    """10 x 8 inches and three on each side: 16 x 14 inches (a how-to on organising materials)."""
    cut = cloth_to_cut(finished_size(140, 112, Fabric(count=14)))
    assert (cut.width_mm, cut.height_mm) == pytest.approx((16 * INCH, 14 * INCH))
    assert cloth_to_cut(Size(100, 50), margin_mm=10) == Size(120, 70)


@given(st.integers(5, 60), st.sampled_from([1, 2]))
def test_three_different_fabrics_are_shown(count: int, over: int) -> None:
    fabrics = fabrics_to_show(Fabric(count=count, over=over))
    assert fabrics[0] == Fabric(count=count, over=over)
    assert len({stitches_per_inch(fabric) for fabric in fabrics}) == 3


# centimetres of needleful per stitch on some counts, from the geometry of the stitches, to four digits
TABLE = [
    (11, 1, 1.1149, 0.3266, 0.8840),
    (25, 2, 0.9811, 0.2874, 0.7779),
    (14, 1, 0.8760, 0.2566, 0.6946),
    (16, 1, 0.7665, 0.2245, 0.6078),
    (36, 2, 0.6813, 0.1996, 0.5402),
    (20, 1, 0.6132, 0.1796, 0.4862),
    (22, 1, 0.5575, 0.1633, 0.4420),
    (25, 1, 0.4906, 0.1437, 0.3890),
]


def way_cm(chart: Chart) -> float:
    """Return the way of the needle through a chart, in centimetres."""
    points = [block.path for block in plan_work(chart)]
    halves = sum(math.dist(a, b) for path in points for a, b in pairwise(path))
    return halves / 2 * square_mm(chart.fabric.count, chart.fabric.over) / 10


@pytest.mark.parametrize(("count", "over", "full", "quarter", "three_quarter"), TABLE)
def test_needleful_per_stitch(
    count: int, over: int, full: float, quarter: float, three_quarter: float
) -> None:
    """What one more cross in a row adds; a lone fraction, whose last run behind is its way to the next."""
    fabric = Fabric(count=count, over=over)
    side_cm = square_mm(count, over) / 10
    one_more = way_cm(block(9, fabric=fabric)) - way_cm(block(8, fabric=fabric))
    assert one_more == pytest.approx(full, abs=0.00015)
    lone = [way_cm(block(1, (stitch,), fabric=fabric)) for stitch in (QUARTER, THREE)]
    behind = (math.sqrt(2) / 2 * side_cm, side_cm)  # back out of the centre; along a side
    assert [way + last for way, last in zip(lone, behind, strict=True)] == pytest.approx(
        [quarter, three_quarter], abs=0.00015
    )


@pytest.mark.parametrize(
    ("columns", "rows", "fabric", "wide_in", "high_in", "rounding_in"),
    [
        (48, 78, Fabric(count=14), 3.375, 5.5, 1 / 8),  # a magazine's project, "about", in eighths
        (52, 78, Fabric(count=14), 3.625, 5.5, 1 / 8),  # the same
        (140, 105, Fabric(count=32, over=2), 8.75, 6.5, 1 / 8),  # the needlework shop, in quarters
        (420, 420, Fabric(count=11), 38.25, 38.25, 1 / 8),  # a fabric table on how-to pages, in quarters
        (420, 420, Fabric(count=16), 26.25, 26.25, 0),
    ],
)
def test_published_sizes_that_are_rounded(
    columns: int, rows: int, fabric: Fabric, wide_in: float, high_in: float, rounding_in: float
) -> None:
    size = finished_size(columns, rows, fabric)
    assert size.width_mm / INCH == pytest.approx(wide_in, abs=rounding_in + 1e-9)
    assert size.height_mm / INCH == pytest.approx(high_in, abs=rounding_in + 1e-9)


@pytest.mark.parametrize(("count", "cut_in"), [(11, 44.25), (14, 36), (16, 32.25)])
def test_published_cloth_for_a_design_of_thirty_inches(count: int, cut_in: float) -> None:
    """A fabric table on two how-to pages, 420 stitches wide: in quarters of an inch, three on each side."""
    cut = cloth_to_cut(finished_size(420, 420, Fabric(count=count)))
    assert cut.width_mm / INCH == pytest.approx(cut_in, abs=1 / 8)


@pytest.mark.parametrize(("margin_in", "cut_in"), [(2, 8), (2.5, 9), (1.5, 7)])
def test_published_margins(margin_in: float, cut_in: float) -> None:
    """A how-to's 4 x 4 and 2 on each side, 8 x 8; a guild adds 5 to pictures in all, 3 to small work."""
    cut = cloth_to_cut(Size(4 * INCH, 4 * INCH), margin_mm=margin_in * INCH)
    assert (cut.width_mm, cut.height_mm) == pytest.approx((cut_in * INCH, cut_in * INCH))


def test_published_cloth_for_a_design_of_six_by_eight_inches() -> None:
    """A how-to on getting started: at least three inches to all edges, 12 x 14 inches."""
    cut = cloth_to_cut(Size(6 * INCH, 8 * INCH))
    assert (cut.width_mm, cut.height_mm) == pytest.approx((12 * INCH, 14 * INCH))


# how-to pages: strands for crosses and backstitch by stitches to the inch
@pytest.mark.parametrize(
    ("fabric", "crosses", "back"),
    [
        (Fabric(count=11), 3, 2),
        (Fabric(count=14), 2, 1),
        (Fabric(count=28, over=2), 2, 1),
        (Fabric(count=16), 2, 1),
        (Fabric(count=18), 2, 1),
        (Fabric(count=32, over=2), 2, 1),
        (Fabric(count=22), 1, 1),  # common practice
        (Fabric(count=40), 1, 1),  # over one
    ],
)
def test_published_strands(fabric: Fabric, crosses: int, back: int) -> None:
    assert strands(fabric) == (crosses, back)


def test_published_needles_and_finer_cloth_never_takes_a_thicker_one() -> None:
    """A how-to post and two needle guides agree on 24 for 14 count and 26 for 16 count."""
    assert [needle(Fabric(count=count)) for count in (14, 16)] == [24, 26]
    assert [needle(Fabric(count=count, over=2)) for count in (28, 32)] == [24, 26]
    sizes = [needle(Fabric(count=count)) for count in range(5, 61)]
    assert sizes == sorted(sizes)


def test_a_row_of_crosses_takes_what_its_geometry_says() -> None:
    """N crosses out and back: (2 sqrt2 + 2) n u - u, exact; 1000 of them are 8.76 m on 14 count."""
    for count in (1, 2, 10, 1000):
        [row] = plan_work(block(count))
        points = row.path
        way = sum(math.dist(a, b) for a, b in pairwise(points)) / 2
        assert way == pytest.approx((2 * math.sqrt(2) + 2) * count - 1)
    assert way * square_mm(14) / 1000 == pytest.approx(8.760, abs=0.002)


def test_crosses_to_a_skein_lie_between_the_published_and_the_bare_count() -> None:
    """On 14 count with 2 strands a designer counts 1890 crosses to a skein; without any waste it is 2740."""
    [use] = uses(block(1000))
    crosses = 1000 / (use.metres / 8)
    assert 1890 <= crosses <= 2740


def walked_metres(chart: Chart, number: int) -> float:
    """Return the metres of one thread by a walk of its own from hole to hole of the work guide."""
    strand_mm = 0.0
    for one in plan_work(chart):
        if one.thread != number:
            continue
        is_back = any(isinstance(leg.of, Backstitch) for leg in one.legs)
        way = sum(
            math.hypot(x2 - x1, y2 - y1) for (x1, y1), (x2, y2) in zip(one.path, one.path[1:], strict=False)
        )
        way *= INCH * chart.fabric.over / chart.fabric.count / 2
        way += KNOT_MM * sum(isinstance(leg.of, Knot) for leg in one.legs)
        ends = 0
        while ends * (NEEDLEFUL_MM - ENDS_MM) < way - 1e-6:
            ends += 1
        threads = chart.threads[number]
        strand_mm += (way + ends * ENDS_MM) * (threads.back_strands if is_back else threads.cross_strands)
    return strand_mm * ALLOWANCE / 1000 / 6


@given(charts())
@settings(max_examples=examples(25))
def test_metres_equal_a_walk_through_the_holes_of_the_work_guide(chart: Chart) -> None:
    for number, use in enumerate(uses(chart)):
        assert use.metres == pytest.approx(walked_metres(chart, number), abs=1e-5)


@given(charts(), st.integers(1, 4))
@settings(max_examples=examples(15))  # each plans the work of three charts
def test_two_charts_without_common_squares_add_up(chart: Chart, kits: int) -> None:
    """Side by side, too far apart for a thread to be carried from one to the other."""
    bare = np.zeros((chart.rows, 8), dtype=np.int32)
    turned = np.fliplr(chart.squares)
    fabric, arrangements, threads = chart.fabric, chart.arrangements, chart.threads

    def of(squares: np.ndarray) -> tuple[ThreadUse, ...]:
        return uses(Chart(fabric=fabric, arrangements=arrangements, threads=threads, squares=squares))

    parts = zip(of(chart.squares.copy()), of(turned.copy()), strict=True)
    together = of(np.hstack([chart.squares, bare, turned]))
    for (one, other), both in zip(parts, together, strict=True):
        assert both.metres == pytest.approx(one.metres + other.metres)
        assert (both.full, both.quarter) == (one.full + other.full, one.quarter + other.quarter)
        assert both.needlefuls == one.needlefuls + other.needlefuls
        assert both.skeins <= both.skeins_for(kits) <= kits * both.skeins


def test_skeins_are_whole_and_kits_share_them() -> None:
    assert [uses(block(n))[0].skeins for n in (1, 1500, 5000)] == [1, 1, 3]
    assert uses(block(1))[0].skeins_for(50) == 1
    unused = Chart(threads=(thread(),), arrangements=((),), squares=np.zeros((2, 2), dtype=np.int32))
    assert uses(unused) == (
        ThreadUse(full=0, three_quarter=0, quarter=0, back_squares=0, knots=0, needlefuls=0, metres=0),
    )


def test_half_the_count_over_two_takes_the_same() -> None:
    over_two = uses(block(7, fabric=Fabric(count=28, over=2)))
    assert over_two == uses(block(7, fabric=Fabric(count=14)))


@given(st.integers(1, 6), st.integers(1, 40))
def test_strands_multiply(strands: int, count: int) -> None:
    [one], [many] = uses(block(count, used=thread(1))), uses(block(count, used=thread(strands)))
    assert many.metres == pytest.approx(strands * one.metres)


def test_a_chain_of_backstitch_takes_what_its_geometry_says() -> None:
    """N fronts and n - 1 backs of two: (3 n - 2) u; one needleful, and the tenth more."""
    lines = tuple(Backstitch(thread=0, start=(i, 0), end=(i + 1, 0)) for i in range(6))
    squares = np.zeros((1, 6), dtype=np.int32)
    [use] = uses(Chart(threads=(thread(2, 1),), arrangements=((),), squares=squares, backstitch=lines))
    way = (3 * 6 - 2) * INCH / 14
    assert use.metres * 6 * 1000 == pytest.approx((way + ENDS_MM) * ALLOWANCE)
    assert use.back_squares == 6
