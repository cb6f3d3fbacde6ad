"""Chart of this drawing: the chart file and the PDF beside it, or where told. The drawing stays as it is."""

import json
import os
import pathlib

import svg2chart_host as host
from svg2chart_host import _


def add_parameters(parser):
    """Add the parameters of the dialog."""
    host.add_size(parser)
    host.add_stitching(parser)
    host.add_paper(parser)
    parser.add_argument("--folder", default="")
    parser.add_argument("--replace", default="false", choices=["true", "false"])


def work(options):
    """Make the chart and say what it holds and where it is."""
    saved = os.environ.get("DOCUMENT_PATH", "")
    if not saved and not os.path.isabs(options.folder):
        raise host.ExtensionError(_("Save the drawing first, or name a folder for the chart."))
    folder = pathlib.Path(saved).parent / options.folder  # what is typed may be meant from the drawing on
    with host.named(options) as drawing:
        arguments = ["chart", drawing, "-o", host.into(folder), "--report", "json", "--paper", options.paper]
        arguments += [*host.size(options), *host.stitching(options)]
        if options.replace == "true":
            arguments.append("--overwrite")
        report = json.loads(host.run(arguments))
        host.say("\n".join([*told(report), *host.remarks_told(report["remarks"], drawing)]))


def told(report):
    """Return size, stitches, threads and files in words, one a line."""
    wide, high = report["size"]["wide"], report["size"]["high"]
    mm = report["size_mm"]
    kinds = ", ".join(f"{number} {kind}" for kind, number in report["stitches"].items() if number)
    yield _("{wide} x {high} squares, {mm_wide:.0f} x {mm_high:.0f} mm").format(
        wide=wide, high=high, mm_wide=mm["wide"], mm_high=mm["high"]
    )
    yield _("{threads} threads; {kinds}").format(threads=report["threads"], kinds=kinds)
    yield from report["files"]
    if report["remarks"]:
        yield _("Not charted as drawn:")


host.run_extension(add_parameters, work)
