"""Strokes to polygons."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from math import acos, ceil, pi

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.affine import Affine
from svg2chart.geometry.cut import union_contours
from svg2chart.geometry.polygon import Polygon, Polylines

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

MOST_TIGHT_BENDS = 8
"""From so many on, uniting the pieces costs less than the crossings of a walk to the line and out again."""

# A pen this much thinner one way than the other is a line without width, and
# a turn whose cosine is this near to -1 goes straight back: rounding noise is 1e-16.
_FLAT = 1e-12
# A stroke this much thinner than the tolerance paints nothing that could be measured.
_UNSEEN = 1e-9
# Beyond this many chords in half a turn a round part is drawn coarser than the tolerance; it takes a pen
# about 27 million tolerances wide, so art on any grid stays below.
_MOST_CHORDS = 4096
# Turns of less than 25 degrees come from flattened curves rather than from corners.
_BEND = 0.9


class Cap(Enum):
    """How a stroke ends."""

    BUTT = "butt"
    ROUND = "round"
    SQUARE = "square"


class Join(Enum):
    """How a stroke turns a corner."""

    MITER = "miter"
    MITER_CLIP = "miter-clip"
    ARCS = "arcs"
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


def outline_stroke(lines: Polylines, style: StrokeStyle, *, pen: Affine, tolerance: float) -> Polygon:
    """Return the region that a stroke along the chains paints, dashes not considered.

    Every chain is walked on one side, there and back if it is open, once in
    each direction if it is closed, at half the width beside it:

        +-----------+        outside a corner the walk makes the join, inside
        |  +--------+        it takes the point where both sides meet, or, where
        |  |                 the pieces are too short for that, goes to the
        +--+                 corner itself and out again.

    As a sum of winding numbers such a walk is all of these, drawn one way round: a
    rectangle for each piece, a wedge for each join, a cap for each end, less
    what two neighbouring rectangles share inside a corner. No point gets less
    than 1 that lies in any of them, so the nonzero region is exactly their union.

    A chain of one point gets a dot under round and square caps, the square along
    the pen's axes. Turns so slight that all joins agree within the
    tolerance get one point. A miter longer than the limit becomes a bevel, under `MITER_CLIP` it is cut
    square at limit x width / 2 from the corner. Corners of `ARCS` become bevels here: the curves that their
    shape depends on are no longer known; `arc_joins` adds the rest.
    Source: SVG 2, 13.5 "Computing the shape of the stroke".

    Along a curve that bends more tightly than half the width, such a walk would go to the curve
    and out again at each of its points; there the pieces themselves are united.

    Args:
        lines: in user units, `pen` maps to them.
        style: lengths in pen space.
        pen: its shift is ignored; a pen without area paints nothing.
        tolerance: how far round parts may stray, in the unit of `lines`.
    """
    to_user = pen.linear()
    if style.width * to_user.largest_scale <= _UNSEEN * tolerance or is_flat(pen):
        return Polygon.of_contours([])
    half = style.width / 2
    slack = tolerance / to_user.largest_scale
    contours: list[Array] = []
    for points, closed in _distinct_chains(lines, to_user.inverse()):
        if len(points) == 1:
            contours.extend(_dot(points[0], style.cap, half, slack))
            continue
        ends = np.zeros(len(points), dtype=np.bool_)
        if closed:
            sides = [_side(points, ends, style, slack), _side(points[::-1], ends, style, slack)]
        else:
            ends[[0, -1]] = True
            there_and_back = np.concatenate([points, points[-2:0:-1]])
            both_ends = np.concatenate([ends, np.zeros(len(points) - 2, bool)])
            sides = [_side(there_and_back, both_ends, style, slack)]
        bends = sum(side.tight_bends for side in sides)
        contours.extend(_united(sides) if bends > MOST_TIGHT_BENDS else [side.contour for side in sides])
    return Polygon.of_contours([to_user.apply(contour) for contour in contours])


def is_flat(pen: Affine) -> bool:
    """Whether a pen is a line without width, which paints nothing."""
    return not abs(pen.determinant) > _FLAT * pen.largest_scale**2


def _distinct_chains(lines: Polylines, into: Affine) -> list[tuple[Array, bool]]:
    """Return the chains in another space, without points that equal the one before."""
    chains = []
    for points, closed in lines.chains():
        mapped = into.apply(points)
        distinct = mapped[np.concatenate([[True], (mapped[1:] != mapped[:-1]).any(axis=1)])]
        if closed and len(distinct) > 1 and (distinct[0] == distinct[-1]).all():
            distinct = distinct[:-1]
        chains.append((distinct, closed))
    return chains


def arc_step(half: float, slack: float) -> float:
    """Return the largest angle whose chord stays within the slack of its arc: r (1 - cos(a/2))."""
    return max(2 * acos(max(1 - slack / half, 0.0)), pi / _MOST_CHORDS)


def _dot(centre: Array, cap: Cap, half: float, slack: float) -> list[Array]:
    """Return what a chain of no length paints, in pen space. Source: SVG 2, 13.5.4 stroke-linecap."""
    if cap is Cap.BUTT:
        return []
    if cap is Cap.SQUARE:
        return [centre + half * np.array([[1.0, 1.0], [1.0, -1.0], [-1.0, -1.0], [-1.0, 1.0]])]
    count = 4 * ceil(pi / 2 / arc_step(half, slack))
    angles = -2 * pi * np.arange(count) / count
    return [centre + half * np.stack([np.cos(angles), np.sin(angles)], axis=1)]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Corners:
    """The points of a closed walk and how it turns at them; directions are of length 1."""

    at: Array
    into: Array
    out: Array
    cosine: Array
    sine: Array  # positive: the walk turns to the side that it draws, an inner corner
    room: Array  # half of the shorter of the two pieces

    @staticmethod
    def of(points: Array) -> "_Corners":
        leaving = np.roll(points, -1, axis=0) - points
        length = np.hypot(leaving[:, 0], leaving[:, 1])
        out = leaving / length[:, np.newaxis]
        into = np.roll(out, 1, axis=0)
        return _Corners(
            at=points,
            into=into,
            out=out,
            cosine=(into * out).sum(axis=1),
            sine=into[:, 0] * out[:, 1] - into[:, 1] * out[:, 0],
            room=np.minimum(length, np.roll(length, 1)) / 2,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Side:
    """One side of a closed walk: its contour, and from where to where the contour passes each point."""

    points: Array
    contour: Array
    first: NDArray[np.int64]
    last: NDArray[np.int64]
    tight_bends: int


def _side(points: Array, ends: Flags, style: StrokeStyle, slack: float) -> _Side:
    """Return one side of a closed walk; `ends` are where it turns back at a cap."""
    half = style.width / 2
    corners = _Corners.of(points)
    single, arcs = _single(corners, ends, style, slack), _arcs(corners, ends, style, slack)
    detour = ~single & (corners.sine > 0)
    counts = np.select([single, detour, arcs > 0], [1, 3, arcs + 1], 2)
    first = np.cumsum(counts) - counts
    last = first + counts - 1

    before, after = half * _beside(corners.into), half * _beside(corners.out)
    if style.cap is Cap.SQUARE:
        longer = np.where(ends[:, np.newaxis], half * corners.into, 0.0)
        before, after = before + longer, after + longer
    if style.join is Join.MITER_CLIP:
        beyond = np.where(ends | single | detour, 0.0, _clip_length(corners, style))[:, np.newaxis]
        before, after = before + beyond * corners.into, after - beyond * corners.out
    contour = np.empty((int(counts.sum()), 2))
    contour[first] = points + before
    contour[last] = points + after
    contour[first[detour] + 1] = points[detour]
    miter = (before[single] + after[single]) / (1 + corners.cosine[single, np.newaxis])
    contour[first[single]] = points[single] + miter
    _draw_arcs(contour, first, arcs, corners, half)
    tight = detour & (corners.cosine > _BEND)
    return _Side(points=points, contour=contour, first=first, last=last, tight_bends=int(tight.sum()))


def _clip_length(corners: _Corners, style: StrokeStyle) -> Array:
    """Return how far the sides run on beyond each corner up to the line that cuts its miter.

    Seen along the bisector that line is limit x width / 2 from the corner, the side begins half the width
    x cos(turn / 2) from it and runs on with sin(turn / 2).
    """
    whole = np.clip(corners.cosine, -1.0, 1.0)  # rounding makes it a little more
    cosine, sine = np.sqrt((1 + whole) / 2), np.sqrt((1 - whole) / 2)
    reach = style.width / 2 * (style.miter_limit - cosine)
    return np.asarray(np.divide(reach, sine, out=np.zeros_like(reach), where=sine > 0))


def _united(sides: Sequence[_Side]) -> list[Array]:
    """Return the contours of the union of what the sides are the sum of, drawn the same way round."""
    parts: list[Array] = []
    for side in sides:
        onwards = np.roll(np.arange(len(side.points)), -1)
        begins, ends = side.contour[side.last], side.contour[side.first[onwards]]
        pieces = np.stack([side.points, begins, ends, side.points[onwards]], axis=1)
        spans = zip(pieces, side.points, side.first.tolist(), side.last.tolist(), strict=True)
        for piece, point, first, last in spans:
            parts.append(piece)
            if last > first:  # a corner of more than one point has a wedge
                parts.append(np.vstack([point, side.contour[first : last + 1]]))
    return [contour[::-1] for contour in union_contours(parts)]


def _beside(directions: Array) -> Array:
    """Return each direction turned by a quarter."""
    return np.stack([-directions[:, 1], directions[:, 0]], axis=1)


def _single(corners: _Corners, ends: Flags, style: StrokeStyle, slack: float) -> Flags:
    """Return at which corners the contour has one point, where the two sides meet.

    That point is half the width / cos(turn / 2) from the corner and half the width x
    tan(turn / 2) back along the pieces; tan(a/2) = sin a / (1 + cos a).
    """
    half = style.width / 2
    grown = 1 + corners.cosine  # 2 cos^2(turn / 2)
    inner = half * corners.sine < corners.room * grown
    # half / cos(turn / 2) <= half + slack
    slight = grown * (1 + slack / half) ** 2 >= 2
    is_mitered = style.join in (Join.MITER, Join.MITER_CLIP)
    sharp = grown * style.miter_limit**2 >= 2 if is_mitered else slight
    outer = slight | sharp
    back = grown < _FLAT
    return np.asarray(~ends & ~back & np.where(corners.sine > 0, inner, outer))


def _arcs(corners: _Corners, ends: Flags, style: StrokeStyle, slack: float) -> NDArray[np.int64]:
    """Return how many chords the arc at each corner has, 0 where there is none."""
    half = style.width / 2
    is_round = np.where(ends, style.cap is Cap.ROUND, style.join is Join.ROUND)
    is_round &= ends | ~((corners.sine > 0) | _single(corners, ends, style, slack))
    turn = np.where(ends, pi, np.arctan2(np.abs(corners.sine), corners.cosine))
    chords = np.ceil(turn / arc_step(half, slack))
    return np.where(is_round, np.maximum(chords, 1), 0).astype(np.int64)


def _draw_arcs(
    contour: Array, first: NDArray[np.int64], arcs: NDArray[np.int64], corners: _Corners, half: float
) -> None:
    """Put the inner points of the arcs into the contour, measured from the middle of each arc."""
    inner = np.maximum(arcs - 1, 0)
    owner = np.repeat(np.arange(len(arcs)), inner)
    step = np.arange(len(owner)) - np.repeat(np.cumsum(inner) - inner, inner) + 1
    # the middle of the arc: between the two sides, or, where those cancel out, straight on
    sides = _beside(corners.into) + _beside(corners.out)
    middle = np.where(corners.cosine[:, np.newaxis] > 0, sides, corners.into - corners.out)[owner]
    middle /= np.hypot(middle[:, 0], middle[:, 1])[:, np.newaxis]
    along = np.stack([middle[:, 1], -middle[:, 0]], axis=1)
    turn = np.arctan2(np.abs(corners.sine), corners.cosine)[owner]
    angle = ((2 * step - arcs[owner]) / (2 * arcs[owner]) * turn)[:, np.newaxis]
    contour[first[owner] + step] = corners.at[owner] + half * (np.cos(angle) * middle + np.sin(angle) * along)
