"""How much cloth and thread a chart takes.

Thread is measured along its way through the cloth, then a stated allowance is
added. With u the side of a square, worked in rows (half crosses out, the other
halves back):

    full            fronts 2 sqrt2 u + backs 2 u        = 4.828 u
    three-quarter   fronts 1.5 sqrt2 u + backs (sqrt2 / 2 + 1) u  = 3.828 u
    quarter         front sqrt2 / 2 u + back sqrt2 / 2 u = 1.414 u
    backstitch      front 1 + back 2                     = 3 u for each u of line
"""

import math
from dataclasses import dataclass

from svg2chart.chart import Chart, Fabric, StitchKind, stitch_counts
from svg2chart.units import MM_PER_INCH, square_mm

_ROOT2 = math.sqrt(2)
NEEDLEFUL_SQUARES = {
    StitchKind.FULL: 2 * _ROOT2 + 2,
    StitchKind.THREE_QUARTER: 2 * _ROOT2 + 1,
    StitchKind.QUARTER: _ROOT2,
}
"""Length of the needleful that one stitch uses, in sides of a square; derived above."""

BACK_SQUARES = 3.0  # for each square's side of backstitch, derived above
KNOT_MM = 15.0  # two wraps round the needle and the way down; common practice, no source
ENDS = 18 / 15  # an 18 inch needleful leaves some 3 inches; a designer's blog on floss amounts
SCATTER = 1.10  # a needlepoint shop's page on amounts adds a tenth to the estimate by area
ALLOWANCE = ENDS * SCATTER
SKEIN_M = 8.0  # of six strands; shops' how-to pages on thread
SKEIN_STRANDS = 6
MARGIN_MM = 3 * MM_PER_INCH  # on each side, for framing; how-to pages on preparing cloth
COMMON_COUNTS = (11, 14, 16, 18, 20, 22)  # blocks to the inch of cloth in trade; shops' pages on fabric


@dataclass(frozen=True, slots=True)
class Size:
    """Width and height in millimetres."""

    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadUse:
    """What one thread is used for.

    `back_squares` is the length of its backstitch in sides of a square.
    `metres` is the length to take off the skein, allowance included; skeins are whole.
    """

    full: int
    three_quarter: int
    quarter: int
    back_squares: float
    knots: int
    metres: float
    skeins: int


def stitches_per_inch(fabric: Fabric) -> float:
    """Return how many stitches go to an inch of the fabric."""
    return fabric.count / fabric.over


def finished_size(columns: int, rows: int, fabric: Fabric) -> Size:
    """Return the size of the stitched piece: squares / (count / over) inches.

    >>> finished_size(140, 105, Fabric(count=14))
    Size(width_mm=254.0, height_mm=190.5)
    """
    return Size(*(squares * MM_PER_INCH * fabric.over / fabric.count for squares in (columns, rows)))


def cloth_to_cut(finished: Size, *, margin_mm: float = MARGIN_MM) -> Size:
    """Return the cloth to cut for a finished size, with a margin on each of the four sides."""
    return Size(finished.width_mm + 2 * margin_mm, finished.height_mm + 2 * margin_mm)


def fabrics_to_show(fabric: Fabric) -> tuple[Fabric, Fabric, Fabric]:
    """Return the fabric of the chart and the two nearest common ones, for a table of sizes."""
    own = stitches_per_inch(fabric)
    others = sorted((c for c in COMMON_COUNTS if c != own), key=lambda c: (abs(c - own), c))
    first, second = sorted(others[:2])
    return fabric, Fabric(count=first, colour=fabric.colour), Fabric(count=second, colour=fabric.colour)


def needleful_mm(kind: StitchKind, fabric: Fabric) -> float:
    """Return the length of needleful that one stitch uses, without allowance and whatever the strands."""
    return NEEDLEFUL_SQUARES[kind] * square_mm(fabric.count, fabric.over)


def thread_uses(chart: Chart) -> tuple[ThreadUse, ...]:
    """Return what each thread of the chart is used for, in the order of its threads."""
    counts = stitch_counts(chart)
    side_mm = square_mm(chart.fabric.count, chart.fabric.over)
    uses = []
    for number, thread in enumerate(chart.threads):
        numbers = {kind: counts.get((number, kind), 0) for kind in StitchKind}
        back = math.fsum(math.dist(s.start, s.end) for s in chart.backstitch if s.thread == number)
        knots = sum(knot.thread == number for knot in chart.knots)
        crosses_mm = sum(numbers[kind] * needleful_mm(kind, chart.fabric) for kind in StitchKind)
        strand_mm = (crosses_mm + knots * KNOT_MM) * thread.cross_strands
        strand_mm += back * BACK_SQUARES * side_mm * thread.back_strands
        metres = strand_mm * ALLOWANCE / 1000 / SKEIN_STRANDS
        uses.append(
            ThreadUse(
                full=numbers[StitchKind.FULL],
                three_quarter=numbers[StitchKind.THREE_QUARTER],
                quarter=numbers[StitchKind.QUARTER],
                back_squares=back,
                knots=knots,
                metres=metres,
                skeins=math.ceil(metres / SKEIN_M),
            )
        )
    return tuple(uses)
