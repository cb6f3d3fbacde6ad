"""Save a copy as a chart: the chart file or the PDF, by which of the two the editor asks for."""

import pathlib

import svg2chart_host as host


def add_parameters(parser):
    """Add the parameters of the dialog."""
    host.add_size(parser)
    host.add_stitching(parser)
    host.add_paper(parser)
    parser.add_argument("--ending", default=".chart.json", choices=[".chart.json", ".pdf"])


def work(options):
    """Return the bytes of the file."""
    with host.named(options) as drawing:
        stem = pathlib.Path(drawing).with_suffix("")
        arguments = ["chart", drawing, "-o", str(stem), *host.size(options), *host.stitching(options)]
        arguments += ["--paper", options.paper] if options.ending == ".pdf" else ["--no-pdf"]
        host.run(arguments)
        return stem.with_name(stem.name + options.ending).read_bytes()


host.run_extension(add_parameters, work)
