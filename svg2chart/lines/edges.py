"""The edges that stitches show: where two colours of the chart, or a colour and bare cloth, meet.

Points are counted in half squares, so that centres and side middles are whole numbers too:

    x 0 1 2      a square from hole (0, 0) to hole (2, 2); its centre is (1, 1).
    y +-+-+      Every edge is made of pieces between neighbouring points: level,
    1 +-*-+      upright, falling (down to the right) and rising.
    2 +-+-+
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from svg2chart.arranging.measure import octants_shown
from svg2chart.chart import Arrangement

Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

HALVES = 2
"""Half squares in a square."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class StitchedEdges:
    """Which pieces between neighbouring points, in half squares, lie between two colours.

    pieces: (4, 2 rows + 1, 2 columns + 1): the piece from point [y, x] on to the right, down, down to the
        right; and, last, from point [y + 1, x] up to the right.
    """

    pieces: Flags

    @staticmethod
    def of(squares: NDArray[np.int32], arrangements: Sequence[Arrangement]) -> "StitchedEdges":
        """Return the edges of a chart's squares, (rows, columns) indices into its arrangements."""
        table = np.array([octants_shown(arrangement) for arrangement in arrangements], dtype=np.int64)
        rows, columns = squares.shape
        shown = np.zeros((rows + 2, columns + 2, 8), np.int64)  # bare all around
        shown[1:-1, 1:-1] = table[squares]
        pieces = np.zeros((4, HALVES * rows + 2, HALVES * columns + 2), np.bool_)
        level, upright, falling, rising = pieces
        # octants are numbered clockwise from the top, right of the middle
        here = shown[1:, 1:]
        level[::2, ::2] = here[..., 7] != shown[:-1, 1:, 4]
        level[::2, 1::2] = here[..., 0] != shown[:-1, 1:, 3]
        level[1::2, ::2] = here[..., 5] != here[..., 6]
        level[1::2, 1::2] = here[..., 1] != here[..., 2]
        upright[::2, ::2] = here[..., 6] != shown[1:, :-1, 1]
        upright[1::2, ::2] = here[..., 5] != shown[1:, :-1, 2]
        upright[::2, 1::2] = here[..., 7] != here[..., 0]
        upright[1::2, 1::2] = here[..., 3] != here[..., 4]
        falling[::2, ::2] = here[..., 6] != here[..., 7]
        falling[1::2, 1::2] = here[..., 2] != here[..., 3]
        rising[::2, 1::2] = here[..., 0] != here[..., 1]
        rising[1::2, ::2] = here[..., 4] != here[..., 5]
        return StitchedEdges(pieces=pieces[:, :-1, :-1])

    @staticmethod
    def none(rows: int, columns: int) -> "StitchedEdges":
        """Return the edges of bare cloth."""
        return StitchedEdges(pieces=np.zeros((4, HALVES * rows + 1, HALVES * columns + 1), np.bool_))

    @property
    def last(self) -> Ints:
        """The last hole of the chart, (x, y) in half squares."""
        return np.array(self.pieces.shape[:0:-1], dtype=np.int64) - 1

    def shares(self, starts: Ints, ends: Ints) -> NDArray[np.float64]:
        """Return how much of each segment lies on edges, 0 to 1; (n, 2) points x, y within the chart."""
        way = ends - starts
        across, down = np.abs(way).T
        steps = np.maximum(across, down)
        straight = (across == 0) | (down == 0) | (across == down)
        step = np.sign(way)
        kind = np.where(down == 0, 0, np.where(across == 0, 1, np.where(step[:, 0] == step[:, 1], 2, 3)))
        seen = np.zeros(len(way), np.int64)
        for index in range(int(steps.max(initial=0))):
            one, other = starts + index * step, starts + (index + 1) * step
            low = np.minimum(one, other)
            x, y = np.clip(low, 0, self.last).T
            seen += straight & (index < steps) & self.pieces[kind, y, x]
        return np.asarray(seen / np.maximum(steps, 1))

    def touched(self) -> Flags:
        """Return which points an edge runs to, (2 rows + 1, 2 columns + 1)."""
        return np.asarray(self._ways_out().any(axis=0))

    def bent(self) -> Flags:
        """Return which points an edge bends, ends or forks at, (2 rows + 1, 2 columns + 1)."""
        out = self._ways_out()
        straight = (out.sum(axis=0) == 2) & (out[:4] & out[4:]).any(axis=0)
        return np.asarray(out.any(axis=0) & ~straight)

    def _ways_out(self) -> Flags:
        """Return whether an edge leaves each point to the right, down, down right, up right, and opposite."""
        level, upright, falling, rising = self.pieces
        out = np.zeros((8, *level.shape), np.bool_)
        out[:3] = level, upright, falling
        out[3, 1:] = rising[:-1]
        out[4, :, 1:] = level[:, :-1]
        out[5, 1:] = upright[:-1]
        out[6, 1:, 1:] = falling[:-1, :-1]
        out[7, :, 1:] = rising[:, :-1]
        return out
