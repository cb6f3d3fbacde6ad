"""Straight stems of a letter, in the rows in which they stand apart: the squares beside them stay bare there.

Else a slant that runs into a stem would begin a row too early, or a bowl that leaves it end a row too late,
by what they are moved: the stem is thicker there, or a gap is shut.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.polygon import Polygon
from svg2chart.lettering.edges import level_edges
from svg2chart.letters.warping import Line, Zone, zone_of

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]

_LINES = np.arange(0.05, 1.0, 0.1)
"""Where lines lie across a row of squares, for all of it."""
_WHITE = 0.5 - 1e-9
"""A stem stands apart if it has half a square of white beside it."""
_UPRIGHT = 0.01
"""Sides of stems lean by this part of their height at the most."""
_OFF = 0.3
"""The middle of a stem is moved to that of its squares but for so much."""
_DIGITS = 9
"""Ink is rounded to so many: sums of areas are not exact."""
_FULL = 0.9
"""The squares of a stem hold as much ink. Those beside it hold less."""
_LITTLE = 0.55
"""What holds less can do without; what holds more is part of a slant. All of these are our own choice, no
source."""


@dataclass(frozen=True, slots=True)
class Stem:
    """A stem in a row in which it stands apart: the row, from the baseline down, and where its middle is."""

    row: int
    middle: float

    def moved(self, across: Line) -> "Stem":
        """Return it moved along with its letter."""
        return Stem(self.row, float(across.moved(np.array(self.middle))))


def stems_apart(plain: Polygon, zones: Sequence[Zone]) -> list[Stem]:
    """Return the stems of a letter in all rows in which they stand apart as drawn.

    Its rows are those that its zones are moved to, for bars between them are moved farther than these.

    Args:
        plain: the letter, with strokes as they are drawn.
        zones: of all letters of its face.
    """
    level, edges = level_edges(plain), plain.edges()
    # capitals have no edges at the x-height
    kept = [zone for zone in zones if any(zone_of(edge, [zone]) is not None for edge in level)]
    to, at = np.array(sorted({zone.to: zone.at for zone in kept}.items()) or [(0.0, 0.0)]).T
    ends = Line(places=at, to=to, cost=0.0).moved(np.array([edges[:, 1].min(), edges[:, 1].max()]))
    back = Line(places=to, to=at, cost=0.0)
    rows = range(floor(ends[0]), ceil(ends[1]))
    return [Stem(row, middle) for row in rows for middle in _middles(edges, back.moved(row + _LINES))]


def bare_beside(stems: Sequence[Stem], areas: Floats) -> Bools:
    """Return (rows, columns) which squares are to stay bare.

    Args:
        stems: moved along with the letter, the first square at the origin.
        areas: (rows, columns, 8) of the letter.
    """
    ink = np.round(areas.sum(axis=-1), _DIGITS)
    found = np.zeros(ink.shape, np.bool_)
    for stem in stems:
        if not 0 <= stem.row < len(ink):
            continue
        squares = ink[stem.row]
        for beside in _beside(squares, stem.middle):
            if 0 <= beside < len(squares) and squares[beside] < _LITTLE:
                found[stem.row, beside] = True
    return found


def _middles(edges: Floats, lines: Floats) -> Iterator[float]:
    """Yield the middles of straight stems that stand apart on all of some level lines."""
    x0, y0, x1, y1 = edges.T
    met = (y0 <= lines[:, None]) != (y1 <= lines[:, None])
    counts = met.sum(axis=1)
    if not counts[0] or np.ptp(counts):
        return
    line, edge = np.nonzero(met)
    at = x0[edge] + (lines[line] - y0[edge]) / (y1[edge] - y0[edge]) * (x1[edge] - x0[edge])
    is_upright = abs(x1[edge] - x0[edge]) <= _UPRIGHT * abs(y1[edge] - y0[edge])
    order = np.lexsort((at, line))
    places, sides = at[order].reshape(len(lines), -1), is_upright[order].reshape(len(lines), -1)
    white = np.full((len(lines), places.shape[1] // 2 + 1), np.inf)
    white[:, 1:-1] = places[:, 2::2] - places[:, 1:-1:2]
    for k in range(places.shape[1] // 2):
        if sides[:, [2 * k, 2 * k + 1]].all() and white[:, [k, k + 1]].min() >= _WHITE:
            yield float(places[:, [2 * k, 2 * k + 1]].mean())


def _beside(squares: Floats, middle: float) -> tuple[int, ...]:
    """Return the squares on both sides of a stem that fills whole squares of a row, none if it does not."""
    is_full = squares >= _FULL
    begin = floor(middle)
    if not 0 <= begin < len(squares) or not is_full[begin]:
        return ()
    end = begin + 1
    while begin > 0 and is_full[begin - 1]:
        begin -= 1
    while end < len(squares) and is_full[end]:
        end += 1
    return (begin - 1, end) if abs((begin + end) / 2 - middle) <= _OFF else ()
