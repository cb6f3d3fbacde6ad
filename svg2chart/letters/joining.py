"""How the outline of letters that are joined is moved onto the hole lines, so that their joins stay whole."""

from collections.abc import Sequence
from dataclasses import replace
from math import floor

import numpy as np

from svg2chart.geometry.polygon import Polygon
from svg2chart.letterforms import Heights
from svg2chart.lettering.edges import Edge, level_edges, upright_edges
from svg2chart.lettering.heights import stroke_pairs
from svg2chart.letters.knots import Rules
from svg2chart.letters.scales import Scale, zones_of
from svg2chart.letters.warping import LEVEL, Line, Zone, placings, zone_of

_MOST_LOST = 0.05
"""Small letters of joined words that would lose more of their height become a square higher: what their loops
and joins are read by has no room to spare. Our own choice, no source."""
Stem = tuple[float, float]
"""Where the left and the right side of an upright stroke are."""
_SHIFTS = 4
"""Joined letters are tried at so many places within a square."""
_LONG = 0.5
"""Upright edges from so many heights of a capital on are those of stems."""
_LEAN = float(np.tan(np.radians(4.0)))
"""Straight stems lean by so much at the most."""
_BENT, _MOSTLY = 0.05, 0.6
"""An edge of which this part is off a line by so many squares at the most is straight, bent at an end."""
_SAME = 1e-6  # squares, between points of one height
_LEAST_WHITE = 0.5
"""Stems stay at least this part of the white between them apart."""


def joined_growth(scale: Scale, heights: Heights) -> tuple[float, float]:
    """Return by how much strokes of joined letters become wider: to a square.

    Whole widths are of no use to them, for across the page they stay where they are.
    """
    more = max(1.0 - heights.stem * scale.em, 0.0)
    return more, more


def joined_placings_down(thick: Polygon, plain: Polygon, scale: Scale, heights: Heights) -> list[Line]:
    """Return the best move of joined letters: only what lies at the zones goes to hole lines.

    Bars of several letters that are to lie on whole lines together would push each other's loops shut.
    """
    zones = zones_of(thick, plain, replace(scale, small=_small(scale, heights)), heights)
    level = level_edges(thick)
    found = placings(
        [edge for zone in zones for edge in _edges_at(zone, level, zones)],
        (float(thick.points[:, 1].min()), float(thick.points[:, 1].max())),
        [Rules(stroke=scale.bar, least=least, gap=0.0, step=0.5) for least in (0.5, 0.0)],
        wide=scale.bar,
        zones=zones,
        short=0.025 * scale.high,
        tip=0.0,
    )
    return found[:1]


def _edges_at(zone: Zone, edges: Sequence[Edge], zones: Sequence[Zone]) -> list[Edge]:
    """Return the edges that lie at a zone: with that which is nearest to it go those that are level with it.

    Were others to go to the same line, as the lower shoulders of an n beside an a, what lies between would
    have no height left: the top of a bowl.
    """
    own = [edge for edge in edges if edge.begins == zone.begins and zone_of(edge, zones) == zone.to]
    at = min((edge.at for edge in own), key=lambda at: abs(at - zone.at), default=0.0)
    return [edge for edge in own if abs(edge.at - at) <= LEVEL]


def _small(scale: Scale, heights: Heights) -> int:
    """Return how high small letters of joined words become: those of two storeys are no higher than others.

    A row more than drawn would take the room of the dots above them.
    """
    drawn = heights.small * scale.em
    small = min(floor(drawn + 0.5), scale.small)
    return small + (small < (1 - _MOST_LOST) * drawn)


def with_upright_stems(thick: Polygon, scale: Scale) -> tuple[Polygon, list[Stem]]:
    """Return joined letters whose straight stems do not lean, and these: a lean is a step or a nib.

    Args:
        thick: the letters, in squares, their long edges cut finely.
        scale: of their face.
    """
    points = thick.points.copy()
    x, y = thick.points.T
    upright = []
    for edge in upright_edges(thick):
        if edge.length < _LONG * scale.high:
            continue
        own = (abs(x - edge.at) <= _LEAN * edge.length) & (y >= edge.low) & (y <= edge.high)
        order = np.argsort(y[own], kind="stable")
        across, down = x[own][order], y[own][order]
        slope = float(np.median(np.diff(across) / np.maximum(np.diff(down), _SAME)))
        sheared = across - slope * (down - (edge.low + edge.high) / 2)
        at = float(np.median(sheared))
        if abs(slope) <= _LEAN and np.mean(abs(sheared - at) <= _BENT) >= _MOSTLY:
            points[np.flatnonzero(own)[order], 0] = sheared
            upright.append(replace(edge, at=at))
    pairs = stroke_pairs(upright, most=scale.stem + 1.0)
    return replace(thick, points=points), sorted((begin.at, end.at) for begin, end in pairs)


def joined_placings_across(stems: Sequence[Stem]) -> list[Line]:
    """Return moves across of joined letters: upright stems go to whole columns, all else along with them."""
    return [_on_lines(stems, shift / _SHIFTS) for shift in range(_SHIFTS)]


def _on_lines(stems: Sequence[Stem], shift: float) -> Line:
    """Return the move that shifts letters and takes each of their stems to whole columns about its middle.

    A stem for which that would leave too little white after the one before it goes where that goes.
    """
    if not stems:
        return Line(places=np.zeros(1), to=np.full(1, shift), cost=0.0)
    places: list[float] = []
    to: list[float] = []
    cost = 0.0
    for begin, end in stems:
        wide = max(1.0, float(round(end - begin)))
        first = float(round((begin + end - wide) / 2 + shift))
        if to and first - to[-1] < _LEAST_WHITE * (begin - places[-1]):
            first, wide = to[-1] + begin - places[-1], end - begin
        cost += ((2 * first + wide - begin - end) / 2 - shift) ** 2
        places += [begin, end]
        to += [first, first + wide]
    return Line(places=np.array(places), to=np.array(to), cost=cost)
