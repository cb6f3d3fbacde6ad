"""Strokes to polygons."""

from dataclasses import dataclass
from enum import Enum


class Cap(Enum):
    """How a stroke ends."""

    BUTT = "butt"
    ROUND = "round"
    SQUARE = "square"


class Join(Enum):
    """How a stroke turns a corner."""

    MITER = "miter"
    ROUND = "round"
    BEVEL = "bevel"


@dataclass(frozen=True, slots=True, kw_only=True)
class StrokeStyle:
    """A pen: lengths in the pen's own space. `dashes` has an even number of lengths, or none."""

    width: float
    cap: Cap = Cap.BUTT
    join: Join = Join.MITER
    miter_limit: float = 4.0  # SVG 2, stroke-miterlimit, initial value
    dashes: tuple[float, ...] = ()
    dash_offset: float = 0.0
