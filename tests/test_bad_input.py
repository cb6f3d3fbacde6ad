"""Drawings broken on purpose: a chart or a ChartError, nothing else."""

from pathlib import Path

from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.chart import Chart
from svg2chart.chartfile import chart_bytes, parse_chart
from svg2chart.convert import convert
from svg2chart.errors import ChartError
from svg2chart.grid import Grid
from svg2chart.svg.read import parse_artwork

EXAMPLES = Path(__file__).parents[1] / "examples"
DRAWINGS = [(EXAMPLES / name).read_bytes() for name in ("lamp.svg", "harbour-festival.svg")]
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
        return convert(artwork, Grid.fit(artwork, wide=20))
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
