"""The fit of a drawing: of all of it, and of motifs in frames of their own."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import Group
from svg2chart.fitting.beneath import Layers
from svg2chart.fitting.convex import find_convex
from svg2chart.fitting.crowding import on_grid, roomy, without_crowded
from svg2chart.fitting.fitted import Fit, nothing_moves
from svg2chart.fitting.forms import find_forms
from svg2chart.fitting.frames import NO_FRAMES, Frames
from svg2chart.fitting.framing import find_frames
from svg2chart.fitting.holding import find_held
from svg2chart.fitting.leaning import lean
from svg2chart.fitting.likeness import have_twins, sizes_of
from svg2chart.fitting.looking import Looked, look
from svg2chart.fitting.mirrored import NONE_MIRRORED, find_mirrored
from svg2chart.fitting.motifs import LEAST, Motifs, find_motifs
from svg2chart.fitting.placing import Knots, find_room, place_sides
from svg2chart.fitting.rooms import rooms_of
from svg2chart.fitting.seams import contours_of, owners_of, seamless_contours
from svg2chart.fitting.sides import Sides, find_sides, with_pairs_of
from svg2chart.fitting.sifting import (
    CLEAR,
    CLOSE,
    are_round,
    gain_by_frames,
    with_close_copies,
    without_unlike,
)
from svg2chart.fitting.sightlines import UNIT, Sights, places_of
from svg2chart.fitting.slants import find_straight
from svg2chart.fitting.tips import FULL_FIT
from svg2chart.fitting.warp import Warp, on_lattice
from svg2chart.fitting.widths import Unequal, unequal_widths
from svg2chart.geometry.box import Box
from svg2chart.geometry.boxes import boxes_of, grown, middles_of
from svg2chart.geometry.polygon import Polylines, edges_of
from svg2chart.runs import distinct, spread
from svg2chart.visible import Shape

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Led = tuple[Knots | None, Knots | None]

UNLED: Led = (None, None)

EVERYWHERE = 2.0**14
"""Nothing lies farther off, in squares."""

UNCUT = Box(-EVERYWHERE, -EVERYWHERE, EVERYWHERE, EVERYWHERE)
"""A page that cuts nothing."""


def find_fit(
    looked: Looked,
    lines: Sequence[Polylines],
    *,
    rows: int,
    columns: int,
    movement: float,
    page: Box = UNCUT,
    led: Led = UNLED,
) -> Fit | None:
    """Return what brings that which is seen of shapes onto the grid, None if nothing is.

    Nothing leaves the grid.

    Args:
        looked: what is seen of the shapes.
        lines: thin lines, which move along.
        rows: rows of squares.
        columns: columns of squares.
        movement: no side moves farther in either direction, in squares; tips, forms, what is even and what
            slides along sides go by up to twice as far, and motifs as a whole, too: `Fit.largest_movement`
            tells.
        page: what the drawing was cut to, in squares.
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
            return replace(fit, twins=_twins(*contours))
    layers = Layers.of(contours, [shape.polygon for shape in seen], looked.looks)
    edges = np.array([[page.left, page.top], [page.right, page.bottom]])
    cut = np.where(room == edges, edges, np.nan)
    fit, sides = _of_all(looked, layers, reach, room, cut, movement, led)
    fit = _with_motifs(fit, looked, layers, rows=rows, columns=columns, movement=movement)
    unequal, outlines = _unequal_beside(fit, looked, sides), edges_of(*contours)
    return replace(fit, unequal=unequal, twins=_twins(*contours), outlines=outlines)


def _twins(points: Floats, starts: Ints) -> tuple[Floats, Ints]:
    """Return the contours that are as wide and as high as another; of no points there are none."""
    counts = np.diff(starts)
    some = np.flatnonzero(counts)
    own = some[have_twins(boxes_of(points, starts)[some])]
    return points[spread(starts[own], counts[own])], np.concatenate([[0], np.cumsum(counts[own])])


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
    # what is round or a form keeps its form; several boxes may lie on both sides of a line, one is laid by
    # its sides
    points, starts = contours
    box = np.concatenate([points.min(axis=0), points.max(axis=0)])[None]
    is_one = len(starts) == 2
    is_form = is_one and bool(find_convex(*contours).boxes.heavy.any())
    is_laid = is_form or (is_one and not gain_by_frames(box, looked, contours).all())
    is_mere_stitch = bool((np.ptp(points, axis=0) < LEAST).all())
    if are_round(*contours).all() or is_laid or is_mere_stitch:
        return None
    grid = np.array([0.0, 0.0, columns, rows])
    fit = nothing_moves(room.astype(np.float64), movement)
    whole = Motifs(box=box, is_bound=np.zeros((1, 2), np.bool_))
    between, middle = _beyond(grid, movement)[:, None], middles_of(grid[None])[0]
    frames = find_frames(whole, *contours, fit.warp, between=between, middle=middle, farthest=movement)
    if not len(frames.box) or _is_all(frames, points):
        return None
    # lines and what is cut off go along
    frames = replace(frames, box=grown(np.tile(middles_of(box), 2), EVERYWHERE))
    fit = replace(fit, frames=frames, motifs=_of_motifs(frames, [UNLED], looked, movement))
    now = fit.boxes_of_motifs()
    return roomy(fit, now) if on_grid(now, grid).all() else None


def _of_all(
    looked: Looked,
    layers: Layers,
    reach: Floats,
    room: Ints,
    cut: Floats,
    movement: float,
    led: Led,
) -> tuple[Fit, tuple[Sides, Sides]]:
    """Return the fit of a drawing as one, and the sides along rows and along columns that it moves."""
    along_rows, along_columns = looked.along_rows, looked.along_columns
    contours = (layers.points, layers.starts)
    straight = find_straight(*contours, along_rows, along_columns)
    one, other = find_held(find_sides(along_rows), find_sides(along_columns), straight, *contours)
    still = (one.places, other.places)
    placed = place_sides(one.sides, other.sides, room=room, reach=reach, held=still, movement=movement)
    across, down = (own if told is None else told for own, told in zip(placed, led, strict=True))
    warp, edge = Warp(across=across, down=down), room.astype(np.float64)
    forms = find_forms(layers, warp, (along_rows, along_columns), room=edge, farthest=movement)
    free = forms.of_chains(*contours) < 0
    mirrored = find_mirrored(*contours, warp, free=free, farthest=movement) if led == UNLED else NONE_MIRRORED
    ends = straight.at.reshape(-1, 2)
    form = forms.at(ends)
    goes = np.repeat(mirrored.are_along(ends, np.arange(0, len(ends) + 1, 2)), 2)
    ends = on_lattice(forms.kept(ends, mirrored.kept(ends, warp.ways(ends), goes), form).reshape(-1, 4))
    # sides that go with their form are moved no more
    leaning = replace(straight, slanted=straight.slanted & (form.reshape(-1, 2) < 0).any(axis=1))
    fit = Fit(
        unequal=(),
        warp=warp,
        mirrored=mirrored,
        forms=forms,
        straight=straight.at[straight.slanted],
        level=straight.at[~straight.slanted],
        ends=ends[straight.slanted],
        lean=lean(leaning, ends, mirrored, farthest=movement, room=edge, cut=cut),
        room=edge,
        frames=NO_FRAMES,
        motifs=(),
    )
    return fit, (one.sides, other.sides)


def _unequal_beside(fit: Fit, looked: Looked, sides: tuple[Sides, Sides]) -> tuple[Unequal, ...]:
    """Return the equal widths that become unequal, not those of what goes by a way of its own."""
    across, down = sides
    if len(fit.forms.box) or len(fit.frames.box):
        across, down = (
            with_pairs_of(own, sights, ~_go_alone(fit, places_of(sights)[:, order]))
            for own, sights, order in (
                (across, looked.along_rows, [0, 1]),
                (down, looked.along_columns, [1, 0]),
            )
        )
    return unequal_widths(
        across, down, moved=(fit.warp.across.moved(across.at), fit.warp.down.moved(down.at))
    )


def _go_alone(fit: Fit, points: Floats) -> NDArray[np.bool_]:
    """Return which points are of forms, or of motifs in frames of their own."""
    return np.asarray((fit.frames.around(points) >= 0) | (fit.forms.around(points) >= 0))


def _with_motifs(
    fit: Fit, looked: Looked, layers: Layers, *, rows: int, columns: int, movement: float
) -> Fit:
    """Return the fit with motifs in frames of their own."""
    if movement <= 0:
        return fit
    contours, sights = (layers.points, layers.starts), (looked.along_rows, looked.along_columns)
    motifs, close = (find_motifs(layers, sights, clear=each * movement) for each in (CLEAR, CLOSE))
    motifs = with_close_copies(motifs, close, contours, sights, movement)
    size, is_form = sizes_of(motifs.box), fit.forms.are_all_of(motifs.box, contours)
    # what is a form needs no frame, but if a copy of it is none
    is_form &= np.bincount(size[~is_form], minlength=len(size))[size] == 0
    motifs = motifs.only(gain_by_frames(motifs.box, looked, contours) & ~is_form)
    grid = np.array([0.0, 0.0, columns, rows])
    frames = _frames_of(motifs, contours, sights, fit, grid, movement)
    if _is_all(frames, contours[0]):
        motifs = motifs.only((motifs.box != frames.box).any(axis=1))
        frames = _frames_of(motifs, contours, sights, fit, grid, movement)
    led = [_led(kind, frames, fit.warp) for kind in range(len(frames.first))]
    fit = replace(fit, frames=frames, motifs=_of_motifs(frames, led, looked, movement))
    if not len(frames.box):
        return fit
    fit = without_crowded(fit, layers, sights, grid, movement)
    alike = without_unlike(fit, *contours)
    # what goes with all else again may come near to what does not
    return fit if alike is fit else without_crowded(alike, layers, sights, grid, movement)


def _frames_of(
    motifs: Motifs,
    contours: tuple[Floats, Ints],
    sights: tuple[Sights, Sights],
    fit: Fit,
    grid: Floats,
    movement: float,
) -> Frames:
    """Return the frames of motifs among other things on a grid."""
    between = rooms_of(motifs, contours, sights, fit, _beyond(grid, movement), near=CLEAR * movement)
    middle = middles_of(grid[None])[0]
    return find_frames(motifs, *contours, fit.warp, between=between, middle=middle, farthest=movement)


def _beyond(grid: Floats, movement: float) -> Floats:
    """Return (2, 2) the least and the greatest x and y that motifs may reach in their frames.

    Fitted, what stood over the grid's edge may not.
    """
    return np.asarray(grid.reshape(2, 2) + movement * np.array([[-1], [1]]))


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


def _of_motifs(frames: Frames, led: Sequence[Led], looked: Looked, movement: float) -> tuple[Fit, ...]:
    """Return the fits of motifs in their frames."""
    # points on straight sides would not lie on these for sure
    polygons = [shape.polygon for shape in looked.shapes]
    (points, starts), owner = contours_of(polygons), owners_of(polygons)
    motif = frames.of_chains(points, starts)
    fits = []
    for kind, first in enumerate(frames.first.tolist()):
        own = np.flatnonzero(motif == first)
        counts = np.diff(starts)[own]
        inner = points[spread(starts[own], counts)]
        framed, ends = frames.framed(inner, np.full(len(inner), first)), np.cumsum(counts)
        shapes = []
        for number in distinct(owner[own]):
            chains = np.flatnonzero(owner[own] == number)
            begun = np.concatenate([(ends - counts)[chains], ends[chains[-1:]]])
            polygon = replace(
                looked.shapes[number].polygon, points=framed[begun[0] : begun[-1]], starts=begun - begun[0]
            )
            shapes.append(replace(looked.shapes[number], polygon=polygon))
        fits.append(_of_motif(kind, frames, led[kind], shapes, looked.groups, movement))
    return tuple(fits)


def _of_motif(
    kind: int,
    frames: Frames,
    led: Led,
    shapes: Sequence[Shape],
    groups: tuple[Group, ...],
    movement: float,
) -> Fit:
    """Return the fit of shapes in the frame of a motif."""
    columns, rows = np.ceil(2 * frames.middle[kind]).astype(np.int64).tolist()
    own = frames.kind[frames.owner] == kind
    moved = float(np.abs(frames.placed(frames.own[own], frames.owner[own]) - frames.corners[own]).max())
    fit = find_fit(
        look(shapes, groups, rows=rows, columns=columns),
        [],
        rows=rows,
        columns=columns,
        movement=movement if movement >= FULL_FIT else max(movement - moved, 0.0),
        led=led,
    )
    assert fit is not None  # it was seen
    return fit
