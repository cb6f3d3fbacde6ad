"""Thread cards: the threads that one may choose from, read from a table or a palette.

Two plain forms, told apart by how the file begins:

    code,name,hex                       GIMP Palette
    H061,Lamp yellow,#d6a200            Name: Harbour
    H08,"Tar, black",#1b1b1b            214 162   0   Lamp yellow

The table is CSV as RFC 4180 has it, in UTF-8, with commas, semicolons or tabs. Its header names the columns,
in any order; other columns are passed over, as are empty lines and lines that begin with "#". The palette is
that of the image editor of this name (its documentation, "The GPL palette format"): red, green and blue from
0 to 255 and a name; it has no codes, so that its colours are numbered.
"""

import csv
from collections.abc import Iterator
from importlib import resources
from pathlib import Path

from svg2chart.colour import Colour, lab
from svg2chart.errors import CardError
from svg2chart.threads import Skein, colour_name

COLUMNS = ("code", "name", "hex")
HARBOUR = "harbour"
"""The name of the built-in card, which is invented."""

PALETTE_START = "GIMP Palette"
MOST_BYTES = 4_000_000  # forty times the longest list one could think of
_COMMENT = "#"
_HEADER_HELP = 'Begin the table with a line "code,name,hex"'


def read_card(path: str | Path) -> tuple[Skein, ...]:
    """Return the threads of a card file, in its order. Raises CardError."""
    try:
        with Path(path).open("rb") as file:
            data = file.read(MOST_BYTES + 1)
        return parse_card(data)
    except OSError as error:
        raise CardError(
            f"cannot be read: {error.strerror}",
            file=str(path),
            way_out=f'Check the name of the thread card; the built-in one is called "{HARBOUR}"',
        ) from error
    except CardError as error:
        raise error.in_file(str(path)) from error


def harbour_card() -> tuple[Skein, ...]:
    """Return the built-in card. It is invented: no maker sells these threads."""
    return parse_card(resources.files("svg2chart").joinpath("harbour-card.csv").read_bytes())


def parse_card(data: bytes) -> tuple[Skein, ...]:
    """Return the threads of the bytes of a card, in its order. Raises CardError."""
    if len(data) > MOST_BYTES:
        raise CardError(f"it has more than {MOST_BYTES:,} bytes", way_out="Name a list of threads")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise CardError(f"line {line}: not in UTF-8", way_out="Save the card as UTF-8") from error
    lines = text.splitlines()
    rows = _palette_rows(lines) if text.startswith(PALETTE_START) else _table_rows(lines)
    places: dict[str, int] = {}
    skeins = []
    for line, skein in rows:
        if skein.code in places:
            first = places[skein.code]
            raise CardError(
                f'line {line}: code "{skein.code}" stands in line {first} already',
                way_out="Give each thread a code of its own",
            )
        places[skein.code] = line
        skeins.append(skein)
    if not skeins:
        raise CardError("it has no thread", way_out="Add a line for each thread")
    return tuple(skeins)


def _table_rows(lines: list[str]) -> Iterator[tuple[int, Skein]]:
    """Yield each thread of a table with its line number, from 1."""
    numbered = [
        (number, line)
        for number, line in enumerate(lines, start=1)
        if line.strip() and not line.startswith(_COMMENT)
    ]
    if not numbered:
        return
    top, header = numbered[0]
    delimiter = max(",;\t", key=header.count)
    names = [name.strip().lower() for name in next(csv.reader([header], delimiter=delimiter))]
    missing = [name for name in COLUMNS if name not in names]
    if missing:
        raise CardError(f"line {top}: no column {' and '.join(missing)}", way_out=_HEADER_HELP)
    for number, line in numbered[1:]:
        try:
            cells = next(csv.reader([line], delimiter=delimiter, strict=True))
        except csv.Error as error:
            raise CardError(
                f"line {number}: {error}", way_out="Close each quotation mark on its line"
            ) from error
        if len(cells) < len(names):
            raise CardError(
                f"line {number}: {len(cells)} of {len(names)} cells are there",
                way_out='Put cells with a comma in quotation marks, as in "Tar, black"',
            )
        code, name, text = (cells[names.index(column)].strip() for column in COLUMNS)
        yield number, _skein(number, code, name, _hex_colour(number, text))


def _hex_colour(line: int, text: str) -> Colour:
    try:
        return Colour.from_hex("#" + text.removeprefix("#"))
    except ValueError as error:
        raise CardError(
            f'line {line}: "{text}" is no colour', way_out='Write colours like "#f2b705"'
        ) from error


def _palette_rows(lines: list[str]) -> Iterator[tuple[int, Skein]]:
    """Yield each colour of a palette with its line number, from 1; its code is its own number."""
    code = 0
    for number, line in enumerate(lines[1:], start=2):
        if not line.strip() or line.startswith((_COMMENT, "Name:", "Columns:")):
            continue
        values, name = line.split(maxsplit=3)[:3], "".join(line.split(maxsplit=3)[3:]).strip()
        if len(values) < 3 or not all(v.isascii() and v.isdigit() and int(v) <= 255 for v in values):
            raise CardError(
                f'line {number}: "{line.strip()}" is no colour of a palette',
                way_out="Write red, green and blue, from 0 to 255 each, then the name",
            )
        code += 1
        colour = Colour(*(int(value) / 255 for value in values))
        yield number, _skein(number, str(code), name or colour_name(lab([colour])[0]), colour)


def _skein(line: int, code: str, name: str, colour: Colour) -> Skein:
    for what, text in (("code", code), ("name", name)):
        if not text or not text.isprintable():
            raise CardError(
                f"line {line}: the {what} is empty or has characters that cannot be printed",
                way_out="Give each thread a code and a name",
            )
    return Skein(code=code, name=name, colour=colour)
