"""The files that commands read: told apart before any work is done, so that the message fits the mistake."""

import os
import sys
from collections.abc import Sequence
from pathlib import Path

import svg2chart
from svg2chart.alphabets.drawn import Alphabet
from svg2chart.alphabets.reading import ENDING, packaged_alphabet, read_alphabet
from svg2chart.cards import HARBOUR, harbour_card, read_card
from svg2chart.cli.options import UseError
from svg2chart.errors import ArtworkError, CardError, ChartError, ChartFileError, LettersError
from svg2chart.files import CHART_ENDING, file_start
from svg2chart.threads import Skein

_PDF = b"%PDF-"  # ISO 32000-1, 7.5.2
_GZIP = b"\x1f\x8b"  # RFC 1952, 2.3.1
_BYTE_ORDER_MARK = b"\xef\xbb\xbf"


def drawing_at(name: str) -> Path:
    """Return the path of a drawing.

    Raises UseError if the name names no file, and ArtworkError for a folder or a chart file.
    """
    path = _file_at(name, ArtworkError, "Name a drawing in it, a file that ends in .svg")
    if _start(path).startswith(b"{"):
        raise ArtworkError(
            "this is no drawing, it looks like a chart file",
            way_out="Its PDF is made by: svg2chart pages",
            file=name,
        )
    return path


def chart_file_at(name: str) -> Path:
    """Return the path of a chart file.

    Raises UseError if the name names no file, and ChartFileError for a folder or a drawing.
    """
    path = _file_at(name, ChartFileError, "Name a chart file in it, a file that ends in .chart.json")
    start = _start(path)
    if start.startswith(_PDF):
        raise ChartFileError(
            "this is no chart file, it is a PDF",
            way_out=f"Name the chart's own file, which ends in {CHART_ENDING}",
            file=name,
        )
    if start.startswith((b"<", _GZIP)):
        raise ChartFileError(
            "this is no chart file, it looks like a drawing",
            way_out="It is charted by: svg2chart chart",
            file=name,
        )
    return path


def folder_at(name: str) -> Path:
    """Return the path of a folder of drawings. Raises UseError if there is none."""
    if not os.path.isdir(name):
        what = "is no folder, one of drawings is needed" if os.path.lexists(name) else "is not there"
        raise UseError(f"{name or 'svg2chart library'}: {what}")
    return Path(name)


def card_at(name: str) -> tuple[Skein, ...]:
    """Return the threads of the card of that name: a file, or the built-in one.

    Raises UseError if the name names no file, and CardError for a folder or a file that is no card.
    """
    if name == HARBOUR:
        return harbour_card()
    return read_card(_file_at(name, CardError, "Name a thread card in it, a table or a palette"))


def alphabet_at(name: str) -> Alphabet:
    """Return the alphabet of that name: one of the package, or a file that ends in .txt.

    Raises LettersError if there is none, or if the file is not one.
    """
    if not name.endswith(ENDING):
        return packaged_alphabet(name)
    path = _file_at(name, LettersError, "Name an alphabet in it, a file that ends in .txt")
    return read_alphabet(path)


def fonts_named(names: Sequence[str]) -> svg2chart.Fonts:
    """Return the fonts that are named, and those of the system after them. Raises FontError."""
    try:
        return svg2chart.read_fonts(names, found=svg2chart.find_system_fonts())
    except OSError as error:  # a name that no file can have
        raise svg2chart.FontError(
            f"cannot be read: {error.strerror}",
            way_out="Check the names after --font",
            file=str(error.filename or ""),
        ) from error


def lines_of_input() -> list[str]:
    """Return the lines of standard input. Raises LettersError if it is no text."""
    try:
        text = sys.stdin.read()
        text.encode()  # some terminals let through what is no text
    except UnicodeError as error:
        raise LettersError(
            "standard input is not in the encoding of this terminal", way_out="Save the text in UTF-8"
        ) from error
    return text.removeprefix("\ufeff").splitlines()


def _file_at(name: str, refusal: type[ChartError], way_out: str) -> Path:
    if not name:
        raise UseError("svg2chart: the name of the file to read is empty")
    if name == "-":
        raise UseError("svg2chart: standard input is not read, name a file (a file named - is ./-)")
    if os.path.isdir(name):
        raise refusal("this is a folder", way_out=way_out, file=name)
    return Path(name)


def _start(path: Path) -> bytes:
    """Return how a file begins, nothing if it is no plain file or cannot be read."""
    try:
        return file_start(path).removeprefix(_BYTE_ORDER_MARK).lstrip()
    except OSError:  # whoever reads it next tells why
        return b""
