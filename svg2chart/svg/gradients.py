"""Gradients as values: where they lie, their mean over a region, and their flat bands.

How far along its way a gradient is at a point grows evenly along every ray from its apex: from the focus of
a radial one, from the start of a linear one.

             .-'|  q      The mean over a polygon is the sum, with their signs, of what the triangles
     apex .-'   |         between the apex and each edge hold. On a ray to a point of the edge where the
          '-.   |         way is t, the colours f from 0 to t pass, each in an arc as long as its
             '-.|  p      distance: the integral of f(s) s ds from 0 to t, over t squared.

That inner integral is exact (`Pieces.integral`); along the edge it is smooth, and added up at a few points.
"""

from dataclasses import dataclass, replace
from math import isinf

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box
from svg2chart.geometry.path import Path, sides
from svg2chart.geometry.polygon import Polygon
from svg2chart.svg.curves import Point, ellipse
from svg2chart.svg.paint import Flat
from svg2chart.svg.ramp import MAX_BANDS, Band, Pieces, Ramp, Spread, flat_of

Array = NDArray[np.float64]

MAX_TURNS = 200  # of a ramp that repeats itself, over one shape; more are finer than any square
_NODES, _WEIGHTS = (np.polynomial.legendre.leggauss(4)[0] + 1) / 2, np.polynomial.legendre.leggauss(4)[1] / 2
_LEAST_PIECES = 256  # of all edges together
_AT_APEX = 1e-7  # an edge this near to the apex along the way spans no triangle with it


@dataclass(frozen=True, slots=True, kw_only=True)
class Gradient:
    """A gradient on the plane, in root user units.

    to_unit maps root user units to the gradient's own: there a linear one runs along x from 0 to 1, and
    a radial one ends at the circle of radius 1 about the origin. focus: of a radial one, the point
    inside that circle where its circles shrink to nothing; None for a linear one. start: the way at
    the apex, below 0 where a radial one begins on a circle of its own (fr).
    """

    ramp: Ramp
    to_unit: Affine
    focus: Point | None = None
    start: float = 0.0

    def faded(self, opacity: float) -> "Gradient":
        """Return the gradient with its opacities times the given one."""
        return replace(self, ramp=self.ramp.faded(opacity))

    def along(self, points: Array) -> Array:
        """Return how far along the way points in root user units are, (..., 2) to (...).

        A radial one: the share k of the step from the focus to the unit circle, |focus + step / k| = 1.
        """
        own = self.to_unit.apply(points)
        if self.focus is None:
            return np.asarray(own[..., 0])
        x, y = self.focus
        step = own - np.array(self.focus)
        room = 1.0 - x * x - y * y
        out = step[..., 0] * x + step[..., 1] * y
        share = (out + np.sqrt(out * out + (step**2).sum(axis=-1) * room)) / room
        return np.asarray(self.start + (1.0 - self.start) * share)

    def mean_over(self, polygon: Polygon) -> Flat:
        """Return the area mean over a region, rounded to eight bits a channel.

        Args:
            polygon: in root user units, of contours that do not cross, hollows the other way round.

        A region without an area, and one over which the gradient repeats itself very often, have the
        mean of the ramp.
        """
        edges = polygon.edges()
        pieces = max(1, _LEAST_PIECES // max(len(edges), 1))
        share = (np.arange(pieces)[:, np.newaxis] + _NODES).reshape(-1, 1, 1) / pieces
        way = self.along(edges[:, :2] + share * (edges[:, 2:] - edges[:, :2]))
        low, high = float(way.min(initial=0.0)), float(way.max(initial=0.0))
        # a linear one grows evenly from any point: one that lies before all of the region
        start = low - 1.0 if self.focus is None else self.start
        apex = (start, 0.0) if self.focus is None else self.focus
        first, second = (self.to_unit.apply(edges[:, ends]) - np.array(apex) for ends in ([0, 1], [2, 3]))
        cross = first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]
        area = float(cross.sum()) / 2
        if area == 0.0 or (self.ramp.spread is not Spread.PAD and high - low > MAX_TURNS):
            return self.ramp.mean.rounded()
        held = _held(self.ramp.pieces(start, high), way, start)
        weights = np.tile(_WEIGHTS, pieces) / pieces
        total = cross @ np.tensordot(weights, held, axes=1) / area
        return flat_of(total).rounded()

    def bands_in(self, box: Box, number: int) -> list[tuple[Flat, Path]]:
        """Return flat bands and the regions (even-odd) that they fill of a box in root user units.

        Where the gradient repeats itself very often its mean is the only band.
        """
        corners = np.array([(x, y) for x in (box.left, box.right) for y in (box.top, box.bottom)])
        ways = self.along(corners)
        low = float(ways.min()) if self.focus is None else self.start
        high = float(ways.max())
        if self.ramp.spread is not Spread.PAD and (high - low) * len(self.ramp.bands(number)) > MAX_BANDS:
            return [(self.ramp.mean, _rectangle(box))]
        own = self.to_unit.apply(corners)
        around = Box(*own.min(axis=0).tolist(), *own.max(axis=0).tolist())
        around = around.grown(max(around.width, around.height))
        region = self._strip if self.focus is None else self._ring
        to_root = self.to_unit.inverse()
        bands = self.ramp.bands_between(number, low, high)
        return [(band.flat, region(band, around).transformed(to_root)) for band in bands]

    def _strip(self, band: Band, around: Box) -> Path:
        return _rectangle(
            Box(max(band.low, around.left), around.top, min(band.high, around.right), around.bottom)
        )

    def _ring(self, band: Band, around: Box) -> Path:
        """Return what lies between two circles of a radial one, or between one and a box around all."""
        outer = _rectangle(around) if isinf(band.high) else self._circle(band.high)
        contours = [*outer.contours()]
        if band.low > self.start:
            contours += self._circle(band.low).contours()
        return Path.of_contours(contours)

    def _circle(self, place: float) -> Path:
        x, y = self.focus or (0.0, 0.0)
        radius = (place - self.start) / (1.0 - self.start)
        centre = (x * (1.0 - radius), y * (1.0 - radius))
        return Path.of_contours([(ellipse(centre, (radius, radius)), True)])


def one_colour(ink: "Flat | Gradient | None") -> Flat | None:
    """Return an ink where only one colour can be drawn: a gradient as the mean of its ramp."""
    return ink.ramp.mean if isinstance(ink, Gradient) else ink


def _held(pieces: Pieces, way: Array, start: float) -> Array:
    """Return the inner integral over the square of its ray, (..., 4); nought where the ray has no length."""
    flat = way.ravel()
    total = pieces.integral(flat, about=start) - pieces.integral(np.array([start]), about=start)
    length = (flat - start)[:, np.newaxis]
    held = np.divide(total, length**2, out=np.zeros_like(total), where=length > _AT_APEX)
    return np.asarray(held.reshape(*way.shape, 4))


def _rectangle(box: Box) -> Path:
    corners = np.array(
        [(box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom)]
    )
    return Path.of_contours([(sides(corners), True)])
