"""Names for threads and places that can be read aloud and told apart."""

import itertools
from collections.abc import Iterable, Sequence

from svg2chart.chart import Chart
from svg2chart.guiding.legs import HALVES, Hole

RESERVED = {"bare", "quarter", "three-quarter", "corner", "over", "thread"}
"""Words with a meaning of their own in the chart in words: no thread is called by a name that has one."""


def spoken_names(chart: Chart) -> tuple[str, ...]:
    """Return a name for each thread: its own in lower case, or "thread 3" where that would be misread.

    That is where two have the same name, or it is empty, begins with a digit or has a reserved word.
    """
    plain = [_plain(thread.name) for thread in chart.threads]
    return tuple(
        name if name and plain.count(name) == 1 and _is_clear(name) else f"thread {i + 1}"
        for i, name in enumerate(plain)
    )


def _plain(name: str) -> str:
    """Return the letters, digits and hyphens of a name in lower case, with single spaces for all else."""
    return " ".join("".join(c if c.isalnum() or c == "-" else " " for c in name.lower()).split())


def _is_clear(name: str) -> bool:
    return not name[0].isdigit() and RESERVED.isdisjoint(name.split())


def spans(numbers: Iterable[int]) -> list[tuple[int, int]]:
    """Return ascending whole numbers as spans from first to last.

    >>> spans([3, 4, 5, 9])
    [(3, 5), (9, 9)]
    """
    found: list[tuple[int, int]] = []
    for number in numbers:
        if found and found[-1][1] == number - 1:
            found[-1] = (found[-1][0], number)
        else:
            found.append((number, number))
    return found


def span_words(one: str, several: str, numbers: Sequence[int]) -> str:
    """Return ascending numbers in words.

    >>> span_words("column", "columns", [3, 4, 5, 9])
    'columns 3 to 5 and 9'
    >>> span_words("column", "columns", [7])
    'column 7'
    """
    parts = [
        part
        for low, high in spans(numbers)
        for part in ([f"{low} to {high}"] if high - low > 1 else map(str, range(low, high + 1)))
    ]
    return f"{one if len(numbers) == 1 else several} {listed(parts)}"


def listed(parts: Sequence[str]) -> str:
    """Return parts as a list in words.

    >>> listed(["a", "b", "c"])
    'a, b and c'
    """
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def counted(count: int, one: str, several: str) -> str:
    """Return a number and its noun.

    >>> counted(1, "cross", "crosses"), counted(1200, "cross", "crosses")
    ('1 cross', '1,200 crosses')
    """
    return f"{count:,} {one if count == 1 else several}"


def way_words(right: float, down: float) -> str:
    """Return how far to go, in sides of a square; nothing for no way.

    >>> way_words(4, -7)
    '4 right, 7 up'
    """
    parts = [f"{abs(right):g} {'right' if right > 0 else 'left'}"] if right else []
    parts += [f"{abs(down):g} {'down' if down > 0 else 'up'}"] if down else []
    return ", ".join(parts)


def hole_words(hole: Hole) -> str:
    """Return where a hole, given in half squares, lies beside the rows and columns, which count from 1.

    >>> hole_words((8, 20)), hole_words((0, 21))
    ('below row 10 right of column 4', 'in the middle of row 11 left of column 1')
    """
    x, y = hole
    return f"{_beside(y, 'row', 'above', 'below')} {_beside(x, 'column', 'left of', 'right of')}"


def trail_words(holes: Sequence[Hole]) -> str:
    """Return a way from hole to hole; what stays the same from one to the next is told once.

    >>> trail_words([(8, 0), (8, 6), (10, 8)])
    'above row 1 right of column 4, to below row 3, to below row 4 right of column 5'
    """
    told = [hole_words(holes[0])]
    for (before_x, before_y), (x, y) in itertools.pairwise(holes):
        if x == before_x:
            told.append(_beside(y, "row", "above", "below"))
        elif y == before_y:
            told.append(_beside(x, "column", "left of", "right of"))
        else:
            told.append(hole_words((x, y)))
    return ", to ".join(told)


def _beside(halves: int, line: str, before: str, after: str) -> str:
    number, half = divmod(halves, HALVES)
    if half:
        return f"in the middle of {line} {number + 1}"
    return f"{after} {line} {number}" if number else f"{before} {line} 1"
