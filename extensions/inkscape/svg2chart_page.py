"""Set up the page: so many squares large, with a document grid of one square."""

import svg2chart_host as host


def add_parameters(parser):
    """Add the parameters of the dialog."""
    parser.add_argument("--wide", type=int, default=80)
    parser.add_argument("--high", type=int, default=60)
    parser.add_argument("--fabric", type=int, default=14)
    parser.add_argument("--over", type=int, default=1)


def work(options):
    """Return the drawing with the page."""
    size = [f"--wide={options.wide}", f"--high={options.high}"]
    with host.named(options) as drawing:
        return host.run(
            ["editor", "page", drawing, *size, f"--fabric={options.fabric}", f"--over={options.over}"]
        )


host.run_extension(add_parameters, work)
