"""The drawings of a folder, in order, each with the name of its results."""

import hashlib
import os
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

ENDINGS = (".svg", ".svgz")


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A drawing of a library.

    name: where it lies in the folder, "boats/ketch.svg".
    stem: where its results lie in theirs, without their endings, "boats/ketch".
    """

    name: str
    stem: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What is in a folder: drawings in order of their names, and what was not looked into and why."""

    drawings: tuple[Drawing, ...]
    passed_over: tuple[tuple[str, str], ...]


def find_drawings(folder: Path, *, results: Path, reserved: Iterable[str] = ()) -> Found:
    """Return all drawings in a folder and in those inside it.

    Folders that are links are not followed, so that no ring of them is walked
    for ever; names that begin with a dot are hidden and left alone.

    Args:
        folder: where to look.
        results: where results go; not looked into where it lies inside the folder.
        reserved: stems that no drawing's results may have.
    """
    names: list[str] = []
    passed_over: list[tuple[str, str]] = []

    def cannot(error: OSError) -> None:
        passed_over.append((_inside(folder, str(error.filename)), f"cannot be looked into: {error.strerror}"))

    own = os.path.realpath(results)
    for place, folders, files in os.walk(folder, onerror=cannot):
        kept = []
        for name in sorted(folders):
            path = os.path.join(place, name)
            if os.path.islink(path):
                passed_over.append((_inside(folder, path), "a link to a folder is not followed"))
            elif not name.startswith(".") and os.path.realpath(path) != own:
                kept.append(name)
        folders[:] = kept
        names += [
            _inside(folder, os.path.join(place, name))
            for name in files
            if name.lower().endswith(ENDINGS) and not name.startswith(".")
        ]
    names.sort(key=lambda name: name.split("/"))
    stems = result_stems(names, reserved=reserved)
    drawings = tuple(Drawing(name=name, stem=stem) for name, stem in zip(names, stems, strict=True))
    return Found(drawings=drawings, passed_over=tuple(sorted(passed_over)))


def result_stems(names: Sequence[str], *, reserved: Iterable[str] = ()) -> list[str]:
    """Return for each drawing the stem of its results; no two are the same on any file system.

    That is its name without the ending. Where more than one drawing would have
    it, or names that differ only in case or in how an accent is put together,
    each keeps its ending; where that does not tell them apart either, a piece
    of the SHA-256 of the name follows.

    >>> result_stems(["ketch.svg", "ketch.svgz", "lamp.svg"])
    ['ketch.svg', 'ketch.svgz', 'lamp']
    """
    ways: tuple[Callable[[str], str], ...] = (_without_ending, str, _marked)
    taken = {_folded(stem) for stem in reserved}
    stems: dict[str, str] = {}
    for way in ways:
        left = {name: way(name) for name in names if name not in stems}
        uses = Counter(map(_folded, left.values()))
        stems |= {
            name: stem
            for name, stem in left.items()
            if (uses[_folded(stem)] == 1 and _folded(stem) not in taken) or way is _marked
        }
        taken |= {_folded(stem) for stem in stems.values()}
    return [stems[name] for name in names]


def _inside(folder: Path, path: str) -> str:
    return os.path.relpath(path, folder).replace(os.sep, "/")


def _without_ending(name: str) -> str:
    for ending in ENDINGS:
        if name.lower().endswith(ending) and len(name.rpartition("/")[2]) > len(ending):
            return name[: -len(ending)]
    return name


def _marked(name: str) -> str:
    digest = hashlib.sha256(name.encode("utf-8", "surrogateescape")).hexdigest()
    return f"{name}~{digest[:12]}"


def _folded(stem: str) -> str:
    """Return what names have in common that some file system does not tell apart."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", stem).casefold())
