"""Shapes that lie wholly under others: nobody sees them, so they neither lead the fit nor show after it."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import Blend, Group, masking_groups
from svg2chart.fitting.looking import Looked, look
from svg2chart.fitting.seams import side_by_side
from svg2chart.geometry.polygon import Polygon, edges_of_all
from svg2chart.grid import LATTICE
from svg2chart.octants.areas import MIXED
from svg2chart.octants.stacks import SEEN_OPACITY, Paint, Stacks, chain_of
from svg2chart.octants.windings import HALF, ROUNDING
from svg2chart.runs import totals
from svg2chart.visible import Shape, stacks_of_bands

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

ROUNDED = 2 / LATTICE
"""What is seen beside an outline, in squares, where it and the outline over it were rounded: each point by up
to half a step of the lattice in either direction."""

LEAST_SEEN = 2.0**-13
"""Shapes of which lines see no more, in squares, may be hidden or just lie between lines."""

NOTHING = Polygon.of_contours([])

COARSER = 2
"""Hidden shapes are found on squares so many times as large: it is faster and as exact."""

# instead of the group in which a shape hides what lies below it
EVERYWHERE, NOWHERE = -1, -2


def look_at_seen(
    shapes: Sequence[Shape],
    fitted: Sequence[int],
    given: Sequence[int],
    groups: tuple[Group, ...],
    *,
    rows: int,
    columns: int,
) -> tuple[tuple[Shape, ...], list[int], Looked]:
    """Return shapes, those to be fitted, and what is seen of these along lines.

    Of hidden shapes that were to be fitted nothing is left, but for parts of what is seen.

    Args:
        shapes: all shapes, in paint order, as drawn.
        fitted: those that are to be fitted to the squares.
        given: those that stay where they are drawn.
        groups: the groups that the paints name.
        rows: rows of squares.
        columns: columns of squares.
    """
    looked = look([shapes[k] for k in fitted], groups, rows=rows, columns=columns)
    if not _may_be_hidden(shapes, fitted, given, looked.areas):
        return tuple(shapes), list(fitted), looked
    hidden = find_hidden(shapes, groups, rows=rows, columns=columns)
    unseen = hidden[fitted]
    if unseen.any():
        unseen = _whole_hidden(unseen, [shapes[k].polygon for k in fitted], looked)
    left = [k for k, is_unseen in zip(fitted, unseen, strict=True) if not is_unseen]
    if len(left) == len(fitted):
        return tuple(shapes), left, looked
    gone = set(fitted) - set(left)
    rest = tuple(replace(s, polygon=NOTHING) if k in gone else s for k, s in enumerate(shapes))
    if looked.areas[unseen].any():  # lines that run along an outline see it
        return rest, left, look([shapes[k] for k in left], groups, rows=rows, columns=columns)
    return rest, left, looked.without(unseen)


def _whole_hidden(hidden: Bools, polygons: Sequence[Polygon], looked: Looked) -> Bools:
    """Return which hidden shapes are no part of one that is seen.

    Its outline goes on below others if it was drawn as one, and so it does if it was drawn in parts.
    """
    looks = np.full(len(hidden), -1)
    looks[looked.is_clear] = looked.looks
    first = side_by_side(polygons, looks)
    return np.asarray(hidden & (np.bincount(first[~hidden], minlength=len(hidden))[first] == 0))


def _may_be_hidden(
    shapes: Sequence[Shape], fitted: Sequence[int], given: Sequence[int], areas: Floats
) -> bool:
    """Return whether any fitted shape may be hidden, which is told quickly, as lines see so much of each."""
    if (areas <= LEAST_SEEN).any():
        return True
    below = [k for k in fitted if given and k < given[-1]]
    if not below:
        return False
    least, most = np.array([_box(shapes[k]) for k in below]).transpose(1, 0, 2)
    covers = np.array([_box(shapes[k]) for k in given])
    within = (least >= covers[:, 0].min(axis=0)) & (most <= covers[:, 1].max(axis=0))
    return bool(within.all(axis=1).any())


def _box(shape: Shape) -> tuple[Floats, Floats]:
    return shape.polygon.points.min(axis=0), shape.polygon.points.max(axis=0)


def find_hidden(shapes: Sequence[Shape], groups: tuple[Group, ...], *, rows: int, columns: int) -> Bools:
    """Return which shapes lie under later ones that let nothing through, whole but for rounding.

    What others of its group hide is hidden, also if the group lets through what lies below it. Masks hide
    nothing. What lies off the grid is hidden. It takes as long as `visible_areas`.

    Args:
        shapes: in paint order, the lowest first.
        groups: the groups that the paints name.
        rows: rows of squares.
        columns: columns of squares.
    """
    paints = [shape.paint for shape in shapes]
    stacks = Stacks(paints, groups)
    seen_of_stacks = _areas_of_stacks(shapes, stacks, rows=rows, columns=columns)
    chains = [chain_of(paint, groups) for paint in paints]
    hidden_by = _hidden_by_each(paints, groups)
    seen = np.zeros(len(shapes))
    for stack in np.flatnonzero(seen_of_stacks).tolist():
        covered: set[int] = set()
        for shape in reversed(stacks.shapes(stack)):
            if EVERYWHERE in covered:
                break
            if covered.isdisjoint(chains[shape]):
                seen[shape] += seen_of_stacks[stack]
            covered.add(hidden_by[shape])
    edges, owner = edges_of_all([shape.polygon for shape in shapes])
    x0, y0, x1, y1 = edges.T
    around = totals(owner, np.hypot(x1 - x0, y1 - y0), len(shapes))
    return np.asarray(seen <= ROUNDED * around)


def _areas_of_stacks(shapes: Sequence[Shape], stacks: Stacks, *, rows: int, columns: int) -> Floats:
    """Return how much of each stack is seen, in squares."""
    shapes = [replace(s, polygon=replace(s.polygon, points=s.polygon.points / COARSER)) for s in shapes]
    found = []
    sized = {"rows": -(-rows // COARSER), "columns": -(-columns // COARSER)}
    for dense, areas in stacks_of_bands(shapes, stacks, **sized):
        shown = np.flatnonzero((areas.left > ROUNDING) | (areas.right > ROUNDING))
        whole = dense[dense != MIXED]
        found.append((areas.stack.take(shown), (areas.left + areas.right).take(shown)))
        found.append((whole, np.full(len(whole), 2 * HALF)))
    stack, area = (np.concatenate(parts) for parts in zip(*found, strict=True))
    return totals(stack, area / 4 * COARSER**2, int(stack.max(initial=0)) + 1)


def _hidden_by_each(paints: Sequence[Paint], groups: tuple[Group, ...]) -> list[int]:
    """Return the outermost group of which each paint hides all that lies below it: EVERYWHERE, or NOWHERE."""
    masking = masking_groups(groups)
    return [NOWHERE if paint.group in masking else _hidden_by(paint, groups) for paint in paints]


def _hidden_by(paint: Paint, groups: tuple[Group, ...]) -> int:
    opacity, group, within = paint.opacity, paint.group, NOWHERE
    while opacity >= 1.0 - SEEN_OPACITY:
        if group is None:
            return EVERYWHERE
        within, around = group, groups[group]
        is_plain = around.mask is None and around.blend is Blend.NORMAL
        opacity *= around.opacity if is_plain else 0.0
        group = around.parent
    return within
