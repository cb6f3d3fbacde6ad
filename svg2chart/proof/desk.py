"""What the live page needs from whoever started it: charts, and files written. It opens no file itself."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from svg2chart.artwork import Artwork
from svg2chart.convert import Converted
from svg2chart.grid import Grid


class DeskError(Exception):
    """What was asked for cannot be done; the message is one line for the one who draws."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A chart with all that it was made from.

    drawing: the bytes that were read. settings: what the page can change, as it is now. reading, charting:
    how long both took, in seconds.
    """

    made: Converted
    artwork: Artwork
    grid: Grid
    drawing: bytes
    settings: Mapping[str, str]
    reading: float
    charting: float


class Desk(Protocol):
    """Where charts come from and go to.

    watched: the files that are read. targets: the files that `write` writes; no page can choose others.
    """

    watched: tuple[Path, ...]
    targets: tuple[Path, ...]

    def draw(self, wanted: Mapping[str, str]) -> Drawn:
        """Return the chart of the drawing as it is now, with the settings wanted. Raises DeskError."""

    def write(self, drawn: Drawn) -> str:
        """Write the files of a chart and return what was written, on one line. Raises DeskError."""
