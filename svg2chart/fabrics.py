"""Cloth: how large a chart comes out, what to cut, and which strands and needle go with it."""

from dataclasses import dataclass

from svg2chart.chart import Fabric
from svg2chart.units import MM_PER_INCH

MARGIN_MM = 3 * MM_PER_INCH  # on each side, for framing; how-to pages on preparing cloth
COMMON_COUNTS = (11, 14, 16, 18, 20, 22)  # blocks to the inch of cloth in trade; shops' pages on fabric

# stitches to the inch up to which a tapestry needle of this size is taken. A how-to post of 2020 has 24 for
# 11 to 14 count, 26 for 16 to 22 and 28 for finer cloth, a needle guide of that year 18 for 6 and 22 for 10
_NEEDLES = ((8.0, 18), (10.0, 22), (14.0, 24), (22.0, 26))
_FINEST_NEEDLE = 28


@dataclass(frozen=True, slots=True)
class Size:
    """Width and height in millimetres."""

    width_mm: float
    height_mm: float


def stitches_per_inch(fabric: Fabric) -> float:
    """Return how many stitches go to an inch of the fabric."""
    return fabric.count / fabric.over


def finished_size(columns: int, rows: int, fabric: Fabric) -> Size:
    """Return the size of a stitched chart: squares / (count / over), in inches.

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


def strands(fabric: Fabric) -> tuple[int, int]:
    """Return how many strands crosses and backstitch take.

    Over one: 1. Otherwise by squares to the inch: up to 12 take 3 (2 for backstitch), up to 20 take 2, finer
    ones 1. Sources: how-to pages for 11, 14, 16 and 18 count and for over one; common practice for the rest.
    """
    squares = stitches_per_inch(fabric)
    if not fabric.has_middles:
        return 1, 1
    if squares <= 12:
        return 3, 2
    return (2, 1) if squares <= 20 else (1, 1)


def needle(fabric: Fabric) -> int:
    """Return the size of the tapestry needle for crosses; a higher number is a finer needle."""
    squares = stitches_per_inch(fabric)
    return next((size for most, size in _NEEDLES if squares <= most), _FINEST_NEEDLE)
