"""The command `pages`: a chart file to its PDF."""

import argparse

import svg2chart
from svg2chart.cli.inputs import chart_file_at
from svg2chart.cli.options import (
    add_chart_file,
    add_output,
    add_picture,
    one_line,
)
from svg2chart.cli.outputs import (
    check_free,
    stem_of,
    with_ending,
    write_outputs,
)
from svg2chart.cli.pdf import add_pdf_options, pdf_of
from svg2chart.cli.picture import picture_files
from svg2chart.cli.progress import tell_progress
from svg2chart.files import PDF_ENDING, PICTURE_ENDINGS


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_chart_file(parser)
    add_output(parser, "the PDF, or a folder for NAME.pdf (default: the current folder)")
    add_pdf_options(parser)
    add_picture(parser)


def run(options: argparse.Namespace) -> int:
    """Make the PDF and say where it is."""
    source = chart_file_at(options.source)
    stem = stem_of(options.output, source)
    targets = [with_ending(stem, e) for e in (PDF_ENDING, *(PICTURE_ENDINGS if options.picture else ()))]
    check_free(targets, overwrite=options.overwrite)
    tell_progress("reading")
    chart = svg2chart.read_chart(source)
    pdf = pdf_of(chart, options)
    pictures = picture_files(chart) if options.picture else []
    write_outputs(list(zip(targets, [pdf, *pictures], strict=True)))
    tell_progress("")
    print(one_line(f"wrote {', '.join(map(str, targets))}"))
    return 0
