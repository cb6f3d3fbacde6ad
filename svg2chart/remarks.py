"""Remarks: what a chart leaves out, simplifies or guesses, and at which element."""

from dataclasses import dataclass
from enum import Enum


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
        layer = f' in layer "{self.layer}"' if self.layer else ""
        place = f'element "{self.element}"{layer}: ' if self.element else ""
        return f"{place}{self.what} ({self.severity.value})"
