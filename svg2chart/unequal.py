"""Equal widths of a drawing that come out unequal, told by the elements that are so wide."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.candidates import AREA_UNIT
from svg2chart.fit import Laid
from svg2chart.fitting.widths import Unequal
from svg2chart.geometry.polygon import Polygon
from svg2chart.octants.areas import VisibleAreas
from svg2chart.octants.stacks import BARE
from svg2chart.remarks import Remark, Severity
from svg2chart.runs import begins, ends, in_order, numbered
from svg2chart.seenacross import seen_across
from svg2chart.slantedbars import uneven_bars
from svg2chart.stitches import Worked
from svg2chart.unevencopies import uneven_copies
from svg2chart.visible import Shape

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

AT_SIDES = ((1 / 64, 1 / 32), (1 / 8, 3 / 16))
"""What lies so near to where a side goes, in squares, is that side; so far beside it lies what bounds on it:
straight ones, and if there are none what counts as the length of round ones."""

MOST_WIDTHS = 3
"""So many widths are named that do not stay equal."""


def unequal_widths(
    worked: Worked, laid: Laid, areas: VisibleAreas, drawn: Laid, seen: VisibleAreas
) -> list[Remark]:
    """Return remarks where equal widths of the drawing are not equal on the squares, one for each element.

    Args:
        worked: the stitches.
        laid: the drawing that they were decided on.
        areas: what is seen of it, the colours numbered as they have them.
        drawn: the same before anything was moved.
        seen: what is seen of that, as `areas`.
    """
    shown = worked.shown()
    of_marks: dict[tuple[str, str], list[Unequal]] = {}
    found = []
    shapes = _as_seen(laid.shapes, areas) if laid.unequal else []
    edges = _edges(shapes)
    for width in laid.unequal:
        between = [_seen_between(shapes, edges, *each) for each in width.between]
        found.append(([laid.marks[order] for order in sorted(set().union(*between))], width))
    for orders, width in (
        *uneven_bars(
            shown, _as_seen(drawn.shapes, seen), colours=_colours(seen), moved=laid.largest_movement
        ),
        *uneven_copies(shown, drawn.shapes, laid.shapes, seen=areas.shapes, colours=_colours(areas)),
    ):
        found.append(([drawn.marks[order] for order in orders], width))
    for marks, width in found:
        for key in dict.fromkeys((mark.element, mark.layer) for mark in marks) or [("", "")]:
            of_marks.setdefault(key, []).append(width)
    return [
        Remark(element=element, layer=layer, what=_of_widths(widths, laid), severity=Severity.SIMPLIFIED)
        for (element, layer), widths in of_marks.items()
    ]


def _as_seen(shapes: Sequence[Shape], areas: VisibleAreas) -> list[Shape]:
    """Return shapes, those of which nothing is seen without points: masks are such."""
    nothing = Polygon.of_contours([])
    return [
        shape if area > 0 else replace(shape, polygon=nothing)
        for shape, area in zip(shapes, areas.shapes.tolist(), strict=True)
    ]


def _colours(areas: VisibleAreas) -> Ints:
    """Return (shapes,) the colour that most of what is seen of each shows, BARE where nothing is.

    What lets through, by itself or with its group, has one that depends on what it lies on.
    """
    mixed, solid = np.flatnonzero(areas.order >= 0), np.flatnonzero(areas.filled_by.ravel() >= 0)
    order = np.concatenate([areas.order[mixed], areas.filled_by.ravel()[solid]])
    colour = np.concatenate([areas.colour[mixed], areas.solid.ravel()[solid]])
    amount = np.rint(areas.octants[mixed] * AREA_UNIT).sum(axis=1)
    of_both, index = numbered(order * len(areas.colours) + colour)
    total = np.bincount(index, np.append(amount, np.full(len(solid), AREA_UNIT)), len(of_both))
    shape, colour = np.divmod(of_both, len(areas.colours))
    most = in_order(shape, total.astype(np.int64))
    most = most[ends(begins(shape[most]))]
    result = np.full(len(areas.shapes), BARE)
    result[shape[most]] = colour[most]
    return result


def _of_widths(widths: list[Unequal], laid: Laid) -> str:
    """Return what is said of an element that has such widths."""
    named = ", ".join(f"{w.drawn:.3g} squares as {w.least:.3g} to {w.most:.3g}" for w in widths[:MOST_WIDTHS])
    more = f" (and {len(widths) - MOST_WIDTHS} more)" if len(widths) > MOST_WIDTHS else ""
    if laid.largest_movement:
        why = "sides may not move far enough to keep them equal; at another size they may"
    else:
        why = "nothing is moved onto the squares; with more --fit, or at another size, they may be equal"
    return f"equal widths come out unequal, {named}{more}: {why} (--wide, --high, --square)"


def _edges(shapes: Sequence[Shape]) -> Floats:
    return np.concatenate([np.zeros((0, 4)), *(shape.polygon.edges() for shape in shapes)])


def _seen_between(shapes: Sequence[Shape], edges: Floats, axis: int, low: float, high: float) -> set[int]:
    """Return the shapes, by paint order, that are seen from one place along an axis to the other."""
    for near, beside in AT_SIDES:
        lines = _lines_across(edges, axis, low, high, near)
        places = [np.stack([np.full(len(lines), place), lines], axis=1) for place in (low, high)]
        first, last = (place if axis == 0 else place[:, ::-1] for place in places)
        found = seen_across(shapes, first, last, beside=beside)
        if (found >= 0).any():
            return set(found[found >= 0].tolist())
    return set()


def _lines_across(edges: Floats, axis: int, low: float, high: float, near: float) -> Floats:
    """Return lines that cross edges at both places along an axis, one for each two of them."""
    along, over = edges[:, [axis, axis + 2]], np.sort(edges[:, [1 - axis, 3 - axis]], axis=1)
    first, second = (over[(np.abs(along - place) < near).all(axis=1)] for place in (low, high))
    start = np.maximum(first[:, None, 0], second[None, :, 0])
    end = np.minimum(first[:, None, 1], second[None, :, 1])
    return np.unique(((start + end) / 2)[end > start])
