"""The command `pages`: a chart file to its PDF."""

import argparse

import svg2chart
from svg2chart.cli.inputs import chart_file_at
from svg2chart.cli.options import (
    add_chart_file,
    add_kits,
    add_output,
    add_paper,
    add_picture,
    one_line,
    paper_named,
)
from svg2chart.cli.outputs import (
    PDF_ENDING,
    PICTURE_ENDINGS,
    check_free,
    stem_of,
    with_ending,
    write_outputs,
)
from svg2chart.cli.picture import picture_files
from svg2chart.cli.progress import tell_page, tell_progress


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_chart_file(parser)
    add_output(parser, "the PDF, or a folder for NAME.pdf (default: the current folder)")
    add_paper(parser)
    add_kits(parser)
    add_picture(parser)


def run(options: argparse.Namespace) -> int:
    """Make the PDF and say where it is."""
    source = chart_file_at(options.source)
    stem = stem_of(options.output, source)
    targets = [with_ending(stem, e) for e in (PDF_ENDING, *(PICTURE_ENDINGS if options.picture else ()))]
    check_free(targets, overwrite=options.overwrite)
    tell_progress("reading")
    chart = svg2chart.read_chart(source)
    pdf = svg2chart.pages_pdf(
        chart, paper=paper_named(options.paper), kits=options.kits or 1, on_page=tell_page
    )
    pictures = picture_files(chart) if options.picture else []
    write_outputs(list(zip(targets, [pdf, *pictures], strict=True)))
    tell_progress("")
    print(one_line(f"wrote {', '.join(map(str, targets))}"))
    return 0
