"""Dots: marks that are French knots, because they are told to be or because they are small round discs."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import Fill, StitchAs, Stroke
from svg2chart.colour import Colour
from svg2chart.geometry.outline import Cap
from svg2chart.geometry.polygon import Polylines
from svg2chart.grid import LATTICE

Floats = NDArray[np.float64]

KNOT_SQUARES = 0.7
"""A filled disc that is less across is a knot: a knot is about a third of a square wide, a stitch a whole.
Common practice, no source."""

LEAST_KNOT = 0.1
"""A disc that is less across, in squares, is too small to be meant. Our choice, no source."""

LEAST_ASPECT = 0.8
DISC_SHARE = 0.03
"""A disc is at least so wide for its length, and fills pi / 4 of the box around it within this. A square
fills all of it, an octagon 0.83."""

FARTHEST_OUT = 1.05
"""No point of a disc is so many times half its length from the middle of its box. Corners of an octagon are
1.08 times that, and those of a square without one corner, which fills as much of its box, 1.41 times."""

DOT_SEEN = 0.25
"""A dot is seen where half of a level line of so many squares through it is. Our choice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """A mark that is a knot: its middle and how far across it is, in squares; `stitch_as` if told to be."""

    element: str
    layer: str
    middle: tuple[float, float]
    across: float = 0.0
    colour: Colour
    stitch_as: StitchAs | None = None


def dots_at_contours(mark: Fill | Stroke, chains: Polylines) -> Iterator[Dot]:
    """Yield a dot in the middle of the box around each contour."""
    for points, _ in chains.chains():
        yield _dot(mark, points, float((points.max(axis=0) - points.min(axis=0)).max()))


def is_of_discs(chains: Polylines) -> bool:
    """Whether every contour, in squares, is a disc that is small enough for a knot, and there is one."""
    return len(chains.closed) > 0 and all(_is_disc(points) for points, _ in chains.chains())


def dots_of_pen(mark: Stroke, chains: Polylines, *, wide: float) -> tuple[Polylines, list[Dot]]:
    """Return a thin stroke's lines and dots: where a round pen, so many squares wide, is only put down."""
    if mark.style.cap is not Cap.ROUND or not LEAST_KNOT <= wide < KNOT_SQUARES:
        return chains, []
    size = wide * 2.0**-10  # a dash of no length has a millionth of the pen's width
    walks = chains.chains()
    are_dots = [float((points.max(axis=0) - points.min(axis=0)).max()) <= size for points, _ in walks]
    dots = [_dot(mark, points, wide) for (points, _), is_dot in zip(walks, are_dots, strict=True) if is_dot]
    rest = [walk for walk, is_dot in zip(walks, are_dots, strict=True) if not is_dot]
    return Polylines.of_chains(rest), dots


def line_across(dot: Dot) -> Polylines:
    """Return a level line of DOT_SEEN through a dot: the dot is seen where half of it is."""
    (x, y), half = dot.middle, DOT_SEEN / 2
    return Polylines.of_chains([(np.array([(x - half, y), (x + half, y)]), False)])


def _dot(mark: Fill | Stroke, points: Floats, across: float) -> Dot:
    middle = np.rint((points.min(axis=0) + points.max(axis=0)) / 2 * LATTICE) / LATTICE
    return Dot(
        element=mark.element,
        layer=mark.layer,
        middle=(float(middle[0]), float(middle[1])),
        across=across,
        colour=mark.colour,
        stitch_as=mark.stitch_as,
    )


def _is_disc(points: Floats) -> bool:
    wide, high = (float(side) for side in points.max(axis=0) - points.min(axis=0))
    if not min(wide, high) >= LEAST_KNOT or not max(wide, high) < KNOT_SQUARES:
        return False
    x, y = (points - points.mean(axis=0)).T
    area = abs(float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum())) / 2
    from_middle = points - (points.max(axis=0) + points.min(axis=0)) / 2
    return (
        min(wide, high) >= LEAST_ASPECT * max(wide, high)
        and abs(area / (wide * high) - pi / 4) <= DISC_SHARE
        and float(np.hypot(*from_middle.T).max()) < FARTHEST_OUT * max(wide, high) / 2
    )
