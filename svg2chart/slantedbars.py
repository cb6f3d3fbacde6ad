"""Slanted bars of one width that come out unequally wide, measured on the finished chart.

A bar lies between two parallel sides of a shape. Its width is measured along the grid, where stitches are
counted: along rows if it is rather steep, else along columns.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.closecells import FINE
from svg2chart.closelooks import in_cells
from svg2chart.fitting.seams import contours_of, owners_of
from svg2chart.fitting.sightlines import UNIT
from svg2chart.fitting.slants import ALIKE, OFF_GRID, neighbours
from svg2chart.fitting.widths import LEAST_WHOLE, ONE_WIDTH, SEEN
from svg2chart.geometry.meetings import edges_in_boxes
from svg2chart.geometry.polygon import ways_of
from svg2chart.remarks import Square, square_at
from svg2chart.runs import begins, spread
from svg2chart.seenacross import seen_across
from svg2chart.unevenwidths import Uneven
from svg2chart.visible import Shape

Bools = NDArray[np.bool_]
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

CELLS_AT_ONCE = 1 << 22
"""So many cells are looked at together, about: it bounds the memory."""


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

    def place(self) -> Square:
        """Return the square in its middle."""
        over = (self.low + self.high) / 2
        along = self.start + self.slope * over
        return square_at(along, over) if self.axis == 0 else square_at(over, along)

    def across(self) -> tuple[Floats, Floats]:
        """Return (3, 2) places on one of its sides, and those on the other."""
        over = np.linspace(self.low, self.high, 5)[1:-1]
        sides = [self.start + self.slope * over + off for off in (-self.wide / 2, self.wide / 2)]
        low, high = (np.stack([side, over] if self.axis == 0 else [over, side], axis=1) for side in sides)
        return low, high


def uneven_bars(shown: Ints, shapes: Sequence[Shape], *, colours: Ints, moved: float) -> Iterator[Uneven]:
    """Yield the widths of bars that are equal as drawn and not in stitches.

    Args:
        shown: (rows, columns, 8) the colour that each octant shows.
        shapes: the drawing, in squares, before anything was moved, without what is not seen.
        colours: (shapes,) the colour that each shows.
        moved: how far the fit moved anything, in squares.
    """
    bars = _find_bars(shapes)
    seen = [bar for bar, is_seen in zip(bars, _are_seen(shapes, bars), strict=True) if is_seen]
    alike = [bars for bars in _alike(seen) if len(bars) > 1]
    cells = in_cells(shown) if alike else np.zeros((2, 0, 0), np.int64)
    for bars in alike:
        widths = _widths(cells, bars, colours, moved)
        found = [(width, bar) for width, bar in zip(widths, bars, strict=True) if width is not None]
        least, most = (pick((width for width, _ in found), default=0.0) for pick in (min, max))
        if most - least > SEEN:
            places: dict[int, set[Square]] = {}
            for width, bar in found:
                if width in (least, most):
                    places.setdefault(bar.order, set()).add(bar.place())
            first, last = (next(bar.axis for width, bar in found if width == end) for end in (least, most))
            drawn = sum(bar.wide for _, bar in found) / len(found)
            yield Uneven(drawn=drawn, least=least, most=most, axes=(first, last), places=places)


def _are_seen(shapes: Sequence[Shape], bars: Sequence[_Bar]) -> Bools:
    """Return which bars are seen as such: what is hidden, or runs on in its colour, is no bar."""
    if not bars:
        return np.zeros(0, np.bool_)
    low, high = (np.concatenate(places) for places in zip(*(bar.across() for bar in bars), strict=True))
    across = seen_across(shapes, low, high).reshape(len(bars), -1)
    is_own = across == np.array([bar.order for bar in bars])[:, None]
    return np.asarray((is_own | (across < 0)).all(axis=1) & is_own.any(axis=1))


def _find_bars(shapes: Sequence[Shape]) -> list[_Bar]:
    """Return what lies between two parallel slanted sides of one shape."""
    polygons = [shape.polygon for shape in shapes]
    points, starts = contours_of(polygons)
    contour = np.repeat(np.arange(len(starts) - 1), np.diff(starts))
    following, _ = neighbours(contour)
    edges = np.concatenate([points, points[following]], axis=1)
    short, long = np.sort(ways_of(edges), axis=1).T
    slanted = (long >= LEAST_LONG) & (np.arctan2(short, long) > OFF_GRID)
    return _bars(edges[slanted], owners_of(polygons)[contour[slanted]])


def _bars(edges: Floats, owner: Ints) -> list[_Bar]:
    """Return the bars between edges, (n, 4), of one shape each."""
    one, other = _opposite(edges, owner)
    # around what lies between them, one runs up and the other down
    ends = np.stack([edges[one], edges[other]]).reshape(2, -1, 2, 2)
    axis = np.where(_are_steep(edges[one]), 0, 1)
    along, over = np.where(axis[:, None, None] == 0, ends, ends[..., ::-1]).transpose(3, 0, 1, 2)
    low, high = over.min(axis=2).max(axis=0), over.max(axis=2).min(axis=0)
    slope = (np.diff(along)[..., 0] / np.diff(over)[..., 0]).mean(axis=0)
    start = along.mean(axis=2) - slope * over.mean(axis=2)
    wide = np.abs(start[1] - start[0])
    is_bar = (high - low >= LEAST_LONG) & (wide >= LEAST_WHOLE) & (wide <= np.minimum(WIDEST, high - low))
    return [
        _Bar(
            order=int(owner[one[k]]),
            axis=int(axis[k]),
            low=float(low[k]),
            high=float(high[k]),
            start=float(start[:, k].mean()),
            slope=float(slope[k]),
            wide=float(wide[k]),
            angle=float(np.arctan(abs(slope[k]))),
        )
        for k in np.flatnonzero(is_bar)
    ]


def _opposite(edges: Floats, owner: Ints) -> Ints:
    """Return (2, pairs) edges of one shape that run in opposite directions beside each other."""
    way = edges[:, 2:] - edges[:, :2]
    ends = edges.reshape(-1, 2, 2)
    # nothing of a bar lies farther off one of its sides, in the direction that its width is measured in
    reach = np.where(_are_steep(edges)[:, None], [WIDEST, 0.0], [0.0, WIDEST])
    boxes = np.concatenate([ends.min(axis=1) - reach, ends.max(axis=1) + reach], axis=1)
    one, other = edges_in_boxes(edges, boxes).T
    kept = (one < other) & (owner[one] == owner[other])
    one, other = one[kept], other[kept]
    (x, y), (other_x, other_y) = way[one].T, way[other].T
    kept = np.abs(x * other_y - y * other_x) <= ALIKE * np.hypot(x, y) * np.hypot(other_x, other_y)
    kept &= x * other_x + y * other_y < 0
    return np.stack([one[kept], other[kept]])


def _are_steep(edges: Floats) -> Bools:
    across, down = ways_of(edges).T
    return np.asarray(down >= across)


def _alike(bars: list[_Bar]) -> list[list[_Bar]]:
    """Return the bars that are alike, each with the first that it is like."""
    groups: list[list[_Bar]] = []
    nearly = 0  # those before are of narrower bars than any that follow are like
    for bar in sorted(bars, key=lambda bar: (bar.wide, bar.angle)):
        while nearly < len(groups) and bar.wide - groups[nearly][0].wide > ONE_WIDTH / UNIT:
            nearly += 1
        own = next((group for group in groups[nearly:] if group[0].is_like(bar)), None)
        if own is None:
            groups.append([bar])
        else:
            own.append(bar)
    return groups


def _widths(cells: Ints, bars: Sequence[_Bar], colours: Ints, moved: float) -> list[float | None]:
    """Return how wide bars are in stitches, on the mean; None where these go on in other parts.

    Args:
        cells: (2, rows, columns) the colours that cells show.
        bars: some bars.
        colours: (shapes,) the colour that each shows.
        moved: how far bars may lie from where they are drawn, in squares.
    """
    result: list[float | None] = [None] * len(bars)
    for axis in (0, 1):
        own = [number for number, bar in enumerate(bars) if bar.axis == axis]
        planes = cells if axis == 0 else cells.transpose(0, 2, 1)
        some = [bars[number] for number in own]
        widths = _widths_along(planes, some, colours[[bar.order for bar in some]], moved) if own else ()
        for number, width in zip(own, widths, strict=True):
            result[number] = width
    return result


def _widths_along(planes: Ints, bars: Sequence[_Bar], colours: Ints, moved: float) -> Iterator[float | None]:
    """Yield the same of bars whose width is measured along the rows of cells; `colours` are those of bars."""
    low, high, wide = np.array([(bar.low, bar.high, bar.wide) for bar in bars]).T
    first = np.maximum(np.ceil((low + AT_ENDS) * FINE), 0).astype(np.int64)
    last = np.minimum(np.floor((high - AT_ENDS) * FINE), planes.shape[1]).astype(np.int64)
    counts = np.maximum(last - first, 0)
    line, own = spread(first, counts), np.repeat(np.arange(len(bars)), counts)
    start, slope = np.array([(bar.start, bar.slope) for bar in bars])[own].T
    middle = np.floor((start + slope * (line + 0.5) / FINE) * FINE).astype(np.int64)
    beyond = np.ceil((wide / 2 + moved + SPREAD) * FINE).astype(np.int64)
    sums, found = np.zeros(len(bars), np.int64), np.zeros(len(bars), np.int64)
    at_once = max(1, CELLS_AT_ONCE // (2 * int(beyond.max()) + 1))
    for begin in range(0, len(line), at_once):
        some = slice(begin, begin + at_once)
        for plane in planes:
            shows = _shows(plane, line[some], middle[some], colours[own[some]], beyond[own[some]])
            at, length = _runs_at_middle(shows)
            is_own = length <= (wide[own[some]][at] + SPREAD) * FINE
            np.add.at(sums, own[some][at[is_own]], length[is_own])
            np.add.at(found, own[some][at[is_own]], 1)
    for count, total, lines in zip(found.tolist(), sums.tolist(), counts.tolist(), strict=True):
        yield total / count / FINE if count and count >= lines else None


def _shows(plane: Ints, line: Ints, middle: Ints, colour: Ints, beyond: Ints) -> Bools:
    """Return (lines, cells) which cells along lines show a colour, so many on both sides of a middle."""
    off = np.arange(-int(beyond.max()), int(beyond.max()) + 1)
    at = middle[:, None] + off
    is_on = (at >= 0) & (at < plane.shape[1]) & (np.abs(off) <= beyond[:, None])
    return np.asarray((plane[line[:, None], np.where(is_on, at, 0)] == colour[:, None]) & is_on)


def _runs_at_middle(shows: Bools) -> tuple[Ints, Ints]:
    """Return the lines with a run of cells, and how long that is which lies nearest to the middle."""
    step = np.diff(np.pad(shows, ((0, 0), (1, 1))).astype(np.int8), axis=1)
    (line, start), (_, end) = np.nonzero(step > 0), np.nonzero(step < 0)
    # of two that lie as near the longer one
    order = np.lexsort((start - end, np.abs(start + end - shows.shape[1]), line))
    first = order[np.flatnonzero(begins(line[order]))]
    return line[first], (end - start)[first]
