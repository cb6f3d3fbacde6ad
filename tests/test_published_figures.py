"""Figures that specifications and handbooks give for SVG, from the bytes of a drawing to painted areas.

Areas are sums over the exact mean opacity of each square, in user units.
"""

from math import cos, pi, radians, sin, sqrt, tan

import pytest

from svg2chart.grid import TOLERANCE_SQUARES
from svg2chart.painting import square_colours
from svg2chart.svg.read import parse_artwork

SIDE = 200  # of the page, in user units and in squares
ROUNDING = 2**-21 * 1000  # points are moved by half of 2^-20 of a square; no outline here is 1000 long


def painted_area(content: str) -> float:
    """Return how much is painted on a page of SIDE by SIDE user units."""
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {SIDE} {SIDE}">{content}</svg>'
    return float(square_colours(parse_artwork(svg.encode()), SIDE, SIDE)[..., 3].sum())


STAR = '<polygon points="50,0 21,90 98,35 2,35 79,90" fill-rule="{}"/>'
INSIDE = "M110 0 h90 v90 h-90 z M130 20 {} z"
SAME_WAY, OTHER_WAY = INSIDE.format("h50 v50 h-50"), INSIDE.format("v50 h50 v-50")


@pytest.mark.parametrize(
    ("content", "area"),
    [
        # MDN, fill-rule: the example star; its areas by shapely 2.2, union and even-odd of its triangles
        (STAR.format("nonzero"), 2792.2983),
        (STAR.format("evenodd"), 1929.5965),
        # MDN, fill-rule: a square in a square drawn the same way round and the other; 90^2 and 90^2 - 50^2
        (f'<path d="{SAME_WAY}"/>', 8100),
        (f'<path d="{SAME_WAY}" fill-rule="evenodd"/>', 5600),
        (f'<path d="{OTHER_WAY}"/>', 5600),
        # painted so by cairo and resvg too; 18^2 - 10^2
        ('<path d="M1 1h18v18h-18z M5 5h10v10h-10z" fill-rule="evenodd"/>', 224),
    ],
)
def test_fill_rules_paint_the_published_areas(content: str, area: float) -> None:
    assert painted_area(content) == pytest.approx(area, abs=ROUNDING)


def test_a_regular_pentagram_keeps_its_ratio_of_fill_rules() -> None:
    # 0.690983 = (5 - sqrt 5) / 4: of the pentagram, the even-odd rule leaves out the pentagon
    turns = [radians(144 * k) for k in range(5)]
    points = " ".join(f"{100 + 90 * sin(t)},{100 - 90 * cos(t)}" for t in turns)
    star = f'<polygon points="{points}" fill-rule="{{}}"/>'
    ratio = painted_area(star.format("evenodd")) / painted_area(star.format("nonzero"))
    assert ratio == pytest.approx((5 - sqrt(5)) / 4, abs=1e-6)
    assert ratio == pytest.approx(0.690983, abs=1e-6)


@pytest.mark.parametrize(
    ("join", "area"), [("miter", 200.0), ("bevel", 198.0), ("round", 199.1416), ("", 200.0)]
)
def test_joins_of_an_angle_have_their_closed_areas(join: str, area: float) -> None:
    """Legs 20 and 30 at a right angle, 4 wide: w (a + b); less w^2 / 8; less w^2 / 4 more pi w^2 / 16.

    Checked against shapely's buffer. A miter is the initial join (SVG 2, 13.5).
    """
    told = f'stroke-linejoin="{join}"' if join else ""
    found = painted_area(f'<path d="M20 50V30H50" fill="none" stroke="red" stroke-width="4" {told}/>')
    # a quarter turn of radius 2 is pi long and flattened within a tolerance
    assert found == pytest.approx(area, abs=pi * TOLERANCE_SQUARES if join == "round" else 1e-9)


@pytest.mark.parametrize(
    ("limit", "degrees", "is_mitered"),
    [
        # 1 / sin(angle / 2): 4 at 28.955 degrees, 10 at 11.478, 1.414 at 90 (SVG 2, 13.5.5)
        ("", 28, False),
        ("", 30, True),
        ("4", 28.95, False),
        ("4", 28.96, True),
        ("10", 11.47, False),
        ("10", 11.49, True),
        ("1.414", 89.9, False),
        ("1.415", 90, True),
    ],
)
def test_miters_end_at_the_angle_of_their_limit(limit: str, degrees: float, *, is_mitered: bool) -> None:
    """Two legs of 80, 2 wide: w (a + b) with a miter, for the tip makes up for what overlaps inside.

    A bevel lacks the tip, two right triangles of half the width and half the width x tan(turn / 2), less
    the triangle between the outer corners, half the width squared x sin(turn) / 2.
    """
    length, half = 80.0, 1.0
    x, y = 150 - length * cos(radians(degrees)), 100 + length * sin(radians(degrees))
    told = f'stroke-miterlimit="{limit}"' if limit else ""
    path = f'<path d="M{150 - length} 100H150L{x} {y}" fill="none" stroke="red" stroke-width="2" {told}/>'
    turn = radians(180 - degrees)
    whole = 2 * half * 2 * length
    bevelled = whole - half**2 * tan(turn / 2) + half**2 * sin(turn) / 2
    assert painted_area(path) == pytest.approx(whole if is_mitered else bevelled, abs=ROUNDING)


def test_an_odd_list_of_dashes_is_doubled() -> None:
    # SVG 2, 13.5.6: 5,3,2 is 5,3,2,5,3,2; of 20 units 10 are painted, as by cairo and resvg
    line = '<path d="M10 10H30" stroke="red" stroke-dasharray="5,3,2"/>'
    assert painted_area(line) == pytest.approx(10, abs=1e-9)


def test_strokes_are_one_wide_with_butt_ends_unless_told() -> None:
    # SVG 2, 13.5: stroke-width 1, stroke-linecap butt
    assert painted_area('<path d="M10 10H33" stroke="red"/>') == pytest.approx(23, abs=1e-9)


def test_a_stroked_circle_is_a_ring() -> None:
    # 2 pi r w; both edges, 2 pi r long between them, are flattened within a tolerance
    ring = '<circle cx="100" cy="100" r="50" fill="none" stroke="red" stroke-width="6"/>'
    assert painted_area(ring) == pytest.approx(2 * pi * 50 * 6, abs=2 * 2 * pi * 50 * TOLERANCE_SQUARES)


def test_a_page_in_millimetres_has_96_px_to_the_inch() -> None:
    # CSS Values and Units 3: 1 in = 25.4 mm = 96 px; 140 mm are 529.134 px
    artwork = parse_artwork(
        b'<svg xmlns="http://www.w3.org/2000/svg" width="140mm" height="3pc"><path d="M0 0H9V9z"/></svg>'
    )
    assert artwork.viewport.width == pytest.approx(529.134, abs=5e-4)
    assert artwork.viewport.height == pytest.approx(48, abs=1e-12)
    assert artwork.viewport.width * artwork.unit_mm == pytest.approx(140, rel=1e-11)
