r"""Whether an outline that is moved by itself keeps its bearings: what it touches, holds and stays off.

Each corner of it is held against each edge beside it, and each corner there against its own edges:

      |        .--.            a corner that touched an edge, or lay beyond it, still does;
      |       /    \  .        one that lay off an edge comes no nearer than half of that,
    --+------'      '-+        if then less is left free than around forms; a quarter
                               where both outlines touch, as eaves come near to a wall
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.fitting.alike import LEAST_ROOM, SAME
from svg2chart.geometry.boxes import boxes_of
from svg2chart.geometry.meetings import nearest_points
from svg2chart.geometry.polygon import edges_of
from svg2chart.runs import spread

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

REACH = 0.5
"""What lies twice as far off, in squares, is not beside it."""

OFF = 1 / 8
"""What touched something lies beside it no longer if it is so far off, in squares. Our own choice."""

ROOM = LEAST_ROOM / 2
"""So much is left free around what moves by itself, in squares, where it was there."""

ROUNDED = 2.0**-12
"""By so much rounding may bring outlines nearer, in squares: exactly half as far off is far enough."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Off:
    """How far points lie off contours, (points, contours), in squares, and whether within."""

    far: Floats
    within: Bools

    @staticmethod
    def of(points: Floats, edges: Floats, first: Ints) -> "_Off":
        """Return it for points and the edges of contours, each of which begins at one of these."""
        x, y = points[:, :1], points[:, 1:]
        x0, y0, x1, y1 = edges.T
        along = (x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)
        squared = (x1 - x0) ** 2 + (y1 - y0) ** 2
        part = np.clip(along / np.where(squared > 0, squared, 1.0), 0.0, 1.0)
        far = np.hypot(x - x0 - part * (x1 - x0), y - y0 - part * (y1 - y0))
        rises = np.where(y1 == y0, 1.0, y1 - y0)
        right = x0 + (y - y0) / rises * (x1 - x0) > x
        turns = (((y0 <= y) & (y < y1)).astype(np.int64) - ((y1 <= y) & (y < y0))) * right
        return _Off(
            far=np.minimum.reduceat(far, first, axis=1),
            within=np.asarray(np.add.reduceat(turns, first, axis=1) != 0),
        )

    def touched(self) -> Bools:
        """Return which contours any of the points touch."""
        return np.asarray((self.far <= SAME).any(axis=0))

    def is_lost(self, now: "_Off", joined: Bools, slides: Bools) -> bool:
        """Return whether any point has lost what it touched, come near to something else, or passed it.

        Args:
            now: the same where all comes to lie.
            joined: (contours,) which touch, and may come nearer.
            slides: (points,) which lie at a corner, and may be left by that as it slides along.
        """
        touched = self.far <= SAME
        off = touched & ~slides[:, None] & (now.far > OFF)
        least = np.minimum(self.far / np.where(joined, 4, 2), ROOM) - ROUNDED
        near = ~touched & (now.far < least)
        passed = ~touched & (self.within != now.within)
        return bool((off | near | passed).any())


def lose_bearings(own: Ints, before: Floats, after: Floats, starts: Ints) -> Bools:
    """Return which of some contours no longer lie beside others as they did.

    Args:
        own: their numbers.
        before: (n, 2) the corners of all contours where they would come to lie.
        after: (n, 2) where they do.
        starts: where each contour starts, and the end of the last.
    """
    counts = np.diff(starts)
    one, other = boxes_of(before, starts), boxes_of(after, starts)
    low, high = np.minimum(one[:, :2], other[:, :2]) - REACH, np.maximum(one[:, 2:], other[:, 2:]) + REACH
    result = np.zeros(len(own), np.bool_)
    for place, number in enumerate(own.tolist()):
        near = ((low <= high[number]) & (high >= low[number])).all(axis=1)
        near[number] = False
        others = np.flatnonzero(near & (counts > 0))
        if not len(others):
            continue
        points, beside = spread(starts[[number]], counts[[number]]), spread(starts[others], counts[others])
        begun = np.concatenate([[0], np.cumsum(counts[others])])
        (own_then, own_now), (then, now) = (
            [(at[which], edges_of(at[which], where)) for at in (before, after)]
            for which, where in ((points, np.array([0, len(points)])), (beside, begun))
        )
        whole, first = np.zeros(1, np.int64), begun[:-1]
        out, out_now = _Off.of(own_then[0], then[1], first), _Off.of(own_now[0], now[1], first)
        back, back_now = _Off.of(then[0], own_then[1], whole), _Off.of(now[0], own_now[1], whole)
        joined = out.touched() | np.maximum.reduceat(back.far[:, 0] <= SAME, first)
        of_point = np.repeat(joined, counts[others])[:, None]
        at_corner = nearest_points(then[0], own_then[0], reach=SAME) >= 0
        result[place] = out.is_lost(out_now, joined, np.zeros(len(points), np.bool_)) or back.is_lost(
            back_now, of_point, at_corner
        )
    return result
