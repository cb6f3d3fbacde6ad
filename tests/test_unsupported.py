"""The page of the manual on SVG, row by row: what is not charted as drawn gives its remark, the rest none."""

import re
from importlib import resources

import pytest

from svg2chart.artwork import Artwork
from svg2chart.remarks import Remark
from svg2chart.svg.read import parse_artwork

NAMESPACES = (
    'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    ' xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
    ' xmlns:sodipodi="http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd"'
)
ROW = re.compile(r"\| *(.*?) *\| *(.*?) *\|")


def rows(title: str) -> list[str]:
    """Return the first cell of each row of the table under a title of the page."""
    page = resources.files("svg2chart").joinpath("docs", "svg.md").read_text("utf-8")
    section = page.split(f"\n## {title}\n")[1].split("\n## ")[0]
    return [match[1] for match in map(ROW.match, section.splitlines()) if match][2:]


def drawn(content: str) -> Artwork:
    """Return a drawing of 90 by 90 with the content and one plain shape, or a whole file."""
    if content.startswith("<svg") or content.startswith("<?xml"):
        return parse_artwork(content.encode())
    fine = '<path id="fine" d="M0 0H1V1Z"/>'
    return parse_artwork(f'<svg {NAMESPACES} viewBox="0 0 90 90">{content}{fine}</svg>'.encode())


def remarks_on(artwork: Artwork) -> list[Remark]:
    """Return all remarks but that on the font that every drawing with words has."""
    return [remark for remark in artwork.every_remark() if not remark.what.startswith("set in")]


def odd(attributes: str) -> str:
    return f'<path id="odd" d="M1 1H5V5Z" {attributes}/>'


def text(content: str, attributes: str = "") -> str:
    return f'<text id="odd" y="9" {attributes}>{content}</text>'


def file(root: str, content: str = '<path d="M0 0H1V1Z"/>') -> str:
    return f"<svg {NAMESPACES} {root}>{content}</svg>"


PAINTED = odd('fill="url(#server)"')
STOPS = '<stop stop-color="red"/><stop offset="1" stop-color="blue"/>'
GRADIENT = f'<linearGradient id="server">{STOPS}</linearGradient>'
PATTERN = '<pattern id="server" width="2" height="2">{}</pattern>'
CLIP = '<clipPath id="c"><rect x="{}" width="2" height="2"/></clipPath>'

SIMPLIFIED = {
    "gradient": [GRADIENT + PAINTED],
    "gradient on words": [GRADIENT + text("A", 'fill="url(#server)"')],
    "pattern": [PATTERN.format('<rect width="2" height="2"/>') + PAINTED],
    "paint that is not drawn, with a colour for that case": [
        odd('fill="url(#no) red"'),
        '<hatch id="server"/>' + odd('fill="url(#server) red"'),
    ],
    "`filter`": [odd('filter="url(#f)"')],
    "`backdrop-filter`": [odd('style="backdrop-filter:blur(2px)"')],
    "`mask-image`": [odd('style="mask-image:url(#m)"')],
    "mask of gradients, patterns or what is not drawn": [  # told of the part and of what is masked
        f'{GRADIENT}<mask id="m">{PAINTED}</mask>' + odd('mask="url(#m)"')
    ],
    "mask that is not there or holds itself": [
        odd('mask="url(#m)"'),
        "<mask id='m'>" + odd('fill="white" mask="url(#m)"') + "</mask>" + odd('mask="url(#m)"'),
    ],
    "mask of a picture made of pixels": [
        '<mask id="m"><image width="5" height="5" href="a.png"/></mask>' + odd('mask="url(#m)"')
    ],
    "blend mode that is not known": [odd('style="mix-blend-mode:fog"')],
    "clip that is not there": [odd('clip-path="url(#no)"')],
    "clip that refers to itself": [
        '<clipPath id="c" clip-path="url(#c)"><rect width="9" height="9"/></clipPath>'
        + odd('clip-path="url(#c)"')
    ],
    "the properties `translate`, `rotate` and `scale`": [
        odd(f'style="{told}"') for told in ("translate:2px", "rotate:30deg", "scale:2")
    ],
    "`transform-box` of `stroke-box` or `border-box`": [
        odd('transform="rotate(9)" style="transform-box:stroke-box"'),
        odd('transform="rotate(9)" style="transform-box:border-box"'),
    ],
    "animation": [
        '<path id="odd" d="M1 1H5V5Z"><animate attributeName="x" from="0" to="1"/></path>',
        odd("") + '<g><animate href="#odd" attributeName="x" from="0" to="1"/></g>',
        text('A<tspan><animate attributeName="x" from="0" to="1"/>B</tspan>'),
        '<linearGradient id="g"><stop stop-color="red"><animate attributeName="offset" to="1"/></stop>'
        "</linearGradient>" + odd('style="fill:url(#g)"'),
        '<clipPath id="c"><rect id="odd" width="3" height="3"><animate attributeName="x" to="9"/></rect>'
        '</clipPath><rect width="9" height="9" clip-path="url(#c)"/>',
    ],
    "path data with an error": [
        '<path id="odd" d="M1 1H5V5Z C 4 5"/>',
        '<polygon id="odd" points="1 1 5 5 5 1 2"/>',
    ],
    "dashes that cannot be read": [odd(f'stroke="red" stroke-dasharray="{d}"') for d in ("-1 2", "2 boats")],
    "`font-size-adjust`, `text-orientation`, `text-shadow`": [
        text("A", 'style="text-shadow:1px 1px red"'),
        text("A", 'font-size-adjust=".6"'),
        text("A", 'style="writing-mode:vertical-rl;text-orientation:upright"'),
    ],
    "dotted, double or coloured lines along words": [text("A", 'style="text-decoration:underline dotted"')],
    'letters bent along a path (`method="stretch"`)': [
        text('<textPath path="M0 9h90" method="stretch">AB</textPath>')
    ],
    "weight, width or slant that a font lacks": [text("A", 'font-stretch="condensed"')],
    "place of letters that cannot be read": [text("A", 'x="1e"')],
    "`data-stitch` and `data-stitch-text` on a span": [
        text('<tspan id="odd" data-stitch-text="as-drawn">A</tspan>'),
        text('<tspan id="odd" data-stitch="backstitch">A</tspan>'),
    ],
    "line breaks that `white-space` keeps": [
        text("A&#10;B", 'style="white-space:pre-line"'),
        text("A&#10;<tspan>B</tspan>", 'style="white-space:pre"'),
    ],
    "words that a clip is made of": [
        f"<clipPath id='c'>{text('A')}</clipPath><rect width='9' height='9' clip-path='url(#c)'/>"
    ],
}
GUESSED = {
    "colour, size or transform that cannot be read": [
        odd('fill="lamplight"'),
        odd('transform="turn(3)"'),
        '<circle id="odd" cx="3" cy="1e" r="2"/>',
        '<rect id="odd" style="x:calc(2px + 4px)" width="2" height="2"/>',
    ],
    "hairline": [odd('stroke="red" style="-inkscape-stroke:hairline"')],
    "`switch` by the reader's language": [
        '<switch id="odd"><g systemLanguage="en"><path d="M1 1H5V5Z"/></g><g/></switch>'
    ],
    "font that is not there": [text("A", 'font-family="Lost"')],
    "words that flow in a shape, without lines of their own": [text("AB", 'style="inline-size:5px"')],
    "`data-stitch` that is not known": [odd('data-stitch="knots"')],
    "two layers of one label": [
        '<g inkscape:groupmode="layer" inkscape:label="boats"/>'
        '<g inkscape:groupmode="layer" inkscape:label="boats" id="odd"/>'
    ],
    "no size and no view box": [file("")],
    "view box that cannot be read": [
        file('width="9" height="9" viewBox="0 0 9"'),
        file('width="9" height="9" viewBox="0 0 9 x"'),
    ],
    "file of an editor that counted 90 px in an inch": [file('viewBox="0 0 9 9" inkscape:version="0.91"')],
    "no `xmlns`": ['<svg viewBox="0 0 9 9"><path d="M0 0H1V1Z"/></svg>'],
    "squares, fabric or threads that a drawing of a chart keeps, where they cannot be read": [
        file('viewBox="0 0 9 9" data-square="wide"'),
        file('viewBox="0 0 9 9" data-square="1" data-count="many"'),
        file('viewBox="0 0 9 9" data-square="1" data-extent="some"'),
        file('viewBox="0 0 9 9" data-square="1"', '<g id="odd" data-letter="A" data-strands="2 1"/>'),
    ],
}
LEFT_OUT = {
    "picture made of pixels (`image`)": [
        '<image id="odd" width="5" height="5" href="a.png"/>',
        '<image id="odd" width="5" height="5" href="data:image/png;base64,AAAA"/>',
    ],
    "drawing in another file (`image`)": ['<image id="odd" width="5" height="5" href="quay.svg#boat"/>'],
    "drawing in an `image` that cannot be read": [
        '<image id="odd" width="5" height="5" href="data:image/svg+xml,no"/>',
        '<image id="odd" width="5" height="5" href="data:image/svg+xml;base64,A"/>',
    ],
    "content that is not SVG (`foreignObject`)": ['<foreignObject id="odd" width="5" height="5"/>'],
    "script": ['<script id="odd">go()</script>'],
    "`flowRoot`": ['<flowRoot id="odd"/>'],
    "element that SVG does not know": ['<boat id="odd"/>', '<boat xmlns="harbour" id="odd"/>'],
    "hidden element, layer or span": [
        odd('display="none"'),
        odd('visibility="hidden"'),
        text("A", 'visibility="hidden"'),
        text('A<tspan display="none">B</tspan>'),
        f'<g inkscape:groupmode="layer" id="odd" style="display:none">{PAINTED}</g>',
    ],
    "element for other readers or programs": [
        odd('systemLanguage="xx"'),
        odd('requiredExtensions="urn:harbour"'),
    ],
    "`switch` with nothing for English readers": ['<switch id="odd"><g systemLanguage="xx"/></switch>'],
    "what lies outside the page": ['<rect id="odd" x="200" width="5" height="5"/>'],
    "what lies outside its clip": [CLIP.format(6) + odd('clip-path="url(#c)"')],
    "what a clip or a mask leaves nothing of": [
        '<clipPath id="c"/>' + odd('clip-path="url(#c)"'),
        '<mask id="m"/>' + odd('mask="url(#m)"'),
    ],
    "transform that leaves nothing": [odd('transform="scale(0)"')],
    "shape without an area": [
        '<rect id="odd" width="0" height="5"/>',
        '<circle id="odd" r="-2"/>',
        '<ellipse id="odd" rx="1" ry="0"/>',
    ],
    "nested `svg`, `symbol` or marker without an area": [
        '<g/><svg id="odd" width="0"><rect width="2" height="2"/></svg>',
        '<g/><svg id="odd" viewBox="0 0 0 9"><rect width="2" height="2"/></svg>',
        '<symbol id="s" viewBox="0 0 9 0"><rect width="2" height="2"/></symbol><use id="odd" href="#s"/>',
        '<marker id="m" viewBox="0 0 0 9"><rect width="2" height="2"/></marker>'
        + odd('marker-end="url(#m)"'),
        '<marker id="m" markerWidth="0"><rect width="2" height="2"/></marker>' + odd('marker-end="url(#m)"'),
    ],
    "coordinates that are too large": ['<path id="odd" d="M0 0H1e10V5z"/>', text("A", 'x="1e10"')],
    "shape that only its editor knows": ['<path id="odd" sodipodi:type="star"/>'],
    "`use` of what is not there, in another file, or holding itself": [
        '<use id="odd" href="#no"/>',
        '<use id="odd" href="quay.svg#boat"/>',
        '<use id="odd"/>',
        '<g id="quay"><use id="odd" href="#quay"/></g>',
    ],
    "`use` of what shows nothing by itself": ['<clipPath id="c"/><use id="odd" href="#c"/>'],
    "marker that is not there": [odd('marker-mid="url(#no)"')],
    "paint that is not there": [odd('fill="url(#no)"'), odd('fill="url(quay.svg#boat)"')],
    "hatch and mesh paints": [f'<hatch id="server"/>{PAINTED}', f'<meshgradient id="server"/>{PAINTED}'],
    "gradient without colours, or on a straight line": [
        f'<linearGradient id="server"/>{PAINTED}',
        GRADIENT + '<path id="odd" d="M1 1H5" stroke="url(#server)"/>',
    ],
    "pattern that shows nothing, holds itself or has more than 500 shapes": [
        PATTERN.format("") + PAINTED,
        '<pattern id="server"><rect width="9" height="9"/></pattern>' + PAINTED,
        PATTERN.format('<rect width="1" height="1"/>' * 501) + PAINTED,
    ],
    "elements among words that are no words": [text("A<boat/>")],
    "span for other readers": [text('A<tspan systemLanguage="xx">B</tspan>')],
    "words on a path that is not there": [text('A<textPath href="#p">B</textPath>')],
    "letters for which their path is too short": [text('A<textPath path="M0 9h9">BBBB</textPath>')],
    "path in a span": [text('A<tspan><textPath path="M0 9h9">B</textPath></tspan>')],
    "words of a `tref` that are not there": [text('A<tref href="#no"/>')],
    "letters without a size": [text('A<tspan font-size="-2">B</tspan>')],
    "stitch to be, without a fill": [odd('fill="none" data-stitch="full"')],
    "style sheet in another file": [
        '<?xml-stylesheet href="quay.css"?><svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"/>'
    ],
    "style sheet of another type": ['<style id="odd" type="text/boats">path {}</style>'],
    "rule of a style sheet but `@media`, rules inside others": [
        '<style id="odd">g { fill: red; path { fill: blue } }</style>',
        '<style id="odd">@import "other.css";</style>',
        '<style id="odd">@font-face { font-family: Quay }</style>',
    ],
    "selector that is not understood": ['<style id="odd">path:::x {}</style>'],
    "further pages": [file('viewBox="0 0 9 9"', "<inkscape:page/><inkscape:page/>")],
}
TABLES = {"Simplified": SIMPLIFIED, "Guessed": GUESSED, "Left out": LEFT_OUT}
DECK = '<rect width="9" height="9" {}/>'
DRAWN = {
    "Structure": """
        <defs><symbol id="s" viewBox="0 0 2 2"><rect width="2" height="2"/></symbol></defs>
        <svg x="1cm" width="50%" height="9" viewBox="0 0 4 9" preserveAspectRatio="xMinYMin slice">
          <a><rect width="2em" height="3"/></a>
        </svg>
        <switch><g><use xlink:href="#s" width="5" height="5"/></g></switch>
        <use href="#s" width="9" height="9" transform="translate(20) rotate(30)" transform-origin="3 3"/>
        <image width="9" height="9" href="data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg'
          width='3' height='3'%3E%3Crect width='2' height='2'/%3E%3C/svg%3E"/>
        """,
    "Shapes": """
        <path d="M1 1h5v5l2 2c1 1 2 2 3 0s2 2 3 1q1 1 2 0t2 2a3 4 5 0110 9z"/>
        <rect width="5" height="5" rx="1"/><circle r="9"/><ellipse rx="9" ry="5"/>
        <line x2="9" y2="9" stroke="red"/><polyline points="1 1 5 5 1 5"/><polygon points="1,1 5,5 1,5"/>
        """,
    "Style": """
        <style>
          rect.hull#a { fill: red !important }
          g > rect[width='9'] { fill: currentColor; stroke: inherit }
          @media print { rect { opacity: .5 } }
        </style>
        """
    + '<g style="color: teal">'
    + DECK.format('id="a" class="hull" fill="blue"')
    + "</g>",
    "Paint": """
        <g opacity=".5"><rect width="9" height="9" fill="hsl(30 50% 50% / .5)" fill-rule="evenodd"
          fill-opacity="50%" stroke="rebeccapurple" paint-order="stroke"/></g>
        """,
    "Strokes": """
        <marker id="k"><circle r="1"/></marker>
        <path d="M10 10H50V50" fill="none" stroke="#123" stroke-width="3" stroke-linejoin="miter-clip"
          stroke-linecap="square" stroke-miterlimit="2" stroke-dasharray="5,3,2" pathLength="50"
          marker-mid="url(#k)" vector-effect="non-scaling-stroke"/>
        """,
    "Clips": """
        <clipPath id="d"><circle r="50"/></clipPath>
        <clipPath id="c" clip-path="url(#d)" clipPathUnits="objectBoundingBox">
          <rect width="1" height="1"/>
        </clipPath>
        """
    + DECK.format('clip-path="url(#c)"'),
    "Masks": f'<mask id="m" mask-type="alpha">{DECK.format("")}</mask>' + DECK.format('mask="url(#m)"'),
    "Blend modes": DECK.format('style="mix-blend-mode: multiply; isolation: isolate"'),
    "Words": text(
        'A<tspan dy="1" rotate="30" letter-spacing="2">B</tspan><tspan textLength="30">C</tspan>'
        '<textPath path="M0 9h90">D</textPath>',
        'text-decoration="underline" text-anchor="middle" writing-mode="tb"',
    ),
    "Layers": f"""
        <g inkscape:groupmode="layer" inkscape:label="boats" sodipodi:insensitive="true">
          {DECK.format("")}
        </g>
        """,
}
CASES = [
    pytest.param(title, content, id=f"{name} {k}")
    for title, features in TABLES.items()
    for name, contents in features.items()
    for k, content in enumerate(contents)
]


@pytest.mark.parametrize("name", DRAWN)
def test_what_the_page_calls_drawn_gives_no_remark(name: str) -> None:
    artwork = drawn(DRAWN[name])
    assert remarks_on(artwork) == []
    assert {mark.element for mark in artwork.painted()} > {"fine"}


def test_every_row_of_what_is_drawn_has_a_drawing_here() -> None:
    assert rows("Drawn") == list(DRAWN)


@pytest.mark.parametrize("title", TABLES)
def test_every_row_of_the_page_has_a_drawing_here(title: str) -> None:
    assert rows(title) == list(TABLES[title])


@pytest.mark.parametrize(("title", "content"), CASES)
def test_what_is_not_charted_as_drawn_gives_its_remark(title: str, content: str) -> None:
    """The remark names the element where it is about one, and says what becomes of it."""
    about = "odd" if 'id="odd"' in content else ""
    found = [(remark.element, remark.severity.value) for remark in remarks_on(drawn(content))]
    assert found[:1] == [(about, title.lower())]
    assert set(found) == set(found[:1])
