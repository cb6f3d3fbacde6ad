"""The command `draw`: a chart file to a drawing on the grid, to edit by hand and chart again."""

import argparse

import svg2chart
from svg2chart.cli.inputs import chart_file_at
from svg2chart.cli.options import add_output, one_line
from svg2chart.cli.outputs import SVG_ENDING, check_free, stem_of, with_ending, write_outputs
from svg2chart.cli.progress import tell_progress


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument(
        "source", metavar="NAME.chart.json", help="the chart file (standard input is not read)"
    )
    add_output(parser, "the SVG, or a folder for NAME.svg (default: the current folder)")


def run(options: argparse.Namespace) -> int:
    """Draw the chart and say where it is."""
    source = chart_file_at(options.source)
    target = with_ending(stem_of(options.output, source), SVG_ENDING)
    check_free([target], overwrite=options.overwrite)
    tell_progress("reading")
    drawing = svg2chart.draw_chart(svg2chart.read_chart(source))
    write_outputs([(target, drawing)])
    tell_progress("")
    print(one_line(f"wrote {target}"))
    return 0
