"""Stitches that touch at a hole across a gap of a square or more are told of."""

import numpy as np
from hypothesis import example, given
from hypothesis import strategies as st
from shapely import Polygon, unary_union

from svg2chart.convert import convert
from svg2chart.geometry.polygon import FillRule
from svg2chart.grid import Extent, Grid
from tests.drawings import BLUE, RED, YELLOW, box, drawing, shape, stitched, told_squares

SIDE = 24
CORNERS = {"disc": 64, "octagon": 8, "hexagon": 6, "diamond": 4}

hundredths = st.integers(0, 99).map(lambda n: n / 100)


def regular(corners: int, x: float, y: float, radius: float) -> np.ndarray:
    turn = np.arange(corners) * 2 * np.pi / corners
    return np.stack([x + radius * np.cos(turn), y + radius * np.sin(turn)], axis=1)


def apart(one: np.ndarray, way: np.ndarray, gap: float) -> np.ndarray:
    """Return the same shape so far along a way that there is such a gap."""
    least, most = 0.0, float(SIDE)
    for _ in range(40):
        middle = (least + most) / 2
        is_near = Polygon(one).distance(Polygon(one + middle * way)) < gap
        least, most = (middle, most) if is_near else (least, middle)
    return np.asarray(one + most * way)


@given(
    st.sampled_from(sorted(CORNERS)),
    st.integers(100, 350).map(lambda n: n / 100),
    st.integers(100, 190).map(lambda n: n / 100),
    st.integers(0, 359),
    st.tuples(hundredths, hundredths),
    st.sampled_from([RED, BLUE]),
    st.sampled_from([None, YELLOW]),
    st.sampled_from([0.0, 0.5]),
)
@example("disc", 1.11, 1.28, 225, (0.29, 0.5), RED, YELLOW, 0.5)
@example("disc", 3.07, 1.06, 207, (0.33, 0.56), BLUE, None, 0.5)
def test_two_shapes_that_touch_at_a_hole_across_a_gap_are_told(
    kind: str,
    radius: float,
    gap: float,
    degrees: int,
    off: tuple[float, float],
    colour: str,
    ground: str | None,
    movement: float,
) -> None:
    angle = np.radians(degrees)
    one = regular(CORNERS[kind], SIDE / 2 + off[0], SIDE / 2 + off[1], radius)
    other = apart(one, np.array([np.cos(angle), np.sin(angle)]), gap)
    under = [shape(ground, box(0, 0, SIDE, SIDE), element="ground")] if ground else []
    marks = [
        shape(own, [(float(x), float(y)) for x, y in outline], element=name)
        for own, outline, name in ((RED, one, "one"), (colour, other, "other"))
    ]
    artwork = drawing(*under, *marks, wide=SIDE, high=SIDE)
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=movement))
    areas = [unary_union([Polygon(points) for points in stitched(chart, own)]) for own in {RED, colour}]
    parts = [part for area in areas for part in getattr(area, "geoms", [area])]
    if len(parts) == 2 and parts[0].touches(parts[1]) and not parts[0].intersection(parts[1]).length:
        told = {remark.element for remark in chart.remarks if "touch" in remark.what}
        assert {"one", "other"} & told, chart.remarks
        hole = parts[0].intersection(parts[1])
        assert all(square.distance(hole) == 0 for square in told_squares(chart, "stitches touch"))


@given(
    st.integers(5, 85),
    st.integers(70, 150).map(lambda n: n / 100),
    st.integers(100, 190).map(lambda n: n / 100),
    st.tuples(hundredths, hundredths),
    st.sampled_from([0.0, 0.5]),
)
@example(57, 1.09, 1.0, (0.31, 0.87), 0.5)
@example(23, 0.7, 1.0, (0.0, 0.0), 0.5)  # both show in one square
def test_two_bars_of_one_path_are_told_to_touch_as_those_of_two_are(
    degrees: int, wide: float, gap: float, off: tuple[float, float], movement: float
) -> None:
    """Each may touch itself where it steps: that is no gap that closes."""
    way = np.array([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))])
    along, across = way * 4, np.array([-way[1], way[0]])
    middle = np.array([SIDE / 2, SIDE / 2]) + off
    bars = []
    for sign in (-1, 1):
        at = middle + sign * (gap + wide) / 2 * across
        corners = [at + a * along + b * wide / 2 * across for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
        bars.append([(float(x), float(y)) for x, y in corners])
    told = []
    squares = []
    for marks in ([shape(RED, *bars)], [shape(RED, bar, element=f"bar {k}") for k, bar in enumerate(bars)]):
        artwork = drawing(*marks, wide=SIDE, high=SIDE)
        chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=movement))
        told.append(sum("touch" in remark.what for remark in chart.remarks))
        squares.append(chart.squares.tobytes())
    assert squares[0] == squares[1]
    assert told[0] == told[1]


@given(
    st.integers(150, 350).map(lambda n: n / 100),
    st.integers(100, 130).map(lambda n: n / 100),
    st.tuples(hundredths, hundredths),
)
@example(2.59, 1.0, (0.185, 0.66))
def test_a_ring_is_not_told_to_touch_itself_across_itself(
    radius: float, wide: float, off: tuple[float, float]
) -> None:
    """Its outlines are as far apart as it is wide, but no cloth is seen between them."""
    outlines = [regular(64, SIDE / 2 + off[0], SIDE / 2 + off[1], radius + k * wide / 2) for k in (1, -1)]
    contours = [[(float(x), float(y)) for x, y in outline] for outline in outlines]
    artwork = drawing(shape(RED, *contours, rule=FillRule.EVENODD), wide=SIDE, high=SIDE)
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=0.0))
    assert not [remark for remark in chart.remarks if f"{wide:.1f} squares apart" in remark.what]


@given(
    st.tuples(hundredths, hundredths),
    st.integers(25, 65),
    st.integers(60, 160).map(lambda n: n / 100),
    st.sampled_from([0.0, 0.5]),
)
def test_bars_that_cross_are_not_told_to_touch_across_a_gap(
    off: tuple[float, float], degrees: int, wide: float, movement: float
) -> None:
    middle, angle = np.array([SIDE / 2, SIDE / 2]) + off, np.radians(degrees)
    marks = []
    for number, turn in enumerate((angle, -angle)):
        along = 9 * np.array([np.cos(turn), np.sin(turn)])
        across = wide / 2 * np.array([-np.sin(turn), np.cos(turn)])
        corners = [middle + a * along + b * across for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
        marks.append(shape(RED, [tuple(corner) for corner in corners], element=f"bar {number}"))
    artwork = drawing(*marks, wide=SIDE, high=SIDE)
    chart = convert(artwork, Grid.fit(artwork, square=1, extent=Extent.PAGE, movement=movement))
    assert not [remark for remark in chart.remarks if "touch" in remark.what]
