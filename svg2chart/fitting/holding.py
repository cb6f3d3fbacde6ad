"""What stays where it is because it was drawn on the grid.

Slanted straight sides that run from hole to hole are never moved. Where a whole drawing was drawn on the
grid its round shapes on the grid are not bent either: between the ends of their curves nothing moves.

      hole line  ----.-""-.----      between the four hole lines
                   .'      '.        that bound a disc all stays;
                   '.      .'        a side beside it, off the
      hole line  ----'-..-'----      grid, is fitted
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.sides import Sides, on_hole_lines
from svg2chart.fitting.sightlines import AT_HOLE, LINES_PER_SQUARE, UNIT
from svg2chart.fitting.slants import StraightSides
from svg2chart.geometry.boxes import boxes_of

DRAWN_ON_GRID = 0.9
"""A drawing was drawn on the grid if so much of its sides, by length, lies there; our own choice."""

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

NO_STRIPS = np.zeros((0, 2), np.int64)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Held:
    """Sides that may be moved, and places beside them that stay, in UNIT; in one direction."""

    sides: Sides
    places: Ints


def find_held(
    across: Sides, down: Sides, straight: StraightSides, points: Floats, starts: Ints
) -> tuple[Held, Held]:
    """Return what may be moved and what stays, across and down.

    Args:
        across: sides of what is seen along rows, places are x.
        down: the same along columns, places are y.
        straight: straight sides as seen.
        points: of all contours, in squares.
        starts: where each contour starts, and the end of the last.
    """
    strips = (NO_STRIPS, NO_STRIPS)
    if is_drawn_on_grid((across, down), straight):
        strips = round_strips(points, starts)
    ends = straight.at[straight.slanted]
    holes = np.rint(ends[are_at_holes(ends)].reshape(-1, 2) * UNIT).astype(np.int64)
    one, other = (
        Held(
            sides=sides.only(on_hole_lines(sides.at) | ~_inside(sides.at, own)),
            places=np.append(holes[:, axis], own),
        )
        for axis, (sides, own) in enumerate(zip((across, down), strips, strict=True))
    )
    return one, other


def is_drawn_on_grid(both: Sequence[Sides], straight: StraightSides) -> bool:
    """Whether most of the length of sides lies on hole lines, or runs from hole to hole."""
    on, whole = 0.0, 0.0
    for sides in both:
        on += float(sides.weight[on_hole_lines(sides.at)].sum()) / LINES_PER_SQUARE
        whole += float(sides.weight.sum()) / LINES_PER_SQUARE
    ends = straight.at[straight.slanted]
    lengths = np.hypot(ends[:, 2] - ends[:, 0], ends[:, 3] - ends[:, 1])
    return on + float(lengths[are_at_holes(ends)].sum()) >= DRAWN_ON_GRID * (whole + float(lengths.sum()))


def round_strips(points: Floats, starts: Ints) -> tuple[Ints, Ints]:
    """Return (n, 2) from where to where curves of shapes on the grid lie, across and down, in UNIT.

    Strips that meet are one.

    Args:
        points: of all contours, in squares.
        starts: where each contour starts, and the end of the last.
    """
    counts = np.diff(starts)
    some = counts > 0
    first = starts[:-1][some]
    following = np.append(points[1:], points[:1], axis=0)
    following[starts[1:][some] - 1] = points[first]
    edges = np.concatenate([points, following], axis=1)
    on_grid = np.repeat(are_at_holes(boxes_of(points, starts)[some]), counts[some])
    is_curve = (points != following).all(axis=1) & ~are_at_holes(edges)
    kept = edges[on_grid & is_curve].reshape(-1, 2, 2)
    return _united(kept[:, :, 0]), _united(kept[:, :, 1])


def are_at_holes(places: Floats) -> Bools:
    """Return of which rows all places lie on hole lines, or as good as there."""
    return np.asarray((np.abs(places - np.rint(places)) <= AT_HOLE).all(axis=1))


def _inside(at: Ints, strips: Ints) -> Bools:
    """Return which places lie within strips, not at their ends."""
    begun, ended = np.searchsorted(strips[:, 0], at), np.searchsorted(strips[:, 1], at, side="right")
    return np.asarray(begun > ended)


def _united(ends: Floats) -> Ints:
    """Return stretches, those united that touch; ascending."""
    low, high = np.sort(np.rint(np.sort(ends, axis=1) * UNIT).astype(np.int64), axis=0).T
    # sorted by themselves, starts and ends still tell where none is open
    fresh = np.append(True, low[1:] > high[:-1])[: len(low)]
    return np.stack([low[fresh], high[np.append(fresh[1:], True)[: len(low)]]], axis=1)
