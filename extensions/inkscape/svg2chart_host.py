"""Finds svg2chart and runs it for the extensions of the vector editor.

The extensions run on the editor's own Python, so all of this is the standard library. Everything is
made first and handed to the editor at the end, in one piece: what fails changes nothing.
What there is to say goes to stderr, which the editor shows in a dialog.
"""

import argparse
import contextlib
import gettext
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree

HERE = pathlib.Path(__file__).resolve().parent
ENGINE = HERE / "svg2chart.json"  # written by "svg2chart editor install": which Python has svg2chart
SECONDS = 600  # no drawing that is charted from a dialog takes longer
MESSAGES = "SVG2CHART_MESSAGES"  # a file that messages go to instead of a dialog, for tests
MOST_REMARKS = 12  # more do not fit on a screen

COPY = "svg2chart-drawing-"  # begins the name of the folder that holds a copy of the drawing
COPIED_TO = re.compile(re.escape(os.path.join(tempfile.gettempdir(), COPY)) + r"[^/\\]*[/\\]")

ID, LABEL = "id", "{http://www.inkscape.org/namespaces/inkscape}label"
DOCNAME = "{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}docname"

_ = gettext.translation("svg2chart", localedir=HERE / "locale", fallback=True).gettext

# what svg2chart advises on a command line, and what a dialog offers instead
IN_A_DIALOG = {
    "Give another -o, or --overwrite to replace it.": _(
        'Choose another folder, or tick "Replace files that are there already".'
    ),
    "Give another -o.": _("Choose another folder."),
    "Choose another place with -o.": _("Choose another folder."),
}
OUT_OF_RANGE = re.compile(r"svg2chart [a-z ]+: argument --([a-z]+): (.*) \(see .*\)")
ASKED = {"capitals": _("Capitals so many squares high")}  # the others are all asked by "How many"


class ExtensionError(Exception):
    """What went wrong, in one plain paragraph for the dialog."""


def run_extension(add_parameters, work):
    """Read the parameters, do the work and hand the drawing to the editor.

    Args:
        add_parameters: is given an argument parser, to which it adds the parameters of the dialog.
        work: is given the parameters; returns the bytes for the editor, or None where nothing changes.
    """
    parser = argparse.ArgumentParser(allow_abbrev=False)
    parser.add_argument("--id", dest="ids", action="append", default=[])
    parser.add_argument("drawing")
    add_parameters(parser)
    options, _pages = parser.parse_known_args()  # a dialog with pages sends which of them is open
    try:
        made = work(options)
    except ExtensionError as error:
        say(str(error))
        sys.exit(1)
    except OSError as error:  # of the copy that svg2chart is given: a full disk, a drawing that is gone
        say(_("The drawing cannot be read or copied: {why}.").format(why=error.strerror))
        sys.exit(1)
    if made is not None:
        sys.stdout.buffer.write(made)
        sys.stdout.buffer.flush()


def say(message):
    """Show a message in the editor's dialog."""
    log = os.environ.get(MESSAGES)
    if log:
        with open(log, "a", encoding="utf-8") as file:
            file.write(message + "\n")
    else:
        print(message, file=sys.stderr)


def engine():
    """Return the command that runs svg2chart."""
    if ENGINE.is_file():
        try:
            python = str(json.loads(ENGINE.read_text(encoding="utf-8"))["python"])
        except (OSError, ValueError, KeyError, TypeError):
            raise ExtensionError(
                _("{file} cannot be read.").format(file=ENGINE)
                + " "
                + _('Run "svg2chart editor install" in a terminal again.')
            ) from None
        if not os.access(python, os.X_OK):
            raise ExtensionError(
                _("The Python that has svg2chart is gone: {python}.").format(python=python)
                + " "
                + _('Install svg2chart again, then run "svg2chart editor install" in a terminal.')
            )
        return [python, "-P", "-m", "svg2chart"]
    program = shutil.which("svg2chart")
    if program is None:
        raise ExtensionError(
            _("svg2chart is not found.")
            + " "
            + _('Install it with pip, then run "svg2chart editor install" in a terminal.')
        )
    return [program]


def run(arguments):
    """Run svg2chart and return what it prints. Raises ExtensionError with its own words."""
    made, _remarks = run_and_hear(arguments)
    return made


def run_and_hear(arguments):
    """Run svg2chart and return what it prints, and its remarks, one a line. Raises as `run` does."""
    command = engine()
    # the editor's settings for its own Python are not for another one
    environment = {
        name: value
        for name, value in os.environ.items()
        if not name.startswith("PYTHON") and name != "LD_LIBRARY_PATH"
    }
    environment["PYTHONIOENCODING"] = "utf-8"
    try:
        done = subprocess.run(
            [*command, *arguments], capture_output=True, timeout=SECONDS, env=environment, check=False
        )
    except subprocess.TimeoutExpired:
        raise ExtensionError(
            _("svg2chart took longer than {minutes} minutes.").format(minutes=SECONDS // 60)
        ) from None
    except OSError as error:
        raise ExtensionError(_("svg2chart cannot be started: {why}.").format(why=error.strerror)) from error
    said = done.stderr.decode("utf-8", "replace").strip().splitlines()
    if done.returncode:
        if any(line.endswith("No module named svg2chart") for line in said):
            raise ExtensionError(
                _("{python} has no svg2chart any more.").format(python=command[0])
                + " "
                + _('Install it there again, or run "svg2chart editor install" from where it is.')
            )
        if not said:
            raise ExtensionError(_("svg2chart failed and did not say why ({path}).").format(path=command[0]))
        raise ExtensionError(_in_a_dialog(_by_name(said[-1])))
    return done.stdout, _by_name("\n".join(said))


def _by_name(message):
    """Return a message in which the copy of the drawing has the drawing's own name."""
    return COPIED_TO.sub("", message)


def _in_a_dialog(message):
    """Return a message of the command line in words that fit a dialog."""
    for words, offered in IN_A_DIALOG.items():
        if message.endswith(words):
            return message.removesuffix(words) + offered
    out_of_range = OUT_OF_RANGE.fullmatch(message)
    if out_of_range:
        return f"{ASKED.get(out_of_range[1], _('How many'))}: {out_of_range[2]}."
    return message


@contextlib.contextmanager
def named(options):
    """Give the drawing under the name that it has in the editor: a chart without a title takes it."""
    name = pathlib.PurePath(os.environ.get("DOCUMENT_PATH") or _docname(options.drawing) or "drawing").stem
    with tempfile.TemporaryDirectory(prefix=COPY) as folder:
        copy = os.path.join(folder, name + ".svg")
        shutil.copyfile(options.drawing, copy)
        yield copy


def into(folder):
    """Return a folder as svg2chart takes it: files in it have the drawing's name, with all its dots."""
    return os.path.join(folder, "")


def _docname(drawing):
    return xml.etree.ElementTree.parse(drawing).getroot().get(DOCNAME, "")


def labels(drawing):
    """Return what the editor calls each element: its label by its id."""
    tree = xml.etree.ElementTree.parse(drawing)
    return {e.get(ID): e.get(LABEL) for e in tree.iter() if e.get(ID) and e.get(LABEL)}


def remarks_told(remarks, drawing):
    """Return the first remarks of a report, one a line."""
    label_of = labels(drawing)
    lines = []
    for remark in remarks[:MOST_REMARKS]:
        where = label_of.get(remark["element"]) or remark["element"] or _("the drawing")
        lines.append(f"- {where}: {remark['what']} ({remark['severity']})")
    if len(remarks) > MOST_REMARKS:
        lines.append(_("- and {number} more, in the chart file").format(number=len(remarks) - MOST_REMARKS))
    return lines


def add_size(parser):
    """Add the size of the chart."""
    parser.add_argument("--by", default="saved", choices=["saved", "wide", "high", "square", "count"])
    parser.add_argument("--number", type=float, default=80.0)


def size(options):
    """Return the size as svg2chart takes it; as saved in the drawing where no other is chosen."""
    if options.by == "saved":
        return []
    return [f"--{options.by}", f"{options.number:g}"]


def add_stitching(parser):
    """Add what becomes which stitch."""
    parser.add_argument("--fractions", default="all", choices=["all", "three-quarter", "none"])
    parser.add_argument("--thin", type=float, default=0.67)
    parser.add_argument("--card", default="")


def stitching(options):
    """Return what becomes which stitch as svg2chart takes it."""
    arguments = ["--fractions", options.fractions, "--thin", f"{options.thin:g}"]
    return [*arguments, "--card", options.card] if options.card else arguments


def add_paper(parser):
    """Add the paper of the PDF."""
    parser.add_argument("--paper", default="a4", choices=["a4", "letter"])
