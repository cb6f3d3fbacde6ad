"""Fit lettering: letters on the squares in place of the selected words, or all; the words stay, hidden."""

import svg2chart_host as host


def add_parameters(parser):
    """Add the parameters of the dialog."""
    host.add_size(parser)
    parser.add_argument("--capitals", type=int, default=0)


def work(options):
    """Return the drawing with the letters, and say which words stay as they are."""
    chosen = [f"--id={name}" for name in options.ids]
    if options.capitals:
        chosen.append(f"--capitals={options.capitals}")
    with host.named(options) as drawing:
        made, remarks = host.run_and_hear(["editor", "letters", drawing, *host.size(options), *chosen])
    if remarks:
        host.say(remarks)
    return made


host.run_extension(add_parameters, work)
