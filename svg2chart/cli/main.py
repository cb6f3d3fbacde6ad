"""The command line: finds the command, runs it, and turns every failure into one line and a status."""

import argparse
import io
import json
import os
import sys
from contextlib import suppress
from importlib import import_module
from itertools import pairwise
from typing import Protocol, cast

from svg2chart.cli.options import Parser, UseError, one_line
from svg2chart.cli.progress import tell_progress
from svg2chart.cli.version import version
from svg2chart.errors import ChartError

COMMANDS = {
    "chart": "turn a drawing into a chart file and a PDF",
    "library": "turn a folder of drawings into a folder of charts",
    "check": "tell what the chart of a drawing would not show as drawn",
    "proof": "show the chart in the browser while you draw, or make one page of a chart file",
    "pages": "make the PDF of a chart file again",
    "draw": "draw a chart file as SVG on the grid, to edit by hand and chart again",
    "words": "tell a chart file in words, row by row and thread by thread",
    "editor": "put the extensions into a vector editor, and do to a drawing what they ask for",
    "letter": "set words in letters on the squares, by their height",
    "help": "show a page of the manual",
}

DONE, NOT_CHARTED, WRONG_USE = 0, 1, 2
INTERRUPTED, PIPE_CLOSED = 130, 141  # 128 and the signal's number, as shells report it

EPILOG = """Exit status: 0 done, 1 the input could not be charted or a file not written
(check: or something is not charted as drawn), 2 wrong use, or something is in the way of a file.
Each command has a --help of its own."""


class Command(Protocol):
    """What a command's module offers."""

    def add_options(self, parser: argparse.ArgumentParser) -> None:
        """Add the command's arguments."""

    def run(self, options: argparse.Namespace) -> int:
        """Do it and return the exit status. Raises ChartError and UseError."""


def main(argv: list[str] | None = None) -> int:
    """Run one command and return the exit status."""
    arguments = sys.argv[1:] if argv is None else argv
    try:
        for stream in (sys.stdout, sys.stderr):
            if isinstance(stream, io.TextIOWrapper):
                stream.reconfigure(errors="backslashreplace")  # names of files may hold any bytes
        status = _run(arguments)
        if sys.stdout is not None:  # it is None where the shell has closed it
            sys.stdout.flush()
    except KeyboardInterrupt:
        _complain("svg2chart: interrupted")
        return INTERRUPTED
    except BrokenPipeError:
        _drop_output()
        return PIPE_CLOSED
    except OSError as error:  # files are read and written with errors of their own
        _drop_output()
        _complain(f"svg2chart: standard output cannot be written: {error.strerror}. Files made are kept.")
        return NOT_CHARTED
    return status


def _run(arguments: list[str]) -> int:
    source = ""
    try:
        options = _parsed(arguments)
        source = getattr(options, "source", "")
        return _command(options.command).run(options)
    except ChartError as error:
        _complain(str(error.in_file(source)))
        return NOT_CHARTED
    except UseError as error:
        _complain(str(error))
        return WRONG_USE
    except SystemExit as end:  # argparse ends so after --help and --version
        return DONE if end.code is None else int(end.code)


def _parsed(arguments: list[str]) -> argparse.Namespace:
    """Return the options; wrong ones are told as JSON, too, where a report as JSON was asked for."""
    try:
        options, left = build_parser(arguments).parse_known_args(arguments)
        if left:
            raise UseError(_why_left(options, left[0]))
        return options
    except UseError as error:
        if ("--report", "json") in pairwise(arguments) or "--report=json" in arguments:
            print(json.dumps({"error": str(error)}, indent=2))
        raise


def _why_left(options: argparse.Namespace, argument: str) -> str:
    """Return what is wrong with an argument that no option of the command, nor the command itself, takes."""
    name = f"svg2chart {options.command}"
    if argument.startswith("-") and argument != "-":  # which stands for standard input
        # of commands that take any number of words
        dashed = "" if argument.startswith("--") else getattr(options, "words_dashed", "")
        return f"{name}: there is no option {argument} (see {name} --help){dashed}"
    apart = getattr(options, "words_apart", "")
    return f'{name}: "{argument}" {apart or f"is one too many (see {name} --help)"}'


def _complain(message: str) -> None:
    """Print a failure on one line; where even this cannot be written, the status tells."""
    with suppress(OSError):
        tell_progress("")
        print(one_line(message), file=sys.stderr)


def _drop_output() -> None:
    """Send the rest nowhere, so that the interpreter does not fail once more on its way out."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


class _TellVersion(argparse.Action):
    """Tells the version, which is looked up only where it is asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        print(f"svg2chart {version()}")
        parser.exit()


def build_parser(arguments: list[str]) -> Parser:
    """Return the parser; only the command that is asked for is loaded."""
    parser = Parser(
        prog="svg2chart",
        description="Turns layered SVG drawings into counted cross-stitch charts.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("--version", action=_TellVersion, nargs=0, help="tell the version and end")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True, parser_class=Parser)
    for name, purpose in COMMANDS.items():
        description = f"{purpose[0].upper()}{purpose[1:]}."
        command = commands.add_parser(name, help=purpose, description=description, allow_abbrev=False)
        if name in arguments:
            _command(name).add_options(command)
    return parser


def _command(name: str) -> Command:
    return cast(Command, import_module(f"svg2chart.cli.{name}"))
