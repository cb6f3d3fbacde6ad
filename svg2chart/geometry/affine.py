"""Affine maps of the plane."""

from dataclasses import dataclass
from math import cos, hypot, radians, sin, sqrt, tan

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Affine:
    """The map x' = a x + c y + e, y' = b x + d y + f, letters as in SVG's matrix().

    `first @ second` applies `second` first, as matrices do.

    >>> Affine.translation(2, 3) @ Affine.scaling(10)
    Affine(a=10.0, b=0.0, c=0.0, d=10.0, e=2.0, f=3.0)
    """

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    @staticmethod
    def translation(x: float, y: float) -> "Affine":
        """Return the shift by (x, y)."""
        return Affine(e=float(x), f=float(y))

    @staticmethod
    def scaling(x: float, y: float | None = None) -> "Affine":
        """Return the scaling by x and y about the origin; y is x where not given."""
        return Affine(a=float(x), d=float(x if y is None else y))

    @staticmethod
    def rotation(degrees: float) -> "Affine":
        """Return the turn about the origin, clockwise on the screen (y down)."""
        quarter, rest = divmod(degrees, 90.0)
        if rest == 0.0:  # exact, where sin and cos are not
            cosine, sine = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarter) % 4]
        else:
            cosine, sine = cos(radians(degrees)), sin(radians(degrees))
        return Affine(cosine, sine, -sine, cosine)

    @staticmethod
    def skewing(x_degrees: float, y_degrees: float) -> "Affine":
        """Return the skew along x and along y."""
        return Affine(b=tan(radians(y_degrees)), c=tan(radians(x_degrees)))

    def __matmul__(self, other: "Affine") -> "Affine":
        """Return the map that applies `other`, then this one."""
        return Affine(
            self.a * other.a + self.c * other.b,
            self.b * other.a + self.d * other.b,
            self.a * other.c + self.c * other.d,
            self.b * other.c + self.d * other.d,
            self.a * other.e + self.c * other.f + self.e,
            self.b * other.e + self.d * other.f + self.f,
        )

    @property
    def determinant(self) -> float:
        """The factor by which areas grow; negative for a mirror."""
        return self.a * self.d - self.b * self.c

    @property
    def mean_scale(self) -> float:
        """The side of the image of a unit square, had it stayed a square."""
        return sqrt(abs(self.determinant))

    @property
    def largest_scale(self) -> float:
        """The largest factor by which a length grows: the greater singular value."""
        half_sum = hypot(self.a + self.d, self.b - self.c) / 2
        half_difference = hypot(self.a - self.d, self.b + self.c) / 2
        return half_sum + half_difference

    def inverse(self) -> "Affine":
        """Return the map back.

        Raises:
            ZeroDivisionError: the map flattens the plane to a line or a point.
        """
        det = self.determinant
        a, b, c, d = self.d / det, -self.b / det, -self.c / det, self.a / det
        return Affine(a, b, c, d, -(a * self.e + c * self.f), -(b * self.e + d * self.f))

    def linear(self) -> "Affine":
        """Return the map without its shift."""
        return Affine(self.a, self.b, self.c, self.d)

    def apply(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the images of points, any shape (..., 2)."""
        x, y = points[..., 0], points[..., 1]
        images = np.empty(points.shape)
        images[..., 0] = self.a * x + self.c * y + self.e
        images[..., 1] = self.b * x + self.d * y + self.f
        return images
