"""A letter's outline moved onto the hole lines: its edges to whole places, all else along with them."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.polygon import Polygon
from svg2chart.lettering.edges import Edge, level_edges
from svg2chart.lettering.heights import stroke_pairs
from svg2chart.letters.knots import Knot, Placing, Rules, place_knots

Array = NDArray[np.float64]

LEVEL = 0.45
"""Edges of one kind that are nearer to each other than so many squares go to one place."""
_TIP = 0.4
"""What is narrower than so many squares is no stroke, for these have been widened, but where slants meet."""
_STEP = 0.25
"""Long edges are cut into pieces of so many squares before they are moved."""
_ON_EDGE = 0.02
"""What is nearer to an edge than so many squares lies on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """A height that letters keep: edges within `slack` of `at` that begin or end ink go to `to`."""

    at: float
    to: float
    begins: bool
    slack: float


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Line:
    """A move along one axis: from places to places, linear between them, as far as at the end beyond."""

    places: Array
    to: Array
    cost: float

    def moved(self, values: Array) -> Array:
        """Return values moved."""
        before = np.minimum(values - self.places[0], 0.0)
        after = np.maximum(values - self.places[-1], 0.0)
        return np.asarray(np.interp(values, self.places, self.to) + before + after)


def placings(
    edges: Sequence[Edge],
    box: tuple[float, float],
    rules: Sequence[Rules],
    *,
    wide: float,
    zones: Sequence[Zone],
    short: float,
    tip: float,
) -> list[Line]:
    """Return moves along one axis, the cheapest first.

    Args:
        edges: of the letter along that axis, in squares.
        box: where the letter begins and ends along it; both go to whole places.
        rules: what strokes and gaps become; later ones only where earlier ones cannot be kept.
        wide: how wide an ordinary stroke is in the outline.
        zones: heights that are kept; with none, the letter may move along as it likes.
        short: edges that are shorter, in squares, are none.
        tip: edges that are shorter and at which a stroke ends bound no stroke of their own.
    """
    most = max(1.8 * wide, wide + 1.0)
    kept = [edge for edge in edges if edge.length >= short]
    tips = [pair for pair in stroke_pairs(kept, most=most, short=tip) if pair[1].at - pair[0].at < _TIP]
    kept = [edge for edge in kept if not any(edge in pair for pair in tips)]
    for at, begins in zip(box, (True, False), strict=True):
        if not any(edge.begins == begins and abs(edge.at - at) < LEVEL for edge in kept):
            kept.append(Edge(at=at, begins=begins, low=0.0, high=0.2))
    strokes = stroke_pairs(kept, most=most, short=tip)
    knots = _knots(kept, strokes, rules[0], zones)
    place_of = {id(edge): index for index, knot in enumerate(knots) for edge in knot.edges}
    pairs = sorted({(place_of[id(begin)], place_of[id(end)]) for begin, end in strokes})
    pairs = [(begin, end) for begin, end in pairs if begin < end]
    for rule in rules:
        found = place_knots(knots, pairs, rule, is_free=not zones)
        lines = [_line(knots, placing, box) for placing in found]
        if lines:
            return lines
    return []


def _line(knots: Sequence[Knot], placing: Placing, box: tuple[float, float]) -> Line:
    """Return the move of a placing: every edge of a knot goes to its place, so that all lie on one line.

    What lies beyond the outer edges, as curves do, goes where they go. Nothing changes its order: knots hold
    edges that follow each other, and no knot is placed before the one before it.
    """
    pairs = [(edge.at, to) for knot, to in zip(knots, placing.places, strict=True) for edge in knot.edges]
    places, to = np.array(pairs).T
    places = np.array([min(box[0], places[0]), *places, max(box[1], places[-1])])
    to = np.array([to[0], *to, to[-1]])
    kept = np.concatenate([[True], np.diff(places) > 1e-6])
    return Line(places=places[kept], to=to[kept], cost=placing.cost)


def _knots(
    edges: Sequence[Edge], strokes: Sequence[tuple[Edge, Edge]], rules: Rules, zones: Sequence[Zone]
) -> list[Knot]:
    """Return the edges that go to one place together, in order: none lies between those of another knot."""
    wishes: dict[int, float] = {}
    scale = _zone_scale(zones)
    for begin, end in strokes:
        wide = rules.widths(end.at - begin.at)[0]
        top, foot = zone_of(begin, zones), zone_of(end, zones)
        if top is None:
            middle = float(scale(np.array([(begin.at + end.at) / 2]))[0])
            top = middle - wide / 2 if foot is None else foot - wide
        wishes[id(begin)], wishes[id(end)] = top, top + wide
    for edge in edges:
        wishes.setdefault(id(edge), float(scale(np.array([edge.at]))[0]))
    knots: list[Knot] = []
    for edge in sorted(edges, key=lambda edge: (edge.at, edge.begins, edge.low)):
        last = next((knot for knot in reversed(knots) if knot.begins == edge.begins), None)
        between = last is not None and any(knot.begins != edge.begins for knot in knots[knots.index(last) :])
        fixed = zone_of(edge, zones)
        is_same = last is not None and edge.at - last.at < LEVEL and not between and last.fixed == fixed
        if last is not None and is_same:
            knots[knots.index(last)] = _joined(last, edge, wishes)
        else:
            knots.append(
                Knot(at=edge.at, begins=edge.begins, edges=(edge,), wish=wishes[id(edge)], fixed=fixed)
            )
    return knots


def _joined(knot: Knot, edge: Edge, wishes: dict[int, float]) -> Knot:
    """Return a knot with one more edge: at the outer place, where the longer ones wish to be."""
    edges = (*knot.edges, edge)
    weights = [one.length + 0.05 for one in edges]
    wish = sum(w * wishes[id(one)] for w, one in zip(weights, edges, strict=True)) / sum(weights)
    at = sum(w * one.at for w, one in zip(weights, edges, strict=True)) / sum(weights)
    return replace(knot, at=at, edges=edges, wish=wish)


def zone_of(edge: Edge, zones: Sequence[Zone]) -> float | None:
    """Return where an edge goes that lies at a zone, None for one that does not."""
    near = [zone for zone in zones if zone.begins == edge.begins and abs(edge.at - zone.at) <= zone.slack]
    return min(near, key=lambda zone: abs(edge.at - zone.at)).to if near else None


def _zone_scale(zones: Sequence[Zone]) -> Callable[[Array], Array]:
    """Return how places are moved by the zones alone."""
    if not zones:
        return lambda values: values
    pairs = sorted({(zone.at, zone.to) for zone in zones})
    ats, tos = np.array(pairs).T
    line = Line(places=ats, to=tos, cost=0.0)
    return line.moved


def cut_finely(polygon: Polygon) -> Polygon:
    """Return the same polygon with more points on its long edges."""
    contours = []
    for contour in polygon.contours():
        following = np.roll(contour, -1, axis=0)
        counts = np.maximum(np.ceil(np.hypot(*(following - contour).T) / _STEP), 1).astype(int)
        pieces = [
            start + (end - start) * (np.arange(count)[:, None] / count)
            for start, end, count in zip(contour, following, counts, strict=True)
        ]
        contours.append(np.concatenate(pieces))
    return Polygon.of_contours(contours)


def moved(polygon: Polygon, across: Line, down: Line) -> Polygon:
    """Return a polygon moved along both axes."""
    points = np.stack([across.moved(polygon.points[:, 0]), down.moved(polygon.points[:, 1])], axis=1)
    return replace(polygon, points=points)


def with_ends_drawn_out(polygon: Polygon, zones: Sequence[Zone]) -> Polygon:
    """Return a letter whose strokes end where it ends, if both are at one zone.

    Rounds reach beyond the line on which strokes end level. Moved onto one line with these, an arch would be
    pressed flat beside the stem that it springs from, and not where there is no such stem's end.
    """
    points = polygon.points.copy()
    top, foot = float(points[:, 1].min()), float(points[:, 1].max())
    for edge in (one for one in level_edges(polygon) if one.is_end):
        outer = replace(edge, at=top if edge.begins else foot)
        is_within = abs(edge.at - outer.at) > _ON_EDGE
        if is_within and zone_of(edge, zones) is not None and zone_of(edge, zones) == zone_of(outer, zones):
            across = (points[:, 0] > edge.low - _ON_EDGE) & (points[:, 0] < edge.high + _ON_EDGE)
            points[across & (abs(points[:, 1] - edge.at) < _ON_EDGE), 1] = outer.at
    return replace(polygon, points=points)
