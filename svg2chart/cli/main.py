"""The command line: finds the command, runs it, and turns every failure into one line and a status."""

import argparse
import io
import os
import sys
from importlib import import_module
from typing import Protocol, cast

from svg2chart.cli.options import Parser, UseError
from svg2chart.cli.version import version
from svg2chart.errors import ChartError

COMMANDS = {
    "chart": "turn a drawing into a chart file and a PDF",
    "pages": "make the PDF of a chart file again",
    "help": "show a page of the manual",
}

DONE, NOT_CHARTED, WRONG_USE = 0, 1, 2
INTERRUPTED, PIPE_CLOSED = 130, 141  # 128 and the signal's number, as shells report it

EPILOG = """Exit status: 0 done, 1 the input could not be charted, 2 wrong use.
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
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # names of files may hold any bytes
    source = ""
    try:
        options = build_parser(arguments).parse_args(arguments)
        source = getattr(options, "source", "")
        status = _command(options.command).run(options)
        sys.stdout.flush()
    except ChartError as error:
        print(error.in_file(source), file=sys.stderr)
        return NOT_CHARTED
    except UseError as error:
        print(error, file=sys.stderr)
        return WRONG_USE
    except KeyboardInterrupt:
        print("svg2chart: interrupted", file=sys.stderr)
        return INTERRUPTED
    except BrokenPipeError:
        # so that the interpreter does not fail once more when it flushes on its way out
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return PIPE_CLOSED
    return status


def build_parser(arguments: list[str]) -> Parser:
    """Return the parser; only the command that is asked for is loaded."""
    parser = Parser(
        prog="svg2chart",
        description="Turns layered SVG drawings into counted cross-stitch charts.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"svg2chart {version()}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True, parser_class=Parser)
    for name, purpose in COMMANDS.items():
        command = commands.add_parser(name, help=purpose, description=f"{purpose[0].upper()}{purpose[1:]}.")
        if name in arguments:
            _command(name).add_options(command)
    return parser


def _command(name: str) -> Command:
    return cast(Command, import_module(f"svg2chart.cli.{name}"))
