"""Save a copy as a chart: the chart file or the PDF, by which of the two the editor asks for."""

import pathlib
import xml.etree.ElementTree

import svg2chart_host as host
from svg2chart_host import _

TEXT = "{http://www.w3.org/2000/svg}text"
FLOWS = ("shape-inside:", "inline-size:")


def add_parameters(parser):
    """Add the parameters of the dialog."""
    host.add_size(parser)
    host.add_stitching(parser)
    host.add_paper(parser)
    parser.add_argument("--ending", default=".chart.json", choices=[".chart.json", ".pdf"])


def work(options):
    """Return the bytes of the file."""
    lost = ", ".join(emptied(options.drawing))
    if lost:
        raise host.ExtensionError(
            _("The editor gives flowed words to this kind of file without their letters: {names}.").format(
                names=lost
            )
            + " "
            + _('Use the entry "Chart of this drawing" instead, under Extensions, Cross-stitch chart.')
        )
    with host.named(options) as drawing:
        path = pathlib.Path(drawing)
        arguments = ["chart", drawing, "-o", host.into(path.parent)]
        arguments += [*host.size(options), *host.stitching(options)]
        arguments += ["--paper", options.paper] if options.ending == ".pdf" else ["--no-pdf"]
        host.run(arguments)
        return path.with_name(path.stem + options.ending).read_bytes()


def emptied(drawing):
    """Return the ids of flowed texts without a letter: seen with Inkscape 1.2.2, only when saving a copy."""
    for text in xml.etree.ElementTree.parse(drawing).iter(TEXT):
        flows = any(each in text.get("style", "") for each in FLOWS)
        if flows and not "".join(text.itertext()).strip():
            yield text.get(host.ID, "")


host.run_extension(add_parameters, work)
