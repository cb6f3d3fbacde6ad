"""What to remark on letters of a font that are too low to show all of their strokes."""

from svg2chart.remarks import Remark, Severity

LEAST_CAPITAL = 7
"""Capitals need 5 by 7 squares at the least. Source: ISO 9241-3 (characters of a dot matrix)."""


def remarks_on_small(high: float, *, element: str = "", layer: str = "") -> list[Remark]:
    """Return a remark on words whose capitals are so many squares high, none where they are high enough."""
    if high >= LEAST_CAPITAL:
        return []
    what = (
        f"capitals about {high:.1f} squares high; under {LEAST_CAPITAL} letters lose strokes: the alphabets"
        " of our own are drawn for such heights (svg2chart letter --alphabet)"
    )
    return [Remark(element=element, layer=layer, what=what, severity=Severity.SIMPLIFIED)]
