"""Paths: contours of straight lines and cubic Béziers."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.geometry.affine import Affine
from svg2chart.geometry.box import Box

Array = NDArray[np.float64]
_UNCHANGED = Affine()


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Path:
    """Contours of lines and cubic Béziers, all in one set of arrays.

    segments: (n, 4, 2) float64, for each segment its start, two controls and
        end. A straight line has its controls on its ends.
    starts: (m + 1,) int64, contour k owns segments[starts[k]:starts[k + 1]];
        every contour has at least one segment and each segment starts where
        the one before it ends. A dot is one segment of no length.
    closed: (m,) bool, whether a contour was closed (it matters to strokes; a
        fill closes every contour). The last segment of a closed contour ends
        on the contour's start.
    """

    segments: Array
    starts: NDArray[np.int64]
    closed: NDArray[np.bool_]

    def __post_init__(self) -> None:
        for array in (self.segments, self.starts, self.closed):
            array.setflags(write=False)

    @staticmethod
    def of_contours(contours: Iterable[tuple[Sequence[Array] | Array, bool]]) -> "Path":
        """Return the path of contours, each given as (k, 4, 2) segments and whether it is closed."""
        kept = [
            (np.asarray(segments, dtype=np.float64).reshape(-1, 4, 2), closed)
            for segments, closed in contours
        ]
        kept = [(segments, closed) for segments, closed in kept if len(segments)]
        lengths = [len(segments) for segments, _ in kept]
        joined = np.concatenate([s for s, _ in kept]) if kept else np.zeros((0, 4, 2))
        return Path(
            segments=joined,
            starts=np.concatenate([[0], np.cumsum(lengths)]).astype(np.int64),
            closed=np.array([closed for _, closed in kept], dtype=np.bool_),
        )

    def contours(self) -> list[tuple[Array, bool]]:
        """Return each contour as (k, 4, 2) segments and whether it is closed."""
        bounds = zip(self.starts[:-1], self.starts[1:], self.closed, strict=True)
        return [(self.segments[start:end], bool(closed)) for start, end, closed in bounds]

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to draw."""
        return len(self.segments) == 0

    def transformed(self, affine: Affine) -> "Path":
        """Return the image of the path."""
        if affine == _UNCHANGED:
            return self
        return Path(segments=affine.apply(self.segments), starts=self.starts, closed=self.closed)

    def box(self) -> Box | None:
        """Return the smallest box around the path, curves measured exactly; None where it is empty."""
        if self.is_empty:
            return None
        p0, p1, p2, p3 = (self.segments[:, i] for i in range(4))
        # the derivative of a cubic is 3 (a t^2 + b t + c), per axis
        a, b, c = p3 - 3 * p2 + 3 * p1 - p0, 2 * (p2 - 2 * p1 + p0), p1 - p0
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            # the stable pair of roots q / a and c / q also serves where a is 0
            q = -0.5 * (b + np.copysign(np.sqrt(b * b - 4 * a * c), b))
            roots = np.stack([q / a, c / q])
        t = np.where((roots > 0) & (roots < 1), roots, 0.0)
        s = 1 - t
        inner = s**3 * p0 + 3 * s * s * t * p1 + 3 * s * t * t * p2 + t**3 * p3
        points = np.concatenate([p0, p3, inner[0], inner[1]])
        (left, top), (right, bottom) = points.min(axis=0), points.max(axis=0)
        return Box(float(left), float(top), float(right), float(bottom))

    def __eq__(self, other: object) -> bool:
        """Whether the other is a path of the same points."""
        return (
            isinstance(other, Path)
            and np.array_equal(self.segments, other.segments)
            and np.array_equal(self.starts, other.starts)
            and np.array_equal(self.closed, other.closed)
        )

    def __hash__(self) -> int:
        """Return a hash of the points."""
        return hash((self.segments.tobytes(), self.starts.tobytes(), self.closed.tobytes()))


def line(start: Array, end: Array) -> Array:
    """Return the straight line as a (4, 2) segment."""
    return np.array([start, start, end, end], dtype=np.float64)


def sides(corners: Array) -> Array:
    """Return the straight sides of a closed contour, from each corner (n, 2) to the next, as (n, 4, 2)."""
    return np.stack(
        [line(start, end) for start, end in zip(corners, np.roll(corners, -1, axis=0), strict=True)]
    )
