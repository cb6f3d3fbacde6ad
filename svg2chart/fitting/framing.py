"""Which motifs are fitted in frames of their own, and how they lie in these."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import compress, product

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.alike import Manner, best_ways
from svg2chart.fitting.carrying import as_numbers
from svg2chart.fitting.frames import Frames
from svg2chart.fitting.likeness import ALIKE, SIGNS, Figure, completed
from svg2chart.fitting.motifs import Motifs
from svg2chart.fitting.rows import row_neighbours
from svg2chart.fitting.sightlines import AT_HOLE, UNIT
from svg2chart.fitting.slants import LEAST_SIDE
from svg2chart.fitting.tips import tips_inward
from svg2chart.fitting.warp import Warp, finely
from svg2chart.fitting.widths import ONE_WIDTH
from svg2chart.geometry.boxes import boxes_of, grown, middles_of
from svg2chart.geometry.meetings import boxes_in_boxes, overlapping_boxes
from svg2chart.geometry.polygon import edges_of, ways_of
from svg2chart.runs import spread

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

MARGIN = 4
"""So many squares are left around a motif in its frame."""

OFF_HOLE = 1.0
"""What it costs, in squares moved, if a tip cannot come to its hole; our own choice."""

MOST_KINDS = 100
"""Of more kinds only the largest are fitted in frames: each takes as long as a small drawing."""

MOST = 2 / 3
"""A motif was drawn on the grid if more of its sides along the grid, by length, lies there: of two sides that
bound it one may lie there by chance. Our own choice."""

ROW = 2.0
"""Copies whose boxes lie no farther apart than twice this, in ways that anything may go, may be of a row."""

LEAST_SLANT = 0.5
"""Slanted edges that are shorter in either direction, in squares, are chords of curves."""

SAME = 2.0**-12
"""Places that differ by less, in squares, are the same but for rounding."""

UPRIGHT = 0.05
"""An edge that leans less, as a part of its length, is upright or level."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Motif:
    """What lies within the box of a motif: the edges of contours, and how it looks.

    is_bound: (2,) whether it may not move across, and down.
    tips: the edges at 45 degrees that begin at a tip.
    """

    box: Floats
    is_bound: Bools
    edges: Floats
    tips: Ints
    figure: Figure

    def on_grid(self) -> Bools:
        """Return (2,) whether it stays, across and down: most sides lie on hole lines or end at holes."""
        way = ways_of(self.edges)
        off = np.abs(self.edges - np.rint(self.edges)) <= AT_HOLE
        result = []
        for axis in (0, 1):
            # sides along the other axis tell nothing
            tells = (way[:, axis] <= UPRIGHT * way[:, 1 - axis]) | (way.min(axis=1) >= LEAST_SLANT)
            length, on = way[tells].max(axis=1), off[tells][:, [axis, axis + 2]].all(axis=1)
            result.append(bool(length[on].sum() > MOST * length.sum()))
        return np.array(result)

    def misfit(self, axis: int, off: float) -> float:
        """Return by how much widths miss whole ones if its middle is so far off a hole line; in the mean.

        These are that of its box and, where it is the same on both sides, those between its sides along the
        grid, by how long these are. A tip at 45 degrees that lies on the middle misses its hole.
        """
        way = ways_of(self.edges)
        from_middle = np.abs(self.edges[:, [axis, axis + 2]] - middles_of(self.box[None])[0, axis])
        place, weight = np.full(1, self.figure.size[axis] / 2), np.ones(1)
        if self.figure.is_even[axis]:
            along = way[:, axis] <= UPRIGHT * way[:, 1 - axis]
            place = np.append(place, from_middle[along].mean(axis=1))
            weight = np.append(weight, way[along, 1 - axis])
        # what is narrow becomes a square wide
        whole = np.maximum(np.rint(place - off), 0.0 if off else 1.0) + off
        has_tip = (from_middle[self.tips, 0] <= ALIKE).any()
        missed = OFF_HOLE if has_tip and off else 0.0
        return missed + float(2 * (np.abs(whole - place) * weight).sum() / weight.sum())


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Copy:
    """A motif by number, how it is turned to lie as the first of its kind, and onto which of its points."""

    motif: int
    sign: Ints
    onto: Ints


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Kind:
    """Copies of the figure of one motif."""

    first: _Motif
    copies: list[_Copy]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Frame:
    """Copies of a figure, where the middle of each comes to lie, and how they lie in their frame.

    is_fine: (2,) whether points are rounded: not where all stay on the grid, nor where they are led.
    is_free: (2,) whether they lie as suits them.
    """

    figure: Figure
    is_fine: Bools
    copies: list[_Copy]
    now: Floats
    middle: Floats
    is_free: Bools


def find_frames(
    found: Motifs,
    points: Floats,
    starts: Ints,
    warp: Warp,
    *,
    between: Floats,
    middle: Floats,
    farthest: float,
) -> Frames:
    """Return the frames of motifs that are the same on both sides, or copies; of such in such the outermost.

    Args:
        found: all motifs.
        points: the corners of all contours.
        starts: where each contour starts, and the end of the last.
        warp: where the drawing moves.
        between: (2, motifs, 2) the least and the greatest x and y that each must stay between.
        middle: (2,) of two places that are as near motifs lie in the one nearer to this.
        farthest: no motif moves by more in either direction to lie in its frame, in squares.
    """
    motifs = _motifs(found, points, starts)
    made = [_framed(kind, motifs, warp, between, middle, farthest) for kind in _kinds(motifs)]
    return _frames(list(_outermost([frame for frame in made if frame is not None], motifs)), motifs)


def _frames(made: Sequence[_Frame], motifs: Sequence[_Motif]) -> Frames:
    copies = [copy for frame in made for copy in frame.copies]
    kind = np.repeat(np.arange(len(made)), [len(frame.copies) for frame in made])
    places, own, owner = [np.zeros(0, np.complex128)], [np.zeros((0, 2))], [np.zeros(0, np.int64)]
    for number, copy in zip(kind.tolist(), copies, strict=True):
        motif, frame = motifs[copy.motif], made[number]
        owner.append(np.full(len(motif.figure.points), len(owner) - 1))
        places.append(as_numbers(motif.figure.points + middles_of(motif.box[None])))
        figure = frame.figure
        # on the grid, and where it is led, it stays as it is
        offs = np.where(frame.is_fine, finely(figure.even), figure.points)
        own.append(frame.middle + offs[copy.onto])
    order = np.argsort(np.concatenate(places), kind="stable")
    return Frames(
        box=np.array([motifs[copy.motif].box for copy in copies]).reshape(-1, 4),
        now=np.concatenate([np.zeros((0, 2)), *(frame.now for frame in made)]),
        sign=np.array([copy.sign for copy in copies], np.int64).reshape(-1, 2),
        kind=kind,
        first=np.searchsorted(kind, np.arange(len(made))),
        middle=np.array([frame.middle for frame in made]).reshape(-1, 2),
        is_free=np.array([frame.is_free for frame in made], np.bool_).reshape(-1, 2),
        is_fine=np.array([frame.is_fine for frame in made], np.bool_).reshape(-1, 2),
        places=np.concatenate(places)[order],
        own=np.concatenate(own)[order],
        owner=np.concatenate(owner)[order],
        sides=np.concatenate([np.zeros((0, 4)), *(motifs[copy.motif].edges for copy in copies)]),
        of_side=np.repeat(np.arange(len(copies)), [len(motifs[copy.motif].edges) for copy in copies]),
    )


def _motifs(found: Motifs, points: Floats, starts: Ints) -> list[_Motif]:
    edges = edges_of(points, starts)
    around, counts = boxes_of(points, starts), np.diff(starts)
    is_tip = _begin_tips(edges)
    inner, outer = boxes_in_boxes(around, found.box).T
    chains = [inner[outer == number] for number in range(len(found.box))]
    own = [spread(starts[each], counts[each]) for each in chains]
    corners = completed([edges[each] for each in own])
    return [
        _Motif(
            box=box,
            is_bound=is_bound,
            edges=edges[each],
            tips=np.flatnonzero(is_tip[each]),
            figure=Figure.of(points),
        )
        for box, is_bound, each, points in zip(found.box, found.is_bound, own, corners, strict=True)
    ]


def _begin_tips(edges: Floats) -> Bools:
    """Return which edges begin where two long ones at 45 degrees meet in a tip."""
    place, point = np.unique(as_numbers(edges.reshape(-1, 2)), return_inverse=True)
    way = edges[:, 2:] - edges[:, :2]
    long = np.abs(way).sum(axis=1) >= 2 * LEAST_SIDE
    ways = np.where(long[:, None], way, 0.0)
    inward = tips_inward(point.ravel(), np.stack([ways, -ways], axis=1).reshape(-1, 2), len(place))
    return np.asarray(long & (inward[point.reshape(-1, 2)[:, 0]] != 0).any(axis=1))


def _kinds(motifs: Sequence[_Motif]) -> list[_Kind]:
    """Return the motifs that are the same on both sides, or copies."""
    found: list[_Kind] = []
    # in all mirrors the same, and they tell most apart
    measures = np.array(
        [[len(own.points), *own.size, *np.abs(own.points.mean(axis=0))] for own in (m.figure for m in motifs)]
    ).reshape(-1, 5)
    firsts: list[int] = []
    for number, motif in enumerate(motifs):
        near = np.abs(measures[firsts] - measures[number]).max(axis=1, initial=0.0) <= ALIKE
        for kind in (found[k] for k in np.flatnonzero(near).tolist()):
            copy = _copy(number, motif, kind.first)
            if copy is not None:
                kind.copies.append(copy)
                break
        else:
            own = _Copy(motif=number, sign=SIGNS[0], onto=np.arange(len(motif.figure.points)))
            found.append(_Kind(first=motif, copies=[own]))
            firsts.append(number)
    found = [kind for kind in found if len(kind.copies) > 1 or kind.first.figure.is_even.any()]
    areas = np.array([np.rint(kind.first.figure.size.prod() / ALIKE) for kind in found])
    least = np.sort(areas)[-MOST_KINDS - 1] if len(areas) > MOST_KINDS else -1
    return list(compress(found, areas > least))


def _copy(number: int, motif: _Motif, first: _Motif) -> _Copy | None:
    """Return a motif as a copy of the first of a kind; None if it is none.

    What is bound stays as it lies, and is only a copy of what lies as high, or as far to the right.
    """
    apart = np.abs(motif.box - first.box).reshape(2, 2).max(axis=0) > SAME
    if (motif.is_bound != first.is_bound).any() or (apart & motif.is_bound).any():
        return None
    for sign in SIGNS:
        onto = motif.figure.turned_to(first.figure, sign)
        if onto is not None and not (motif.is_bound & (sign < 0)).any():
            return _Copy(motif=number, sign=sign, onto=onto)
    return None


def _outermost(made: Sequence[_Frame], motifs: Sequence[_Motif]) -> Iterator[_Frame]:
    """Yield frames without the motifs that lie within others, or over some in part that are not smaller."""
    boxes = np.array([motifs[copy.motif].box for frame in made for copy in frame.copies]).reshape(-1, 4)
    within = np.bincount(boxes_in_boxes(boxes, boxes)[:, 0], minlength=len(boxes)) > 1
    area = (boxes[:, 2:] - boxes[:, :2]).prod(axis=1)
    one, other = overlapping_boxes(boxes).T
    within[one[area[one] <= area[other]]] = True
    last = 0
    for frame in made:
        first, last = last, last + len(frame.copies)
        kept = ~within[first:last]
        if kept.any():
            yield replace(frame, copies=list(compress(frame.copies, kept)), now=frame.now[kept])


def _offs(still: Floats) -> Floats:
    """Return how far off hole lines middles may lie: as those do that stay, or on them, or half way."""
    if not len(still):
        return np.array([0.0, 0.5])
    half_way = np.rint(2 * still) / 2
    # what is even but for rounding lies half way but for rounding
    return np.unique(np.where(np.abs(half_way - still) <= ALIKE, half_way, still) % 1)


def _alike(offs: Sequence[Sequence[float]]) -> list[tuple[float, ...]]:
    """Return what to choose from for one direction, or both: as far off in both, if that can be."""
    pairs = list(product(*offs))
    return [pair for pair in pairs if abs((np.ptp(pair) + 0.5) % 1 - 0.5) <= ALIKE] or pairs


def _together(figure: Figure, is_free: Bools) -> list[list[int]]:
    """Return the directions in which a figure is laid, together if it is even in both and as wide as high.

    Else one width could become even, and the other odd.
    """
    if (figure.is_even & is_free).all() and abs(np.ptp(figure.size)) * UNIT <= ONE_WIDTH:
        return [[0, 1]]
    return [[axis] for axis in np.flatnonzero(is_free).tolist()]


def _manners(
    first: _Motif, axes: list[int], signs: Ints, offs: Sequence[Sequence[float]]
) -> Iterator[Manner]:
    """Yield how copies of a motif can lie along axes, turned so and with their middles so far off holes."""
    for off in _alike(offs):
        cost = float(np.mean([first.misfit(*each) for each in zip(axes, off, strict=True)]))
        yield Manner(wide=first.figure.size[axes], off=np.asarray(signs * off % 1), cost=cost)


def _framed(
    kind: _Kind,
    motifs: Sequence[_Motif],
    warp: Warp,
    between: Floats,
    middle: Floats,
    farthest: float,
) -> _Frame | None:
    """Return how copies lie in their frame, those that can; None if none can, or need one."""
    size, at = kind.first.figure.size, np.stack([motifs[copy.motif].box for copy in kind.copies])
    signs = np.stack([copy.sign for copy in kind.copies])
    stays = np.stack([motifs[copy.motif].on_grid() for copy in kind.copies])
    goal = at + warp.ways(at.reshape(-1, 2)).reshape(-1, 4)
    own = between[:, [copy.motif for copy in kind.copies]]
    pairs = overlapping_boxes(grown(at, ROW * farthest))
    now, kept = middles_of(at), np.ones(len(at), np.bool_)
    is_apart = (np.ptp(now, axis=0) > SAME) | (np.ptp(signs, axis=0) > 0)
    is_free = (is_apart | kind.first.figure.is_even) & ~kind.first.is_bound
    offs = [_offs((now * signs)[stays[:, axis], axis]).tolist() for axis in (0, 1)]
    for axes in _together(kind.first.figure, is_free):
        columns = np.add.outer([0, 2], axes).ravel()
        manners = _manners(kind.first, axes, signs[:, axes], [offs[axis] for axis in axes])
        rows = [row_neighbours(at, pairs, axis) for axis in axes]
        ways, is_placed = best_ways(
            at[:, columns], goal[:, columns], manners, own[:, :, axes], middle[axes], rows, farthest
        )
        now[:, axes] += ways.reshape(len(at), 2, -1).mean(axis=1)
        kept &= is_placed
    for axis in np.flatnonzero(~is_free):
        kept &= np.abs(now[:, axis] - now[0, axis]) <= SAME
        now[:, axis] = now[0, axis]
    if not (is_free.any() and kept.any()):
        return None
    return _Frame(
        figure=kind.first.figure,
        is_fine=is_free & ~(stays & (now == middles_of(at)))[kept].all(axis=0),
        copies=list(compress(kind.copies, kept.tolist())),
        now=now[kept],
        middle=MARGIN + np.ceil(size / 2) + (now * signs)[kept][0] % 1,
        is_free=is_free,
    )
