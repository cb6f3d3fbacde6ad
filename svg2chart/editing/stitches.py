"""The stitches of a chart as a layer of a drawing, to be edited there."""

from svg2chart.chart import Chart
from svg2chart.chartdrawing import stitch_layers
from svg2chart.editing.layers import place_of_squares, with_layer
from svg2chart.grid import Grid
from svg2chart.svg.document import STITCHES

LABEL = "Stitches to edit"


def with_stitches(data: bytes, chart: Chart, grid: Grid) -> bytes:
    """Return a drawing with its stitches as elements of a layer on top, in place of the one it may have.

    While the layer is shown it alone is charted (`svg.stitched`).

    Args:
        data: the drawing, as `plain_bytes` gives it.
        chart: the chart of it.
        grid: the squares that it was charted on.
    """
    fabric = chart.fabric
    told = (
        f' data-wide="{chart.columns}" data-high="{chart.rows}" data-count="{fabric.count}"'
        f' data-over="{fabric.over}" data-cloth="{fabric.colour}"'
    )
    place = place_of_squares(data, grid.to_squares.inverse())
    content = list(stitch_layers(chart, prefix="stitches-"))
    return with_layer(data, STITCHES, content, label=LABEL, place=place, told=told)
