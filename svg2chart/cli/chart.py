"""The command `chart`: a drawing to its chart file and its PDF."""

import argparse
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import svg2chart
from svg2chart.cli import options as shared
from svg2chart.cli.inputs import drawing_at
from svg2chart.cli.outputs import (
    check_free,
    stem_of,
    with_ending,
    write_outputs,
)
from svg2chart.cli.pdf import add_pdf_options, check_pdf_options, margin_of, pdf_of
from svg2chart.cli.picture import picture_files
from svg2chart.cli.progress import tell_progress
from svg2chart.cli.report import failure_line, print_json, print_json_failure, print_remarks, print_summary
from svg2chart.cli.squares import add_size, add_stitching, read_drawing, request_of
from svg2chart.cli.version import version
from svg2chart.convert import Converted
from svg2chart.files import CHART_ENDING, PDF_ENDING, PICTURE_ENDINGS
from svg2chart.remarks import Remark, there_are
from svg2chart.request import Request, grid_of, make_chart


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    shared.add_drawing(parser)
    shared.add_output(
        parser,
        "folder (one that is there, or a name that ends in /) for ART.chart.json and ART.pdf, or the path of"
        " both files without their endings (default: the current folder)",
    )
    add_size(parser)
    add_stitching(parser)
    add_pdf_options(parser)
    shared.add_picture(parser)
    parser.add_argument("--no-pdf", action="store_true", help="write the chart file only")
    shared.add_title(parser)
    parser.add_argument(
        "--strict", action="store_true", help="fail (status 1) and write nothing if there is any remark"
    )
    shared.add_report(parser)


def run(options: argparse.Namespace) -> int:
    """Make the chart, write its files and report."""
    remarks: list[Remark] = []
    try:
        shared.check_fabric(options)
        check_pdf_options(options)
        return _run(options, remarks)
    except (svg2chart.ChartError, shared.UseError) as error:
        if options.report == "json":
            print_json_failure(failure_line(error, options.source), remarks)
        raise


def _run(options: argparse.Namespace, remarks: list[Remark]) -> int:
    """Make the chart, write its files and report; `remarks` holds what is remarked, also on failure."""
    source = drawing_at(options.source)
    stem = stem_of(options.output, source)
    endings = [CHART_ENDING] if options.no_pdf else [CHART_ENDING, PDF_ENDING]
    endings += PICTURE_ENDINGS if options.picture else ()
    files = [with_ending(stem, ending) for ending in endings]
    check_free(files, overwrite=options.overwrite)
    tell_progress("reading")
    request = request_of(options)
    artwork = read_drawing(options.source, request)
    _tell(artwork.every_remark(), remarks, options)  # at once: they may say why nothing can be charted
    made = charted(artwork, request, options)
    chart = made.chart
    _tell(chart.remarks, remarks, options)
    if options.strict and chart.remarks:
        raise svg2chart.ChartError(
            f"nothing is written, for {there_are(chart.remarks)}",
            way_out="Repair the drawing, or leave out --strict",
        )
    contents = [svg2chart.chart_bytes(chart)]
    if not options.no_pdf:
        contents.append(pdf_of(chart, options))
    contents += picture_files(chart) if options.picture else []
    write_outputs(list(zip(files, contents, strict=True)))
    tell_progress("")
    if options.report == "json":
        print_json(made, files, kits=options.kits or 1, margin_mm=margin_of(options))
    else:
        print_summary(made, files, is_calm=options.calm)
    return 0


def _tell(remarks: Sequence[Remark], told: list[Remark], options: argparse.Namespace) -> None:
    """Add the remarks that are not told yet, and print them where stderr is to have them."""
    new = [remark for remark in remarks if remark not in told]
    told += new
    if options.report == "text" or options.strict:
        tell_progress("")
        print_remarks(new, options.source)


def charted(artwork: svg2chart.Artwork, request: Request, options: argparse.Namespace) -> Converted:
    """Return the chart of the drawing, titled as is asked for, and its measures."""
    grid = grid_of(artwork, request)
    tell_progress(f"charting {grid.columns} x {grid.rows} squares")
    made = make_chart(artwork, grid, request, file_name=Path(options.source).name, version=version())
    return replace(made, chart=replace(made.chart, title=options.title or made.chart.title))
