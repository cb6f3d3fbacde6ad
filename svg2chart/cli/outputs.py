"""Where the files of a command go, and that they get there whole."""

import os
from collections.abc import Sequence
from pathlib import Path

from svg2chart.cli.options import UseError
from svg2chart.errors import ChartFileError
from svg2chart.files import CHART_ENDING, PDF_ENDING, write_files

SVG_ENDING = ".svg"
WORDS_ENDING = ".txt"


def stem_of(output: str, source: Path) -> Path:
    """Return the path that the endings .chart.json and .pdf are put on.

    An output that is a folder, or ends in a slash, takes the name of the
    source; otherwise it is the stem itself, with or without an ending of ours.

    >>> stem_of("out/", Path("art/boat.svg")).as_posix()
    'out/boat'
    >>> stem_of("out/blue.pdf", Path("art/boat.svg")).as_posix()
    'out/blue'
    """
    if os.path.basename(output) in ("", os.curdir, os.pardir) or os.path.isdir(output):
        return Path(output) / _without_ending(source.name, (CHART_ENDING, ".svg", ".svgz"))
    path = Path(output)
    return path.with_name(_without_ending(path.name, (CHART_ENDING, PDF_ENDING, SVG_ENDING, WORDS_ENDING)))


def with_ending(stem: Path, ending: str) -> Path:
    """Return the stem with the ending put on; dots in the stem stay."""
    return stem.with_name(stem.name + ending)


def check_free(paths: Sequence[Path], *, overwrite: bool) -> None:
    """Raise UseError if something is in the way of the files; with `overwrite`, files may be."""
    for folder in reversed(paths[0].parents):
        if os.path.lexists(folder) and not os.path.isdir(folder):
            raise UseError(f"{folder}: is in the way, a folder is needed there. Give another -o.")
    for path in paths:
        if os.path.isdir(path):
            raise UseError(f"{path}: is in the way, a folder has this name. Give another -o.")
        if os.path.lexists(path) and not overwrite:
            raise UseError(f"{path}: is there already. Give another -o, or --overwrite to replace it.")


def write_outputs(contents: Sequence[tuple[Path, bytes]]) -> None:
    """Write all files or none, making their folder where it is missing. Raises ChartFileError."""
    paths = [path for path, _ in contents]
    try:
        paths[0].parent.mkdir(parents=True, exist_ok=True)
        write_files(contents)
    except OSError as error:
        # a rename that fails names its target second
        at_fault = [path for path in paths if str(path) in (error.filename, error.filename2)]
        raise ChartFileError(
            f"cannot be written: {error.strerror}",
            file=str((at_fault or paths)[0]),
            way_out="Choose another place with -o",
        ) from error


def _without_ending(name: str, endings: tuple[str, ...]) -> str:
    for ending in endings:
        if name.lower().endswith(ending) and len(name) > len(ending):
            return name[: -len(ending)]
    return name
