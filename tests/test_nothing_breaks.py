"""What holds together in the drawing holds together in stitches and is there, or a remark names it.

Outlines are made by shapely, which also tells whether stitches hold together: their union, grown by a
hundredth of a square so that stitches which meet at a hole count as one, is a single polygon.
"""

import re
from dataclasses import dataclass
from math import dist

import numpy as np
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon, unary_union
from shapely.geometry.base import BaseGeometry

from svg2chart.arranging.measure import octants_shown
from svg2chart.chart import Chart
from svg2chart.convert import convert
from svg2chart.grid import Extent, Grid
from svg2chart.svg.read import parse_artwork
from tests.breadth import examples
from tests.drawings import stitched

WIDE, HIGH = 36, 24
ROPE, FIELD, FLAG = "#3a2a1e", "#1a3a8f", "#c62828"
HELD_BY_A_HOLE = 0.01
LEAST_KEPT = 0.2  # squares; less may be missing without a word
MOVEMENTS = pytest.mark.parametrize("movement", [0.0, 0.5])

inside = st.tuples(st.floats(3, WIDE - 3), st.floats(3, HIGH - 3))


@dataclass(frozen=True)
class Strip:
    """A line of some width, in squares, with ends cut off square."""

    path: str
    line: LineString
    width: float

    @property
    def mark(self) -> str:
        return f'<path id="rope" d="{self.path}" fill="none" stroke="{ROPE}" stroke-width="{self.width}"/>'

    @property
    def outline(self) -> BaseGeometry:
        return self.line.buffer(self.width / 2, cap_style="flat")


def curve(controls: list[tuple[float, float]], width: float) -> Strip:
    """Return a curve with four control points."""
    t = np.linspace(0, 1, 200)[:, None]
    powers = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3
    points = sum(power * np.array(point) for power, point in zip(powers, controls, strict=True))
    first, *others = (f"{x:.2f},{y:.2f}" for x, y in controls)
    return Strip(f"M{first} C{' '.join(others)}", LineString(points), width)


@st.composite
def ropes(draw: st.DrawFn, widths: st.SearchStrategy[int]) -> Strip:
    """Draw a curve with four control points whose ends are some squares apart; widths are in tenths."""
    controls = [draw(inside) for _ in range(4)]
    assume(dist(controls[0], controls[-1]) > 4)
    return curve(controls, draw(widths) / 10)


@st.composite
def bars(draw: st.DrawFn, widths: st.SearchStrategy[int]) -> Strip:
    """Draw a straight bar of at least four squares, every third along the grid."""
    (x, y), (u, v) = draw(inside), draw(inside)
    level = draw(st.sampled_from(["as it comes", "as it comes", "as it comes", "level", "upright"]))
    u, v = (x if level == "upright" else u), (y if level == "level" else v)
    assume(dist((x, y), (u, v)) > 4)
    path = f"M{x:.2f},{y:.2f} L{u:.2f},{v:.2f}"
    return Strip(path, LineString([(x, y), (u, v)]), draw(widths) / 10)


def ring(x: float, y: float, radius: float, width: float) -> Strip:
    arc = f"A{radius:.2f},{radius:.2f} 0 0 1"
    path = f"M{x - radius:.2f},{y:.2f} {arc} {x + radius:.2f},{y:.2f} {arc} {x - radius:.2f},{y:.2f}z"
    turn = np.linspace(0, 2 * np.pi, 200)
    points = np.stack([x + radius * np.cos(turn), y + radius * np.sin(turn)], axis=1)
    return Strip(path, LineString(points), width)


@st.composite
def rings(draw: st.DrawFn, widths: st.SearchStrategy[int]) -> Strip:
    x, y = draw(st.floats(10, WIDE - 10)), draw(st.floats(10, HIGH - 10))
    return ring(x, y, draw(st.floats(2, 8)), draw(widths) / 10)


WIDE_ENOUGH, TOO_THIN = st.integers(5, 15), st.integers(2, 5)


def field_to(left: float, right: float) -> str:
    """Return a field from the top to these heights at its sides."""
    return f'<path id="field" d="M0 0H{WIDE}V{right:.2f}L0 {left:.2f}z" fill="{FIELD}"/>'


@st.composite
def fields(draw: st.DrawFn) -> str:
    """Draw cloth, or a field of another colour that may end under the rope."""
    left, right = draw(st.floats(0, HIGH)), draw(st.floats(0, HIGH))
    return draw(st.sampled_from(["", field_to(left, right)]))


def charted(marks: str, *, movement: float, size: tuple[int, int] = (WIDE, HIGH)) -> Chart:
    wide, high = size
    view = f'width="{wide}" height="{high}" viewBox="0 0 {wide} {high}"'
    artwork = parse_artwork(f'<svg xmlns="http://www.w3.org/2000/svg" {view}>{marks}</svg>'.encode())
    grid = Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=movement, thin=0)
    return convert(artwork, grid)


COMES_APART = "too narrow for these squares: its stitches come apart where the drawing holds together"
LEFT_OUT = "too fine for these squares: "
FITTED_AWAY = "fitting to the squares leaves less than half"


def is_told(chart: Chart, *whats: str) -> bool:
    """Return whether a remark that begins so names the rope."""
    return any(remark.element == "rope" and remark.what.startswith(whats) for remark in chart.remarks)


def said(chart: Chart) -> set[str]:
    """Return what remarks say of the rope, wherever that is: the first place is another one in mirrors."""
    whats = [remark.what for remark in chart.remarks if remark.element == "rope"]
    return {re.sub(r"at row \d+, column \d+", "", what) for what in whats}


def covered(chart: Chart, colour: str) -> BaseGeometry:
    """Return what the stitches of a colour cover, in squares."""
    grown = [Polygon(each).buffer(HELD_BY_A_HOLE, cap_style="square") for each in stitched(chart, colour)]
    return unary_union(grown)


def parts(union: BaseGeometry) -> list[BaseGeometry]:
    return list(getattr(union, "geoms", [union]))


@MOVEMENTS
@given(fields(), ropes(WIDE_ENOUGH) | bars(WIDE_ENOUGH) | rings(WIDE_ENOUGH))
@settings(max_examples=examples(60))
def test_a_strip_of_half_a_square_is_one_piece(movement: float, field: str, strip: Strip) -> None:
    chart = charted(field + strip.mark, movement=movement)
    assert len(parts(covered(chart, ROPE))) == 1 or is_told(chart, COMES_APART, LEFT_OUT, FITTED_AWAY)


@MOVEMENTS
@given(fields(), ropes(TOO_THIN) | bars(TOO_THIN) | rings(TOO_THIN))
@example(field_to(18.5, 17), curve([(3, 3), (3, 3), (22, 3), (4, 19)], 0.4))  # the fit squeezes its end
@example(field_to(10, 10), ring(10, 10, 5.22, 0.5))  # it squeezes top and bottom
@example("", ring(10, 10, 2.56, 0.3))  # all its gaps are too many to close
@settings(max_examples=examples(60))
def test_a_thinner_strip_is_one_piece_or_told(movement: float, field: str, strip: Strip) -> None:
    chart = charted(f'{field}<path d="M0 0h2v2h-2z" fill="{FLAG}"/>{strip.mark}', movement=movement)
    union = covered(chart, ROPE)
    if is_told(chart, COMES_APART, LEFT_OUT, FITTED_AWAY, "too small for a stitch"):
        return
    assert len(parts(union)) == 1
    # a square's rounding at either end is no part left out
    missing = strip.outline.difference(union.buffer(1.0))
    assert max(part.area for part in parts(missing)) < LEAST_KEPT or movement > 0


def octants(chart: Chart) -> np.ndarray:
    """Return (rows, columns, 8) the colour that each octant shows, clockwise from the top."""
    colours = np.array(["", *(thread.colour for thread in chart.threads)])
    table = np.array([octants_shown(arrangement) for arrangement in chart.arrangements])
    return colours[table[chart.squares]]


@MOVEMENTS
@given(fields(), ropes(WIDE_ENOUGH) | bars(WIDE_ENOUGH) | rings(WIDE_ENOUGH))
@settings(max_examples=examples(60))
def test_what_is_mended_is_mirrored_and_turned_with_the_drawing(
    movement: float, field: str, strip: Strip
) -> None:
    marks = field + strip.mark
    chart = charted(marks, movement=movement)
    here = octants(chart)
    mirrored = charted(f'<g transform="matrix(-1 0 0 1 {WIDE} 0)">{marks}</g>', movement=movement)
    turn = f'<g transform="matrix(0 1 -1 0 {HIGH} 0)">{marks}</g>'
    turned = charted(turn, movement=movement, size=(HIGH, WIDE))
    assert np.array_equal(octants(mirrored), here[:, ::-1, ::-1])
    assert np.array_equal(octants(turned), np.roll(np.rot90(here, -1), 2, axis=2))
    for other in (mirrored, turned):
        assert said(other) == said(chart)


@MOVEMENTS
@given(ropes(st.integers(7, 15)), st.lists(inside, min_size=1, max_size=4))
@settings(max_examples=examples(40))
def test_a_rope_goes_on_to_where_flags_hide_it(
    movement: float, rope: Strip, flags: list[tuple[float, float]]
) -> None:
    """No part of a square and a half that is seen lies more than two squares from its nearest stitch."""
    corners = [[(x, y), (x + 7, y), (x + 3.5, y + 6)] for x, y in flags]
    marks = "".join(f'<polygon points="{each}" fill="{FLAG}"/>' for each in corners)
    chart = charted(rope.mark + marks.translate(str.maketrans("", "", "[]()")), movement=movement)
    seen = rope.outline.difference(unary_union([Polygon(each) for each in corners]))
    far = seen.difference(covered(chart, ROPE).buffer(2))
    assert max(part.area for part in parts(far)) < 1.5 or is_told(chart, LEFT_OUT)
