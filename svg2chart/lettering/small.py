"""What to remark on letters of a font that are too low to show all of their strokes."""

from svg2chart.remarks import Remark, Severity

LEAST_CAPITAL = 7
"""Capitals need 5 by 7 squares at the least. Source: ISO 9241-3 (characters of a dot matrix)."""
LEAST_READ = 4
"""Lower capitals are not to be read. Our choice, from looking at them."""
LEAST_BOLD = 7
"""Letters so many squares high have room for strokes of two squares and for what is between them."""

BOLD_IN_BACKSTITCH = "bold letters of backstitch are the same as regular ones"
BOLD_IN_LOW = (
    "bold letters so low are the same as regular ones: under"
    f" {LEAST_BOLD} squares there is no room for wider strokes"
)
SERIFS_IN_LOW = "letters so low are without serifs: there is no room for them between their strokes"


def remarks_on_small(high: float, *, element: str = "", layer: str = "") -> list[Remark]:
    """Return a remark on words whose capitals are so many squares high, none where they are high enough."""
    if high >= LEAST_CAPITAL:
        return []
    if high < LEAST_READ:
        what = (
            f"capitals about {high:.1f} squares high cannot be read: {LEAST_CAPITAL / high:.1f} times as many"
            " squares each way (--wide, --high, --square), or larger words, show them"
        )
        return [Remark(element=element, layer=layer, what=what, severity=Severity.SIMPLIFIED)]
    what = (
        f"capitals about {high:.1f} squares high; under {LEAST_CAPITAL} letters lose strokes: the alphabets"
        " of our own are drawn for such heights (svg2chart letter --alphabet)"
    )
    return [Remark(element=element, layer=layer, what=what, severity=Severity.SIMPLIFIED)]
