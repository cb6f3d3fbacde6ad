"""Remarks: what a chart leaves out, simplifies or guesses, and at which element."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

# what stands in quotes is a name, whatever numbers it has
_MEASURE = re.compile(r'(?P<name>"[^"]*")|(?<![\w.-])(?P<measure>\d+\.\d+)(?![\w.]*\w)')


class Severity(Enum):
    """What became of the thing that a remark is about."""

    LEFT_OUT = "left out"
    SIMPLIFIED = "simplified"
    GUESSED = "guessed"


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


def there_are(remarks: Sequence[Remark]) -> str:
    """Return in words how many there are."""
    return "there is 1 remark" if len(remarks) == 1 else f"there are {len(remarks)} remarks"


def gathered(remarks: Sequence[Remark]) -> list[str]:
    """Return remarks on a line each; those in one layer that say the same but for measures share one.

    It stands where the first of them does, names all their elements and says from what to what they measure.
    """
    alike: dict[tuple[object, ...], list[Remark]] = {}
    for remark in remarks:
        kind = (
            remark.layer,
            remark.severity,
            remark.element == "",
            _MEASURE.sub(lambda found: found["name"] or "0.0", remark.what),
        )
        alike.setdefault(kind, []).append(remark)
    return [_together(group) for group in alike.values()]


def _together(remarks: Sequence[Remark]) -> str:
    """Return a line for remarks that differ in their elements and measures only."""
    first = remarks[0]
    measures = zip(*(_measures(remark.what) for remark in remarks), strict=True)
    spans = iter([(min(own, key=float), max(own, key=float)) for own in measures])

    def span(found: re.Match[str]) -> str:
        if found["name"]:
            return found["name"]
        least, most = next(spans)
        return least if least == most else f"{least} to {most}"

    elements = list(dict.fromkeys(remark.element for remark in remarks))
    return _line(elements, first.layer, _MEASURE.sub(span, first.what), first.severity)


def _measures(what: str) -> list[str]:
    return [found["measure"] for found in _MEASURE.finditer(what) if found["measure"]]
