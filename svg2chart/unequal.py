"""Equal widths of a drawing that come out unequal, told by the elements that are so wide."""

from collections.abc import Sequence
from dataclasses import replace
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.candidates import AREA_UNIT
from svg2chart.fit import Laid
from svg2chart.fitting.widths import Unequal
from svg2chart.geometry.polygon import Polygon
from svg2chart.octants.areas import VisibleAreas
from svg2chart.octants.stacks import BARE
from svg2chart.remarks import Remark, Severity, Square, at_places, square_at
from svg2chart.runs import begins, ends, in_order, numbered
from svg2chart.seenacross import seen_across
from svg2chart.slantedbars import uneven_bars
from svg2chart.stitches import Worked
from svg2chart.unevencopies import uneven_copies
from svg2chart.unevenwidths import Uneven
from svg2chart.visible import Shape

Key = tuple[str, str]
"""An element and its layer."""

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

AT_SIDES = ((1 / 64, 1 / 32), (1 / 8, 3 / 16))
"""What lies so near to where a side goes, in squares, is that side; so far beside it lies what bounds on it:
straight ones, and if there are none what counts as the length of round ones."""


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
    found: list[tuple[Laid, Uneven]] = []
    shapes = _as_seen(laid.shapes, areas) if laid.unequal else []
    edges = _edges(shapes)
    for of_fit in laid.unequal:
        found.append((laid, _seen_between(shapes, edges, of_fit)))
    before = _as_seen(drawn.shapes, seen)
    bars = uneven_bars(shown, before, colours=_colours(seen), moved=laid.largest_movement)
    copies = uneven_copies(shown, before, laid.shapes, colours=_colours(areas))
    found += [(drawn, width) for width in (*bars, *copies)]
    places: dict[Key, set[Square]] = {}
    widths: list[tuple[str, list[Key]]] = []
    for whole, width in found:
        keys = [("", "")] if not width.places else list[Key]()
        words = str(width) if width.places else f"{width}{_squares_between(width)}"
        for order in sorted(width.places):
            mark = whole.marks[order]
            keys.append((mark.element, mark.layer))
            places.setdefault(keys[-1], set()).update(width.places[order])
        widths.append((words, keys))
    return [
        Remark(
            element=element,
            layer=layer,
            what=_of_widths(own, places.get((element, layer), set()), laid),
            severity=Severity.SIMPLIFIED,
        )
        for (element, layer), own in _of_alike(widths).items()
    ]


def _squares_between(width: Uneven) -> str:
    """Return in words in which rows or columns widths lie that nothing is seen of from side to side."""
    found = []
    for axis, low, high in width.between:
        first, last = floor(low) + 1, max(ceil(high), floor(low) + 1)
        name = ("column", "row")[axis]
        found.append(f"{name} {first}" if first == last else f"{name}s {first} to {last}")
    return f" (in {' and '.join(dict.fromkeys(found))})" if found else ""


def _of_alike(widths: Sequence[tuple[str, Sequence[Key]]]) -> dict[Key, list[str]]:
    """Return the widths of each element, one that it has itself first, then those of others that have it.

    So the same is said of all copies in a layer: told together, they are told on one line.
    """
    own: dict[Key, dict[str, None]] = {}
    having: dict[tuple[str, str], list[Key]] = {}
    for words, keys in widths:
        for key in dict.fromkeys(keys):
            own.setdefault(key, {})[words] = None
            having.setdefault((words, key[1]), []).append(key)
    found: dict[Key, list[str]] = {}
    for (words, _), keys in sorted(having.items(), key=lambda item: -len(item[1])):
        left = [key for key in keys if key not in found]
        others = dict.fromkeys(other for key in left for other in own[key] if other != words)
        found.update((key, [words, *others]) for key in left)
    return {key: found[key] for key in own}


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
    square, colour, order = areas.uppermost()
    amount = np.full(len(square), AREA_UNIT, np.float64)
    amount[: len(areas.octants)] = np.rint(areas.octants * AREA_UNIT).sum(axis=1)
    of_shape = order >= 0
    of_both, index = numbered(order[of_shape] * len(areas.colours) + colour[of_shape])
    total = np.bincount(index, amount[of_shape], len(of_both))
    shape, colour = np.divmod(of_both, len(areas.colours))
    most = in_order(shape, total.astype(np.int64))
    most = most[ends(begins(shape[most]))]
    result = np.full(len(areas.shapes), BARE)
    result[shape[most]] = colour[most]
    return result


def _of_widths(widths: Sequence[str], places: set[Square], laid: Laid) -> str:
    """Return what is said of an element that has such widths, in words, in some squares."""
    more = f" (and {len(widths) - 1} more)" if len(widths) > 1 else ""
    what = at_places(f"equal widths come out unequal, {widths[0]}{more}", places)
    if laid.largest_movement:
        return f"{what}: another size may keep them (--wide, --high, --square)"
    return f"{what}: fitting, or another size, may keep them (--fit, --wide, --high, --square)"


def _edges(shapes: Sequence[Shape]) -> Floats:
    return np.concatenate([np.zeros((0, 4)), *(shape.polygon.edges() for shape in shapes)])


def _seen_between(shapes: Sequence[Shape], edges: Floats, width: Unequal) -> Uneven:
    """Return widths between sides, with the shapes that are seen from one to the other, and where."""
    places: dict[int, set[Square]] = {}
    for each in width.between:
        for order, square in _across(shapes, edges, *each).items():
            places.setdefault(order, set()).add(square)
    first, last = (axis for axis, _, _ in width.between)
    return Uneven(
        drawn=width.drawn,
        least=width.least,
        most=width.most,
        axes=(first, last),
        places=places,
        between=width.between,
    )


def _across(shapes: Sequence[Shape], edges: Floats, axis: int, low: float, high: float) -> dict[int, Square]:
    """Return the shapes, by paint order, that are seen from place to place along an axis, and where."""
    for near, beside in AT_SIDES:
        lines = _lines_across(edges, axis, low, high, near)
        places = [np.stack([np.full(len(lines), place), lines], axis=1) for place in (low, high)]
        first, last = (place if axis == 0 else place[:, ::-1] for place in places)
        found = seen_across(shapes, first, last, beside=beside)
        squares = [square_at(*at) for at in ((first + last) / 2).tolist()]
        own = {order: square for row, square in zip(found.tolist(), squares, strict=True) for order in row}
        own.pop(-1, None)
        if own:
            return own
    return {}


def _lines_across(edges: Floats, axis: int, low: float, high: float, near: float) -> Floats:
    """Return lines that cross edges at both places along an axis, one for each two of them."""
    along, over = edges[:, [axis, axis + 2]], np.sort(edges[:, [1 - axis, 3 - axis]], axis=1)
    first, second = (over[(np.abs(along - place) < near).all(axis=1)] for place in (low, high))
    start = np.maximum(first[:, None, 0], second[None, :, 0])
    end = np.minimum(first[:, None, 1], second[None, :, 1])
    return np.unique(((start + end) / 2)[end > start])
