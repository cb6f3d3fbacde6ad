"""Remarks: what a chart leaves out, simplifies or guesses, and at which element."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from math import ceil
from typing import Protocol

# what stands in quotes is a name, whatever numbers it has
_MEASURE = re.compile(r'(?P<name>"[^"]*")|(?<![\w.-])(?P<measure>\d+\.\d+)(?![\w.]*\w)')

# as `at_places` tells them
_PLACES = re.compile(r", at row (?P<row>\d+), column (?P<column>\d+)(?: and (?P<more>\d+) more places?)?")

Square = tuple[int, int]
"""Row and column of a square, from 0."""


class Severity(Enum):
    """What became of the thing that a remark is about."""

    LEFT_OUT = "left out"
    SIMPLIFIED = "simplified"
    GUESSED = "guessed"


class Marked(Protocol):
    """What an element of the drawing became: a fill, a stroke, a line, a dot."""

    @property
    def element(self) -> str:
        """Its id, or its place in the document."""

    @property
    def layer(self) -> str:
        """The label of the layer that holds it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """One thing that a chart does not show as the drawing has it.

    `element` is the id of the SVG element, or its place in the document where
    it has none, or "" for the whole drawing. `layer` is the label of the layer
    that holds it, "" where there is none. `what` says it in words, without a full stop.
    """

    element: str
    what: str
    severity: Severity
    layer: str = ""

    def __str__(self) -> str:
        """Return the remark on one line."""
        return _line([self.element], self.layer, self.what, self.severity)


def _line(elements: Sequence[str], layer: str, what: str, severity: Severity) -> str:
    """Return on one line what is so at elements of a layer; "" is the whole drawing."""
    named = ", ".join(f'"{element}"' for element in elements if element)
    within = f' in layer "{layer}"' if layer else ""
    place = f"element{'s' if len(elements) > 1 else ''} {named}{within}: " if named else ""
    return f"{place}{what} ({severity.value})"


def place_of(square: Square) -> str:
    """Return where a square is, as the printed chart counts."""
    return f"row {square[0] + 1}, column {square[1] + 1}"


def square_at(x: float, y: float) -> Square:
    """Return the square at a point of the chart; of those at a line between two the left and the upper one.

    >>> square_at(2.5, 0.0)
    (0, 2)
    """
    return max(ceil(y) - 1, 0), max(ceil(x) - 1, 0)


def square_between(start: tuple[float, float], end: tuple[float, float]) -> Square:
    """Return the square at the middle of a line of the chart from one hole to another.

    >>> square_between((2.0, 3.0), (4.0, 3.0))
    (2, 2)
    """
    return square_at((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)


def at_places(what: str, squares: Iterable[Square]) -> str:
    """Return what is said, and where: the first of the squares, and how many more there are."""
    places = sorted(set(squares))
    return f"{what}{_at(place_of(places[0]), len(places) - 1)}" if places else what


def of_each(what: str, severity: Severity, found: Iterable[tuple[Marked, Iterable[Square]]]) -> list[Remark]:
    """Return a remark for each element of some marks that says the same of it, and where that is so.

    Args:
        what: what is said.
        severity: what became of it.
        found: the marks, and the squares in which it is so; an element may have several.
    """
    places: dict[tuple[str, str], set[Square]] = {}
    for mark, squares in found:
        places.setdefault((mark.element, mark.layer), set()).update(squares)
    return [
        Remark(element=element, layer=layer, what=at_places(what, squares), severity=severity)
        for (element, layer), squares in places.items()
    ]


def _at(place: str, more: int) -> str:
    and_more = f" and {more} more place{'' if more == 1 else 's'}" if more else ""
    return f", at {place}{and_more}"


def there_are(remarks: Sequence[Remark]) -> str:
    """Return in words how many there are."""
    return "there is 1 remark" if len(remarks) == 1 else f"there are {len(remarks)} remarks"


def gathered(remarks: Sequence[Remark]) -> list[str]:
    """Return remarks on a line each; those in one layer that say the same share one, whatever they measure.

    It stands where the first of them does, names all their elements, says from what to what they measure, and
    where the first place is of how many.
    """
    alike: dict[tuple[object, ...], list[Remark]] = {}
    for remark in remarks:
        kind = (
            remark.layer,
            remark.severity,
            remark.element == "",
            _MEASURE.sub(lambda found: found["name"] or "0.0", _PLACES.sub(", at", remark.what)),
        )
        alike.setdefault(kind, []).append(remark)
    return [_together(group) for group in alike.values()]


def _together(remarks: Sequence[Remark]) -> str:
    """Return a line for remarks that differ in their elements, measures and places only."""
    first = remarks[0]
    measures = zip(*(_measures(remark.what) for remark in remarks), strict=True)
    spans = iter([(min(own, key=float), max(own, key=float)) for own in measures])

    def span(found: re.Match[str]) -> str:
        if found["name"]:
            return found["name"]
        least, most = next(spans)
        return least if least == most else f"{least} to {most}"

    def places(found: re.Match[str]) -> str:
        count = sum(1 + int(each["more"] or 0) for r in remarks for each in [_PLACES.search(r.what)] if each)
        return _at(f"row {found['row']}, column {found['column']}", count - 1)

    elements = list(dict.fromkeys(remark.element for remark in remarks))
    what = _PLACES.sub(places, _MEASURE.sub(span, first.what))
    return _line(elements, first.layer, what, first.severity)


def _measures(what: str) -> list[str]:
    return [found["measure"] for found in _MEASURE.finditer(what) if found["measure"]]
