"""The command `pages`: a chart file to its PDF."""

import argparse
from pathlib import Path

import svg2chart
from svg2chart.cli.options import add_output, add_paper, paper_named
from svg2chart.cli.outputs import PDF_ENDING, keep_existing, stem_of, with_ending, write_outputs


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("source", metavar="NAME.chart.json", help="the chart file")
    add_output(parser, "the PDF, or a folder for NAME.pdf (default: the current folder)")
    add_paper(parser)


def run(options: argparse.Namespace) -> int:
    """Make the PDF and say where it is."""
    source = Path(options.source)
    target = with_ending(stem_of(options.output, source), PDF_ENDING)
    if not options.overwrite:
        keep_existing([target])
    chart = svg2chart.read_chart(source)
    write_outputs([(target, svg2chart.pages_pdf(chart, paper=paper_named(options.paper)))])
    print(f"wrote {target}")
    return 0
