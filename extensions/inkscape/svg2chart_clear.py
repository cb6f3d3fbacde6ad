"""Take the layer of squares and stitches, or that of the stitches to edit, out of the drawing."""

import svg2chart_host as host


def add_parameters(parser):
    """Add the parameters of the dialog."""
    parser.add_argument("--layer", default="squares", choices=["squares", "stitches"])


def work(options):
    """Return the drawing without the layer."""
    with host.named(options) as drawing:
        return host.run(["editor", "clear", drawing, "--layer", options.layer])


host.run_extension(add_parameters, work)
