"""What a designer says on the pages of a chart: title, author, contact, licence, version, words of their own.

The file is TOML with some of these names, each a text. Nothing is promised where it is silent.
"""

import tomllib
from dataclasses import dataclass, fields
from pathlib import Path

from svg2chart.errors import InfoError

_LONGEST = 5000  # characters of one text: a page and a half
_LARGEST = 150_000  # bytes: all texts at their longest, in any script
_MOST_DOTS = 200  # in a line; the memory that TOML's parser takes for a dotted name grows with their square


@dataclass(frozen=True, slots=True, kw_only=True)
class Info:
    """The designer's own words, "" where there are none. `words` may have several paragraphs."""

    title: str = ""
    author: str = ""
    contact: str = ""
    licence: str = ""
    version: str = ""
    words: str = ""

    @property
    def paragraphs(self) -> tuple[str, ...]:
        """The paragraphs of `words`, which empty lines divide."""
        parts = "\n".join(line.strip() for line in self.words.splitlines()).split("\n\n")
        return tuple(" ".join(part.split()) for part in parts if part.strip())


def parse_info(data: bytes) -> Info:
    """Return what a TOML file says.

    Raises:
        InfoError: it is no TOML in UTF-8, or has something else than texts of these names.
    """
    names = [field.name for field in fields(Info)]
    texts: dict[str, str] = {}
    for name, value in _parsed(data).items():
        if name not in names:
            raise InfoError(f'there is no "{name}"', way_out=f"Use {', '.join(names)}")
        if not isinstance(value, str):
            raise InfoError(f'"{name}" is no text', way_out="Put it in quotation marks")
        if len(value) > _LONGEST:
            raise InfoError(
                f'"{name}" has {len(value)} characters', way_out=f"Use at most {_LONGEST} of them"
            )
        texts[name] = value
    return Info(**texts)


def _parsed(data: bytes) -> dict[str, object]:
    """Return the names and values of a TOML file, without what would make its parser run long."""
    if len(data) > _LARGEST:
        raise InfoError(f"the file is larger than {_LARGEST} bytes", way_out="Shorten its texts")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InfoError("the text is not in UTF-8", way_out="Save it in UTF-8") from error
    for number, line in enumerate(text.splitlines(), start=1):
        if line.count(".") > _MOST_DOTS:
            raise InfoError(f"line {number} has more than {_MOST_DOTS} dots", way_out="Break it into lines")
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InfoError(
            f"this is no TOML: {error}", way_out='Write lines like author = "Your name"'
        ) from error
    except (RecursionError, ValueError) as error:  # brackets in brackets; a number of thousands of digits
        raise InfoError("a value is no text", way_out="Put it in quotation marks") from error


def read_info(path: str | Path) -> Info:
    """Return what a TOML file says. Raises InfoError as `parse_info`, or if it cannot be read."""
    try:
        with Path(path).open("rb") as file:
            return parse_info(file.read(_LARGEST + 1))
    except InfoError as error:
        raise error.in_file(str(path)) from error
    except OSError as error:
        raise InfoError(
            f"cannot be read: {error.strerror}", way_out="Check the name of the file", file=str(path)
        ) from error
