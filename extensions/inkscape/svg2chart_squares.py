"""Show squares and stitches: a locked layer over the drawing, in place of the one that may be there."""

import svg2chart_host as host


def add_parameters(parser):
    """Add the parameters of the dialog."""
    host.add_size(parser)
    host.add_stitching(parser)
    parser.add_argument("--show", default="both", choices=["squares", "stitches", "both"])
    parser.add_argument("--strength", type=int, default=80)


def work(options):
    """Return the drawing with the layer."""
    with host.named(options) as drawing:
        arguments = ["editor", "squares", drawing, *host.size(options), *host.stitching(options)]
        return host.run([*arguments, "--show", options.show, "--strength", str(options.strength)])


host.run_extension(add_parameters, work)
