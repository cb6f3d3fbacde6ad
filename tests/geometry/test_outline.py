"""Strokes: closed forms, the distance to the line, symmetry; dashes: painted lengths."""

from itertools import pairwise
from math import cos, hypot, pi, radians, sin, tan

import numpy as np
import pytest
import shapely
from hypothesis import example, given
from hypothesis import strategies as st

from svg2chart.errors import ArtworkError
from svg2chart.geometry.affine import Affine
from svg2chart.geometry.dashes import MAX_DASHES, dash_lines
from svg2chart.geometry.flatten import flatten_paths
from svg2chart.geometry.outline import Cap, Join, StrokeStyle, outline_stroke
from svg2chart.geometry.path import Path
from svg2chart.geometry.polygon import Polygon, Polylines
from tests.geometry.regions import Points, chain, holds, lattice, painted_area, samples

TOLERANCE = 1e-4
SAMPLES = samples(500, 7.0) + 4  # round the middle of the lattice
widths = st.sampled_from([0.25, 1.0, 3.0])
turns = st.lists(lattice, min_size=2, max_size=6).filter(lambda points: len(set(points)) > 1)
styles = st.builds(
    lambda width, cap, join: StrokeStyle(width=width, cap=cap, join=join),
    widths,
    st.sampled_from(Cap),
    st.sampled_from(Join),
)


def stroked(
    points: Points, style: StrokeStyle, *, closed: bool = False, pen: Affine | None = None
) -> Polygon:
    return outline_stroke(chain(points, closed=closed), style, pen=pen or Affine(), tolerance=TOLERANCE)


@pytest.mark.parametrize(
    ("join", "area"), [(Join.MITER, 200.0), (Join.BEVEL, 198.0), (Join.ROUND, 200 - 4 + pi)]
)
def test_right_angle_of_legs_20_and_30_and_width_4(join: Join, area: float) -> None:
    # w (a + b), less w^2 / 8 for a bevel, less w^2 / 4 and a quarter disc more for a round join
    corner = stroked([(0, 0), (20, 0), (20, 30)], StrokeStyle(width=4, join=join))
    assert painted_area(corner) == pytest.approx(area, abs=4 * TOLERANCE)


@pytest.mark.parametrize("degrees", [10, 45, 90, 120, 151, 152, 170])
@pytest.mark.parametrize("join", [Join.MITER, Join.BEVEL])
def test_corner_area_in_closed_form(degrees: int, join: Join) -> None:
    turn = radians(degrees)
    corner = stroked([(-40, 0), (0, 0), (40 * cos(turn), 40 * sin(turn))], StrokeStyle(width=2, join=join))
    # the pieces share tan(turn / 2); a miter adds as much, a bevel a triangle. A miter of
    # limit 4 ends at an angle of 28.955 degrees between the pieces, a turn of 151.045
    mitred = join is Join.MITER and degrees < 151.045
    area = 160 if mitred else 160 - tan(turn / 2) + sin(turn) / 2
    assert painted_area(corner) == pytest.approx(area, abs=1e-3)


@pytest.mark.parametrize("degrees", [10, 90, 151, 152, 170, 179])
@pytest.mark.parametrize("limit", [1, 1.5, 4, 40])
def test_cut_miter_in_closed_form(degrees: int, limit: float) -> None:
    turn = radians(degrees)
    style = StrokeStyle(width=2, join=Join.MITER_CLIP, miter_limit=limit)
    corner = stroked([(-400, 0), (0, 0), (400 * cos(turn), 400 * sin(turn))], style)
    # the miter ends 1 / cos(turn / 2) from the corner, and is cut at the limit (SVG 2, 13.5.6)
    beyond = max(1 / cos(turn / 2) - limit, 0)
    assert painted_area(corner) == pytest.approx(1600 - beyond**2 / tan(turn / 2), abs=1e-2)


def test_cut_miter_of_a_line_straight_back_is_a_square_end() -> None:
    style = StrokeStyle(width=2, join=Join.MITER_CLIP, miter_limit=3)
    assert painted_area(stroked([(0, 0), (10, 0), (0, 0)], style)) == pytest.approx(2 * (10 + 3))


@pytest.mark.parametrize("scale", [1, 0.2])  # a fifth is rounded, so that the dashes just miss the corners
def test_dashes_without_gaps_meet_without_a_join(scale: float) -> None:
    side = 12 * scale
    square = chain([(0, 0), (side, 0), (side, side), (0, side)], closed=True)
    style, pen = StrokeStyle(width=2, dashes=(4, 0)), Affine.scaling(scale)
    painted = outline_stroke(dash_lines(square, style, pen=pen), style, pen=pen, tolerance=TOLERANCE)
    # three corners lack a square of side 1; at the first point the last dash runs into the first
    assert painted_area(painted) == pytest.approx((4 * 12 * 2 - 3) * scale**2)


@given(points=turns, width=widths, closed=st.booleans())
@example(
    points=[(5, 5), (6, 5), (9, 7), (0, 1), (5, 8)], width=0.25, closed=True
)  # straight back over itself
@example(points=[(0, 0), (4, 0), (0, 0)], width=1.0, closed=True)  # there and back
def test_round_stroke_is_all_within_half_the_width(points: Points, width: float, *, closed: bool) -> None:
    style = StrokeStyle(width=width, cap=Cap.ROUND, join=Join.ROUND)
    walk = [*points, points[0]] if closed else points
    painted = stroked(points, style, closed=closed)
    distance = shapely.distance(shapely.points(SAMPLES), shapely.LineString(walk))
    clear = np.abs(distance - width / 2) > 2 * TOLERANCE
    assert np.array_equal(holds(SAMPLES, painted)[clear], (distance < width / 2)[clear])
    pieces = [shapely.LineString(piece) for piece in pairwise(walk)]
    near = shapely.union_all([piece.buffer(width / 2, quad_segs=64) for piece in pieces])
    # both draw arcs within 1.2e-4, of half circles and less at up to seven points
    assert painted_area(painted) == pytest.approx(near.area, abs=2e-4 * 7 * pi * width)


def bevelled(walk: Points, half: float, *, closed: bool) -> shapely.Geometry:
    """Return a stroke of butt caps and bevels by its definition: a rectangle a piece, a triangle a corner."""
    corners = [np.array(point) for k, point in enumerate(walk) if k == 0 or point != walk[k - 1]]
    directions = [(b - a) / hypot(*(b - a)) for a, b in pairwise(corners)]
    beside = [half * np.array([-y, x]) for x, y in directions]
    parts = [
        shapely.Polygon([a + n, b + n, b - n, a - n])
        for (a, b), n in zip(pairwise(corners), beside, strict=True)
    ]
    turns_at = list(zip(corners[1:], pairwise(range(len(directions))), strict=False))
    if closed:
        turns_at.append((corners[0], (len(directions) - 1, 0)))
    for at, (into, out) in turns_at:
        cross = float(np.linalg.det([directions[into], directions[out]]))
        outer = -np.sign(cross)
        triangle = shapely.Polygon([at, at + outer * beside[into], at + outer * beside[out]])
        parts += [triangle] if abs(cross) > 1e-9 else []
    return shapely.union_all(parts, grid_size=2**-28)


@given(points=turns, width=widths, closed=st.booleans())
@example(points=[(0, 0), (1, 0), (1, 8)], width=3.0, closed=False)  # a piece shorter than the pen is wide
@example(points=[(0, 0), (1, 0), (0, 1)], width=3.0, closed=True)  # all pieces are
@example(points=[(0, 0), (8, 0), (4, 7)], width=6.0, closed=True)  # the middle is filled from all sides
def test_bevelled_stroke_is_the_union_of_its_parts(points: Points, width: float, *, closed: bool) -> None:
    walk = [*points, points[0]] if closed else points
    painted = stroked(points, StrokeStyle(width=width, join=Join.BEVEL), closed=closed)
    # a turn so slight that all joins agree is mitred, by less than the tolerance
    assert painted_area(painted) == pytest.approx(
        bevelled(walk, width / 2, closed=closed).area, abs=7 * width * TOLERANCE
    )


@given(points=turns, style=styles, closed=st.booleans())
def test_stroke_holds_its_pieces_and_stays_within_its_reach(
    points: Points, style: StrokeStyle, *, closed: bool
) -> None:
    walk = [*points, points[0]] if closed else points
    pieces = [shapely.LineString(piece) for piece in pairwise(walk) if piece[0] != piece[1]]
    bands = shapely.union_all([piece.buffer(style.width / 2 - 1e-6, cap_style="flat") for piece in pieces])
    painted = holds(SAMPLES, stroked(points, style, closed=closed))
    assert painted[shapely.contains_xy(bands, SAMPLES)].all()
    corner = {Join.MITER: style.miter_limit, Join.MITER_CLIP: hypot(style.miter_limit, 1)}
    reach = style.width / 2 * max(corner.get(style.join, 1), 2**0.5)
    assert not painted[
        shapely.distance(shapely.points(SAMPLES), shapely.LineString(walk)) > reach + TOLERANCE
    ].any()


@given(points=turns, style=styles, closed=st.booleans())
def test_direction_start_and_mirror_do_not_matter(
    points: Points, style: StrokeStyle, *, closed: bool
) -> None:
    area = painted_area(stroked(points, style, closed=closed))
    same = [
        stroked(points[::-1], style, closed=closed),
        stroked([(-x, y) for x, y in points], style, closed=closed),
        stroked([(y, x) for x, y in points], style, closed=closed),
    ]
    if closed:
        same.append(stroked([*points[1:], points[0]], style, closed=True))
    for other in same:
        assert painted_area(other) == pytest.approx(area, abs=1e-5)


@given(points=turns, style=styles, closed=st.booleans())
def test_pen_squeezes_the_nib_with_the_line(points: Points, style: StrokeStyle, *, closed: bool) -> None:
    pen = Affine(2.0, 0.5, -0.25, 0.5, 7.0, -3.0)
    mapped = [(float(x), float(y)) for x, y in pen.apply(np.array(points))]
    in_pen_space = painted_area(stroked(points, style, closed=closed))
    in_user_space = painted_area(stroked(mapped, style, closed=closed, pen=pen))
    # round parts are drawn finer in pen space: TOLERANCE times the length of all of them
    assert in_user_space == pytest.approx(in_pen_space * pen.determinant, abs=2e-2)


@pytest.mark.parametrize(("radius", "width"), [(10.0, 1.0), (50.0, 3.0)])
@pytest.mark.parametrize("join", list(Join))
def test_annulus(radius: float, width: float, join: Join) -> None:
    k = 0.5522847498
    quarter = np.array([[1, 0], [1, k], [k, 1], [0, 1]]) * radius
    turn = np.array([[0, 1], [-1, 0]])
    circle = [quarter, quarter @ turn, quarter @ turn @ turn, quarter @ turn @ turn @ turn]
    [lines] = flatten_paths([Path.of_contours([(np.array(circle), True)])], tolerance=TOLERANCE)
    ring = outline_stroke(lines, StrokeStyle(width=width, join=join), pen=Affine(), tolerance=TOLERANCE)
    # four cubics are too large by at most 2.725e-4 of the radius; a smooth curve needs one point a side
    assert painted_area(ring) == pytest.approx(2 * pi * radius * width, rel=3e-4)
    assert len(ring.contours()) == 2
    assert len(ring.points) == 2 * len(lines.points)


@pytest.mark.parametrize("closed", [False, True])
@pytest.mark.parametrize(("cap", "area"), [(Cap.BUTT, 0.0), (Cap.SQUARE, 9.0), (Cap.ROUND, pi * 9 / 4)])
def test_dots(cap: Cap, area: float, *, closed: bool) -> None:
    dot = stroked([(5, 5), (5, 5)], StrokeStyle(width=3, cap=cap), closed=closed)
    assert painted_area(dot) == pytest.approx(area, abs=pi * 3 * TOLERANCE)


@pytest.mark.parametrize(("cap", "area"), [(Cap.BUTT, 20.0), (Cap.SQUARE, 24.0), (Cap.ROUND, 20 + pi)])
def test_caps(cap: Cap, area: float) -> None:
    line = stroked([(3, 4), (9, 12)], StrokeStyle(width=2, cap=cap))
    assert painted_area(line) == pytest.approx(area, abs=1e-3)


def test_closed_square_is_mitred_at_its_seam() -> None:
    frame = [(0, 0), (10, 0), (10, 10), (0, 10)]
    style = StrokeStyle(width=2)
    assert painted_area(stroked(frame, style, closed=True)) == pytest.approx(144 - 64)
    assert painted_area(stroked([*frame, frame[0]], style)) == pytest.approx(144 - 64 - 1)


@pytest.mark.parametrize("pen", [Affine(1, 2, 2, 4), Affine(0, 0, 0, 0), Affine(1, 0, 0, 1e-14)])
def test_a_flat_pen_paints_nothing(pen: Affine) -> None:
    assert len(stroked([(0, 0), (9, 9)], StrokeStyle(width=1), pen=pen).points) == 0


def test_no_width_paints_nothing() -> None:
    assert len(stroked([(0, 0), (9, 9)], StrokeStyle(width=0)).points) == 0


def length(lines: Polylines) -> float:
    walks = [np.concatenate([points, points[:1]]) if closed else points for points, closed in lines.chains()]
    return sum(float(np.hypot(*np.diff(walk, axis=0).T).sum()) for walk in walks)


def test_odd_pattern_on_a_line_of_20_paints_10() -> None:
    # "5,3,2" is repeated to an even number: 5 3 2 5 3 2; two other renderers paint 10 as well
    dashes = dash_lines(
        chain([(0, 0), (20, 0)]), StrokeStyle(width=1, dashes=(5, 3, 2, 5, 3, 2)), pen=Affine()
    )
    assert [points[:, 0].tolist() for points, _ in dashes.chains()] == [[0, 5], [8, 10], [15, 18]]
    assert length(dashes) == 10


@given(
    points=turns,
    pattern=st.lists(st.tuples(st.integers(1, 12), st.integers(1, 12)), min_size=1, max_size=3),
    offset=st.integers(-50, 50),
    closed=st.booleans(),
)
def test_dashes_and_gaps_make_up_the_line(
    points: Points, pattern: list[tuple[int, int]], offset: int, *, closed: bool
) -> None:
    lines = chain(points, closed=closed)
    pattern_lengths = tuple(length / 4 for pair in pattern for length in pair)
    style = StrokeStyle(width=1, dashes=pattern_lengths, dash_offset=offset / 4)
    gaps = StrokeStyle(
        width=1,
        dashes=(*pattern_lengths[1:], pattern_lengths[0]),
        dash_offset=offset / 4 - pattern_lengths[0],
    )
    whole = sum(
        hypot(x1 - x0, y1 - y0)
        for (x0, y0), (x1, y1) in pairwise([*points, points[0]][: len(points) + closed])
    )
    dashes = dash_lines(lines, style, pen=Affine())
    assert length(dashes) + length(dash_lines(lines, gaps, pen=Affine())) == pytest.approx(whole, abs=1e-9)
    line = shapely.LineString([*points, points[0]])
    assert all(line.distance(shapely.LineString(points)) < 1e-9 for points, _ in dashes.chains())
    assert closed or not dashes.closed.any()


def test_a_tight_curve_and_a_line_over_it_do_not_cancel_out() -> None:
    # a ring of radius 1 drawn with a pen of 4 is a disc of radius 3; the line across is 20 long and 4 wide
    ring = [(cos(radians(angle)), sin(radians(angle))) for angle in range(0, 360, 5)]
    lines = Polylines.of_chains([(np.array(ring), True), (np.array([(-10.0, 0.0), (10.0, 0.0)]), False)])
    region = outline_stroke(lines, StrokeStyle(width=4), pen=Affine(), tolerance=TOLERANCE)
    disc, bar = shapely.Point(0, 0).buffer(3, 64), shapely.box(-10, -2, 10, 2)
    assert painted_area(region) == pytest.approx(shapely.area(shapely.union(disc, bar)), rel=1e-2)


def test_offset_runs_into_the_pattern_and_back() -> None:
    lines = chain([(0, 0), (10, 0)])
    ahead = dash_lines(lines, StrokeStyle(width=1, dashes=(4, 2), dash_offset=1), pen=Affine())
    behind = dash_lines(lines, StrokeStyle(width=1, dashes=(4, 2), dash_offset=-1), pen=Affine())
    assert [points[:, 0].tolist() for points, _ in ahead.chains()] == [[0, 3], [5, 9]]
    assert [points[:, 0].tolist() for points, _ in behind.chains()] == [[1, 5], [7, 10]]


def test_closed_chain_is_dashed_from_its_first_point_round_corners() -> None:
    dashes = dash_lines(
        chain([(0, 0), (4, 0), (4, 4), (0, 4)], closed=True),
        StrokeStyle(width=1, dashes=(6, 2)),
        pen=Affine(),
    )
    assert [points.tolist() for points, _ in dashes.chains()] == [
        [[0, 0], [4, 0], [4, 2]],
        [[4, 4], [0, 4], [0, 2]],
    ]


def test_dashes_that_meet_at_the_seam_are_one() -> None:
    square = chain([(0, 0), (4, 0), (4, 4), (0, 4)], closed=True)
    dashes = dash_lines(square, StrokeStyle(width=1, dashes=(4, 4), dash_offset=2), pen=Affine())
    assert [points.tolist() for points, _ in dashes.chains()] == [
        [[0, 2], [0, 0], [2, 0]],
        [[4, 2], [4, 4], [2, 4]],
    ]
    whole = dash_lines(square, StrokeStyle(width=1, dashes=(99, 1)), pen=Affine())
    assert [(points.tolist(), closed) for points, closed in whole.chains()] == [
        ([[0, 0], [4, 0], [4, 4], [0, 4]], True)
    ]


def test_lengths_are_those_of_the_pen() -> None:
    dashes = dash_lines(
        chain([(0, 0), (20, 0)]), StrokeStyle(width=1, dashes=(1, 1)), pen=Affine.scaling(5, 0.1)
    )
    assert [points[:, 0].tolist() for points, _ in dashes.chains()] == [[0, 5], [10, 15]]


@pytest.mark.parametrize(("cap", "area"), [(Cap.BUTT, 0), (Cap.SQUARE, 3 * 4.0), (Cap.ROUND, 3 * pi)])
def test_dashes_of_no_length_are_dots_along_the_line(cap: Cap, area: float) -> None:
    style = StrokeStyle(width=2, cap=cap, dashes=(0, 5))
    dots = dash_lines(chain([(-3, -4), (6, 8)]), style, pen=Affine())
    painted = outline_stroke(dots, style, pen=Affine(), tolerance=TOLERANCE)
    # the first dot is cut at the end of the line; each is a millionth of the width longer
    assert len(dots.chains()) == (0 if cap is Cap.BUTT else 4)
    assert painted_area(painted) == pytest.approx(area / 3 * len(dots.chains()), abs=1e-2)


@pytest.mark.parametrize("dashes", [(), (0, 0)])
def test_nothing_to_dash_leaves_the_line(dashes: tuple[float, ...]) -> None:
    lines = chain([(0, 0), (20, 0)])
    assert dash_lines(lines, StrokeStyle(width=1, dashes=dashes), pen=Affine()) is lines


def test_too_many_dashes() -> None:
    style = StrokeStyle(width=1, dashes=(1e-5, 1e-5))
    with pytest.raises(ArtworkError, match=f"more than {MAX_DASHES:,}"):
        dash_lines(chain([(0, 0), (20, 0)]), style, pen=Affine())
