"""How the thread of each block is begun.

A loop start (the strands folded, the loop caught by the first leg behind) needs an even number of strands,
as several how-to pages have it. It is never made on a fraction: no source; a pierced centre is a weak place
to hang a loop on. With an odd number of strands a tail is held behind and stitched over. Fractions alone,
backstitch and knots begin under the nearest full stitch that is worked by then.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from svg2chart.chart import Chart
from svg2chart.guiding.legs import Hole, Part, Square, centre_of
from svg2chart.guiding.order import Block


class StartKind(Enum):
    """How a thread is begun."""

    LOOP = "loop start"
    TAIL = "tail held behind"
    UNDER = "run under a stitch"


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """How and where a block is begun.

    `hole` is where the needle first comes up, in half squares; `square` the square of the first stitch, None
    for lines and knots; `under` the full stitch under which the end is run, if it is.
    """

    kind: StartKind
    hole: Hole
    square: Square | None
    under: Square | None = None


def find_starts(chart: Chart, blocks: Sequence[Block]) -> tuple[Start, ...]:
    """Return the start of each block, in order of work."""
    worked: list[Square] = []
    starts = []
    for block in blocks:
        first = block.legs[0]
        is_even = chart.threads[block.thread].cross_strands % 2 == 0
        if first.part in (Part.LOWER, Part.UPPER):
            kind, under = (StartKind.LOOP if is_even else StartKind.TAIL), None
        else:
            under = min(worked, key=lambda square: (_away(square, first.up), square), default=None)
            kind = StartKind.TAIL if under is None else StartKind.UNDER
        starts.append(Start(kind=kind, hole=first.up, square=first.square, under=under))
        worked += [leg.square for leg in block.legs if leg.part is Part.UPPER and leg.square is not None]
    return tuple(starts)


def _away(square: Square, hole: Hole) -> int:
    x, y = centre_of(square)
    return (x - hole[0]) ** 2 + (y - hole[1]) ** 2
