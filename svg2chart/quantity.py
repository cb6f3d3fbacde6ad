"""How much thread a chart takes, along its order of work.

With u the side of a square, worked in rows (half crosses out, the other halves back), the needleful needs

    full            fronts 2 sqrt2 u + backs 2 u        = 4.828 u
    three-quarter   fronts 1.5 sqrt2 u + backs (sqrt2 / 2 + 1) u  = 3.828 u
    quarter         front sqrt2 / 2 u + back sqrt2 / 2 u = 1.414 u
    backstitch      front 1 + back 2                     = 3 u for each u of line

What is counted is the way of the needle in the work guide itself, in front and behind, carries included: it
works fractions whole, one by one, so that a row of three-quarters takes 3 sqrt2 u = 4.243 u each. To it come
the ends of each needleful, of which a block has as many as its length asks for, and an allowance.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from svg2chart.chart import Chart, Fabric, StitchKind, stitch_counts
from svg2chart.guiding.order import Block, Work, behind_squares, front_squares
from svg2chart.units import MM_PER_INCH, square_mm

NEEDLEFUL_MM = 18 * MM_PER_INCH  # a magazine's project pages and a kit guide: 18 inches, 45 cm
ENDS_MM = 3 * MM_PER_INCH  # of it cannot be stitched: both ends; a designer's blog on floss amounts
ALLOWANCE = 1.10  # a needlepoint shop's page on amounts adds a tenth to its estimate
KNOT_MM = 15.0  # two wraps round the needle and the way down; common practice, no source
SKEIN_M = 8.0  # of six strands; shops' how-to pages on thread
SKEIN_STRANDS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadUse:
    """What one thread is used for.

    `back_squares` is the length of its backstitch in sides of a square. `needlefuls` is how often a thread is
    started. `metres` is the length to take off the skein, ends and allowance included.
    """

    full: int
    three_quarter: int
    quarter: int
    back_squares: float
    knots: int
    needlefuls: int
    metres: float

    @property
    def skeins(self) -> int:
        """Whole skeins for one piece."""
        return self.skeins_for(1)

    def skeins_for(self, kits: int) -> int:
        """Return the whole skeins for so many pieces that are cut from the same skeins."""
        return math.ceil(round(kits * self.metres / SKEIN_M, 9))


def thread_uses(chart: Chart, blocks: Sequence[Block]) -> tuple[ThreadUse, ...]:
    """Return what each thread of the chart is used for, in the order of its threads.

    Args:
        chart: the chart.
        blocks: its order of work (`plan_work`).
    """
    counts = stitch_counts(chart)
    uses = []
    for number, thread in enumerate(chart.threads):
        own = [block for block in blocks if block.thread == number]
        strand_mm = [
            _thread_mm(block, chart.fabric)
            * (thread.back_strands if block.work is Work.BACKSTITCH else thread.cross_strands)
            for block in own
        ]
        back = math.fsum(math.dist(s.start, s.end) for s in chart.backstitch if s.thread == number)
        uses.append(
            ThreadUse(
                full=counts.get((number, StitchKind.FULL), 0),
                three_quarter=counts.get((number, StitchKind.THREE_QUARTER), 0),
                quarter=counts.get((number, StitchKind.QUARTER), 0),
                back_squares=back,
                knots=sum(knot.thread == number for knot in chart.knots),
                needlefuls=sum(needlefuls(_path_mm(block, chart.fabric)) for block in own),
                metres=math.fsum(strand_mm) * ALLOWANCE / 1000 / SKEIN_STRANDS,
            )
        )
    return tuple(uses)


def needlefuls(path_mm: float) -> int:
    """Return how many needlefuls a way of the needle takes, each started and finished.

    >>> [needlefuls(length) for length in (5.0, 381.0, 381.1)]
    [1, 1, 2]
    """
    return math.ceil(round(path_mm / (NEEDLEFUL_MM - ENDS_MM), 9))


def _path_mm(block: Block, fabric: Fabric) -> float:
    """Return the way of the needle through a block, in front and behind."""
    way = (front_squares(block) + behind_squares(block)) * square_mm(fabric.count, fabric.over)
    return way + (KNOT_MM * len(block.legs) if block.work is Work.KNOTS else 0.0)


def _thread_mm(block: Block, fabric: Fabric) -> float:
    """Return the length of thread for a block, its ends included, whatever the strands."""
    way = _path_mm(block, fabric)
    return way + needlefuls(way) * ENDS_MM
