"""Stitches to edit: each stitch of the chart as an element of a layer; while it is there, it is the chart."""

import svg2chart_host as host


def add_parameters(parser):
    """Add the parameters of the dialog."""
    host.add_size(parser)
    host.add_stitching(parser)


def work(options):
    """Return the drawing with the layer."""
    with host.named(options) as drawing:
        return host.run(["editor", "stitches", drawing, *host.size(options), *host.stitching(options)])


host.run_extension(add_parameters, work)
