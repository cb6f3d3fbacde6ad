"""Cloth and thread against published examples and the geometry of the stitches."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.chart import Backstitch, Chart, Corner, Fabric, Knot, Stitch, StitchKind, Thread
from svg2chart.quantity import (
    Size,
    ThreadUse,
    cloth_to_cut,
    fabrics_to_show,
    finished_size,
    needleful_mm,
    stitches_per_inch,
    thread_uses,
)

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


@pytest.mark.parametrize(("count", "over", "full", "quarter", "three_quarter"), TABLE)
def test_needleful_per_stitch(
    count: int, over: int, full: float, quarter: float, three_quarter: float
) -> None:
    fabric = Fabric(count=count, over=over)
    kinds = (StitchKind.FULL, StitchKind.QUARTER, StitchKind.THREE_QUARTER)
    measured = [needleful_mm(kind, fabric) / 10 for kind in kinds]
    assert measured == pytest.approx([full, quarter, three_quarter], abs=0.00015)


def test_crosses_to_a_skein_lie_between_the_published_and_the_bare_count() -> None:
    """On 14 count with 2 strands a designer counts 1890 crosses to a skein; without any waste it is 2740."""
    [use] = thread_uses(block(1000))
    crosses = 1000 / (use.metres / 8)
    assert 1890 <= crosses <= 2740


def test_skeins_are_whole() -> None:
    assert [thread_uses(block(n))[0].skeins for n in (1, 1500, 5000)] == [1, 1, 3]
    unused = Chart(threads=(thread(),), arrangements=((),), squares=np.zeros((2, 2), dtype=np.int32))
    assert thread_uses(unused) == (
        ThreadUse(full=0, three_quarter=0, quarter=0, back_squares=0, knots=0, metres=0, skeins=0),
    )


def test_shared_square_takes_a_little_more_than_a_full_one() -> None:
    """Three-quarter and quarter together: 1.086 of a full cross, from the geometry."""
    parts = sum(thread_uses(block(10, (stitch,)))[0].metres for stitch in (THREE, QUARTER))
    assert parts / thread_uses(block(10))[0].metres == pytest.approx(1.0858, abs=1e-4)


def test_half_the_count_over_two_takes_the_same() -> None:
    over_two = thread_uses(block(7, fabric=Fabric(count=28, over=2)))
    assert over_two == thread_uses(block(7, fabric=Fabric(count=14)))


@given(st.integers(1, 6), st.integers(1, 40))
def test_strands_multiply(strands: int, count: int) -> None:
    [one], [many] = thread_uses(block(count, used=thread(1))), thread_uses(block(count, used=thread(strands)))
    assert many.metres == pytest.approx(strands * one.metres)


def test_backstitch_and_knots_are_counted_with_their_own_strands() -> None:
    lines = (Backstitch(thread=0, start=(0, 0), end=(3, 4)), Backstitch(thread=0, start=(0, 0), end=(1, 1)))
    knots = (Knot(thread=0, at=(1, 1)),)

    def used(back_strands: int) -> ThreadUse:
        chart = Chart(
            threads=(thread(2, back_strands),),
            arrangements=((),),
            squares=np.zeros((4, 4), dtype=np.int32),
            backstitch=lines,
            knots=knots,
        )
        return thread_uses(chart)[0]

    assert used(1).back_squares == pytest.approx(5 + math.sqrt(2))
    assert used(1).knots == 1
    # a further strand, one of six, adds 3 sides for each side of line, a side being 25.4 mm / 14
    bare_metres = (5 + math.sqrt(2)) * 3 * INCH / 14 / 1000 / 6
    assert used(2).metres - used(1).metres == pytest.approx(bare_metres * 1.32)
