"""Small folders of drawings for the tests of libraries."""

import hashlib
import io
import sys
from collections.abc import Sequence
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

from svg2chart.cli.main import main

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="12" height="9" viewBox="0 0 12 9">{}</svg>'
COLOURS = ("#c62828", "#1a3a8f", "#f2b705", "#2f6b4f")
OPTIONS = ("--square", "1", "--page", "--no-pdf")


def boat(number: int) -> str:
    """Return a boat; no two of them are alike."""
    hull, sail = COLOURS[number % 4], COLOURS[(number + 1) % 4]
    return SVG.format(
        f'<path id="hull" d="M1 6H{8 + number % 4}L9 8H3Z" fill="{hull}"/>'
        f'<path id="sail" d="M5 1L{9 - number % 3} 5H5Z" fill="{sail}"/>'
        f'<rect id="n{number}" width="1" height="1"/>'
    )


def slow(tails: int) -> str:
    """Return a drawing that takes longer the larger it is: rings in rings over very many squares."""
    rings = "".join(
        f'<circle cx="{20 * x + 10}" cy="{20 * y + 10}" r="{3 + k}" fill="{COLOURS[k % 4]}" opacity=".5"/>'
        for x in range(tails)
        for y in range(tails)
        for k in range(6)
    )
    side = 20 * tails
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{side}" height="{side}" viewBox="0 0 {side} {side}">'
        f"{rings}</svg>"
    )


def fleet(folder: Path, names: Sequence[str]) -> Path:
    """Write a boat under each name."""
    for number, name in enumerate(names):
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(boat(number), "utf-8")
    return folder


def command(*arguments: str | Path) -> list[str]:
    return [sys.executable, "-m", "svg2chart", "library", *map(str, arguments)]


@dataclass(frozen=True)
class Outcome:
    returncode: int
    stdout: str
    stderr: str


def make(*arguments: str | Path) -> Outcome:
    """Run the command, with one worker unless something else is said."""
    told = [str(argument) for argument in arguments]
    if not {"--workers", "--scheduler"} & set(told):
        told += ["--workers", "1"]
    with redirect_stdout(io.StringIO()) as out, redirect_stderr(io.StringIO()) as err:
        status = main(["library", *told])
    return Outcome(status, out.getvalue(), err.getvalue())


def bytes_in(folder: Path) -> dict[str, str]:
    """Return the digest of every file but the table, which tells times."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != "library.csv"
    }
