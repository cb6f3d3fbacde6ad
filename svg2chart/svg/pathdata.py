"""Path data to `Path`: everything up to the first error is drawn (SVG 2, 9.5.4)."""

import re
from collections.abc import Iterator
from itertools import takewhile
from math import isfinite
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.path import Path
from svg2chart.svg.contours import DRAWN, Contours
from svg2chart.svg.lengths import NUMBER

_START = re.compile(r"\s*+[Mm]")
_COMMAND = re.compile(r"([MmZzLlHhVvCcSsQqTtAa])")
_NUMBER = re.compile(f"({NUMBER})")
_GAP = r"\s*+(?:,\s*+)?"
_BETWEEN = re.compile(_GAP)
_PLAIN_GAPS = frozenset(("", " ", ","))  # nearly all that there are
# the flags of an arc need no separators
_ARC = re.compile(_GAP + _GAP.join([f"({NUMBER})"] * 3 + ["([01])"] * 2 + [f"({NUMBER})"] * 2))
_ARC_SIZE = 7
_CSS_PATH = re.compile(r"""path\(\s*(["'])(?P<data>[^"']*)\1\s*\)""", re.IGNORECASE)
_COUNTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": _ARC_SIZE}
_LETTERS = frozenset("MmZzLlHhVvCcSsQqTtAa")
_FLAGS = frozenset("01")
_TOO_LARGE = "a number is too large"


class PathData(NamedTuple):
    """A path as far as its data could be read, and what was wrong then ("" for nothing).

    inside_arcs: which segments end inside an arc, where no point was drawn through.
    """

    path: Path
    error: str = ""
    inside_arcs: tuple[int, ...] = ()

    @property
    def is_vertex(self) -> NDArray[np.bool_]:
        """Whether each segment ends at a point that was drawn through, (n,)."""
        found = np.ones(len(self.path.segments), dtype=np.bool_)
        found[list(self.inside_arcs)] = False
        return found


def css_path(text: str) -> str | None:
    """Return the path data in a value of the property d, "none" for none; None where it is no such value."""
    match = _CSS_PATH.fullmatch(text)
    return match["data"] if match else "none" if text == "none" else None


def path_data(text: str) -> PathData:
    """Return the path of a `d` attribute."""
    contours = Contours()
    if not _START.match(text):
        is_none = text.strip() in ("", "none")
        return PathData(contours.path(), "" if is_none else "the path data does not start with M")
    pieces = _NUMBER.split(text)  # a gap, a number, a gap, ..., a gap; commands stand in the gaps
    numbers = list(map(float, pieces[1::2]))
    sound = _sound(numbers)
    error = ""
    for command, first, end, is_cut in _commands(pieces[::2]):
        upper = command.upper()
        if upper == "Z":
            contours.close()
            error = "a number after Z" if is_cut or end > first else ""
        else:
            values, error = _groups(numbers[first : min(end, sound)], _COUNTS[upper], is_cut=is_cut)
            if end > sound:
                error = _TOO_LARGE
            if upper == "A" and (error or not _are_flags(pieces[2 * first + 1 : 2 * end : 2])):
                values, error = _arc_numbers("".join(pieces[2 * first + 1 : 2 * end + is_cut]))
            if values:
                DRAWN[upper](contours, values, relative=command != upper)
            contours.last = upper
        if error:
            after = pieces[2 * first].rpartition(command)[2]
            read = after + "".join(pieces[2 * first + 1 : 2 * end + 1])
            error = f"{error} in {_shortened(command + _COMMAND.split(read)[0])}"
            break
    return PathData(contours.path(), error, tuple(contours.inside_arcs))


def _commands(gaps: list[str]) -> Iterator[tuple[str, int, int, bool]]:
    """Yield each command, the first of its numbers and the one after its last, and whether an error cuts it.

    Number k stands between the gaps k and k + 1; the first gap begins with a command. Ends at an error.
    """
    command, first, last = "", 0, len(gaps) - 1
    for k, gap in enumerate(gaps):
        if gap in _PLAIN_GAPS:
            continue
        letter = gap.strip()
        if letter in _LETTERS:  # as most of them are
            if command:
                yield command, first, k, False
            command, first = letter, k
            continue
        before, *found = _COMMAND.split(gap)
        is_read = not before or before.isspace()
        if not found and (is_read or (k < last and _BETWEEN.fullmatch(gap))):
            continue
        if command:
            yield command, first, k, not is_read
        if not is_read:
            return
        for letter, after in zip(found[:-2:2], found[1:-2:2], strict=True):
            yield letter, k, k, bool(after.strip())
        command, after = found[-2:]
        first = k
        if after and not after.isspace():
            yield command, k, k, True
            return
    yield command, first, last, gaps[-1] == ","


def points_path(text: str, *, closed: bool) -> PathData:
    """Return the path of a `points` attribute; a last number without a partner is an error."""
    values, error = _numbers(text, 2) if text.strip() else ([], "")
    contours = Contours()
    if len(values) > 2:
        contours.move(values, relative=False)
        if closed:
            contours.close()
    return PathData(contours.path(), error)


def _shortened(text: str) -> str:
    words = " ".join(text.split())
    return f'"{words}"' if len(words) <= 30 else f'"{words[:27]}..."'


def _numbers(text: str, size: int) -> tuple[list[float], str]:
    """Return the numbers of whole groups of a size up to the first error, and that error."""
    pieces = _NUMBER.split(text)
    gaps = pieces[::2]
    is_cut = False
    if not _PLAIN_GAPS.issuperset(gaps) or gaps[0] == "," or gaps[-1] == ",":
        last = len(gaps) - 1
        for k, gap in enumerate(gaps):
            if gap.strip() and not (0 < k < last and _BETWEEN.fullmatch(gap)):
                is_cut = True
                del pieces[2 * k :]
                break
    values = list(map(float, pieces[1::2]))
    sound = _sound(values)
    whole, error = _groups(values[:sound], size, is_cut=is_cut)
    return whole, _TOO_LARGE if sound < len(values) else error


def _groups(values: list[float], size: int, *, is_cut: bool) -> tuple[list[float], str]:
    """Return numbers in whole groups of a size, and what is wrong with the rest.

    `is_cut` where something that is no number ends them.
    """
    error = "something that is no number" if is_cut else ""
    over = len(values) % size
    if over or not values:
        error = error or "too few numbers"
        del values[len(values) - over :]
    return values, error


def _arc_numbers(text: str) -> tuple[list[float], str]:
    """Return the arguments of whole arcs up to the first error, and that error."""
    pieces = _ARC.split(text)
    error = ""
    for k in range(0, len(pieces), _ARC_SIZE + 1):  # what stands before each arc, and after the last
        if pieces[k] and not (pieces[k].isspace() and k == len(pieces) - 1):
            error = "an arc that is not seven numbers"
            del pieces[k:]
            break
    if len(pieces) <= 1 or text.lstrip().startswith(","):
        return [], "an arc that is not seven numbers"
    del pieces[:: _ARC_SIZE + 1]
    values = list(map(float, pieces))
    sound = _sound(values)
    if sound < len(values):
        values, error = values[: sound - sound % _ARC_SIZE], _TOO_LARGE
    return values, error


def _are_flags(written: list[str]) -> bool:
    """Whether the flags among the arguments of arcs stand by themselves, which they need not."""
    return _FLAGS.issuperset(written[3::_ARC_SIZE] + written[4::_ARC_SIZE])


def _sound(values: list[float]) -> int:
    """Return how many values stand before the first that is not finite; all may, though their sum is not."""
    return len(values) if isfinite(sum(values)) else len(list(takewhile(isfinite, values)))
