"""The extensions of svg2chart in the folder from which a vector editor loads them."""

import json
from collections.abc import Iterator
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

from svg2chart.errors import EditorError
from svg2chart.files import write_files

FOLDER = "svg2chart"  # of ours, in the editor's folder of extensions
DOMAIN = "svg2chart"  # of the catalogues that hold the texts in other languages
NO_DOMAIN = "none"  # tells the editor that there are none
_ROOT = "<inkscape-extension"
ENGINE = "svg2chart.json"  # says which Python has svg2chart: the extensions run on the editor's own


def install(folder: Path, *, python: str) -> list[Path]:
    """Put the extensions into a folder of extensions and return the files that were made or changed.

    Args:
        folder: where the editor looks for the user's extensions; made where it is missing.
        python: the Python that runs svg2chart.

    Raises:
        EditorError: the extensions are not there, or the folder cannot be written.
    """
    ours = folder / FOLDER
    engine = json.dumps({"python": python}, indent=2) + "\n"
    wanted = [(ours / name, content) for name, content in _extensions()]
    wanted.append((ours / ENGINE, engine.encode()))
    try:
        changed = [(path, content) for path, content in wanted if _content(path) != content]
        if changed:
            for path, _ in changed:
                path.parent.mkdir(parents=True, exist_ok=True)
            write_files(changed)
    except OSError as error:
        raise _no_access(error, ours) from error
    return [path for path, _ in changed]


def remove(folder: Path) -> list[Path]:
    """Take the extensions out of a folder of extensions and return the files that were removed.

    What else lies beside them stays.

    Raises:
        EditorError: the folder cannot be changed.
    """
    ours = folder / FOLDER
    paths = [path for path in [*(ours / name for name, _ in _extensions()), ours / ENGINE] if path.is_file()]
    try:
        for path in paths:
            path.unlink()
        if ours.is_dir():
            compiled = ours / "__pycache__"  # the editor's Python makes it
            for path in sorted(compiled.glob("*.pyc")) if compiled.is_dir() else []:
                path.unlink()
            within = {folder for path in paths for folder in path.parents if ours in folder.parents}
            for made in [compiled, *sorted(within, reverse=True), ours]:
                if made.is_dir() and not any(made.iterdir()):
                    made.rmdir()
    except OSError as error:
        raise _no_access(error, ours) from error
    return paths


def _extensions() -> list[tuple[str, bytes]]:
    """Return name and content of every file of the extensions, as they are installed."""
    package = resources.files("svg2chart")
    folder = package.joinpath("extensions")
    if not folder.is_dir():  # in a checkout they lie beside the package
        folder = Path(str(package)).parent / "extensions"
    folder = folder.joinpath("inkscape")
    if not folder.is_dir():
        raise EditorError(
            "the extensions are not part of this installation", way_out="Install svg2chart again with pip"
        )
    return files_to_install(folder)


def files_to_install(folder: Traversable) -> list[tuple[str, bytes]]:
    """Return name and content of the dialogs, scripts and catalogues in a folder, by name.

    Dialogs are told where their texts in other languages are. The editor follows that, but the
    schema of Inkscape 1.2 does not know it, so that it is not in the files themselves. Without it
    the editor would look for them among its own texts, and find some.
    """
    files = list(_files_of_ours(folder))
    domain = DOMAIN if any(name.endswith(".mo") for name, _ in files) else NO_DOMAIN
    told = f'{_ROOT} translationdomain="{domain}"'.encode()
    return [
        (name, content.replace(_ROOT.encode(), told, 1) if name.endswith(".inx") else content)
        for name, content in files
    ]


def _files_of_ours(folder: Traversable, within: str = "") -> Iterator[tuple[str, bytes]]:
    for entry in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if entry.is_dir():
            yield from _files_of_ours(entry, f"{within}{entry.name}/")
        elif entry.name.endswith((".inx", ".py", ".mo")):
            yield within + entry.name, entry.read_bytes()


def _content(path: Path) -> bytes | None:
    return path.read_bytes() if path.is_file() else None


def _no_access(error: OSError, folder: Path) -> EditorError:
    return EditorError(
        f"cannot be changed: {error.strerror}",
        file=str(error.filename or folder),
        way_out="Check the rights of the folder, or name another with --editor-folder",
    )
