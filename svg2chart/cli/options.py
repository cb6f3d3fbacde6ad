"""What the commands share: one-line errors, numbers, and options that mean the same everywhere."""

import argparse
import math
from collections.abc import Callable
from typing import NoReturn
from unicodedata import category


class UseError(Exception):
    """The command cannot be run as it was given; the message is one line."""


def one_line(text: str) -> str:
    """Return a message on one line, U+FFFD for what steers a terminal: names of files may hold all that."""
    return "".join("\ufffd" if category(one) == "Cc" else one for one in " ".join(text.split()))


class Parser(argparse.ArgumentParser):
    """An argument parser that tells what is wrong on one line."""

    def error(self, message: str) -> NoReturn:
        """Raise UseError."""
        raise UseError(f"{self.prog}: {message} (see {self.prog} --help)")


def add_drawing(parser: argparse.ArgumentParser) -> None:
    """Add the drawing that a command reads."""
    parser.add_argument("source", metavar="ART.svg", help="the drawing (standard input is not read)")


def add_chart_file(parser: argparse.ArgumentParser) -> None:
    """Add the chart file that a command reads."""
    parser.add_argument(
        "source", metavar="NAME.chart.json", help="the chart file (standard input is not read)"
    )


def whole_number(low: int, high: int) -> Callable[[str], int]:
    """Return a reader of whole numbers from `low` to `high`, both allowed."""

    def read(text: str) -> int:
        try:
            number = int(text)
        except ValueError:
            number = low - 1
        if not low <= number <= high:
            raise argparse.ArgumentTypeError(f"a whole number from {low} to {high} is needed, not {text!r}")
        return number

    return read


def length(text: str) -> float:
    """Return a length above zero."""
    number = _finite(text)
    if number <= 0:
        raise argparse.ArgumentTypeError(f"a number above 0 is needed, not {text!r}")
    return number


def length_up_to(most: float) -> Callable[[str], float]:
    """Return a reader of lengths from zero to `most`, both allowed."""

    def read(text: str) -> float:
        number = _finite(text)
        if not 0 <= number <= most:
            raise argparse.ArgumentTypeError(f"a number from 0 to {most:g} is needed, not {text!r}")
        return number

    return read


def words(text: str) -> str:
    """Return words given on the command line, which must be readable."""
    if any("\ud800" <= character <= "\udfff" for character in text):
        raise argparse.ArgumentTypeError("the words are not in the encoding of this terminal")
    return text


def add_output(parser: argparse.ArgumentParser, what: str) -> None:
    """Add where the files go."""
    parser.add_argument("-o", "--output", metavar="OUT", default="", help=what)
    parser.add_argument("--overwrite", action="store_true", help="replace files that are there already")


def add_picture(parser: argparse.ArgumentParser) -> None:
    """Add whether the picture of the stitched piece becomes files of its own."""
    parser.add_argument(
        "--picture",
        action="store_true",
        help="also draw the stitched piece: NAME.picture.svg and NAME.picture.png",
    )


def add_title(parser: argparse.ArgumentParser) -> None:
    """Add the title of a chart."""
    parser.add_argument("--title", type=words, help="title (default: the drawing's, or its file name)")


def check_fabric(options: argparse.Namespace) -> None:
    """Raise UseError where two fabrics are named."""
    if options.count and options.fabric and options.count != options.fabric:
        raise UseError(
            f"svg2chart {options.command}: --count {options.count} and --fabric {options.fabric} are two"
            " fabrics; --count names the fabric too"
        )


def add_report(parser: argparse.ArgumentParser) -> None:
    """Add the form in which a command reports."""
    parser.add_argument(
        "--report",
        choices=["text", "json"],
        default="text",
        help="form of the report (text); json tells failures too",
    )


def _finite(text: str) -> float:
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise argparse.ArgumentTypeError(f"a number is needed, not {text!r}")
    return number
