"""Which motifs are fitted in frames of their own, and how they lie in these."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain, compress, product

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.alike import Manner, best_ways
from svg2chart.fitting.carrying import as_numbers
from svg2chart.fitting.contents import Content, contents_of
from svg2chart.fitting.frames import Frames
from svg2chart.fitting.kinds import SAME, Copy, Kind, find_kinds
from svg2chart.fitting.likeness import ALIKE, Figure, leans
from svg2chart.fitting.motifs import Motifs
from svg2chart.fitting.rows import row_neighbours
from svg2chart.fitting.sightlines import UNIT
from svg2chart.fitting.warp import Warp, finely
from svg2chart.fitting.widths import ONE_WIDTH
from svg2chart.geometry.boxes import grown, middles_of
from svg2chart.geometry.meetings import boxes_in_boxes, near_boxes, overlapping_boxes
from svg2chart.runs import distinct

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

MARGIN = 4
"""So many squares are left around a motif in its frame."""

ROW = 2.0
"""Copies whose boxes lie no farther apart than twice this, in ways that anything may go, may be of a row."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Frame:
    """Copies of a figure, where the middle of each comes to lie, and how they lie in their frame.

    is_fine: (2,) whether points are rounded: not where all stay on the grid, nor where they are led.
    is_free: (2,) whether they lie as suits them.
    """

    figure: Figure
    is_fine: Bools
    copies: list[Copy]
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
    motifs = contents_of(found, points, starts)
    kinds = find_kinds(motifs)
    area = np.zeros(len(motifs), np.int64)
    for kind in kinds:
        area[[copy.motif for copy in kind.copies]] = kind.area(motifs)
    pairs, lean = near_boxes(found.box, reach=2 * ROW * farthest), leans(points, middle)
    made: dict[int, list[_Frame]] = {}
    # the largest come first: smaller ones make room for them, such as posts for a boat between them
    for number in sorted(range(len(kinds)), key=lambda number: -int(area[kinds[number].copies[0].motif])):
        made[number] = list(_framed(kinds[number], motifs, warp, between, middle, lean, farthest))
        for frame in made[number]:
            between = _beside(frame, found.box, area, pairs, between)
    return _frames(list(_outermost(list(chain(*(made[k] for k in range(len(kinds))))), motifs)), motifs)


def _beside(frame: _Frame, boxes: Floats, area: Ints, pairs: Ints, between: Floats) -> Floats:
    """Return between what motifs must stay where those of smaller kinds stay off those in a frame.

    Args:
        frame: how copies lie.
        boxes: (motifs, 4) of all motifs.
        area: (motifs,) that of the kind of each.
        pairs: (pairs, 2) of motifs that lie near each other.
        between: (2, motifs, 2) the least and the greatest x and y that each must stay between.
    """
    result, half = between.copy(), frame.figure.size / 2
    place = np.full(len(boxes), -1)
    place[[copy.motif for copy in frame.copies]] = np.arange(len(frame.copies))
    one, other = pairs[(place[pairs[:, 0]] >= 0) & (area[pairs[:, 0]] > area[pairs[:, 1]])].T
    middle = frame.now[place[one]]
    # in the other direction they go with all else
    for axis in np.flatnonzero(frame.is_free).tolist():
        beside = 1 - axis
        faces = boxes[one, beside] < boxes[other, beside + 2]
        faces &= boxes[other, beside] < boxes[one, beside + 2]
        is_before = faces & (boxes[one, axis + 2] <= boxes[other, axis])
        is_after = faces & (boxes[one, axis] >= boxes[other, axis + 2])
        np.maximum.at(result[0, :, axis], other[is_before], (middle[is_before] + half)[:, axis])
        np.minimum.at(result[1, :, axis], other[is_after], (middle[is_after] - half)[:, axis])
    return result


def _frames(made: Sequence[_Frame], motifs: Sequence[Content]) -> Frames:
    copies = [copy for frame in made for copy in frame.copies]
    kind = np.repeat(np.arange(len(made)), [len(frame.copies) for frame in made])
    places, own, owner = [np.zeros(0, np.complex128)], [np.zeros((0, 2))], [np.zeros(0, np.int64)]
    for number, copy in zip(kind.tolist(), copies, strict=True):
        motif, frame = motifs[copy.motif], made[number]
        owner.append(np.full(len(motif.figure.points), len(owner) - 1))
        places.append(as_numbers(motif.figure.drawn))
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


def _outermost(made: Sequence[_Frame], motifs: Sequence[Content]) -> Iterator[_Frame]:
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
    first: Content, axes: list[int], sizes: Floats, signs: Ints, offs: Sequence[Sequence[float]]
) -> Iterator[Manner]:
    """Yield how copies of a motif can lie along axes, turned so and with their middles so far off holes.

    They stay as large as they are, each by itself: drawings are rounded.
    """
    for off in _alike(offs):
        cost = float(np.mean([first.misfit(*each) for each in zip(axes, off, strict=True)]))
        yield Manner(wide=sizes, off=np.asarray(signs * off % 1), cost=cost)


def _framed(
    kind: Kind,
    motifs: Sequence[Content],
    warp: Warp,
    between: Floats,
    middle: Floats,
    lean: Ints,
    farthest: float,
) -> Iterator[_Frame]:
    """Yield how copies lie in their frame, those that can and need one; one frame for each level."""
    at, signs = kind.boxes(motifs), kind.signs
    stays = np.stack([motifs[copy.motif].on_grid() for copy in kind.copies])
    is_apart = (np.ptp(middles_of(at), axis=0) > SAME) | (np.ptp(signs, axis=0) > 0)
    is_free = (is_apart | kind.first.figure.is_even) & ~kind.first.is_bound
    if not is_free.any():
        return
    offs = [_offs((middles_of(at) * signs)[stays[:, axis], axis]).tolist() for axis in (0, 1)]
    within = between[:, [copy.motif for copy in kind.copies]]
    now, kept = _laid(kind, motifs, warp, within, middle, lean, farthest, is_free, offs)
    levels = kind.levels(motifs)
    for level in distinct(levels[kept]):
        own = np.flatnonzero(kept & (levels == level))
        lie = np.where(is_free, now[own], now[own[0]])
        yield _Frame(
            figure=kind.first.figure,
            is_fine=is_free & ~(stays & (now == middles_of(at)))[own].all(axis=0),
            copies=[kind.copies[k] for k in own.tolist()],
            now=lie,
            middle=MARGIN + np.ceil(kind.first.figure.size / 2) + (lie * signs[own])[0] % 1,
            is_free=is_free,
        )


def _laid(
    kind: Kind,
    motifs: Sequence[Content],
    warp: Warp,
    between: Floats,
    middle: Floats,
    lean: Ints,
    farthest: float,
    is_free: Bools,
    offs: Sequence[Sequence[float]],
) -> tuple[Floats, Bools]:
    """Return where the middles of copies come to lie, (n, 2), and which of them can lie so.

    Args:
        kind: the copies.
        motifs: all motifs.
        warp: where the drawing moves.
        between: (2, n, 2) the least and the greatest x and y that each must stay between.
        middle: as for `find_frames`.
        lean: to which side of it more of the drawing lies, -1, 1, or 0 for neither, across and down.
        farthest: as for `find_frames`.
        is_free: (2,) in which directions they lie as suits them.
        offs: how far off hole lines they may lie, across and down.
    """
    at, signs = kind.boxes(motifs), kind.signs
    own = np.stack([motifs[copy.motif].figure.leans() for copy in kind.copies])
    # what is even goes to the side of which there is more: in the very middle of what is not
    side = np.where(own == 0, lean, own)
    goal = at + warp.ways(at.reshape(-1, 2)).reshape(-1, 4)
    pairs = overlapping_boxes(grown(at, ROW * farthest))
    now, kept = middles_of(at), np.ones(len(at), np.bool_)
    for axes in _together(kind.first.figure, is_free):
        columns, sizes = np.add.outer([0, 2], axes).ravel(), (at[:, 2:] - at[:, :2])[:, axes]
        ways, is_placed = best_ways(
            at[:, columns],
            goal[:, columns],
            _manners(kind.first, axes, sizes, signs[:, axes], [offs[axis] for axis in axes]),
            between[:, :, axes],
            middle[axes],
            side[:, axes],
            [row_neighbours(at, pairs, axis) for axis in axes],
            farthest,
        )
        now[:, axes] += ways.reshape(len(at), 2, -1).mean(axis=1)
        kept &= is_placed
    return now, kept
