"""How a face is brought to a height: its whole zones and strokes, in squares."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor

import numpy as np

from svg2chart.geometry.polygon import Polygon
from svg2chart.letterforms import Heights
from svg2chart.lettering.edges import Edge, hollow_floors
from svg2chart.lettering.small import LEAST_BOLD
from svg2chart.letters.warping import Zone, zone_of

_LEAST_SMALL = 4
"""Small letters are so many squares high where there is room: those of two storeys need them."""
_REGULAR_STEM = 0.12
"""How wide the upright strokes of regular faces are, in heights of a capital: 0.10 to 0.135 in eight families
of all kinds, measured."""
_NEAR = 0.5
"""What is less than so many squares off the baseline has no stroke over it."""
_WITH_TAIL = 2.0
"""What reaches farther down than so many bars from where a hollow ends has room for a stroke and a tail."""
_ROOM_FOR_FEET = 1.5
"""Stems so far apart become two squares apart: then there is a bare square, or a half on each side of a hole
line, between the feet of an n. One square is filled by them, and the n is read as a u or an o."""
_SAME = 1e-6  # squares, from a zone to the edge that it is of


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """How a face is brought to a height: squares to the em, whole zones and strokes.

    has_serifs: whether its letters keep their serifs, if they have any.
    """

    em: float
    high: int
    small: int
    ascender: int
    descender: int
    stem: int
    bar: int
    has_serifs: bool


def scale_of(heights: Heights, high: int) -> Scale:
    """Return the whole zones of a face whose capitals are so many squares high."""
    em = high / heights.capital
    small = min(max(floor(heights.small * em + 0.5), _LEAST_SMALL), max(high - 1, 1))
    if heights.small > 0.97 * heights.capital:
        small = high
    return Scale(
        em=em,
        high=high,
        small=small,
        ascender=max(high, round(heights.ascender * em)),
        descender=max(1, round(heights.descender * em)),
        stem=max(_least_stem(heights, high), floor(heights.stem * em + 0.5)),
        bar=max(1, floor(heights.bar * em + 0.5)),
        has_serifs=heights.between_stems * em >= _ROOM_FOR_FEET,
    )


def is_weight_lost(heights: Heights, high: int) -> bool:
    """Whether strokes of a bold face are as narrow as those of a regular one, at so many squares."""
    return heights.is_bold and scale_of(heights, high).stem == 1


def has_serifs_left_out(heights: Heights, high: int) -> bool:
    """Whether letters of a face with serifs are drawn without them, at so many squares."""
    return not scale_of(heights, high).has_serifs


def _least_stem(heights: Heights, high: int) -> int:
    """Return how wide upright strokes are at least: in a bold face wider than in the regular one."""
    if heights.is_bold and high >= LEAST_BOLD:
        return max(1, floor(_REGULAR_STEM * high + 0.5)) + 1
    return 1


def zones_of(thick: Polygon, plain: Polygon, scale: Scale, heights: Heights) -> list[Zone]:
    """Return the zones as far as the thickened letter reaches beyond them."""
    em = scale.em
    more = (np.ptp(thick.points[:, 1]) - np.ptp(plain.points[:, 1])) / 2
    slack = 0.04 * em + 0.1
    tops = {heights.small: scale.small, heights.capital: scale.high, heights.ascender: scale.ascender}
    zones = [Zone(at=-at * em - more, to=-float(to), begins=True, slack=slack) for at, to in tops.items()]
    zones.append(Zone(at=more, to=0.0, begins=False, slack=slack))
    zones.append(Zone(at=heights.descender * em + more, to=float(scale.descender), begins=False, slack=slack))
    return zones


def with_floors(zones: list[Zone], level: Sequence[Edge], thick: Polygon, scale: Scale) -> list[Zone]:
    """Return zones with those of what stands on the baseline without an edge there: a tail runs into it.

    What a hollow ends on, as the ring of a Q, is a bar over the baseline. `level`: the edges of the letter.
    """
    foot = next(zone for zone in zones if zone.to == 0.0)
    if any(zone_of(edge, [foot]) is not None for edge in level):
        return zones
    lowest = float(thick.points[:, 1].max())
    floors = [
        Zone(at=floor, to=-float(scale.bar), begins=True, slack=_SAME)
        for floor in hollow_floors(thick)
        if abs(floor - foot.at) < _NEAR and lowest - floor > _WITH_TAIL * scale.bar
    ]
    return zones + floors
