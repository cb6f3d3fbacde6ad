"""Lengths: inch, millimetre, user unit and fabric count."""

MM_PER_INCH = 25.4  # exact; CSS Values and Units 3, absolute lengths
PX_PER_INCH = 96.0  # exact; CSS Values and Units 3, absolute lengths
POINTS_PER_INCH = 72.0  # exact; CSS Values and Units 3, absolute lengths
MM_PER_PX = MM_PER_INCH / PX_PER_INCH
POINTS_PER_MM = POINTS_PER_INCH / MM_PER_INCH


def square_mm(count: float, over: int = 1) -> float:
    """Return the side of one square in millimetres.

    Args:
        count: threads or blocks of the fabric in an inch.
        over: how many threads one stitch spans.

    >>> round(square_mm(14), 3), round(square_mm(28, 2), 3)
    (1.814, 1.814)
    """
    return MM_PER_INCH * over / count
