"""Slanted bars of one width that come out unequally wide, measured on the finished chart.

A bar lies between two parallel sides of a shape. Its width is measured along the grid, where stitches are
counted: along rows if it is rather steep, else along columns.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.closecells import FINE
from svg2chart.closelooks import in_cells
from svg2chart.fitting.seams import contours_of, owners_of
from svg2chart.fitting.sightlines import UNIT
from svg2chart.fitting.slants import ALIKE, OFF_GRID, turns
from svg2chart.fitting.widths import LEAST_WHOLE, ONE_WIDTH, SEEN, Unequal
from svg2chart.octants.blending import Rgba
from svg2chart.runs import spread
from svg2chart.seenacross import seen_across
from svg2chart.visible import Shape

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAST_LONG = 2.0
"""Sides of bars lie opposite each other for so many rows or columns or more. Our choice, no source."""

WIDEST = 6.0
"""What is wider than so many squares is no bar. Our choice, no source."""

SPREAD = 1.0
"""Stitches that are wider than a bar by more, in squares, go on in other parts of the drawing."""

AT_ENDS = 0.5
"""So near to its ends, in squares, a bar may be cut off aslant."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bar:
    """A slanted bar.

    order: its shape. axis: along which its width is measured, 0 for rows. low, high: where it begins and ends
    along the other axis. start, slope: the middle of its width where that is nought, and how it goes on.
    wide: its width. angle: its direction off the grid, in radians.
    """

    order: int
    axis: int
    low: float
    high: float
    start: float
    slope: float
    wide: float
    angle: float

    def is_like(self, other: "_Bar") -> bool:
        """Return whether a bar is as wide, and as steep or as level."""
        return abs(self.wide - other.wide) <= ONE_WIDTH / UNIT and abs(self.angle - other.angle) <= ALIKE

    def across(self) -> tuple[Floats, Floats]:
        """Return (3, 2) places on one of its sides, and those on the other."""
        over = np.linspace(self.low, self.high, 5)[1:-1]
        sides = [self.start + self.slope * over + off for off in (-self.wide / 2, self.wide / 2)]
        low, high = (np.stack([side, over] if self.axis == 0 else [over, side], axis=1) for side in sides)
        return low, high


def uneven_bars(
    shown: Ints, shapes: Sequence[Shape], *, number_of: Mapping[Rgba, int], moved: float
) -> Iterator[tuple[tuple[int, ...], Unequal]]:
    """Yield shapes, by paint order, and the widths of their bars that are equal as drawn and not in stitches.

    Args:
        shown: (rows, columns, 8) the colour that each octant shows.
        shapes: the drawing, in squares, before anything was moved.
        number_of: the number of each colour that is seen.
        moved: how far the fit moved anything, in squares.
    """
    alike = [bars for bars in _alike(_find_bars(shapes)) if len(bars) > 1]
    cells = in_cells(shown) if alike else np.zeros((2, 0, 0), np.int64)
    for bars in alike:
        found = []
        for bar in bars:
            number = number_of.get(shapes[bar.order].paint.rgba)
            width = None if number is None else _width(cells, bar, number, moved)
            if width is not None:
                found.append((width, bar))
        if not found or _spread(found) <= SEEN:
            continue
        # what is hidden, or runs on in its colour, is no bar
        found = [(width, bar) for width, bar in found if seen_across(shapes, *bar.across()) == {bar.order}]
        if found and _spread(found) > SEEN:
            least, most = (pick(width for width, _ in found) for pick in (min, max))
            orders = {bar.order for width, bar in found if width in (least, most)}
            drawn = sum(bar.wide for _, bar in found) / len(found)
            yield tuple(sorted(orders)), Unequal(drawn=drawn, least=least, most=most, between=())


def _spread(found: Sequence[tuple[float, _Bar]]) -> float:
    return max(width for width, _ in found) - min(width for width, _ in found)


def _find_bars(shapes: Sequence[Shape]) -> list[_Bar]:
    """Return what lies between two parallel slanted sides of one shape."""
    polygons = [shape.polygon for shape in shapes]
    points, starts = contours_of(polygons)
    contour = np.repeat(np.arange(len(starts) - 1), np.diff(starts))
    following, _ = turns(points, contour)
    way = points[following] - points
    off_grid = np.arctan2(np.abs(way).min(axis=1), np.abs(way).max(axis=1))
    slanted = np.flatnonzero((np.abs(way).max(axis=1) >= LEAST_LONG) & (off_grid > OFF_GRID))
    sides = np.stack([points[slanted], points[following[slanted]]], axis=1)
    order = owners_of(polygons)[contour[slanted]]
    found = (_bar(int(order[k]), sides[k], sides[m]) for k, m in _opposite(order, way[slanted]).tolist())
    return [bar for bar in found if bar is not None]


def _opposite(order: Ints, way: Floats) -> Ints:
    """Return the pairs of sides of one shape that run in opposite directions, about, (pairs, 2).

    Args:
        order: (n,) the shape of each, ascending.
        way: (n, 2) from its start to its end.
    """
    # on a scale on which shapes lie farther apart than directions of one
    turn = 2 * np.pi
    place = order * 4 * turn + np.arctan2(way[:, 1], way[:, 0]) % turn
    opposite = order * 4 * turn + np.arctan2(-way[:, 1], -way[:, 0]) % turn
    by_place = np.argsort(place, kind="stable")
    pairs = []
    for off in (-turn, 0.0, turn):
        first, last = (
            np.searchsorted(place[by_place], opposite + off + reach) for reach in (-2 * ALIKE, 2 * ALIKE)
        )
        pairs.append(
            np.stack([np.repeat(np.arange(len(order)), last - first), by_place[spread(first, last - first)]])
        )
    found = np.concatenate(pairs, axis=1).T
    found = found[found[:, 0] < found[:, 1]]
    return np.asarray(found[np.lexsort((found[:, 1], found[:, 0]))])


def _bar(order: int, one: Floats, other: Floats) -> _Bar | None:
    """Return the bar between two sides, (2, 2) each; None if they bound none."""
    (x, y), (other_x, other_y) = one[1] - one[0], other[1] - other[0]
    lengths = np.hypot(x, y) * np.hypot(other_x, other_y)
    # around what lies between them, one runs up and the other down
    if abs(x * other_y - y * other_x) > ALIKE * lengths or x * other_x + y * other_y > 0:
        return None
    axis = 0 if abs(y) >= abs(x) else 1
    over = np.sort([one[:, 1 - axis], other[:, 1 - axis]], axis=1)
    low, high = float(over[:, 0].max()), float(over[:, 1].min())
    if high - low < LEAST_LONG:
        return None
    slope = float(
        np.mean(
            [
                (side[1, axis] - side[0, axis]) / (side[1, 1 - axis] - side[0, 1 - axis])
                for side in (one, other)
            ]
        )
    )
    places = [float(side[:, axis].mean() - slope * side[:, 1 - axis].mean()) for side in (one, other)]
    wide = abs(places[1] - places[0])
    if not LEAST_WHOLE <= wide <= min(WIDEST, high - low):
        return None
    return _Bar(
        order=order,
        axis=axis,
        low=low,
        high=high,
        start=sum(places) / 2,
        slope=slope,
        wide=wide,
        angle=float(np.arctan(abs(slope))),
    )


def _alike(bars: list[_Bar]) -> list[list[_Bar]]:
    """Return the bars that are alike, each with the first that it is like."""
    groups: list[list[_Bar]] = []
    for bar in sorted(bars, key=lambda bar: (bar.wide, bar.angle)):
        own = next((group for group in groups if group[0].is_like(bar)), None)
        if own is None:
            groups.append([bar])
        else:
            own.append(bar)
    return groups


def _width(cells: Ints, bar: _Bar, number: int, moved: float) -> float | None:
    """Return how wide a bar is in stitches, on the mean; None where these go on in other parts.

    Args:
        cells: (2, rows, columns) the colours that cells show.
        bar: the bar.
        number: its colour.
        moved: how far it may lie from where it is drawn, in squares.
    """
    lines = np.arange(np.ceil((bar.low + AT_ENDS) * FINE), np.floor((bar.high - AT_ENDS) * FINE)).astype(
        np.int64
    )
    planes = cells if bar.axis == 0 else cells.transpose(0, 2, 1)
    lines = lines[(lines >= 0) & (lines < planes.shape[1])]
    middle = (bar.start + bar.slope * (lines + 0.5) / FINE) * FINE
    beyond = int(np.ceil((bar.wide / 2 + moved + SPREAD) * FINE))
    at = np.floor(middle).astype(np.int64)[:, None] + np.arange(-beyond, beyond + 1)
    is_on = (at >= 0) & (at < planes.shape[2])
    widths = []
    for plane in planes:
        own = np.pad((plane[lines[:, None], np.where(is_on, at, 0)] == number) & is_on, ((0, 0), (1, 1)))
        step = np.diff(own.astype(np.int8), axis=1)
        (line, start), (_, end) = np.nonzero(step > 0), np.nonzero(step < 0)
        # of several runs on a line that nearest to the middle
        order = np.lexsort((np.abs(start + end - 2 * beyond - 1), line))
        first = order[np.flatnonzero(np.diff(line[order], prepend=-1))]
        widths.append((end - start)[first])
    wide = np.concatenate(widths)
    wide = wide[wide <= (bar.wide + SPREAD) * FINE]
    return float(wide.mean()) / FINE if len(wide) and len(wide) >= len(lines) else None
