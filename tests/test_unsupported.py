"""Each thing that the manual lists as drawn in part or left out gives a remark that names the element."""

import pytest

from svg2chart.remarks import Severity
from svg2chart.svg.read import parse_artwork

LEFT_OUT, SIMPLIFIED, GUESSED = Severity.LEFT_OUT, Severity.SIMPLIFIED, Severity.GUESSED

PAINTED = '<path id="odd" d="M1 1H5V5Z" fill="url(#server)"/>'
FEATURES = {
    "gradient": (
        '<linearGradient id="server"><stop stop-color="red"/><stop offset="1" stop-color="blue"/>'
        f"</linearGradient>{PAINTED}",
        SIMPLIFIED,
    ),
    "pattern": (f'<pattern id="server" width="1" height="1"/>{PAINTED}', LEFT_OUT),
    "filter": ('<path id="odd" d="M1 1H5V5Z" filter="url(#f)"/>', SIMPLIFIED),
    "mask": ('<mask id="m"/><path id="odd" d="M1 1H5V5Z" mask="url(#m)"/>', SIMPLIFIED),
    "blend mode": ('<path id="odd" d="M1 1H5V5Z" style="mix-blend-mode:multiply"/>', SIMPLIFIED),
    "animation": (
        '<path id="odd" d="M1 1H5V5Z"><animate attributeName="x" from="0" to="1"/></path>',
        SIMPLIFIED,
    ),
    "path data with an error": ('<path id="odd" d="M1 1H5V5Z C 4 5"/>', SIMPLIFIED),
    "dashes that cannot be read": (
        '<path id="odd" d="M1 1H5" stroke="red" stroke-dasharray="-1 2"/>',
        SIMPLIFIED,
    ),
    "clip that is not there": ('<path id="odd" d="M1 1H5V5Z" clip-path="url(#no)"/>', SIMPLIFIED),
    "transform that cannot be read": ('<path id="odd" d="M1 1H5V5Z" transform="turn(3)"/>', GUESSED),
    "pixels": ('<image id="odd" width="5" height="5" href="a.png"/>', LEFT_OUT),
    "foreign content": ('<foreignObject id="odd" width="5" height="5"/>', LEFT_OUT),
    "script": ('<script id="odd">go()</script>', LEFT_OUT),
    "vertical words": ('<text id="odd" style="writing-mode:vertical-rl">A</text>', LEFT_OUT),
    "hidden element": ('<path id="odd" d="M1 1H5V5Z" display="none"/>', LEFT_OUT),
    "invisible element": ('<path id="odd" d="M1 1H5V5Z" visibility="hidden"/>', LEFT_OUT),
    "use of nothing": ('<use id="odd" href="#no"/>', LEFT_OUT),
    "outside the page": ('<rect id="odd" x="20" width="5" height="5"/>', LEFT_OUT),
    "rule of a style sheet": ('<style id="odd">@import "other.css";</style>', LEFT_OUT),
    "unknown element": ('<boat id="odd"/>', LEFT_OUT),
}


@pytest.mark.parametrize("feature", FEATURES)
def test_what_is_not_drawn_as_it_stands_gives_a_remark(feature: str) -> None:
    content, severity = FEATURES[feature]
    fine = '<path id="fine" d="M0 0H1V1Z"/>'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">{content}{fine}</svg>'
    remarks = parse_artwork(svg.encode()).remarks
    assert [(remark.element, remark.severity) for remark in remarks] == [("odd", severity)]
