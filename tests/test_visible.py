"""Who is seen where: conservation, paint order, opacity, against exact rationals."""

import itertools
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from svg2chart.artwork import Group
from svg2chart.colour import Colour
from svg2chart.geometry.polygon import FillRule, Polygon
from svg2chart.octants.areas import MIXED, VisibleAreas
from svg2chart.octants.stacks import Paint
from svg2chart.visible import Shape, visible_areas
from tests import exact

SIDE = 2
BLACK, WHITE = Colour(0.0, 0.0, 0.0), Colour(1.0, 1.0, 1.0)


@st.composite
def shapes(draw: st.DrawFn) -> Shape:
    """Draw a region of any winding over a grid of 2 by 2 squares, with a grey of its own."""
    lattice = draw(st.sampled_from([1, 2, 4, 32]))
    place = st.integers(-lattice, 3 * lattice).map(lambda n: n / lattice)
    contours = draw(
        st.lists(st.lists(st.tuples(place, place), min_size=3, max_size=5), min_size=1, max_size=2)
    )
    grey = draw(st.integers(0, 8)) / 8
    paint = Paint(colour=Colour(grey, grey, grey), opacity=draw(st.sampled_from([1.0, 1.0, 0.5, 0.25])))
    return Shape(polygon=Polygon.of_contours(contours, rule=draw(st.sampled_from(FillRule))), paint=paint)


stacks = st.lists(shapes(), max_size=5)


def mean_colours(areas: VisibleAreas) -> np.ndarray:
    """Return (squares, 8, 4) premultiplied colour times area in each octant."""
    colours = np.array([(r * a, g * a, b * a, a) for r, g, b, a in areas.colours])
    solid = areas.solid.ravel()
    total = np.zeros((solid.size, 8, 4))
    total[solid != MIXED] = colours[solid[solid != MIXED]][:, None] / 8
    np.add.at(total, areas.square, areas.octants[:, :, None] * colours[areas.colour][:, None])
    return total


def exact_colours(drawn: list[Shape], square: int) -> np.ndarray:
    """Return the same for one square, from the exact shares of every set of shapes that lie on each other."""
    row, column = divmod(square, SIDE)
    total = np.zeros((8, 4))
    for number in range(8):
        window = exact.octant(number, row=row, column=column)
        for area, on in shares(drawn, window):
            colour = np.zeros(4)
            for shape in (s for s, is_on in zip(drawn, on, strict=True) if is_on):
                alpha, c = shape.paint.opacity, shape.paint.colour
                colour = alpha * np.array([c.red, c.green, c.blue, 1.0]) + (1 - alpha) * colour
            total[number] += float(area) * colour
    return total


def shares(drawn: list[Shape], window: list) -> list[tuple[Fraction, tuple[bool, ...]]]:
    """Return how much of a window lies in exactly each set of shapes, by strips between all events."""
    edges = [(*e, i) for i, s in enumerate(drawn) for e in exact.edges(rational(s.polygon))]
    edges += [(*e, -1) for e in exact.edges([window])]
    heights = {end[1] for e in edges for end in e[:2]}
    for i, one in enumerate(edges):
        heights |= {y for other in edges[i + 1 :] for y in exact.crossing(one, other)}
    ordered = sorted(heights)
    found: list[tuple[Fraction, tuple[bool, ...]]] = []
    for top, low in itertools.pairwise(ordered):
        middle = (top + low) / 2
        here = sorted((exact.x_at(e, middle), e[3], e[2]) for e in edges if e[0][1] <= top and e[1][1] >= low)
        winding = dict.fromkeys(range(-1, len(drawn)), 0)
        for (x, owner, sign), (following, _, _) in itertools.pairwise(here):
            winding[owner] += sign
            if winding[-1] and following > x:
                on = tuple(is_in(winding[i], s.polygon.rule) for i, s in enumerate(drawn))
                found.append(((following - x) * (low - top), on))
    return found


def is_in(winding: int, rule: FillRule) -> bool:
    return winding % 2 == 1 if rule is FillRule.EVENODD else winding != 0


def rational(polygon: Polygon) -> list:
    return [[(Fraction(x), Fraction(y)) for x, y in contour.tolist()] for contour in polygon.contours()]


@given(stacks, st.integers(0, 3))
def test_visible_areas_equal_exact_rationals(drawn: list[Shape], square: int) -> None:
    found = mean_colours(visible_areas(drawn, rows=SIDE, columns=SIDE))[square]
    assert np.allclose(found, exact_colours(drawn, square), rtol=0, atol=1e-12)


@given(stacks)
def test_all_that_is_seen_fills_each_octant(drawn: list[Shape]) -> None:
    areas = visible_areas(drawn, rows=SIDE, columns=SIDE)
    total = np.zeros((SIDE * SIDE, 8))
    np.add.at(total, areas.square, areas.octants)
    mixed = areas.solid.ravel() == MIXED
    assert np.allclose(total[mixed], 1 / 8, rtol=0, atol=1e-12)
    assert not total[~mixed].any()
    assert areas.octants.min(initial=0.0) >= -1e-15
    covered = mixed.sum() * 1.0 + (areas.solid > 0).sum() - areas.octants[areas.colour == 0].sum()
    assert areas.shapes.sum() == pytest.approx(float(covered), abs=1e-12)


@given(st.lists(shapes().filter(lambda s: s.paint.opacity == 1.0), min_size=2, max_size=5))
def test_raising_a_shape_never_hides_more_of_it(drawn: list[Shape]) -> None:
    before = visible_areas(drawn, rows=SIDE, columns=SIDE).shapes
    raised = visible_areas([*drawn[1:], drawn[0]], rows=SIDE, columns=SIDE).shapes
    assert raised[-1] >= before[0] - 1e-12
    assert (raised[:-1] <= before[1:] + 1e-12).all()


def test_a_group_is_composed_before_it_is_laid_over() -> None:
    # two opaque squares in a group at one half over white: the lower one does not shine through the upper.
    # SVG 2, group opacity; by hand: 0.5 black over white is 0.5
    whole = Polygon.of_contours([[(0, 0), (1, 0), (1, 1), (0, 1)]])
    paints = [Paint(colour=WHITE), Paint(colour=Colour(1.0, 0.0, 0.0), group=0), Paint(colour=BLACK, group=0)]
    drawn = [Shape(polygon=whole, paint=paint) for paint in paints]
    areas = visible_areas(drawn, groups=(Group(opacity=0.5),), rows=1, columns=1)
    assert areas.colours[areas.solid[0, 0]] == pytest.approx((0.5, 0.5, 0.5, 1.0))


def test_groups_within_groups() -> None:
    # by hand: black at 0.5 in a group at 0.5 lets 0.75 through
    whole = Polygon.of_contours([[(0, 0), (1, 0), (1, 1), (0, 1)]])
    drawn = [Shape(polygon=whole, paint=Paint(colour=BLACK, group=1))]
    groups = (Group(opacity=0.5), Group(opacity=0.5, parent=0))
    areas = visible_areas(drawn, groups=groups, rows=1, columns=1)
    assert areas.colours[areas.solid[0, 0]] == pytest.approx((0.0, 0.0, 0.0, 0.25))


def test_nothing_drawn_is_bare() -> None:
    areas = visible_areas([], rows=2, columns=3)
    assert (areas.solid == 0).all()
    assert areas.colours == ((0.0, 0.0, 0.0, 0.0),)


@given(stacks)
def test_looking_at_a_few_at_a_time_changes_nothing(drawn: list[Shape]) -> None:
    whole = visible_areas(drawn, rows=SIDE, columns=SIDE)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("svg2chart.octants.quadrants.PARTS_AT_ONCE", 1)
        patch.setattr("svg2chart.visible.QUADRANTS_AT_ONCE", 1)
        patch.setattr("svg2chart.octants.topdown.EDGES_AT_ONCE", 1)
        patch.setattr("svg2chart.octants.topdown.QUADRANTS_AT_ONCE", 1)
        by_few = visible_areas(drawn, rows=SIDE, columns=SIDE)
    assert np.allclose(mean_colours(whole), mean_colours(by_few), rtol=0, atol=1e-15)
    assert np.allclose(whole.shapes, by_few.shapes, rtol=0, atol=1e-15)


@pytest.mark.parametrize("wrong", [np.nan, np.inf])
def test_coordinates_that_are_not_finite_are_refused(wrong: float) -> None:
    polygon = Polygon.of_contours([np.array([[0.0, 0.0], [wrong, 0.0], [1.0, 1.0]])])
    with pytest.raises(ValueError, match="finite"):
        visible_areas([Shape(polygon=polygon, paint=Paint(colour=Colour(0.8, 0.2, 0.2)))], rows=2, columns=2)


@pytest.mark.parametrize("columns", [10, 200])
def test_many_fine_bars_are_told_apart_on_a_grid_of_any_width(columns: int) -> None:
    """Sixty slightly slanted bars within half a row, each half as high as the step between them."""
    step = 0.5 / 60
    bars = [
        Polygon.of_contours(
            [np.array([[0, y], [columns, y + 0.1 * step], [columns, y + 0.6 * step], [0, y + 0.5 * step]])]
        )
        for y in (np.arange(60) * step).tolist()
    ]
    paint = Paint(colour=Colour(0.8, 0.2, 0.2))
    areas = visible_areas([Shape(polygon=bar, paint=paint) for bar in bars], rows=1, columns=columns)
    # half of the upper half of each square, the rest of it and its lower half bare
    assert areas.octants[areas.colour == 1].sum() == pytest.approx(columns / 4, abs=1e-9)
