"""Areas that are charted as drawn, but do not lie on the squares: how they lie, and what to do about it."""

from collections.abc import Collection, Sequence
from dataclasses import replace
from itertools import product

import numpy as np
from numpy.typing import NDArray

from svg2chart.artwork import StitchAs
from svg2chart.fit import Laid
from svg2chart.geometry.polygon import Polygon
from svg2chart.octant_shapes import NEAR, stitches_covering
from svg2chart.remarks import Remark, Severity

_LEAST_SIDE = 0.25
"""Shorter sides, in squares, do not tell how a shape is turned: curves are made of such. Our choice."""
_PARALLEL = 0.5
"""Sides whose directions differ by no more degrees are parallel. Our choice."""

_TOLD = "told to be charted as drawn, but "
_AREA = ": charted as an area; "
_WAY_OUT = "move it onto whole squares"
_TURNED = (
    f"{_TOLD}is turned, its sides run neither along the squares nor along their diagonals{_AREA}"
    "only quarter turns keep stitches"
)
_SCALED = (
    f"{_TOLD}is scaled or of another grid, its sides do not end on the squares{_AREA}"
    "give it the size that it is to have, or its own squares (--square)"
)
_UNEVEN = f"{_TOLD}is not made of whole, half and quarter squares: charted as an area"


def remarks_off_squares(laid: Laid, uneven: Collection[int]) -> list[Remark]:
    """Return a remark on each area that is told to be charted as drawn and does not lie on whole squares.

    Args:
        laid: the drawing.
        uneven: its areas that no stitches cover, by their order.
    """
    remarks = []
    for order, (shape, mark) in enumerate(zip(laid.shapes, laid.marks, strict=True)):
        if mark.stitch_as is not StitchAs.AREA_AS_DRAWN:
            continue
        if order in uneven:
            what = _why_uneven(shape.polygon)
        elif _lies_between(shape.polygon):
            way = _way_to_squares(shape.polygon) or (0.5, 0.5)
            what = told_off(way, of="squares", how="in quarter stitches", near=NEAR)
        else:
            continue
        remarks.append(Remark(element=mark.element, layer=mark.layer, what=what, severity=Severity.GUESSED))
    return remarks


def _why_uneven(polygon: Polygon) -> str:
    """Return what is said of an area that no stitches cover."""
    way = _way_to_squares(polygon)
    if way is not None:
        return told_off(way, of="squares", how="as an area", near=NEAR)
    angles = _angles(polygon)
    if not len(angles) or np.ptp(angles) > _PARALLEL:
        return _UNEVEN
    return _SCALED if abs(float(angles[0])) <= _PARALLEL else _TURNED


def told_off(way: Sequence[float], *, of: str, how: str, near: float) -> str:
    """Return what is said of what is charted as drawn, but lies off the squares or the holes.

    Args:
        way: how far it is across and down to where it would not, in squares.
        of: what it lies off.
        how: how it is charted there.
        near: what is no farther is not told, in squares.
    """
    told = zip(way, ("across", "down"), strict=True)
    by = " and ".join(f"{abs(far):.2f} {direction}" for far, direction in told if abs(far) > near)
    return f"{_TOLD}lies off the {of}, by {by} of a square: charted {how}; {_WAY_OUT}"


def told_scattered(far: float) -> str:
    """Return what is said of lines charted as drawn whose ends lie off the holes, each otherwise.

    `far`: by how much the farthest does so across or down, in squares.
    """
    return (
        f"{_TOLD}its ends lie off the holes, each otherwise, the farthest by {far:.2f} of a square:"
        " charted at the nearest holes; only quarter turns and whole times their size keep lines"
    )


def _lies_between(polygon: Polygon) -> bool:
    """Whether none of an area's corners lies on the lines between columns, or none on those between rows."""
    off = np.abs(polygon.points - np.round(polygon.points)) > NEAR
    return bool(off.all(axis=0).any())


def _way_to_squares(polygon: Polygon) -> tuple[float, float] | None:
    """Return how far across and down an area moves to be whole stitches, the least; None if it cannot be."""
    across, down = ([_least(-at), _least(0.5 - at)] for at in polygon.points[0].tolist())
    for way in sorted(product(across, down), key=lambda by: abs(by[0]) + abs(by[1])):
        moved = replace(polygon, points=polygon.points + way)
        if not _lies_between(moved) and stitches_covering(moved) is not None:
            return way
    return None


def _least(far: float) -> float:
    """Return the least way, in squares, that is as far but for whole squares."""
    return far - round(far)


def _angles(polygon: Polygon) -> NDArray[np.float64]:
    """Return by how many degrees long sides are turned off the squares and their diagonals.

    The first is turned by no more than 22.5 degrees, the others by as much or by up to 22.5 more or less.
    """
    x0, y0, x1, y1 = polygon.edges().T
    is_long = np.hypot(x1 - x0, y1 - y0) >= _LEAST_SIDE
    turned = np.degrees(np.arctan2((y1 - y0)[is_long], (x1 - x0)[is_long]))
    turned = turned - 45 * np.round(turned[:1] / 45)
    return np.asarray(turned - 45 * np.round((turned - turned[:1]) / 45))
