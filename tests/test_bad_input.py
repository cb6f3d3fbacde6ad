"""Drawings broken on purpose: a chart or a ChartError, nothing else."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.chart import Backstitch, Chart, Corner, Knot, Stitch, StitchKind, Thread
from svg2chart.chartdrawing import draw_chart
from svg2chart.chartfile import chart_bytes, parse_chart
from svg2chart.convert import convert
from svg2chart.errors import ChartError
from svg2chart.grid import Grid
from svg2chart.painting import square_colours
from svg2chart.svg.read import parse_artwork

EXAMPLES = Path(__file__).parents[1] / "examples"
DRAWINGS = [(EXAMPLES / name).read_bytes() for name in ("lamp.svg", "harbour-festival.svg")]
FULL = Stitch(kind=StitchKind.FULL, thread=0)
HALF = Stitch(kind=StitchKind.THREE_QUARTER, thread=1, corner=Corner.TOP_LEFT)
REST = Stitch(kind=StitchKind.QUARTER, thread=0, corner=Corner.BOTTOM_RIGHT)
OF_A_CHART = Chart(
    threads=tuple(
        Thread(letter=letter, code="7", name="Lamp", colour=colour, symbol="disc-dot")
        for letter, colour in (("A", "#c62828"), ("B", "#1a3a8f"))
    ),
    arrangements=((), (FULL,), (HALF, REST), (REST,)),
    squares=np.array([[1, 2, 3], [0, 1, 2]], np.int32),
    backstitch=(Backstitch(thread=1, start=(0, 0.5), end=(3, 2)),),
    knots=(Knot(thread=0, at=(2.5, 1)),),
)
DRAWINGS.append(draw_chart(OF_A_CHART))
TROUBLE = b'1e9 - 1e-300 NaN inf 0 e . < " & </g> % \xff'.split()


@st.composite
def broken(draw: st.DrawFn) -> bytes:
    """Draw an example with up to six places overwritten, cut out, repeated or put in."""
    data = draw(st.sampled_from(DRAWINGS))
    for _ in range(draw(st.integers(1, 6))):
        place = draw(st.integers(0, len(data)))
        gone = draw(st.sampled_from([0, 0, 1, 7, 40, len(data)]))
        again = data[place : place + 60]
        put = draw(st.one_of(st.sampled_from([*TROUBLE, b"", again]), st.binary(max_size=3)))
        data = data[:place] + put + data[place + gone :]
    return data


def charted(data: bytes) -> Chart | ChartError:
    try:
        artwork = parse_artwork(data)
        key = artwork.key
        grid = Grid.fit(artwork, square=key.square) if key else Grid.fit(artwork, wide=20)
        return convert(artwork, grid)
    except ChartError as error:
        return error


@given(broken())
@example(b"")
# thousands of points that lie off the page once took twenty seconds
@example(DRAWINGS[0].replace(b'd="M', b'd="M-1e9 3 C -1e9 0 -1e9 9 1e9 9 M', 1))
def test_a_broken_drawing_gives_a_chart_or_an_error(data: bytes) -> None:
    result = charted(data)
    if isinstance(result, ChartError):
        assert "\n" not in str(result)
        assert result.way_out
    else:
        assert parse_chart(chart_bytes(result)) == result


@pytest.mark.parametrize("radii", ["4 5e-324", "5e-324 4", "1e-310 1e-310", "1e9 1e-300"])
def test_an_arc_with_a_radius_next_to_none_is_a_line(radii: str) -> None:
    found = [
        parse_artwork(
            b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 36 36">'
            + f'<path d="M4 23{drawn} 8 27V9H4z"/></svg>'.encode()
        )
        for drawn in (f"A{radii} 0 0 0", "L")
    ]
    arc, line = (square_colours(artwork, 9, 9) for artwork in found)
    assert np.array_equal(arc, line)
