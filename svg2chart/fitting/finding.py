"""The fit of a drawing: of all of it, and of motifs in frames of their own."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import compress

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.convex import LONGEST_CHORD
from svg2chart.fitting.fitted import Fit, nothing_moves
from svg2chart.fitting.forms import Forms, find_forms
from svg2chart.fitting.frames import NO_FRAMES, Frames, middles_of, within_box
from svg2chart.fitting.framing import find_frames
from svg2chart.fitting.holding import find_held
from svg2chart.fitting.leaning import lean
from svg2chart.fitting.likeness import ALIKE
from svg2chart.fitting.looking import Looked, look
from svg2chart.fitting.motifs import Beside, Motifs, find_motifs, seen_beside
from svg2chart.fitting.placing import Knots, find_room, place_sides
from svg2chart.fitting.seams import seamless_contours
from svg2chart.fitting.sides import find_sides
from svg2chart.fitting.sightlines import UNIT, Sights
from svg2chart.fitting.slants import find_straight
from svg2chart.fitting.tips import DIAGONAL, FULL_FIT
from svg2chart.fitting.warp import Warp, on_lattice
from svg2chart.fitting.widths import unequal_widths
from svg2chart.geometry.meetings import parts_in_boxes
from svg2chart.geometry.polygon import FillRule, Polygon, Polylines, boxes_of

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Led = tuple[Knots | None, Knots | None]

UNLED: Led = (None, None)

CLEAR = 2.5
"""So many times as far as anything may move nothing else is seen near a motif."""

LEAST_ROOM = 0.75
"""So much of that way is left free around it once all has moved."""

EVERYWHERE = 2.0**14
"""Nothing lies farther off, in squares."""

OFF_GROUND = 2.0**-12
"""What is bound may not come off what binds it by more than points are rounded, in squares."""

FAR = 5.0
"""What is seen no farther from a motif, in such ways, could come near to it when all moves."""


def find_fit(
    looked: Looked,
    lines: Sequence[Polylines],
    *,
    rows: int,
    columns: int,
    movement: float,
    led: Led = UNLED,
) -> Fit | None:
    """Return what brings that which is seen of shapes onto the grid, None if nothing is.

    Nothing leaves the grid.

    Args:
        looked: what is seen of the shapes.
        lines: thin lines, which move along.
        rows: rows of squares.
        columns: columns of squares.
        movement: no side moves farther in either direction, in squares; tips, forms and what slides along
            sides go by up to twice as far, and motifs as a whole, too: `Fit.largest_movement` tells.
        led: where places along rows and along columns move to, where that is not to be found.
    """
    seen = looked.shapes
    if not seen:
        return None
    points = np.concatenate([*(shape.polygon.points for shape in seen), *(chain.points for chain in lines)])
    reach = np.stack([points.min(axis=0), points.max(axis=0)])
    contours = seamless_contours([shape.polygon for shape in seen], looked.looks)
    room = find_room(reach, columns=columns, rows=rows, movement=movement)
    if led == UNLED:
        fit = _framed(looked, contours, room, rows=rows, columns=columns, movement=movement)
        if fit is not None:
            return fit
    fit = _of_all(looked, contours, reach, room, movement, led)
    return _with_motifs(fit, looked, contours, rows=rows, columns=columns, movement=movement)


def _framed(
    looked: Looked,
    contours: tuple[Floats, Ints],
    room: Ints,
    *,
    rows: int,
    columns: int,
    movement: float,
) -> Fit | None:
    """Return the fit of all as one motif; None if that is no other, or takes it off the grid."""
    points = contours[0]
    box = np.concatenate([points.min(axis=0), points.max(axis=0)])[None]
    grid = np.array([0.0, 0.0, columns, rows])
    fit = nothing_moves(room.astype(np.float64), movement)
    whole = Motifs(box=box, is_bound=np.zeros((1, 2), np.bool_))
    frames = find_frames(whole, *contours, fit.warp, room=_beyond(grid, movement), farthest=movement)
    if not len(frames.box) or _is_all(frames, points):
        return None
    # lines and what is cut off go along
    frames = replace(frames, box=np.tile(middles_of(box), 2) + EVERYWHERE * np.array([-1.0, -1.0, 1.0, 1.0]))
    fit = replace(fit, frames=frames, motifs=(_of_motif(0, frames, UNLED, looked, movement),))
    now = fit.boxes_of_motifs()
    return _roomy(fit, now) if within_box(now, grid).all() else None


def _of_all(
    looked: Looked,
    contours: tuple[Floats, Ints],
    reach: Floats,
    room: Ints,
    movement: float,
    led: Led,
) -> Fit:
    """Return the fit of a drawing as one."""
    along_rows, along_columns = looked.along_rows, looked.along_columns
    straight = find_straight(*contours, along_rows, along_columns)
    one, other = find_held(find_sides(along_rows), find_sides(along_columns), straight, *contours)
    still = (one.places, other.places)
    placed = place_sides(one.sides, other.sides, room=room, reach=reach, held=still, movement=movement)
    across, down = (own if told is None else told for own, told in zip(placed, led, strict=True))
    warp, edge = Warp(across=across, down=down), room.astype(np.float64)
    forms = find_forms(*contours, warp, (along_rows, along_columns), room=edge, farthest=movement)
    ends = straight.at.reshape(-1, 2)
    form = forms.at(ends)
    ends = on_lattice(forms.kept(ends, warp.ways(ends), form).reshape(-1, 4))
    # sides that go with their form are moved no more
    leaning = replace(straight, slanted=straight.slanted & (form.reshape(-1, 2) < 0).any(axis=1))
    return Fit(
        unequal=unequal_widths(
            one.sides, other.sides, moved=(across.moved(one.sides.at), down.moved(other.sides.at))
        ),
        warp=warp,
        forms=forms,
        straight=straight.at[straight.slanted],
        level=straight.at[~straight.slanted],
        ends=ends[straight.slanted],
        lean=lean(leaning, ends, farthest=movement, room=edge),
        room=edge,
        frames=NO_FRAMES,
        motifs=(),
    )


def _with_motifs(
    fit: Fit, looked: Looked, contours: tuple[Floats, Ints], *, rows: int, columns: int, movement: float
) -> Fit:
    """Return the fit with motifs in frames of their own."""
    sights = (looked.along_rows, looked.along_columns)
    motifs = find_motifs(*contours, sights, clear=CLEAR * movement)
    motifs = motifs.only(_are_whole(motifs.box, looked, contours, fit.forms))
    grid = np.array([0.0, 0.0, columns, rows])
    room = _beyond(grid, movement)
    frames = find_frames(motifs, *contours, fit.warp, room=room, farthest=movement)
    if _is_all(frames, contours[0]):
        motifs = motifs.only((motifs.box != frames.box).any(axis=1))
        frames = find_frames(motifs, *contours, fit.warp, room=room, farthest=movement)
    frames = frames.only(~_have_likes(frames, *contours))
    fit = replace(
        fit,
        frames=frames,
        motifs=tuple(
            _of_motif(kind, frames, _led(kind, frames, fit.warp), looked, movement)
            for kind in range(len(frames.first))
        ),
    )
    return _without_crowded(fit, contours, sights, grid, movement) if len(frames.box) else fit


def _roomy(fit: Fit, now: Floats) -> Fit:
    """Return the fit with room for motifs where they come to lie, (n, 4)."""
    reach = np.concatenate([now.reshape(-1, 2), fit.room])
    return replace(fit, room=np.stack([np.floor(reach.min(axis=0)), np.ceil(reach.max(axis=0))]))


def _beyond(grid: Floats, movement: float) -> Floats:
    """Return (2, 2) the least and the greatest x and y that motifs may reach in their frames.

    Fitted, what stood over the grid's edge may not.
    """
    return np.asarray(grid.reshape(2, 2) + movement * np.array([[-1], [1]]))


def _have_likes(frames: Frames, points: Floats, starts: Ints) -> Bools:
    """Return of which frames something has its like beside all motifs, which would not go with it."""
    boxes, counts = boxes_of(points, starts), np.diff(starts)
    motif, size = frames.of_chains(points, starts), boxes[:, 2:] - boxes[:, :2]
    result = np.zeros(len(frames.first), np.bool_)
    others = np.flatnonzero((motif < 0) & (counts > 0))
    for own in np.flatnonzero(motif >= 0).tolist():
        alike = (counts[others] == counts[own]) & (np.abs(size[others] - size[own]) <= ALIKE).all(axis=1)
        result[frames.kind[motif[own]]] |= alike.any()
    return result


def _without_crowded(
    fit: Fit, contours: tuple[Floats, Ints], sights: tuple[Sights, Sights], grid: Floats, movement: float
) -> Fit:
    """Return the fit without motifs that come near to something, over the grid's edge, or off the ground.

    Args:
        fit: with all motifs.
        contours: their points, in squares, and where each starts.
        sights: what is seen along rows and along columns.
        grid: left, top, right, bottom of the grid.
        movement: as far as sides may move.
    """
    edges = Polygon(points=contours[0], starts=contours[1], rule=FillRule.NONZERO).edges()
    around = np.repeat(boxes_of(*contours), np.diff(contours[1]), axis=0)
    while True:
        frames = fit.frames
        beside = seen_beside(frames.box, edges, around, sights, FAR * movement)
        is_free = beside.binds < 0
        motif, near = beside.box[is_free], beside.part[is_free].reshape(-1, 2)
        now = fit.boxes_of_motifs()
        wide = now + LEAST_ROOM * movement * np.array([-1, -1, 1, 1])
        low, high = parts_in_boxes(fit.points(near).reshape(-1, 4), wide[motif])
        crowded = np.bincount(motif[low <= high], minlength=len(now)) > 0
        crowded |= ~within_box(now, grid)
        crowded |= _come_off(fit, now, beside, CLEAR * movement)
        if not crowded.any():
            return _roomy(fit, now)
        # copies stay alike
        kept = np.bincount(frames.kind[crowded], minlength=len(frames.first)) == 0
        fit = replace(fit, frames=frames.only(kept), motifs=tuple(compress(fit.motifs, kept)))


def _come_off(fit: Fit, now: Floats, beside: Beside, near: float) -> Bools:
    """Return which motifs come off what they stand on, which goes where the warp takes it.

    Args:
        fit: with all motifs.
        now: (n, 4) the boxes around them where they come to lie.
        beside: what is seen near their boxes.
        near: what is so near to a side of a box, in squares, is stood on.
    """
    box = fit.frames.box
    led = box + fit.warp.ways(box.reshape(-1, 2)).reshape(-1, 4)
    result = np.zeros(len(box), np.bool_)
    for axis in (0, 1):
        binds = beside.binds == 1 - axis
        motif, place = beside.box[binds], beside.part[binds][:, [axis]]
        stands = np.abs(box[motif][:, [axis, axis + 2]] - place) <= near
        off = np.abs(now - led)[motif][:, [axis, axis + 2]] > OFF_GROUND
        result[motif[(stands & off).any(axis=1)]] = True
    return result


def _are_whole(boxes: Floats, looked: Looked, contours: tuple[Floats, Ints], forms: Forms) -> Bools:
    """Return which motifs have nothing of what reaches around them, and gain by a frame.

    Boxes, upright or turned by 45 degrees, and round forms are laid well by their sides alone.
    """
    points, starts = contours
    around, counts = boxes_of(points, starts), np.diff(starts)
    edges = Polygon(points=points, starts=starts, rule=FillRule.NONZERO).edges()
    contour = np.repeat(np.arange(len(counts)), counts)
    way = np.sort(np.abs(edges[:, 2:] - edges[:, :2]), axis=1)
    is_level, is_diagonal = way[:, 0] == 0, np.ptp(way, axis=1) <= DIAGONAL * way[:, 1]
    level, diagonal, straight, free = (
        np.bincount(contour, own, len(counts))
        for own in (
            is_level,
            is_diagonal,
            ~is_level & (np.hypot(*way.T) >= LONGEST_CHORD),
            forms.at(points) < 0,
        )
    )
    is_plain = ((counts == 4) & ((level == 4) | (diagonal == 4))) | ((free == 0) & (straight == 0))
    parts = [boxes_of(shape.polygon.points, shape.polygon.starts) for shape in looked.shapes]
    result = []
    for box in boxes:
        is_cut = any(
            len(own) > 1 and within_box(own, box).any() and within_box(box, own).any() for own in parts
        )
        result.append(not is_cut and not is_plain[within_box(around, box)].all())
    return np.array(result, np.bool_)


def _is_all(frames: Frames, points: Floats) -> bool:
    """Return whether one motif is all that there is and lies in its frame as drawn."""
    if len(frames.box) != 1:
        return False
    off = frames.own - frames.corners
    lies = not np.ptp(off, axis=0).any() and np.array_equal(off, np.rint(off))
    return lies and bool((frames.around(points) >= 0).all())


def _led(kind: int, frames: Frames, warp: Warp) -> Led:
    """Return where the warp leads places in a frame, where these do not lie as suits them."""
    # there a frame lies whole squares from the drawing
    off = np.rint(frames.middle[kind] - frames.now[frames.first[kind]]).astype(np.int64).tolist()
    both = zip(frames.is_free[kind].tolist(), (warp.across, warp.down), off, strict=True)
    across, down = (
        None if is_free else Knots(at=knots.at + by * UNIT, to=knots.to + by * UNIT)
        for is_free, knots, by in both
    )
    return across, down


def _of_motif(kind: int, frames: Frames, led: Led, looked: Looked, movement: float) -> Fit:
    """Return the fit of a motif in its frame."""
    first, shapes = frames.first[kind], []
    for shape in looked.shapes:
        polygon = shape.polygon
        counts = np.diff(polygon.starts)
        own = within_box(boxes_of(polygon.points, polygon.starts), frames.box[first])
        if own.any():
            points = polygon.points[np.repeat(own, counts)]
            framed = frames.framed(points, np.full(len(points), first))
            starts = np.concatenate([[0], np.cumsum(counts[own])])
            shapes.append(replace(shape, polygon=replace(polygon, points=framed, starts=starts)))
    columns, rows = np.ceil(2 * frames.middle[kind]).astype(np.int64).tolist()
    corners = frames.corners
    motif = frames.around(corners)
    own = frames.kind_of(motif) == kind
    moved = float(np.abs(frames.placed(frames.own[own], motif[own]) - corners[own]).max())
    fit = find_fit(
        look(shapes, looked.groups, rows=rows, columns=columns),
        [],
        rows=rows,
        columns=columns,
        movement=movement if movement >= FULL_FIT else max(movement - moved, 0.0),
        led=led,
    )
    assert fit is not None  # it was seen
    return fit
