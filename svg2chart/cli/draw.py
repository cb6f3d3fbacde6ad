"""The command `draw`: a chart file to a drawing on the grid, to edit by hand and chart again."""

import argparse

import svg2chart
from svg2chart.chartdrawing import lost_in_drawing
from svg2chart.cli.inputs import chart_file_at
from svg2chart.cli.options import add_chart_file, add_output, one_line
from svg2chart.cli.outputs import SVG_ENDING, check_free, stem_of, with_ending, write_outputs
from svg2chart.cli.progress import tell_progress
from svg2chart.cli.report import print_remarks


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_chart_file(parser)
    add_output(parser, "the SVG, or a folder for NAME.svg (default: the current folder)")


def run(options: argparse.Namespace) -> int:
    """Draw the chart and say where it is."""
    source = chart_file_at(options.source)
    target = with_ending(stem_of(options.output, source), SVG_ENDING)
    check_free([target], overwrite=options.overwrite)
    tell_progress("reading")
    chart = svg2chart.read_chart(source)
    write_outputs([(target, svg2chart.draw_chart(chart))])
    tell_progress("")
    print_remarks(lost_in_drawing(chart), options.source)
    print(one_line(f"wrote {target}"))
    return 0
