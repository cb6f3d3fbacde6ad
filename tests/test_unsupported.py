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
    "mask that is not there": ('<path id="odd" d="M1 1H5V5Z" mask="url(#m)"/>', SIMPLIFIED),
    "mask of nothing": ('<mask id="m"/><path id="odd" d="M1 1H5V5Z" mask="url(#m)"/>', LEFT_OUT),
    "blend mode that is not known": (
        '<path id="odd" d="M1 1H5V5Z" style="mix-blend-mode:fog"/>',
        SIMPLIFIED,
    ),
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
    "hidden element": ('<path id="odd" d="M1 1H5V5Z" display="none"/>', LEFT_OUT),
    "invisible element": ('<path id="odd" d="M1 1H5V5Z" visibility="hidden"/>', LEFT_OUT),
    "use of nothing": ('<use id="odd" href="#no"/>', LEFT_OUT),
    "outside the page": ('<rect id="odd" x="20" width="5" height="5"/>', LEFT_OUT),
    "rule of a style sheet": ('<style id="odd">@import "other.css";</style>', LEFT_OUT),
    "unknown element": ('<boat id="odd"/>', LEFT_OUT),
    "pattern with shapes": (
        '<pattern id="server" width="2" height="2"><rect width="2" height="2"/></pattern>' + PAINTED,
        SIMPLIFIED,
    ),
    "hatch": (f'<hatch id="server"/>{PAINTED}', LEFT_OUT),
    "mesh": (f'<meshgradient id="server"/>{PAINTED}', LEFT_OUT),
    "gradient without colours": (f'<linearGradient id="server"/>{PAINTED}', LEFT_OUT),
    "gradient on a straight line": (
        '<linearGradient id="server"><stop stop-color="red"/></linearGradient>'
        '<path id="odd" d="M1 1H5" stroke="url(#server)"/>',
        LEFT_OUT,
    ),
    "colour that cannot be read": ('<path id="odd" d="M1 1H5V5Z" fill="lamplight"/>', GUESSED),
    "place that cannot be read": ('<circle id="odd" cx="3" cy="1e" r="2"/>', GUESSED),
    "calculated place": ('<rect id="odd" style="x:calc(2px + 4px)" width="2" height="2"/>', GUESSED),
    "property rotate": ('<path id="odd" d="M1 1H5V5Z" style="rotate:30deg"/>', SIMPLIFIED),
    "property scale": ('<path id="odd" d="M1 1H5V5Z" style="scale:2"/>', SIMPLIFIED),
    "property translate": ('<path id="odd" d="M1 1H5V5Z" style="translate:2px"/>', SIMPLIFIED),
    "mask image": ('<path id="odd" d="M1 1H5V5Z" style="mask-image:url(#m)"/>', SIMPLIFIED),
    "backdrop filter": ('<path id="odd" d="M1 1H5V5Z" style="backdrop-filter:blur(2px)"/>', SIMPLIFIED),
    "corners of arcs": ('<path id="odd" d="M1 1H5V5" stroke="red" stroke-linejoin="arcs"/>', SIMPLIFIED),
    "outside its clip": (
        '<clipPath id="c"><rect x="6" width="2" height="2"/></clipPath>'
        '<path id="odd" d="M1 1H5V5Z" clip-path="url(#c)"/>',
        LEFT_OUT,
    ),
    "switch for others": ('<switch id="odd"><g systemLanguage="xx"/></switch>', LEFT_OUT),
    "use of what shows nothing": ('<clipPath id="c"/><use id="odd" href="#c"/>', LEFT_OUT),
}
WORDS = {
    "missing font": ('<text id="odd" y="9" font-family="Lost">A</text>', GUESSED),
    "flowed words": ('<text id="odd" y="9" style="inline-size:5px">AB</text>', GUESSED),
    "letters without a size": ('<text id="odd" y="9">A<tspan font-size="-2">B</tspan></text>', LEFT_OUT),
    "equal x-heights": ('<text id="odd" y="9" font-size-adjust=".6">A</text>', SIMPLIFIED),
    "direction by hand": ('<text id="odd" y="9" style="unicode-bidi:bidi-override">A</text>', SIMPLIFIED),
    "orientation by hand": (
        '<text id="odd" y="9" style="writing-mode:vertical-rl;text-orientation:upright">A</text>',
        SIMPLIFIED,
    ),
    "dotted lines": ('<text id="odd" y="9" style="text-decoration:underline dotted">A</text>', SIMPLIFIED),
    "narrow letters": ('<text id="odd" y="9" font-stretch="condensed">A</text>', SIMPLIFIED),
    "bent letters": (
        '<path id="p" d="M0 9h90"/>'
        '<text id="odd" y="9"><textPath href="#p" method="stretch">AB</textPath></text>',
        SIMPLIFIED,
    ),
    "short path": ('<text id="odd" y="9">A<textPath path="M0 9h9">BBBB</textPath></text>', LEFT_OUT),
    "path in a span": (
        '<text id="odd" y="9">A<tspan><textPath path="M0 9h9">B</textPath></tspan></text>',
        LEFT_OUT,
    ),
    "path that is not there": ('<text id="odd" y="9">A<textPath href="#p">B</textPath></text>', LEFT_OUT),
    "stranger among words": ('<text id="odd" y="9">A<boat/></text>', LEFT_OUT),
    "span for others": ('<text id="odd" y="9">A<tspan systemLanguage="xx">B</tspan></text>', LEFT_OUT),
    "words that are not there": ('<text id="odd" y="9">A<tref href="#no"/></text>', LEFT_OUT),
    "place of letters that cannot be read": ('<text id="odd" x="1e" y="9">A</text>', SIMPLIFIED),
}


@pytest.mark.parametrize("feature", FEATURES)
def test_what_is_not_drawn_as_it_stands_gives_a_remark(feature: str) -> None:
    content, severity = FEATURES[feature]
    fine = '<path id="fine" d="M0 0H1V1Z"/>'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">{content}{fine}</svg>'
    remarks = parse_artwork(svg.encode()).remarks
    assert [(remark.element, remark.severity) for remark in remarks] == [("odd", severity)]


def test_a_mask_that_is_not_flat_gives_a_remark_on_its_part_and_on_what_it_masks() -> None:
    content = (
        '<linearGradient id="server"><stop stop-color="white"/><stop offset="1"/></linearGradient>'
        f'<mask id="m">{PAINTED}</mask><path id="fog" d="M1 1H5V5Z" mask="url(#m)"/>'
    )
    remarks = parse_artwork(
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">{content}</svg>'.encode()
    ).remarks
    told = [(remark.element, remark.severity) for remark in remarks]
    assert told == [("odd", SIMPLIFIED), ("fog", SIMPLIFIED)]


@pytest.mark.parametrize("feature", WORDS)
def test_what_is_not_set_as_it_stands_gives_a_remark_beside_that_on_the_font(feature: str) -> None:
    content, severity = WORDS[feature]
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 90 90">{content}</svg>'
    remarks = parse_artwork(svg.encode()).every_remark()
    others = [remark for remark in remarks if not remark.what.startswith("set in")]
    assert [(remark.element, remark.severity) for remark in others] == [("odd", severity)]
    assert len(remarks) == 2


@pytest.mark.parametrize(
    ("root", "whats"),
    [
        ("", ["does not say how large"]),
        ('viewBox="0 0 9"', ['the viewBox "0 0 9" has 3 numbers', "does not say how large"]),
        ('viewBox="0 0 9 wide"', ["cannot be read", "does not say how large"]),
        ('viewBox="0 0 9 9" inkscape:version="0.91"', ["90 px in an inch"]),
    ],
)
def test_a_size_that_is_guessed_gives_a_remark_on_the_whole(root: str, whats: list[str]) -> None:
    spaces = 'xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
    remarks = parse_artwork(f'<svg {spaces} {root}><path d="M0 0H1V1Z"/></svg>'.encode()).remarks
    assert [(remark.element, remark.severity) for remark in remarks] == [("", GUESSED)] * len(whats)
    assert all(what in remark.what for what, remark in zip(whats, remarks, strict=True))


def test_several_pages_give_a_remark_on_the_whole() -> None:
    spaces = 'xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
    pages = "<inkscape:page/><inkscape:page/>"
    (remark,) = parse_artwork(f'<svg {spaces} viewBox="0 0 9 9">{pages}</svg>'.encode()).remarks
    assert (remark.element, remark.severity) == ("", LEFT_OUT)
