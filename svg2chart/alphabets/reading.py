"""The files of alphabets to alphabets."""

from functools import cache
from importlib import resources
from itertools import groupby
from pathlib import Path

from svg2chart.alphabets.drawn import Accent, Alphabet, Drawn, Seat, Stitches
from svg2chart.alphabets.pictures import PictureError, read_picture
from svg2chart.errors import LettersError

ENDING = ".txt"
_HEIGHT = "capital"
_NUMBERS = (_HEIGHT, "small", "apart", "nearer", "space")
_LETTER = "letter"
_HEADINGS = (_LETTER, *(seat.value for seat in Seat))


def alphabet_names() -> tuple[str, ...]:
    """Return the names of the alphabets that come with the package."""
    files = resources.files("svg2chart").joinpath("alphabets").iterdir()
    return tuple(sorted(file.name.removesuffix(ENDING) for file in files if file.name.endswith(ENDING)))


@cache
def packaged_alphabet(name: str) -> Alphabet:
    """Return an alphabet that comes with the package.

    Raises:
        LettersError: there is none of this name.
    """
    if name not in alphabet_names():
        names = ", ".join(alphabet_names())
        raise LettersError(f'there is no alphabet "{name}"', way_out=f"There are {names}")
    file = resources.files("svg2chart").joinpath("alphabets", name + ENDING)
    return parse_alphabet(file.read_text("utf-8"), name)


def read_alphabet(path: Path) -> Alphabet:
    """Return the alphabet of a file.

    Raises:
        LettersError: the file cannot be read, or is not one of an alphabet.
    """
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        what = f"cannot be read: {error.strerror}"
        raise LettersError(what, file=str(path), way_out="Check the name after --alphabet") from error
    except ValueError as error:
        raise LettersError("is no text in UTF-8", file=str(path), way_out="Save it so") from error
    try:
        return parse_alphabet(text, path.name)
    except LettersError as error:
        raise error.in_file(str(path)) from None


def parse_alphabet(text: str, name: str) -> Alphabet:
    """Return the alphabet of a file.

    Raises:
        LettersError: the text is not that of an alphabet; the line is named.
    """
    lines = [line.rstrip() for line in text.splitlines()]
    heads = [index for index, line in enumerate(lines) if line.split(" ")[0] in _HEADINGS]
    settings = _settings(lines[: heads[0] if heads else len(lines)])
    stitches = _stitches_of(settings)
    numbers = {key: _number(settings, key) for key in _NUMBERS}
    letters: dict[str, Drawn] = {}
    accents: list[tuple[str, Seat, Drawn]] = []
    for start, end in zip(heads, [*heads[1:], len(lines)], strict=True):
        kind, *characters = lines[start].split(" ")
        drawn = _picture(lines, start, end, stitches)
        if not characters:
            raise LettersError(f'line {start + 1}: "{kind}" is followed by what the picture shows')
        for character in characters:
            if kind == _LETTER:
                if character in letters:
                    raise LettersError(f'line {start + 1}: "{character}" has a picture already')
                letters[character] = drawn
            else:
                accents.append((_accent(character, start), Seat(kind), drawn))
    return Alphabet(name=name, stitches=stitches, letters=letters, accents=_accents(accents), **numbers)


def _settings(lines: list[str]) -> dict[str, str]:
    """Return what stands before the first picture, by its first word."""
    found = {}
    for line in lines:
        if line and not line.startswith("#"):
            key, _, value = line.partition(" ")
            found[key] = value
    return found


def _stitches_of(settings: dict[str, str]) -> Stitches:
    try:
        return Stitches(settings.get("stitches", ""))
    except ValueError:
        names = " or ".join(f"stitches {one.value}" for one in Stitches)
        raise LettersError(
            "it is not told what the letters are made of", way_out=f"Write a line like {names}"
        ) from None


def _number(settings: dict[str, str], key: str) -> int:
    text = settings.get(key, "")
    if not (text.isascii() and text.isdigit() and len(text) < 4) or (key == _HEIGHT and int(text) == 0):
        raise LettersError(
            f'"{key}" is not told as a number of squares', way_out=f"Write a line like {key} 2"
        )
    return int(text)


def _picture(lines: list[str], start: int, end: int, stitches: Stitches) -> Drawn:
    rows = lines[start + 1 : end]
    while rows and (not rows[-1] or rows[-1].startswith("#")):
        rows.pop()
    try:
        return read_picture(rows, stitches)
    except PictureError as error:
        raise LettersError(
            f"line {start + 2 + error.row}: {error.what}", way_out="See the first lines of an alphabet's file"
        ) from None


def _accent(code: str, line: int) -> str:
    try:
        return chr(int(code.removeprefix("U+"), 16))
    except (ValueError, OverflowError):
        raise LettersError(f'line {line + 1}: an accent is named like U+0301, not "{code}"') from None


def _accents(found: list[tuple[str, Seat, Drawn]]) -> dict[str, Accent]:
    """Return the accents by their characters; several pictures of one are kept in their order."""
    accents = {}
    for character, group in groupby(sorted(found, key=lambda one: one[0]), key=lambda one: one[0]):
        pictures = list(group)
        accents[character] = Accent(seat=pictures[0][1], pictures=tuple(drawn for _, _, drawn in pictures))
    return accents
