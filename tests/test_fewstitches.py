"""A thread that is bought for a stitch or two is told of, and where it is stitched."""

from hypothesis import given
from hypothesis import strategies as st

from svg2chart.artwork import Artwork
from svg2chart.calm import CALM_COST
from svg2chart.chartdrawing import draw_chart
from svg2chart.convert import convert
from svg2chart.grid import Extent, Grid
from svg2chart.remarks import Remark
from svg2chart.svg.read import parse_artwork
from tests.drawings import BLUE, GREEN, RED, YELLOW, box, drawing, shape, stroke

SIDE = 40
OWN = (RED, GREEN, YELLOW, "#7b3f9d")


def told(remarks: tuple[Remark, ...]) -> list[Remark]:
    return [remark for remark in remarks if "takes a skein" in remark.what]


def sea_with(*wide: int, side: int = SIDE) -> Artwork:
    """Return a drawing of a sea of so many squares, and lamps over it, each so many squares wide."""
    lamps = [
        shape(colour, box(4, 3 + 5 * k, 4 + own, 4 + 5 * k), element=f"lamp {k}")
        for k, (colour, own) in enumerate(zip(OWN, wide, strict=False))
    ]
    return drawing(shape(BLUE, box(0, 0, side, side), element="sea"), *lamps, wide=side, high=side)


@given(st.lists(st.integers(1, 6), min_size=1, max_size=4))
def test_one_remark_names_all_threads_of_three_stitches_or_fewer(wide: list[int]) -> None:
    artwork = sea_with(*wide)
    grid = Grid.fit(artwork, square=1, extent=Extent.PAGE)
    chart = convert(artwork, grid)
    few = {f"lamp {k}": own for k, own in enumerate(wide) if own <= 3}
    remarks = told(chart.remarks)
    assert len(remarks) == bool(few)
    for remark in remarks:
        assert remark.element in few
        assert all(f'{own} (of "{element}")' in remark.what for element, own in few.items())
        names = {thread.name for thread in chart.threads if thread.colour != BLUE}
        assert sum(name in remark.what for name in names) == len(few)
        assert "(--calm)" in remark.what
        assert "(--most-threads)" in remark.what
    assert not told(convert(artwork, grid, calm=CALM_COST).remarks)
    # what is given by hand is meant
    again = parse_artwork(draw_chart(chart))
    assert not told(convert(again, Grid.fit(again, square=1.0, extent=Extent.PAGE)).remarks)


def test_what_has_no_name_is_told_without_one() -> None:
    lamp = shape(RED, box(4, 3, 5, 4), element="")
    artwork = drawing(shape(BLUE, box(0, 0, SIDE, SIDE)), lamp, wide=SIDE, high=SIDE)
    (remark,) = told(convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE)).remarks)
    assert '""' not in remark.what


def test_lines_and_knots_are_stitches_of_their_thread() -> None:
    sea = shape(BLUE, box(0, 0, SIDE, SIDE), element="sea")
    for long, is_told in ((2, True), (30, False)):
        rope = stroke(RED, [(4, 4), (4 + long, 4)], element="rope")
        artwork = drawing(sea, rope, wide=SIDE, high=SIDE)
        chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE))
        assert [remark.element for remark in told(chart.remarks)] == ["rope"] * is_told


def test_a_small_chart_needs_its_few_stitches() -> None:
    artwork = sea_with(1, side=20)
    assert not told(convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE)).remarks)
