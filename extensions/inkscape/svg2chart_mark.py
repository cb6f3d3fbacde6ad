"""Mark as: what the selected objects are to be on the cloth, or what they are marked as."""

import json

import svg2chart_host as host
from svg2chart_host import _


def add_parameters(parser):
    """Add the parameters of the dialog."""
    kinds = ["tell", "backstitch", "area", "knot", "leave-out", "nothing"]
    parser.add_argument("--stitch", default="tell", choices=kinds)


def work(options):
    """Return the drawing with the marks, or say which there are."""
    chosen = [f"--id={name}" for name in options.ids]
    if options.stitch != "tell" and not chosen:
        raise host.ExtensionError(_("Nothing is selected. Select the objects that are to be marked."))
    with host.named(options) as drawing:
        if options.stitch != "tell":
            return host.run(["editor", "mark", drawing, "--as", options.stitch, *chosen])
        marks = json.loads(host.run(["editor", "mark", drawing, "--tell", *chosen]))
    host.say("\n".join(told(marks)) or _("Nothing in the drawing is marked."))
    return None


def told(marks):
    """Return what objects are marked as, one a line."""
    for mark in marks:
        yield f"{mark['label'] or mark['element']}: {mark['stitch'] or _('not marked')}"


host.run_extension(add_parameters, work)
