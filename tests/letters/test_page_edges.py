"""Words at the edge of the page: what the page cuts off stays off, and what moves onto it is told."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import svg2chart
from svg2chart.grid import Extent, Grid
from svg2chart.svg.read import parse_artwork

WIDE = 100  # squares, of 2 user units each
PART, MOVED = "the page shows only a part of them", "to lie on the chart wholly"


def charted(text: str, extent: Extent = Extent.DRAWING, wide: int = WIDE) -> tuple[list[int], str]:
    """Return the columns that are stitched in black, and all remarks."""
    drawing = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {2 * wide} 60">'
        f'<rect width="{2 * wide}" height="60" fill="#eeeeee"/>{text}</svg>'
    )
    artwork = parse_artwork(drawing.encode(), fonts=svg2chart.read_fonts([]))
    chart = svg2chart.convert(artwork, Grid.fit(artwork, wide=wide, extent=extent))
    black = [index for index, thread in enumerate(chart.threads) if thread.colour == "#000000"]
    holds = np.array([any(stitch.thread in black for stitch in one) for one in chart.arrangements])
    columns = np.flatnonzero(holds[chart.squares].any(axis=0)).tolist()
    return columns, " ".join(remark.what for remark in chart.remarks)


@settings(max_examples=8)
@given(st.sampled_from(["start", "end"]), st.floats(4, 20))
def test_words_that_the_page_mostly_cuts_off_stay_where_they_are_drawn(anchor: str, shown: float) -> None:
    """In user units: 60 and more of their width are drawn beyond the page."""
    at = 200 - shown if anchor == "start" else shown
    columns, told = charted(f'<text x="{at}" y="40" font-size="24" text-anchor="{anchor}">MMMM</text>')
    assert PART in told
    near = range(WIDE - int(shown / 2) - 2, WIDE) if anchor == "start" else range(int(shown / 2) + 2)
    assert set(columns) <= set(near)


@pytest.mark.parametrize(("over", "remarks"), [(0, 0), (1, 0), (6, 1)])
def test_letters_that_move_far_onto_the_chart_are_told(over: int, remarks: int) -> None:
    """So many squares of the last of them are drawn beyond the page, less than a third of all."""
    plain, _ = charted('<text x="20" y="40" font-size="24">HHHH</text>')
    wide = plain[-1] + 1 - plain[0]
    x = 20 + 2 * (WIDE - plain[0] - wide + over)
    columns, told = charted(f'<text x="{x}" y="40" font-size="24">HHHH</text>')
    assert told.count(MOVED) == remarks
    assert len(columns) == len(plain)
    assert columns[-1] == WIDE - 1


@pytest.mark.parametrize("extent", Extent)
@pytest.mark.parametrize("spacing", [7, 10])
def test_a_page_too_narrow_for_letters_is_told_by_how_much(extent: Extent, spacing: int) -> None:
    """On a wider page, of squares of the same size, they have room; all of the page has not."""
    text = f'<text x="8" y="40" font-size="24" letter-spacing="{spacing}">HHHHHHHHH</text>'
    columns, told = charted(text, wide=2 * WIDE)
    assert not told
    narrow = columns[-1] + 1 - columns[0] - WIDE
    _, told = charted(text, extent)
    assert f"the page, it is {narrow} squares too narrow: make it larger, or the words smaller" in told
    assert "--page" not in told


@pytest.mark.parametrize(("size", "remarks"), [(14, 1), (18, 0), (24, 0), (30, 0)])
def test_words_much_wider_than_drawn_are_told(size: int, remarks: int) -> None:
    """Low letters need whole squares: what is drawn close beside them comes to lie beneath."""
    drawn, _ = charted(
        f'<text x="20" y="40" font-size="{size}" data-stitch-text="as-drawn">bunting lit</text>'
    )
    fitted, told = charted(f'<text x="20" y="40" font-size="{size}">bunting lit</text>')
    assert int(np.ptp(fitted) - np.ptp(drawn) > 3) == remarks
    assert told.count("squares wide, drawn") == remarks
