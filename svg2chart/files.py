"""Files that appear whole or not at all, and how a file begins."""

import os
import re
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None  # type: ignore[assignment]

CHART_ENDING = ".chart.json"
PDF_ENDING = ".pdf"
PICTURE_ENDINGS = (".picture.svg", ".picture.png")

_BESIDE = re.compile(r"\.svg2chart-(\d+)-\d+\.part")
"""What a file is called until it is whole, with the process that writes it."""


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
            beside = path.parent / f".svg2chart-{os.getpid()}-{index}.part"  # as in _BESIDE
            leftovers.callback(beside.unlink, missing_ok=True)
            _write_through(beside, data)
            written.append((beside, path))
        for beside, path in written:
            beside.replace(path)
    for folder in dict.fromkeys(path.parent for path, _ in contents):
        _sync_folder(folder)


@contextmanager
def held(folder: Path) -> Iterator[bool]:
    """Hold a folder against others that ask for it so; False where one of them has it already.

    The system lets go of it when this process ends, however that happens.
    """
    if fcntl is None:
        yield True
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        yield True
    except BlockingIOError:
        yield False
    finally:
        os.close(descriptor)


def sweep(folder: Path) -> None:
    """Remove what processes that are no longer there left half-written in a folder and in those inside it."""
    for place, _, names in os.walk(folder):
        for name in names:
            written_by = _BESIDE.fullmatch(name)
            if written_by and not _is_running(int(written_by[1])):
                Path(place, name).unlink(missing_ok=True)


def _is_running(process: int) -> bool:
    if os.name != "posix":  # there is no asking without ending it
        return False
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:  # it is another user's
        return True
    return process != os.getpid()


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
