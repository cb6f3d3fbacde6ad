"""One glyph fitted to the squares: outline in, stitched octants out."""

from dataclasses import replace
from itertools import product
from math import floor

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.growing import parts_and_hollows, parts_of, thickened
from svg2chart.geometry.polygon import Polygon
from svg2chart.geometry.serifs import without_serifs
from svg2chart.letterforms import Heights
from svg2chart.lettering.edges import Edge, level_edges, stroke_ends, upright_edges, waist_edges
from svg2chart.lettering.heights import stroke_pairs
from svg2chart.lettering.shape import is_written_apart
from svg2chart.letters.changes import TRACE_OF_INK
from svg2chart.letters.deciding import decide
from svg2chart.letters.dotted import dots_apart, dots_placed
from svg2chart.letters.glyphs import FittedGlyph, put_together
from svg2chart.letters.joining import (
    joined_growth,
    joined_placings_across,
    joined_placings_down,
    with_upright_stems,
)
from svg2chart.letters.judging import (
    LARGE,
    LOWEST,
    MEDIUM,
    PART_COST,
    SMALL,
    TOPOLOGY_COST,
    Costs,
    Found,
    Wanted,
    run_together,
)
from svg2chart.letters.knots import Rules
from svg2chart.letters.mirrors import NO_MIRRORS, find_mirrors
from svg2chart.letters.rounding import rounded
from svg2chart.letters.scales import Scale, with_floors, zones_of
from svg2chart.letters.signs import SIGNS, fitted_sign
from svg2chart.letters.stems import Stem, stems_apart
from svg2chart.letters.strokes import strokes_of
from svg2chart.letters.warping import Line, cut_finely, moved, placings, with_ends_drawn_out, zone_of

Bools = NDArray[np.bool_]

ACROSS, DOWN = 4, 2
"""So many placings across and down are tried with each other."""
_LEAST_STROKE = 0.9
"""Strokes thinner than so many squares are made as wide."""
_LESS = (0.0, 0.2, 0.4)
"""By so much less strokes are tried to become wider where letters have faults."""
_THIN_BAR = 0.75
"""Bars up to this part of a stem are thin strokes."""
_MOST_UNLIKE = 0.5
"""Strokes become wider across and down by so many squares apart at the most."""
_ROOMY = 1.0, 2.0
"""A counter of so many squares is not shown as a quarter of one, nor as any part of one. Our own choice, no
source."""
_NARROW = 9
"""Letters of so many squares and lower have so little room that their gaps are counted."""
_LOW = 6
"""Letters of so many squares and lower are the lowest."""
_SMALL = 7
"""Letters of so many squares and lower are small ones."""
_MEDIUM = 15
"""Letters of so many squares and lower are no large ones: a whole step in a bowl is a notch. Looked at in 17
fonts at 8 to 24 squares; our own choice, no source."""
_WIDER = (1.0, 1.25, 1.5, 1.75)
"""So many times as wide letters are tried that have no room for their parts and counters."""
_TOLD_BY_SERIFS = "1"
"""A one without its flag and its foot is an l."""
_MOVE_COST = 1.2
_EVEN = 0.02
_UNEVEN = 0.3
"""Edges of a symmetric letter are images of each other if they are off by less than so many squares."""
_SKEW_COST = 1.0
"""What it costs to stitch a letter as it is drawn that is symmetric in writing; three times as much where
left and right differ, for that is seen most."""


def fit_outline(
    polygon: Polygon, heights: Heights, scale: Scale, *, text: str = "", keeps_widths: bool = False
) -> FittedGlyph:
    """Return an outline in em fitted to the squares.

    Args:
        polygon: without overlaps, y down from the baseline.
        heights: of its face.
        scale: what becomes of these.
        text: the letter that it is.
        keeps_widths: fit it in height only, as letters that are joined.
    """
    if not len(polygon.points):
        return FittedGlyph(shown=np.zeros((0, 0, 8), np.bool_), top=0, left=0)
    if not (scale.has_serifs or keeps_widths or text in _TOLD_BY_SERIFS):
        polygon = without_serifs(polygon, capital=heights.capital)
    plain = replace(polygon, points=polygon.points * scale.em)
    if text in SIGNS and not keeps_widths:
        return fitted_sign(
            parts_of(plain, least=TRACE_OF_INK),
            scale.high,
            stem=(heights.stem * scale.em, scale.stem),
            top_of=lambda drawn: _top_of(drawn, plain, scale, heights),
            fit=lambda part: _fitted_glyph(part, heights, scale, text=text, keeps_widths=False),
        )
    dotted = None if is_written_apart(text) else dots_apart(plain, high=scale.high, least=TRACE_OF_INK)
    if dotted is not None:
        body = _fitted_glyph(dotted.body, heights, scale, text=text, keeps_widths=keeps_widths)
        dots = dots_placed(dotted, body)
        if dots is not None:
            return put_together([body, *dots])
    return _fitted_glyph(plain, heights, scale, text=text, keeps_widths=keeps_widths)


def _top_of(drawn: float, plain: Polygon, scale: Scale, heights: Heights) -> int:
    """Return in which row ink begins that is drawn at some height: at a zone if it is near one."""
    zones = zones_of(plain, plain, scale, heights)
    at = zone_of(Edge(at=drawn, begins=True, low=0.0, high=0.0), zones)
    return floor((drawn if at is None else at) + 0.5)


def _fitted_glyph(
    plain: Polygon, heights: Heights, scale: Scale, *, text: str, keeps_widths: bool
) -> FittedGlyph:
    """Return an outline in squares fitted to them."""
    if keeps_widths:
        return _trimmed(_fitted(plain, heights, scale, _wanted(plain, scale, text), keeps_widths=True))
    pieces = parts_and_hollows(plain, least=TRACE_OF_INK)
    tries: list[Found] = []
    for wider in _WIDER:
        drawn = replace(plain, points=plain.points * (wider, 1.0))
        tries.append(_in_the_best_way(drawn, heights, scale, text))
        if tries[-1].pieces == pieces and tries[-1].faults < PART_COST:
            break
    return _trimmed(min(tries, key=lambda one: round(one.faults, 6)))


def _wanted(plain: Polygon, scale: Scale, text: str) -> Wanted:
    parts, counters = parts_and_hollows(plain, least=TRACE_OF_INK)
    is_lowest = scale.high <= _LOW  # in these a quarter may be a counter
    roomy, wide = (
        0 if is_lowest or not counters else parts_and_hollows(plain, least=least)[1] for least in _ROOMY
    )
    return Wanted(
        parts=parts,
        counters=counters,
        small=counters - roomy,
        slight=counters - wide,
        strokes=strokes_of(plain) if scale.high <= _NARROW and text not in SIGNS else (1, 1),
        mirrors=NO_MIRRORS,
        ink=plain.area(),
        costs=_costs_of(scale.high),
    )


def _costs_of(high: int) -> Costs:
    """Return what counts how much in letters of so many squares."""
    if high <= _LOW:
        return LOWEST
    if high <= _SMALL:
        return SMALL
    return MEDIUM if high <= _MEDIUM else LARGE


def _in_the_best_way(plain: Polygon, heights: Heights, scale: Scale, text: str) -> Found:
    """Return a letter by itself fitted as symmetrically as it is worth it."""
    wanted = _wanted(plain, scale, text)
    ways = find_mirrors(plain, text, is_thin=scale.stem == 1)
    found = [_fitted(plain, heights, scale, replace(wanted, mirrors=way), keeps_widths=False) for way in ways]
    lost = [(way != ways[0]) + 2 * (ways[0][0] and not way[0]) for way in ways]
    costs = [one.cost + _SKEW_COST * count for count, one in zip(lost, found, strict=True)]
    return found[int(np.argmin(np.rint(np.array(costs) * 1e6)))]


def _fitted(plain: Polygon, heights: Heights, scale: Scale, wanted: Wanted, *, keeps_widths: bool) -> Found:
    """Return an outline in squares fitted to them in the best of the ways that are tried."""
    hair = _THIN_BAR * min(heights.stem * scale.em, scale.stem + 0.5)
    parts = parts_of(plain, least=TRACE_OF_INK)
    apart = [] if keeps_widths else _standing_apart(plain, heights, scale)
    best: Found | None = None
    ink = 0.0
    flare = 0.0 if _is_narrowed(scale, heights) or not scale.has_serifs else np.inf
    wider = joined_growth(scale, heights) if keeps_widths else _growth(plain, scale, heights)
    for more, taller in ((wider[0] - less, wider[1] - less) for less in _LESS):
        thick = cut_finely(
            thickened(plain, stem=more, bar=taller, least=_LEAST_STROKE, hair=hair, flare=flare)
        )
        ink = ink or thick.area()  # with strokes as wide as they become, though thinner ones may be drawn
        if keeps_widths:
            thick, stems = with_upright_stems(thick, scale)
            down = joined_placings_down(thick, plain, scale, heights)
            across = joined_placings_across(stems)
        else:
            thick = with_ends_drawn_out(thick, zones_of(thick, plain, scale, heights))
            down = _placings_down(thick, plain, scale, heights, is_even=wanted.mirrors[0])
            across = _placings_across(thick, plain, scale, more=more, is_even=wanted.mirrors[0])
        lines = _tried(across, down)
        outlines = [moved(thick, x, y) for x, y in lines]
        drawn = [[moved(part, x, y) for part in parts] for x, y in lines]
        standing = [[stem.moved(x) for stem in apart] for x, _ in lines]
        costs = [_MOVE_COST * (x.cost + y.cost) for x, y in lines]
        if not outlines:
            continue
        found = decide(outlines, costs, replace(wanted, ink=ink), drawn=drawn, stems=standing)
        if best is None or _mends(found, best, wanted, scale):
            best = found
        if best.faults == 0:
            break
    if best is None:  # where nothing keeps the rules, the plain outline decides
        return decide([plain], [0.0], wanted, drawn=[parts], stems=[[]])
    return rounded(best, replace(wanted, ink=ink))


def _standing_apart(plain: Polygon, heights: Heights, scale: Scale) -> list[Stem]:
    """Return the stems of a letter in the rows in which they stand apart, none if it is among the lowest.

    Slants of those have no other squares to lie in.
    """
    return stems_apart(plain, zones_of(plain, plain, scale, heights)) if scale.high > _LOW else []


def _mends(found: Found, best: Found, wanted: Wanted, scale: Scale) -> bool:
    """Whether a thinner outline is better: with the right parts and counters, or fewer faults and lower cost.

    It has to have something to spare, for thin strokes always lie on squares well, unless it has no fault
    where bars run together: an a without its opening is an o. The lowest letters have no squares for more
    bars, and an e would become an a.
    """
    if (found.faults < TOPOLOGY_COST) != (best.faults < TOPOLOGY_COST):
        return found.faults < TOPOLOGY_COST
    _, bars = run_together(best.shown[None], wanted)
    if bars[0] and found.faults == 0 and scale.high > _LOW:
        return True
    return found.faults < best.faults - 1e-9 and found.cost < best.cost - wanted.costs.thinner


def _trimmed(found: Found) -> FittedGlyph:
    """Return the stitches without bare rows and columns around them."""
    rows, columns = (np.flatnonzero(found.shown.any(axis=axes)) for axes in ((1, 2), (0, 2)))
    if not len(rows):
        return FittedGlyph(shown=found.shown, top=found.top, left=found.left)
    shown = found.shown[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    return FittedGlyph(shown=shown, top=found.top + int(rows[0]), left=found.left + int(columns[0]))


def _growth(plain: Polygon, scale: Scale, heights: Heights) -> tuple[float, float]:
    """Return by how much strokes become wider, across and down.

    Where bars are much thinner than stems they are widened as thin strokes, and all else as stems are, unless
    there is so little room that serifs are left out: then what is thin is as wide as the rest. So is
    a letter without bars: its slants would become thinner or thicker with them than stems. But a letter does
    not become lower by as much as its bars are wide: nothing of those at its top and foot would be left.
    """
    stem, bar = scale.stem - heights.stem * scale.em, scale.bar - heights.bar * scale.em
    most = heights.stem * scale.em
    is_even = not scale.has_serifs or heights.bar > _THIN_BAR * heights.stem
    has_bars = is_even and stroke_pairs(level_edges(plain), most=most)
    if has_bars:
        return stem, min(max(bar, stem - _MOST_UNLIKE), stem + _MOST_UNLIKE)
    return stem, 0.0 if heights.bar * scale.em <= -stem else stem


def _is_narrowed(scale: Scale, heights: Heights) -> bool:
    """Whether stems become narrower while bars, much thinner, become wider."""
    return heights.bar <= _THIN_BAR * heights.stem and scale.stem < heights.stem * scale.em


def _tried(across: list[Line], down: list[Line]) -> list[tuple[Line, Line]]:
    """Return the cheapest moves along both axes."""
    return list(product(across[:ACROSS], down[:DOWN]))


def _placings_across(
    thick: Polygon, plain: Polygon, scale: Scale, *, more: float, is_even: bool
) -> list[Line]:
    stem = scale.stem
    ends = stroke_ends(level_edges(plain), most=1.7 * stem + 0.3 - more, more=more)
    box = (float(thick.points[:, 0].min()), float(thick.points[:, 0].max()))
    edges = [*upright_edges(thick), *ends]
    across = placings(
        _in_pairs(edges, sum(box)) if is_even else edges,
        box,
        [Rules(stroke=stem), Rules(stroke=stem, gap=0.0)],
        wide=stem,
        zones=(),
        short=0.035 * scale.high,
        tip=1.4 * scale.bar,
    )
    return [line for line in across if _is_even(line, box)] or across if is_even else across


def _placings_down(
    thick: Polygon, plain: Polygon, scale: Scale, heights: Heights, *, is_even: bool
) -> list[Line]:
    bar, level = scale.bar, level_edges(thick)
    return placings(
        [*level, *waist_edges(thick)] if is_even else level,
        (float(thick.points[:, 1].min()), float(thick.points[:, 1].max())),
        [
            Rules(stroke=bar),
            Rules(stroke=bar, least=0.5, gap=0.5, step=0.5),
            Rules(stroke=1, least=0.5, gap=0.0, step=0.5),
        ],
        wide=bar,
        zones=with_floors(zones_of(thick, plain, scale, heights), level, thick, scale),
        short=0.025 * scale.high,
        tip=0.0,
    )


def _in_pairs(edges: list[Edge], ends: float) -> list[Edge]:
    """Return the edges that have an image across the middle, at exactly mirrored places.

    Those without, as of a serif on one side, would keep the others from being placed evenly. `ends` is the
    sum of the places at which the letter begins and ends.
    """
    paired = []
    for edge in edges:
        images = [ends - other.at for other in edges if other.begins != edge.begins]
        nearest = min(images, key=lambda at: abs(at - edge.at), default=None)
        if nearest is not None and abs(nearest - edge.at) <= _UNEVEN:
            paired.append(replace(edge, at=(edge.at + nearest) / 2))
    return paired


def _is_even(line: Line, box: tuple[float, float]) -> bool:
    """Whether a move takes places mirrored in a letter that fills the box to mirrored places."""
    both = line.moved(line.places) + line.moved(sum(box) - line.places)
    return bool(np.ptp(both) < _EVEN)
