"""What holds together in the drawing holds together in stitches, or a remark names it.

Outlines are made by shapely, which also tells whether stitches hold together: their union, grown by a
hundredth of a square so that stitches which meet at a hole count as one, is a single polygon.
"""

from dataclasses import dataclass
from math import dist

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon, unary_union
from shapely.geometry.base import BaseGeometry

from svg2chart.chart import Chart, StitchKind
from svg2chart.convert import convert
from svg2chart.grid import Extent, Grid
from svg2chart.octant_shapes import stitch_outline
from svg2chart.svg.read import parse_artwork

WIDE, HIGH = 36, 24
ROPE, FIELD, FLAG = "#3a2a1e", "#1a3a8f", "#c62828"
HELD_BY_A_HOLE = 0.01
MOVEMENTS = pytest.mark.parametrize("movement", [0.0, 0.5])

inside = st.tuples(st.floats(3, WIDE - 3), st.floats(3, HIGH - 3))


@dataclass(frozen=True)
class Rope:
    """A curve with four control points, in squares."""

    controls: tuple[tuple[float, float], ...]
    width: float

    @property
    def mark(self) -> str:
        first, *others = (f"{x:.2f},{y:.2f}" for x, y in self.controls)
        path = f'd="M{first} C{" ".join(others)}" fill="none"'
        return f'<path id="rope" {path} stroke="{ROPE}" stroke-width="{self.width}"/>'

    @property
    def outline(self) -> BaseGeometry:
        t = np.linspace(0, 1, 200)[:, None]
        powers = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3
        points = sum(power * np.array(point) for power, point in zip(powers, self.controls, strict=True))
        return LineString(points).buffer(self.width / 2, cap_style="flat")


@st.composite
def ropes(draw: st.DrawFn) -> Rope:
    """Draw a rope of .7 to 1.5 squares' width whose ends are some squares apart."""
    controls = tuple(draw(inside) for _ in range(4))
    assume(dist(controls[0], controls[-1]) > 4)
    return Rope(controls=controls, width=draw(st.integers(7, 15)) / 10)


@st.composite
def fields(draw: st.DrawFn) -> str:
    """Draw cloth, or a field of another colour that may end under the rope."""
    left, right = draw(st.floats(0, HIGH)), draw(st.floats(0, HIGH))
    path = f"M0 0H{WIDE}V{right:.2f}L0 {left:.2f}z"
    return draw(st.sampled_from(["", f'<path id="field" d="{path}" fill="{FIELD}"/>']))


def charted(marks: str, *, movement: float) -> Chart:
    view = f'width="{WIDE}" height="{HIGH}" viewBox="0 0 {WIDE} {HIGH}"'
    artwork = parse_artwork(f'<svg xmlns="http://www.w3.org/2000/svg" {view}>{marks}</svg>'.encode())
    return convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=movement))


def is_told(chart: Chart) -> bool:
    return "rope" in {remark.element for remark in chart.remarks}


def stitched(chart: Chart, colour: str) -> BaseGeometry:
    """Return what the stitches of a colour cover, in squares."""
    threads = {index for index, thread in enumerate(chart.threads) if thread.colour == colour}
    outlines = []
    for row in range(chart.rows):
        for column in range(chart.columns):
            held = chart.arrangement_at(row, column)
            is_halved = any(stitch.kind is StitchKind.THREE_QUARTER for stitch in held)
            for stitch in held:
                if stitch.thread in threads:
                    # a quarter beside a three-quarter stitch shows in the other half of the square
                    kind = StitchKind.THREE_QUARTER if is_halved else stitch.kind
                    points = stitch_outline(kind, stitch.corner, row=row, column=column).points
                    outlines.append(Polygon(points).buffer(HELD_BY_A_HOLE, cap_style="square"))
    return unary_union(outlines)


def parts(union: BaseGeometry) -> list[BaseGeometry]:
    return list(getattr(union, "geoms", [union]))


@MOVEMENTS
@given(fields(), ropes())
@settings(max_examples=40)
def test_a_rope_is_one_piece(movement: float, field: str, rope: Rope) -> None:
    chart = charted(field + rope.mark, movement=movement)
    assert len(parts(stitched(chart, ROPE))) == 1 or is_told(chart)


@MOVEMENTS
@given(ropes(), st.lists(inside, min_size=1, max_size=4))
@settings(max_examples=40)
def test_a_rope_goes_on_to_where_flags_hide_it(
    movement: float, rope: Rope, flags: list[tuple[float, float]]
) -> None:
    """No part of a square and a half that is seen lies more than two squares from its nearest stitch."""
    corners = [[(x, y), (x + 7, y), (x + 3.5, y + 6)] for x, y in flags]
    marks = "".join(f'<polygon points="{each}" fill="{FLAG}"/>' for each in corners)
    chart = charted(rope.mark + marks.translate(str.maketrans("", "", "[]()")), movement=movement)
    seen = rope.outline.difference(unary_union([Polygon(each) for each in corners]))
    far = seen.difference(stitched(chart, ROPE).buffer(2))
    assert max(part.area for part in parts(far)) < 1.5 or is_told(chart)
