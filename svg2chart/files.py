"""Files that appear whole or not at all, and how a file begins."""

import os
from collections.abc import Sequence
from contextlib import ExitStack
from pathlib import Path


def write_files(contents: Sequence[tuple[Path, bytes]]) -> None:
    """Write every file, or none: each is written beside its target first, then all are renamed.

    A file that was there is replaced. Raises OSError, and then leaves no
    half-written file; only a rename that fails after another one succeeded can
    leave part of the files, each of them whole.
    """
    for path, _ in contents:
        if path.is_dir():
            raise IsADirectoryError(None, "a folder has this name", str(path))
    with ExitStack() as leftovers:
        written = []
        for index, (path, data) in enumerate(contents):
            # short, so that no name that the file system allows becomes too long
            beside = path.parent / f".svg2chart-{os.getpid()}-{index}.part"
            leftovers.callback(beside.unlink, missing_ok=True)
            _write_through(beside, data)
            written.append((beside, path))
        for beside, path in written:
            beside.replace(path)
    for folder in dict.fromkeys(path.parent for path, _ in contents):
        _sync_folder(folder)


def file_start(path: Path) -> bytes:
    """Return the first kilobyte of a plain file, nothing for what can be read only once. Raises OSError."""
    if not os.path.isfile(path):
        return b""
    with path.open("rb") as file:
        return file.read(1024)


def _write_through(path: Path, data: bytes) -> None:
    """Write a new file and wait until the disk has it."""
    path.unlink(missing_ok=True)
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _sync_folder(folder: Path) -> None:
    """Wait until the disk has the names, where the system can say so."""
    if os.name != "posix":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
