"""Straight sides as they are seen, and which slanted ones bound one colour between them.

A side is slanted if it runs more than 3 degrees off the grid. What is seen of it is told by the steps along
lines across the drawing that lie on it; slanted sides near each other on one straight line are one slant.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.sightlines import LINES_PER_SQUARE, UNIT, Sights, line_places
from svg2chart.fitting.tips import are_of_boxes
from svg2chart.runs import begins, linked, spread

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

OFF_GRID = 0.0524
"""Sides that run so near to the grid's directions are not slanted: 3 degrees, in radians."""

LEAST_SIDE = 0.75
"""Shorter sides, in squares, are no sides."""

LEAST_SEEN = 5 * LINES_PER_SQUARE // 2
"""A slant is seen on at least so many lines: for 45 degrees, one and a quarter squares across and down."""

LEAST_OF_BOX = 2 * LINES_PER_SQUARE
"""So many are enough for a side of a turned box: no chord of anything round ends in two right corners."""

AT_END = 0.5
"""A side that is seen so near to its end, in squares, is seen to its end: lines lie that far apart."""

MOST_SLANTED = 1500
"""Of more slanted sides only the longest are looked at: each is held against each."""

CURVE = 0.14
"""A side that turns by less at both of its ends, in radians, may be a chord of a curve: 8 degrees."""

LONGER = 4
"""A side is no chord if it is so many times as long as both sides next to it."""

REPEATED = 2.0**-13
"""Points so near to each other, in squares, are the same: the rest is rounding, here and in the drawing."""

STRAIGHT = 1e-4
"""Where a contour turns by less, in radians, it goes straight on: points are rounded."""

ONE_LINE = 1 / 32
"""Sides so near to each other's line, in squares, are on one line."""

WIDEST_GAP = 4.0
"""Sides on one line with more between them, in squares, have nothing to do with each other."""

ALIKE = 0.01
"""Sides whose directions differ by less, in radians, are parallel."""

FINE = 2.0**26
"""Middles of sides are summed in steps of 2^-26 of a square, so that sums are exact in any order."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class StraightSides:
    """Straight sides of which something is seen.

    at: (n, 4) from where to where, in squares, downwards. seen: (n, 4) the same of what is seen, hidden
        parts between left in. slanted: (n,) whether each is.
    steps: for lines along rows, and along columns, the sides and the steps of `sights` that lie on them.
    """

    at: Floats
    seen: Floats
    slanted: Bools
    steps: tuple[tuple[Ints, Ints], tuple[Ints, Ints]]
    sights: tuple[Sights, Sights]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Slants:
    """Slants, (n,) each, the sides that they are made of, (sides,), and pairs of slants, (pairs,).

    side: which of all sides. slant: of each of these.
    normal: (n, 2) across each slant as drawn, of length one. at: (n, 2) its middle after the warp.
    weight: on how many lines it is seen. growing: on how many of them the upper shape grows along the
        normal, less those where it grows against it.
    first, second: slants that bound one colour, the second along the normal. wide: how far apart, measured
        along the grid, in squares.
    """

    side: Ints
    slant: Ints
    normal: Floats
    at: Floats
    weight: Ints
    growing: Ints
    first: Ints
    second: Ints
    wide: Floats


def find_straight(points: Floats, starts: Ints, across: Sights, down: Sights) -> StraightSides:
    """Return the straight sides of contours of which something is seen.

    Args:
        points: the corners of all contours, in squares.
        starts: where each contour starts, and the end of the last.
        across: what is seen along rows.
        down: what is seen along columns.
    """
    at, slanted = _straight(points, starts)
    steps = [steps_on(at, across, axis=0), steps_on(at, down, axis=1)]
    least, most = np.ones(len(at)), np.zeros(len(at))
    for own, _, part in steps:
        np.minimum.at(least, own, part)
        np.maximum.at(most, own, part)
    length = np.hypot(at[:, 2] - at[:, 0], at[:, 3] - at[:, 1])
    # where a line along rows and one along columns cross a side at one place no length of it is seen
    kept = (most - least) * length > REPEATED
    number = np.cumsum(kept) - 1
    one, other = ((number[own[kept[own]]], step[kept[own]]) for own, step, _ in steps)
    seen = _part_of(at[kept], least[kept], most[kept])
    return StraightSides(
        at=at[kept], seen=seen, slanted=slanted[kept], steps=(one, other), sights=(across, down)
    )


def _part_of(ends: Floats, least: Floats, most: Floats) -> Floats:
    """Return parts of sides, the ends of these where hardly anything is missing."""
    start, way = ends[:, :2], ends[:, 2:] - ends[:, :2]
    end = AT_END / np.hypot(way[:, 0], way[:, 1])
    low, high = np.where(least <= end, 0.0, least), np.where(1 - most <= end, 1.0, most)
    return np.concatenate([start + low[:, None] * way, start + high[:, None] * way], axis=1)


def _straight(points: Floats, starts: Ints) -> tuple[Floats, Bools]:
    """Return straight sides, chords of curves left out, each once, downwards; and which are slanted."""
    contour = np.repeat(np.arange(len(starts) - 1), np.diff(starts))
    following, turn = turns(points, contour)
    way = points[following] - points
    length = np.hypot(way[:, 0], way[:, 1])
    before = np.empty_like(following)
    before[following] = np.arange(len(points))
    beside = np.maximum(length[before], length[following])
    chord = (turn < CURVE) & (turn[following] < CURVE) & (length < LONGER * beside)
    kept = (length >= LEAST_SIDE) & ~chord
    off_grid = np.arctan2(np.abs(way).min(axis=1), np.abs(way).max(axis=1))
    slanted = off_grid > OFF_GRID
    if (kept & slanted).sum() > MOST_SLANTED:
        kept &= ~slanted | (length > np.sort(length[kept & slanted])[-MOST_SLANTED])
    ends = downwards(np.concatenate([points[kept], points[following[kept]]], axis=1))
    order = np.lexsort(ends.T[::-1])
    first = order[begins(*ends[order].T)]
    return ends[first], slanted[kept][first]


def downwards(edges: Floats) -> Floats:
    """Return edges, (n, 4), that run downwards, level ones to the right."""
    backwards = (edges[:, 3] < edges[:, 1]) | ((edges[:, 3] == edges[:, 1]) & (edges[:, 2] < edges[:, 0]))
    return np.where(backwards[:, None], edges[:, [2, 3, 0, 1]], edges)


def turns(points: Floats, contour: Ints) -> tuple[Ints, Floats]:
    """Return the point that follows each along its contour, and how it turns there, in radians."""
    following, sine, cosine = _sines(points, contour)
    return following, np.arctan2(sine, cosine)


def neighbours(contour: Ints) -> tuple[Ints, Ints]:
    """Return the point that follows each along its contour, and the one before."""
    following, before = np.arange(1, len(contour) + 1), np.arange(-1, len(contour) - 1)
    first = np.flatnonzero(begins(contour))
    last = np.append(first, len(contour))[1:] - 1
    following[last], before[first] = first, last
    return following, before


def _sines(points: Floats, contour: Ints) -> tuple[Ints, Floats, Floats]:
    """Return the point that follows each, and sine and cosine of the turn there, times lengths."""
    following, before = neighbours(contour)
    x, y = (points[following] - points).T
    one_x, one_y = x[before], y[before]
    return following, np.abs(one_x * y - one_y * x), one_x * x + one_y * y


def corners(points: Floats, starts: Ints) -> tuple[Ints, Ints]:
    """Return the points of contours that are neither repeated nor on a straight side, and the new starts."""
    if not len(points):
        return np.zeros(0, np.int64), starts
    contour = np.repeat(np.arange(len(starts) - 1), np.diff(starts))
    x, y = np.abs(points[neighbours(contour)[0]] - points).T
    kept = np.flatnonzero(np.maximum(x, y) > REPEATED)
    _, sine, cosine = _sines(points[kept], contour[kept])
    kept = kept[sine > np.tan(STRAIGHT) * cosine]
    counts = np.bincount(contour[kept], minlength=len(starts) - 1)
    return kept, np.concatenate([[0], np.cumsum(counts)])


def steps_on(side: Floats, sights: Sights, *, axis: int) -> tuple[Ints, Ints, Floats]:
    """Return sides, steps on them where lines along an axis cross them, and how far along, 0 to 1."""
    along, over = side[:, [axis, axis + 2]], side[:, [1 - axis, 3 - axis]]
    line, place = line_places(int(sights.line.max(initial=-1)) + 1)
    first = np.searchsorted(place, over.min(axis=1, initial=np.inf))
    last = np.searchsorted(place, over.max(axis=1, initial=-np.inf))
    own = np.repeat(np.arange(len(side)), last - first)
    crossing = spread(first, last - first)
    part = (place[crossing] - over[own, 0]) / (over[own, 1] - over[own, 0])
    at = np.rint((along[own, 0] + part * (along[own, 1] - along[own, 0])) * UNIT).astype(np.int64)
    scale = 1 << 40
    wanted, keys = line[crossing] * scale + at, sights.line * scale + sights.at
    near = round(REPEATED * UNIT)
    low, high = np.searchsorted(keys, wanted - near), np.searchsorted(keys, wanted + near, side="right")
    found = high - low
    return np.repeat(own, found), spread(low, found), np.repeat(part, found)


def seen_on(edges: Floats, sights: Sequence[Sights]) -> tuple[Ints, Floats]:
    """Return edges of which lines across the drawing see something, by line, and (n, 2) where.

    Args:
        edges: (m, 4) in squares.
        sights: what is seen along rows, and perhaps along columns.
    """
    found, places = [], []
    for axis, own in enumerate(sights):
        edge, _, part = steps_on(edges, own, axis=axis)
        found.append(edge)
        places.append(edges[edge, :2] + part[:, None] * (edges[edge, 2:] - edges[edge, :2]))
    return np.concatenate(found), np.concatenate(places)


def _of_parts(ways: Floats, sides: StraightSides) -> Floats:
    """Return the ways of the ends of what is seen of sides, from those of their own ends."""
    way = sides.at[:, 2:] - sides.at[:, :2]
    length = (way**2).sum(axis=1)
    result = []
    for points in (sides.seen[:, :2], sides.seen[:, 2:]):
        part = (((points - sides.at[:, :2]) * way).sum(axis=1) / length)[:, None]
        result.append((1 - part) * ways[:, :2] + part * ways[:, 2:])
    return np.concatenate(result, axis=1)


def find_slants(sides: StraightSides, shift: Floats) -> Slants:
    """Return the slants that are seen on enough lines, and the pairs that are parallel and share enough.

    Args:
        sides: as drawn.
        shift: (sides, 4) how far the warp moves their ends.
    """
    side = np.flatnonzero(sides.slanted)
    ends = sides.seen[side]
    group = _on_one_line(ends)
    count = int(group.max(initial=-1)) + 1
    of_side = np.full(len(sides.at), -1, np.int64)
    of_side[side] = group
    normal, at = _lines(ends, ends + _of_parts(shift, sides)[side], group, count)
    weight, growing, pairs = np.zeros(count, np.int64), np.zeros(count, np.int64), []
    for axis, ((own, step), sights) in enumerate(zip(sides.steps, sides.sights, strict=True)):
        of_step = _slant_of_each(of_side[own], step, len(sights.at))
        on = of_step >= 0
        weight += np.bincount(of_step[on], minlength=count)
        # what comes after grows backwards
        lean = -sights.rise[on] * np.sign(normal[of_step[on], axis]).astype(np.int64)
        np.add.at(growing, of_step[on], lean)
        pairs.append(_bounds(sights, of_step))
    first, second, wide = _parallel(np.concatenate(pairs, axis=1), normal, at, weight)
    of_box = np.bincount(group, are_of_boxes(sides.at[side]), count) > 0
    kept = weight >= np.where(of_box, LEAST_OF_BOX, LEAST_SEEN)
    number = np.cumsum(kept) - 1
    return Slants(
        side=side[kept[group]],
        slant=number[group[kept[group]]],
        normal=normal[kept],
        at=at[kept],
        weight=weight[kept],
        growing=growing[kept],
        first=number[first],
        second=number[second],
        wide=wide,
    )


def _on_one_line(ends: Floats) -> Ints:
    """Return the number of the line that each side lies on."""
    way, middle = ends[:, 2:] - ends[:, :2], (ends[:, 2:] + ends[:, :2]) / 2
    length = np.hypot(way[:, 0], way[:, 1])
    angle = np.arctan2(way[:, 1], way[:, 0])
    by_angle = np.argsort(angle, kind="stable")
    after = np.searchsorted(angle[by_angle], angle[by_angle] + ALIKE)
    rest = np.maximum(after - np.arange(len(ends)) - 1, 0)
    one = by_angle[np.repeat(np.arange(len(ends)), rest)]
    other = by_angle[spread(np.arange(len(ends)) + 1, rest)]
    apart = middle[other] - middle[one]
    off = [
        np.abs(apart[:, 0] * way[s, 1] - apart[:, 1] * way[s, 0]) < ONE_LINE * length[s] for s in (one, other)
    ]
    gap = np.hypot(apart[:, 0], apart[:, 1]) - (length[one] + length[other]) / 2
    near = (off[0] | off[1]) & (gap <= WIDEST_GAP)
    return np.asarray(np.unique(linked(one[near], other[near], len(ends)), return_inverse=True)[1])


def _lines(ends: Floats, now: Floats, group: Ints, count: int) -> tuple[Floats, Floats]:
    """Return the mean normals of each group of sides, and of their middles now, by length."""
    way = ends[:, 2:] - ends[:, :2]
    weight = np.ceil(np.hypot(way[:, 0], way[:, 1]) * 4)
    middle = np.rint((now[:, 2:] + now[:, :2]) / 2 * FINE)
    whole = [np.bincount(group, part, count) for part in (*way.T, weight, *(middle.T * weight))]
    direction = np.stack(whole[:2], axis=1)
    normal = np.stack([direction[:, 1], -direction[:, 0]], axis=1)
    at = np.stack(whole[3:], axis=1) / whole[2][:, None] / FINE
    return normal / np.hypot(normal[:, 0], normal[:, 1])[:, None], at


def _slant_of_each(slant: Ints, step: Ints, count: int) -> Ints:
    """Return the one slant of each of so many steps; -1 for none, or several."""
    least, most = np.full(count, np.iinfo(np.int64).max), np.full(count, -1, np.int64)
    some = slant >= 0
    np.minimum.at(least, step[some], slant[some])
    np.maximum.at(most, step[some], slant[some])
    return np.where(least == most, most, -1)


def _bounds(sights: Sights, of_step: Ints) -> Ints:
    """Return (2, n) the slants on both sides of each stretch of a colour that is no gap between others."""
    left, right = of_step[:-1], of_step[1:]
    gap = (sights.rise[:-1] < 0) & (sights.rise[1:] > 0)
    both = (sights.line[1:] == sights.line[:-1]) & (left >= 0) & (right >= 0) & (left != right) & ~gap
    return np.sort(np.stack([left[both], right[both]]), axis=0)


def _parallel(found: Ints, normal: Floats, at: Floats, weight: Ints) -> tuple[Ints, Ints, Floats]:
    """Return those pairs of slants, of all stretches found, that are parallel and face each other enough."""
    pairs, shared = np.unique(found[0] * len(weight) + found[1], return_counts=True)
    one, other = np.divmod(pairs, max(len(weight), 1))
    sine = normal[one, 0] * normal[other, 1] - normal[one, 1] * normal[other, 0]
    least = np.minimum(weight[one], weight[other])
    kept = (np.abs(sine) < ALIKE) & (2 * shared >= least) & (least >= LEAST_SEEN)
    one, other = one[kept], other[kept]
    across = normal[one] + normal[other]
    wide = ((at[other] - at[one]) * across).sum(axis=1) / np.abs(across).max(axis=1, initial=0.0)
    swapped = wide < 0
    return np.where(swapped, other, one), np.where(swapped, one, other), np.abs(wide)
